//! What R expects of a whole fit against what the fit says, number by number.

use leanyear_engine::mixed::report::{EffectReport, FitReport};
use leanyear_tests::agree;
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;

/// Relative difference of two criteria: both sides reach it at their own optimum.
const CRITERION: f64 = 1e-6;
/// Relative difference of variances, and of errors of prediction.
const COMPONENT: f64 = 1e-4;
/// Least difference of variances that counts, as a share of the residual: a zero is never exact.
const NOTHING: f64 = 1e-6;
/// Difference of predictions, as a share of the residual's standard deviation.
const PREDICTION: f64 = 1e-5;
/// Relative difference of what is only added up.
const ARITHMETIC: f64 = 1e-12;

type Column = BTreeMap<String, f64>;

/// What a reference script writes beside each network.
#[derive(Debug, Clone, Deserialize)]
pub struct Expected {
    /// For `--terms`.
    pub terms: String,
    pub reml: f64,
    pub variance: Value,
    pub scale: Column,
    /// Empty where no term asks for water.
    pub water: Value,
    pub effects: Column,
    pub errors: Column,
    pub slopes: Option<Column>,
    pub slope_errors: Option<Column>,
    pub difference: Difference,
}

#[derive(Debug, Clone, Deserialize)]
pub struct Difference {
    pub a: String,
    pub b: String,
    pub value: f64,
    pub se: f64,
}

/// Every number of a JSON tree by its pointer.
pub fn leaves(value: &Value) -> Column {
    fn walk(prefix: &str, value: &Value, into: &mut Column) {
        match value {
            Value::Object(map) => {
                map.iter().for_each(|(key, inner)| walk(&format!("{prefix}/{key}"), inner, into));
            }
            Value::Number(number) => {
                into.insert(prefix.to_owned(), number.as_f64().unwrap_or(f64::NAN));
            }
            _ => {}
        }
    }
    let mut numbers = Column::new();
    walk("", value, &mut numbers);
    numbers
}

/// The greatest residual variance expected, in shares or in yield units as the case has it.
pub fn residual(expected: &Expected) -> f64 {
    leaves(&expected.variance["residual"]).into_values().fold(0.0, f64::max)
}

/// Compares two columns with the same keys; `tolerance` is absolute, from the number expected.
fn columns(what: &str, got: &Column, want: &Column, tolerance: impl Fn(f64) -> f64) -> Result<(), String> {
    if !got.keys().eq(want.keys()) {
        return Err(format!("{what}: has {:?}, should have {:?}", got.keys(), want.keys()));
    }
    want.iter()
        .try_for_each(|(key, want)| agree(&format!("{what} {key}"), got[key], *want, 1.0, tolerance(*want)))
}

fn column(report: &FitReport, of: fn(&EffectReport) -> Option<f64>) -> Column {
    report.effects.iter().filter_map(|e| Some((e.variety.clone(), of(e)?))).collect()
}

/// Compares everything that a fit reports with the reference.
pub fn compare(expected: &Expected, report: &FitReport) -> Result<(), String> {
    let residual = residual(expected);
    let prediction = PREDICTION * residual.sqrt();
    let error = |want: f64| (COMPONENT * want).max(prediction);
    agree("criterion", report.reml, expected.reml, CRITERION, expected.reml)?;
    let variances = leaves(&serde_json::to_value(&report.variance).unwrap());
    columns("variance", &variances, &leaves(&expected.variance), |want| {
        (COMPONENT * want.abs()).max(NOTHING * residual)
    })?;
    columns("scale", &report.scale, &expected.scale, |want| ARITHMETIC * want)?;
    columns("effect", &column(report, |e| Some(e.effect)), &expected.effects, |_| prediction)?;
    columns("se", &column(report, |e| Some(e.se)), &expected.errors, error)?;
    let none = Column::new();
    let slopes = expected.slopes.as_ref().unwrap_or(&none);
    columns("slope", &column(report, |e| e.slope), slopes, |_| prediction)?;
    let slope_errors = expected.slope_errors.as_ref().unwrap_or(&none);
    columns("slope se", &column(report, |e| e.slope_se), slope_errors, error)?;
    if expected.slopes.is_some() {
        let water = leaves(&serde_json::to_value(&report.water).unwrap());
        columns("water", &water, &leaves(&expected.water), |want| ARITHMETIC * want)?;
    }
    let got = report.difference.ok_or("no difference")?;
    let want = &expected.difference;
    agree("difference", got.value, want.value, 2.0, prediction)?;
    agree("its se", got.se, want.se, 1.0, error(want.se))
}
