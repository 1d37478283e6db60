//! A variety by name: the one grown now, or one to look at.

use super::{Choice, Page, choices};
use crate::text::{Label, figure::Units};
use crate::update::Msg;
use crate::view::row::tested_words;
use leanyear_engine::decide::VarietyOdds;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The variety grown now.
pub(super) fn mine(page: &Page) -> Html {
    let mine = page.state.settings.mine.as_deref();
    let mut list = vec![Choice {
        words: page.label(Label::NoVarietyYet).to_owned(),
        under: None,
        msg: Msg::Mine(None),
        chosen: Some(mine.is_none()),
    }];
    list.extend(matching(page).into_iter().map(|row| Choice {
        words: page.network.variety_name(&row.variety).to_owned(),
        under: Some(tested_words(page, row)),
        msg: Msg::Mine(Some(row.variety.clone())),
        chosen: Some(mine == Some(row.variety.as_str())),
    }));
    html! { <>{ search(page) }{ choices(page, list) }</> }
}

/// A variety to look at, with its odds under its name.
pub(super) fn find(page: &Page) -> Html {
    let found = matching(page);
    if found.is_empty() {
        return html! { <>{ search(page) }<p class="hint">{ page.label(Label::NothingFound) }</p></> };
    }
    let units = page.units();
    let list = found.into_iter().map(|row| Choice {
        words: page.network.variety_name(&row.variety).to_owned(),
        under: Some(under(page, row, &units)),
        msg: Msg::Look(row.variety.clone()),
        chosen: None,
    });
    html! { <>{ search(page) }{ choices(page, list.collect()) }</> }
}

/// Its odds and how long it was tested.
fn under(page: &Page, row: &VarietyOdds, units: &Units) -> String {
    let odds = page.words.odds(page.short(), row.marks_short, units);
    format!("{odds} \u{b7} {}", tested_words(page, row))
}

pub(super) fn search(page: &Page) -> Html {
    let oninput = {
        let send = page.send.clone();
        Callback::from(move |event: InputEvent| {
            send.emit(Msg::Search(event.target_unchecked_into::<HtmlInputElement>().value()));
        })
    };
    html! {
        <p class="typed">
            <input type="search" autocomplete="off" placeholder={page.label(Label::FindHint)}
                aria-label={page.label(Label::FindHint)} value={page.state.search.clone()} {oninput} />
        </p>
    }
}

/// Varieties whose name or code holds the typed text, by name.
pub(super) fn matching<'a>(page: &Page<'a>) -> Vec<&'a VarietyOdds> {
    let typed = page.state.search.trim().to_lowercase();
    let name = |row: &VarietyOdds| page.network.variety_name(&row.variety).to_lowercase();
    let mut found: Vec<&VarietyOdds> = page
        .answer
        .table
        .varieties
        .iter()
        .filter(|row| name(row).contains(&typed) || row.variety.to_lowercase() == typed)
        .collect();
    leanyear_engine::order::sort_by_key(&mut found, |row| name(row));
    found
}
