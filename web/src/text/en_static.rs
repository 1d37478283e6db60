//! English: the words of the plain table that stands in the page for viewers that run no scripts, and of
//! the screens that the shell shows when the page itself cannot. `{…}` are places for values.

use super::Words;
use super::en::English;
use leanyear_engine::link::WaterOutlook;
use serde_json::{Value, json};

/// The words, under the names by which the page's assembly asks for them.
pub(super) fn static_words() -> Value {
    json!({
        "lang": English.lang(),
        "decimal_sign": English.marks().0.to_string(),
        "invented": "Invented data: no variety, place or trial here exists; do not sow by it.",
        "working_page": "This is the plain table. The working page, where you set your own ground, price and kind of year, opens when this file is opened in a web browser on a phone or a computer.",
        "working_page_at": "This is the plain table. The working page, where you set your own ground, price and kind of year, opens when this file is opened in a web browser on a phone or a computer, or at {address}",
        "ground": "For ground that usually makes {usual} {unit}.",
        "ground_near": "For ground near {site} that usually makes {usual} {unit}.",
        "money": "Grain at {price}, costs {cost}.",
        "per_bushel": "{money} a bushel",
        "per_hundred_pounds": "{money} a hundredweight",
        "per_tonne": "{money} a tonne",
        "per_acre": "{money} an acre",
        "per_hectare": "{money} a hectare",
        "caption": "Average in {unit}, and how often it falls short in 20 such years, each as likely. Not past years, not a weather forecast.",
        "variety": "Variety",
        "as_it_comes": "The year as it comes",
        "dry_third": "If it turns out dry (driest third)",
        "driest_fifth": "If it turns out very dry (driest fifth)",
        "loses_money": "loses money in {count} of 20",
        "loses_money_none": "loses money in fewer than 1 in 20",
        "falls_short": "falls short of {target} {unit} in {count} of 20",
        "falls_short_none": "falls short of {target} {unit} in fewer than 1 in 20",
        "well_tested": "well tested: {seasons}, {trials}",
        "new": "new: {seasons}, {trials}",
        "no_longer_tested": "no longer tested, last in {last}: {seasons}, {trials}",
        "season_one": English.seasons(1),
        "season_many": "{count} seasons",
        "trial_one": "1 trial",
        "trial_many": "{count} trials",
        "never_this_dry": English.never_tested(WaterOutlook::Dry),
        "drier_than_harvested": English.drier_than_harvested(),
        "too_close": "Too close to call over the years: {varieties}.",
        "data_date": "Data of {date}.",
        "contact": "Ask: {contact}.",
        "funded_by": "Paid for by {funded_by}.",
        "cautions": English.cautions(),
        "shell": {
            "too_old": "This browser is too old for the working page. The plain table below is complete; a newer browser opens the rest.",
            "failed": "The page stopped working. Nothing you saved is lost; the plain table is below.",
            "failed_twice": "The page stopped working again, so here is the plain table.",
            "open_again": "Open again as it was",
            "start_over": "Start over",
            "last_link": "Your last settings as a link:"
        }
    })
}
