//! `leanyear fit DIR`: variances, effects and their errors by pure restricted maximum likelihood.

use crate::output::{Outcome, network, pretty};
use leanyear_engine::mixed::report::{FitReport, fit};
use leanyear_engine::mixed::terms::Terms;
use std::fmt::Write;
use std::path::PathBuf;
use std::time::Instant;

/// Fit the mixed model of a network by restricted maximum likelihood.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The folder.
    dir: PathBuf,
    /// Terms, for example "variety*water + variety:site + variety:season"; without it every term that the
    /// data can estimate.
    #[arg(long)]
    terms: Option<String>,
    /// Two varieties, A,B: also give the difference A − B with its standard error.
    #[arg(long, value_name = "A,B")]
    diff: Option<String>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// Fits and reports.
pub fn run(arguments: &Arguments) -> Outcome {
    let network = network(&arguments.dir)?;
    let terms = arguments.terms.as_deref().map(Terms::parse).transpose()?;
    let pair = match arguments.diff.as_deref() {
        Some(text) => {
            let two = text.split_once(',').ok_or("--diff takes two variety codes, A,B")?;
            Some((two.0.trim(), two.1.trim()))
        }
        None => None,
    };
    let start = Instant::now();
    let mut report = fit(&network, terms, pair)?;
    report.seconds = Some(start.elapsed().as_secs_f64());
    if arguments.json { pretty(&report) } else { words(&report, &network.info.name) }
}

fn words(report: &FitReport, name: &str) -> Outcome {
    let mut text = String::new();
    writeln!(text, "{name}: REML criterion {:.4} after {} passes", report.reml, report.iterations)?;
    let v = &report.variance;
    let mut variance = |label: &str, value: Option<f64>| match value {
        Some(value) => writeln!(text, "  variance {label:<16} {value:.6}"),
        None => Ok(()),
    };
    variance("variety", v.variety)?;
    variance("variety (mean water)", v.water.map(|w| w.intercept))?;
    variance("slope on water", v.water.map(|w| w.slope))?;
    variance("their covariance", v.water.map(|w| w.covariance))?;
    variance("variety:site", v.site)?;
    variance("variety:season", v.season)?;
    variance("variety:system", v.system)?;
    for (system, value) in &v.residual {
        variance(&format!("residual {system}"), Some(*value))?;
    }
    for dropped in &report.dropped {
        writeln!(text, "  left out: {} ({})", dropped.term, dropped.why)?;
    }
    for (name, c) in &report.fixed {
        writeln!(text, "  fixed {name:<19} {:.6}, standard error {:.6}", c.value, c.se)?;
    }
    writeln!(text, "variety          effect       se    slope       se")?;
    for e in &report.effects {
        write!(text, "{:<14} {:>8.3} {:>8.3}", e.variety, e.effect, e.se)?;
        if let (Some(slope), Some(se)) = (e.slope, e.slope_se) {
            write!(text, " {slope:>8.3} {se:>8.3}")?;
        }
        writeln!(text)?;
    }
    if let Some(d) = report.difference {
        writeln!(text, "difference {:.4}, standard error of prediction {:.4}", d.value, d.se)?;
    }
    Ok(text)
}
