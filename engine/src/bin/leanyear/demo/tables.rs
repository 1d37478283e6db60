//! The invented network as the text of its files, columns as the data folder has them.
//!
//! Knows how a cell is written (blank = unknown) and nothing of how a number came about.

use super::cast::{self, CAST};
use super::harvest::FieldTrial;
use super::land::{PLACES, System, WATER_SEASONS, ZONES, water};
use super::qualities::{QUALITIES, Rated};
use super::threats::{THREATS, scored};
use super::words::{NOTES, SHORTLIST};

/// Rows of text cells, header first, as CSV; a cell is quoted where it must be.
struct Table {
    text: String,
}

impl Table {
    fn new(header: &str) -> Table {
        Table { text: format!("{header}\n") }
    }

    fn row(&mut self, cells: &[String]) {
        let quoted: Vec<String> = cells.iter().map(|cell| quoted(cell)).collect();
        self.text.push_str(&quoted.join(","));
        self.text.push('\n');
    }
}

fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\n']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

fn number(value: Option<f64>) -> String {
    value.map_or(String::new(), |v| v.to_string())
}

/// `trials.csv`.
pub fn trials(trials: &[FieldTrial]) -> String {
    let mut table =
        Table::new("trial,site,season,system,water,reps,error_ms,lsd,lsd_level,cv,fallow,excluded");
    for trial in trials {
        let fallow = PLACES[trial.place].fallow && trial.system == System::Dryland;
        table.row(&[
            trial.code(),
            PLACES[trial.place].code.into(),
            trial.season.to_string(),
            trial.system.code().into(),
            trial.water.to_string(),
            trial.report.reps.to_string(),
            number(trial.report.error_ms),
            number(trial.report.lsd),
            number(trial.report.lsd.map(|_| 0.05)),
            number(trial.report.cv),
            if fallow { "yes" } else { "no" }.into(),
            trial.excluded.into(),
        ]);
    }
    table.text
}

/// `means.csv`.
pub fn means(trials: &[FieldTrial]) -> String {
    let mut table = Table::new("trial,variety,yield,plots");
    for trial in trials {
        for mean in &trial.means {
            table.row(&[
                trial.code(),
                cast::code(mean.variety),
                mean.yield_bu.to_string(),
                mean.plots.to_string(),
            ]);
        }
    }
    table.text
}

/// `varieties.csv`.
pub fn varieties() -> String {
    let mut table =
        Table::new("variety,name,released,origin,class,seed_cost,keep_seed,herbicide_trait,note,note_es");
    for (index, member) in CAST.iter().enumerate() {
        let note = NOTES.iter().find(|n| n.name == member.name);
        table.row(&[
            cast::code(index),
            member.name.into(),
            member.released().map_or(String::new(), |year| year.to_string()),
            member.origin(),
            cast::class(index).into(),
            number(cast::seed_cost(index)),
            cast::keep_seed(index).into(),
            cast::herbicide_trait(index).into(),
            note.map_or("", |n| n.english).into(),
            note.map_or("", |n| n.spanish).into(),
        ]);
    }
    table.text
}

/// `sites.csv`; the places are nowhere, so the coordinates are blank.
pub fn sites() -> String {
    let mut table = Table::new("site,name,zone,latitude,longitude,elevation_m");
    for place in &PLACES {
        table.row(&[
            place.code.into(),
            place.name.into(),
            ZONES[place.zone].into(),
            String::new(),
            String::new(),
            place.elevation_m.to_string(),
        ]);
    }
    table.text
}

/// `water.csv`.
pub fn water_record() -> String {
    let mut table = Table::new("site,season,system,water");
    for (index, place) in PLACES.iter().enumerate() {
        for (system, _) in place.systems {
            for season in WATER_SEASONS {
                table.row(&[
                    place.code.into(),
                    season.to_string(),
                    system.code().into(),
                    water(index, season, *system).to_string(),
                ]);
            }
        }
    }
    table.text
}

/// `traits.csv`.
pub fn traits() -> String {
    let mut table = Table::new(
        "trait,label,label_es,kind,best,worst,unit,severe_loss,severe_loss_sd,vector,protectable,\
         efficacy,spray_cost,label_note,source",
    );
    for threat in &THREATS {
        let [best, worst, _] = threat.scale;
        table.row(&[
            threat.code.into(),
            threat.label.into(),
            threat.label_es.into(),
            threat.kind.into(),
            best.to_string(),
            worst.to_string(),
            threat.unit.into(),
            threat.severe_loss[0].to_string(),
            threat.severe_loss[1].to_string(),
            threat.vector.into(),
            if threat.treatment.is_some() { "yes" } else { "no" }.into(),
            number(threat.treatment.map(|t| t[0])),
            number(threat.treatment.map(|t| t[1])),
            threat.label_note.into(),
            threat.source.into(),
        ]);
    }
    for quality in &QUALITIES {
        let mut cells = vec![
            quality.code.into(),
            quality.label.into(),
            quality.label_es.into(),
            quality.kind.into(),
            number(quality.ends.map(|e| e[0])),
            number(quality.ends.map(|e| e[1])),
            quality.unit.into(),
        ];
        cells.resize(15, String::new());
        table.row(&cells);
    }
    table.text
}

/// `ratings.csv`.
pub fn ratings(ratings: &[Rated]) -> String {
    let mut table = Table::new("variety,trait,value,seasons");
    for rated in ratings {
        table.row(&[
            cast::code(rated.variety),
            rated.code.into(),
            rated.value.to_string(),
            rated.seasons.to_string(),
        ]);
    }
    table.text
}

/// `pressure.csv`; a score never taken has no row, and a crop that was lost was not scored.
pub fn pressure(trials: &[FieldTrial]) -> String {
    let mut table = Table::new("trial,trait,pressure");
    for trial in trials.iter().filter(|t| !t.means.is_empty()) {
        for (index, threat) in THREATS.iter().enumerate() {
            if scored(index, trial.place, trial.season, trial.system) {
                table.row(&[trial.code(), threat.code.into(), trial.pressures[index].to_string()]);
            }
        }
    }
    table.text
}

/// `shortlist.csv`.
pub fn shortlist() -> String {
    let mut table = Table::new("system,variety,stance,note,by,date");
    for word in &SHORTLIST {
        let variety = CAST.iter().position(|m| m.name == word.name);
        table.row(&[
            word.system.code().into(),
            variety.map_or(String::new(), cast::code),
            word.stance.into(),
            word.note.into(),
            "demo agronomist (invented)".into(),
            word.date.into(),
        ]);
    }
    table.text
}
