//! What was wrong with the link that opened the page, and that newer data wait.

use super::{Act, Page};
use crate::text::Label;
use crate::update::Msg;
use yew::prelude::*;

/// Every notice, and a way to put them away.
pub fn notices(page: &Page) -> Html {
    if page.state.notices.is_empty() {
        return html! {};
    }
    html! {
        <div class="notices" role="status">
            { for page.state.notices.iter().map(|notice| html! { <p>{ upright(&page.words.notice(notice)) }</p> }) }
            <button class="word" onclick={page.tap(Msg::NoticesRead)}>{ page.label(Label::PutAway) }</button>
        </div>
    }
}

/// Words that quote a link, without the marks that would turn the direction of the rest (Unicode Annex 9).
fn upright(words: &str) -> String {
    words.replace(|c| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'), "")
}

/// Newer data came while the page was open: they wait for a tap, at the foot of the screen where they move nothing.
pub fn newer(page: &Page) -> Html {
    if !page.state.hosted.newer {
        return html! {};
    }
    html! {
        <div class="newer" role="status">
            <span>{ page.label(Label::NewerData) }</span>
            <button class="word" onclick={page.ask(Act::TakeNewer)}>{ page.label(Label::TakeNewer) }</button>
        </div>
    }
}
