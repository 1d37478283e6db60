//! Numbers to so many significant figures, where more would only carry rounding about.
//!
//! Knows numbers and nothing else.

/// Figures by which two data are told apart, and of what is worked out from plots: far more than any trial
/// measures, and few enough that a processor and a browser, whose last bits differ, work out the same number.
pub(super) const DATA_FIGURES: usize = 10;

/// The number nearest to `value` that has no more than `figures` significant figures.
pub(super) fn to_figures(value: f64, figures: usize) -> f64 {
    format!("{value:.*e}", figures.saturating_sub(1)).parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_the_figures_that_are_asked_for() {
        assert!(to_figures(352.000_000_000_000_06, 12) == 352.0);
        assert!(to_figures(2.672_172_895_248_681, 10) == 2.672_172_895);
        assert!(to_figures(-0.0, 10) == 0.0 && to_figures(f64::INFINITY, 10) == f64::INFINITY);
    }
}
