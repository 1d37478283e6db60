//! A folder's files to a [`Network`], or to every problem in them at once.
//!
//! The order: bytes to raw rows, raw rows to typed rows, checks across rows and files, means from plots,
//! the count of rows. Knows no disk: files arrive as bytes by name.

use super::cells::{Cells, RawTable, Units};
use super::columns::{self, MEANS, NETWORK_JSON, PLOTS, TABLES, TRIALS};
use super::cross::{self, Folder};
use super::csv_text::{LIMITS, LIMITS_OF_OWN, Limits};
use super::dialect::Question;
use super::from_plots::PlotErrors;
use super::notes::{Answers, FileNote, Findings};
use super::problem::{Problem, ProblemKind};
use super::problems::{Place, Problems};
use super::tables::{
    Mean, Network, NetworkInfo, Plot, Pressure, Rating, ShortlistEntry, Site, Trait, Trial, Variety,
    WaterRecord,
};
use super::{alike, from_plots, groups, info, pooled, rows, unlike};
use crate::order::{Map, Set};
use serde::{Deserialize, Serialize};

/// How many rows of a file went where; `used + reported == all`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TableRows {
    /// File name.
    pub file: String,
    /// Rows below the header that hold a value; 0 where the file cannot be split into rows.
    pub all: usize,
    /// Rows without an error.
    pub used: usize,
    /// Rows with an error; all of them where the file as a whole has one.
    pub reported: usize,
}

/// What a folder's files hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The network; `None` exactly when there is an error.
    pub network: Option<Network>,
    /// What must be corrected before anything can be fitted, file by file.
    pub errors: Vec<Problem>,
    /// What should be known and stops nothing.
    pub warnings: Vec<Problem>,
    /// The rows of each file that is there.
    pub rows: Vec<TableRows>,
    /// How each file is written.
    pub notes: Vec<FileNote>,
    /// What could not be told from the files, and what was assumed.
    pub questions: Vec<Question>,
    /// What plots say of the error of each trial that does not state its own, in the order of the trials.
    pub plot_errors: Vec<PlotErrors>,
}

/// Typed rows of every table, each with its row number.
#[derive(Debug, Default)]
pub(super) struct TypedTables {
    pub trials: Vec<(usize, Trial)>,
    pub means: Vec<(usize, Mean)>,
    pub plots: Vec<(usize, Plot)>,
    pub varieties: Vec<(usize, Variety)>,
    pub sites: Vec<(usize, Site)>,
    pub water: Vec<(usize, WaterRecord)>,
    pub traits: Vec<(usize, Trait)>,
    pub ratings: Vec<(usize, Rating)>,
    pub pressure: Vec<(usize, Pressure)>,
    pub shortlist: Vec<(usize, ShortlistEntry)>,
}

/// Reads a network from its files' bytes by file name, strictly and completely: every problem at once.
///
/// Files that no network has are named in a warning and not read.
pub fn read(files: &Map<String, Vec<u8>>) -> Reading {
    read_with(files, &Answers::new())
}

/// As [`read()`], with the answers to questions that an earlier reading of these files asked.
pub fn read_with(files: &Map<String, Vec<u8>>, answers: &Answers) -> Reading {
    read_within(LIMITS, files, answers)
}

/// As [`read()`], of files that were just written from tables.
pub(super) fn read_own(files: &Map<String, Vec<u8>>) -> Reading {
    read_within(LIMITS_OF_OWN, files, &Answers::new())
}

fn read_within(limits: Limits, files: &Map<String, Vec<u8>>, answers: &Answers) -> Reading {
    let mut findings = Findings::new(limits, answers);
    let mut problems = Problems::default();
    name_files(files, &mut problems);
    let info = files.get(NETWORK_JSON).and_then(|bytes| info::read(bytes, &mut problems));
    let folder = raw_tables(files, &mut findings, &mut problems);
    let units = info.as_ref().map_or_else(Units::default, |info| Units {
        yield_: info.yield_unit.symbol(),
        water: info.water_unit.symbol(),
    });
    let mut typed = typed_tables(&folder, units, &mut problems);
    cross::check_folder(&folder, &mut problems);
    cross::check_typed(&typed, &mut problems);
    alike::name_alike(&folder, &mut problems);
    unlike::name_unlike(&typed, &mut problems);
    if let Some(info) = &info {
        unlike::name_unlike_unit(info, &typed, &mut problems);
    }
    cross::name_trials_without_yields(&folder, &typed, &mut problems);
    if let Some(info) = &info {
        cross::check_info(info, &folder, &mut problems);
    }
    let spoiled = spoiled_trials(&folder, &problems);
    let mut derived = from_plots::analyse(&mut typed, &spoiled, &mut problems);
    from_plots::name_differing_errors(&typed, &derived, &mut problems);
    let rows = count_rows(&folder, &typed, &problems.errors);
    let plot_errors = std::mem::take(&mut derived.errors);
    let network = info.filter(|_| problems.errors.is_empty()).map(|info| network(info, typed, derived));
    if let Some(network) = &network {
        pooled::name_pooled_errors(network, &mut problems);
        groups::name_trials_apart(network, &mut problems);
    }
    sort_by_file(&mut problems, &folder.cut_off);
    Reading {
        network,
        errors: problems.errors,
        warnings: problems.warnings,
        rows,
        notes: findings.notes,
        questions: findings.questions,
        plot_errors,
    }
}

fn name_files(files: &Map<String, Vec<u8>>, problems: &mut Problems) {
    for file in [NETWORK_JSON, TRIALS].into_iter().filter(|file| !files.contains_key(*file)) {
        problems.error(Place::file(file), ProblemKind::FileMissing);
    }
    if !files.contains_key(MEANS) && !files.contains_key(PLOTS) {
        problems.error(Place::file(MEANS), ProblemKind::YieldsMissing);
    }
    for table in TABLES.iter().filter(|table| !files.contains_key(table.file)) {
        if let Some(ability) = table.ability {
            problems.warn(Place::file(table.file), ProblemKind::FileAbsent { ability });
        }
    }
    for file in files.keys().filter(|file| columns::file_names().all(|known| known != file.as_str())) {
        problems.warn(Place::file(file), ProblemKind::FileUnknown);
    }
}

fn raw_tables(files: &Map<String, Vec<u8>>, findings: &mut Findings<'_>, problems: &mut Problems) -> Folder {
    let mut folder = Folder { tables: Map::new(), present: Set::new(), cut_off: Set::new() };
    for table in &TABLES {
        let Some(bytes) = files.get(table.file) else { continue };
        folder.present.insert(table.file);
        let Some(raw) = RawTable::read(table, bytes, findings, problems) else { continue };
        if raw.rows.is_empty() && [TRIALS, MEANS, PLOTS].contains(&table.file) {
            problems.error(Place::file(table.file), ProblemKind::RowsMissing);
        }
        folder.tables.insert(table.file, raw);
    }
    let cut_off = problems.errors.iter().filter(|problem| problem.cuts_off());
    folder.cut_off = cut_off.map(|problem| problem.file.clone()).collect();
    folder
}

fn typed_tables(folder: &Folder, units: Units<'_>, problems: &mut Problems) -> TypedTables {
    fn typed<T>(
        folder: &Folder,
        file: &str,
        units: Units<'_>,
        problems: &mut Problems,
        parse: fn(&mut Cells<'_>) -> Option<T>,
    ) -> Vec<(usize, T)> {
        folder.tables.get(file).map(|table| table.typed(units, problems, parse)).unwrap_or_default()
    }
    TypedTables {
        trials: typed(folder, TRIALS, units, problems, rows::trial),
        means: typed(folder, MEANS, units, problems, rows::mean),
        plots: typed(folder, PLOTS, units, problems, rows::plot),
        varieties: typed(folder, columns::VARIETIES, units, problems, rows::variety),
        sites: typed(folder, columns::SITES, units, problems, rows::site),
        water: typed(folder, columns::WATER, units, problems, rows::water),
        traits: typed(folder, columns::TRAITS, units, problems, rows::trait_),
        ratings: typed(folder, columns::RATINGS, units, problems, rows::rating),
        pressure: typed(folder, columns::PRESSURE, units, problems, rows::pressure),
        shortlist: typed(folder, columns::SHORTLIST, units, problems, rows::shortlist_entry),
    }
}

fn rows_with_errors<'a>(errors: &'a [Problem], file: &'a str) -> impl Iterator<Item = usize> + 'a {
    errors.iter().filter(move |error| error.file == file).filter_map(|error| error.row)
}

/// Trials whose means or plots have an error, all where one of the files is not wholly read; what is worked out
/// from the rest of their rows would mislead.
fn spoiled_trials(folder: &Folder, problems: &Problems) -> Set<String> {
    let mut spoiled = Set::new();
    let all = [MEANS, PLOTS].iter().any(|file| folder.cut_off.contains(*file));
    for file in [MEANS, PLOTS] {
        let Some(table) = folder.tables.get(file) else { continue };
        let bad: Set<usize> = rows_with_errors(&problems.errors, file).collect();
        let codes = table.values("trial").filter(|(row, _)| all || bad.contains(&row.row));
        spoiled.extend(codes.map(|(_, trial)| trial.to_owned()));
    }
    spoiled
}

/// Counts what was typed and what was named separately, so that a row lost between the two would show.
fn count_rows(folder: &Folder, typed: &TypedTables, errors: &[Problem]) -> Vec<TableRows> {
    fn numbers<T>(rows: &[(usize, T)]) -> Vec<usize> {
        rows.iter().map(|(row, _)| *row).collect()
    }
    let mut result = Vec::new();
    for file in TABLES.iter().map(|table| table.file).filter(|file| folder.present.contains(file)) {
        let all: Vec<usize> =
            folder.tables.get(file).map(|t| t.rows.iter().map(|row| row.row).collect()).unwrap_or_default();
        let whole_file = errors.iter().any(|error| {
            error.file == file && error.row.is_none_or(|row| all.first().is_none_or(|first| row < *first))
        });
        let bad: Set<usize> = rows_with_errors(errors, file).collect();
        let typed_rows = match file {
            TRIALS => numbers(&typed.trials),
            MEANS => numbers(&typed.means),
            PLOTS => numbers(&typed.plots),
            columns::VARIETIES => numbers(&typed.varieties),
            columns::SITES => numbers(&typed.sites),
            columns::WATER => numbers(&typed.water),
            columns::TRAITS => numbers(&typed.traits),
            columns::RATINGS => numbers(&typed.ratings),
            columns::PRESSURE => numbers(&typed.pressure),
            _ => numbers(&typed.shortlist),
        };
        let (used, reported) = if whole_file {
            (0, all.len())
        } else {
            let used = typed_rows.iter().filter(|row| !bad.contains(row)).count();
            (used, all.iter().filter(|row| bad.contains(row)).count())
        };
        result.push(TableRows { file: file.to_owned(), all: all.len(), used, reported });
    }
    result
}

/// Puts the typed rows together, with the means that plots gave and with codes where no file describes them.
fn network(info: NetworkInfo, typed: TypedTables, derived: from_plots::Derived) -> Network {
    fn values<T>(rows: Vec<(usize, T)>) -> Vec<T> {
        rows.into_iter().map(|(_, value)| value).collect()
    }
    let mut network = Network {
        info,
        trials: values(typed.trials),
        means: values(typed.means),
        plots: values(typed.plots),
        varieties: values(typed.varieties),
        sites: values(typed.sites),
        water: values(typed.water),
        traits: values(typed.traits),
        ratings: values(typed.ratings),
        pressure: values(typed.pressure),
        shortlist: values(typed.shortlist),
    };
    network.means.extend(derived.means);
    // Without its file a code is all that is known of a variety or a site.
    if network.varieties.is_empty() {
        let codes: Set<&String> = network.means.iter().map(|mean| &mean.variety).collect();
        let row = |code: &String| Variety { variety: code.clone(), ..Variety::default() };
        network.varieties = codes.into_iter().map(row).collect();
    }
    if network.sites.is_empty() {
        let codes: Set<&String> = network.trials.iter().map(|trial| &trial.site).collect();
        network.sites =
            codes.into_iter().map(|code| Site { site: code.clone(), ..Site::default() }).collect();
    }
    network
}

/// Lists problems as a reader corrects them: file by file, downwards, whole-file problems first; before all others
/// the files that cannot be read to their end, since much of the rest may be their doing.
fn sort_by_file(problems: &mut Problems, cut_off: &Set<String>) {
    let order: Vec<&str> = columns::file_names().collect();
    let place = |problem: &Problem| {
        let file = order.iter().position(|file| *file == problem.file).unwrap_or(order.len());
        (!cut_off.contains(&problem.file), file, problem.row.unwrap_or(0))
    };
    crate::order::sort_by_key(&mut problems.errors, place);
    crate::order::sort_by_key(&mut problems.warnings, place);
}

#[cfg(test)]
#[path = "read_tests.rs"]
mod tests;

#[cfg(test)]
#[path = "spreadsheet_tests.rs"]
mod spreadsheet_tests;
