//! What each disease and pest would take from one variety, if it struck hard.

use super::Page;
use super::sentence::trait_label;
use crate::text::Label;
use leanyear_engine::decide::{VarietyDetail, VarietyLoss};
use yew::prelude::*;

/// The table, where any loss is known.
pub fn losses(page: &Page, detail: &VarietyDetail) -> Html {
    if detail.losses.is_empty() {
        return html! {};
    }
    html! {
        <section>
            <h3>{ page.label(Label::Losses) }</h3>
            <p>{ page.label(Label::LossesIntro) }</p>
            <table class="figures">
                <tbody>{ for detail.losses.iter().map(|loss| line(page, loss)) }</tbody>
            </table>
            <p class="hint">{ page.words.disease_caution() }</p>
        </section>
    }
}

fn line(page: &Page, loss: &VarietyLoss) -> Html {
    let vector = page.network.traits.iter().find(|t| t.trait_ == loss.trait_).map(|t| t.vector.as_str());
    html! {
        <tr>
            <th scope="row">{ trait_label(page, &loss.trait_) }</th>
            <td>
                { page.words.would_take(loss) }
                { for vector.filter(|vector| !vector.is_empty()).map(|vector| html! {
                    <><br /><span class="quiet">{ page.words.can_fail(vector) }</span></>
                }) }
            </td>
        </tr>
    }
}
