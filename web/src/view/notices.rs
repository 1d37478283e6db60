//! What was wrong with the link that opened the page.

use super::Page;
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
            { for page.state.notices.iter().map(|notice| html! { <p>{ page.words.notice(notice) }</p> }) }
            <button class="word" onclick={page.tap(Msg::NoticesRead)}>{ page.label(Label::PutAway) }</button>
        </div>
    }
}
