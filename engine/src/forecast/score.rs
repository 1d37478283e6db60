//! How good a forecast was: the continuous ranked probability score, coverage, Brier score, clustered errors.
//!
//! CRPS of a normal law: σ·[z(2Φ(z) − 1) + 2φ(z) − 1/√π] (Gneiting & Raftery 2007, J. Am. Stat. Assoc.
//! 102:359–378, eq. 5); of a mixture of normals: Grimit et al. 2006, Q. J. R. Meteorol. Soc. 132:2925–2942.
//! It knows numbers only.

use statrs::distribution::{Continuous, ContinuousCDF, Normal};

/// A normal law of a mixture: weight, mean, standard deviation.
pub type Component = (f64, f64, f64);
/// A mixture of normal laws.
pub type Mixture = [Component];

/// Standard normal distribution function.
pub fn phi(z: f64) -> f64 {
    Normal::standard().cdf(z)
}

/// CRPS of a mixture of normals at the value that came.
pub fn crps(mixture: &Mixture, value: f64) -> f64 {
    let mut score = 0.0;
    for (i, &(weight, mean, sd)) in mixture.iter().enumerate() {
        score += weight * absolute_moment(value - mean, sd);
        for (j, &(other, other_mean, other_sd)) in mixture.iter().enumerate().take(i + 1) {
            let twice = if i == j { 1.0 } else { 2.0 };
            let spread = (sd * sd + other_sd * other_sd).sqrt();
            score -= 0.5 * twice * weight * other * absolute_moment(mean - other_mean, spread);
        }
    }
    score
}

/// E|X| for X ~ N(mean, sd²).
fn absolute_moment(mean: f64, sd: f64) -> f64 {
    if sd <= 0.0 {
        return mean.abs();
    }
    let z = mean / sd;
    2.0 * sd * Normal::standard().pdf(z) + mean * (2.0 * phi(z) - 1.0)
}

/// Distribution function of a mixture of normals.
pub fn cdf(mixture: &Mixture, value: f64) -> f64 {
    mixture
        .iter()
        .map(|&(weight, mean, sd)| {
            weight * if sd > 0.0 { phi((value - mean) / sd) } else { f64::from(u8::from(value >= mean)) }
        })
        .sum()
}

/// Mean and standard deviation of a mixture of normals.
pub fn moments(mixture: &Mixture) -> (f64, f64) {
    let mean = mixture.iter().map(|(w, m, _)| w * m).sum::<f64>();
    let variance = mixture.iter().map(|(w, m, s)| w * (s * s + (m - mean).powi(2))).sum::<f64>();
    (mean, variance.sqrt())
}

/// Mean of some values; 0 of none.
pub fn average(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    sum / f64::max(count, 1.0)
}

/// CRPS of a sample at the value that came, from the sorted sample: E|X − y| − ½E|X − X′|.
pub fn crps_sample(sorted: &[f64], value: f64) -> f64 {
    let count = sorted.len() as f64;
    let away: f64 = sorted.iter().map(|x| (x - value).abs()).sum::<f64>() / count;
    let pairs: f64 = sorted.iter().enumerate().map(|(i, x)| (2.0 * i as f64 + 1.0 - count) * x).sum::<f64>()
        / (count * count);
    away - pairs
}

/// Mean of values in clusters, with the standard error that clusters make (Liang & Zeger 1986,
/// Biometrika 73:13–22, for a mean): √(G/(G−1)·Σ_g(Σ_i (x − x̄))²)/n. `None` with fewer than two clusters.
pub fn clustered_mean(values: &[(i32, f64)]) -> (f64, Option<f64>) {
    let count = values.len() as f64;
    let mean = values.iter().map(|v| v.1).sum::<f64>() / count;
    let mut sums = crate::order::Map::new();
    for &(cluster, value) in values {
        *sums.entry(cluster).or_insert(0.0) += value - mean;
    }
    let groups = sums.len() as f64;
    let squared: f64 = sums.values().map(|s| s * s).sum();
    (mean, (groups >= 2.0).then(|| (groups / (groups - 1.0) * squared).sqrt() / count))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: closed form at z = 0, σ(2φ(0) − 1/√π), Gneiting & Raftery 2007, eq. 5.
    #[test]
    fn a_normal_at_its_mean() {
        let want = 2.0 * (2.0 * 0.398_942_280_401_432_7 - 1.0 / std::f64::consts::PI.sqrt());
        assert!((crps(&[(1.0, 3.0, 2.0)], 3.0) - want).abs() < 1e-12);
    }

    /// Law: the score is ∫(F(x) − 1{x ≥ y})² dx.
    #[test]
    fn it_is_the_integral_of_the_squared_distance() {
        let mixture = [(0.3, -1.0, 0.5), (0.7, 2.0, 1.5)];
        let value = 0.4;
        let step = 0.001;
        let integral: f64 = (-12_000..14_000)
            .map(|k| {
                let x = (f64::from(k) + 0.5) * step;
                (cdf(&mixture, x) - f64::from(u8::from(x >= value))).powi(2) * step
            })
            .sum();
        assert!((crps(&mixture, value) - integral).abs() < 1e-5);
    }

    #[test]
    fn a_sample_scores_like_its_law() {
        let sorted: Vec<f64> =
            crate::forecast::random::Points::new(4000).normal(3).into_iter().collect::<Vec<f64>>();
        let mut sorted = sorted;
        sorted.sort_by(f64::total_cmp);
        assert!((crps_sample(&sorted, 0.7) - crps(&[(1.0, 0.0, 1.0)], 0.7)).abs() < 1e-3);
    }

    #[test]
    fn clusters_widen_the_error_of_a_mean() {
        let alone: Vec<(i32, f64)> = (0..8).map(|k| (k, f64::from(k % 2))).collect();
        let together: Vec<(i32, f64)> = (0..8).map(|k| (k % 2, f64::from(k % 2))).collect();
        let (mean, error) = clustered_mean(&alone);
        assert!((mean - 0.5).abs() < 1e-12);
        // Eight clusters of one: the ordinary standard error, √(8/7·8·¼)/8.
        assert!((error.unwrap_or_default() - (8.0f64 / 7.0 * 2.0).sqrt() / 8.0).abs() < 1e-12);
        assert!(clustered_mean(&together).1 > error);
        assert_eq!(clustered_mean(&[(1, 2.0)]).1, None);
    }
}
