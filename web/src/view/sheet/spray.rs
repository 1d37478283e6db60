//! Whether a disease or pest is sprayed against, at what cost, and how much that keeps off.

use super::Page;
use crate::entry::Entry;
use crate::update::Msg;
use crate::view::entry::entry;
use leanyear_engine::decide::units::area_factor;
use leanyear_engine::link::Spray;
use leanyear_engine::pack::Trait;
use yew::prelude::*;

/// The choice, and its numbers once it is made.
pub(super) fn spray(page: &Page, code: &str) -> Html {
    let Some(t) = page.network.traits.iter().find(|t| t.trait_ == code) else { return html! {} };
    let vector = (!t.vector.is_empty()).then(|| page.words.can_fail(&t.vector));
    let caution = vector.map(|words| html! { <p class="quiet">{words}</p> });
    if !t.protectable {
        return html! { <>{ for caution }<p class="quiet">{ page.words.no_spray() }</p></> };
    }
    let sprayed = page.state.settings.sprays.contains_key(code);
    html! {
        <>
            { for caution }
            <div>
                { for [false, true].map(|option| html! {
                    <button aria-pressed={(option == sprayed).to_string()}
                        onclick={page.tap(Msg::Spray(code.to_owned(), option.then(|| at_first(page, t))))}>
                        { page.words.spray_option(option) }
                    </button>
                }) }
            </div>
            { for sprayed.then(|| html! {
                <>
                    { entry(page, Entry::SprayCost(code.to_owned()), None) }
                    { entry(page, Entry::SprayKeepsOff(code.to_owned()), None) }
                    { for (!t.label_note.is_empty()).then(|| html! { <p class="hint">{ &t.label_note }</p> }) }
                </>
            }) }
        </>
    }
}

/// What the network says of the spray.
fn at_first(page: &Page, t: &Trait) -> Spray {
    let area = area_factor(page.network.info.yield_unit, page.state.settings.unit);
    Spray { cost: t.spray_cost.unwrap_or(0.0) * area, efficacy: t.efficacy.unwrap_or(0.0) }
}
