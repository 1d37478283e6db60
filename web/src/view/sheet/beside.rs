//! Varieties by name, to stand side by side or to be given acres.

use super::variety::{matching, search};
use super::{Choice, Page, choices};
use crate::update::Msg;
use crate::view::compare::MOST;
use crate::view::row::tested_words;
use leanyear_engine::link::View;
use yew::prelude::*;

/// From the detail of one variety: the other. Side by side: all that stand there, ticked, and the others.
pub(super) fn beside(page: &Page) -> Html {
    let with = &page.state.settings.with;
    let looked_at = page.answer.detail.as_ref().map(|detail| detail.variety.as_str());
    let looked_at = looked_at.filter(|_| page.state.settings.view != View::Compare);
    let has = |code: &str| with.iter().any(|other| other == code);
    let first = |code: &str| match looked_at {
        Some(_) => page.state.settings.mine.as_deref() == Some(code),
        None => has(code),
    };
    let found = matching(page);
    let rows =
        found.iter().filter(|row| first(&row.variety)).chain(found.iter().filter(|row| !first(&row.variety)));
    let room = with.len() < MOST;
    let list = rows.filter_map(|row| {
        let code = row.variety.clone();
        let (msg, chosen) = match looked_at {
            Some(one) if one == code => return None,
            Some(one) => (Msg::Compare(vec![one.to_owned(), code.clone()]), None),
            None if has(&code) => (Msg::Beside(code.clone(), false), Some(true)),
            None if room => (Msg::Beside(code.clone(), true), Some(false)),
            None => return None,
        };
        let under = Some(tested_words(page, row));
        Some(Choice { words: page.network.variety_name(&code).to_owned(), under, msg, chosen })
    });
    html! { <>{ search(page) }<div class="several-choices">{ choices(page, list.collect()) }</div></> }
}

/// One more variety for the acres.
pub(super) fn sown(page: &Page) -> Html {
    let has = |code: &str| page.state.settings.acres.iter().any(|(other, _)| other == code);
    let list = matching(page).into_iter().filter(|row| !has(&row.variety)).map(|row| Choice {
        words: page.network.variety_name(&row.variety).to_owned(),
        under: Some(tested_words(page, row)),
        msg: Msg::Sow(row.variety.clone()),
        chosen: None,
    });
    html! { <>{ search(page) }{ choices(page, list.collect()) }</> }
}
