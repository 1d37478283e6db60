//! The mixed model at variances that are given: criterion, predictions and their errors, free of any
//! optimiser.
//!
//! Against dense matrices in R, live, and against criteria stored from `lme4`'s deviance function.

use crate::scripts::{Case, cases};
use leanyear_engine::mixed::arrow::{Likelihood, solve};
use leanyear_engine::mixed::effects::{Effects, Functional};
use leanyear_engine::mixed::network::{Prepared, Purpose};
use leanyear_engine::mixed::terms::Terms;
use leanyear_engine::mixed::variances::Variances;
use leanyear_engine::order::{Map, Set};
use leanyear_tests::reference::{Reference, Tolerance, hold};
use serde_json::{Value, json};

/// Relative difference that rounding may leave.
const ROUNDING: f64 = 1e-9;

/// What the model says at one set of variances.
struct Solved {
    criterion: f64,
    effects: [Map<String, f64>; 2],
    slopes: [Map<String, f64>; 2],
    differences: Map<String, f64>,
}

fn variances(at: &Map<String, f64>, systems: &[String]) -> Variances {
    let of = |name: &str| at.get(name).copied().unwrap_or(0.0);
    Variances {
        variety: of("variety"),
        slope: of("slope"),
        covariance: of("covariance"),
        site: of("site"),
        season: of("season"),
        system: of("system"),
        residual: systems.iter().map(|s| at[&format!("residual.{s}")]).collect(),
    }
}

/// 2·Σ_s (n_s − J_s)·log c_s: from the criterion of yields divided by c_s to that of the yields.
fn of_divisors(prepared: &Prepared) -> f64 {
    let logs = prepared.design.rows.iter().map(|row| prepared.scale[row.system].ln()).sum::<f64>();
    let trials: Set<(usize, usize)> =
        prepared.design.rows.iter().map(|row| (row.system, row.trial)).collect();
    2.0 * (logs - trials.iter().map(|(system, _)| prepared.scale[*system].ln()).sum::<f64>())
}

fn solved(case: &Case, at: &Value, terms: &str, pairs: &[&str]) -> Solved {
    let prepared = Prepared::new(&case.network, Some(Terms::parse(terms).unwrap()), Purpose::Report).unwrap();
    let variances = variances(&serde_json::from_value(at.clone()).unwrap(), &prepared.systems);
    let solution = solve(&prepared.design, &variances, Likelihood::Restricted).unwrap();
    let effects = Effects::new(&prepared.design, &solution, &variances);
    let column = |column: usize| -> [Map<String, f64>; 2] {
        let of = |value: &dyn Fn(&Functional) -> f64| {
            let one = |block| Functional { effects: vec![(block, column, 1.0)], ..Functional::default() };
            prepared
                .varieties
                .iter()
                .enumerate()
                .map(|(block, code)| (code.clone(), value(&one(block))))
                .collect()
        };
        [of(&|f| effects.value(f)), of(&|f| effects.variances(std::slice::from_ref(f))[0].sqrt())]
    };
    let mut differences = Map::new();
    for pair in pairs {
        let (a, b) = pair.split_once(',').unwrap();
        let (a, b) = (prepared.block(a).unwrap(), prepared.block(b).unwrap());
        let difference = Functional { effects: vec![(a, 0, 1.0), (b, 0, -1.0)], ..Functional::default() };
        differences.insert(format!("{pair}/value"), effects.value(&difference));
        differences.insert(format!("{pair}/se"), effects.covariance(&[difference])[0].sqrt());
    }
    Solved {
        criterion: solution.criterion + of_divisors(&prepared),
        effects: column(0),
        slopes: if prepared.design.terms.water { column(1) } else { Default::default() },
        differences,
    }
}

fn compare(reference: &mut Reference<'_>, ours: &Solved) {
    reference.input::<Value>("/at");
    reference.meet("/reml", ours.criterion, Tolerance::share(ROUNDING));
    // Predictions lose figures to those of the level: a variance of 0 makes each 0 to rounding.
    let tolerance = Tolerance::share(1e-8).at_least(1e-8);
    for ([value, error], at) in
        [(&ours.effects, ["/effects", "/errors"]), (&ours.slopes, ["/slopes", "/slope_errors"])]
    {
        if !value.is_empty() {
            reference.meet_all(at[0], value, tolerance);
            reference.meet_all(at[1], error, tolerance);
        }
    }
    for (below, value) in &ours.differences {
        reference.meet(&format!("/differences/{below}"), *value, tolerance);
    }
}

/// Source: dense base R, live: (n − p)·log 2π + log|V| + log|X′V⁻¹X| + y′Py, and Henderson 1975.
#[test]
fn at_given_variances_all_agrees_with_dense_matrices() {
    let cases = cases("fixed.R");
    assert_eq!(cases.len(), 7);
    for case in &cases {
        for point in case.expected.as_array().unwrap() {
            let pairs: Vec<&str> =
                point["differences"].as_object().unwrap().keys().map(String::as_str).collect();
            let ours = solved(case, &point["at"], point["terms"].as_str().unwrap(), &pairs);
            hold(point, |reference| compare(reference, &ours))
                .unwrap_or_else(|error| panic!("{} at {}: {error}", case.name, point["at"]));
        }
    }
}

/// Source: `lme4` 1.1-31, its deviance function at barley's given variances: variety, site, season, residual.
#[test]
fn criteria_stored_from_lme4_are_met() {
    let cases = cases("fixed.R");
    let barley = cases.iter().find(|case| case.name == "barley").unwrap();
    for ([variety, site, season, residual], reml) in [
        ([10.0, 5.0, 2.0, 12.0], 676.22881196507),
        ([1.0, 1.0, 1.0, 20.0], 684.66217795449),
        ([0.0, 0.0, 0.0, 25.0], 698.82297019008),
    ] {
        let at = json!({"variety": variety, "site": site, "season": season, "residual.all": residual});
        let ours = solved(barley, &at, "variety + variety:site + variety:season", &[]).criterion;
        hold(&json!({ "reml": reml }), |reference| {
            // Printed to fourteen figures.
            reference.meet("/reml", ours, Tolerance::share(1e-12));
        })
        .unwrap();
    }
}
