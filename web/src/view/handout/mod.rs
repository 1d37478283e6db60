//! One printed page for the field and the banker: the sentence, the one grown now, the check and the ten best
//! with their marks, the rest as a small table, cautions, where it comes from, and codes for a camera.
//!
//! It has to stay inside 180 by 250 mm at nine points or more, so every list in it has an end.

mod foot;
mod rest;
mod rows;

use super::pick::{MOST_DRAWN, pick};
use super::sentence::plain;
use super::{Act, Page, line_button, list, share, view_head};
use crate::draw::axis::{axis, frame};
use crate::text::Label;
use yew::prelude::*;

/// Width of the strips of marks, user units, drawn about 68 mm wide.
const STRIP: f64 = 255.0;

/// The page, under what is only for the screen.
pub fn handout(page: &Page) -> Html {
    html! {
        <article class="handout">
            <div class="screen-only">
                { view_head(page, page.label(Label::HandoutHeading)) }
                <p>{ page.label(Label::HandoutIntro) }</p>
                { share::money_tick(page, Label::HandoutMoney) }
                <p class="ways-on">{ line_button(page.ask(Act::Print), html! { {page.label(Label::HandoutPrint)} }) }</p>
            </div>
            { paper(page) }
            <div class="screen-only">{ list::numbers_of(page, pick(page).drawn()) }</div>
        </article>
    }
}

fn paper(page: &Page) -> Html {
    let mut picked = pick(page);
    let units = page.units();
    let info = &page.network.info;
    let (sentence, remarks) = (plain(page, true), list::remark_words(page));
    let left_out = page.answer.code.as_deref().and_then(|code| page.words.paper_home(&code.left_out));
    let foot = foot::words(page);
    // The text always has one; the link only where the page has an address.
    let codes = 1 + usize::from(page.answer.code.is_some());
    let room = loop {
        let beyond = (rows::wrapped(page, &picked), MOST_DRAWN - picked.drawn().count());
        let room = rest::lines_left(&sentence, remarks.iter().chain(&left_out), beyond, (&foot, codes));
        match room {
            Some(lines) => break lines,
            // Long words and large numbers need the room of a row.
            None => match picked.best.pop() {
                Some(last) => picked.rest.insert(0, last),
                None => break 0,
            },
        }
    };
    let frame = frame(&page.answer.table, page.lines(), STRIP);
    html! {
        <section class="paper">
            <header>
                <p class="paper-name">{ &info.name }</p>
                { for info.invented.then(|| html! { <p class="paper-invented">{ page.label(Label::Invented) }</p> }) }
            </header>
            <p class="paper-sentence">{ sentence.clone() }</p>
            { for remarks.iter().map(|words| html! { <p class="paper-remark">{words}</p> }) }
            <div class="paper-top">
                <div class="paper-key">
                    <p>{ page.words.years_line(page.state.settings.water) }</p>
                    { list::key(page) }
                </div>
                { axis(&frame, page.short(), &units).html("axis paper-axis") }
            </div>
            { rows::rows(page, &frame, &picked) }
            { rest::rest(page, &picked.rest, room) }
            { foot::foot(page, &foot, left_out) }
        </section>
    }
}
