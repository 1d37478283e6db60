//! The error variance of a variety's mean in one trial, from whatever the trial's report states.
//!
//! Three statements, in order of trust:
//!
//! 1. error mean square / plots;
//! 2. (LSD / t)² / 2, t two-sided at the LSD's level on (reps − 1)(entries − 1) degrees of freedom, from
//!    LSD = t·√(2·EMS/r) (Gomez & Gomez 1984, complete blocks);
//! 3. (cv·mean/100)² / plots, from CV = 100·√EMS/mean.
//!
//! Knows one report; pooling over trials belongs to the fit.

use crate::pack::{ErrorReport, ErrorSource};
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// Degrees of freedom from which t is taken as the normal law with its first three corrections: good to 1e-10
/// from there on, where the search through the incomplete beta function goes astray and, at millions, never
/// ends.
const NEARLY_NORMAL: f64 = 1e3;

/// Student's t with `df` degrees of freedom that is passed on both sides together with chance `level`.
///
/// `None` where `level` is not between 0 and 1 or `df` is not above 0.
pub fn t_two_sided(level: f64, df: f64) -> Option<f64> {
    if !(level > 0.0 && level < 1.0) {
        return None;
    }
    let below = 1.0 - level / 2.0;
    let t = if df >= NEARLY_NORMAL {
        nearly_normal(Normal::standard().inverse_cdf(below), df)
    } else {
        StudentsT::new(0.0, 1.0, df).ok()?.inverse_cdf(below)
    };
    Some(t).filter(|t| t.is_finite())
}

/// The quantile of t whose normal one is `z` (Abramowitz & Stegun 1972, 26.7.5).
fn nearly_normal(z: f64, df: f64) -> f64 {
    let (z3, z5, z7) = (z.powi(3), z.powi(5), z.powi(7));
    z + (z3 + z) / (4.0 * df)
        + (5.0 * z5 + 16.0 * z3 + 3.0 * z) / (96.0 * df.powi(2))
        + (3.0 * z7 + 19.0 * z5 + 17.0 * z3 - 15.0 * z) / (384.0 * df.powi(3))
}

/// Every statement of the error variance of a mean in a report, in order of trust.
///
/// `entries` is the number of varieties in the trial, `mean` the trial's mean yield, `plots` the plots behind
/// this mean where they are known (otherwise the report's `reps`). Variances are in yield unit squared.
pub fn variances_of_mean(
    report: &ErrorReport,
    entries: usize,
    mean: f64,
    plots: Option<f64>,
) -> Vec<(ErrorSource, f64)> {
    let plots = plots.or(report.reps).filter(|plots| *plots > 0.0);
    let reps = report.reps.or(plots);
    let from_error_ms = || Some(report.error_ms? / plots?);
    let from_lsd = || {
        let df = (reps? - 1.0) * (entries as f64 - 1.0);
        let t = t_two_sided(report.lsd_level?, df)?;
        Some((report.lsd? / t).powi(2) / 2.0)
    };
    let from_cv = || Some((report.cv? * mean / 100.0).powi(2) / plots?);
    [(ErrorSource::ErrorMs, from_error_ms()), (ErrorSource::Lsd, from_lsd()), (ErrorSource::Cv, from_cv())]
        .into_iter()
        .filter_map(|(source, variance)| Some((source, variance.filter(|v| v.is_finite() && *v > 0.0)?)))
        .collect()
}

/// The error variance of a mean by the most trusted statement of the report, yield unit squared; `None` where
/// the report states none. Arguments as in [`variances_of_mean`].
pub fn variance_of_mean(report: &ErrorReport, entries: usize, mean: f64, plots: Option<f64>) -> Option<f64> {
    variances_of_mean(report, entries, mean, plots).first().map(|(_, variance)| *variance)
}

/// Degrees of freedom of a trial's error mean square: (reps − 1)(entries − 1), complete blocks. `None` where
/// the replicates are not stated.
pub fn degrees_of_freedom(report: &ErrorReport, entries: usize) -> Option<f64> {
    Some(((report.reps? - 1.0) * (entries as f64 - 1.0)).max(1.0))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    /// Source: NIST/SEMATECH e-Handbook of Statistical Methods, table of Student's t, printed to three
    /// decimals.
    #[test]
    fn t_agrees_with_the_nist_table() {
        let five_percent = [
            (4.0, 2.776),
            (8.0, 2.306),
            (10.0, 2.228),
            (12.0, 2.179),
            (15.0, 2.131),
            (20.0, 2.086),
            (21.0, 2.080),
            (30.0, 2.042),
            (60.0, 2.000),
        ];
        for (df, t) in five_percent {
            assert!((t_two_sided(0.05, df).unwrap() - t).abs() <= 5.1e-4, "5 %, {df} df");
        }
        for (df, t) in [(10.0, 1.812), (20.0, 1.725), (30.0, 1.697)] {
            assert!((t_two_sided(0.10, df).unwrap() - t).abs() <= 5.1e-4, "10 %, {df} df");
        }
        // With one degree of freedom the law is Cauchy's: the quantile is tan(π(p − ½)).
        let exact = (std::f64::consts::PI * 0.475).tan();
        assert!((t_two_sided(0.05, 1.0).unwrap() / exact - 1.0).abs() < 1e-9);
        assert_eq!(t_two_sided(0.05, 0.0), None);
        assert_eq!(t_two_sided(1.0, 5.0), None);
    }

    /// Source: complete-block example after Gomez & Gomez 1984, pp. 301–303: five treatments, four blocks,
    /// EMS 0.16267, LSD(5 %) 0.6214, LSD(1 %) 0.8713, CV 9.766 %, mean 4.13.
    #[test]
    fn every_statement_of_one_trial_gives_the_same_variance() {
        let expected = 0.16267 / 4.0;
        let reps = Some(4.0);
        let reports = [
            ErrorReport { reps, error_ms: Some(0.16267), ..ErrorReport::default() },
            ErrorReport { reps, lsd: Some(0.6214), lsd_level: Some(0.05), ..ErrorReport::default() },
            ErrorReport { reps, lsd: Some(0.8713), lsd_level: Some(0.01), ..ErrorReport::default() },
            ErrorReport { reps, cv: Some(9.766), ..ErrorReport::default() },
        ];
        for report in reports {
            let variance = variance_of_mean(&report, 5, 4.13, None).unwrap();
            // The LSDs are printed to four figures and rest on a t of three decimals: 2.2e-4 each way,
            // squared.
            assert!((variance / expected - 1.0).abs() < 5e-4, "{report:?}: {variance}");
        }
    }

    #[test]
    fn trusts_the_mean_square_first_and_the_plots_of_the_mean_before_the_reps() {
        let all = ErrorReport {
            reps: Some(4.0),
            error_ms: Some(2.0),
            lsd: Some(9.0),
            lsd_level: Some(0.05),
            cv: Some(50.0),
        };
        assert_eq!(variance_of_mean(&all, 5, 4.0, None), Some(0.5));
        assert_eq!(variance_of_mean(&all, 5, 4.0, Some(2.0)), Some(1.0));
        let sources: Vec<_> = variances_of_mean(&all, 5, 4.0, None).into_iter().map(|(s, _)| s).collect();
        assert_eq!(sources, [ErrorSource::ErrorMs, ErrorSource::Lsd, ErrorSource::Cv]);
        let no_reps = ErrorReport { reps: None, ..all };
        assert_eq!(variance_of_mean(&no_reps, 5, 4.0, None), None);
        assert_eq!(variance_of_mean(&no_reps, 5, 4.0, Some(4.0)), Some(0.5));
        let one_rep = ErrorReport { error_ms: None, cv: None, reps: Some(1.0), ..all };
        assert_eq!(variance_of_mean(&one_rep, 5, 4.0, None), None);
        assert_eq!(variance_of_mean(&ErrorReport::default(), 5, 4.0, Some(4.0)), None);
    }
}
