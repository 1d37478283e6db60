//! The table and the pictures as files, and the table as text.

use super::{Act, Page};
use crate::text::Label;
use crate::update::Msg;
use crate::view::export::{csv, picture, text};
use crate::view::{detail, line_button};
use leanyear_engine::link::View;
use yew::prelude::*;

/// Every way to keep what is shown.
pub(super) fn keep(page: &Page) -> Html {
    let button = |act: Act, label: Label| line_button(page.ask(act), html! { {page.label(label)} });
    let svg = picture::list_drawing(page).file();
    html! {
        <section class="keep">
            <h3>{ page.label(Label::SaveHeading) }</h3>
            <p>{ page.label(Label::SaveIntro) }</p>
            <p class="ways-on">
                { button(Act::Save("leanyear.csv".into(), "text/csv;charset=utf-8", csv::table(page)), Label::SaveTable) }
                { button(Act::Copy(text::table(page)), Label::CopyTable) }
                { button(Act::Save("leanyear.svg".into(), "image/svg+xml", svg.clone()), Label::SaveSvg) }
                { button(Act::SavePng("leanyear.png".into(), svg), Label::SavePng) }
                { line_button(page.tap(Msg::Handout), html! { {page.label(Label::HandoutOpen)} }) }
            </p>
            { for one_variety(page) }
        </section>
    }
}

/// The picture of the variety that was looked at when sending was asked for.
fn one_variety(page: &Page) -> Option<Html> {
    let looked = page.state.linked_view() == View::Variety;
    let drawing = detail::response_drawing(page).filter(|_| looked)?;
    let svg = drawing.file();
    let name = |ending: &str| format!("leanyear-water.{ending}");
    let button = |act: Act, label: Label| line_button(page.ask(act), html! { {page.label(label)} });
    Some(html! {
        <>
            <p>{ drawing.title }</p>
            <p class="ways-on">
                { button(Act::Save(name("svg"), "image/svg+xml", svg.clone()), Label::SaveSvg) }
                { button(Act::SavePng(name("png"), svg), Label::SavePng) }
            </p>
        </>
    })
}
