//! The trigamma function ψ′ and its inverse: the variance of the logarithm of a χ² and what it tells of ν.
//!
//! ψ′(x) by recurrence and its asymptotic series (Abramowitz & Stegun 1972, 6.4.6 and 6.4.12); the inverse by
//! Newton steps on 1/ψ′, which is convex (Smyth 2004, Stat. Appl. Genet. Mol. Biol. 3:3, appendix).

/// ψ′(x) for x > 0.
pub fn trigamma(x: f64) -> f64 {
    let mut sum = 0.0;
    let mut x = x.max(f64::MIN_POSITIVE);
    while x < 8.0 {
        sum += 1.0 / (x * x);
        x += 1.0;
    }
    let y = 1.0 / (x * x);
    let series = y * (1.0 / 6.0 - y * (1.0 / 30.0 - y * (1.0 / 42.0 - y * (1.0 / 30.0 - y * 5.0 / 66.0))));
    sum + (1.0 + 0.5 / x + series) / x
}

/// ψ″(x) for x > 0, by the same recurrence and series.
fn tetragamma(x: f64) -> f64 {
    let mut sum = 0.0;
    let mut x = x;
    while x < 8.0 {
        sum -= 2.0 / (x * x * x);
        x += 1.0;
    }
    let y = 1.0 / (x * x);
    let series = y * (0.5 - y * (1.0 / 6.0 - y * (1.0 / 6.0 - y * (0.3 - y * 5.0 / 6.0))));
    sum - y * (1.0 + 1.0 / x + series)
}

/// The x > 0 with ψ′(x) = `value`, for `value` > 0.
pub fn inverse_trigamma(value: f64) -> f64 {
    let mut x = 0.5 + 1.0 / value;
    for _ in 0..50 {
        let at = trigamma(x);
        let step = at * (1.0 - at / value) / tetragamma(x);
        x += step;
        if step.abs() < 1e-12 * x {
            break;
        }
    }
    x
}

/// What the spread of logarithms of mean squares exceeds chance by: their variance less the mean of ψ′(f/2), f the
/// degrees of freedom of each (Smyth 2004, eq. 6). `logs` are pairs of a logarithm and that ψ′; `None` for
/// fewer than two.
pub fn excess_spread(logs: &[(f64, f64)]) -> Option<f64> {
    let count = logs.len() as f64;
    let mean = logs.iter().map(|l| l.0).sum::<f64>() / count;
    let spread = logs.iter().map(|l| (l.0 - mean).powi(2)).sum::<f64>() / (count - 1.0);
    (logs.len() >= 2).then(|| spread - logs.iter().map(|l| l.1).sum::<f64>() / count)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    /// Source: Abramowitz & Stegun 1972, 6.4.2 and 6.4.4: ψ′(1) = π²/6, ψ′(½) = π²/2.
    #[test]
    fn published_values() {
        assert!((trigamma(1.0) - PI * PI / 6.0).abs() < 1e-12);
        assert!((trigamma(0.5) - PI * PI / 2.0).abs() < 1e-11);
        // R 4.2: trigamma(5), trigamma(30).
        assert!((trigamma(5.0) - 0.221_322_955_737_115_2).abs() < 1e-12);
        assert!((trigamma(30.0) - 0.033_895_060_357_739_94).abs() < 1e-12);
    }

    #[test]
    fn the_inverse_undoes_it() {
        for x in [0.3, 1.0, 5.0, 40.0, 1000.0] {
            assert!((inverse_trigamma(trigamma(x)) / x - 1.0).abs() < 1e-9, "{x}");
        }
    }
}
