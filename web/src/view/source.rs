//! Where the numbers come from, what is missing, what they are not, and the way to how often they were right.

use super::{Page, way_to};
use crate::text::Label;
use crate::text::office::Desk;
use crate::update::Msg;
use leanyear_engine::decide::ClimateSource;
use leanyear_engine::link::View;
use yew::prelude::*;

/// The foot of the list.
pub fn source(page: &Page) -> Html {
    let table = &page.answer.table;
    html! {
        <footer class="source">
            <h2>{ page.label(Label::WhereFrom) }</h2>
            { for page.words.source(&table.field, &page.network.info).into_iter().map(|line| html! { <p>{line}</p> }) }
            // Where there is no record at all, the missing abilities below say so.
            { for (table.outlook.source != ClimateSource::None).then(|| html! { <p>{ page.words.climate(&table.outlook) }</p> }) }
            { for table.missing.iter().map(|missing| html! { <p>{ page.words.missing(missing) }</p> }) }
            { for (!page.network.info.notes.is_empty()).then(|| html! { <p>{ &page.network.info.notes }</p> }) }
            <ul class="cautions">
                { for page.words.cautions().into_iter().map(|caution| html! { <li>{caution}</li> }) }
            </ul>
            { for page.state.hosted.kept.then(|| html! { <p class="kept-here">{ page.label(Label::KeptHere) }</p> }) }
            { track(page) }
            <p class="ways-on">
                { way_to(page, View::Prepare, Msg::Prepare, page.words.desk(Desk::Open)) }
            </p>
        </footer>
    }
}

/// The way to the track record.
fn track(page: &Page) -> Html {
    html! {
        <section class="track">
            <h2>{ page.label(Label::TrackHeading) }</h2>
            <p>{ page.label(Label::TrackIntro) }</p>
            <p>{ way_to(page, View::TrackRecord, Msg::TrackRecord, page.label(Label::TrackButton)) }</p>
        </section>
    }
}
