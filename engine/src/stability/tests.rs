//! Laws of the stability numbers and the sentences of their errors; published values are checked from
//! outside.

#![allow(clippy::unwrap_used)]
use super::*;
use proptest::prelude::*;

fn rows(varieties: usize, environments: usize, yields: &[f64]) -> Vec<Vec<f64>> {
    (0..varieties).map(|i| yields[i * environments..(i + 1) * environments].to_vec()).collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs()))
}

prop_compose! {
    fn tables()(varieties in 3usize..7, environments in 3usize..8)
              (yields in prop::collection::vec(0.1f64..9.0, varieties * environments),
               varieties in Just(varieties), environments in Just(environments)) -> Vec<Vec<f64>> {
        rows(varieties, environments, &yields)
    }
}

proptest! {
    /// Laws: slopes average 1; stability variances average the interaction mean square, and so do ecovalences
    /// once divided by its degrees of freedom; the deviations are what a slope leaves of the ecovalence.
    #[test]
    fn parts_add_up_to_the_analysis_of_variance(rows in tables()) {
        let table = CompleteTable::new(&rows).unwrap();
        let (k, n) = (table.varieties() as f64, table.environments() as f64);
        let lines = joint_regression(&table).unwrap();
        prop_assert!(near(lines.iter().map(|l| l.slope).sum::<f64>() / k, 1.0));
        let parts = ecovalence(&table);
        let mean_square = parts.iter().sum::<f64>() / ((k - 1.0) * (n - 1.0));
        prop_assert!(near(stability_variance(&table).unwrap().iter().sum::<f64>() / k, mean_square));
        let means = table.environment_means();
        let index: f64 = means.iter().map(|m| (m - mean(&means)).powi(2)).sum();
        for (line, part) in lines.iter().zip(parts) {
            prop_assert!(near(line.deviation_ms * (n - 2.0) + (line.slope - 1.0).powi(2) * index, part));
        }
    }

    /// Laws: a shift of an environment changes only what looks at levels; a change of unit scales.
    #[test]
    fn a_shift_of_an_environment_and_a_change_of_unit(
        rows in tables(), shift in -3.0f64..3.0, unit in 0.1f64..50.0,
    ) {
        let plain = CompleteTable::new(&rows).unwrap();
        let changed = |f: &dyn Fn(usize, f64) -> f64| {
            let rows: Vec<Vec<f64>> =
                rows.iter().map(|row| row.iter().enumerate().map(|(j, y)| f(j, *y)).collect()).collect();
            CompleteTable::new(&rows).unwrap()
        };
        let shifted = changed(&|j, y| if j == 0 { y + shift } else { y });
        let scaled = changed(&|_, y| y * unit);
        for i in 0..plain.varieties() {
            prop_assert!(near(ecovalence(&plain)[i], ecovalence(&shifted)[i]));
            prop_assert!(near(superiority(&plain)[i], superiority(&shifted)[i]));
            prop_assert!(near(ecovalence(&plain)[i] * unit * unit, ecovalence(&scaled)[i]));
            prop_assert!(near(chance_below(&plain, 2.0)[i], chance_below(&scaled, 2.0 * unit)[i]));
            let (a, b) = (reliability(&plain, 0.8).unwrap()[i], reliability(&scaled, 0.8).unwrap()[i]);
            prop_assert!(near(a * unit, b));
            // The yield exceeded in four environments of five is missed in one.
            prop_assert!((chance_below(&plain, a)[i] - 0.2).abs() < 1e-9);
        }
        let percent = plain.in_percent().unwrap().environment_means();
        prop_assert!(percent.iter().all(|m| near(*m, 100.0)));
    }

    /// Law: in a complete table adjusted means are the plain ones, and cells taken from an additive table
    /// change none.
    #[test]
    fn adjusted_means_are_plain_where_nothing_is_missing(
        rows in tables(), gaps in prop::collection::vec(0.0f64..1.0, 42),
    ) {
        let table = CompleteTable::new(&rows).unwrap();
        let (k, n) = (table.varieties(), table.environments());
        let cells = |value: &dyn Fn(usize, usize) -> f64| -> Vec<Cell> {
            let cell = |c| Cell { variety: c / n, environment: c % n, yield_: value(c / n, c % n) };
            (0..k * n).map(cell).collect()
        };
        let whole = additive_means(&cells(&|i, j| rows[i][j]), k, n).unwrap();
        for (adjusted, plain) in whole.varieties.iter().zip(table.variety_means()) {
            prop_assert!(near(*adjusted, plain));
        }
        let additive = cells(&|i, j| rows[i][0] + rows[0][j]);
        let stays = additive.iter().zip(gaps.iter().cycle()).filter(|(_, gap)| **gap > 0.3);
        let kept: Vec<Cell> = stays.map(|(cell, _)| *cell).collect();
        if let (Ok(all), Ok(some)) = (additive_means(&additive, k, n), additive_means(&kept, k, n)) {
            prop_assert!(all.varieties.iter().zip(&some.varieties).all(|(a, b)| near(*a, *b)));
        }
    }
}

#[test]
fn a_check_beats_itself_half_the_time() {
    let table = CompleteTable::new(&[vec![1.0, 2.0, 4.0], vec![2.0, 3.0, 5.0], vec![2.0, 1.0, 4.5]]).unwrap();
    let chances = chance_above(&table, 0).unwrap();
    assert_eq!((chances[0], chances[1]), (0.5, 1.0), "itself, and one that is a unit above everywhere");
    assert!(chances[2] > 0.5 && chances[2] < 1.0);
    assert_eq!(chance_above(&table, 1).unwrap()[0], 0.0);
    assert_eq!(chance_below(&CompleteTable::new(&[vec![2.0, 2.0], vec![1.0, 3.0]]).unwrap(), 1.9)[0], 0.0);
}

/// Every refusal is a sentence that says where.
#[test]
fn what_has_no_answer_is_refused_in_words() {
    let says = |error: StabilityError, words: &str| {
        let said = error.to_string();
        assert!(said.contains(words), "{said}");
    };
    says(CompleteTable::new(&[vec![1.0, 2.0]]).unwrap_err(), "1 varieties and 2 environments");
    says(CompleteTable::new(&[vec![1.0, 2.0], vec![1.0]]).unwrap_err(), "variety 2 has 1 yields");
    says(
        CompleteTable::new(&[vec![1.0, 2.0], vec![1.0, f64::NAN]]).unwrap_err(),
        "variety 2 in environment 2 is NaN",
    );
    let two = CompleteTable::new(&[vec![1.0, 2.0], vec![3.0, 4.0]]).unwrap();
    says(joint_regression(&two).unwrap_err(), "at least 2 and 3");
    says(stability_variance(&two).unwrap_err(), "at least 3 and 2");
    says(reliability(&two, 1.0).unwrap_err(), "reliability of 1");
    says(chance_above(&two, 2).unwrap_err(), "variety 3");
    let level = CompleteTable::new(&[vec![0.1, 0.3, 0.2], vec![0.3, 0.1, 0.2]]).unwrap();
    says(joint_regression(&level).unwrap_err(), "same mean");
    let none = CompleteTable::new(&[vec![0.0, 1.0], vec![0.0, 2.0]]).unwrap();
    says(none.in_percent().unwrap_err(), "give a finite number");
    let cell = |variety, environment| Cell { variety, environment, yield_: 1.0 };
    says(additive_means(&[cell(0, 0), cell(1, 1)], 2, 2).unwrap_err(), "variety 2 shares no environment");
    says(additive_means(&[cell(0, 0)], 2, 1).unwrap_err(), "variety 2 shares no environment");
    says(additive_means(&[cell(0, 0)], 1, 2).unwrap_err(), "environment 2 has no yield");
    says(additive_means(&[cell(0, 3)], 1, 2).unwrap_err(), "environment 4 is outside");
    says(additive_means(&[], 0, 2).unwrap_err(), "0 varieties");
    let nothing = Cell { yield_: f64::INFINITY, ..cell(0, 0) };
    says(additive_means(&[nothing], 1, 1).unwrap_err(), "is inf");
}
