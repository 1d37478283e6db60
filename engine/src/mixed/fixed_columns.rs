//! The dense fixed columns that `leanyear fit` adds on request: entry year, and what diseases take.
//!
//! `entry` is the variety's entry year; `disease` is, for each disease or pest that the trials can teach, the
//! loss −a·p·m⁰ (as [`crate::forecast::losses`] has it, healthy levels at the published losses) and the
//! susceptibility a beside it. Coefficients are free: no prior enters a pure fit. A column that trials and the
//! columns before it already tell is dropped and named. It knows no variance.

use super::design::Extra;
use super::estimable::{Dropped, Why};
use super::network::Prepared;
use super::small;
use super::terms::Terms;
use crate::forecast::losses::{healthy_levels, threats};
use crate::pack::Network;

/// Share of a column's length within trials that must be left beside the other columns.
const LEAST_OWN_SHARE: f64 = 1e-6;

/// A fixed column, with the name of its coefficient.
#[derive(Debug, Clone, PartialEq)]
pub struct FixedColumn {
    /// `entry`, `disease:<trait>` or `susceptible:<trait>`.
    pub name: String,
    /// One value a row of [`Prepared::rows`].
    pub values: Vec<f64>,
}

impl FixedColumn {
    /// As a free column of the border.
    pub fn extra(&self) -> Extra {
        Extra { values: self.values.clone(), prior: None }
    }
}

/// The columns that the terms ask for and the rows can tell; the others go to `dropped`.
pub fn fixed_columns(
    network: &Network,
    prepared: &Prepared,
    terms: Terms,
    dropped: &mut Vec<Dropped>,
) -> Vec<FixedColumn> {
    let mut wanted = Vec::new();
    if terms.entry {
        let values = prepared.rows.iter().map(|r| prepared.entry[r.block]).collect();
        wanted.push(FixedColumn { name: "entry".to_owned(), values });
    }
    if terms.disease {
        let found = threats(network, prepared);
        let published: Vec<f64> = found.iter().map(|t| t.prior.0).collect();
        let levels = healthy_levels(prepared, &found, &published);
        if found.is_empty() {
            dropped.push(Dropped { term: "disease".to_owned(), why: Why::NoDisease });
        }
        for threat in &found {
            if !threat.learnt {
                let term = format!("disease:{}", threat.code);
                dropped.push(Dropped { term, why: Why::TooLittlePressure });
                continue;
            }
            let rows = || prepared.rows.iter();
            let susceptible: Vec<f64> = rows().map(|r| threat.susceptibility[r.block]).collect();
            let lost = rows()
                .map(|r| -threat.susceptibility[r.block] * threat.pressure[r.trial] * levels[r.trial])
                .collect();
            wanted.push(FixedColumn { name: format!("susceptible:{}", threat.code), values: susceptible });
            wanted.push(FixedColumn { name: format!("disease:{}", threat.code), values: lost });
        }
    }
    independent(prepared, wanted, dropped)
}

/// Keeps the columns that are not told by trials and the columns before them.
fn independent(
    prepared: &Prepared,
    wanted: Vec<FixedColumn>,
    dropped: &mut Vec<Dropped>,
) -> Vec<FixedColumn> {
    let mut basis: Vec<Vec<f64>> = Vec::new();
    let mut kept = Vec::new();
    for column in wanted {
        let within = less_trial_means(prepared, &column.values);
        let length = small::dot(&within, &within).sqrt();
        let mut own = within;
        // Twice, so that rounding of the first pass is taken off too.
        for direction in basis.iter().chain(&basis) {
            let share = small::dot(&own, direction);
            own.iter_mut().zip(direction).for_each(|(x, d)| *x -= share * d);
        }
        let left = small::dot(&own, &own).sqrt();
        if left <= LEAST_OWN_SHARE * length || length == 0.0 {
            dropped.push(Dropped { term: column.name, why: Why::Collinear });
            continue;
        }
        own.iter_mut().for_each(|x| *x /= left);
        basis.push(own);
        kept.push(column);
    }
    kept
}

fn less_trial_means(prepared: &Prepared, values: &[f64]) -> Vec<f64> {
    let mut sums = vec![(0.0, 0.0); prepared.trials.len()];
    for (r, value) in prepared.rows.iter().zip(values) {
        sums[r.trial].0 += value;
        sums[r.trial].1 += 1.0;
    }
    prepared.rows.iter().zip(values).map(|(r, value)| value - sums[r.trial].0 / sums[r.trial].1).collect()
}
