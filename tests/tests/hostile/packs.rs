//! Packs: the list that the page is held to as well (`tests/hostile/packs.json`), and damage by chance.

use super::interrogate::ask;
use super::small::sound;
use leanyear_engine::decide::Advisor;
use leanyear_engine::pack::{Pack, read};
use leanyear_tests::hostile::{cases, within};
use leanyear_tests::root;
use proptest::prelude::*;
use serde_json::{Value, json};
use std::sync::OnceLock;

/// Stands where a text is put that JSON could not hold otherwise.
const HERE: &str = "put the text here";

fn sound_pack() -> &'static str {
    static TEXT: OnceLock<String> = OnceLock::new();
    TEXT.get_or_init(|| Pack::new(read(&sound()).network.unwrap()).unwrap().to_json().unwrap())
}

fn place<'v>(value: &'v mut Value, path: &[Value]) -> &'v mut Value {
    path.iter().fold(value, |value, step| match step {
        Value::String(key) => &mut value[key.as_str()],
        step => &mut value[step.as_u64().unwrap() as usize],
    })
}

/// A pack changed as an entry of the list says.
fn changed(pack: &str, entry: &Value) -> String {
    if let Some(text) = entry["text"].as_str() {
        return text.to_owned();
    }
    if let Some(share) = entry["cut"].as_f64() {
        return pack[..(pack.len() as f64 * share) as usize].to_owned();
    }
    let nested = entry["nest"].as_u64().map(|deep| "[".repeat(deep as usize) + &"]".repeat(deep as usize));
    let mut value: Value = serde_json::from_str(pack).unwrap();
    for (what, remove) in [("remove", true), ("copy", false)] {
        let Some((last, path)) = entry[what].as_array().and_then(|path| path.split_last()) else { continue };
        let holder = place(&mut value, path);
        match last {
            Value::String(key) => _ = holder.as_object_mut().unwrap().remove(key).expect("it is there"),
            at if remove => _ = holder.as_array_mut().unwrap().remove(at.as_u64().unwrap() as usize),
            at => {
                let copied = holder[at.as_u64().unwrap() as usize].clone();
                holder.as_array_mut().unwrap().push(copied);
            }
        }
        return value.to_string();
    }
    let text =
        nested.or_else(|| entry["json"].as_str().map(str::to_owned)).expect("an entry says what changes");
    match entry["at"].as_array() {
        Some(path) => {
            let target = place(&mut value, path);
            assert_ne!(target.to_string(), text, "{}: nothing would change", entry["name"]);
            *target = json!(HERE);
            value.to_string().replace(&format!("\"{HERE}\""), &text)
        }
        None => text,
    }
}

/// Whether a text opens; what it answers is finite then, and its refusal a sentence.
fn opens(text: &str) -> Result<bool, String> {
    let advisor = match Pack::from_json(text) {
        Ok(pack) => Advisor::new(pack).map_err(|error| error.to_string()),
        Err(error) => Err(error.to_string()),
    };
    match advisor {
        Ok(advisor) => {
            for link in ["", "water=dry&price=200&cost=300"] {
                ask(&advisor, link)?;
            }
            Ok(true)
        }
        Err(sentence) if sentence.split_whitespace().count() >= 5 => Ok(false),
        Err(words) => Err(format!("no sentence: {words}")),
    }
}

#[test]
fn every_pack_of_the_list_is_refused_in_a_sentence_or_opens() {
    let list = std::fs::read_to_string(root().join("tests/hostile/packs.json")).unwrap();
    let list: Vec<Value> = serde_json::from_str(&list).unwrap();
    assert!(opens(sound_pack()).unwrap(), "the pack that is changed opens");
    for entry in &list {
        let (text, name) = (changed(sound_pack(), entry), entry["name"].to_string());
        let result = within(30, &name, move || opens(&text)).unwrap_or_else(|lost| panic!("{name}: {lost}"));
        assert_eq!(result, entry["opens"] == true, "{name}");
    }
}

/// What a value may become.
fn hostile_value() -> impl Strategy<Value = Value> {
    let numbers = [
        0.0,
        -0.0,
        -1.0,
        0.5,
        1.0,
        2.0,
        9.0,
        1e-300,
        1e-9,
        1e5,
        1e9,
        1e12,
        1e18,
        1e300,
        -1e300,
        2_147_483_647.0,
        99_999_999.0,
        4_294_967_295.0,
    ];
    prop_oneof![
        4 => prop::sample::select(numbers.map(|x| json!(x)).to_vec()),
        2 => (-3.0..4.0_f64).prop_map(|power| json!(10f64.powf(power))),
        1 => Just(Value::Null),
        1 => any::<bool>().prop_map(Value::Bool),
        1 => any::<i64>().prop_map(|x| json!(x)),
        2 => prop::sample::select(vec!["", "NaN", "Infinity", "V0", "T0", "S1", "dryland", "rust", "price", "=1+1", "'", "\u{0}", "\u{feff}", "a,b\n\"c"])
            .prop_map(|text| json!(text)),
        1 => Just(json!([])),
        1 => Just(json!({})),
        1 => (1..60_usize).prop_map(|deep| (0..deep).fold(json!(1), |inner, _| json!([inner]))),
    ]
}

/// The place that a number chooses among all places of a document; small tables are found as often as large ones.
fn chosen<'v>(value: &'v mut Value, numbers: &mut impl Iterator<Item = usize>) -> &'v mut Value {
    let at = numbers.next().unwrap_or_default();
    if value.as_object().is_some_and(|map| !map.is_empty()) {
        let map = value.as_object_mut().unwrap();
        let length = map.len();
        return chosen(map.values_mut().nth(at % length).unwrap(), numbers);
    }
    if value.as_array().is_some_and(|items| !items.is_empty()) && !at.is_multiple_of(8) {
        let items = value.as_array_mut().unwrap();
        let length = items.len();
        return chosen(&mut items[at % length], numbers);
    }
    value
}

/// Some other change of the whole value at the place chosen.
fn swapped(value: &mut Value, at: usize) {
    match value {
        Value::Array(items) if !items.is_empty() => {
            let length = items.len();
            match at % 3 {
                0 => items.truncate(at % length),
                1 => items.push(items[at % length].clone()),
                _ => items.reverse(),
            }
        }
        Value::Number(number) => {
            *value =
                json!(number.as_f64().unwrap_or_default() * if at.is_multiple_of(2) { 1e3 } else { -1.0 })
        }
        _ => *value = Value::Null,
    }
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn a_pack_with_a_value_changed_is_refused_or_answers(
        changes in prop::collection::vec((prop::collection::vec(any::<usize>(), 8), prop::option::of(hostile_value())), 1..3),
    ) {
        let mut value: Value = serde_json::from_str(sound_pack()).unwrap();
        for (numbers, new) in &changes {
            let target = chosen(&mut value, &mut numbers.iter().copied());
            match new {
                Some(new) => *target = new.clone(),
                None => swapped(target, numbers[0]),
            }
        }
        let text = value.to_string();
        let what = format!("{changes:?}");
        prop_assert!(within(30, &what, move || opens(&text)).is_ok(), "{what}");
    }

    #[test]
    fn a_pack_with_letters_changed_is_refused_or_answers(
        at in any::<usize>(), length in 0..40_usize, new in "[0-9eE.,:\\[\\]{}\"a-z-]{0,8}",
    ) {
        let mut text = sound_pack().to_owned();
        // The network is ASCII throughout.
        let start = at % text.len();
        text.replace_range(start..(start + length).min(text.len()), &new);
        let what = format!("{start}, {length}: {new}");
        prop_assert!(within(30, &what, move || opens(&text)).is_ok(), "{what}");
    }
}
