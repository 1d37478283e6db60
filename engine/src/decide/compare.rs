//! Two to four varieties side by side: who wins how often and by how much, in one season and over five.
//!
//! Draw by draw on the same field: P(A > B), P(B > A) and P(tie) add to one. Over five seasons the averages a
//! year are compared. It knows outcomes by draw, not models.

use super::law::{mean, quantile};
use super::tipping::TippingPoint;
use serde::{Deserialize, Serialize};

/// Varieties side by side at most.
pub const MOST_SIDE_BY_SIDE: usize = 4;

/// How two varieties fare against each other, in money per area, or yield where there is no money.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Duel {
    /// Chance that the first has more, 0–1.
    pub a_wins: f64,
    /// Chance that the second has more.
    pub b_wins: f64,
    /// Chance of a tie; the three add to one.
    pub ties: f64,
    /// By how much the first wins when it wins, on average.
    pub a_by: f64,
    /// By how much the second wins when it wins.
    pub b_by: f64,
    /// First less second on average.
    pub difference: f64,
    /// The middle 80 % of that difference.
    pub difference_80: (f64, f64),
}

impl Duel {
    /// The duel of two varieties over joint draws.
    pub fn of(a: &[f64], b: &[f64]) -> Duel {
        let mut differences: Vec<f64> = a.iter().zip(b).map(|(x, y)| x - y).collect();
        let count = differences.len() as f64;
        let side = |sign: f64| {
            let (wins, sum) = differences
                .iter()
                .filter(|x| sign * **x > 0.0)
                .fold((0.0, 0.0), |(wins, sum), x| (wins + 1.0, sum + sign * x));
            (wins / count, if wins > 0.0 { sum / wins } else { 0.0 })
        };
        let ((a_wins, a_by), (b_wins, b_by)) = (side(1.0), side(-1.0));
        let ties = differences.iter().filter(|x| **x == 0.0).count() as f64 / count;
        let difference = mean(&differences);
        leanyear_vectors::sort(&mut differences);
        let difference_80 = (quantile(&differences, 0.1), quantile(&differences, 0.9));
        Duel { a_wins, b_wins, ties, a_by, b_by, difference, difference_80 }
    }
}

/// Two of the varieties.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Pair {
    /// First variety.
    pub a: String,
    /// Second variety.
    pub b: String,
    /// In the season assumed.
    pub one_season: Duel,
    /// Over five seasons, averages a year: the first as assumed, the others as they come.
    pub five_seasons: Duel,
}

/// What one disease or pest takes from one variety in the season assumed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ThreatLoss {
    /// Trait code.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// Grain it costs on average, yield unit, protection counted.
    pub lost: f64,
    /// Share of a healthy yield that a severe attack takes, 0–1.
    pub severe: f64,
    /// Whether the variety is rated for it.
    pub rated: bool,
}

/// One of the varieties.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Compared {
    /// Code.
    pub variety: String,
    /// Average over five seasons a year, money per area, or yield.
    pub five_seasons: f64,
    /// What each disease and pest takes, in the order of the table's losses.
    pub losses: Vec<ThreatLoss>,
}

/// The comparison.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Comparison {
    /// Whether duels and tipping points are about money.
    pub in_money: bool,
    /// The varieties, in the order asked.
    pub varieties: Vec<Compared>,
    /// Every two of them that a chain of trials joins, in that order.
    pub pairs: Vec<Pair>,
    /// Where every pair changes places, lever by lever; also where they do not.
    pub tipping: Vec<TippingPoint>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_duel_by_hand() {
        let duel = Duel::of(&[3.0, 5.0, 0.0, 1.0], &[1.0, 1.0, 0.0, 4.0]);
        assert_eq!((duel.a_wins, duel.b_wins, duel.ties), (0.5, 0.25, 0.25));
        assert_eq!((duel.a_by, duel.b_by, duel.difference), (3.0, 3.0, 0.75));
        let other = Duel::of(&[1.0, 1.0, 0.0, 4.0], &[3.0, 5.0, 0.0, 1.0]);
        assert_eq!((other.a_wins, other.b_wins, other.difference), (0.25, 0.5, -0.75));
    }
}
