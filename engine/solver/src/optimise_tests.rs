//! The gradient is the derivative of the criterion, and the optimum does not depend on where the search
//! starts or on an error variance too small to matter.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::design::{Extra, Row};
use crate::terms::Terms;

/// Scattered numbers around 0.
fn wave(i: usize, phase: f64) -> f64 {
    1.3 * ((12.9898 * i as f64 + 78.233 * phase).sin() * 43_758.545_3).fract()
}

/// Varieties × sites × seasons with a few holes; every other trial in the second of two systems.
fn rows(varieties: usize, sites: usize, seasons: usize, systems: usize, known: f64) -> Vec<Row> {
    let trials = sites * seasons;
    let all = (0..trials).flat_map(|trial| (0..varieties).map(move |block| (trial, block)));
    all.filter(|(trial, block)| (trial * 7 + block * 3) % 5 != 0)
        .map(|(trial, block)| {
            let (site, season) = (trial % sites, trial / sites);
            let water = 1.5 * wave(trial, 1.0);
            let effects = 3.0 * wave(block, 2.0)
                + water * (wave(block, 3.0) + 0.3 * wave(block, 2.0))
                + 1.5 * wave(block * sites + site, 4.0)
                + 1.2 * wave(block * seasons + season, 5.0);
            Row {
                block,
                trial,
                site,
                season,
                system: trial % systems,
                water,
                multiplier: 1.0 + 0.2 * wave(trial, 6.0),
                value: 20.0 + 5.0 * wave(trial, 7.0) + effects + 2.0 * wave(block * trials + trial, 8.0),
                known_variance: known * (1.5 + wave(trial, 9.0)),
                weight: if known > 0.0 { 1.0 } else { 1.0 + (block % 3) as f64 },
            }
        })
        .collect()
}

fn terms() -> Terms {
    Terms { water: true, site: true, season: true, ..Terms::default() }
}

fn variances(systems: usize) -> Variances {
    Variances {
        variety: 4.0,
        slope: 0.6,
        covariance: 0.5,
        site: 1.1,
        season: 0.9,
        system: 0.7,
        residual: (0..systems).map(|s| 2.0 + s as f64).collect(),
    }
}

/// Central differences in natural parameters, forward ones of second order where a variance is 0.
fn check_gradient(design: &Design, at: &Variances, likelihood: Likelihood) {
    let solution = arrow::solve(design, at, likelihood).unwrap();
    let derivatives = derivatives::derivatives(design, &solution, likelihood);
    let tied = at.variety == 0.0 || at.slope == 0.0;
    for (k, parameter) in parameters(design.terms, design.systems).into_iter().enumerate() {
        // A covariance without both variances cannot be moved.
        if parameter == Parameter::Covariance && tied {
            continue;
        }
        let criterion = |h: f64| {
            let mut moved = at.clone();
            match parameter {
                Parameter::Variety => moved.variety += h,
                Parameter::Slope => moved.slope += h,
                Parameter::Covariance => moved.covariance += h,
                Parameter::Site => moved.site += h,
                Parameter::Season => moved.season += h,
                Parameter::System => moved.system += h,
                Parameter::Residual(system) => moved.residual[system] += h,
            }
            arrow::solve(design, &moved, likelihood).unwrap().criterion
        };
        let h = 1e-4;
        let slope = if parameter.bounded() && at.natural(parameter) == 0.0 {
            (-3.0 * criterion(0.0) + 4.0 * criterion(h) - criterion(2.0 * h)) / (2.0 * h)
        } else {
            (criterion(h) - criterion(-h)) / (2.0 * h)
        };
        let got = derivatives.gradient[k];
        assert!((got - slope).abs() < 1e-5 * (1.0 + slope.abs()), "{parameter:?}: {got} for {slope}");
    }
}

#[test]
fn the_gradient_is_the_derivative_of_the_criterion() {
    let on_bound = Variances { slope: 0.0, covariance: 0.0, site: 0.0, ..variances(1) };
    let no_main = Variances { variety: 0.0, covariance: 0.0, season: 0.0, ..variances(1) };
    let tied = Variances { slope: 0.25, covariance: 1.0, ..variances(1) };
    let one = |terms| Design::new(&rows(6, 3, 4, 1, 0.0), &[], 6, 12, 1, terms);
    for likelihood in [Likelihood::Restricted, Likelihood::Full] {
        for at in [variances(1), on_bound.clone(), no_main.clone()] {
            check_gradient(&one(terms()), &at, likelihood);
        }
        check_gradient(&one(Terms { water: false, ..terms() }), &variances(1), likelihood);
        check_gradient(&one(Terms { season: false, ..terms() }), &on_bound, likelihood);
        check_gradient(&one(Terms::default()), &no_main, likelihood);
    }
    // Where the slope is tied to the main effect only the variances beside it can be moved both ways.
    let solution = arrow::solve(&one(terms()), &tied, Likelihood::Restricted).unwrap();
    assert!(solution.criterion.is_finite());
}

#[test]
fn the_gradient_stands_over_systems_known_errors_and_dense_columns() {
    let known = rows(6, 3, 4, 2, 0.8);
    let column = |phase: f64, prior| Extra {
        values: known.iter().map(|r| wave(r.block, phase) * r.multiplier).collect(),
        prior,
    };
    let extras = [column(1.5, Some((0.2, 0.5))), column(2.5, Some((0.0, 0.3)))];
    let whole = Terms { system: true, ..terms() };
    for likelihood in [Likelihood::Restricted, Likelihood::Full] {
        check_gradient(&Design::new(&known, &[], 6, 12, 2, whole), &variances(2), likelihood);
        check_gradient(&Design::new(&known, &extras, 6, 12, 2, whole), &variances(2), likelihood);
        let unknown = rows(6, 3, 4, 1, 0.0);
        check_gradient(&Design::new(&unknown, &extras, 6, 12, 1, terms()), &variances(1), likelihood);
        let at_bound = Variances { site: 0.0, residual: vec![0.0; 2], ..variances(2) };
        check_gradient(&Design::new(&known, &extras, 6, 12, 2, terms()), &at_bound, likelihood);
    }
}

#[test]
fn the_optimum_does_not_depend_on_the_start() {
    // Enough trials and sites that a part of them is fitted first.
    let design = Design::new(&rows(12, 12, 10, 1, 0.0), &[], 12, 120, 1, terms());
    let own = search(&design, Likelihood::Restricted, &[], None).unwrap();
    let given = search(&design, Likelihood::Restricted, &[], Some(&variances(1))).unwrap();
    assert!((own.solution.criterion - given.solution.criterion).abs() < 1e-7);
    for parameter in parameters(design.terms, 1) {
        let (a, b) = (own.variances.natural(parameter), given.variances.natural(parameter));
        assert!((a - b).abs() < 1e-5 * (1e-3 + b.abs()), "{parameter:?}: {a} and {b}");
    }
}

#[test]
fn a_start_that_throws_the_main_effect_out_comes_back() {
    // Without scatter the first step from here leaves the main effect nothing.
    let smooth = |i: usize, phase: f64| (12.9898 * i as f64 + 78.233 * phase).sin();
    let mut rows = rows(12, 12, 10, 1, 0.0);
    for r in &mut rows {
        r.water = 1.5 * smooth(r.trial, 1.0);
        r.multiplier = 1.0 + 0.2 * smooth(r.trial, 6.0);
        r.value = 5.0 * smooth(r.trial, 7.0)
            + (3.0 + 0.3 * r.water) * smooth(r.block, 2.0)
            + r.water * smooth(r.block, 3.0)
            + 1.5 * smooth(r.block * 12 + r.site, 4.0)
            + 1.2 * smooth(r.block * 10 + r.season, 5.0)
            + 2.0 * smooth(r.block * 120 + r.trial, 8.0);
    }
    let design = Design::new(&rows, &[], 12, 120, 1, terms());
    let own = search(&design, Likelihood::Restricted, &[], None).unwrap();
    let given = search(&design, Likelihood::Restricted, &[], Some(&variances(1))).unwrap();
    assert!((own.solution.criterion - given.solution.criterion).abs() < 1e-6);
}

#[test]
fn an_error_too_small_to_matter_does_not_matter() {
    for shift in 0..8 {
        let fitted = |tiny: f64| {
            let mut rows = rows(8 + shift, 4, 3, 1, 1.5);
            for r in rows.iter_mut().filter(|r| r.trial == 5) {
                r.known_variance = tiny;
            }
            let design = Design::new(&rows, &[], 8 + shift, 12, 1, terms());
            optimise(&design, Likelihood::Restricted).unwrap().solution.criterion
        };
        let criteria = [1e-7, 1e-9, 1e-12].map(fitted);
        let apart = criteria.iter().map(|c| (c - criteria[0]).abs()).fold(0.0, f64::max);
        assert!(apart < 1e-5, "{criteria:?}");
    }
}
