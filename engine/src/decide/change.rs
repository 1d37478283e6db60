//! What would change the answer: for the top of the list, the smallest change that puts another in front; which
//! newcomer most deserves a strip on the farm; what more water adds.
//!
//! "In front" is by the order that the list is in. It knows no model.

use super::law::mean;
use super::table::Standing;
use super::tipping::Lever;
use crate::link::Order;
use serde::{Deserialize, Serialize};

/// The smallest change of one lever that puts another variety in front.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// What is changed.
    pub lever: Lever,
    /// Where it stands: mean water or pressure of the assumed season, price, cost.
    pub now: f64,
    /// Least and most that were looked at.
    pub range: (f64, f64),
    /// Where another comes to the front; `None` where none does within the range.
    pub at: Option<f64>,
    /// Which.
    pub ahead: Option<String>,
    /// Share of draws in which what lasts crosses in that sense within the range, 0–1; below
    /// [`super::tipping::COUNT_ON`] the change is none to count on.
    pub crossing: f64,
}

/// The newcomer that most deserves a strip: of those too new to call, tested lately in this system and with
/// everything needed, the one with the highest chance of being the best of all in the long run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Newcomer {
    /// Code.
    pub variety: String,
    /// Chance of being the best in the long run, 0–1.
    pub best_longrun: f64,
    /// How long tested.
    pub standing: Standing,
}

/// What more water adds in one production system, by its level model.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MoreWater {
    /// System.
    pub system: String,
    /// Water it is added to: the mean of the assumed season in this system, of the record in others.
    pub water: f64,
    /// Water added: 25 mm or 1 inch.
    pub more: f64,
    /// Median yield at water + more, less that at water, yield unit.
    pub adds: f64,
    /// Range that holds it four times in five, by the error of the slope.
    pub adds_80: (f64, f64),
    /// What that is worth per area after hauling; `None` without price and cost.
    pub money: Option<f64>,
}

/// What would change the answer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WhatWouldChange {
    /// First of the list that may be named; `None` where none may, and then no changes.
    pub leader: Option<String>,
    /// Lever by lever.
    pub changes: Vec<Change>,
    /// Newcomer, if there is one.
    pub newcomer: Option<Newcomer>,
    /// Systems whose yields are known to respond to water, this one first.
    pub more_water: Vec<MoreWater>,
}

/// Outcomes of a season that fails with some chance: draws given a harvest, and what no harvest comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcomes {
    /// Draws, harvested or with their failures in them.
    pub draws: Vec<f64>,
    /// Chance of no harvest beyond what is in the draws.
    pub failing: f64,
    /// Outcome of no harvest.
    pub at_nothing: f64,
}

impl Outcomes {
    /// Their mean.
    pub fn expected(&self) -> f64 {
        (1.0 - self.failing) * mean(&self.draws) + self.failing * self.at_nothing
    }

    /// What the list is ordered by; more is better. `line` is the outcome below which a crop is short.
    pub fn merit(&self, order: Order, line: f64) -> f64 {
        match order {
            Order::Net => self.expected(),
            Order::WorstFifth => self.worst_fifth(),
            Order::ChanceShort => {
                let short = self.draws.iter().filter(|x| **x < line).count() as f64 / self.draws.len() as f64;
                let nothing = f64::from(u8::from(self.at_nothing < line));
                -((1.0 - self.failing) * short + self.failing * nothing)
            }
        }
    }

    /// Mean of the worst fifth, each draw weighing (1 − failing)/N.
    fn worst_fifth(&self) -> f64 {
        let weight = (1.0 - self.failing) / self.draws.len() as f64;
        let mut all: Vec<(f64, f64)> = self.draws.iter().map(|x| (*x, weight)).collect();
        all.push((self.at_nothing, self.failing));
        crate::order::sort_by(&mut all, |a, b| a.0.total_cmp(&b.0));
        let (mut left, mut sum) = (0.2, 0.0);
        for (value, weight) in all {
            let taken = weight.min(left);
            sum += taken * value;
            left -= taken;
            if left <= 0.0 {
                break;
            }
        }
        sum / 0.2
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_season_that_may_fail_is_a_mixture() {
        let outcomes = Outcomes { draws: (1..=10).map(f64::from).collect(), failing: 0.1, at_nothing: -20.0 };
        // By hand: 0.9 × 5.5 − 2; the worst fifth is a tenth of −20, nine hundredths of 1 and one of 2.
        assert!((outcomes.merit(Order::Net, 0.0) - 2.95).abs() < 1e-12);
        let worst = (0.1 * -20.0 + 0.09 * 1.0 + 0.01 * 2.0) / 0.2;
        assert!((outcomes.merit(Order::WorstFifth, 0.0) - worst).abs() < 1e-9);
        assert!((outcomes.merit(Order::ChanceShort, 4.0) + (0.1 + 0.9 * 0.3)).abs() < 1e-12);
    }

    #[test]
    fn one_that_cannot_fail_is_its_draws() {
        let outcomes = Outcomes { draws: (1..=8).map(f64::from).collect(), failing: 0.0, at_nothing: -9.0 };
        assert!((outcomes.merit(Order::WorstFifth, 0.0) - (1.0 + 0.6 * 2.0) / 1.6).abs() < 1e-9);
        assert_eq!(outcomes.merit(Order::Net, 0.0), 4.5);
    }
}
