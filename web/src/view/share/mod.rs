//! Sending the settings: a link, codes for a camera, a sentence, files to keep, and what stays behind.

mod codes;
mod keep;
mod made_of;

pub(super) use codes::{link_figure, text_figure};

use super::sentence::whole;
use super::{Act, Page, line_button, view_head};
use crate::text::Label;
use crate::update::Msg;
use yew::prelude::*;

/// The address that links go out on: the page's own, else its home on the web. A file has none.
pub fn base(page: &Page) -> Option<String> {
    let home = Some(page.network.info.home_url.clone()).filter(|url| !url.is_empty());
    page.surroundings.address.clone().or(home)
}

/// The link as it goes out; bare where there is no address.
pub fn outgoing(page: &Page) -> String {
    format!("{}#{}", base(page).unwrap_or_default(), page.answer.link)
}

/// The view for sending.
pub fn share(page: &Page) -> Html {
    let link = outgoing(page);
    let intro = match (page.surroundings.address.is_none(), page.network.info.home_url.is_empty()) {
        (false, _) => Label::ShareLink,
        (true, false) => Label::ShareFromFileHome,
        (true, true) => Label::ShareFromFile,
    };
    let said = whole(page, page.state.share_money);
    html! {
        <article class="share">
            { view_head(page, page.label(Label::ShareHeading)) }
            <p>{ page.label(intro) }</p>
            <p><input class="link" type="text" readonly=true value={link.clone()} aria-label={page.label(Label::ShareHeading)} /></p>
            <p class="ways-on">
                { line_button(page.ask(Act::Copy(link.clone())), html! { {page.label(Label::ShareCopy)} }) }
                { for page.surroundings.can_send.then(|| line_button(page.ask(Act::Send(link.clone())), html! { {page.label(Label::ShareSend)} })) }
            </p>
            { money_tick(page, Label::ShareMoney) }
            { for page.state.sent.map(|sent| html! { <p role="status" class="remark">{ page.words.sent(sent) }</p> }) }
            <h3>{ page.label(Label::ShareSentence) }</h3>
            <p class="said">{ said.clone() }</p>
            <p class="ways-on">
                { line_button(page.ask(Act::Copy(said)), html! { {page.label(Label::ShareCopy)} }) }
            </p>
            { codes::codes(page) }
            { keep::keep(page) }
            <h3>{ page.label(Label::PrivacyHeading) }</h3>
            <p>{ page.label(Label::Privacy) }</p>
            { line_button(page.ask(Act::Forget), html! { {page.label(Label::Forget)} }) }
            { made_of::made_of(page) }
        </article>
    }
}

/// Whether price and cost go out too; they stay unless this is ticked.
pub(super) fn money_tick(page: &Page, words: Label) -> Html {
    let send = page.send.clone();
    let next = !page.state.share_money;
    let tick = Callback::from(move |_: Event| send.emit(Msg::ShareMoney(next)));
    html! {
        <p class="tick">
            <label>
                <input type="checkbox" checked={page.state.share_money} onchange={tick} />
                <span>{ page.label(words) }</span>
            </label>
            <span class="quiet">{ page.label(Label::ShareMoneyHint) }</span>
        </p>
    }
}
