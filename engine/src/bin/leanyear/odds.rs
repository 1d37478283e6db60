//! `leanyear odds DIR`: the decision table of a link's settings.

use crate::output::{Outcome, network, pretty};
use leanyear_engine::decide::needs::NeedReason;
use leanyear_engine::decide::{Advisor, BreakEven, Missing, OddsTable, VarietyOdds};
use leanyear_engine::link::{Codes, LinkDefaults, decode, held_to_record};
use leanyear_engine::pack::{Pack, YieldUnit};
use std::fmt::Write;
use std::path::PathBuf;

/// The odds of every variety for a field and a season assumed.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The folder.
    dir: PathBuf,
    /// Settings as a link has them after `#`.
    #[arg(long, value_name = "LINK")]
    settings: Option<String>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// Answers and reports; what a link held that could not be used goes to standard error.
pub fn run(arguments: &Arguments) -> Outcome {
    let pack = Pack::new(network(&arguments.dir)?)?;
    let defaults = LinkDefaults::of(&pack.network, &pack.fingerprint);
    let codes = Codes::of(&pack.network);
    let decoded = decode(arguments.settings.as_deref().unwrap_or(""), &defaults, &codes);
    let (settings, unknown) = held_to_record(decoded.settings, &pack.network);
    for notice in decoded.notices.iter().chain(&unknown) {
        eprintln!("note: {notice}");
    }
    let advisor = Advisor::new(pack)?;
    let draws = advisor.draws(&settings)?;
    let table = advisor.table(&draws, &settings)?;
    if arguments.json { pretty(&table) } else { words(&table, &advisor) }
}

fn words(table: &OddsTable, advisor: &Advisor) -> Outcome {
    let mut text = String::new();
    let unit = yield_unit_word(table);
    let network = &advisor.pack().network;
    writeln!(
        text,
        "{}{}: {} trials, seasons {} to {}",
        network.info.name,
        if network.info.invented { " (invented data)" } else { "" },
        table.field.trials,
        table.field.seasons.0,
        table.field.seasons.1
    )?;
    writeln!(
        text,
        "usual yield {:.1} {unit}{}{}",
        table.field.usual,
        if table.field.usual_given { "" } else { " (from the trials)" },
        match (table.outlook.seasons_like_this, table.outlook.seasons_in_record) {
            // Without water there is no record to be like.
            (_, 0) => String::new(),
            (like, all) => format!("; {like} of {all} seasons of the record are like the outlook"),
        }
    )?;
    let own = table.varieties.iter().filter_map(|row| row.break_even);
    let (low, high) =
        own.fold((f64::INFINITY, 0.0), |(low, high): (f64, f64), at| (low.min(at), high.max(at)));
    match table.break_even {
        BreakEven::Target(at) => writeln!(text, "no price or cost given: short means below {at:.1} {unit}")?,
        _ if low < high => writeln!(text, "break-even {low:.1} to {high:.1} {unit}, by variety")?,
        BreakEven::Yield(at) => {
            writeln!(text, "break-even {:.1} {unit}", if low == high { low } else { at })?
        }
        BreakEven::CostsMoreToHaul => writeln!(text, "the grain brings no more than its hauling costs")?,
        BreakEven::NoSingleCrossing => writeln!(text, "what is left does not cross zero just once")?,
    }
    for missing in &table.missing {
        writeln!(text, "note: {}", missing_words(*missing))?;
    }
    writeln!(text, "variety          mean  80 % range      short  left after  beats check  seasons/trials")?;
    for row in &table.varieties {
        let optional =
            |value: Option<f64>, digits: usize| value.map_or("-".to_owned(), |v| format!("{v:.digits$}"));
        writeln!(
            text,
            "{:<14} {:>6.1} {:>6.1}–{:<6.1} {:>3} of 20 {:>9} {:>12} {:>6}/{}{}{}",
            network.variety_name(&row.variety),
            row.expected,
            row.low80,
            row.high80,
            row.marks_short,
            optional(row.net, 0),
            optional(row.beats_check, 2),
            row.standing.seasons,
            row.standing.trials,
            if row.group { "  too close to call" } else { "" },
            lacking(row)
        )?;
    }
    Ok(text)
}

/// What a variety lacks of what is needed.
fn lacking(row: &VarietyOdds) -> String {
    let lacking = row.fails.iter().map(|failure| match failure.reason {
        NeedReason::Unknown => format!("{} not rated", failure.trait_),
        NeedReason::Worse(value) => format!("{} {value}", failure.trait_),
    });
    let lacking: Vec<String> = lacking.collect();
    if lacking.is_empty() { String::new() } else { format!("  lacks: {}", lacking.join(", ")) }
}

fn yield_unit_word(table: &OddsTable) -> &'static str {
    match table.settings.unit {
        YieldUnit::BushelPerAcre => "bu/ac",
        YieldUnit::TonnePerHectare => "t/ha",
        YieldUnit::KilogramPerHectare => "kg/ha",
        YieldUnit::PoundPerAcre => "lb/ac",
    }
}

fn missing_words(missing: Missing) -> &'static str {
    match missing {
        Missing::LongClimate => "no water.csv for this site: the climate is that of the trial seasons",
        Missing::Water => "no water is known: every season is taken as it comes",
        Missing::Ratings => "no ratings.csv: needs and resistances cannot be asked for",
        Missing::Pressure => "no pressure.csv: what diseases did to these trials is unknown",
        Missing::DiseaseLosses => "what diseases take is not known here: they are as the trials had them",
        Missing::ErrorVariances => {
            "no error of the means is stated: a fixed share of the residual is taken as plot error"
        }
        Missing::DroughtLosses => {
            "no crop lost to drought is on record: the chance of no harvest is an assumption"
        }
        Missing::Money => "no price or cost: yields only",
        Missing::SiteNames => "no sites.csv: sites go by their codes",
        Missing::VarietyNames => "no varieties.csv: varieties go by their codes",
        Missing::WaterSpread => {
            "the trials' water is too much alike or too little known in this system: the year that is assumed changes no \
             number"
        }
        Missing::WaterSlope => "varieties are taken to respond to water alike in this system",
        Missing::AssumedSite => "variety × site is not estimable here; its usual variance is assumed",
        Missing::AssumedSeason => "variety × season is not estimable here; its usual variance is assumed",
        Missing::AssumedSystem => "variety × system is not estimable here; its usual variance is assumed",
    }
}
