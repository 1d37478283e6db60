//! Numbers worked out elsewhere, each met within its own tolerance and each seen to matter.
//!
//! A reference is a JSON document. A check puts numbers of ours beside those of the document; [`hold`] then
//! asks for four things: every comparison holds; every number of the document is either compared or taken as
//! an input, so that none is there for show; the same check fails at a number once that number is moved by
//! ten times its tolerance; and there is at least one comparison. It knows neither what is compared nor who
//! worked the numbers out.

use leanyear_engine::order::{Map, Set};
use serde::de::DeserializeOwned;
use serde_json::Value;

/// Tolerances by which a number is moved before a check must fail.
const MOVED_BY: f64 = 10.0;

/// How far a number of ours may be from the one expected: the larger of a share of it and a distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    share: f64,
    distance: f64,
}

impl Tolerance {
    /// A share of the number expected.
    pub fn share(share: f64) -> Tolerance {
        Tolerance { share, distance: 0.0 }
    }

    /// A distance in the number's own unit.
    pub fn within(distance: f64) -> Tolerance {
        Tolerance { share: 0.0, distance }
    }

    /// Half a unit of the last of so many printed decimals.
    pub fn printed(decimals: i32) -> Tolerance {
        // A little more than half: a printed 0.5 may have been rounded either way.
        Tolerance::within(0.501 * 10f64.powi(-decimals))
    }

    /// The same, but never below a distance: for numbers that may be 0.
    pub fn at_least(self, distance: f64) -> Tolerance {
        Tolerance { distance: self.distance.max(distance), ..self }
    }

    fn around(self, want: f64) -> f64 {
        (self.share * want.abs()).max(self.distance)
    }
}

/// A number of ours beside the one expected.
#[derive(Debug, Clone, PartialEq)]
struct Comparison {
    /// JSON pointer to the number expected.
    at: String,
    got: f64,
    want: f64,
    tolerance: f64,
}

impl Comparison {
    fn holds(&self) -> bool {
        // A number that is not finite is never near another.
        (self.got - self.want).abs() <= self.tolerance
    }

    fn verdict(&self) -> Result<(), String> {
        let Comparison { at, got, want, tolerance } = self;
        let apart = (got - want).abs();
        if self.holds() {
            Ok(())
        } else {
            Err(format!("{at}: {got} for {want}, {apart:e} apart where {tolerance:e} is allowed"))
        }
    }
}

/// A document under comparison.
#[derive(Debug)]
pub struct Reference<'a> {
    document: &'a Value,
    comparisons: Vec<Comparison>,
    inputs: Set<String>,
    faults: Vec<String>,
}

impl Reference<'_> {
    /// Takes what stands at a pointer as an input of the check: everything below it counts as read.
    /// `None`, and a fault, where it is not there or of another kind.
    pub fn input<T: DeserializeOwned>(&mut self, at: &str) -> Option<T> {
        let value = self.document.pointer(at).unwrap_or(&Value::Null);
        self.inputs.extend(leaves(value).into_keys().map(|below| format!("{at}{below}")));
        let read = serde_json::from_value(value.clone());
        read.map_err(|error| self.faults.push(format!("{at}: {error}"))).ok()
    }

    /// Compares a number with the one at a pointer.
    pub fn meet(&mut self, at: &str, got: f64, tolerance: Tolerance) {
        match self.document.pointer(at).and_then(Value::as_f64) {
            Some(want) => self.comparisons.push(Comparison {
                at: at.to_owned(),
                got,
                want,
                tolerance: tolerance.around(want),
            }),
            None => self.faults.push(format!("{at}: the reference has no number there")),
        }
    }

    /// Compares a list of numbers with the one at a pointer, in order and of the same length.
    pub fn meet_list(&mut self, at: &str, got: &[f64], tolerance: Tolerance) {
        let length = self.document.pointer(at).and_then(Value::as_array).map(Vec::len);
        if length != Some(got.len()) {
            self.faults.push(format!("{at}: {} numbers for {length:?}", got.len()));
        }
        for (place, value) in got.iter().enumerate().take(length.unwrap_or(0)) {
            self.meet(&format!("{at}/{place}"), *value, tolerance);
        }
    }

    /// Compares numbers by name with those below a pointer: the same names, none more and none less.
    pub fn meet_all(&mut self, at: &str, got: &Map<String, f64>, tolerance: Tolerance) {
        let below = self.document.pointer(at).map(leaves).unwrap_or_default();
        let keys: Map<String, f64> = got.iter().map(|(name, x)| (pointer(name), *x)).collect();
        if !keys.keys().eq(below.keys()) {
            self.faults.push(format!("{at}: has {:?}, should have {:?}", keys, below));
        }
        for (key, value) in keys.iter().filter(|(key, _)| below.contains_key(*key)) {
            self.meet(&format!("{at}{key}"), *value, tolerance);
        }
    }

    /// What does not hold, one sentence each.
    fn failures(&self) -> Vec<String> {
        let apart = self.comparisons.iter().filter_map(|c| c.verdict().err());
        self.faults.iter().cloned().chain(apart).collect()
    }

    /// Numbers of the document that the check neither compared nor took.
    fn unread(&self) -> Vec<String> {
        let compared: Set<&str> = self.comparisons.iter().map(|c| c.at.as_str()).collect();
        let read = |at: &String| compared.contains(at.as_str()) || self.inputs.contains(at);
        leaves(self.document).into_keys().filter(|at| !read(at)).collect()
    }
}

/// Runs a check against a document as it is, and then once more for each number compared, with that number
/// moved by ten times its tolerance.
///
/// # Errors
/// What does not hold; numbers that went unread; numbers that may be moved without the check seeing it.
pub fn hold(document: &Value, check: impl Fn(&mut Reference<'_>)) -> Result<(), String> {
    let run = |document: &Value| {
        let mut reference =
            Reference { document, comparisons: Vec::new(), inputs: Set::new(), faults: Vec::new() };
        check(&mut reference);
        (reference.failures(), reference.unread(), reference.comparisons)
    };
    let (failures, unread, comparisons) = run(document);
    if !failures.is_empty() {
        return Err(failures.join("\n"));
    }
    if comparisons.is_empty() {
        return Err("nothing is compared".to_owned());
    }
    if !unread.is_empty() {
        return Err(format!("never compared: {}", unread.join(", ")));
    }
    let mut moved = document.clone();
    for Comparison { at, want, tolerance, .. } in comparisons {
        put(&mut moved, &at, want + (MOVED_BY * tolerance).copysign(want));
        let seen = run(&moved).2.iter().any(|c| c.at == at && !c.holds());
        put(&mut moved, &at, want);
        if !seen {
            return Err(format!("{at}: moved by {:e}, and nothing fails", MOVED_BY * tolerance));
        }
    }
    Ok(())
}

fn put(document: &mut Value, at: &str, number: f64) {
    if let Some(place) = document.pointer_mut(at) {
        *place = number.into();
    }
}

/// Every number of a JSON tree by its pointer.
pub fn leaves(value: &Value) -> Map<String, f64> {
    fn walk(prefix: &str, value: &Value, into: &mut Map<String, f64>) {
        match value {
            Value::Object(map) => {
                map.iter().for_each(|(key, inner)| walk(&format!("{prefix}{}", pointer(key)), inner, into));
            }
            Value::Array(list) => {
                list.iter().enumerate().for_each(|(i, inner)| walk(&format!("{prefix}/{i}"), inner, into));
            }
            Value::Number(number) => {
                into.insert(prefix.to_owned(), number.as_f64().unwrap_or(f64::NAN));
            }
            _ => {}
        }
    }
    let mut numbers = Map::new();
    walk("", value, &mut numbers);
    numbers
}

/// A name as a step of a JSON pointer (RFC 6901).
fn pointer(name: &str) -> String {
    format!("/{}", name.replace('~', "~0").replace('/', "~1"))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use serde_json::json;

    fn one(got: f64, want: Value, tolerance: Tolerance) -> Result<(), String> {
        hold(&json!({ "x": want }), |r| r.meet("/x", got, tolerance))
    }

    fn fails(result: Result<(), String>, with: &str) {
        let said = result.unwrap_err();
        assert!(said.contains(with), "{said}");
    }

    #[test]
    fn a_wrong_number_fails_and_a_right_one_does_not() {
        one(2.0, json!(2.0), Tolerance::within(1e-9)).unwrap();
        one(2.0 + 0.9e-9, json!(2.0), Tolerance::within(1e-9)).unwrap();
        fails(one(2.0 + 1.1e-9, json!(2.0), Tolerance::within(1e-9)), "/x: 2.0000000011 for 2");
        fails(one(2.0, json!(-2.0), Tolerance::share(1e-3)), "is allowed");
        one(0.0, json!(1e-9), Tolerance::share(1e-6).at_least(1e-8)).unwrap();
        fails(one(5.2346, json!(5.236), Tolerance::printed(3)), "is allowed");
        one(5.2346, json!(5.235), Tolerance::printed(3)).unwrap();
    }

    #[test]
    fn what_is_not_a_number_fails() {
        fails(one(f64::NAN, json!(2.0), Tolerance::within(1.0)), "NaN for 2");
        fails(one(f64::INFINITY, json!(2.0), Tolerance::within(1.0)), "inf for 2");
        fails(one(2.0, json!(null), Tolerance::within(1.0)), "has no number there");
        fails(one(2.0, json!("2"), Tolerance::within(1.0)), "has no number there");
        fails(hold(&json!({"x": 2.0}), |r| drop(r.input::<String>("/x"))), "/x: invalid type");
    }

    /// A check that cannot fail is a defect, whatever makes it so.
    #[test]
    fn a_check_that_cannot_fail_is_refused() {
        fails(one(2.0, json!(2.0), Tolerance::within(f64::INFINITY)), "nothing fails");
        fails(one(2.0, json!(2.0), Tolerance::within(0.0)), "nothing fails");
        fails(hold(&json!({}), |_| ()), "nothing is compared");
        let document = json!({"x": 2.0, "y": [1.0, {"z~/": 3.0}]});
        let meets_x = |r: &mut Reference<'_>| r.meet("/x", 2.0, Tolerance::within(0.1));
        fails(hold(&document, meets_x), "never compared: /y/0, /y/1/z~0~1");
        // The number expected is read back as our own.
        fails(
            hold(&json!({"x": 2.0}), |r| {
                let own = r.input("/x").unwrap_or(0.0);
                r.meet("/x", own, Tolerance::within(0.1));
            }),
            "nothing fails",
        );
    }

    #[test]
    fn lists_and_columns_must_be_whole() {
        let list =
            |got: &[f64]| hold(&json!({"x": [1.0, 2.0]}), |r| r.meet_list("/x", got, Tolerance::within(0.1)));
        list(&[1.0, 2.0]).unwrap();
        fails(list(&[1.0]), "1 numbers for Some(2)");
        fails(list(&[1.0, 2.2]), "/x/1: 2.2 for 2");
        let column = |names: &[&str]| {
            let got = names.iter().map(|name| ((*name).to_owned(), 1.0)).collect();
            hold(&json!({"x": {"a": 1.0, "b/c": 1.0}}), |r| {
                r.meet_all("/x", &got, Tolerance::within(0.1));
            })
        };
        column(&["a", "b/c"]).unwrap();
        fails(column(&["a"]), "should have");
        fails(column(&["a", "b/c", "d"]), "should have");
    }
}
