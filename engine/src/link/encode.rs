//! Settings to the text of a link.
//!
//! Knows the table of keys; knows no network but for its defaults.

use super::defaults::LinkDefaults;
use super::keys::{DOCK, Holds, KEYS, SPRAY};
use super::percent;
use super::settings::Settings;
use super::words::{self, AS_IT_COMES};
use crate::order::Set;

/// The version of the syntax that is written and read.
pub(super) const VERSION: &str = "1";

/// The text after `#`: `v` and `pack` always, then whatever differs from the defaults, in the order of the table
/// of keys, so that equal settings give equal texts.
///
/// A default that was turned off is written with an empty value (`price=` is no price), a disease that comes as
/// it comes with `any`. Where the unit is not the default one, the defaults count in that unit. Numbers are written in the shortest form that reads back as the same number. The
/// settings are normalised first; see [`Settings::normalised`].
pub fn encode(settings: &Settings, defaults: &LinkDefaults) -> String {
    let mut here = settings.clone().normalised();
    let mut there = Settings { unit: defaults.settings().unit, ..defaults.in_unit(here.unit) };
    let mut pairs = Vec::new();
    for key in KEYS {
        match key.holds {
            Holds::Diseases => pairs.extend(diseases(&here, &there)),
            Holds::Sprays => pairs.extend(sprays(&here, &there)),
            Holds::Docks { .. } => pairs.extend(docks(&here, &there)),
            holds => {
                let text = written(holds, &mut here);
                let always = matches!(holds, Holds::Version | Holds::Pack);
                if always || text != written(holds, &mut there) {
                    pairs.push(format!("{}={text}", key.key));
                }
            }
        }
    }
    pairs.join("&")
}

/// The value of one key; empty for none.
fn written(holds: Holds, settings: &mut Settings) -> String {
    match holds {
        Holds::Version => VERSION.to_owned(),
        Holds::Pack => settings.pack.clone().unwrap_or_default(),
        Holds::Number { get, .. } => get(settings).map(|value| value.to_string()).unwrap_or_default(),
        Holds::Code { get, .. } => percent::encode(get(settings).unwrap_or_default()),
        Holds::Codes { get, .. } => {
            get(settings).iter().map(|code| percent::encode(code)).collect::<Vec<_>>().join(",")
        }
        Holds::Word { get, .. } => percent::encode(&get(settings)),
        Holds::Acres { .. } => {
            let item = |(variety, area): &(String, f64)| format!("{}:{area}", percent::encode(variety));
            settings.acres.iter().map(item).collect::<Vec<_>>().join(",")
        }
        // Each of these is many keys and is written by its own function.
        Holds::Diseases | Holds::Sprays | Holds::Docks { .. } => String::new(),
    }
}

fn diseases(here: &Settings, there: &Settings) -> Vec<String> {
    let traits: Set<&String> = here.diseases.keys().chain(there.diseases.keys()).collect();
    let differing =
        traits.into_iter().filter(|trait_| here.diseases.get(*trait_) != there.diseases.get(*trait_));
    let pair = |trait_: &String| {
        let word =
            here.diseases.get(trait_).map_or(AS_IT_COMES, |level| words::word_of(&words::PRESSURES, *level));
        format!("{}={word}", percent::encode(trait_))
    };
    differing.map(pair).collect()
}

fn sprays(here: &Settings, there: &Settings) -> Vec<String> {
    let traits: Set<&String> = here.sprays.keys().chain(there.sprays.keys()).collect();
    let differing = traits.into_iter().filter(|trait_| here.sprays.get(*trait_) != there.sprays.get(*trait_));
    let pair = |trait_: &String| {
        let spray = here.sprays.get(trait_).map(|spray| format!("{}:{}", spray.cost, spray.efficacy));
        format!("{SPRAY}{}={}", percent::encode(trait_), spray.unwrap_or_default())
    };
    differing.map(pair).collect()
}

fn docks(here: &Settings, there: &Settings) -> Vec<String> {
    let traits: Set<&String> = here.docks.keys().chain(there.docks.keys()).collect();
    let differing = traits.into_iter().filter(|trait_| here.docks.get(*trait_) != there.docks.get(*trait_));
    let pair = |trait_: &String| {
        let steps = here.docks.get(trait_).map(Vec::as_slice).unwrap_or_default();
        let steps: Vec<String> = steps.iter().map(|step| format!("{}:{}", step.below, step.off)).collect();
        format!("{DOCK}{}={}", percent::encode(trait_), steps.join(","))
    };
    differing.map(pair).collect()
}
