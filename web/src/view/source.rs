//! Where the numbers come from, what is missing, what they are not, and how often they were right.

use super::{Act, Page};
use crate::state::Track;
use crate::text::Label;
use leanyear_engine::forecast::backtest::TrialRange;
use std::collections::BTreeMap;
use yew::prelude::*;

/// The foot of the list.
pub fn source(page: &Page) -> Html {
    let table = &page.answer.table;
    html! {
        <footer class="source">
            <h2>{ page.label(Label::WhereFrom) }</h2>
            { for page.words.source(&table.field, &page.network.info).into_iter().map(|line| html! { <p>{line}</p> }) }
            <p>{ page.words.climate(&table.outlook) }</p>
            { for table.missing.iter().map(|missing| html! { <p>{ page.words.missing(missing) }</p> }) }
            { for (!page.network.info.notes.is_empty()).then(|| html! { <p>{ &page.network.info.notes }</p> }) }
            <ul class="cautions">
                { for page.words.cautions().into_iter().map(|caution| html! { <li>{caution}</li> }) }
            </ul>
            { track(page) }
        </footer>
    }
}

fn track(page: &Page) -> Html {
    let body = match &page.state.track {
        Track::Unasked => html! {
            <>
                <p>{ page.label(Label::TrackIntro) }</p>
                <p><button class="line-button" onclick={page.ask(Act::CheckTrackRecord)}>{ page.label(Label::TrackButton) }</button></p>
            </>
        },
        Track::Running => html! { <p role="status">{ page.label(Label::TrackRunning) }</p> },
        Track::Failed => html! { <p role="status">{ page.label(Label::TrackFailed) }</p> },
        Track::Done(record) => {
            let seasons = by_season(page, record);
            let (held, n) =
                seasons.values().fold((0, 0), |(held, n), season| (held + season.0, n + season.1));
            html! {
                <>
                    { for page.words.track(held, n).into_iter().map(|line| html! { <p>{line}</p> }) }
                    <table class="figures">
                        <tbody>
                            { for seasons.iter().map(|(season, (held, n))| html! {
                                <tr><th scope="row">{ *season }</th><td>{ page.words.track_season(*held, *n) }</td></tr>
                            }) }
                        </tbody>
                    </table>
                </>
            }
        }
    };
    html! {
        <section class="track">
            <h2>{ page.label(Label::TrackHeading) }</h2>
            { body }
        </section>
    }
}

/// Ranges of whole yields that held, and how many there were, by season, in the system asked for.
fn by_season(page: &Page, record: &[TrialRange]) -> BTreeMap<i32, (u32, u32)> {
    let mut seasons = BTreeMap::new();
    for range in record.iter().filter(|range| range.system == page.state.settings.system) {
        let season: &mut (u32, u32) = seasons.entry(range.season).or_default();
        *season = (season.0 + range.yields_held, season.1 + range.n);
    }
    seasons
}
