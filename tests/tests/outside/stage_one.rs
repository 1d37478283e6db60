//! The analysis of one trial's plots against R: `lm` for complete blocks, `lme4`, `nlme` and generalised least
//! squares for incomplete ones.

use crate::scripts::{json, run};
use leanyear_engine::trial::{PlotYield, TrialAnalysis, analyse, outlying_plots};
use leanyear_tests::agree;
use serde::Deserialize;
use std::collections::BTreeMap;

/// A trial's plots and what R says of them.
#[derive(Deserialize)]
struct Trial {
    name: String,
    variety: Vec<String>,
    rep: Vec<String>,
    block: Option<Vec<String>>,
    #[serde(rename = "yield")]
    yields: Vec<f64>,
    means: BTreeMap<String, f64>,
    error_ms: f64,
    error_df: usize,
    f: f64,
    p: f64,
    cv: f64,
    sed: Differences,
    lsd: f64,
    /// `None` for the only plot of a variety.
    studentised: Vec<Option<f64>>,
    /// Bonferroni's chance of the most outlying plot, not yet capped at 1.
    outlying: f64,
    #[serde(flatten)]
    complete: Option<Complete>,
    #[serde(flatten)]
    incomplete: Option<Incomplete>,
}

#[derive(Deserialize)]
struct Differences {
    least: f64,
    average: f64,
    greatest: f64,
}

#[derive(Deserialize)]
struct Complete {
    varieties_ss: f64,
    reps_ss: f64,
}

#[derive(Deserialize)]
struct Incomplete {
    block_variance: f64,
    blocks_df: usize,
    intra_block_ms: f64,
    efficiency: f64,
    lme4: ByLme4,
    nlme: Option<ByNlme>,
}

#[derive(Deserialize)]
struct ByLme4 {
    error_ms: f64,
    block_variance: f64,
    means: BTreeMap<String, f64>,
    sed: Differences,
}

#[derive(Deserialize)]
struct ByNlme {
    df: f64,
    f: f64,
}

fn plots(trial: &Trial) -> Vec<PlotYield<'_>> {
    let block = |at: usize| trial.block.as_ref().map(|blocks| blocks[at].as_str());
    let plot = |at: usize| PlotYield {
        variety: &trial.variety[at],
        rep: &trial.rep[at],
        block: block(at),
        yield_: trial.yields[at],
    };
    (0..trial.yields.len()).map(plot).collect()
}

fn agree_on_means(
    ours: &TrialAnalysis,
    means: &BTreeMap<String, f64>,
    sed: &Differences,
    tolerance: f64,
) -> Result<(), String> {
    for mean in &ours.means {
        let want = means[&mean.variety];
        agree(&mean.variety, mean.mean, want, tolerance, want)?;
    }
    let got = ours.sed.ok_or("no SED")?;
    agree("least SED", got.least, sed.least, tolerance, sed.least)?;
    agree("average SED", got.average, sed.average, tolerance, sed.average)?;
    agree("greatest SED", got.greatest, sed.greatest, tolerance, sed.greatest)
}

/// Everything that both kinds of trial have.
fn compare(trial: &Trial) -> Result<TrialAnalysis, String> {
    let plots = plots(trial);
    let ours = analyse(&plots).unwrap();
    if (ours.means.len(), ours.error_df) != (trial.means.len(), trial.error_df) {
        return Err(format!("{} means on {} degrees of freedom", ours.means.len(), ours.error_df));
    }
    agree_on_means(&ours, &trial.means, &trial.sed, 1e-9)?;
    for (what, got, want) in [
        ("error mean square", ours.error_ms, trial.error_ms),
        ("F", ours.f, trial.f),
        ("chance of F", ours.f_p_value(), trial.p),
        ("CV", ours.cv, trial.cv),
        ("LSD", ours.lsd(0.05), trial.lsd),
    ] {
        agree(what, got.ok_or(what)?, want, 1e-8, want)?;
    }
    for (at, (plot, want)) in ours.residuals.iter().zip(&trial.studentised).enumerate() {
        let what = format!("studentised residual of plot {at}");
        match (plot.studentised, want) {
            (Some(got), Some(want)) => agree(&what, got, *want, 1e-8, 1.0 + want.abs())?,
            (got, want) if got != *want => return Err(format!("{what}: {got:?} for {want:?}")),
            _ => {}
        }
    }
    let judged = outlying_plots(&plots, &ours, 1.0);
    let least = judged.iter().map(|plot| plot.p_value).fold(1.0, f64::min);
    agree("chance of the most outlying plot", least, trial.outlying.min(1.0), 1e-6, least)?;
    Ok(ours)
}

fn compare_complete(trial: &Trial) -> Result<(), String> {
    let ours = compare(trial)?;
    let theirs = trial.complete.as_ref().ok_or("no sums of squares")?;
    if ours.blocks.is_some() || ours.blocks_left_out || ours.effective_error_ms() != ours.error_ms {
        return Err("complete blocks have nothing of incomplete ones".to_owned());
    }
    agree("varieties", ours.sums.varieties, theirs.varieties_ss, 1e-9, theirs.varieties_ss)?;
    agree("replicates", ours.sums.reps, theirs.reps_ss, 1e-9, theirs.reps_ss)
}

fn compare_incomplete(trial: &Trial) -> Result<(), String> {
    let ours = compare(trial)?;
    let theirs = trial.incomplete.as_ref().ok_or("no blocks")?;
    let blocks = ours.blocks.as_ref().ok_or("no blocks")?;
    let error_ms = ours.error_ms.ok_or("no error mean square")?;
    if blocks.df != theirs.blocks_df {
        return Err(format!("{} degrees of freedom of blocks", blocks.df));
    }
    for (what, got, want) in [
        ("variance of blocks", blocks.variance, theirs.block_variance),
        ("mean square within blocks", blocks.intra_block_ms, theirs.intra_block_ms),
        ("efficiency", blocks.efficiency.ok_or("no efficiency")?, theirs.efficiency),
    ] {
        agree(what, got, want, 1e-8, want)?;
    }
    // lme4 stops where its criterion no longer falls, which leaves a variance to half as many figures.
    let lme4 = &theirs.lme4;
    agree("plot variance by lme4", error_ms, lme4.error_ms, 1e-6, lme4.error_ms)?;
    agree("variance of blocks by lme4", blocks.variance, lme4.block_variance, 1e-6, lme4.error_ms)?;
    agree_on_means(&ours, &lme4.means, &lme4.sed, 1e-6)?;
    if let Some(nlme) = &theirs.nlme {
        let f = ours.f.ok_or("no F")?;
        // nlme's own optimiser is looser than lme4's.
        agree("F by nlme", f, nlme.f, 1e-3, nlme.f)?;
        agree("degrees of freedom by nlme", ours.error_df as f64, nlme.df, 0.0, 1.0)?;
    }
    Ok(())
}

/// Source: R's `lm`, `anova`, `vcov` and `rstudent`, live, on the trials of `reference/stage_one.R`.
#[test]
fn complete_blocks_agree_with_least_squares_in_r() {
    let answers = run("stage_one.R");
    let mut trials: Vec<Trial> = json(answers.path(), "expected.json");
    assert_eq!(trials.len(), 10);
    for trial in &trials {
        compare_complete(trial).unwrap_or_else(|error| panic!("{}: {error}", trial.name));
    }
    let mistyped = trials.last_mut().unwrap();
    let plots = plots(mistyped);
    let named = outlying_plots(&plots, &analyse(&plots).unwrap(), 0.05);
    assert_eq!(named.iter().map(|plot| plot.place).collect::<Vec<_>>(), [30]);
    mistyped.sed.greatest *= 1.0 + 1e-8;
    assert!(compare_complete(mistyped).is_err(), "a wrong number must be seen");
}

/// Source: `lme4`, `nlme` and base R, live, on the trials of `reference/incomplete_blocks.R`.
#[test]
fn incomplete_blocks_agree_with_mixed_models_in_r() {
    let answers = run("incomplete_blocks.R");
    let mut trials: Vec<Trial> = json(answers.path(), "expected.json");
    assert_eq!(trials.len(), 10);
    for trial in &trials {
        compare_incomplete(trial).unwrap_or_else(|error| panic!("{}: {error}", trial.name));
    }
    let at_zero = |trial: &&Trial| trial.incomplete.as_ref().unwrap().block_variance == 0.0;
    assert_eq!(trials.iter().filter(at_zero).count(), 1, "a variance of 0 is an answer");
    published_alpha_design(&trials[0]);
    published_split_plot(&trials[4]);
    for wrong in every_number_wrong() {
        wrong(&mut trials[1]);
        assert!(compare_incomplete(&trials[1]).is_err(), "a wrong number must be seen");
        trials = json(answers.path(), "expected.json");
    }
}

/// One change for each number that is compared.
fn every_number_wrong() -> [fn(&mut Trial); 13] {
    fn blocks(trial: &mut Trial) -> &mut Incomplete {
        trial.incomplete.as_mut().unwrap()
    }
    [
        |trial| *trial.means.values_mut().next().unwrap() *= 1.0 + 1e-8,
        |trial| trial.error_ms *= 1.0 + 1e-7,
        |trial| trial.sed.average *= 1.0 + 1e-8,
        |trial| trial.f *= 1.0 + 1e-7,
        |trial| trial.p *= 1.0 + 1e-7,
        |trial| trial.studentised[7] = trial.studentised[7].map(|t| t + 1e-6),
        |trial| trial.studentised[8] = None,
        |trial| trial.outlying *= 1.0 + 1e-5,
        |trial| blocks(trial).block_variance *= 1.0 + 1e-7,
        |trial| blocks(trial).efficiency *= 1.0 + 1e-7,
        |trial| blocks(trial).lme4.block_variance *= 1.0 + 1e-5,
        |trial| blocks(trial).lme4.sed.greatest *= 1.0 + 1e-5,
        |trial| blocks(trial).nlme.as_mut().unwrap().df += 1.0,
    ]
}

/// Source: the alpha design of John & Williams 1995, as the manual of the R package agridat analyses it: variance of
/// blocks 0.06194, of a plot 0.08523, and variety effects to six decimals.
fn published_alpha_design(trial: &Trial) {
    let ours = analyse(&plots(trial)).unwrap();
    assert!((ours.error_ms.unwrap() - 0.08523).abs() <= 5.1e-6);
    assert!((ours.blocks.as_ref().unwrap().variance - 0.06194).abs() <= 5.1e-6);
    let mean = |code: &str| ours.means.iter().find(|mean| mean.variety == code).unwrap().mean;
    let printed =
        [("G01", 5.146433), ("G02", 4.517265), ("G03", 3.537934), ("G04", 4.528828), ("G05", 5.075944)];
    for (code, effect) in printed {
        // Printed for the first replicate; differences are free of it. Its optimiser stopped at six figures.
        let difference = mean(code) - mean("G06");
        assert!((difference - (effect - 4.575394)).abs() < 5e-6, "{code}: {difference}");
    }
}

/// Source: split plot of Yates 1935, analysed in Venables & Ripley 2002, *Modern Applied Statistics with S*, 10.2:
/// mean squares 601.33 of whole plots and 177.08 within them, four plots each.
fn published_split_plot(trial: &Trial) {
    let ours = analyse(&plots(trial)).unwrap();
    let blocks = ours.blocks.unwrap();
    assert!((ours.error_ms.unwrap() - 177.08).abs() < 5.1e-3);
    assert!((4.0 * blocks.variance + ours.error_ms.unwrap() - 601.33).abs() < 5.1e-3);
    // Two rates of one variety, and two varieties at one rate, as printed by Yates (from memory): 7.68 and 9.72.
    let sed = ours.sed.unwrap();
    assert!((sed.least - 7.68).abs() < 5.1e-3 && (sed.greatest - 9.72).abs() < 5.1e-3);
    assert!(blocks.apart.is_some(), "no whole plot holds two varieties");
}
