//! The analysis of one trial's plots against R's `lm`.

use crate::scripts::{json, run};
use leanyear_engine::trial::complete_blocks::analyse;
use leanyear_engine::trial::{CompleteBlocks, PlotYield};
use leanyear_tests::agree;
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Trial {
    name: String,
    variety: Vec<String>,
    rep: Vec<String>,
    #[serde(rename = "yield")]
    yields: Vec<f64>,
    means: BTreeMap<String, f64>,
    error_ms: f64,
    error_df: usize,
    f: f64,
    varieties_ss: f64,
    reps_ss: f64,
    cv: f64,
    sed: Differences,
    lsd: f64,
}

#[derive(Deserialize)]
struct Differences {
    least: f64,
    average: f64,
    greatest: f64,
}

fn analysed(trial: &Trial) -> CompleteBlocks {
    let places = trial.variety.iter().zip(&trial.rep).zip(&trial.yields);
    let plots: Vec<PlotYield<'_>> =
        places.map(|((variety, rep), yield_)| PlotYield { variety, rep, yield_: *yield_ }).collect();
    analyse(&plots).unwrap()
}

fn compare(trial: &Trial) -> Result<(), String> {
    let ours = analysed(trial);
    let sed = ours.sed.ok_or("no SED")?;
    if (ours.means.len(), ours.error_df) != (trial.means.len(), trial.error_df) {
        return Err(format!("{} means on {} degrees of freedom", ours.means.len(), ours.error_df));
    }
    for mean in &ours.means {
        let want = trial.means[&mean.variety];
        agree(&mean.variety, mean.mean, want, 1e-10, want)?;
    }
    for (what, got, want) in [
        ("error mean square", ours.error_ms.ok_or("no error mean square")?, trial.error_ms),
        ("F", ours.f.ok_or("no F")?, trial.f),
        ("sum of squares of varieties", ours.sums.varieties, trial.varieties_ss),
        ("sum of squares of replicates", ours.sums.reps, trial.reps_ss),
        ("CV", ours.cv.ok_or("no CV")?, trial.cv),
        ("least SED", sed.least, trial.sed.least),
        ("average SED", sed.average, trial.sed.average),
        ("greatest SED", sed.greatest, trial.sed.greatest),
        ("LSD", ours.lsd(0.05).ok_or("no LSD")?, trial.lsd),
    ] {
        agree(what, got, want, 1e-9, want)?;
    }
    Ok(())
}

/// Source: R's `lm`, `anova` and `vcov`, live, on the trials of `reference/stage_one.R`.
#[test]
fn complete_blocks_agree_with_least_squares_in_r() {
    let answers = run("stage_one.R");
    let mut trials: Vec<Trial> = json(answers.path(), "expected.json");
    assert_eq!(trials.len(), 7);
    for trial in &trials {
        compare(trial).unwrap_or_else(|error| panic!("{}: {error}", trial.name));
    }
    let last = trials.last_mut().unwrap();
    last.sed.greatest *= 1.0 + 1e-8;
    assert!(compare(last).is_err(), "a wrong number must be seen");
}
