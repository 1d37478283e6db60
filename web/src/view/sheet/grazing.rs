//! Cattle on the crop: whether, what they bring, when they come off, and the day for each variety.

use super::{Choice, Page, choices};
use crate::entry::Entry;
use crate::text::Label;
use crate::update::Msg;
use crate::view::entry::entry;
use crate::view::list::parts;
use crate::view::row::name_cell;
use leanyear_engine::decide::grazing::{Grazing, VarietyGrazing};
use yew::prelude::*;

/// The sheet.
pub(super) fn grazing(page: &Page) -> Html {
    let graze = page.state.settings.graze;
    let options = [false, true].map(|option| Choice {
        words: page.words.graze_option(option).to_owned(),
        under: None,
        msg: Msg::Graze(option),
        chosen: Some(option == graze),
    });
    let found = page.answer.extras.grazing.as_deref();
    let units = page.units();
    html! {
        <>
            { choices(page, options.into()) }
            { for graze.then(|| html! {
                <>
                    { for ["graze-days", "gain", "value", "off"].map(|key| entry(page, Entry::Key(key), None)) }
                    { for found.map(|found| html! { <p class="said-result">{ page.words.graze_income(found.income, &units) }</p> }) }
                </>
            }) }
            { for found.map(|found| html! {
                <>
                    <p class="hint">{ page.words.graze_rule(found.spared, &units) }</p>
                    { days(page, found) }
                </>
            }) }
            <p class="hint">{ page.label(Label::CattleCaution) }</p>
        </>
    }
}

/// The days of those at the top of the list.
fn days(page: &Page, found: &Grazing) -> Html {
    let parts = parts(page);
    let of = |code: &str| found.varieties.iter().find(|g| g.variety == code);
    let shown = parts.top().filter_map(|row| of(&row.variety));
    html! {
        <table class="figures">
            <thead><tr>
                <th scope="col">{ page.label(Label::Variety) }</th>
                <th scope="col">{ page.label(Label::OffBy) }</th>
                <th scope="col">{ page.label(Label::WeekLate) }</th>
                <th scope="col">{ page.label(Label::Recovers) }</th>
            </tr></thead>
            <tbody>{ for shown.map(|g| line(page, found, g)) }</tbody>
        </table>
    }
}

fn line(page: &Page, found: &Grazing, g: &VarietyGrazing) -> Html {
    html! {
        <tr>
            { name_cell(page, &g.variety) }
            <td>{ page.words.off_by(g.off_by, check_name(page, found)) }</td>
            <td>{ page.words.week_late(g, &page.units()) }</td>
            <td>{ page.words.recovers(g.recovers_poorly) }</td>
        </tr>
    }
}

/// The variety from whose first hollow stem days are counted.
pub(crate) fn check_name<'a>(page: &Page<'a>, found: &'a Grazing) -> &'a str {
    found.counted_from.as_deref().map_or("", |code| page.network.variety_name(code))
}
