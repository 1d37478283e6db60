//! The foot of the printed page: cautions, method, where it comes from, and the two codes.

use super::super::Page;
use super::super::export::text::code_text;
use super::super::share::{base, link_code, text_code};
use crate::text::Label;
use leanyear_engine::decide::ClimateSource;
use yew::prelude::*;

/// Words on the left, codes on the right.
pub(super) fn foot(page: &Page) -> Html {
    let table = &page.answer.table;
    let source = page.words.source(&table.field, &page.network.info).join(" ");
    let climate = (table.outlook.source != ClimateSource::None).then(|| page.words.climate(&table.outlook));
    html! {
        <footer>
            <div class="paper-words">
                <p>{ page.words.cautions().join(" ") }</p>
                <p>{ page.words.paper_method(table.field.usual_given) }</p>
                <p>{ source }{ for climate.map(|climate| html! { <>{" "}{climate}</> }) }</p>
            </div>
            { for base(page).map(|_| html! {
                <figure>{ link_code(page, false) }<figcaption>{ page.label(Label::HandoutHome) }</figcaption></figure>
            }) }
            <figure>
                { text_code(page, &code_text(page), false) }
                <figcaption>{ page.label(Label::HandoutText) }</figcaption>
            </figure>
        </footer>
    }
}
