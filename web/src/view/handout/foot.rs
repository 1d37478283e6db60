//! The foot of the printed page: cautions, method, where it comes from, and the two codes.

use super::super::{Page, share};
use leanyear_engine::decide::ClimateSource;
use yew::prelude::*;

/// Words on the left, codes on the right.
pub(super) fn foot(page: &Page, left_out: Option<String>) -> Html {
    let table = &page.answer.table;
    let source = page.words.source(&table.field, &page.network.info).join(" ");
    let climate = (table.outlook.source != ClimateSource::None).then(|| page.words.climate(&table.outlook));
    html! {
        <footer>
            <div class="paper-words">
                <p>{ page.words.cautions().join(" ") }</p>
                <p>{ page.words.paper_method(table.field.usual_given) }</p>
                <p>{ source }{ for climate.map(|climate| html! { <>{" "}{climate}</> }) }</p>
                { for left_out.map(|words| html! { <p>{words}</p> }) }
            </div>
            { share::link_figure(page) }
            { share::text_figure(page) }
        </footer>
    }
}
