//! The published schema of the pack describes the packs that are written: every key is in it, with its type.
//!
//! A walk over the parts of JSON Schema (draft 2020-12) that the document uses: type, enum, const, properties,
//! required, additionalProperties, items.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::test_folder::{plots_of_two_trials, with};
use super::{Pack, read};
use serde_json::Value;

const SCHEMA: &str = include_str!("pack.schema.json");

fn is(kind: &str, value: &Value) -> bool {
    match kind {
        "null" => value.is_null(),
        "string" => value.is_string(),
        "number" => value.is_number(),
        "integer" => value.is_i64(),
        "boolean" => value.is_boolean(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        other => panic!("the walk does not know the type {other}"),
    }
}

/// Every fault of a value, by path.
fn faults(schema: &Value, value: &Value, path: &str, found: &mut Vec<String>) {
    if let Some(kind) = schema.get("type") {
        let kinds: Vec<&str> = kind.as_array().map_or_else(
            || kind.as_str().into_iter().collect(),
            |list| list.iter().filter_map(Value::as_str).collect(),
        );
        if !kinds.iter().any(|kind| is(kind, value)) {
            found.push(format!("{path}: {value} is none of {kinds:?}"));
        }
    }
    let listed = schema.get("enum").and_then(Value::as_array);
    if listed.is_some_and(|list| !list.contains(value))
        || schema.get("const").is_some_and(|only| only != value)
    {
        found.push(format!("{path}: {value} is not allowed"));
    }
    if let (Some(items), Some(list)) = (schema.get("items"), value.as_array()) {
        for (place, item) in list.iter().enumerate() {
            faults(items, item, &format!("{path}[{place}]"), found);
        }
    }
    let Some(map) = value.as_object() else { return };
    for key in schema.get("required").and_then(Value::as_array).into_iter().flatten() {
        if !map.contains_key(key.as_str().unwrap()) {
            found.push(format!("{path}: {key} is not there"));
        }
    }
    for (key, inner) in map {
        match schema.get("properties").and_then(|properties| properties.get(key)) {
            Some(schema) => faults(schema, inner, &format!("{path}.{key}"), found),
            None if schema.get("additionalProperties") == Some(&Value::Bool(false)) => {
                found.push(format!("{path}: {key} is not in the schema"));
            }
            None => {}
        }
    }
}

fn pack() -> Value {
    let network = read(&with("plots.csv", &plots_of_two_trials())).network.unwrap();
    serde_json::from_str(&Pack::new(network).unwrap().to_json().unwrap()).unwrap()
}

#[test]
fn what_is_written_is_as_the_schema_says() {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    let mut found = Vec::new();
    faults(&schema, &pack(), "pack", &mut found);
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn what_is_not_as_the_schema_says_is_seen() {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    for (pointer, value) in [
        ("/version", Value::from(2)),
        ("/network/info/yield_unit", Value::from("bushels")),
        ("/network/means/0/yield", Value::from("2.1")),
        ("/network/trials/0", serde_json::json!({"trial": "T1"})),
    ] {
        let mut pack = pack();
        *pack.pointer_mut(pointer).unwrap() = value;
        let mut found = Vec::new();
        faults(&schema, &pack, "pack", &mut found);
        assert!(!found.is_empty(), "{pointer}");
    }
}
