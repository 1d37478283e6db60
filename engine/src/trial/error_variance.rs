//! shim
use crate::pack::ErrorReport;
/// shim
pub fn variance_of_mean(report: &ErrorReport, _entries: usize, mean: f64, plots: Option<f64>) -> Option<f64> {
    let reps = report.reps.or(plots);
    if let (Some(ms), Some(r)) = (report.error_ms, plots.or(reps)) {
        return Some(ms / r);
    }
    if let (Some(cv), Some(r)) = (report.cv, reps) {
        return Some((cv * mean / 100.0).powi(2) / r);
    }
    None
}
/// shim
pub fn degrees_of_freedom(report: &ErrorReport, entries: usize) -> Option<f64> {
    Some((report.reps? - 1.0) * (entries as f64 - 1.0))
}
