//! The foot of the printed page: cautions, method, where it comes from, and the two codes.

use super::super::{Page, share};
use leanyear_engine::decide::ClimateSource;
use yew::prelude::*;

/// Cautions, method, and where it comes from, a paragraph each.
pub(super) fn words(page: &Page) -> [String; 3] {
    let table = &page.answer.table;
    let mut source = page.words.source(&table.field, &page.network.info);
    source.extend((table.outlook.source != ClimateSource::None).then(|| page.words.climate(&table.outlook)));
    let cautions = page.words.cautions().join(" ");
    [cautions, page.words.paper_method(table.field.usual_given), source.join(" ")]
}

/// Words on the left, codes on the right.
pub(super) fn foot(page: &Page, words: &[String], left_out: Option<String>) -> Html {
    html! {
        <footer>
            <div class="paper-words">
                { for words.iter().map(|words| html! { <p>{words}</p> }) }
                { for left_out.map(|words| html! { <p>{words}</p> }) }
            </div>
            { share::link_figure(page) }
            { share::text_figure(page) }
        </footer>
    }
}
