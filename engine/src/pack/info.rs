//! `network.json` as [`NetworkInfo`], every fault named with its line or its path.
//!
//! Keys are judged one by one and not by deriving, because a derived reader stops at the first fault.
//! Knows no CSV file; codes named here are checked against the tables elsewhere.

use super::columns::NETWORK_JSON;
use super::figures::to_figures;
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::tables::{Defaults, NetworkInfo, WaterUnit, YieldUnit};
use super::terms::JsonType;
use super::units::{WATER_UNITS, YIELD_UNITS};
use crate::link::keys;
use serde::Deserialize;
use serde::de::{Deserializer, IgnoredAny, MapAccess, Visitor};
use serde_json::{Map, Value};
use std::fmt;

/// Significant figures of a number in `network.json`: more than any price or weight has.
const FIGURES: usize = 12;

/// The most bytes that are read: parsed, a hostile file of brackets takes thirty times its size.
const MOST_BYTES: usize = 1 << 20;

/// Reads `network.json`; `None` where no network can be made of it, after every fault was named.
pub(super) fn read(bytes: &[u8], problems: &mut Problems) -> Option<NetworkInfo> {
    let errors_before = problems.errors.len();
    let bytes = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
    let limit = MOST_BYTES;
    if bytes.len() > limit {
        problems.error(Place::file(NETWORK_JSON), ProblemKind::FileTooLarge { bytes: bytes.len(), limit });
        return None;
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        problems.error(Place::file(NETWORK_JSON), ProblemKind::NotUtf8);
        return None;
    };
    let value: Value = match serde_json::from_str(text) {
        Ok(value) => value,
        Err(error) => {
            // The library's text ends with the place, which is given apart.
            let message = error.to_string().split(" at line ").next().unwrap_or_default().to_owned();
            let kind = ProblemKind::JsonSyntax { position: error.column(), message };
            problems.error(Place::row(NETWORK_JSON, error.line()), kind);
            return None;
        }
    };
    name_repeated_keys(text, problems);
    let Value::Object(map) = value else {
        problems.error(Place::file(NETWORK_JSON), ProblemKind::WrongType { expected: JsonType::Object });
        return None;
    };
    let info = network_info(Keys { map, prefix: "", problems });
    (problems.errors.len() == errors_before).then_some(info)
}

/// Stands in a default for every faulty value, so that the faults behind it are named too.
fn network_info(mut keys: Keys<'_>) -> NetworkInfo {
    let name = keys.needed("name", Keys::filled_text);
    let yield_unit = keys.needed("yield_unit", |keys, key| keys.word(key, &YIELD_UNITS));
    let bushel_lb = keys.number("bushel_lb", 1.0, 200.0);
    if yield_unit == Some(YieldUnit::BushelPerAcre) && bushel_lb.is_none() {
        keys.problems.warn(Place::column(NETWORK_JSON, "bushel_lb"), ProblemKind::BushelUnknown);
    }
    let info = NetworkInfo {
        name: name.unwrap_or_default(),
        crop: keys.text("crop").unwrap_or_default(),
        invented: keys.flag("invented").unwrap_or(false),
        yield_unit: yield_unit.unwrap_or(YieldUnit::TonnePerHectare),
        bushel_lb,
        water_unit: keys.word("water_unit", &WATER_UNITS).unwrap_or(WaterUnit::Millimetre),
        currency: keys.text("currency").unwrap_or_default(),
        home_url: keys.text("home_url").unwrap_or_default(),
        data_date: keys.text("data_date").unwrap_or_default(),
        contact: keys.text("contact").unwrap_or_default(),
        funded_by: keys.text("funded_by").unwrap_or_default(),
        lang: keys.text("lang").unwrap_or_default(),
        seasons_to_prove: keys.whole("seasons_to_prove", 1, 20).unwrap_or(3),
        lapse_after: keys.whole("lapse_after", 1, 20).unwrap_or(2),
        plot_error_share: keys.number("plot_error_share", 0.0, 1.0).unwrap_or(0.5),
        checks: keys.text_list("checks"),
        defaults: defaults(&mut keys),
        notes: keys.text("notes").unwrap_or_default(),
    };
    keys.name_the_rest();
    info
}

fn defaults(keys: &mut Keys<'_>) -> Defaults {
    let map = match keys.take("defaults") {
        None => return Defaults::default(),
        Some(Value::Object(map)) => map,
        Some(_) => {
            keys.wrong("defaults", JsonType::Object);
            return Defaults::default();
        }
    };
    let mut inner = Keys { map, prefix: "defaults.", problems: keys.problems };
    // A default that no link could hold could not be sent on.
    let mut number = |key: &str| {
        let (low, high) = keys::range(key);
        inner.number(key, low, high)
    };
    let defaults = Defaults {
        price: number("price"),
        cost: number("cost"),
        usual: number("usual"),
        system: inner.filled_text("system"),
        site: inner.filled_text("site"),
    };
    inner.name_the_rest();
    defaults
}

/// The keys of one object that were not read yet.
struct Keys<'a> {
    map: Map<String, Value>,
    prefix: &'static str,
    problems: &'a mut Problems,
}

impl Keys<'_> {
    fn error(&mut self, key: &str, kind: ProblemKind) {
        let path = format!("{}{key}", self.prefix);
        self.problems.error(Place::column(NETWORK_JSON, &path), kind);
    }

    fn wrong(&mut self, key: &str, expected: JsonType) {
        self.error(key, ProblemKind::WrongType { expected });
    }

    /// Takes a key's value; `null` is as good as absent.
    fn take(&mut self, key: &str) -> Option<Value> {
        self.map.remove(key).filter(|value| !value.is_null())
    }

    fn needed<T>(&mut self, key: &str, read: impl FnOnce(&mut Self, &str) -> Option<T>) -> Option<T> {
        if self.map.get(key).is_none_or(Value::is_null) {
            self.map.remove(key);
            self.error(key, ProblemKind::KeyMissing);
            return None;
        }
        read(self, key)
    }

    fn text(&mut self, key: &str) -> Option<String> {
        match self.take(key)? {
            Value::String(text) => Some(text.trim().to_owned()),
            _ => {
                self.wrong(key, JsonType::Text);
                None
            }
        }
    }

    fn filled_text(&mut self, key: &str) -> Option<String> {
        let text = self.text(key)?;
        if text.is_empty() {
            self.wrong(key, JsonType::FilledText);
            return None;
        }
        Some(text)
    }

    fn flag(&mut self, key: &str) -> Option<bool> {
        let value = self.take(key)?;
        if !value.is_boolean() {
            self.wrong(key, JsonType::Flag);
        }
        value.as_bool()
    }

    fn number(&mut self, key: &str, low: f64, high: f64) -> Option<f64> {
        let Some(value) = self.take(key)?.as_f64() else {
            self.wrong(key, JsonType::Number);
            return None;
        };
        // What was worked out elsewhere and not rounded, such as 352.00000000000006, is not written on.
        let value = to_figures(value, FIGURES);
        if !(low..=high).contains(&value) {
            let kind = ProblemKind::OutOfRange { text: value.to_string(), low: Some(low), high: Some(high) };
            self.error(key, kind);
            return None;
        }
        Some(value)
    }

    fn whole(&mut self, key: &str, low: u32, high: u32) -> Option<u32> {
        let value = self.number(key, f64::from(low), f64::from(high))?;
        if value.fract() != 0.0 {
            self.wrong(key, JsonType::Whole);
            return None;
        }
        // In range and whole, so the conversion is exact.
        Some(value as u32)
    }

    fn word<T: Copy>(&mut self, key: &str, words: &[(&str, T)]) -> Option<T> {
        let text = self.text(key)?;
        let found = words.iter().find(|(word, _)| *word == text).map(|(_, value)| *value);
        if found.is_none() {
            let allowed = words.iter().map(|(word, _)| (*word).to_owned()).collect();
            self.error(key, ProblemKind::WordUnknown { text, allowed });
        }
        found
    }

    fn text_list(&mut self, key: &str) -> Vec<String> {
        let Some(value) = self.take(key) else { return Vec::new() };
        let texts = value.as_array().and_then(|items| {
            items
                .iter()
                .map(|item| item.as_str().map(|text| text.trim().to_owned()))
                .collect::<Option<Vec<_>>>()
        });
        if texts.is_none() {
            self.wrong(key, JsonType::TextList);
        }
        texts.unwrap_or_default()
    }

    fn name_the_rest(self) {
        for key in self.map.keys() {
            let path = format!("{}{key}", self.prefix);
            self.problems.warn(Place::column(NETWORK_JSON, &path), ProblemKind::KeyUnknown);
        }
    }
}

/// The top keys of an object in their order, repeated ones too, which a map would swallow.
struct KeyNames(Vec<String>);

impl<'de> Deserialize<'de> for KeyNames {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Collect;
        impl<'de> Visitor<'de> for Collect {
            type Value = KeyNames;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<KeyNames, A::Error> {
                let mut names = Vec::new();
                while let Some((name, _)) = map.next_entry::<String, IgnoredAny>()? {
                    names.push(name);
                }
                Ok(KeyNames(names))
            }
        }
        deserializer.deserialize_map(Collect)
    }
}

fn name_repeated_keys(text: &str, problems: &mut Problems) {
    let Ok(KeyNames(mut names)) = serde_json::from_str(text) else { return };
    crate::order::sort_by(&mut names, Ord::cmp);
    let repeated: Vec<&String> =
        names.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| &pair[0]).collect();
    for name in repeated {
        problems.error(Place::column(NETWORK_JSON, name), ProblemKind::KeyTwice);
    }
}
