//! The nearest trial site, by zone; a zone without a site; or none of them.

use super::{Choice, Page, choices};
use crate::text::Label;
use crate::update::Msg;
use crate::view::sentence::site_name;
use yew::prelude::*;

/// Sites by zone, in file order.
pub(super) fn places(page: &Page) -> Html {
    let settings = &page.state.settings;
    let mut zones: Vec<&str> = Vec::new();
    for site in &page.network.sites {
        if !zones.contains(&site.zone.as_str()) {
            zones.push(&site.zone);
        }
    }
    let none = Choice {
        words: page.label(Label::NoPlace).to_owned(),
        under: None,
        msg: Msg::NoPlace,
        chosen: Some(settings.site.is_none() && settings.zone.is_none()),
    };
    html! {
        <>
            { for zones.into_iter().map(|zone| html! {
                <>
                    <h3>{ if zone.is_empty() { page.words.no_zone() } else { zone } }</h3>
                    { choices(page, in_zone(page, zone)) }
                </>
            }) }
            { choices(page, vec![none]) }
        </>
    }
}

fn in_zone(page: &Page, zone: &str) -> Vec<Choice> {
    let settings = &page.state.settings;
    let mut list: Vec<Choice> = page
        .network
        .sites
        .iter()
        .filter(|site| site.zone == zone)
        .map(|site| Choice {
            words: site_name(page, &site.site),
            under: None,
            msg: Msg::Site(site.site.clone()),
            chosen: Some(settings.site.as_ref() == Some(&site.site)),
        })
        .collect();
    if !zone.is_empty() {
        list.push(Choice {
            words: page.words.zone_option(zone),
            under: None,
            msg: Msg::Zone(zone.to_owned()),
            chosen: Some(settings.site.is_none() && settings.zone.as_deref() == Some(zone)),
        });
    }
    list
}
