//! `network.json` as a form: reading and writing one key of its text at a time.
//!
//! What cannot be a number is kept as it was typed, so that the reader names it like any other problem; nothing
//! typed is ever thrown away. It knows keys, not their meaning.

use crate::number::read;
use serde_json::{Map, Value};

/// Far above any number that the form asks for.
const MOST: f64 = 1e12;

/// How a key is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A line of text.
    Text,
    /// A number.
    Number,
    /// One of a few words.
    Word(&'static [&'static str]),
    /// Codes between commas.
    List,
    /// Yes or no.
    Flag,
}

/// The keys that the form asks for, in its order. A dot leads into an object.
pub const KEYS: [(&str, Kind); 17] = [
    ("name", Kind::Text),
    ("crop", Kind::Text),
    ("yield_unit", Kind::Word(&["bu/ac", "t/ha", "kg/ha", "lb/ac"])),
    ("bushel_lb", Kind::Number),
    ("water_unit", Kind::Word(&["mm", "in"])),
    ("checks", Kind::List),
    ("currency", Kind::Text),
    ("defaults.price", Kind::Number),
    ("defaults.cost", Kind::Number),
    ("defaults.system", Kind::Text),
    ("data_date", Kind::Text),
    ("contact", Kind::Text),
    ("funded_by", Kind::Text),
    ("home_url", Kind::Text),
    ("seasons_to_prove", Kind::Number),
    ("lapse_after", Kind::Number),
    ("invented", Kind::Flag),
];

fn object(text: &str) -> Map<String, Value> {
    match serde_json::from_str(text.trim_start_matches('\u{feff}')) {
        Ok(Value::Object(map)) => map,
        _ => Map::new(),
    }
}

fn found<'a>(map: &'a Map<String, Value>, key: &str) -> Option<&'a Value> {
    match key.split_once('.') {
        Some((outer, inner)) => map.get(outer).and_then(|value| value.get(inner)),
        None => map.get(key),
    }
}

/// The number that a key holds, if it is one.
pub fn number(text: &str, key: &str) -> Option<f64> {
    found(&object(text), key)?.as_f64()
}

/// What a key holds, as it is typed; empty where the text has none.
pub fn value(text: &str, key: &str) -> String {
    let map = object(text);
    match found(&map, key) {
        None | Some(Value::Null) => String::new(),
        Some(Value::String(text)) => text.clone(),
        Some(Value::Array(items)) => {
            let texts =
                items.iter().map(|item| item.as_str().map_or_else(|| item.to_string(), str::to_owned));
            texts.collect::<Vec<_>>().join(", ")
        }
        Some(other) => other.to_string(),
    }
}

/// The text with one key set to what was typed; an empty text takes the key away.
pub fn with_value(text: &str, key: &str, kind: Kind, typed: &str) -> String {
    let mut map = object(text);
    let value = typed_value(kind, typed.trim());
    match key.split_once('.') {
        Some((outer, inner)) => {
            let entry = map.entry(outer.to_owned()).or_insert_with(|| Value::Object(Map::new()));
            if let Value::Object(inside) = entry {
                put(inside, inner, value);
            }
        }
        None => put(&mut map, key, value),
    }
    format!("{:#}\n", Value::Object(map))
}

fn put(map: &mut Map<String, Value>, key: &str, value: Option<Value>) {
    match value {
        Some(value) => _ = map.insert(key.to_owned(), value),
        None => _ = map.remove(key),
    }
}

fn typed_value(kind: Kind, typed: &str) -> Option<Value> {
    if typed.is_empty() {
        return None;
    }
    Some(match kind {
        Kind::Text | Kind::Word(_) => Value::from(typed),
        Kind::Flag => Value::from(typed == "true"),
        Kind::List => {
            typed.split([',', ';']).map(str::trim).filter(|code| !code.is_empty()).map(Value::from).collect()
        }
        Kind::Number => {
            // What can be read in two ways is kept as text, like what is no number: the reader names both.
            match read(typed, 0.0, MOST) {
                Ok(number) if number.fract() == 0.0 => Value::from(number as i64),
                Ok(number) => Value::from(number),
                Err(_) => Value::from(typed),
            }
        }
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn what_is_typed_is_found_again() {
        let mut text = String::new();
        for (key, kind, typed, shown) in [
            ("name", Kind::Text, "Upland \"wheat\" </script>", "Upland \"wheat\" </script>"),
            ("bushel_lb", Kind::Number, "60", "60"),
            ("defaults.price", Kind::Number, "5,8", "5.8"),
            ("defaults.cost", Kind::Number, "a lot", "a lot"),
            ("defaults.cost", Kind::Number, "1.250", "1.250"),
            ("defaults.cost", Kind::Number, "1.250,5", "1250.5"),
            ("seasons_to_prove", Kind::Number, "-3", "-3"),
            ("checks", Kind::List, "V1; V2 ,", "V1, V2"),
            ("invented", Kind::Flag, "true", "true"),
        ] {
            text = with_value(&text, key, kind, typed);
            assert_eq!(value(&text, key), shown, "{key}");
        }
        assert_eq!(value(&text, "defaults.price"), "5.8");
        text = with_value(&text, "defaults.price", Kind::Number, "");
        assert_eq!(value(&text, "defaults.price"), "");
        assert_eq!(value("not json", "name"), "");
    }

    #[test]
    fn what_the_form_does_not_ask_for_stays() {
        let text = with_value(r#"{"name": "A", "notes": "keep", "odd": [1]}"#, "name", Kind::Text, "B");
        let value: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(value, serde_json::json!({"name": "B", "notes": "keep", "odd": [1]}));
    }
}
