//! Where two varieties change places as one thing changes: water, price, cost, or how hard a disease hits.
//!
//! The point is where the difference of what is expected of them crosses 0, found between the points of a grid
//! and refined on the same draws, so that whoever evaluates there finds them level. Its uncertainty comes from
//! what lasts: for each draw of varieties, slopes, losses and the field's level, with nothing redrawn, the point
//! where that draw's difference crosses in the same sense; the middle 80 % of these points are the set. Where
//! fewer than 60 % of draws cross within the range, there is no crossing to count on. It knows curves, not what
//! they are of.

use super::law::quantile;
use serde::{Deserialize, Serialize};

/// Share of draws that must cross.
pub const COUNT_ON: f64 = 0.6;
/// How close to the crossing the search ends, as a share of the interval and of the differences at its ends, and
/// after how many steps at most.
const PRECISION: f64 = 1e-9;
const MOST_STEPS: usize = 60;

/// What is changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lever {
    /// Water of the season, water unit of the network: every draw at that amount, diseases as assumed or as they
    /// are there on average, a harvest as likely as it is there.
    Water,
    /// Price of grain, as the settings count it; an insured price that is not typed goes with it.
    Price,
    /// Costs per area.
    Cost,
    /// Pressure of one disease or pest by its trait code, 0 none to 1 severe.
    Disease(String),
}

/// Where two varieties change places.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TippingPoint {
    /// First variety.
    pub a: String,
    /// Second variety.
    pub b: String,
    /// What is changed.
    pub lever: Lever,
    /// Where the settings stand: mean water or pressure of the assumed season, price, cost.
    pub now: f64,
    /// Least and most that were looked at: the site's water, half to twice a price or cost, none to severe.
    pub range: (f64, f64),
    /// The crossing nearest to `now`, if what is expected crosses within the range.
    pub at: Option<f64>,
    /// Whether the first variety is ahead above it.
    pub first_ahead_above: bool,
    /// Middle 80 % of the draws' own crossings; `None` where none crosses.
    pub set80: Option<(f64, f64)>,
    /// Share of draws that cross within the range, 0–1.
    pub crossing: f64,
}

impl TippingPoint {
    /// Whether it is a crossing to count on.
    pub fn counts(&self) -> bool {
        self.at.is_some() && self.crossing >= COUNT_ON
    }
}

/// Differences of two varieties, first less second, over a grid of at least two ascending points.
#[derive(Debug, Clone, PartialEq)]
pub struct Curves {
    /// Points.
    pub grid: Vec<f64>,
    /// Difference expected at each point.
    pub expected: Vec<f64>,
    /// What lasts of it at each point, draw by draw.
    pub lasting: Vec<Vec<f64>>,
}

/// A crossing with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// Where the expected difference crosses 0 nearest to where things stand.
    pub at: Option<f64>,
    /// Whether it rises there.
    pub rises: bool,
    /// Middle 80 % of the draws' crossings.
    pub set80: Option<(f64, f64)>,
    /// Share of draws that cross.
    pub share: f64,
}

/// The crossing nearest to `now`; `difference` evaluates the expected difference between the grid's points.
pub fn crossing(curves: &Curves, now: f64, difference: impl FnMut(f64) -> f64) -> Crossing {
    let found = nearest(&curves.grid, &curves.expected, now, None);
    let near = found.map_or(now, |(k, _)| curves.grid[k]);
    let rises = found.map(|(_, rises)| rises);
    let draws = curves.lasting.first().map_or(0, Vec::len);
    let mut points: Vec<f64> = (0..draws)
        .filter_map(|n| {
            let values: Vec<f64> = curves.lasting.iter().map(|values| values[n]).collect();
            let (k, _) = nearest(&curves.grid, &values, near, rises)?;
            Some(straight((curves.grid[k], values[k]), (curves.grid[k + 1], values[k + 1])))
        })
        .collect();
    leanyear_vectors::sort(&mut points);
    Crossing {
        at: found.map(|(k, _)| refine(&curves.grid[k..=k + 1], &curves.expected[k..=k + 1], difference)),
        rises: rises.unwrap_or(false),
        set80: (!points.is_empty()).then(|| (quantile(&points, 0.1), quantile(&points, 0.9))),
        share: points.len() as f64 / draws.max(1) as f64,
    }
}

/// The interval nearest to a point where values change sign (in one sense, if it is asked for), and the sense.
fn nearest(grid: &[f64], values: &[f64], to: f64, sense: Option<bool>) -> Option<(usize, bool)> {
    let changes = (0..grid.len().saturating_sub(1)).filter_map(|k| {
        let (low, high) = (values[k], values[k + 1]);
        let rises = low < 0.0 && high >= 0.0;
        let falls = low > 0.0 && high <= 0.0;
        let wanted = sense.is_none_or(|sense| sense == rises);
        ((rises || falls) && wanted).then_some((k, rises))
    });
    let away = |k: usize| (straight((grid[k], values[k]), (grid[k + 1], values[k + 1])) - to).abs();
    changes.min_by(|a, b| away(a.0).total_cmp(&away(b.0)))
}

/// Where the straight line through two points crosses 0.
fn straight((x, from): (f64, f64), (end, to): (f64, f64)) -> f64 {
    if from == to { x } else { x + (end - x) * (from / (from - to)) }
}

/// Regula falsi in the Illinois form (Dowell & Jarratt 1971, BIT 11:168–174), with a bisection whenever it
/// creeps.
pub fn refine(ends: &[f64], values: &[f64], mut difference: impl FnMut(f64) -> f64) -> f64 {
    let (mut low, mut high) = ((ends[0], values[0]), (ends[1], values[1]));
    let precision = PRECISION * (high.0 - low.0).abs();
    let level = PRECISION * low.1.abs().max(high.1.abs());
    let mut at = straight(low, high);
    let mut side = 0;
    for step in 0..MOST_STEPS {
        at = if step % 4 == 3 { 0.5 * (low.0 + high.0) } else { straight(low, high) };
        let value = difference(at);
        if value.abs() <= level || (high.0 - low.0).abs() <= precision {
            return at;
        }
        if (value < 0.0) == (low.1 < 0.0) {
            low = (at, value);
            if side == 1 {
                high.1 *= 0.5;
            }
            side = 1;
        } else {
            high = (at, value);
            if side == 2 {
                low.1 *= 0.5;
            }
            side = 2;
        }
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::forecast::random::Points;

    /// A difference that crosses at 5 with draws that cross at 5 + z: the set is 5 ± 1.2816 sd.
    #[test]
    fn the_crossing_and_its_set_are_those_of_the_law_behind_them() {
        let scores = Points::new(4096).normal(3);
        let grid: Vec<f64> = (0..=10).map(f64::from).collect();
        let curve = |x: f64| (x - 5.0) + 0.02 * (x - 5.0).powi(3);
        let curves = Curves {
            expected: grid.iter().map(|x| curve(*x)).collect(),
            lasting: grid.iter().map(|x| scores.iter().map(|z| x - 5.0 - 0.8 * z).collect()).collect(),
            grid,
        };
        let found = crossing(&curves, 9.0, curve);
        assert!((found.at.unwrap_or_default() - 5.0).abs() < 1e-8 && found.rises);
        let (low, high) = found.set80.unwrap_or_default();
        assert!((low - (5.0 - 0.8 * 1.2816)).abs() < 0.01 && (high - (5.0 + 0.8 * 1.2816)).abs() < 0.01);
        assert!(found.share > 0.999);
    }

    #[test]
    fn draws_that_cross_the_other_way_or_not_at_all_do_not_count() {
        let grid = vec![0.0, 1.0];
        let lasting = vec![vec![-1.0, 1.0, -1.0, 2.0], vec![1.0, -1.0, -0.5, 3.0]];
        let found = crossing(&Curves { grid, expected: vec![-1.0, 1.0], lasting }, 0.2, |x| 2.0 * x - 1.0);
        assert_eq!((found.at, found.share, found.set80), (Some(0.5), 0.25, Some((0.5, 0.5))));
    }

    #[test]
    fn of_two_crossings_the_nearer_is_found() {
        let grid: Vec<f64> = (0..=8).map(f64::from).collect();
        let wave = |x: f64| (x - 1.5) * (x - 6.5);
        let expected: Vec<f64> = grid.iter().map(|x| wave(*x)).collect();
        let lasting = vec![Vec::new(); 9];
        let curves = Curves { grid, expected, lasting };
        for (now, want, rises) in [(3.0, 1.5, false), (5.0, 6.5, true)] {
            let found = crossing(&curves, now, wave);
            assert!((found.at.unwrap_or_default() - want).abs() < 1e-6 && found.rises == rises);
        }
    }

    #[test]
    fn no_change_of_sign_is_no_crossing() {
        let curves =
            Curves { grid: vec![0.0, 1.0], expected: vec![1.0, 2.0], lasting: vec![vec![1.0], vec![2.0]] };
        let found = crossing(&curves, 0.5, |_| 1.5);
        assert_eq!((found.at, found.set80, found.share), (None, None, 0.0));
    }
}
