//! How hard each disease and pest is assumed to strike, with what a severe attack takes.

use super::Page;
use super::spray::spray;
use crate::update::Msg;
use crate::view::detail::capital;
use crate::view::sentence::trait_label;
use leanyear_engine::forecast::form::FittedLoss;
use leanyear_engine::link::Pressures;
use yew::prelude::*;

const PRESSURES: [Option<Pressures>; 5] =
    [None, Some(Pressures::None), Some(Pressures::Light), Some(Pressures::Moderate), Some(Pressures::Severe)];

/// Every disease whose loss is known, one under the other.
pub(super) fn diseases(page: &Page) -> Html {
    html! {
        <>
            { for page.answer.table.losses.iter().map(|loss| disease(page, loss)) }
            <p class="hint">{ page.words.disease_caution() }</p>
        </>
    }
}

fn disease(page: &Page, loss: &FittedLoss) -> Html {
    let label = trait_label(page, &loss.trait_);
    let asked = page.state.settings.diseases.get(&loss.trait_).copied();
    html! {
        <fieldset class="strikes" key={loss.trait_.clone()}>
            <legend>{ capital(&label) }</legend>
            <p class="quiet">{ page.words.takes(loss) }</p>
            <div>
                { for PRESSURES.into_iter().map(|pressure| html! {
                    <button aria-pressed={(pressure == asked).to_string()}
                        onclick={page.tap(Msg::Disease(loss.trait_.clone(), pressure))}>
                        { page.words.pressure(pressure) }
                    </button>
                }) }
            </div>
            { spray(page, &loss.trait_) }
        </fieldset>
    }
}
