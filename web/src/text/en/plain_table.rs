//! English: the words of the plain table that stands in the page for viewers that run no scripts, and of
//! the screens that the shell shows when the page itself cannot. `{…}` are places for values.

use super::English;
use crate::text::{DetailWords, OddsWords, SettingWords};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::order::Map;
use leanyear_engine::page::{ShellWords, StaticWords};

pub(super) fn words(english: &English) -> StaticWords {
    StaticWords {
        lang: english.lang().into(),
        decimal_sign: english.0.decimal().into(),
        invented: "Invented data: no variety, place or trial here exists; do not sow by it.".into(),
        working_page: "This is the plain table. The working page, where you set your own ground, price and kind of year, opens when this file is opened in a web browser on a phone or a computer.".into(),
        working_page_at: "This is the plain table. The working page, where you set your own ground, price and kind of year, opens when this file is opened in a web browser on a phone or a computer, or at {address}".into(),
        ground: "For ground that usually makes {usual} {unit}.".into(),
        ground_near: "For ground near {site} that usually makes {usual} {unit}.".into(),
        money: "Grain at {price}, costs {cost}.".into(),
        per_bushel: "{money} a bushel".into(),
        per_hundred_pounds: "{money} a hundredweight".into(),
        per_tonne: "{money} a tonne".into(),
        per_acre: "{money} an acre".into(),
        per_hectare: "{money} a hectare".into(),
        systems: Map::new(),
        caption: "Average in {unit}, and how often it falls short in 20 such years, each as likely. Not past years, not a weather forecast.".into(),
        as_it_comes: "The year as it comes".into(),
        dry_third: "If it turns out dry (driest third)".into(),
        driest_fifth: "If it turns out very dry (driest fifth)".into(),
        loses_money: "loses money in {count} of 20".into(),
        loses_money_none: "loses money in fewer than 1 in 20".into(),
        falls_short: "falls short of {target} {unit} in {count} of 20".into(),
        falls_short_none: "falls short of {target} {unit} in fewer than 1 in 20".into(),
        well_tested: "well tested: {seasons}, {trials}".into(),
        new: "new: {seasons}, {trials}".into(),
        season_one: english.seasons(1),
        season_many: "{count} seasons".into(),
        trial_one: "1 trial".into(),
        trial_many: "{count} trials".into(),
        tested_apart: "Tested apart: met the others in no trial, so which is better was never measured.".into(),
        never_this_dry: english.never_tested(WaterOutlook::Dry).into(),
        drier_than_harvested: english.drier_than_harvested().into(),
        too_close: "Too close to call over the years: {varieties}.".into(),
        left_out_one: "Left out: 1 variety, no longer tested or never tested on such ground.".into(),
        left_out_many: "Left out: {count} varieties, no longer tested or never tested on such ground.".into(),
        data_date: "Data of {date}.".into(),
        contact: "Ask: {contact}.".into(),
        funded_by: "Paid for by {funded_by}.".into(),
        cautions: english.cautions().into_iter().map(str::to_owned).collect(),
        shell: ShellWords {
            too_old: "This browser is too old for the working page. The plain table below is complete; a newer browser opens the rest.".into(),
            failed: "The page stopped working. Nothing you saved is lost; the plain table is below.".into(),
            failed_twice: "The page stopped working again, so here is the plain table.".into(),
            open_again: "Open again as it was".into(),
            start_over: "Start over".into(),
            last_link: "Your last settings as a link:".into(),
        },
    }
}
