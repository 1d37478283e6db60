//! How often the ranges that were promised held, season by season and system by system: the page's track record.
//!
//! Counts, and mean squared errors in yield unit squared. It knows predictions, not models.

use super::super::score::{average, cdf, moments};
use super::fold::Prediction;
use crate::order::Map;
use serde::{Deserialize, Serialize};

/// How often the 80 % ranges held in one season and system, and by how much differences were missed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TrialRange {
    /// Season.
    pub season: i32,
    /// Production system.
    pub system: String,
    /// Deviations from the trial's average, scored.
    pub n: u32,
    /// Of those, inside the 80 % range.
    pub held: u32,
    /// Whole yields inside their 80 % range.
    pub yields_held: u32,
    /// Mean squared error of the deviations, yield unit squared.
    pub error_ms: f64,
    /// The same by the table of raw means.
    pub error_ms_raw: f64,
}

/// Whether a share of a law's probability lies in the central range that holds `level` of it.
pub fn share_inside(share: f64, level: f64) -> bool {
    (share - 0.5).abs() <= level / 2.0
}

/// Share of the sorted draws below what came, ties counted half.
pub fn draw_share(p: &Prediction) -> f64 {
    let below = p.yield_draws.partition_point(|x| *x < p.yield_came);
    let not_above = p.yield_draws.partition_point(|x| *x <= p.yield_came);
    (below + not_above) as f64 / (2 * p.yield_draws.len()) as f64
}

/// Counts how often the ranges held, by season and system.
pub fn ranges<'a>(means: impl Iterator<Item = &'a Prediction>) -> Vec<TrialRange> {
    let mut by: Map<(i32, &str), Vec<&Prediction>> = Map::new();
    for p in means {
        by.entry((p.season, &p.system)).or_default().push(p);
    }
    by.into_iter()
        .map(|((season, system), here)| {
            let count = |holds: &dyn Fn(&Prediction) -> bool| here.iter().filter(|p| holds(p)).count() as u32;
            let mean_square =
                |law: &dyn Fn(&Prediction) -> f64| average(here.iter().map(|p| (p.came - law(p)).powi(2)));
            TrialRange {
                season,
                system: system.to_owned(),
                n: here.len() as u32,
                held: count(&|p| share_inside(cdf(&p.given_water, p.came), 0.8)),
                yields_held: count(&|p| share_inside(draw_share(p), 0.8)),
                error_ms: mean_square(&|p| moments(&p.given_water).0),
                error_ms_raw: mean_square(&|p| p.raw.0),
            }
        })
        .collect()
}
