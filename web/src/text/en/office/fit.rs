//! English: what a fit found.

use super::super::list;
use crate::text::figure::Units;
use crate::text::office::Names;
use crate::text::region::Region;
use crate::text::shared::{capitalised, count};
use crate::text::{SettingWords, en::English};
use leanyear_engine::forecast::form::FittedForm;
use leanyear_engine::mixed::network::{Dropped, SLOPE_OF, Why};
use leanyear_engine::office::influence::Influence;
use leanyear_engine::office::outlying::OutlyingMean;
use leanyear_engine::office::residuals::Spread;
use leanyear_engine::office::shares::{Part, Shares, Source};

fn on_ground(words: &English, system: &str, several: bool) -> String {
    if several { format!("On {} ground, ", words.system(system)) } else { String::new() }
}

fn percent(share: f64) -> String {
    match (100.0 * share).round() {
        p if p < 1.0 => "less than 1 %".into(),
        p => format!("{p} %"),
    }
}

fn source(source: Source, error_known: bool) -> &'static str {
    match source {
        Source::Variety => "the variety itself",
        Source::Water => "its own response to water",
        Source::Site => "how it suits the site",
        Source::Season => "how it suits the season",
        Source::System => "how it suits the system",
        Source::Trial if error_known => "how it suits the one trial",
        Source::Trial => "the one trial and plot error together",
        Source::PlotError => "plot error",
    }
}

/// The engine's reasons are English already.
pub(super) fn failed(why: &str) -> String {
    let reason = if why.is_empty() { String::new() } else { format!(": {why}") };
    format!("These trials could not be fitted{reason}.")
}

fn assumed(part: &Part) -> &'static str {
    if part.assumed { " (assumed)" } else { "" }
}

pub(super) fn part(part: &Part, error_known: bool) -> String {
    format!("{}: {}{}", source(part.source, error_known), percent(part.share), assumed(part))
}

pub(super) fn shares(words: &English, shares: &Shares, several: bool, units: &Units) -> String {
    let mut parts: Vec<&Part> = shares.parts.iter().collect();
    leanyear_engine::order::sort_by(&mut parts, |a, b| b.share.total_cmp(&a.share));
    let said: Vec<String> = parts
        .iter()
        .map(|part| {
            format!("{} {}{}", source(part.source, shares.error_known), percent(part.share), assumed(part))
        })
        .collect();
    let own = shares.parts.iter().find(|part| part.source == Source::Variety);
    let sd = own.map_or(String::new(), |part| {
        format!(
            " Between varieties themselves the standard deviation is {}.",
            units.yield_difference(part.sd)
        )
    });
    let lead = on_ground(words, &shares.system, several);
    capitalised(&format!("{lead}of what makes two means of one trial differ, {} come in.{sd}", list(&said)))
}

pub(super) fn outlying(mean: &OutlyingMean, names: &Names, units: &Units) -> String {
    let side = if mean.standardised < 0.0 { "below" } else { "above" };
    let chance = match mean.p_value {
        p if p < 0.001 => "fewer than 1 in 1,000".into(),
        p => format!("{:.0} in 1,000", 1000.0 * p),
    };
    format!(
        "{} in trial {} made {}; its {} and the {} beside it lead to expect {}. That is {} standard deviations {side}; chance makes one so far in {chance} such networks. Check it: a slip, a drowned or grazed plot, a wrong code. Nothing was removed.",
        names.variety(&mean.variety),
        mean.trial,
        units.yield_difference(mean.yield_),
        count(mean.other_trials as u32, "other trial", "other trials"),
        count(mean.other_varieties as u32, "variety", "varieties"),
        units.yield_difference(mean.foretold),
        units.fixed(mean.standardised.abs(), 1),
    )
}

const OWN_RESPONSE: &str = "the varieties\u{2019} own response to water";

fn term(term: &str) -> &str {
    match term {
        "water" | "variety*water" => OWN_RESPONSE,
        "variety:site" => "How varieties suit a site",
        "variety:season" => "How varieties suit a season",
        "variety:system" => "How varieties suit a system",
        "variety" => "The variety itself",
        "entry" => "The trend over years of entry",
        other => other,
    }
}

fn why(why: Why) -> &'static str {
    match why {
        Why::OneLevel => "there is only one",
        Why::NeverRepeated => "no variety has two trials in one, so it cannot be told from the rest",
        Why::OneLevelEach => {
            "every variety was in one of them alone, so it cannot be told from the variety itself"
        }
        Why::SameGrouping => "it groups the trials as another term does",
        Why::TooLittleWater => {
            "fewer than five trials have known water, or it spreads by less than a tenth of its mean. A dry year lowers all alike there"
        }
        Why::NoDisease => "no disease or pest has a severe loss, a scale and rated varieties",
        Why::TooLittlePressure => "it was seen at fewer than two pressures, or in fewer than four trials",
        Why::Collinear => "the trials already tell it",
        Why::NothingLeft => "the other terms leave nothing for it",
    }
}

pub(super) fn left_out(
    words: &English,
    dropped: &[Dropped],
    form: &FittedForm,
    names: &Names,
) -> Vec<String> {
    let line = |drop: &Dropped| match drop.term.starts_with("variety:") {
        // A prior keeps these in the forecast.
        true => format!(
            "{} cannot be estimated here: {}. The size usual in trials is assumed.",
            term(&drop.term),
            why(drop.why)
        ),
        false => match drop.term.strip_prefix(SLOPE_OF) {
            Some(system) => {
                format!("On {} ground {} is left out: {}.", words.system(system), OWN_RESPONSE, why(drop.why))
            }
            None => format!("{} is left out: {}.", capitalised(term(&drop.term)), why(drop.why)),
        },
    };
    let mut lines: Vec<String> = dropped.iter().map(line).collect();
    lines.push(match form.kappa {
        0.0 => "Differences between varieties are taken as equally wide in poor and in good trials, as the data prefer.".into(),
        k if k < 1.0 => "Differences between varieties are taken as wider in better trials, by the square root of the level, as the data prefer.".into(),
        _ => "Differences between varieties are taken as wider in better trials, in proportion to the level, as the data prefer.".into(),
    });
    for loss in &form.losses {
        let name = names.trait_(&loss.trait_);
        let (published, estimate) = (100.0 * loss.published.0, 100.0 * loss.estimate);
        lines.push(match loss.learnt {
            true => format!("What a severe attack of {name} takes: {published:.0} % as published, {estimate:.0} % after your trials."),
            false => format!("What a severe attack of {name} takes is assumed as published, {published:.0} %: your trials saw too little of it to tell."),
        });
    }
    lines
}

pub(super) fn spread(region: &Region, name: &str, spread: &Spread) -> String {
    format!(
        "{name}: {} over {}, the farthest {} {}",
        region.fixed(spread.mean_square, 1),
        count(spread.n as u32, "mean", "means"),
        region.fixed(spread.largest.abs(), 1),
        if spread.largest < 0.0 { "below" } else { "above" }
    )
}

pub(super) fn influence(
    words: &English,
    influence: &Influence,
    several: bool,
    names: &Names,
    units: &Units,
) -> String {
    let head = list(&names.varieties(&influence.head));
    let gone: Vec<String> =
        influence.head.iter().filter(|code| !influence.head_without.contains(code)).cloned().collect();
    let come: Vec<String> =
        influence.head_without.iter().filter(|code| !influence.head.contains(code)).cloned().collect();
    let change = match gone.is_empty() {
        true => "the same five stay".to_owned(),
        false => {
            format!("{} would give way to {}", list(&names.varieties(&gone)), list(&names.varieties(&come)))
        }
    };
    capitalised(&format!(
        "{}the five highest adjusted means are those of {head}. They hang most on trial {}: without it {change}, and one of the five would move by {}.",
        on_ground(words, &influence.system, several),
        influence.trial,
        units.yield_difference(influence.largest_move)
    ))
}
