//! Random numbers for the invented network: every draw is named by its purpose and its place.
//!
//! A draw is a hash of (seed, purpose, indices), never the next number of a stream, so that adding a
//! variety or a trial leaves all other draws as they were and the order of evaluation cannot matter.
//! The mixing function is the finaliser of SplitMix64 (Steele, Lea & Flood 2014, OOPSLA, "Fast splittable
//! pseudorandom number generators"). It knows nothing of varieties, trials or files.

/// Changing this changes every invented number.
const SEED: u64 = 0x1ea2_7ea2_2025_0007;
const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

/// SplitMix64's finaliser, a bijection of 64 bits.
fn mix(mut bits: u64) -> u64 {
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    bits ^ (bits >> 31)
}

fn hash(purpose: &str, at: &[usize]) -> u64 {
    let named = purpose.bytes().fold(SEED, |bits, byte| mix(bits.wrapping_add(GOLDEN) ^ u64::from(byte)));
    at.iter().fold(named, |bits, index| mix(bits.wrapping_add(GOLDEN) ^ (*index as u64)))
}

/// 53 bits, never exactly 0 or 1, so that its logarithm is finite.
fn open_unit(bits: u64) -> f64 {
    ((bits >> 11) as f64 + 0.5) / (1u64 << 53) as f64
}

/// A uniform draw from (0, 1).
pub fn uniform(purpose: &str, at: &[usize]) -> f64 {
    open_unit(hash(purpose, at))
}

/// A standard normal draw (Box & Muller 1958, Ann. Math. Stat. 29:610–611).
pub fn normal(purpose: &str, at: &[usize]) -> f64 {
    let bits = hash(purpose, at);
    let radius = (-2.0 * open_unit(bits).ln()).sqrt();
    radius * (std::f64::consts::TAU * open_unit(mix(bits.wrapping_add(GOLDEN)))).cos()
}

/// A chi-square draw on `degrees_of_freedom`, divided by them: mean 1, variance 2 / df.
pub fn scaled_chi_square(purpose: &str, at: &[usize], degrees_of_freedom: usize) -> f64 {
    let mut place = at.to_vec();
    place.push(0);
    let last = place.len() - 1;
    let mut sum = 0.0;
    for draw in 0..degrees_of_freedom {
        place[last] = draw;
        sum += normal(purpose, &place).powi(2);
    }
    sum / degrees_of_freedom as f64
}

/// `value` rounded to a multiple of `step`, by a division by a whole number where the step is below 1, so
/// that it prints without stray digits; adding zero turns −0 into 0.
pub fn rounded(value: f64, step: f64) -> f64 {
    let steps = (value / step).round() + 0.0;
    if step < 1.0 { steps / (1.0 / step).round() } else { steps * step }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normals_have_the_moments_of_a_normal_law() {
        let draws: Vec<f64> = (0..40_000).map(|i| normal("moments", &[i])).collect();
        let moment = |power| draws.iter().map(|z: &f64| z.powi(power)).sum::<f64>() / draws.len() as f64;
        // Four standard errors of each moment at n = 40,000: 0.02, 0.028, 0.077, 0.196.
        assert!(moment(1).abs() < 0.02);
        assert!((moment(2) - 1.0).abs() < 0.029);
        assert!(moment(3).abs() < 0.078);
        assert!((moment(4) - 3.0).abs() < 0.196);
    }

    #[test]
    fn draws_depend_on_purpose_place_and_order_of_indices() {
        assert_eq!(uniform("a", &[1, 2]), uniform("a", &[1, 2]));
        assert_ne!(uniform("a", &[1, 2]), uniform("b", &[1, 2]));
        assert_ne!(uniform("a", &[1, 2]), uniform("a", &[2, 1]));
        assert_ne!(uniform("a", &[1]), uniform("a", &[1, 0]));
    }

    #[test]
    fn scaled_chi_square_has_mean_one_and_variance_two_over_df() {
        let draws: Vec<f64> = (0..4_000).map(|i| scaled_chi_square("chi", &[i], 20)).collect();
        let mean = draws.iter().sum::<f64>() / 4_000.0;
        let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 3_999.0;
        assert!((mean - 1.0).abs() < 0.02, "{mean}");
        assert!((variance - 0.1).abs() < 0.012, "{variance}");
    }

    #[test]
    fn rounding_prints_short_decimals() {
        assert_eq!(rounded(12.34, 0.1).to_string(), "12.3");
        assert_eq!(rounded(17.3, 0.5).to_string(), "17.5");
        assert_eq!(rounded(1_732.0, 50.0).to_string(), "1750");
        assert_eq!(rounded(-0.04, 0.1).to_string(), "0");
    }
}
