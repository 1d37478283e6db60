//! Probabilities, quantiles, scores and the draws' points against `scipy`, run live.

use crate::scripts::{json, run};
use leanyear_engine::forecast::random::{DRAWS, Points};
use leanyear_engine::forecast::score::{cdf, clustered_mean, crps, crps_sample, phi};
use leanyear_engine::season::no_harvest::{NoHarvest, Outcome};
use leanyear_engine::stability::{CompleteTable, reliability};
use leanyear_engine::trial::trigamma::{inverse_trigamma, trigamma};
use leanyear_engine::trial::{PlotYield, TrialAnalysis, analyse, t_two_sided};
use leanyear_tests::reference::{Reference, Tolerance, hold};
use serde_json::Value;

/// Holds each item of a list on its own, so that one that fails says which.
fn hold_each(list: &Value, check: impl Fn(&mut Reference<'_>) -> Option<()>) {
    for item in list.as_array().unwrap() {
        hold(item, |r| assert!(check(r).is_some(), "an input is missing in {item}"))
            .unwrap_or_else(|error| panic!("{item}: {error}"));
    }
}

fn normal_quantile(p: f64) -> f64 {
    // Mean 0 and standard deviation 1: the yield exceeded with chance 1 − p is the p-quantile.
    let standard = CompleteTable::new(&[vec![-1.0, 0.0, 1.0], vec![0.0, 1.0, 2.0]]).unwrap();
    reliability(&standard, 1.0 - p).unwrap()[0]
}

/// Any trial: its F and degrees of freedom are put in its place.
fn trial() -> [PlotYield<'static>; 4] {
    [("A", "1", 3.0), ("A", "2", 3.4), ("B", "1", 2.0), ("B", "2", 2.9)]
        .map(|(variety, rep, yield_)| PlotYield { variety, rep, block: None, yield_ })
}

fn scores(document: &Value) {
    hold_each(&document["mixtures"], |r| {
        let parts: Vec<(f64, f64, f64)> = r.input("/parts")?;
        let value = r.input("/value")?;
        r.meet("/cdf", cdf(&parts, value), Tolerance::share(1e-9));
        r.meet("/crps", crps(&parts, value), Tolerance::share(1e-9));
        Some(())
    });
    hold_each(&document["samples"], |r| {
        let sample: Vec<f64> = r.input("/sample")?;
        let value = r.input("/value")?;
        r.meet("/crps", crps_sample(&sample, value), Tolerance::share(1e-12));
        Some(())
    });
    hold(&document["clustered"], |r| {
        let values: Vec<(i32, f64)> = r.input("/values").unwrap();
        let (mean, error) = clustered_mean(&values);
        r.meet("/mean", mean, Tolerance::share(1e-12));
        r.meet("/error", error.unwrap(), Tolerance::share(1e-12));
    })
    .unwrap();
}

fn chance_of_no_harvest(document: &Value) {
    let outcomes: Vec<(usize, f64, bool)> = serde_json::from_value(document["outcomes"].clone()).unwrap();
    let outcomes: Vec<Outcome> =
        outcomes.into_iter().map(|(system, water, failed)| Outcome { system, water, failed }).collect();
    let learnt = NoHarvest::learn(&outcomes, 2);
    // A search without derivatives ends within about the root of the rounding. The mean of a logistic
    // function under a normal law has no closed form; the one that stands for it is good to a hundredth.
    for (seasons, tolerance) in [("wet", Tolerance::share(1e-6)), ("dry", Tolerance::within(0.01))] {
        hold_each(&document[seasons], |r| {
            let (system, water) = (r.input("/system")?, r.input("/water")?);
            r.meet("/chance", learnt.chance(system, water), tolerance);
            Some(())
        });
    }
}

fn points_behind_the_draws(document: &Value) {
    let mut points = Points::new(DRAWS).normal(11);
    points.sort_by(f64::total_cmp);
    hold(document, |r| {
        let places: Vec<usize> = r.input("/place").unwrap();
        let ours: Vec<f64> = places.iter().map(|place| points[*place]).collect();
        r.meet_list("/score", &ours, Tolerance::within(1e-9));
    })
    .unwrap();
}

/// Source: `scipy` 1.10 or newer, live: `stats.norm`, `stats.t`, `stats.f`, `special.polygamma`,
/// `integrate.quad` of the score's definition, double sums, and `optimize.minimize` of the posterior that the
/// chance of no harvest is the mode of.
#[test]
fn probabilities_quantiles_and_scores_agree_with_scipy() {
    let answers = run("distributions.py");
    let document: Value = json(answers.path(), "expected.json");
    hold_each(&document["phi"], |r| {
        let z = r.input("/z")?;
        r.meet("/p", phi(z), Tolerance::share(1e-9));
        Some(())
    });
    hold_each(&document["normal_quantile"], |r| {
        let p: f64 = r.input("/p")?;
        r.meet("/z", normal_quantile(p), Tolerance::share(1e-8).at_least(1e-9));
        Some(())
    });
    hold_each(&document["t_two_sided"], |r| {
        let (level, df) = (r.input("/level")?, r.input("/df")?);
        r.meet("/t", t_two_sided(level, df)?, Tolerance::share(1e-8));
        Some(())
    });
    let any = analyse(&trial()).unwrap();
    hold_each(&document["f_upper_tail"], |r| {
        let (varieties_df, error_df) = (r.input("/varieties_df")?, r.input("/error_df")?);
        let analysis = TrialAnalysis { f: r.input("/f"), varieties_df, error_df, ..any.clone() };
        r.meet("/p", analysis.f_p_value()?, Tolerance::share(1e-9));
        Some(())
    });
    hold_each(&document["trigamma"], |r| {
        let x: f64 = r.input("/x")?;
        let value = trigamma(x);
        r.meet("/value", value, Tolerance::share(1e-9));
        assert!((inverse_trigamma(value) / x - 1.0).abs() < 1e-8, "the inverse at {x}");
        Some(())
    });
    points_behind_the_draws(&document["normal_points"]);
    scores(&document);
    chance_of_no_harvest(&document["no_harvest"]);
}
