//! The two square codes that another phone's camera reads: the link, and plain text that needs no signal.

use super::{Page, base};
use crate::derive::LEAVES_FIRST;
use crate::qr::{QUIET, Symbol, symbol};
use crate::text::Label;
use crate::view::export::text::code_text;
use yew::prelude::*;

/// Largest version of the plain text's code: 250 bytes at level M need the eleventh.
const MOST_TEXT: u8 = 11;
/// CSS pixels a module on a screen.
const MODULE: u32 = 4;

/// Both codes, for the screen.
pub(super) fn codes(page: &Page) -> Html {
    let text = code_text(page);
    html! {
        <section class="codes">
            <h3>{ page.label(Label::ShareCodes) }</h3>
            { match base(page) {
                Some(_) => html! { <>
                    <p>{ page.label(Label::ShareCodeLink) }</p>
                    { link_code(page) }
                    <p>{ page.label(Label::ShareCodeText) }</p>
                </> },
                None => html! { <p>{ page.label(Label::ShareNoAddress) }</p> },
            } }
            { text_code(page, &text, true) }
            <p class="code-text">{ text }</p>
        </section>
    }
}

/// The code of the link for the screen, with what it leaves out; words where there is no room for it.
fn link_code(page: &Page) -> Html {
    let Some(code) = page.answer.code.as_deref() else {
        return html! {};
    };
    let left_out = (!code.left_out.is_empty()).then(|| page.words.left_out(&code.left_out, &LEAVES_FIRST));
    match &code.symbol {
        Some(symbol) => html! { <>
            { picture(page, symbol, false, true) }
            { for left_out.map(|words| html! { <p class="hint">{words}</p> }) }
        </> },
        None => html! { <p class="hint">{ page.label(Label::ShareCodeTooLong) }</p> },
    }
}

/// The code of the link on paper, with its caption; nothing where the link is too long for it.
pub(in crate::view) fn link_figure(page: &Page) -> Html {
    let symbol = page.answer.code.as_deref().and_then(|code| code.symbol.as_ref());
    html! {
        { for symbol.map(|symbol| html! {
            <figure>
                { picture(page, symbol, false, false) }
                <figcaption>{ page.label(Label::HandoutHome) }</figcaption>
            </figure>
        }) }
    }
}

/// The code of the plain text on paper, with its caption.
pub(in crate::view) fn text_figure(page: &Page) -> Html {
    html! {
        <figure>
            { text_code(page, &code_text(page), false) }
            <figcaption>{ page.label(Label::HandoutText) }</figcaption>
        </figure>
    }
}

/// The code of the plain text.
fn text_code(page: &Page, text: &str, screen: bool) -> Html {
    html! { { for symbol(text, MOST_TEXT).map(|symbol| picture(page, &symbol, true, screen)) } }
}

/// Always dark on white, with its quiet zone, also at night; on paper its size is that of its frame.
fn picture(page: &Page, symbol: &Symbol, text: bool, screen: bool) -> Html {
    let (title, description) = page.words.code_picture(text);
    let side = u32::from(symbol.side) + 2 * u32::from(QUIET);
    let size = screen.then(|| (side * MODULE).to_string());
    html! {
        <svg class={classes!("code", screen.then_some("sized"))} viewBox={format!("0 0 {side} {side}")} width={size.clone()} height={size} role="img" aria-label={title}>
            <title>{ title }</title>
            <desc>{ description }</desc>
            <path fill="#fff" d={format!("M0 0h{side}v{side}h-{side}z")} />
            <path fill="#000" transform={format!("translate({QUIET} {QUIET})")} shape-rendering="crispEdges" d={symbol.path.clone()} />
        </svg>
    }
}
