//! Numbers so unlike the others of their column that another unit or a slipped point is likelier than a season.
//!
//! A yield is compared with the middle one of its file, a trial's water with the middle one of its system in
//! `trials.csv`, and so is the water record; the middle yield itself with what grain makes. Nothing is removed. Knows no
//! statistics beyond a median.

use super::columns::{MEANS, PLOTS, TRIALS, WATER};
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::read::TypedTables;
use super::tables::NetworkInfo;
use crate::decide::units::{WHEAT_BUSHEL_LB, kg_per_ha};
use crate::order::Map;

/// Times the middle yield that no plot of a network makes: an irrigated trial makes ten times a dry one.
const MOST_YIELD: f64 = 20.0;
/// The same of water, either way: less than the 25.4 mm of an inch, more than the driest and the wettest ground.
const MOST_WATER: f64 = 12.0;

/// Middle yields of a network, kg/ha, outside of which no small grain is known to us: the highest wheat yields on record
/// are near 18 t/ha, and trials below a quarter of a tonne are not harvested (both from memory).
const GRAIN: std::ops::RangeInclusive<f64> = 250.0..=25_000.0;

/// Warns once where the middle yield is no grain's in the network's unit: tonnes given as kilograms, or the reverse.
pub(super) fn name_unlike_unit(info: &NetworkInfo, typed: &TypedTables, problems: &mut Problems) {
    let means: Vec<(usize, f64)> = typed.means.iter().map(|(row, mean)| (*row, mean.yield_)).collect();
    let plots = typed.plots.iter().filter_map(|(row, plot)| Some((*row, plot.yield_?))).collect();
    for (file, rows) in [(MEANS, means), (PLOTS, plots)] {
        let Some(middle) = middle(&rows) else { continue };
        let bushel = info.bushel_lb.unwrap_or(WHEAT_BUSHEL_LB);
        if !GRAIN.contains(&(middle * kg_per_ha(info.yield_unit, bushel))) {
            let unit = info.yield_unit.symbol().to_owned();
            problems.warn(Place::column(file, "yield"), ProblemKind::UnlikeUnit { middle, unit });
        }
    }
}

/// Warns of each such number, by its row.
pub(super) fn name_unlike(typed: &TypedTables, problems: &mut Problems) {
    let yields = typed.means.iter().map(|(row, mean)| (*row, mean.yield_));
    name(MEANS, "yield", yields.collect(), f64::INFINITY, MOST_YIELD, None, problems);
    let plots = typed.plots.iter().filter_map(|(row, plot)| Some((*row, plot.yield_?)));
    name(PLOTS, "yield", plots.collect(), f64::INFINITY, MOST_YIELD, None, problems);
    let mut waters: Map<&str, Vec<(usize, f64)>> = Map::new();
    for (row, trial) in &typed.trials {
        waters.entry(&trial.system).or_default().extend(trial.water.map(|water| (*row, water)));
    }
    for (system, rows) in waters {
        let usual = middle(&rows);
        name(TRIALS, "water", rows, MOST_WATER, MOST_WATER, usual, problems);
        let record = typed.water.iter().filter(|(_, record)| record.system == system);
        let record = record.map(|(row, record)| (*row, record.water)).collect();
        name(WATER, "water", record, MOST_WATER, MOST_WATER, usual, problems);
    }
}

/// Names the rows whose number is more than `above` times `usual` (the middle of the rows where that is not
/// given), or less than `usual` by more than `below` times.
fn name(
    file: &'static str,
    column: &'static str,
    rows: Vec<(usize, f64)>,
    below: f64,
    above: f64,
    usual: Option<f64>,
    problems: &mut Problems,
) {
    let Some(usual) = usual.or_else(|| middle(&rows)) else { return };
    for (row, value) in rows {
        if value > above * usual || value * below < usual {
            problems.warn(Place::cell(file, row, column), ProblemKind::UnlikeOthers { value, usual });
        }
    }
}

/// The middle number, where it is above 0.
fn middle(rows: &[(usize, f64)]) -> Option<f64> {
    let mut values: Vec<f64> = rows.iter().map(|(_, value)| *value).collect();
    crate::order::sort_by(&mut values, f64::total_cmp);
    values.get(values.len() / 2).copied().filter(|value| *value > 0.0)
}
