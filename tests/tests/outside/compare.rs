//! What another program expects of a whole fit against what the fit says, number by number.

use leanyear_engine::mixed::report::{EffectReport, FitReport, VarianceReport};
use leanyear_engine::order::Map;
use leanyear_tests::reference::{Reference, Tolerance, leaves};
use serde_json::to_value;

/// Relative difference of two criteria, and the least that counts: both sides reach it at their own optimum.
const CRITERION: (f64, f64) = (1e-6, 1e-6);
/// Relative difference of variances, and of errors of prediction.
const COMPONENT: f64 = 1e-4;
/// Least difference of variances that counts, as a share of the residual: a zero is never exact.
const NOTHING: f64 = 1e-6;
/// Difference of predictions, as a share of the residual's standard deviation.
const PREDICTION: f64 = 1e-5;
/// Relative difference of what is only added up.
const ARITHMETIC: f64 = 1e-12;

fn column(report: &FitReport, of: fn(&EffectReport) -> Option<f64>) -> Map<String, f64> {
    report.effects.iter().filter_map(|e| Some((e.variety.clone(), of(e)?))).collect()
}

/// Compares the numbers below `/variance`, one by one as the report writes them.
pub fn variances(reference: &mut Reference<'_>, ours: &VarianceReport, tolerance: Tolerance) {
    whole(reference, "/variance", &leaves(&to_value(ours).unwrap()), tolerance);
}

/// Compares all numbers below a pointer with ours, by pointer.
fn whole(reference: &mut Reference<'_>, at: &str, ours: &Map<String, f64>, tolerance: Tolerance) {
    ours.iter().for_each(|(below, value)| reference.meet(&format!("{at}{below}"), *value, tolerance));
}

/// Compares everything that a fit reports with the reference; there is a report for each difference asked
/// for.
pub fn compare(reference: &mut Reference<'_>, reports: &[(&str, FitReport)]) {
    let report = &reports[0].1;
    // Errors that are stated leave a residual of 0: then the greatest spread of a prediction is the scale.
    let spread = report.effects.iter().map(|e| e.se).fold(0.0, f64::max);
    let residual = report.variance.residual.values().fold(0.0f64, |greatest, r| greatest.max(*r));
    let size = if residual > 0.0 { residual } else { spread * spread };
    let prediction = Tolerance::within(PREDICTION * size.sqrt());
    let error = Tolerance::share(COMPONENT).at_least(PREDICTION * size.sqrt());
    reference.meet("/reml", report.reml, Tolerance::share(CRITERION.0).at_least(CRITERION.1));
    variances(reference, &report.variance, Tolerance::share(COMPONENT).at_least(NOTHING * size));
    reference.meet_all("/scale", &report.scale, Tolerance::share(ARITHMETIC));
    reference.meet_all("/effects", &column(report, |e| Some(e.effect)), prediction);
    reference.meet_all("/errors", &column(report, |e| Some(e.se)), error);
    if report.variance.water.is_some() {
        reference.meet_all("/slopes", &column(report, |e| e.slope), prediction);
        reference.meet_all("/slope_errors", &column(report, |e| e.slope_se), error);
        whole(reference, "/water", &leaves(&to_value(&report.water).unwrap()), Tolerance::share(ARITHMETIC));
    }
    for (pair, report) in reports {
        let ours = report.difference.map_or((f64::NAN, f64::NAN), |d| (d.value, d.se));
        reference.meet(&format!("/differences/{pair}/value"), ours.0, prediction);
        reference.meet(&format!("/differences/{pair}/se"), ours.1, error);
    }
}
