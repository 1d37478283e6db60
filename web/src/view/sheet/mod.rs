//! The small sheet that asks for one thing: its frame, and which content goes into it.

mod beside;
mod disease;
mod docks;
mod grazing;
mod money;
mod needs;
mod number;
mod place;
mod spray;
mod thirds;
mod units;
mod variety;
mod water;

pub(super) use grazing::check_name;

use super::Page;
use crate::number::Quantity;
use crate::state::Sheet;
use crate::text::Label;
use crate::update::Msg;
use leanyear_engine::link::Order;
use yew::prelude::*;

/// What the open sheet shows; nothing where none is open.
pub fn sheet(page: &Page) -> Html {
    let Some(sheet) = page.state.sheet else {
        return html! {};
    };
    let units = page.units();
    let seed_apart = page.network.varieties.iter().any(|variety| variety.seed_cost.is_some());
    let hint = page.words.sheet_hint(sheet, seed_apart, &units);
    let body = match sheet {
        Sheet::System => systems(page),
        Sheet::Site => place::places(page),
        Sheet::Usual => number::number(page, Quantity::Usual),
        Sheet::Price => html! { <>{ number::number(page, Quantity::Price) }{ money::with_price(page) }</> },
        Sheet::Cost => html! { <>{ number::number(page, Quantity::Cost) }{ money::with_cost(page) }</> },
        Sheet::Mine => variety::mine(page),
        Sheet::Find => variety::find(page),
        Sheet::Water => water::water(page),
        Sheet::Diseases => disease::diseases(page),
        Sheet::Order => orders(page),
        Sheet::Needs => needs::needs(page),
        Sheet::Units => units::units(page),
        Sheet::Grazing => grazing::grazing(page),
        Sheet::Docks => docks::docks(page),
        Sheet::Beside => beside::beside(page),
        Sheet::Sown => beside::sown(page),
    };
    html! {
        <div class="slip" lang={page.words.lang()}>
            <div class="slip-head">
                <h2 id="sheet-title">{ page.words.sheet_title(sheet, &units) }</h2>
                <button class="word" onclick={page.tap(Msg::CloseSheet)}>{ page.label(Label::Done) }</button>
            </div>
            { for (!hint.is_empty()).then(|| html! { <p class="hint">{hint}</p> }) }
            {body}
        </div>
    }
}

/// One thing to choose: the words, a line under them, what it does, whether it is in force.
pub(crate) struct Choice {
    pub words: String,
    pub under: Option<String>,
    pub msg: Msg,
    /// Whether it is in force; `None` where a tap leads on and puts nothing in force.
    pub chosen: Option<bool>,
}

/// Choices one under the other.
pub(crate) fn choices(page: &Page, choices: Vec<Choice>) -> Html {
    html! {
        <ul class="choices">
            { for choices.into_iter().map(|choice| html! {
                <li>
                    <button aria-pressed={choice.chosen.map(|chosen| chosen.to_string())} autofocus={choice.chosen == Some(true)} onclick={page.tap(choice.msg)}>
                        <span>{ choice.words }</span>
                        { for choice.under.map(|under| html! { <span class="quiet">{under}</span> }) }
                    </button>
                </li>
            }) }
        </ul>
    }
}

fn systems(page: &Page) -> Html {
    let asked = &page.state.settings.system;
    let list = page.network.systems().into_iter().map(|system| Choice {
        words: page.words.system(system),
        under: None,
        msg: Msg::System(system.to_owned()),
        chosen: Some(system == asked),
    });
    choices(page, list.collect())
}

fn orders(page: &Page) -> Html {
    let settings = &page.state.settings;
    let money = settings.counts_money();
    let list = [Order::ChanceShort, Order::Net, Order::WorstFifth].into_iter().map(|order| Choice {
        words: page.words.order_option(order, money).to_owned(),
        under: None,
        msg: Msg::Order(order),
        chosen: Some(order == settings.order),
    });
    choices(page, list.collect())
}
