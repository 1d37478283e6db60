//! Sending the settings: a link, a sentence, and what stays behind.

use super::sentence::plain;
use super::{Act, Page, line_button};
use crate::text::Label;
use crate::update::Msg;
use yew::prelude::*;

/// The link as it goes out: on the page's own address, else on its home on the web, else bare.
pub fn outgoing(page: &Page) -> String {
    let home = Some(page.network.info.home_url.clone()).filter(|url| !url.is_empty());
    let base = page.surroundings.address.clone().or(home).unwrap_or_default();
    format!("{base}#{}", page.answer.link)
}

/// The view for sending.
pub fn share(page: &Page) -> Html {
    let link = outgoing(page);
    let from_file = page.surroundings.address.is_none();
    let intro = match (from_file, page.network.info.home_url.is_empty()) {
        (false, _) => Label::ShareLink,
        (true, false) => Label::ShareFromFileHome,
        (true, true) => Label::ShareFromFile,
    };
    let tick = {
        let send = page.send.clone();
        let next = !page.state.share_money;
        Callback::from(move |_: Event| send.emit(Msg::ShareMoney(next)))
    };
    html! {
        <article class="share">
            { line_button(page.tap(Msg::List), html! { <>{"\u{2190} "}{page.label(Label::BackToList)}</> }) }
            <h2 class="title" tabindex="-1" id="view-top">{ page.label(Label::ShareHeading) }</h2>
            <p>{ page.label(intro) }</p>
            <p><input class="link" type="text" readonly=true value={link.clone()} aria-label={page.label(Label::ShareHeading)} /></p>
            <p class="ways-on">
                { line_button(page.ask(Act::Copy(link.clone())), html! { {page.label(Label::ShareCopy)} }) }
                { for page.surroundings.can_send.then(|| line_button(page.ask(Act::Send(link.clone())), html! { {page.label(Label::ShareSend)} })) }
            </p>
            <p class="tick">
                <label>
                    <input type="checkbox" checked={page.state.share_money} onchange={tick} />
                    <span>{ page.label(Label::ShareMoney) }</span>
                </label>
                <span class="quiet">{ page.label(Label::ShareMoneyHint) }</span>
            </p>
            { for page.state.sent.map(|sent| html! { <p role="status" class="remark">{ page.words.sent(sent) }</p> }) }
            <h3>{ page.label(Label::ShareSentence) }</h3>
            <p class="said">{ plain(page) }</p>
            <p class="ways-on">
                { line_button(page.ask(Act::Copy(plain(page))), html! { {page.label(Label::ShareCopy)} }) }
            </p>
            <p>{ page.label(Label::Privacy) }</p>
            { line_button(page.ask(Act::Forget), html! { {page.label(Label::Forget)} }) }
        </article>
    }
}
