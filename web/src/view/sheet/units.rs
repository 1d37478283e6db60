//! The units of yield and of water and the currency sign, in one place. A change of unit changes no field and no
//! money; a currency sign changes no number.

use super::{Choice, Page, choices};
use crate::text::Label;
use crate::update::Msg;
use leanyear_engine::pack::{WATER_UNITS, YIELD_UNITS};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Yield, with what is priced and counted along with it; water, where any is known.
pub(super) fn units(page: &Page) -> Html {
    let units = page.units();
    let yields = YIELD_UNITS.into_iter().map(|(_, unit)| Choice {
        words: page.words.yield_unit_option(unit),
        under: None,
        msg: Msg::Unit(unit, page.bushel_lb()),
        chosen: Some(unit == units.yield_unit),
    });
    let waters = WATER_UNITS.into_iter().map(|(_, unit)| Choice {
        words: page.words.water_unit_option(unit).to_owned(),
        under: None,
        msg: Msg::WaterUnit(unit),
        chosen: Some(unit == units.water_unit),
    });
    html! {
        <>
            <h3>{ page.label(Label::UnitsYield) }</h3>
            { choices(page, yields.collect()) }
            <h3>{ page.label(Label::UnitsWater) }</h3>
            { choices(page, waters.collect()) }
            <h3 id="currency">{ page.label(Label::UnitsCurrency) }</h3>
            { currency(page) }
        </>
    }
}

fn currency(page: &Page) -> Html {
    let send = page.send.clone();
    let oninput = Callback::from(move |event: InputEvent| {
        send.emit(Msg::Currency(event.target_unchecked_into::<HtmlInputElement>().value()));
    });
    let placeholder = page.network.info.currency.clone();
    let value = page.state.settings.currency.clone().unwrap_or_default();
    html! {
        <>
            <p class="typed several">
                <input class="entry" type="text" inputmode="text" autocomplete="off" maxlength="4" size="4"
                    aria-labelledby="currency" {placeholder} {value} {oninput} />
            </p>
            <p class="hint">{ page.label(Label::UnitsCurrencyHint) }</p>
        </>
    }
}
