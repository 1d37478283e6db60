//! Permutations that every machine makes alike: a shuffle driven by a hashed counter.

/// `values` in an order that the dimension's number fixes (Fisher & Yates, driven by the finaliser of SplitMix64,
/// Steele, Lea & Flood 2014).
pub fn shuffled(values: &[f64], dimension: u64) -> Vec<f64> {
    let mut shuffled = values.to_vec();
    let key = hash(dimension.wrapping_add(1));
    for i in (1..shuffled.len()).rev() {
        let draw = hash(key.wrapping_add(i as u64));
        // The high half times the range: unbiased to within 2⁻³² of a share.
        let j = ((draw >> 32) * (i as u64 + 1)) >> 32;
        shuffled.swap(i, j as usize);
    }
    shuffled
}

fn hash(counter: u64) -> u64 {
    let mut z = counter.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}
