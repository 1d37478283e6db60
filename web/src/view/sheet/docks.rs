//! What grain quality takes off the price, trait by trait: steps that are typed, none at first.

use super::Page;
use crate::entry::Entry;
use crate::text::Label;
use crate::view::detail::capital;
use crate::view::entry::field;
use crate::view::list::parts;
use crate::view::row::name_cell;
use crate::view::sentence::trait_label;
use leanyear_engine::decide::VarietyOdds;
use leanyear_engine::pack::{Trait, TraitKind};
use yew::prelude::*;

/// Most steps of one trait.
const MOST_STEPS: usize = 24;

/// The schedules, one trait under the other.
pub(super) fn docks(page: &Page) -> Html {
    let mut traits = page.network.traits.iter().filter(|t| t.kind == TraitKind::Quality).peekable();
    if traits.peek().is_none() {
        return html! { <p>{ page.label(Label::DocksNone) }</p> };
    }
    html! { { for traits.map(|t| of_trait(page, t)) } }
}

fn of_trait(page: &Page, t: &Trait) -> Html {
    let steps = page.state.settings.docks.get(&t.trait_).map_or(0, Vec::len);
    html! {
        <fieldset class="strikes" key={t.trait_.clone()}>
            // With keys all three, so that the fields stay themselves, and in focus, when the ratings come up.
            <legend key="name">{ capital(&page.words.docks_heading(&trait_label(page, &t.trait_), &t.unit)) }</legend>
            // One more than there are: a limit typed there begins a new step.
            <div key="steps" class="steps">
                { for (0..(steps + 1).min(MOST_STEPS)).map(|place| step(page, t, place, place == steps)) }
            </div>
            { for (steps > 0).then(|| ratings(page, t)) }
        </fieldset>
    }
}

fn step(page: &Page, t: &Trait, place: usize, new: bool) -> Html {
    let units = page.units();
    let part = |entry: Entry, behind: bool| {
        let (before, unit) = page.words.entry(&entry, "", &units);
        field(page, entry, html! { <span>{before}</span> }, if behind { &unit } else { "" })
    };
    html! {
        <div class="step" key={place}>
            <div key="below">{ part(Entry::DockBelow(t.trait_.clone(), place), false) }</div>
            { for (!new).then(|| html! { <div key="off">{ part(Entry::DockOff(t.trait_.clone(), place), true) }</div> }) }
        </div>
    }
}

/// What those at the top of the list are rated, so that a reader sees which step each falls on.
fn ratings(page: &Page, t: &Trait) -> Html {
    let parts = parts(page);
    let rated = |row: &VarietyOdds| {
        let found = page.network.ratings.iter().find(|r| r.variety == row.variety && r.trait_ == t.trait_);
        found.map_or(page.label(Label::DocksUnknown).to_owned(), |r| page.units().plain(r.value))
    };
    html! {
        <table key="ratings" class="figures">
            <tbody>
                { for parts.top().map(|row| html! {
                    <tr>{ name_cell(page, &row.variety) }<td>{ rated(row) }</td></tr>
                }) }
            </tbody>
        </table>
    }
}
