//! The thirds of the years as a forecast puts them: dry and wet typed in years of a hundred, the rest
//! middling, and how often each third was.

use super::Page;
use crate::number::remainder;
use crate::text::Label;
use crate::update::{Msg, Third};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::season::climate::BaseRate;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Two fields, what they leave, and the base rate.
pub(super) fn thirds(page: &Page) -> Html {
    let (dry, wet) = &page.state.thirds;
    let read = remainder(dry, wet);
    let wrong = read.is_err();
    html! {
        <>
            <h3>{ page.label(Label::ThirdsHeading) }</h3>
            <div class="thirds">
                { field(page, Third::Dry, Label::ThirdsDry, dry, wrong) }
                { field(page, Third::Wet, Label::ThirdsWet, wet, wrong) }
            </div>
            <p id="thirds-left" class={if wrong { "problem" } else { "hint" }} role="status">
                { page.words.thirds_left(read.map(|shares| shares.map(|(_, middle, _)| middle))) }
            </p>
            { for rate(page).and_then(|rate| page.words.thirds_rate(&rate, &page.units())).map(|words| html! {
                <p class="hint">{words}</p>
            }) }
        </>
    }
}

fn field(page: &Page, third: Third, label: Label, value: &str, wrong: bool) -> Html {
    let send = page.send.clone();
    let oninput = Callback::from(move |event: InputEvent| {
        send.emit(Msg::Third(third, event.target_unchecked_into::<HtmlInputElement>().value()));
    });
    html! {
        <label class="typed">
            <span>{ page.label(label) }</span>
            <input type="text" inputmode="numeric" autocomplete="off" maxlength="4" aria-describedby="thirds-left"
                aria-invalid={wrong.to_string()} value={value.to_owned()} {oninput} />
            <span class="quiet">{ page.label(Label::OfHundred) }</span>
        </label>
    }
}

/// How often each third was.
fn rate(page: &Page) -> Option<[BaseRate; 3]> {
    let kinds = &page.answer.years.kinds;
    let of = |kind: WaterOutlook| kinds.iter().find(|(water, _)| *water == kind).map(|(_, rate)| *rate);
    Some([of(WaterOutlook::Dry)?, of(WaterOutlook::Middle)?, of(WaterOutlook::Wet)?])
}
