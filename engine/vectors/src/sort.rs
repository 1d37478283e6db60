//! Sorting draws of a law: most of them lie where one can work out that they lie.
//!
//! Values go to equal intervals between the least and the greatest, which leaves little to sort (Dobosiewicz 1978,
//! Inf. Process. Lett. 7:1–6, from memory). A law with far-off values, which crowds most into few intervals, is
//! sorted by the standard library.

/// Values to an interval from which on the standard library sorts them.
const CROWDED: usize = 32;

/// Sorts in ascending order. Values that are no numbers stand where [`f64::total_cmp`] puts them.
pub fn sort(values: &mut [f64]) {
    let (low, high) =
        values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(*x), high.max(*x)));
    let intervals = values.len().next_power_of_two();
    let scale = (intervals - 1) as f64 / (high - low);
    if !scale.is_finite() || values.iter().any(|x| x.is_nan()) {
        values.sort_unstable_by(f64::total_cmp);
        return;
    }
    let interval = |x: f64| ((x - low) * scale) as usize;
    let mut ends = vec![0u32; intervals + 1];
    for x in values.iter() {
        ends[interval(*x) + 1] += 1;
    }
    for k in 0..intervals {
        ends[k + 1] += ends[k];
    }
    // What was the start of each interval becomes its end as it fills.
    let given = values.to_vec();
    for x in given {
        let next = &mut ends[interval(x)];
        values[*next as usize] = x;
        *next += 1;
    }
    let mut start = 0;
    for end in ends[..intervals].iter().map(|end| *end as usize) {
        arrange(&mut values[start..end]);
        start = end;
    }
}

/// Sorts the values of one interval.
fn arrange(values: &mut [f64]) {
    if values.len() > CROWDED && !values.is_sorted() {
        values.sort_unstable_by(f64::total_cmp);
        return;
    }
    for k in 1..values.len() {
        let x = values[k];
        let mut place = k;
        while place > 0 && values[place - 1] > x {
            values[place] = values[place - 1];
            place -= 1;
        }
        values[place] = x;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn held_to_the_standard_library(mut values: Vec<f64>) {
        let mut want = values.clone();
        want.sort_unstable_by(f64::total_cmp);
        sort(&mut values);
        // By value: 0 and −0 are one yield.
        assert!(values.len() == want.len());
        assert!(values.iter().zip(&want).all(|(a, b)| a == b || (a.is_nan() && b.is_nan())), "{values:?}");
    }

    proptest! {
        #[test]
        fn any_numbers(values in prop::collection::vec(prop::num::f64::ANY, 0..200)) {
            held_to_the_standard_library(values);
        }

        #[test]
        fn many_equal(values in prop::collection::vec(prop_oneof![Just(0.0), 0.0..1e6], 0..300)) {
            held_to_the_standard_library(values);
        }

        #[test]
        fn crowded_by_one_far_off(values in prop::collection::vec(0.0..1e-3, 0..300)) {
            held_to_the_standard_library(values.into_iter().chain([1e12]).collect());
        }
    }
}
