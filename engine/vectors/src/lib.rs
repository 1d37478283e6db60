//! Loops over vectors of draws: where a change of settings spends its time.
//!
//! A crate of its own because the page is compiled for size and these few functions for speed. All vectors of one
//! call are equally long; what is longer is not read. Sums run in the order of the draws, so that every machine gives
//! the same. It knows numbers, not what they are of.

mod grown;
mod shuffle;
mod sort;
mod wins;
mod worth;

pub use grown::Grown;
pub use shuffle::shuffled;
pub use sort::sort;
pub use wins::{at_least, greatest, share_won, tied, wins};
pub use worth::{Grain, Worth};

/// `values` times a factor.
pub fn scaled(values: &[f64], factor: f64) -> Vec<f64> {
    values.iter().map(|x| x * factor).collect()
}

/// Adds `weight` times `values` to a sum.
pub fn add_scaled(sum: &mut [f64], weight: f64, values: &[f64]) {
    for (sum, x) in sum.iter_mut().zip(values) {
        *sum += weight * x;
    }
}

/// Adds the products of two vectors, element by element, to a sum.
pub fn add_products(sum: &mut [f64], a: &[f64], b: &[f64]) {
    for ((sum, a), b) in sum.iter_mut().zip(a).zip(b) {
        *sum += a * b;
    }
}

/// Cuts values at a greatest one.
pub fn cut_above(values: &mut [f64], most: f64) {
    for x in values {
        *x = if *x > most { most } else { *x };
    }
}

/// `offset + factor·values`.
pub fn on_line(values: &[f64], factor: f64, offset: f64) -> Vec<f64> {
    values.iter().map(|x| factor * x + offset).collect()
}

/// `(a + weight·b)·factor + offset`.
pub fn weighted_sum(a: &[f64], weight: f64, b: &[f64], factor: f64, offset: f64) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| (a + b * weight) * factor + offset).collect()
}

/// Sum in the order given.
pub fn sum(values: &[f64]) -> f64 {
    values.iter().sum()
}

/// How many values lie below a target, and by how much in all.
pub fn below(values: &[f64], target: f64) -> (f64, f64) {
    let (mut count, mut missing) = (0.0, 0.0);
    for x in values {
        // 0 for those that reach it: adding it is cheaper than asking.
        let short = f64::from(u8::from(*x < target));
        count += short;
        missing += if *x < target { target - x } else { 0.0 };
    }
    (count, missing)
}
