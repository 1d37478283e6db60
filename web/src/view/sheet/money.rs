//! What belongs to price and cost beside the one number: swing, hauling, what the cost holds, insurance, seed.

use super::{Choice, Page, choices};
use crate::entry::Entry;
use crate::state::Sheet;
use crate::text::Label;
use crate::update::Msg;
use crate::view::entry::entry;
use crate::view::line_button;
use leanyear_engine::pack::TraitKind;
use yew::prelude::*;

/// Under the price: its swing, hauling, docks.
pub(super) fn with_price(page: &Page) -> Html {
    let quality = page.network.traits.iter().any(|t| t.kind == TraitKind::Quality);
    html! {
        <>
            <h3>{ page.label(Label::MoreOnPrice) }</h3>
            { entry(page, Entry::Key("volatility"), None) }
            { entry(page, Entry::Key("haul"), None) }
            { for quality.then(|| line_button(
                page.tap(Msg::Open(Sheet::Docks, String::new())),
                html! { {page.label(Label::DocksOpen)} },
            )) }
        </>
    }
}

/// Under the cost: what it holds, hauling, insurance, seed.
pub(super) fn with_cost(page: &Page) -> Html {
    let cash_only = page.state.settings.cash_only;
    let holds = [false, true].map(|cash| Choice {
        words: page.words.costs_option(cash).to_owned(),
        under: None,
        msg: Msg::CashOnly(cash),
        chosen: Some(cash == cash_only),
    });
    html! {
        <>
            <h3>{ page.label(Label::CostsHeading) }</h3>
            { choices(page, holds.into()) }
            { for seed(page).map(|words| html! { <p class="hint">{words}</p> }) }
            <h3>{ page.label(Label::HaulHeading) }</h3>
            { entry(page, Entry::Key("haul"), None) }
            <h3>{ page.label(Label::InsuranceHeading) }</h3>
            { entry(page, Entry::Key("cover"), None) }
            { entry(page, Entry::Key("guarantee-price"), None) }
            { entry(page, Entry::Key("premium"), None) }
        </>
    }
}

/// What is counted for seed, where any of it is known.
fn seed(page: &Page) -> Option<String> {
    let rows = &page.answer.table.varieties;
    let known = rows.iter().filter(|row| row.seed_cost_known).map(|row| row.seed_cost);
    let (low, high) =
        known.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), cost| (low.min(cost), high.max(cost)));
    let unknown = rows.iter().filter(|row| !row.seed_cost_known).count();
    (low <= high).then(|| page.words.seed_costs(low, high, unknown, &page.units()))
}
