//! Sorting draws of a law by where each stands between the least and the greatest.
//!
//! Two counting passes over 11 bits each of that place (least significant first; Knuth, The Art of Computer
//! Programming 3, 5.2.5, from memory), then what shares a place is put in order by insertion. Draws that crowd into
//! few places, because one lies far off, are left to the standard library.

const DIGIT: u32 = 11;
const DIGITS: usize = 1 << DIGIT;
/// Places from the least to the greatest.
const PLACES: f64 = ((1 << (2 * DIGIT)) - 1) as f64;
/// Moves to a value from which on insertion is given up.
const PATIENCE: usize = 8;

/// Sorts in ascending order. Values that are no numbers stand where [`f64::total_cmp`] puts them.
pub fn sort(values: &mut [f64]) {
    let (mut low, mut high, mut numbers) = (f64::INFINITY, f64::NEG_INFINITY, true);
    for &x in values.iter() {
        low = if x < low { x } else { low };
        high = if x > high { x } else { high };
        numbers &= !x.is_nan();
    }
    let scale = PLACES / (high - low);
    if numbers && scale.is_finite() {
        arrange(values, |x| ((x - low) * scale) as u32 as usize);
    }
    if !(numbers && inserted(values)) {
        values.sort_unstable_by(f64::total_cmp);
    }
}

/// Arranges values by their place.
fn arrange(values: &mut [f64], place: impl Fn(f64) -> usize) {
    let digits = |x: f64| (place(x) % DIGITS, (place(x) >> DIGIT) % DIGITS);
    let mut next = [[0u32; DIGITS]; 2];
    for &x in values.iter() {
        let (low, high) = digits(x);
        next[0][low] += 1;
        next[1][high] += 1;
    }
    for counts in &mut next {
        let mut before = 0;
        for count in counts {
            before += std::mem::replace(count, before);
        }
    }
    let mut half = vec![0.0; values.len()];
    for &x in values.iter() {
        let to = &mut next[0][digits(x).0];
        half[*to as usize] = x;
        *to += 1;
    }
    for &x in &half {
        let to = &mut next[1][digits(x).1];
        values[*to as usize] = x;
        *to += 1;
    }
}

/// Sorts what is nearly sorted; gives up where it is not.
fn inserted(values: &mut [f64]) -> bool {
    let mut patience = PATIENCE * values.len();
    for k in 1..values.len() {
        let x = values[k];
        let mut place = k;
        while place > 0 && values[place - 1] > x {
            values[place] = values[place - 1];
            place -= 1;
        }
        values[place] = x;
        let moved = k - place;
        if moved > patience {
            return false;
        }
        patience -= moved;
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Reference: the standard library.
    fn held_to_the_standard_library(mut values: Vec<f64>) {
        let mut want = values.clone();
        want.sort_unstable_by(f64::total_cmp);
        sort(&mut values);
        assert_eq!(values.len(), want.len());
        // By value: 0 and −0 are one yield.
        assert!(values.iter().zip(&want).all(|(a, b)| a == b || (a.is_nan() && b.is_nan())), "{values:?}");
    }

    proptest! {
        #[test]
        fn any_numbers(values in prop::collection::vec(prop::num::f64::ANY, 0..200)) {
            held_to_the_standard_library(values);
        }

        #[test]
        fn draws_of_a_law(values in prop::collection::vec(prop_oneof![Just(0.0), 0.0..90.0], 0..3000)) {
            held_to_the_standard_library(values);
        }

        #[test]
        fn crowded_by_one_far_off(values in prop::collection::vec(0.0..1e-3, 0..300)) {
            held_to_the_standard_library(values.into_iter().chain([1e12]).collect());
        }
    }
}
