//! A law as a page shows it: average, four years in five, twenty seasons, the worst fifth.
//!
//! Everything is read off draws. Quantiles are linear between the points (k − ½)/N (Hyndman & Fan 1996,
//! definition 5). It knows numbers, not what they are of.

use serde::{Deserialize, Serialize};

/// Seasons shown.
pub const MARKS: usize = 20;

/// Half-width of the normal law's 80 % range, in standard deviations: its 90th percentile.
pub const NORMAL_80: f64 = 1.281_551_565_544_600_4;

/// What draws of a yield or of money come to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Law {
    /// Mean.
    pub expected: f64,
    /// 10th percentile.
    pub low80: f64,
    /// 90th percentile.
    pub high80: f64,
    /// Twenty seasons: quantiles at (k − ½)/20, ascending.
    pub seasons: Vec<f64>,
    /// Mean of the worst fifth.
    pub worst_fifth: f64,
}

impl Law {
    /// The law of these draws; the mean is summed in their order.
    pub fn of(draws: &[f64]) -> Law {
        let mut sorted = draws.to_vec();
        leanyear_vectors::sort(&mut sorted);
        Law { expected: mean(draws), ..Law::of_sorted(&sorted) }
    }

    /// The law of draws in ascending order.
    pub fn of_sorted(sorted: &[f64]) -> Law {
        Law {
            expected: mean(sorted),
            low80: quantile(sorted, 0.1),
            high80: quantile(sorted, 0.9),
            seasons: seasons(sorted),
            worst_fifth: worst_fifth(sorted),
        }
    }
}

/// Mean of values; not a number for none.
pub fn mean(values: &[f64]) -> f64 {
    leanyear_vectors::sum(values) / values.len() as f64
}

/// Quantile of sorted values.
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let last = sorted.len() - 1;
    let place = (share * sorted.len() as f64 - 0.5).clamp(0.0, last as f64);
    let below = place.floor() as usize;
    let rest = place - below as f64;
    sorted[below] + rest * (sorted[(below + 1).min(last)] - sorted[below])
}

/// Twenty seasons of sorted draws.
pub fn seasons(sorted: &[f64]) -> Vec<f64> {
    (0..MARKS).map(|k| quantile(sorted, (k as f64 + 0.5) / MARKS as f64)).collect()
}

/// How many of the twenty a chance of 0–1 takes: the marks that stand below it.
pub fn marks(chance: f64) -> u8 {
    (0..MARKS).filter(|k| (*k as f64 + 0.5) / (MARKS as f64) < chance).count() as u8
}

/// Mean of the lowest fifth of sorted values.
pub fn worst_fifth(sorted: &[f64]) -> f64 {
    worst_of(sorted, sorted.len())
}

/// Mean of the lowest fifth of draws in any order, and the draw at its edge. Leaves them in another order; cheaper
/// than sorting.
pub fn worst_fifth_unsorted(draws: &mut [f64]) -> (f64, f64) {
    let exact = draws.len() as f64 / 5.0;
    let whole = fifth_of(draws.len()) - 1;
    let (tail, edge, _) = draws.select_nth_unstable_by(whole, f64::total_cmp);
    let edge = *edge;
    ((tail.iter().sum::<f64>() + (exact - whole as f64) * edge) / exact, edge)
}

/// Draws that the worst fifth of so many reaches into.
pub fn fifth_of(count: usize) -> usize {
    count.div_ceil(5)
}

/// Mean of the worst fifth of `count` draws, of which at least that fifth is given, ascending.
pub fn worst_of(sorted: &[f64], count: usize) -> f64 {
    let exact = count as f64 / 5.0;
    let whole = exact.floor() as usize;
    let part = exact - whole as f64;
    let next = sorted.get(whole).copied().unwrap_or_default();
    (sorted[..whole].iter().sum::<f64>() + part * next) / exact
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_of_a_known_sample() {
        let sorted: Vec<f64> = (1..=10).map(f64::from).collect();
        // Hyndman & Fan's definition 5 by hand: p·n + ½ = 1.5 and 5.5.
        assert!((quantile(&sorted, 0.1) - 1.5).abs() < 1e-12);
        assert!((quantile(&sorted, 0.5) - 5.5).abs() < 1e-12);
        assert_eq!(quantile(&sorted, 0.0), 1.0);
    }

    #[test]
    fn the_worst_fifth_takes_part_of_a_draw_where_it_must() {
        // Eight draws: the lowest 1.6 of them are 1 and six tenths of 2.
        let sorted: Vec<f64> = (1..=8).map(f64::from).collect();
        assert!((worst_fifth(&sorted) - (1.0 + 0.6 * 2.0) / 1.6).abs() < 1e-12);
    }

    #[test]
    fn selecting_the_worst_fifth_is_sorting_it() {
        for count in [5, 8, 203, 1000] {
            let mut draws: Vec<f64> = (0..count).map(|k| f64::from((k * 7919) % 997)).collect();
            let sorted = Law::of(&draws).worst_fifth;
            assert!((worst_fifth_unsorted(&mut draws).0 - sorted).abs() < 1e-9, "{count}");
        }
    }

    #[test]
    fn a_chance_takes_the_marks_below_it() {
        for (chance, want) in [(0.0, 0), (0.024, 0), (0.026, 1), (0.45, 9), (0.5, 10), (1.0, 20)] {
            assert_eq!(marks(chance), want, "{chance}");
        }
    }
}
