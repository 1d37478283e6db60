//! What would change the answer: unfolded by a tap, since it takes longer than the list itself.

use super::compare::lever_label;
use super::{Page, line_button};
use crate::text::Label;
use crate::update::Msg;
use leanyear_engine::decide::StandingState;
use leanyear_engine::decide::change::{Change, WhatWouldChange};
use leanyear_engine::decide::tipping::COUNT_ON;
use yew::prelude::*;

/// The part below the first group.
pub fn change(page: &Page) -> Html {
    let shown = page.state.change_shown;
    let label = if shown { Label::ChangeFold } else { Label::ChangeOpen };
    html! {
        <section class="change">
            { for shown.then(|| html! { <h2>{ page.label(Label::ChangeHeading) }</h2> }) }
            { for page.answer.extras.change.as_deref().filter(|_| shown).map(|found| told(page, found)) }
            { line_button(page.tap(Msg::ShowChange(!shown)), html! { {page.label(label)} }) }
        </section>
    }
}

fn told(page: &Page, found: &WhatWouldChange) -> Html {
    let units = page.units();
    let name = |code: &str| page.network.variety_name(code).to_owned();
    let several = page.several_systems();
    let settings = &page.state.settings;
    let unproven = page.answer.table.varieties.iter().any(|row| {
        row.fails.is_empty() && row.standing.current() && row.standing.state == StandingState::New
    });
    let own_water = found.more_water.iter().any(|more| more.system == settings.system);
    html! {
        <>
            { match &found.leader {
                Some(leader) => html! { <>
                    { changes(page, &name(leader), &found.changes) }
                    { for unproven.then(|| html! { <p>{ page.words.of_proven(&name(leader)) }</p> }) }
                </> },
                None => html! { <p>{ page.label(Label::ChangeNobody) }</p> },
            } }
            { for found.newcomer.as_ref().map(|new| html! {
                <>
                    <h3>{ page.label(Label::NewcomerHeading) }</h3>
                    <p>{ page.words.newcomer(&name(&new.variety), new.best_longrun, &new.standing, page.asks_needs()) }</p>
                </>
            }) }
            { for (!found.more_water.is_empty()).then(|| html! {
                <>
                    <h3>{ page.label(Label::WaterSpent) }</h3>
                    { for (!own_water).then(|| html! { <p>{ page.words.water_unknown(&settings.system) }</p> }) }
                    { for settings.graze.then(|| html! { <p class="hint">{ page.label(Label::Ungrazed) }</p> }) }
                    { for found.more_water.iter().map(|more| html! { <p>{ page.words.more_water(more, several, &units) }</p> }) }
                </>
            }) }
        </>
    }
}

/// What puts another in front, then what does not, or not so that one can count on it.
fn changes(page: &Page, leader: &str, changes: &[Change]) -> Html {
    let label = |change: &Change| lever_label(page, &change.lever);
    let (mut lines, mut still) = (Vec::new(), Vec::new());
    for change in changes {
        match change.ahead.as_deref().filter(|_| change.at.is_some() && change.crossing >= COUNT_ON) {
            Some(code) => {
                let ahead = page.network.variety_name(code);
                lines.push(page.words.change(change, leader, ahead, &label(change), &page.units()));
            }
            None => still.push(page.words.lever(&change.lever, &label(change))),
        }
    }
    if !still.is_empty() {
        lines.push(page.words.no_change(leader, &still));
    }
    html! { { for lines.into_iter().map(|words| html! { <p>{words}</p> }) } }
}
