//! The year assumed, each kind with how often it was and how much water it brought.

use super::{Choice, Page, choices};
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
            .outlooks
            .iter()
            .filter(|(water, _)| matches!(water, WaterOutlook::Thirds(..)) == leaning)
            .map(|(water, outlook)| Choice {
                words: page.words.water_option(*water),
                under: page.words.base_rate(*water, outlook, &units).filter(|_| !leaning),
                msg: Msg::Water(*water),
                chosen: *water == asked,
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
            <p class="hint">{ page.words.climate(&page.answer.table.outlook) }</p>
        </>
    }
}

/// The site's own years, newest first; without a site there is no one water of a year to name.
fn past_years(page: &Page) -> Vec<Choice> {
    let settings = &page.state.settings;
    let units = page.units();
    let Some(site) = &settings.site else { return Vec::new() };
    let records = &page.network.water;
    let mut years: Vec<(i32, f64)> = records
        .iter()
        .filter(|w| w.site == *site && w.system == settings.system)
        .map(|w| (w.season, w.water))
        .collect();
    if years.is_empty() {
        let own = page.network.trials.iter().filter(|t| t.site == *site && t.system == settings.system);
        years = own.filter_map(|t| Some((t.season, t.water?))).collect();
    }
    years.sort_by_key(|(year, _)| -year);
    years.dedup_by_key(|(year, _)| *year);
    let choice = |(year, water): (i32, f64)| Choice {
        words: page.words.past_year(year, water, &units),
        under: None,
        msg: Msg::Water(WaterOutlook::Like(year)),
        chosen: settings.water == WaterOutlook::Like(year),
    };
    years.into_iter().map(choice).collect()
}
