//! A network as the files of its folder, and the blank files that a new network starts from.
//!
//! What is written is read back as the same network, bit for bit: numbers are written with as many digits as
//! that takes, texts are kept from being formulas. What plots give is left to them, so that a plot corrected there
//! counts. A file that would say nothing is left out, as its absence is read. Text out; knows no disk.

use super::columns::{
    MEANS, NETWORK_JSON, PLOTS, PRESSURE, RATINGS, SHORTLIST, SITES, TABLES, TRAITS, TRIALS, Table,
    VARIETIES, WATER,
};
use super::from_plots;
use super::quoting;
use super::tables::{Exclusion, Network, Site, TraitKind, Variety};
use crate::order::{Map, Set};

const LINE_END: &str = "\r\n";
/// Tells a spreadsheet that the letters are UTF-8.
const BYTE_ORDER_MARK: &str = "\u{feff}";

/// The files of a network's folder by name.
///
/// # Errors
/// A number in `network.json` that JSON cannot hold; none that was read can be.
pub fn files(network: &Network) -> Result<Map<&'static str, String>, serde_json::Error> {
    let info: serde_json::Value = serde_json::from_str(&serde_json::to_string(&network.info)?)?;
    let mut files = Map::from([(NETWORK_JSON, format!("{info:#}\n"))]);
    let stated = from_plots::stated(network);
    for table in &TABLES {
        let source = if matches!(table.file, TRIALS | MEANS) { &stated } else { network };
        let rows = rows(table.file, source);
        if !rows.is_empty() {
            files.insert(table.file, csv(table, &rows));
        }
    }
    Ok(files)
}

/// Blank CSV files by name: their header rows.
pub fn templates() -> Map<&'static str, String> {
    TABLES.iter().map(|table| (table.file, csv(table, &[]))).collect()
}

/// One file of a network by its name; its header alone where the network has nothing to say in it.
pub fn file(name: &str, network: &Network) -> Option<String> {
    let table = TABLES.iter().find(|table| table.file == name)?;
    Some(csv(table, &rows(table.file, network)))
}

fn csv(table: &Table, rows: &[Vec<String>]) -> String {
    let header: Vec<&str> = table.columns.iter().map(|column| column.name).collect();
    let mut text = format!("{BYTE_ORDER_MARK}{}", quoting::row(&header, ',', LINE_END));
    for row in rows {
        text += &quoting::row(row, ',', LINE_END);
    }
    text
}

fn number(value: Option<f64>) -> String {
    value.map_or(String::new(), |value| value.to_string())
}

fn year(value: Option<i32>) -> String {
    value.map_or(String::new(), |value| value.to_string())
}

fn reason(excluded: Exclusion) -> &'static str {
    match excluded {
        Exclusion::Drought => "drought",
        Exclusion::Hail => "hail",
        Exclusion::Stand => "stand",
        Exclusion::Other => "other",
    }
}

fn kind(kind: TraitKind) -> &'static str {
    match kind {
        TraitKind::Disease => "disease",
        TraitKind::Pest => "pest",
        TraitKind::Agronomic => "agronomic",
        TraitKind::Quality => "quality",
        TraitKind::Grazing => "grazing",
    }
}

/// The rows of one file, cells in the order of its columns.
fn rows(file: &str, network: &Network) -> Vec<Vec<String>> {
    match file {
        TRIALS => trials(network),
        MEANS => {
            let means = network.means.iter();
            means
                .map(|m| vec![m.trial.clone(), m.variety.clone(), m.yield_.to_string(), number(m.plots)])
                .collect()
        }
        PLOTS => plots(network),
        VARIETIES => varieties(network),
        SITES => sites(network),
        WATER => {
            let water = network.water.iter();
            water
                .map(|w| vec![w.site.clone(), w.season.to_string(), w.system.clone(), w.water.to_string()])
                .collect()
        }
        TRAITS => traits(network),
        RATINGS => {
            let ratings = network.ratings.iter();
            ratings
                .map(|r| vec![r.variety.clone(), r.trait_.clone(), r.value.to_string(), number(r.seasons)])
                .collect()
        }
        PRESSURE => {
            let pressure = network.pressure.iter();
            pressure.map(|p| vec![p.trial.clone(), p.trait_.clone(), p.pressure.to_string()]).collect()
        }
        SHORTLIST => {
            let entries = network.shortlist.iter();
            entries
                .map(|e| {
                    [&e.system, &e.variety, &e.stance, &e.note, &e.by, &e.date].map(String::clone).to_vec()
                })
                .collect()
        }
        _ => Vec::new(),
    }
}

fn trials(network: &Network) -> Vec<Vec<String>> {
    let row = |t: &super::Trial| {
        vec![
            t.trial.clone(),
            t.site.clone(),
            t.season.to_string(),
            t.system.clone(),
            number(t.water),
            number(t.error.reps),
            number(t.error.error_ms),
            number(t.error.lsd),
            number(t.error.lsd_level),
            number(t.error.cv),
            t.fallow.clone().unwrap_or_default(),
            t.excluded.map(reason).unwrap_or_default().to_owned(),
        ]
    };
    network.trials.iter().map(row).collect()
}

fn plots(network: &Network) -> Vec<Vec<String>> {
    let row = |p: &super::Plot| {
        vec![
            p.trial.clone(),
            p.rep.clone(),
            p.block.clone().unwrap_or_default(),
            number(p.row),
            number(p.col),
            p.variety.clone(),
            number(p.yield_),
        ]
    };
    network.plots.iter().map(row).collect()
}

fn varieties(network: &Network) -> Vec<Vec<String>> {
    let codes: Set<&String> = network.means.iter().map(|mean| &mean.variety).collect();
    let bare = |code: &String| Variety { variety: code.clone(), ..Variety::default() };
    if codes.into_iter().map(bare).eq(network.varieties.iter().cloned()) {
        return Vec::new();
    }
    let row = |v: &Variety| {
        vec![
            v.variety.clone(),
            v.name.clone(),
            year(v.released),
            v.origin.clone(),
            v.class.clone(),
            number(v.seed_cost),
            v.keep_seed.clone(),
            v.herbicide_trait.clone(),
            v.note.clone(),
            v.note_es.clone(),
        ]
    };
    network.varieties.iter().map(row).collect()
}

fn sites(network: &Network) -> Vec<Vec<String>> {
    let codes: Set<&String> = network.trials.iter().map(|trial| &trial.site).collect();
    let bare = |code: &String| Site { site: code.clone(), ..Site::default() };
    if codes.into_iter().map(bare).eq(network.sites.iter().cloned()) {
        return Vec::new();
    }
    let row = |s: &Site| {
        vec![
            s.site.clone(),
            s.name.clone(),
            s.zone.clone(),
            number(s.latitude),
            number(s.longitude),
            number(s.elevation_m),
        ]
    };
    network.sites.iter().map(row).collect()
}

fn traits(network: &Network) -> Vec<Vec<String>> {
    let row = |t: &super::Trait| {
        vec![
            t.trait_.clone(),
            t.label.clone(),
            t.label_es.clone(),
            kind(t.kind).to_owned(),
            number(t.best),
            number(t.worst),
            t.unit.clone(),
            number(t.severe_loss),
            number(t.severe_loss_sd),
            t.vector.clone(),
            if t.protectable { "yes" } else { "no" }.to_owned(),
            number(t.efficacy),
            number(t.spray_cost),
            t.label_note.clone(),
            t.source.clone(),
        ]
    };
    network.traits.iter().map(row).collect()
}

#[cfg(test)]
#[path = "write_tests.rs"]
mod tests;
