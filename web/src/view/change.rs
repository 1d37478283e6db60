//! What would change the answer: unfolded by a tap, since it takes longer than the list itself.

use super::compare::lever_label;
use super::{Page, line_button};
use crate::text::Label;
use crate::update::Msg;
use leanyear_engine::decide::change::{Change, WhatWouldChange};
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
    html! {
        <>
            { match &found.leader {
                Some(leader) => changes(page, &name(leader), &found.changes),
                None => html! { <p>{ page.label(Label::ChangeNobody) }</p> },
            } }
            { for found.newcomer.as_ref().map(|new| html! {
                <>
                    <h3>{ page.label(Label::NewcomerHeading) }</h3>
                    <p>{ page.words.newcomer(&name(&new.variety), new.best_longrun, &new.standing) }</p>
                </>
            }) }
            { for (!found.more_water.is_empty()).then(|| html! {
                <>
                    <h3>{ page.label(Label::WaterSpent) }</h3>
                    { for found.more_water.iter().map(|more| html! { <p>{ page.words.more_water(more, several, &units) }</p> }) }
                </>
            }) }
        </>
    }
}

/// What puts another in front, then what does not.
fn changes(page: &Page, leader: &str, changes: &[Change]) -> Html {
    let label = |change: &Change| lever_label(page, &change.lever);
    let still: Vec<String> =
        changes.iter().filter(|c| c.at.is_none()).map(|c| page.words.lever(&c.lever, &label(c))).collect();
    let line = |change: &Change| {
        let ahead = change.ahead.as_deref().map(|code| page.network.variety_name(code))?;
        change.at?;
        Some(page.words.change(change, leader, ahead, &label(change), &page.units()))
    };
    html! {
        <>
            { for changes.iter().filter_map(line).map(|words| html! { <p>{words}</p> }) }
            { for (!still.is_empty()).then(|| html! { <p>{ page.words.no_change(leader, &still) }</p> }) }
        </>
    }
}
