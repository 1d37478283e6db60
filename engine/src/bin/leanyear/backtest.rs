//! `leanyear backtest DIR`: past seasons predicted without themselves, and how well.

use crate::output::{Outcome, network, pretty};
use leanyear_engine::forecast::backtest::{Backtest, By, backtest};
use leanyear_engine::forecast::form::Ingredients;
use std::fmt::Write;
use std::path::PathBuf;

/// Leave seasons (or trials) out, refit, predict, score.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The folder.
    dir: PathBuf,
    /// What is left out at a time.
    #[arg(long, value_enum, default_value = "season")]
    by: Left,
    /// Learn from earlier seasons only; the first two are skipped.
    #[arg(long)]
    forward: bool,
    /// Ingredients of the forecast to leave out, to see what each is worth.
    #[arg(long, value_enum, value_delimiter = ',')]
    without: Vec<Ingredient>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum Left {
    Season,
    Trial,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Ingredient {
    Priors,
    Entry,
    Kappa,
    Losses,
    Tails,
    Doubt,
    Systems,
}

/// Runs and reports.
pub fn run(arguments: &Arguments) -> Outcome {
    let network = network(&arguments.dir)?;
    let by = match arguments.by {
        Left::Season => By::Season,
        Left::Trial => By::Trial,
    };
    let without = |ingredient| arguments.without.contains(&ingredient);
    let ingredients = Ingredients {
        priors: !without(Ingredient::Priors),
        entry: !without(Ingredient::Entry),
        kappa: !without(Ingredient::Kappa),
        losses: !without(Ingredient::Losses),
        tails: !without(Ingredient::Tails),
        doubt: !without(Ingredient::Doubt),
        systems: !without(Ingredient::Systems),
    };
    let result = backtest(&network, by, arguments.forward, ingredients, &mut |_, _| true)?;
    if arguments.json { pretty(&result) } else { words(&result, &network.info.name) }
}

fn words(b: &Backtest, name: &str) -> Outcome {
    let mut text = String::new();
    writeln!(text, "{name}: {} means predicted without their own fold", b.n)?;
    writeln!(text, "                     RMSE    CRPS   80 % range   95 % range   pairs' Brier")?;
    for (label, s) in [("given its water", &b.given_water), ("as it came", &b.as_it_came)] {
        let percent = |value: f64, error: Option<f64>| match error {
            Some(error) => format!("{:.1} ± {:.1} %", 100.0 * value, 100.0 * error),
            None => format!("{:.1} %", 100.0 * value),
        };
        writeln!(
            text,
            "{label:<18} {:>7.3} {:>7.3} {:>12} {:>12} {:>10.4}",
            s.rmse,
            s.crps,
            percent(s.cover80, s.cover80_se),
            percent(s.cover95, s.cover95_se),
            s.brier_pairs
        )?;
    }
    writeln!(
        text,
        "raw means          {:>7.3} {:>7.3} {:>37.4}",
        b.rmse_raw_mean, b.crps_raw_mean, b.brier_pairs_raw_mean
    )?;
    let l = &b.level;
    writeln!(
        text,
        "whole yields       {:>7.3} {:>7.3} {:>10.1} % {:>10.1} %",
        l.rmse,
        l.crps,
        100.0 * l.cover80,
        100.0 * l.cover95
    )?;
    for f in &b.by {
        writeln!(
            text,
            "  {:<16} {:>5} means, RMSE {:.3} (raw {:.3}), 80 % range held {:.0} %",
            f.fold,
            f.n,
            f.rmse,
            f.rmse_raw_mean,
            100.0 * f.cover80
        )?;
    }
    for s in &b.skipped {
        writeln!(text, "  {:<16} not predicted: {}", s.fold, s.why)?;
    }
    Ok(text)
}
