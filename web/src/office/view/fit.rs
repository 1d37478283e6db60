//! The fit: asked for, followed, stopped, and what it found.

use super::{Bench, gave_nothing};
use crate::draw::at;
use crate::office::job::{FitAnswer, Step};
use crate::office::state::Stage;
use crate::office::update::Msg;
use crate::text::figure::Units;
use crate::text::office::{Desk, Term};
use leanyear_engine::forecast::backtest::track_record;
use leanyear_engine::office::residuals::Spread;
use leanyear_engine::office::shares::{Part, Shares};
use yew::prelude::*;

/// Most moves that are listed.
const MOVES: usize = 12;
/// Width of the picture of shares, user units.
const WIDTH: f64 = 600.0;

/// The fifth step.
pub(super) fn fit(bench: &Bench) -> Html {
    let office = bench.office;
    let ask = |label: Desk| html! { <p class="ways-on">{ bench.button(label, bench.tap(Msg::Run(Step::Fit))) }</p> };
    let head = match &office.fit {
        Stage::Idle => ask(Desk::FitButton),
        Stage::Running(percent) => bench.running(Desk::Fitting, *percent),
        Stage::Failed(why) => {
            html! { <><p role="alert">{ bench.words.fit_failed(why) }</p>{ ask(Desk::FitAgain) }</> }
        }
        Stage::Cancelled => {
            html! { <><p role="status">{ bench.say(Desk::Stopped) }</p>{ ask(Desk::FitAgain) }</> }
        }
        // While files are read that will be fitted at once, what stands stays: nothing moves under her hand.
        Stage::Done(_) if office.stale() && !office.read.is_running() => {
            html! { <><p role="status">{ bench.say(Desk::Stale) }</p>{ ask(Desk::FitAgain) }</> }
        }
        Stage::Done(fit) => {
            let (varieties, trials, means) = fit.sizes;
            html! { <p role="status">{ bench.words.fitted(varieties, trials, means) }</p> }
        }
    };
    let shown = office.fit.done().or(office.before.as_deref());
    html! {
        <>
            <p>{ bench.words.term(Term::Fit) }</p>
            <p class="hint">{ bench.say(Desk::FitIntro) }</p>
            { head }
            { for shown.zip(bench.units()).map(|(fit, units)| found(bench, fit, &units)) }
        </>
    }
}

fn found(bench: &Bench, fit: &FitAnswer, units: &Units) -> Html {
    let names = bench.names();
    let several = fit.shares.len() > 1;
    let outlying = fit.outlying.iter().map(|mean| bench.words.outlying(mean, &names, units));
    let left_out = bench.words.fit_left_out(&fit.dropped, &fit.form, &names);
    html! {
        <>
            { for bench.office.turned.is_none().then(|| moved(bench, fit)) }
            <h3>{ bench.say(Desk::SharesHeading) }</h3>
            { bench.term(Term::Variance) }
            { for fit.shares.iter().map(|shares| picture(bench, shares, several, units)) }
            <h3>{ bench.say(Desk::OutlyingHeading) }</h3>
            { bench.term(Term::Outlying) }
            { if fit.outlying.is_empty() { html! { <p>{ bench.say(Desk::NoOutlying) }</p> } } else { list(outlying) } }
            <h3>{ bench.say(Desk::InfluenceHeading) }</h3>
            { bench.term(Term::Influence) }
            { influence(bench, units) }
            <h3>{ bench.say(Desk::LeftOutHeading) }</h3>
            { list(left_out.into_iter()) }
            <details>
                <summary>{ bench.say(Desk::ResidualsHeading) }</summary>
                { bench.term(Term::Residual) }
                { spreads(bench, Desk::ResidualTrials, &fit.residuals.trials, |code| code.to_owned()) }
                { spreads(bench, Desk::ResidualVarieties, &fit.residuals.varieties, |code| names.variety(code)) }
            </details>
            { track(bench) }
        </>
    }
}

fn list(lines: impl Iterator<Item = String>) -> Html {
    html! { <ul class="plain">{ for lines.map(|line| html! { <li>{ line }</li> }) }</ul> }
}

/// A bar whose parts are the shares, with the same in words under it.
fn picture(bench: &Bench, shares: &Shares, several: bool, units: &Units) -> Html {
    let sentence = bench.words.shares(shares, several, units);
    let mut left = 0.0;
    // A shade means the same source in every system's bar.
    let shade = |part: &Part| format!("variance variance-{}", part.source as usize);
    let parts = shares.parts.iter().map(|part| {
        let (x, width) = (left, part.share * WIDTH);
        left += width;
        html! { <rect class={shade(part)} x={at(x)} y="0" width={at(width)} height="28" /> }
    });
    let parts: Vec<Html> = parts.collect();
    let key = shares.parts.iter().filter(|part| part.share >= 0.005);
    html! {
        <figure class="shares">
            <svg role="img" viewBox={format!("0 0 {WIDTH} 28")} preserveAspectRatio="none">
                <title>{ bench.say(Desk::SharesPicture) }</title>
                <desc>{ sentence.clone() }</desc>
                { for parts }
            </svg>
            <ul class="share-key">
                { for key.map(|part| html! {
                    <li>
                        <svg class="sized sign" width="12" height="12" viewBox="0 0 12 12" aria-hidden="true"><rect class={shade(part)} width="12" height="12" /></svg>
                        { bench.words.share_part(part, shares.error_known) }
                    </li>
                }) }
            </ul>
            <figcaption>{ sentence }</figcaption>
        </figure>
    }
}

fn spreads(bench: &Bench, heading: Desk, spreads: &[Spread], name: impl Fn(&str) -> String) -> Html {
    html! {
        <>
            <h4>{ bench.say(heading) }</h4>
            { list(spreads.iter().map(|spread| bench.words.spread(&name(&spread.code), spread))) }
        </>
    }
}

fn influence(bench: &Bench, units: &Units) -> Html {
    let several = bench.several();
    match &bench.office.influence {
        Stage::Running(percent) => bench.running(Desk::InfluenceRunning, *percent),
        Stage::Done(found) if found.is_empty() => html! { <p>{ bench.say(Desk::InfluenceTooLarge) }</p> },
        Stage::Done(found) => list(
            found.iter().map(|influence| bench.words.influence(influence, several, &bench.names(), units)),
        ),
        Stage::Idle | Stage::Failed(_) | Stage::Cancelled => {
            html! { <p class="ways-on">{ bench.button(Desk::InfluenceHeading, bench.tap(Msg::Run(Step::Influence))) }</p> }
        }
    }
}

/// What moved since the fit before, under a heading of its own.
fn moved(bench: &Bench, fit: &FitAnswer) -> Html {
    let Some(lines) = moves(bench, fit) else { return html! {} };
    html! {
        <div class="moved" role="status">
            <h3>{ bench.say(Desk::MovedHeading) }</h3>
            { if lines.is_empty() { html! { <p>{ bench.say(Desk::NothingMoved) }</p> } } else { list(lines.into_iter()) } }
        </div>
    }
}

/// What a trial that was kept out or taken in just now has moved, or how far finding it out is.
pub(super) fn told(bench: &Bench) -> Html {
    let office = bench.office;
    let lines = office.fresh_fit().map(|fit| moves(bench, fit).unwrap_or_default());
    let words = match (&office.fit, lines) {
        (_, Some(lines)) if lines.is_empty() => bench.say(Desk::NothingMoved).to_owned(),
        (_, Some(lines)) => format!("{}: {}.", bench.say(Desk::MovedHeading), lines.join("; ")),
        (Stage::Idle, None) => bench.say(Desk::MovedLater).to_owned(),
        (Stage::Failed(why), None) => bench.words.fit_failed(why),
        (_, None) if office.job.is_some() => bench.say(Desk::Fitting).to_owned(),
        (_, None) => bench.say(Desk::Stale).to_owned(),
    };
    html! { <p role="status">{ words }</p> }
}

/// Varieties whose place changed since the fit before, in each system; nothing without such a fit.
fn moves(bench: &Bench, fit: &FitAnswer) -> Option<Vec<String>> {
    let before = bench.office.before.as_deref().filter(|before| before.fitted != fit.fitted)?;
    let names = bench.names();
    let mut lines = Vec::new();
    for (system, now) in &fit.lists {
        let Some(then) = before.lists.get(system) else { continue };
        let mut moves: Vec<(usize, usize, &str)> = now
            .lines
            .iter()
            .filter_map(|line| {
                let old = then.lines.iter().find(|old| old.variety == line.variety)?;
                (old.rank != line.rank).then_some((old.rank, line.rank, line.variety.as_str()))
            })
            .collect();
        leanyear_engine::order::sort_by_key(&mut moves, |(old, new, _)| {
            (std::cmp::Reverse(old.abs_diff(*new)), *new)
        });
        let place =
            if fit.lists.len() > 1 { format!("{}, ", bench.words.system(system)) } else { String::new() };
        lines.extend(
            moves.into_iter().take(MOVES).map(|(old, new, code)| {
                format!("{place}{}", bench.words.moved(&names.variety(code), old, new))
            }),
        );
    }
    Some(lines)
}

fn track(bench: &Bench) -> Html {
    let office = bench.office;
    let body = match &office.track {
        Stage::Running(percent) => bench.running(Desk::TrackRunning, *percent),
        Stage::Done(ranges) => {
            let mut lines = Vec::new();
            for system in bench.network().map(|network| network.systems()).unwrap_or_default() {
                let record = track_record(ranges, system);
                let place =
                    if bench.several() { format!("{}: ", bench.words.system(system)) } else { String::new() };
                lines.extend(bench.words.track(&record).into_iter().map(|line| format!("{place}{line}")));
                let season = |season| format!("{place}{}", bench.words.track_season(season));
                lines.extend(record.seasons.iter().map(|one| format!("{} {}", one.season, season(one))));
            }
            list(lines.into_iter())
        }
        stage => html! {
            <>
                { for gave_nothing(stage).then(|| html! { <p role="status">{ bench.say(Desk::TrackFailed) }</p> }) }
                <p class="ways-on">{ bench.button(Desk::TrackButton, bench.tap(Msg::Run(Step::Track))) }</p>
            </>
        },
    };
    html! { <><h3>{ bench.say(Desk::TrackHeading) }</h3>{ body }</> }
}
