//! The year assumed, each kind with how often it was and how much water it brought.

use super::{Choice, Page, choices, thirds};
use crate::text::Label;
use crate::update::Msg;
use leanyear_engine::link::WaterOutlook;
use yew::prelude::*;

/// Named years, leanings, and the years on record.
pub(super) fn water(page: &Page) -> Html {
    let units = page.units();
    let asked = page.state.settings.water;
    let options = |leaning: bool| -> Vec<Choice> {
        page.answer
            .years
            .kinds
            .iter()
            .filter(|(water, _)| matches!(water, WaterOutlook::Thirds(..)) == leaning)
            .map(|(water, rate)| Choice {
                words: page.words.water_option(*water),
                under: page.words.base_rate(*water, rate, &units).filter(|_| !leaning),
                msg: Msg::Water(*water),
                chosen: Some(*water == asked),
            })
            .collect()
    };
    let past = past_years(page);
    html! {
        <>
            { choices(page, options(false)) }
            { for (!past.is_empty()).then(|| html! {
                <details open={matches!(asked, WaterOutlook::Like(_))}>
                    <summary>{ page.label(Label::LikeAYear) }</summary>
                    <div class="past">{ choices(page, past) }</div>
                </details>
            }) }
            <h3>{ page.label(Label::LeansHeading) }</h3>
            { choices(page, options(true)) }
            { thirds::thirds(page) }
            <p class="hint">{ page.words.climate(&page.answer.table.outlook) }</p>
        </>
    }
}

/// Single years, newest first.
fn past_years(page: &Page) -> Vec<Choice> {
    let units = page.units();
    let choice = |(year, water): &(i32, f64)| Choice {
        words: page.words.past_year(*year, *water, &units),
        under: None,
        msg: Msg::Water(WaterOutlook::Like(*year)),
        chosen: Some(page.state.settings.water == WaterOutlook::Like(*year)),
    };
    page.answer.years.single.iter().map(choice).collect()
}
