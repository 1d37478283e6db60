//! The ratio γ of the blocks' variance to that of a plot within them, by REML.
//!
//! With M the projection off varieties and replicates, Z the plots' blocks, λ the non-zero eigenvalues of Z′MZ
//! and c the components of Z′My along its eigenvectors, the criterion with σ² profiled out is, up to a constant,
//!
//!   (n − p)·log S(γ) + Σ log(1 + γλ),  S(γ) = E + Σ c²/(λ·(1 + γλ)),  σ² = S/(n − p),
//!
//! E the error sum of squares with blocks fixed. Source: Patterson & Thompson 1971, Biometrika 58:545–554; in
//! this form every evaluation costs one pass over the blocks. Knows no trial.

/// What the criterion needs.
pub(super) struct Profile {
    /// λ and c² of every eigenvalue that is not zero.
    pub terms: Vec<(f64, f64)>,
    /// E.
    pub error: f64,
    /// n − p: plots less varieties and replicates.
    pub df: usize,
}

/// Steps of the search to a factor of ten.
const STEPS_A_DECADE: i32 = 8;
/// The search spans this many factors of ten on each side of γ·mean(λ) = 1. Below, blocks make no difference;
/// above, only comparisons within blocks count.
const DECADES: i32 = 6;

impl Profile {
    /// S(γ).
    pub fn sum(&self, ratio: f64) -> f64 {
        self.error
            + self.terms.iter().map(|(value, square)| square / (value * (1.0 + ratio * value))).sum::<f64>()
    }

    fn criterion(&self, ratio: f64) -> f64 {
        let logs: f64 = self.terms.iter().map(|(value, _)| (ratio * value).ln_1p()).sum();
        self.df as f64 * self.sum(ratio).ln() + logs
    }

    /// Derivative of the criterion.
    fn slope(&self, ratio: f64) -> f64 {
        let (mut trace, mut form) = (0.0, 0.0);
        for (value, square) in &self.terms {
            let grown = 1.0 + ratio * value;
            trace += value / grown;
            form += square / (grown * grown);
        }
        trace - self.df as f64 * form / self.sum(ratio)
    }

    /// The ratio with the least criterion; 0 is an answer, and so is the upper end of the search, where the
    /// blocks explain everything.
    pub fn best(&self) -> f64 {
        let mean = self.terms.iter().map(|(value, _)| value).sum::<f64>() / self.terms.len() as f64;
        if !(self.sum(0.0) > 0.0 && mean > 0.0) {
            return 0.0;
        }
        let span = DECADES * STEPS_A_DECADE;
        let power = |step: i32| 10f64.powf(f64::from(step) / f64::from(STEPS_A_DECADE)) / mean;
        let mut ratios = vec![0.0];
        ratios.extend((-span..=span).map(power));
        // All of them are looked at, because the criterion may have more than one low.
        let least = |best: usize, at: usize| {
            if self.criterion(ratios[at]) < self.criterion(ratios[best]) { at } else { best }
        };
        let best = (1..ratios.len()).fold(0, least);
        if best + 1 == ratios.len() || (best == 0 && self.slope(0.0) >= 0.0) {
            return ratios[best];
        }
        self.where_level(ratios[best.saturating_sub(1)], ratios[best + 1])
    }

    /// The low between two ratios, where the slope changes its sign.
    fn where_level(&self, mut left: f64, mut right: f64) -> f64 {
        loop {
            let middle = 0.5 * (left + right);
            // Also where it is no number.
            if !(middle > left && middle < right) {
                return middle;
            }
            if self.slope(middle) < 0.0 { left = middle } else { right = middle }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Equal eigenvalues are one-way analysis of variance, whose REML is closed: γ = (F − 1)/λ, or 0 with F < 1.
    #[test]
    fn equal_eigenvalues_give_the_analysis_of_variance() {
        let profile = |squares: &[f64]| Profile {
            terms: squares.iter().map(|square| (4.0, *square)).collect(),
            error: 12.0,
            df: 6 + squares.len(),
        };
        let blocks = profile(&[30.0, 2.0, 40.0]);
        let f = (72.0 / 4.0 / 3.0) / (12.0 / 6.0);
        assert!((blocks.best() - (f - 1.0) / 4.0).abs() < 1e-12);
        assert!((blocks.sum(blocks.best()) / 9.0 - 2.0).abs() < 1e-12);
        assert!(profile(&[8.0, 2.0, 9.0]).best() == 0.0);
        assert!(Profile { error: 0.0, ..blocks }.best() > 1e5, "no error: the end of the search");
        assert!(profile(&[f64::MIN_POSITIVE; 3]).best() == 0.0);
    }
}
