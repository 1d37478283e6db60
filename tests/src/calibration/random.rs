//! Random numbers for the simulated networks: one stream for each purpose of each network.
//!
//! SplitMix64 (Steele, Lea & Flood 2014, OOPSLA, "Fast splittable pseudorandom number generators"). A stream is
//! named by seed, network and purpose, so that a change in how one thing is drawn leaves the others as they
//! were. It knows nothing of varieties or trials.

const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

fn mix(mut bits: u64) -> u64 {
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    bits ^ (bits >> 31)
}

/// What a stream is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// Size and variances of a network.
    Shape,
    /// Sites, varieties, diseases.
    World,
    /// The seasons of the trials.
    Trials,
    /// The season that is predicted.
    NextSeason,
    /// The seasons that a farmer's fields meet.
    Fields,
    /// Which fields, costs and pairs are asked about.
    Questions,
}

/// A stream of random numbers.
#[derive(Debug, Clone)]
pub struct Stream {
    state: u64,
}

impl Stream {
    /// The stream of one purpose of one network.
    pub fn new(seed: u64, network: u64, purpose: Purpose) -> Stream {
        let named =
            [network, purpose as u64].into_iter().fold(mix(seed.wrapping_add(GOLDEN)), |bits, part| {
                mix(bits.wrapping_add(GOLDEN) ^ mix(part + 1))
            });
        Stream { state: named }
    }

    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(GOLDEN);
        mix(self.state)
    }

    /// Uniform between 0 and 1, never either.
    pub fn uniform(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    /// Uniform between two bounds.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.uniform()
    }

    /// A whole number from `low` to `high`, both included, as likely each.
    pub fn whole(&mut self, low: usize, high: usize) -> usize {
        low + ((high - low + 1) as f64 * self.uniform()) as usize
    }

    /// A whole number from `low` to `high` whose logarithm is about uniform.
    pub fn log_whole(&mut self, low: usize, high: usize) -> usize {
        let (from, to) = (low as f64 - 0.5, high as f64 + 0.5);
        (self.between(from.ln(), to.ln()).exp().round() as usize).clamp(low, high)
    }

    /// Whether an event of this chance happens.
    pub fn happens(&mut self, chance: f64) -> bool {
        self.uniform() < chance
    }

    /// Standard normal (Box & Muller 1958, Ann. Math. Stat. 29:610–611).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.uniform().ln()).sqrt();
        radius * (std::f64::consts::TAU * self.uniform()).cos()
    }

    /// Log-normal about `median`; `sd` is that of the logarithm.
    pub fn log_normal(&mut self, median: f64, sd: f64) -> f64 {
        median * (sd * self.normal()).exp()
    }

    /// Gamma with this shape and scale 1 (Marsaglia & Tsang 2000, ACM Trans. Math. Softw. 26:363–372; below
    /// shape 1 by their boost with a uniform).
    pub fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            return self.gamma(shape + 1.0) * self.uniform().powf(1.0 / shape);
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let z = self.normal();
            let v = (1.0 + c * z).powi(3);
            if v > 0.0 && self.uniform().ln() < 0.5 * z * z + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }

    /// Chi-square on `freedom` degrees, divided by them.
    pub fn mean_square(&mut self, freedom: f64) -> f64 {
        2.0 * self.gamma(0.5 * freedom) / freedom
    }

    /// Beta by two gammas.
    pub fn beta(&mut self, a: f64, b: f64) -> f64 {
        let (x, y) = (self.gamma(a), self.gamma(b));
        x / (x + y)
    }

    /// Puts a list in random order (Fisher–Yates).
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.whole(0, i));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn laws_have_their_means_and_variances() {
        let mut stream = Stream::new(1, 2, Purpose::World);
        let mut check = |draw: fn(&mut Stream) -> f64, mean: f64, variance: f64, kurtosis: f64| {
            let n = 40_000.0;
            let draws: Vec<f64> = (0..40_000).map(|_| draw(&mut stream)).collect();
            let got = draws.iter().sum::<f64>() / n;
            let spread = draws.iter().map(|x| (x - got).powi(2)).sum::<f64>() / n;
            // Four standard errors of a mean and of a variance.
            assert!((got - mean).abs() < 4.0 * (variance / n).sqrt(), "mean {got} for {mean}");
            let error = variance * ((kurtosis - 1.0) / n).sqrt();
            assert!((spread - variance).abs() < 4.0 * error, "variance {spread} for {variance}");
        };
        check(Stream::normal, 0.0, 1.0, 3.0);
        check(Stream::uniform, 0.5, 1.0 / 12.0, 1.8);
        check(|s| s.gamma(3.0), 3.0, 3.0, 5.0);
        check(|s| s.gamma(0.5), 0.5, 0.5, 15.0);
        check(|s| s.mean_square(10.0), 1.0, 0.2, 4.2);
        // Beta(½, 9½): mean 1/20, variance ½·9½/(100·11).
        check(|s| s.beta(0.5, 9.5), 0.05, 4.75 / 1100.0, 12.0);
    }

    #[test]
    fn streams_are_told_apart_by_seed_network_and_purpose() {
        let first = |seed, network, purpose| Stream::new(seed, network, purpose).uniform();
        let base = first(1, 1, Purpose::World);
        assert_eq!(base, first(1, 1, Purpose::World));
        for other in [first(2, 1, Purpose::World), first(1, 2, Purpose::World), first(1, 1, Purpose::Trials)]
        {
            assert_ne!(base, other);
        }
    }
}
