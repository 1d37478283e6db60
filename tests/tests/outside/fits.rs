//! Whole fits against `lme4`, `nlme` and dense matrices, run live, and against values stored from `lme4`
//! 1.1-31.
//!
//! What is covered by which script of `tests/reference/` (all compare criterion, variances, predictions,
//! standard errors of prediction and differences; the data and their sources stand in `datasets.R`):
//!
//! | | `lme4.R` | `nlme.R` | `dense.R` | `fixed.R` |
//! |---|---|---|---|---|
//! | term by term: variety, + site, + season, both | barley | barley, + site | | barley, both |
//! | with a slope on water: alone, + site, + both | barley | reactions | | |
//! | the same, weighted by plots | barley | | | barley, both |
//! | the same, three rows in ten lost | barley | | | barley, both |
//! | weighted, rows lost | barley, slope and both | barley, + site | | barley, slope + site |
//! | many trials, few varieties, incomplete blocks, unequal plots, growth | cakes, machines, assay, soybean, lectures, penicillin, peas, litters, reactions, chicks | | | |
//! | a variance of 0, a correlation of ±1 | immer, oats, pines, alfalfa, wheat, litters, machines | | oats, barley | barley, immer |
//! | systems with their own residual and divisor, variety:system | | arabidopsis (weighted), machines | invented, oats | oats |
//! | error known: mean square, LSD, CV, in turn, by plots, pooled | | | specimens, invented | barley |
//! | more than one summit | | | invented | |
//! | error known, with a slope or above what the means show | | | barley | |
//!
//! Tolerances: criterion 1e-6 relative, variances 1e-4 relative, predictions 1e-5 of the residual's standard
//! deviation. Both sides end at an optimum of their own; where none has a part, in `fixed`, they are 1e-9.

use crate::command_line::{self, text};
use crate::compare::compare;
use crate::scripts::{self, Case, cases, run};
use leanyear_engine::mixed::report::{FitReport, fit};
use leanyear_engine::mixed::terms::Terms;
use leanyear_tests::reference::{Tolerance, hold, leaves};
use serde_json::{Value, json};

/// Passes that no fit may need: a bound must not be crept along. Six workers on three machines that hardly
/// scatter take 25, all others 17 at most.
const MOST_PASSES: usize = 30;

/// Fits one case, once for each difference asked for, and holds it against what is expected.
fn check(case: &Case) -> Result<(), String> {
    let expected = &case.expected;
    let terms = Terms::parse(expected["terms"].as_str().unwrap()).unwrap();
    let pairs = expected["differences"].as_object().unwrap().keys();
    let reports: Vec<(&str, FitReport)> = pairs
        .map(|pair| Ok((pair.as_str(), fit(&case.network, Some(terms), pair.split_once(','))?)))
        .collect::<Result<_, leanyear_engine::mixed::network::FitError>>()
        .map_err(|error| error.to_string())?;
    let report = &reports[0].1;
    if !report.dropped.is_empty() || report.iterations > MOST_PASSES {
        return Err(format!("{} passes, dropped {:?}", report.iterations, report.dropped));
    }
    hold(expected, |reference| compare(reference, &reports))
}

fn check_all(script: &str, count: usize) {
    let cases = cases(script);
    assert_eq!(cases.len(), count, "{script}");
    let wrong: Vec<String> = cases
        .iter()
        .filter_map(|case| check(case).err().map(|error| format!("{script}, {}: {error}", case.name)))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// Source: `lme4` (Bates, Mächler, Bolker & Walker 2015, J. Stat. Soft. 67:1–48), live, polished by `nlminb`;
/// standard errors by dense matrices, checked in R against Henderson's equations.
#[test]
fn fits_agree_with_lme4() {
    check_all("lme4.R", 37);
}

/// Source: `nlme` (Pinheiro & Bates 2000), live: a residual variance for each system.
#[test]
fn fits_agree_with_nlme() {
    check_all("nlme.R", 6);
}

/// Source: criterion, gradient and Henderson's equations by dense matrices in R, minimised by `nlminb`, live.
#[test]
fn known_errors_and_several_systems_agree_with_dense_matrices() {
    check_all("dense.R", 13);
}

fn stored(network: &str, variances: [f64; 4], reml: f64) -> (String, Value) {
    let [variety, site, season, residual] = variances;
    let variance = json!({
        "variety": variety, "variety:site": site, "variety:season": season, "residual": {"all": residual},
    });
    (network.to_owned(), json!({ "variance": variance, "reml": reml }))
}

/// Source: `lme4` 1.1-31 (Debian), polished by an independent dense average-information REML; predictions and
/// standard errors of barley as stored with them. The tenth variety yields most, the first least.
#[test]
fn values_stored_from_lme4_are_met() {
    let networks = cases("fixed.R");
    let three = Terms::parse("variety + variety:site + variety:season").unwrap();
    let mut all = [
        stored("barley", [6.790150262, 6.081169221, 1.445983453, 14.63238151], 674.0318106921),
        stored("weighted", [6.758820896, 6.101035177, 1.864993658, 26.07540343], 675.4967355789),
        stored("immer", [92.15351667, 46.74115, 0.0, 128.1685833], 408.7979301486),
    ];
    all[0].1["effect"] = json!({"V10": 3.469219138, "V09": 3.465354145, "V01": -2.816639594});
    all[0].1["se"] = 1.59137284.into();
    all[0].1["se_of_difference"] = 2.02947857.into();
    for (name, document) in all {
        let network = &networks.iter().find(|case| case.name == name).unwrap().network;
        let report = fit(network, Some(three), Some(("V01", "V02"))).unwrap();
        let residual = report.variance.residual["all"];
        hold(&document, |reference| {
            let variance = Tolerance::share(1e-4).at_least(1e-6 * residual);
            crate::compare::variances(reference, &report.variance, variance);
            reference.meet("/reml", report.reml, Tolerance::share(1e-6));
            if document.get("effect").is_none() {
                return;
            }
            for effect in report.effects.iter().filter(|e| ["V10", "V09", "V01"].contains(&&*e.variety)) {
                let at = format!("/effect/{}", effect.variety);
                reference.meet(&at, effect.effect, Tolerance::within(1e-5 * residual.sqrt()));
            }
            reference.meet("/se", report.effects[9].se, Tolerance::share(1e-5));
            let difference = report.difference.map_or(f64::NAN, |d| d.se);
            reference.meet("/se_of_difference", difference, Tolerance::share(1e-5));
        })
        .unwrap_or_else(|error| panic!("{name}: {error}"));
    }
}

/// Source: `nlme`, live, as above: what `leanyear fit --terms --diff --json` prints, read as anyone would.
#[test]
fn the_command_line_prints_what_nlme_says() {
    let answers = run("nlme.R");
    let folder = answers.path().join("arabidopsis-systems");
    let expected: Value = scripts::json(&folder, "expected.json");
    let (terms, pair) = (expected["terms"].as_str().unwrap(), "V04,V05");
    let printed = command_line::json(&["fit", text(&folder), "--terms", terms, "--diff", pair, "--json"]);
    let document = json!({
        "reml": expected["reml"],
        "variance": expected["variance"],
        "scale": expected["scale"],
        "difference": expected["differences"][pair],
    });
    hold(&document, |reference| {
        // Variances and differences here are shares of a yield, some hundredths.
        for (at, _) in leaves(&document) {
            let ours = printed.pointer(&at).and_then(Value::as_f64).unwrap_or(f64::NAN);
            reference.meet(&at, ours, Tolerance::share(1e-4).at_least(1e-6));
        }
    })
    .unwrap();
}
