//! The sentences of the static table and of the shell's own screens, as the page's catalogue hands them
//! over. The engine writes none of them; it only puts values where the catalogue left a place.

use crate::order::Map;
use serde::{Deserialize, Serialize};

/// Catalogue text of the static table, with places such as `{count}` that each field's note names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StaticWords {
    /// Language code, for `lang`; `es` chooses the Spanish notes.
    pub lang: String,
    /// Decimal sign of numbers.
    pub decimal_sign: String,
    /// What a network named `invented` says first.
    pub invented: String,
    /// How to get the working page, where no address is known.
    pub working_page: String,
    /// The same with an address: `{address}`.
    pub working_page_at: String,
    /// The ground: `{usual}`, `{unit}`.
    pub ground: String,
    /// The ground near a site: `{site}`, `{usual}`, `{unit}`.
    pub ground_near: String,
    /// Price and cost: `{price}`, `{cost}`, each already worded by the fields below.
    pub money: String,
    /// `{money}`.
    pub per_bushel: String,
    /// `{money}`.
    pub per_hundred_pounds: String,
    /// `{money}`.
    pub per_tonne: String,
    /// `{money}`.
    pub per_acre: String,
    /// `{money}`.
    pub per_hectare: String,
    /// Names of production systems by the codes that networks use for them; another goes by its code.
    pub systems: Map<String, String>,
    /// Caption: `{unit}`.
    pub caption: String,
    /// Column heading: every season of the record alike.
    pub as_it_comes: String,
    /// Column heading: the driest third.
    pub dry_third: String,
    /// Column heading: the driest fifth.
    pub driest_fifth: String,
    /// `{count}` of twenty years lose money, one or more.
    pub loses_money: String,
    /// None of the twenty does.
    pub loses_money_none: String,
    /// `{count}` of twenty years fall short of `{target}` `{unit}`, one or more.
    pub falls_short: String,
    /// None of the twenty does: `{target}`, `{unit}`.
    pub falls_short_none: String,
    /// How long tested: `{seasons}`, `{trials}`, each already worded.
    pub well_tested: String,
    /// The same for a new one.
    pub new: String,
    /// One season.
    pub season_one: String,
    /// `{count}` seasons.
    pub season_many: String,
    /// One trial.
    pub trial_one: String,
    /// `{count}` trials.
    pub trial_many: String,
    /// Said of a variety that no chain of trials joins to most of the others.
    pub tested_apart: String,
    /// A variety without a trial in a year this dry.
    pub never_this_dry: String,
    /// Part of the years assumed is drier than any harvested trial.
    pub drier_than_harvested: String,
    /// `{varieties}` cannot be told apart over the long run.
    pub too_close: String,
    /// One variety is left out: no longer tested, or never in this system.
    pub left_out_one: String,
    /// `{count}` varieties are left out.
    pub left_out_many: String,
    /// `{date}` of the data.
    pub data_date: String,
    /// `{contact}`.
    pub contact: String,
    /// `{funded_by}`.
    pub funded_by: String,
    /// The cautions, one sentence each.
    pub cautions: Vec<String>,
    /// The shell's own screens.
    pub shell: ShellWords,
}

/// What the shell says when the page itself cannot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShellWords {
    /// The browser is too old for the working page.
    pub too_old: String,
    /// The page stopped working.
    pub failed: String,
    /// It stopped twice at once; the table stays.
    pub failed_twice: String,
    /// Button: open again with these settings.
    pub open_again: String,
    /// Button: start with the settings of the network.
    pub start_over: String,
    /// Before the link that holds the last settings.
    pub last_link: String,
}

/// `template` with each `{key}` replaced by its value, in one pass: a value is never searched for places.
pub(super) fn place(template: &str, values: &[(&str, &str)]) -> String {
    let mut text = String::with_capacity(template.len());
    let mut rest = template;
    while let Some(at) = rest.find('{') {
        let (before, from) = rest.split_at(at);
        text.push_str(before);
        let found = values.iter().find_map(|(key, value)| {
            from[1..].strip_prefix(key)?.strip_prefix('}').map(|after| (*value, after))
        });
        if let Some((value, after)) = found {
            text.push_str(value);
            rest = after;
        } else {
            text.push('{');
            rest = &from[1..];
        }
    }
    text + rest
}

#[cfg(test)]
mod tests {
    use super::place;

    #[test]
    fn values_are_placed_once_and_never_searched() {
        let values = [("a", "{b}"), ("b", "1")];
        assert_eq!(place("{a} of {b}, {c}, {", &values), "{b} of 1, {c}, {");
    }
}
