//! Fits on a bound, with known errors and over several systems, against `lme4` and dense matrices in R.

use crate::compare::{Expected, compare, leaves, residual};
use crate::r::{json, run};
use leanyear_engine::mixed::report::fit;
use leanyear_engine::mixed::terms::Terms;
use leanyear_tests::network;
use serde_json::Value;
use std::path::Path;

/// Fits one case of a reference script and compares; then perturbs each expected number in turn and wants
/// that seen, so that no number of the case goes unread.
fn check(folder: &Path, case: &str) {
    let folder = folder.join(case);
    let document: Value = json(&folder, "expected.json");
    let expected: Expected = serde_json::from_value(document.clone()).unwrap();
    let terms = Terms::parse(&expected.terms).unwrap();
    let pair = (expected.difference.a.as_str(), expected.difference.b.as_str());
    let report = fit(&network(&folder).unwrap(), Some(terms), Some(pair));
    let report = report.unwrap_or_else(|error| panic!("{case}: {error}"));
    compare(&expected, &report).unwrap_or_else(|error| panic!("{case}: {error}"));
    assert!(report.dropped.is_empty(), "{case}: {:?}", report.dropped);
    // A bound must not be crept along: without the slope's own curvature oats take 29 passes.
    assert!(report.iterations <= 24, "{case}: {} passes", report.iterations);
    let size = residual(&expected);
    for (pointer, value) in leaves(&document) {
        let mut perturbed = document.clone();
        let moved = match pointer.as_str() {
            "/reml" => value * (1.0 + 2e-6),
            _ => value + (3e-4 * value.abs() + 3e-5 * size.max(size.sqrt())).copysign(value),
        };
        *perturbed.pointer_mut(&pointer).unwrap() = moved.into();
        let perturbed: Expected = serde_json::from_value(perturbed).unwrap();
        assert!(compare(&perturbed, &report).is_err(), "{case}: {pointer} may be anything");
    }
}

/// Source: `lme4` through R, live, polished by `nlminb`; standard errors by dense matrices, checked in R against
/// Henderson's equations. The data come with R: see `reference/datasets.R`.
#[test]
fn fits_on_a_bound_agree_with_lme4() {
    let answers = run("boundaries.R");
    for case in ["barley", "oats", "alfalfa", "wheat"] {
        check(answers.path(), case);
    }
}

/// Source: criterion, gradient and Henderson's equations by dense matrices in R, minimised by `nlminb`, live.
#[test]
fn known_errors_and_several_systems_agree_with_dense_matrices() {
    let answers = run("dense.R");
    for case in ["known-errors", "three-systems", "two-systems", "oats-systems"] {
        check(answers.path(), case);
    }
}
