//! The analysis of one trial's plots against R: `lm` for complete blocks, `lme4`, `nlme` and generalised
//! least squares for incomplete ones.

use crate::scripts::{json as answer, run};
use leanyear_engine::order::Map;
use leanyear_engine::trial::complete_blocks;
use leanyear_engine::trial::{PlotYield, Sed, TrialAnalysis, analyse, outlying_plots};
use leanyear_tests::reference::{Reference, Tolerance, hold};
use serde::Deserialize;
use serde_json::{Value, json};

/// Two ways to the same least squares.
const ROUNDING: f64 = 1e-9;
/// What rests on a root or a tail of a distribution.
const DERIVED: f64 = 1e-8;
/// `lme4` stops where its criterion no longer falls, which leaves a variance to half as many figures.
const BY_LME4: f64 = 1e-6;
/// The optimiser of `nlme` is looser still.
const BY_NLME: f64 = 1e-3;

/// A trial's plots, as the scripts give them.
#[derive(Deserialize)]
struct Plots {
    name: String,
    variety: Vec<String>,
    rep: Vec<String>,
    block: Option<Vec<String>>,
    #[serde(rename = "yield")]
    yields: Vec<f64>,
}

impl Plots {
    fn of(trial: &Value) -> Plots {
        serde_json::from_value(trial.clone()).unwrap()
    }

    fn plots(&self) -> Vec<PlotYield<'_>> {
        let block = |at: usize| self.block.as_ref().map(|blocks| blocks[at].as_str());
        let plot = |at: usize| PlotYield {
            variety: &self.variety[at],
            rep: &self.rep[at],
            block: block(at),
            yield_: self.yields[at],
        };
        (0..self.yields.len()).map(plot).collect()
    }
}

/// Counts are whole numbers.
fn count(r: &mut Reference<'_>, at: &str, ours: usize) {
    r.meet(at, ours as f64, Tolerance::within(0.05));
}

/// Means by variety and standard errors of difference below a pointer.
fn means(r: &mut Reference<'_>, below: &str, ours: &TrialAnalysis, share: f64) {
    let means: Map<String, f64> = ours.means.iter().map(|m| (m.variety.clone(), m.mean)).collect();
    r.meet_all(&format!("{below}/means"), &means, Tolerance::share(share));
    let Sed { least, average, greatest } = ours.sed.unwrap();
    for (name, sed) in [("least", least), ("average", average), ("greatest", greatest)] {
        r.meet(&format!("{below}/sed/{name}"), sed, Tolerance::share(share));
    }
}

/// Everything that both kinds of trial have. `least` is the smallest chance of a plot standing out.
fn both(r: &mut Reference<'_>, ours: &TrialAnalysis, least: f64) {
    r.input::<Vec<f64>>("/yield");
    means(r, "", ours, ROUNDING);
    count(r, "/error_df", ours.error_df);
    for (at, got) in [
        ("/error_ms", ours.error_ms),
        ("/f", ours.f),
        ("/p", ours.f_p_value()),
        ("/cv", ours.cv),
        ("/lsd", ours.lsd(0.05)),
    ] {
        r.meet(at, got.unwrap_or(f64::NAN), Tolerance::share(DERIVED));
    }
    // The only plot of a variety has none, and no number in the reference.
    let studentised =
        |(place, plot): (usize, &leanyear_engine::trial::PlotResidual)| Some((place, plot.studentised?));
    for (place, residual) in ours.residuals.iter().enumerate().filter_map(studentised) {
        r.meet(&format!("/studentised/{place}"), residual, Tolerance::share(DERIVED).at_least(DERIVED));
    }
    r.meet("/outlying", least, Tolerance::share(1e-6));
}

fn complete(r: &mut Reference<'_>, ours: &TrialAnalysis) {
    r.meet("/varieties_ss", ours.sums.varieties, Tolerance::share(ROUNDING));
    r.meet("/reps_ss", ours.sums.reps, Tolerance::share(ROUNDING));
}

fn incomplete(r: &mut Reference<'_>, ours: &TrialAnalysis, by_nlme: bool) {
    let blocks = ours.blocks.as_ref().unwrap();
    let error_ms = ours.error_ms.unwrap();
    count(r, "/blocks_df", blocks.df);
    // A variance of 0 is one to rounding of the others.
    r.meet("/block_variance", blocks.variance, Tolerance::share(DERIVED).at_least(DERIVED * error_ms));
    r.meet("/intra_block_ms", blocks.intra_block_ms, Tolerance::share(DERIVED));
    r.meet("/efficiency", blocks.efficiency.unwrap(), Tolerance::share(DERIVED));
    r.meet("/lme4/error_ms", error_ms, Tolerance::share(BY_LME4));
    r.meet("/lme4/block_variance", blocks.variance, Tolerance::within(BY_LME4 * error_ms));
    means(r, "/lme4", ours, BY_LME4);
    if by_nlme {
        r.meet("/nlme/f", ours.f.unwrap(), Tolerance::share(BY_NLME));
        count(r, "/nlme/df", ours.error_df);
    }
}

/// Analyses and holds each trial of a script.
fn each(script: &str, check: impl Fn(&mut Reference<'_>, &Value, &TrialAnalysis)) -> Vec<Value> {
    let trials: Vec<Value> = answer(run(script).path(), "expected.json");
    for trial in &trials {
        let plots = Plots::of(trial);
        let ours = analyse(&plots.plots()).unwrap();
        let judged = outlying_plots(&plots.plots(), &ours, 1.0);
        let least = judged.iter().map(|plot| plot.p_value).fold(1.0, f64::min);
        hold(trial, |r| {
            both(r, &ours, least);
            check(r, trial, &ours);
        })
        .unwrap_or_else(|error| panic!("{script}, {}: {error}", plots.name));
    }
    trials
}

/// Source: R's `lm`, `anova`, `vcov` and `rstudent`, live, on the trials of `reference/stage_one.R`.
#[test]
fn complete_blocks_agree_with_least_squares_in_r() {
    let trials = each("stage_one.R", |r, _, ours| {
        assert!(ours.blocks.is_none() && !ours.blocks_left_out && ours.effective_error_ms() == ours.error_ms);
        complete(r, ours);
    });
    assert_eq!(trials.len(), 10);
    let mistyped = Plots::of(&trials[9]);
    let plots = mistyped.plots();
    let named = outlying_plots(&plots, &analyse(&plots).unwrap(), 0.05);
    assert_eq!(named.iter().map(|plot| plot.place).collect::<Vec<_>>(), [30]);
}

/// Source: `lme4`, `nlme` and base R, live, on the trials of `reference/incomplete_blocks.R`.
#[test]
fn incomplete_blocks_agree_with_mixed_models_in_r() {
    let trials =
        each("incomplete_blocks.R", |r, trial, ours| incomplete(r, ours, trial.get("nlme").is_some()));
    assert_eq!(trials.len(), 10);
    let at_zero = trials.iter().filter(|trial| trial["block_variance"] == 0.0).count();
    assert_eq!(at_zero, 1, "a variance of 0 is an answer");
    published_alpha_design(&trials[0]);
    published_split_plot(&trials[4]);
}

/// Source: the alpha design of John & Williams 1995, as the manual of the R package agridat analyses it:
/// variance of blocks 0.06194, of a plot 0.08523, and variety effects to six decimals.
fn published_alpha_design(trial: &Value) {
    let ours = analyse(&Plots::of(trial).plots()).unwrap();
    let mean = |code: &str| ours.means.iter().find(|mean| mean.variety == code).unwrap().mean;
    // Printed for the first replicate; differences from the sixth, 4.575394, are free of it.
    let document = json!({
        "plot": 0.08523, "blocks": 0.06194,
        "effects": {"G01": 5.146433, "G02": 4.517265, "G03": 3.537934, "G04": 4.528828, "G05": 5.075944},
    });
    hold(&document, |r| {
        r.meet("/plot", ours.error_ms.unwrap(), Tolerance::printed(5));
        r.meet("/blocks", ours.blocks.as_ref().unwrap().variance, Tolerance::printed(5));
        for code in ["G01", "G02", "G03", "G04", "G05"] {
            // Its optimiser stopped at six figures.
            let effect = mean(code) - mean("G06") + 4.575394;
            r.meet(&format!("/effects/{code}"), effect, Tolerance::within(5e-6));
        }
    })
    .unwrap();
}

/// Source: split plot of Yates 1935, analysed in Venables & Ripley 2002, *Modern Applied Statistics with S*,
/// 10.2: mean squares 601.33 of whole plots and 177.08 within them, four plots each. Two rates of one
/// variety, and two varieties at one rate, differ by standard errors printed by Yates (from memory).
fn published_split_plot(trial: &Value) {
    let ours = analyse(&Plots::of(trial).plots()).unwrap();
    let (blocks, error_ms, sed) = (ours.blocks.unwrap(), ours.error_ms.unwrap(), ours.sed.unwrap());
    assert!(blocks.apart.is_some(), "no whole plot holds two varieties");
    let document = json!({"whole plots": 601.33, "within": 177.08, "two rates": 7.68, "two varieties": 9.72});
    hold(&document, |r| {
        r.meet("/whole plots", 4.0 * blocks.variance + error_ms, Tolerance::printed(2));
        r.meet("/within", error_ms, Tolerance::printed(2));
        r.meet("/two rates", sed.least, Tolerance::printed(2));
        r.meet("/two varieties", sed.greatest, Tolerance::printed(2));
    })
    .unwrap();
}

/// Source: handbook example after Gomez & Gomez 1984, pp. 301–303, recomputed: five treatments in four
/// complete blocks, t/ha. The LSDs are printed from a t of three decimals.
#[test]
fn a_handbook_trial_has_its_printed_analysis() {
    let yields = [
        ("A", [2.1, 2.8, 2.7, 2.9]),
        ("B", [3.2, 3.4, 4.1, 4.2]),
        ("C", [4.9, 4.6, 4.6, 5.0]),
        ("D", [5.3, 5.2, 5.1, 6.1]),
        ("E", [3.4, 4.6, 4.6, 3.8]),
    ];
    let place = |variety, rep, yield_| PlotYield { variety, rep, block: None, yield_ };
    let plots: Vec<PlotYield<'_>> = yields
        .iter()
        .flat_map(|(variety, row)| {
            ["1", "2", "3", "4"].iter().zip(row).map(|(rep, y)| place(variety, rep, *y))
        })
        .collect();
    let ours = complete_blocks::analyse(&plots).unwrap();
    let document = json!({
        "total": 21.062, "treatments": 18.092, "blocks": 1.018, "error": 1.952, "error df": 12,
        "error mean square": 0.16267, "F": 27.805, "mean": 4.13, "CV": 9.766, "LSD 5 %": 0.6214,
        "LSD 1 %": 0.8713,
    });
    hold(&document, |r| {
        count(r, "/error df", ours.error_df);
        for (at, got, tolerance) in [
            ("/total", ours.sums.total, Tolerance::printed(3)),
            ("/treatments", ours.sums.varieties, Tolerance::printed(3)),
            ("/blocks", ours.sums.reps, Tolerance::printed(3)),
            ("/error", ours.sums.error, Tolerance::printed(3)),
            ("/error mean square", ours.error_ms.unwrap(), Tolerance::printed(5)),
            ("/F", ours.f.unwrap(), Tolerance::printed(3)),
            ("/mean", ours.mean, Tolerance::printed(2)),
            ("/CV", ours.cv.unwrap(), Tolerance::printed(3)),
            ("/LSD 5 %", ours.lsd(0.05).unwrap(), Tolerance::within(2e-4)),
            ("/LSD 1 %", ours.lsd(0.01).unwrap(), Tolerance::within(2e-4)),
        ] {
            r.meet(at, got, tolerance);
        }
    })
    .unwrap();
}
