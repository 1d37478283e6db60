//! How often this has been right: each past season worked out without it, season by season and system by system,
//! bad ones shown as plainly as good ones, beside the table of plain averages.

use super::{Act, Page, line_button, view_head};
use crate::draw::axis::{WIDTH, WIDTH_WIDE};
use crate::draw::held::{MARKS, held, marks_held};
use crate::draw::marks;
use crate::state::Track;
use crate::text::Label;
use leanyear_engine::decide::units::factor;
use leanyear_engine::forecast::backtest::{SeasonRecord, TrackRecord, TrialRange, track_record};
use yew::prelude::*;

/// The view.
pub fn track(page: &Page) -> Html {
    let body = match &page.state.track {
        Track::Unasked | Track::Running => html! { <p role="status">{ page.label(Label::TrackRunning) }</p> },
        Track::Failed => html! {
            <>
                <p role="status">{ page.label(Label::TrackFailed) }</p>
                <p class="ways-on">
                    { line_button(page.ask(Act::CheckTrackRecord), html! { {page.label(Label::TrackButton)} }) }
                </p>
            </>
        },
        Track::Done(ranges) => done(page, ranges),
    };
    html! {
        <article class="detail track-record">
            { view_head(page, page.label(Label::TrackHeading)) }
            { body }
        </article>
    }
}

/// The system asked for, then the others.
fn done(page: &Page, ranges: &[TrialRange]) -> Html {
    let asked = page.state.settings.system.as_str();
    let others = page.network.systems().into_iter().filter(|system| *system != asked);
    let unit = factor(page.network.info.yield_unit, page.state.settings.unit, page.bushel_lb());
    let records = std::iter::once(asked)
        .chain(others)
        .map(|system| (system, track_record(ranges, system).in_unit(unit)));
    html! {
        <>
            { for records.enumerate().map(|(place, (system, record))| of_system(page, system, &record, place == 0)) }
        </>
    }
}

fn of_system(page: &Page, system: &str, record: &TrackRecord, first: bool) -> Html {
    let mut lines = page.words.track(record);
    if !first && lines.len() > 1 {
        // How it was done is said once.
        lines.remove(0);
    }
    if record.n > 0 {
        lines.push(page.words.track_missed(&record.missed, &page.units()));
    }
    html! {
        <section>
            { for page.several_systems().then(|| html! { <h3>{ super::detail::capital(&page.words.system(system)) }</h3> }) }
            { for lines.into_iter().map(|line| html! { <p class="spaced">{line}</p> }) }
            { for (record.n > 0).then(|| seasons(page, record, first)) }
        </section>
    }
}

fn seasons(page: &Page, record: &TrackRecord, first: bool) -> Html {
    let units = page.units();
    html! {
        <>
            { for first.then(|| key(page)) }
            <ul class="rows">{ for record.seasons.iter().map(|season| row(page, season)) }</ul>
            <details>
                <summary>{ page.label(Label::Numbers) }</summary>
                <table class="figures">
                    <thead><tr>{ for page.words.track_columns(&units).into_iter().map(|words| html! { <th scope="col">{words}</th> }) }</tr></thead>
                    <tbody>
                        { for record.seasons.iter().map(|season| html! {
                            <tr>
                                <th scope="row">{ season.season }</th>
                                <td>{ season.held }</td>
                                <td>{ season.n }</td>
                                <td>{ units.yield_fine(season.missed.forecast) }</td>
                                <td>{ units.yield_fine(season.missed.raw_means) }</td>
                            </tr>
                        }) }
                    </tbody>
                </table>
            </details>
        </>
    }
}

fn row(page: &Page, season: &SeasonRecord) -> Html {
    let marks = marks_held(season.held, season.n);
    let picture = page.words.track_picture(season.season, marks, MARKS);
    let width = if page.state.wide { WIDTH_WIDE } else { WIDTH };
    html! {
        <li class="beside-row" key={season.season}>
            <p><strong>{ season.season }</strong>{" "}{ page.words.track_season(season) }</p>
            { held(marks, picture, width).html("marks") }
            <p class="quiet">{ page.words.track_season_missed(&season.missed, &page.units()) }</p>
        </li>
    }
}

/// What each kind of mark means.
fn key(page: &Page) -> Html {
    let sign = |class: &'static str, path: String| {
        html! { <svg class="sign" viewBox="0 7 12 16" aria-hidden="true"><path {class} d={path} /></svg> }
    };
    let one = |short: u8| {
        marks::marks(&[6.0], 0, short, &crate::draw::Scale { low: 0.0, high: 12.0, from: 0.0, to: 12.0 })
    };
    html! {
        <p class="key spaced">
            <span>{ sign("fine", one(0).fine) }{ page.label(Label::TrackInside) }</span>
            <span>{ sign("short", one(1).short) }{ page.label(Label::TrackOutside) }</span>
            <span>{ sign("tick", "M6 7V23".to_owned()) }{ page.label(Label::TrackPromised) }</span>
        </p>
    }
}
