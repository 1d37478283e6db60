//! Checks that need more than one cell: repeated rows, codes listed nowhere, systems named in one file only,
//! ratings off their scale, trials without yields.
//!
//! Codes and repeats are judged on the raw text of every row, also of rows with other faults, so that one
//! reading names everything. Knows no statistics.

use super::cells::RawTable;
use super::columns::{
    MEANS, NETWORK_JSON, PLOTS, PRESSURE, RATINGS, SHORTLIST, SITES, TRAITS, TRIALS, VARIETIES, WATER,
};
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::read::TypedTables;
use super::rows::ONE_SYSTEM;
use super::tables::NetworkInfo;
use super::terms::Code;
use crate::link;
use crate::order::{Map, Set};

/// The raw tables of a folder by file name, and which files are there, readable or not.
pub(super) struct Folder {
    /// Tables that could be read.
    pub tables: Map<&'static str, RawTable>,
    /// Files that are there.
    pub present: Set<&'static str>,
    /// Files that cannot be read, or not to their end.
    pub cut_off: Set<String>,
}

impl Folder {
    fn codes(&self, file: &str, column: &'static str) -> Option<Set<&str>> {
        let whole = |table: &&RawTable| table.has(column) && !self.cut_off.contains(file);
        let table = self.tables.get(file).filter(whole)?;
        Some(table.values(column).map(|(_, text)| text).collect())
    }

    /// The codes that a reference may name and where they are listed; `None` where that cannot be known,
    /// because the file that lists them is missing or broken, which was named already.
    fn known(&self, code: Code) -> Option<(Set<&str>, &'static str)> {
        let listed = |file: &'static str, column| Some((self.codes(file, column)?, file));
        match code {
            Code::Trial => listed(TRIALS, "trial"),
            Code::Variety if self.present.contains(VARIETIES) => listed(VARIETIES, "variety"),
            Code::Variety if !self.present.contains(PLOTS) => listed(MEANS, "variety"),
            Code::Variety if !self.present.contains(MEANS) => listed(PLOTS, "variety"),
            Code::Variety => {
                let mut codes = self.codes(MEANS, "variety")?;
                codes.extend(self.codes(PLOTS, "variety")?);
                Some((codes, "means.csv or plots.csv"))
            }
            Code::Site if self.present.contains(SITES) => listed(SITES, "site"),
            Code::Site => listed(TRIALS, "site"),
            Code::Trait => listed(TRAITS, "trait"),
            Code::System => {
                let trials = self.tables.get(TRIALS).filter(|_| !self.cut_off.contains(TRIALS))?;
                let mut codes: Set<&str> = trials.values("system").map(|(_, system)| system).collect();
                if codes.is_empty() {
                    codes.insert(ONE_SYSTEM);
                }
                Some((codes, TRIALS))
            }
        }
    }
}

/// Everything that the raw tables show.
pub(super) fn check_folder(folder: &Folder, problems: &mut Problems) {
    for table in folder.tables.values() {
        name_repeats(table, problems);
        name_unknown_codes(folder, table, problems);
    }
    name_unchecked(folder, problems);
    check_systems(folder, problems);
    // Either says which plots are compared with which.
    if folder.tables.get(PLOTS).is_some_and(|table| !table.has("rep") && !table.has("block")) {
        problems.error(Place::column(PLOTS, "rep"), ProblemKind::ColumnMissing);
    }
    for file in [RATINGS, PRESSURE] {
        if folder.present.contains(file) && !folder.present.contains(TRAITS) {
            problems.warn(Place::file(file), ProblemKind::FileNeeded { needed: TRAITS.to_owned() });
        }
    }
    for (row, text) in folder.tables.get(TRAITS).into_iter().flat_map(|table| table.values("trait")) {
        if link::is_key(text) {
            let kind = ProblemKind::TraitLikeLinkKey { text: text.to_owned() };
            problems.error(Place::cell(TRAITS, row.row, "trait"), kind);
        }
    }
}

fn name_repeats(table: &RawTable, problems: &mut Problems) {
    let file = table.table.file;
    let mut first_rows: Map<Vec<&str>, usize> = Map::new();
    for row in &table.rows {
        let key: Vec<&str> = table.table.key.iter().map(|column| table.text(row, column)).collect();
        let blank_part =
            table.table.key.iter().zip(&key).any(|(column, text)| text.is_empty() && *column != "system");
        if blank_part {
            continue;
        }
        if let Some(&first_row) = first_rows.get(&key) {
            let named = table.table.key.iter().zip(&key).filter(|(_, text)| !text.is_empty());
            let key = named.map(|(column, text)| format!("{column} `{text}`")).collect::<Vec<_>>().join(", ");
            problems.error(Place::row(file, row.row), ProblemKind::Duplicate { key, first_row });
        } else {
            first_rows.insert(key, row.row);
        }
    }
}

fn name_unknown_codes(folder: &Folder, table: &RawTable, problems: &mut Problems) {
    let file = table.table.file;
    for &(column, code) in table.table.references {
        // One problem of two files, named for the file and not for each of its rows.
        if code == Code::System && !folder.tables.get(TRIALS).is_some_and(names_systems) {
            continue;
        }
        let Some((known, listed_in)) = folder.known(code) else { continue };
        // In a row whose quotes are not in order, what stands as a code is none.
        let whole = table.values(column).filter(|(row, _)| row.faults.is_empty());
        for (row, text) in whole.filter(|(_, text)| !known.contains(text)) {
            let kind =
                ProblemKind::CodeUnknown { code, text: text.to_owned(), listed_in: listed_in.to_owned() };
            problems.error(Place::cell(file, row.row, column), kind);
        }
    }
}

/// Names each file that lists codes and is not wholly read, with the files whose codes cannot be judged meanwhile.
fn name_unchecked(folder: &Folder, problems: &mut Problems) {
    for (file, code) in
        [(TRIALS, Code::Trial), (VARIETIES, Code::Variety), (SITES, Code::Site), (TRAITS, Code::Trait)]
    {
        let refers = |table: &&RawTable| table.table.references.iter().any(|(_, named)| *named == code);
        let waiting = folder.tables.values().filter(refers).map(|table| table.table.file.to_owned());
        let waiting: Vec<String> = waiting.collect();
        if folder.cut_off.contains(file) && !waiting.is_empty() {
            problems.warn(Place::file(file), ProblemKind::CodesUnchecked { waiting });
        }
    }
}

fn names_systems(table: &RawTable) -> bool {
    table.values("system").next().is_some()
}

/// A file names systems in every row or in none, and `water.csv` and `shortlist.csv` do as `trials.csv` does.
fn check_systems(folder: &Folder, problems: &mut Problems) {
    for file in [TRIALS, WATER, SHORTLIST] {
        let Some(table) = folder.tables.get(file).filter(|table| names_systems(table)) else { continue };
        for row in table.rows.iter().filter(|row| table.text(row, "system").is_empty()) {
            problems.error(Place::cell(file, row.row, "system"), ProblemKind::SystemBlank);
        }
    }
    let Some(trials) = folder.tables.get(TRIALS) else { return };
    for file in [WATER, SHORTLIST] {
        let Some(table) = folder.tables.get(file).filter(|table| !table.rows.is_empty()) else { continue };
        let (with, without) = match (names_systems(trials), names_systems(table)) {
            (true, false) => (TRIALS, file),
            (false, true) if table.values("system").any(|(_, text)| text != ONE_SYSTEM) => (file, TRIALS),
            _ => continue,
        };
        let kind = ProblemKind::SystemMixed { with: with.to_owned(), without: without.to_owned() };
        problems.error(Place::column(file, "system"), kind);
    }
    if names_systems(trials) {
        name_idle_water(folder, problems);
    }
}

/// Water of a system without trials does no harm, so it is named once a system and not once a row.
fn name_idle_water(folder: &Folder, problems: &mut Problems) {
    let (Some(water), Some((known, _))) = (folder.tables.get(WATER), folder.known(Code::System)) else {
        return;
    };
    let mut idle: Map<&str, usize> = Map::new();
    for (_, system) in water.values("system").filter(|(_, system)| !known.contains(system)) {
        *idle.entry(system).or_default() += 1;
    }
    for (system, rows) in idle {
        let kind = ProblemKind::SystemWithoutTrials { system: system.to_owned(), rows };
        problems.warn(Place::column(WATER, "system"), kind);
    }
}

/// What the typed rows show.
pub(super) fn check_typed(typed: &TypedTables, problems: &mut Problems) {
    let mut scales = Map::new();
    for (row, trait_) in &typed.traits {
        let (Some(best), Some(worst)) = (trait_.best, trait_.worst) else { continue };
        if best == worst {
            problems.error(Place::cell(TRAITS, *row, "worst"), ProblemKind::ScaleFlat { value: best });
        } else {
            scales.insert(trait_.trait_.as_str(), (best, worst));
        }
    }
    for (row, rating) in &typed.ratings {
        let Some(&(best, worst)) = scales.get(rating.trait_.as_str()) else { continue };
        if rating.value < best.min(worst) || rating.value > best.max(worst) {
            let kind = ProblemKind::RatingOffScale {
                trait_: rating.trait_.clone(),
                value: rating.value,
                best,
                worst,
            };
            problems.error(Place::cell(RATINGS, *row, "value"), kind);
        }
    }
    for (row, trial) in &typed.trials {
        if trial.error.lsd.is_some() && trial.error.lsd_level.is_none() {
            problems.warn(Place::cell(TRIALS, *row, "lsd"), ProblemKind::LsdWithoutLevel);
        }
    }
}

/// Trials that are neither excluded nor named in `means.csv` or `plots.csv`.
pub(super) fn name_trials_without_yields(folder: &Folder, typed: &TypedTables, problems: &mut Problems) {
    let mut with_yields = Set::new();
    for file in [MEANS, PLOTS].into_iter().filter(|file| folder.present.contains(file)) {
        // A file that cannot be read may hold any trial.
        let Some(codes) = folder.codes(file, "trial") else { return };
        with_yields.extend(codes);
    }
    for (row, trial) in typed.trials.iter().filter(|(_, trial)| trial.excluded.is_none()) {
        if !with_yields.contains(trial.trial.as_str()) {
            let kind = ProblemKind::TrialWithoutYields { trial: trial.trial.clone() };
            problems.warn(Place::row(TRIALS, *row), kind);
        }
    }
}

/// Codes that `network.json` names.
pub(super) fn check_info(info: &NetworkInfo, folder: &Folder, problems: &mut Problems) {
    let mut check = |path: &str, code: Code, text: &str| {
        let Some((known, listed_in)) = folder.known(code) else { return };
        if !known.contains(text) {
            let kind =
                ProblemKind::CodeUnknown { code, text: text.to_owned(), listed_in: listed_in.to_owned() };
            problems.error(Place::column(NETWORK_JSON, path), kind);
        }
    };
    for (position, variety) in info.checks.iter().enumerate() {
        check(&format!("checks[{position}]"), Code::Variety, variety);
    }
    if let Some(system) = &info.defaults.system {
        check("defaults.system", Code::System, system);
    }
    if let Some(site) = &info.defaults.site {
        check("defaults.site", Code::Site, site);
    }
}
