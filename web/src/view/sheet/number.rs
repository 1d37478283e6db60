//! A number: a field for the thumb, what it means, what is wrong with it, and how to leave it out.

use super::Page;
use crate::number::Quantity;
use crate::state::Sheet;
use crate::text::Label;
use crate::update::Msg;
use crate::view::line_button;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The field of a quantity.
pub(super) fn number(page: &Page, quantity: Quantity) -> Html {
    let units = page.units();
    let unit = units.yield_unit;
    let per = match quantity {
        Quantity::Usual => page.words.yield_unit(unit).to_owned(),
        Quantity::Price => format!("{} {}", units.currency, page.words.price_per(unit)),
        Quantity::Cost => format!("{} {}", units.currency, page.words.area_per(unit)),
    };
    let problem = page.state.draft_problem();
    let oninput = {
        let send = page.send.clone();
        Callback::from(move |event: InputEvent| {
            send.emit(Msg::Type(event.target_unchecked_into::<HtmlInputElement>().value()));
        })
    };
    let onkeydown = {
        let send = page.send.clone();
        Callback::from(move |event: KeyboardEvent| {
            if event.key() == "Enter" {
                // The focus goes back to the bracket at once, where the rest of the key would open it again.
                event.prevent_default();
                send.emit(Msg::CloseSheet);
            }
        })
    };
    let leave = match quantity {
        Quantity::Usual => Label::LeaveToTrials,
        Quantity::Price | Quantity::Cost => Label::WithoutIt,
    };
    // What the trials suggest is known only while nothing else is in force.
    let field = &page.answer.table.field;
    let suggested = (quantity == Quantity::Usual && !field.usual_given).then_some(field.usual);
    html! {
        <>
            <p class="typed">
                <input type="text" inputmode="decimal" autocomplete="off" autofocus=true
                    aria-labelledby="sheet-title" aria-describedby="sheet-problem"
                    aria-invalid={problem.is_some().to_string()}
                    placeholder={suggested.map(|usual| units.yield_number(usual))}
                    value={page.state.draft.clone()} {oninput} {onkeydown} />
                <span>{per}</span>
            </p>
            <p id="sheet-problem" class="problem" role="status">
                { for problem.map(|problem| html! {
                    <>{ page.words.number_problem(quantity, problem, &units) }{" "}{ page.label(Label::Stale) }</>
                }) }
            </p>
            <ul class="choices">
                <li>
                    <button aria-pressed={page.state.given(quantity).is_none().to_string()} onclick={page.tap(Msg::Clear(quantity))}>
                        <span>{ page.label(leave) }</span>
                        { for suggested.map(|usual| html! { <span class="quiet">{ page.words.usual_of_trials(usual, &units) }</span> }) }
                    </button>
                </li>
            </ul>
            { line_button(page.tap(Msg::Open(Sheet::Units, String::new())), html! { {page.label(Label::OtherUnits)} }) }
        </>
    }
}
