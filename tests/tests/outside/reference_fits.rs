//! The mixed model against `lme4` and dense base R, run live, and against stored values of `lme4` 1.1-31.
//!
//! Data: barley (R `lattice`, Immer, Hayes & Powers 1934), immer (R `MASS`). Tolerances: criterion 1e-6
//! relative, variances 1e-4 relative (of the residual where the variance is 0), predictions 1e-5 of the
//! residual standard deviation. Standard errors come from Henderson's equations in dense base R.

use crate::r::{json, run};
use leanyear_engine::mixed::arrow::{Likelihood, solve};
use leanyear_engine::mixed::network::{Prepared, Purpose};
use leanyear_engine::mixed::report::{FitReport, fit};
use leanyear_engine::mixed::terms::Terms;
use leanyear_engine::mixed::variances::Variances;
use leanyear_engine::pack::Network;
use leanyear_tests::{agree, network};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;

#[derive(Debug, Deserialize)]
struct Reference {
    fits: Vec<Fit>,
    fixed: Vec<([f64; 4], f64)>,
}

#[derive(Debug, Clone, Deserialize)]
struct Fit {
    name: String,
    folder: String,
    terms: String,
    reml: f64,
    variance: BTreeMap<String, f64>,
    effects: BTreeMap<String, (f64, f64)>,
    pair: (String, String),
    difference: (f64, f64),
}

/// What R says, run once for all tests of a process, and the networks that it wrote.
fn reference() -> &'static (BTreeMap<String, Network>, Reference) {
    static REFERENCE: OnceLock<(BTreeMap<String, Network>, Reference)> = OnceLock::new();
    REFERENCE.get_or_init(|| {
        let answers = run("fits.R");
        let networks = std::fs::read_dir(answers.path())
            .unwrap()
            .map(|entry| entry.unwrap())
            .filter(|entry| entry.path().is_dir())
            .map(|entry| (entry.file_name().into_string().unwrap(), network(&entry.path()).unwrap()))
            .collect();
        (networks, json(answers.path(), "reference.json"))
    })
}

fn our_fit(want: &Fit) -> FitReport {
    let terms = Terms::parse(&want.terms).unwrap();
    fit(&reference().0[&want.folder], Some(terms), Some((&want.pair.0, &want.pair.1))).unwrap()
}

fn our_variance(report: &FitReport, name: &str) -> f64 {
    let v = &report.variance;
    let value = match name {
        "variety" => v.variety.or(v.water.map(|w| w.intercept)),
        "slope" => v.water.map(|w| w.slope),
        "covariance" => v.water.map(|w| w.covariance),
        "site" => v.site,
        "season" => v.season,
        "residual" => v.residual.get("all").copied(),
        other => panic!("no variance is called {other}"),
    };
    value.unwrap_or_else(|| panic!("the fit has no {name}"))
}

/// Compares a fit of ours with a reference.
fn compare(ours: &FitReport, want: &Fit) -> Result<(), String> {
    let residual = want.variance["residual"];
    agree("criterion", ours.reml, want.reml, 1e-6, want.reml)?;
    for (name, value) in &want.variance {
        // A variance of 0 is compared on the scale of the residual.
        let scale = if value.abs() > 1e-6 * residual { *value } else { residual };
        agree(name, our_variance(ours, name), *value, 1e-4, scale)?;
    }
    for effect in &ours.effects {
        let (blup, se) = want.effects[&effect.variety];
        // The reference variances themselves are good to about 1e-6, which moves predictions as much.
        agree(&effect.variety, effect.effect, blup, 1e-5, residual.sqrt())?;
        agree(&format!("standard error of {}", effect.variety), effect.se, se, 1e-4, se)?;
    }
    let difference = ours.difference.unwrap();
    agree("difference", difference.value, want.difference.0, 1e-5, residual.sqrt())?;
    agree("its standard error", difference.se, want.difference.1, 1e-4, want.difference.1)
}

#[test]
fn fits_agree_with_r_run_live() {
    let fits = &reference().1.fits;
    assert_eq!(fits.len(), 5, "weighted and not, a slope, a variance of 0, known errors");
    for want in fits {
        compare(&our_fit(want), want).unwrap_or_else(|error| panic!("{}: {error}", want.name));
    }
}

#[test]
fn the_comparison_fails_when_a_number_is_wrong() {
    let want = reference().1.fits[0].clone();
    let ours = our_fit(&want);
    compare(&ours, &want).unwrap();
    let wrong = |change: &dyn Fn(&mut Fit)| {
        let mut other = want.clone();
        change(&mut other);
        assert!(compare(&ours, &other).is_err());
    };
    wrong(&|f| f.reml *= 1.0 + 3e-6);
    wrong(&|f| *f.variance.get_mut("site").unwrap() *= 1.0003);
    wrong(&|f| f.effects.values_mut().next().unwrap().0 += 1e-3);
    wrong(&|f| f.effects.values_mut().next().unwrap().1 *= 1.001);
    wrong(&|f| f.difference.1 *= 1.001);
}

/// Source: `lme4` 1.1-31 (Debian), polished by an independent dense average-information REML; BLUPs and
/// standard errors of barley as stored with them.
#[test]
fn stored_values_of_lme4_are_met() {
    let three = "variety + variety:site + variety:season";
    let stored = [
        ("barley", [6.790150262, 6.081169221, 1.445983453, 14.63238151], 674.0318106921),
        ("barley-weighted", [6.758820896, 6.101035177, 1.864993658, 26.07540343], 675.4967355789),
        ("immer", [92.15351667, 46.74115, 0.0, 128.1685833], 408.7979301486),
    ];
    for (folder, variances, reml) in stored {
        let report = fit(&reference().0[folder], Some(Terms::parse(three).unwrap()), None).unwrap();
        agree(folder, report.reml, reml, 1e-6, reml).unwrap();
        for (name, value) in ["variety", "site", "season", "residual"].into_iter().zip(variances) {
            let scale = if value > 0.0 { value } else { variances[3] };
            agree(&format!("{folder}, {name}"), our_variance(&report, name), value, 1e-4, scale).unwrap();
        }
        if folder == "barley" {
            let effect = |variety: &str| {
                report.effects.iter().find(|e| e.variety == variety).map(|e| (e.effect, e.se)).unwrap()
            };
            for (variety, blup) in
                [("Trebi", 3.469219138), ("Wisconsin No. 38", 3.465354145), ("Svansota", -2.816639594)]
            {
                agree(variety, effect(variety).0, blup, 1e-5, 14.63f64.sqrt()).unwrap();
            }
            agree("se", effect("Trebi").1, 1.59137284, 1e-5, 1.59).unwrap();
        }
    }
}

/// Source: dense base R, live, and the values stored from `lme4`'s deviance function.
#[test]
fn criteria_at_fixed_variances_agree() {
    let stored = [676.22881196507, 684.66217795449, 698.82297019008];
    let terms = Terms::parse("variety + variety:site + variety:season").unwrap();
    let prepared = Prepared::new(&reference().0["barley"], Some(terms), Purpose::Report).unwrap();
    for ((at, live), stored) in reference().1.fixed.iter().zip(stored) {
        let variances = Variances {
            variety: at[0],
            site: at[1],
            season: at[2],
            residual: vec![at[3]],
            ..Variances::default()
        };
        let ours = solve(&prepared.design, &variances, Likelihood::Restricted).unwrap().criterion;
        agree("live", ours, *live, 1e-9, *live).unwrap();
        agree("stored", ours, stored, 1e-9, stored).unwrap();
    }
}
