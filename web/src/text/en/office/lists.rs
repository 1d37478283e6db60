//! English: shortlists, what changed since last year, the printed report.

use super::super::{list, years_of_twenty};
use crate::text::figure::Units;
use crate::text::office::{Names, OfficeWords};
use crate::text::region::Region;
use crate::text::shared::{count, few};
use crate::text::{SettingWords, en::English};
use leanyear_engine::decide::StandingState;
use leanyear_engine::link::{Order, WaterOutlook};
use leanyear_engine::office::compare::{Change, Position};
use leanyear_engine::office::report::Report;
use leanyear_engine::office::shortlist::{Reason, Rules};

fn order(order: Order) -> &'static str {
    match order {
        Order::Net => "what is left after costs (yield, where no price is given)",
        Order::WorstFifth => "the average of the 4 worst years of 20",
        Order::ChanceShort => "how seldom money is lost",
    }
}

pub(super) fn rules(words: &English, rules: &Rules) -> String {
    let since = match rules.since_last {
        0 => "in the latest season".to_owned(),
        1 => "in the latest season or the one before".to_owned(),
        n => format!("within the last {} seasons", n + 1),
    };
    let ceilings = match rules.ceilings.len() {
        0 => String::new(),
        n => format!(", no rating past {}", count(n as u32, "ceiling", "ceilings")),
    };
    let year = match rules.water {
        WaterOutlook::Any => "the year as it comes".to_owned(),
        other => words.water_option(other),
    };
    format!(
        "On the list: at most {} with {} and {} in this system, tested {since}{ceilings}; first by {}, for {year}.",
        count(rules.most as u32, "variety", "varieties"),
        count(rules.seasons, "season", "seasons"),
        count(rules.trials, "trial", "trials"),
        order(rules.order)
    )
}

pub(super) fn reason(region: &Region, reason: &Reason, names: &Names) -> String {
    match reason {
        Reason::Ranked { place } => format!("{} of those tested enough", ordinal(*place)),
        Reason::BelowTheList { place, most } => {
            format!("{} of those tested enough; the list holds {most}", ordinal(*place))
        }
        Reason::TooFewSeasons { has, needs } => {
            format!("{} here, {needs} asked for", count(*has, "season", "seasons"))
        }
        Reason::TooFewTrials { has, needs } => {
            format!("{} here, {needs} asked for", count(*has, "trial", "trials"))
        }
        Reason::NeverHere => "never tested in this system".into(),
        Reason::NotLately { last } => format!("last tested in {last}"),
        Reason::TestedApart => "tested apart: met the others in no trial".into(),
        Reason::RatedTooPoor { trait_, value, poorest } => {
            format!(
                "{} rated {}, {} is the poorest allowed",
                names.trait_(trait_),
                region.plain(*value),
                region.plain(*poorest)
            )
        }
    }
}

fn ordinal(place: usize) -> String {
    let ending = match (place % 10, place % 100) {
        (1, n) if n != 11 => "st",
        (2, n) if n != 12 => "nd",
        (3, n) if n != 13 => "rd",
        _ => "th",
    };
    format!("{place}{ending}")
}

pub(super) fn change(change: &Change, names: &Names, units: &Units) -> Option<String> {
    let name = names.variety(&change.variety);
    let Some(now) = change.now else { return Some(format!("{name}: no longer in the data.")) };
    let Some(then) = change.then else {
        let trials = count(change.new_trials, "trial", "trials");
        return Some(format!("{name}: new in the list, {trials}; {} of all.", ordinal(now.rank)));
    };
    let moved = then.rank != now.rank || then.marks_short != now.marks_short || then.state != now.state;
    moved.then(|| {
        let way = match now.rank.cmp(&then.rank) {
            std::cmp::Ordering::Less => format!("rose from {} to {}", then.rank, now.rank),
            std::cmp::Ordering::Greater => format!("fell from {} to {}", then.rank, now.rank),
            std::cmp::Ordering::Equal => format!("still {}", ordinal(now.rank)),
        };
        format!("{name}: {way}{}{}{}.", because(change), odds(then, now), model(change, then, now, units))
    })
}

fn because(change: &Change) -> String {
    match (change.new_trials, change.new_dry_trials) {
        (0, _) => "; no new trial of its own".into(),
        (n, 0) => format!("; {}, none of them dry", count(n, "new trial", "new trials")),
        (n, dry) => format!("; {}, {dry} of them dry", count(n, "new trial", "new trials")),
    }
}

fn odds(then: Position, now: Position) -> String {
    let state = match (then.state == now.state, now.state) {
        (true, _) => "",
        (_, StandingState::WellTested) => "; now well tested",
        (_, StandingState::New) => "; now counts as new",
        (_, StandingState::NoLongerTested) => "; no longer tested",
    };
    let years = |position: Position| years_of_twenty(u32::from(position.marks_short));
    let short = |position: Position| if position.of_money { "loses money" } else { "falls short" };
    let now_is = format!("{} in {}", short(now), years(now));
    if then.of_money != now.of_money {
        // What it was short of was something else: the two counts are not of one thing.
        return format!("; now {now_is}{state}");
    }
    match then.marks_short == now.marks_short {
        true => format!("; {now_is} as before{state}"),
        false => format!("; now {now_is}, before in {}{state}", years(then)),
    }
}

/// The part that a newer model has, where it is not nothing.
fn model(change: &Change, then: Position, now: Position, units: &Units) -> String {
    let Some(refitted) = change.refitted else { return String::new() };
    let by_model = refitted.rank as i64 - then.rank as i64;
    let all = now.rank as i64 - then.rank as i64;
    let shift = refitted.expected - then.expected;
    match (by_model, all) {
        (0, _) if shift.abs() < 1e-9 => String::new(),
        (0, _) => format!("; of its average {} is the newer model\u{2019}s doing", signed(shift, units)),
        (part, whole) if part == whole => {
            "; all of it the newer model\u{2019}s doing, on last year\u{2019}s data alone".into()
        }
        (part, _) => format!(
            "; the newer model alone, on last year\u{2019}s data, moves it by {} {}",
            part.abs(),
            if part < 0 { "up" } else { "down" }
        ),
    }
}

fn signed(value: f64, units: &Units) -> String {
    let sign = if value < 0.0 { "\u{2212}" } else { "+" };
    format!("{sign}{}", units.yield_difference(value.abs()))
}

pub(super) fn method(words: &English, report: &Report, names: &Names) -> String {
    let error = match report.error_known {
        true => "each trial\u{2019}s own error mean square, drawn towards the average one",
        false => "one residual variance, since the trials state no error of their own",
    };
    let rules = words.rules(&report.rules);
    let (losses, diseased) = match report.losses_known {
        true => (
            "; what diseases take, as published and as the trials teach",
            " and with the diseases that these trials had",
        ),
        false => ("", ""),
    };
    let own = match report.water_known {
        true => "varieties, their response to water and how they suit",
        false => "varieties and how they suit",
    };
    let suit = if report.systems > 1 { "sites, seasons and systems" } else { "sites and seasons" };
    let trend = if report.trend_known { "; a trend over years of release" } else { "" };
    let trial = match (report.systems > 1, report.water_known) {
        (true, true) => "the average trial of this system, at middling water",
        (true, false) => "the average trial of this system",
        (false, true) => "the average trial, at middling water",
        (false, false) => "the average trial",
    };
    let met = match report.all_joined {
        true => "varieties that met in no trial are compared through those that both of them met",
        false => {
            "varieties that met in no trial are compared through those that both of them met, and those marked \u{201c}tested apart\u{201d} are not compared with the rest at all"
        }
    };
    format!(
        "Adjusted means are best linear unbiased predictions (BLUPs) from one mixed model over all trials and seasons: trials fixed; {own} {suit} random{trend}{losses}; variances by restricted maximum likelihood with weak priors after published ratios, and {error}. They stand on the level of {} in {trial}{diseased}, so {met}; a variety with few trials is drawn towards the average. Years short are of 20 as they may come, under the price, cost and usual yield of the network. {rules} Recommendations are the agronomist\u{2019}s own and enter no number.",
        list(&few(&names.varieties(&report.reference), |n| format!("{n} others")))
    )
}
