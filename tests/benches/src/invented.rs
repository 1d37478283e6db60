//! Invented networks, the same on every machine: varieties that come and go, a few that stay.
//!
//! Yields follow the model that is fitted to them, so that no variance is zero. It writes the files of a
//! network's folder, since other programs are to read the same.

use leanyear_engine::order::Map;
use std::fmt::Write;

/// Size of an invented network.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Invented {
    /// Varieties.
    pub varieties: usize,
    /// Seasons.
    pub seasons: usize,
    /// Sites, each with a trial a season.
    pub sites: usize,
    /// Means over all trials.
    pub means: usize,
    /// Seasons that a variety stays.
    pub stay: usize,
}

/// A region over ten years: 60 varieties, 150 trials.
pub const SMALL: Invented = Invented { varieties: 60, seasons: 10, sites: 15, means: 3_580, stay: 6 };
/// A country over a generation: 500 varieties, 1,500 trials.
pub const LARGE: Invented = Invented { varieties: 500, seasons: 25, sites: 60, means: 100_135, stay: 6 };

/// Standard deviations of the invented effects, bu/ac: trial, variety, slope, site, season, residual.
const SPREAD: [f64; 6] = [10.0, 3.0, 1.2, 1.5, 1.8, 4.0];
/// Share of the slope that goes with the main effect.
const SLOPE_ON_MAIN: f64 = 0.5;
/// Every so many varieties is a check that is always sown.
const CHECK_EVERY: usize = 20;

/// A uniform number in (0, 1) that depends on its keys alone (Steele, Lea & Flood 2014, SplitMix64).
fn uniform(keys: [usize; 3]) -> f64 {
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    for key in keys {
        state = state.wrapping_add(key as u64).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        state = (state ^ (state >> 30)).wrapping_mul(0x94d0_49bb_1331_11eb);
        state ^= state >> 31;
    }
    ((state >> 11) as f64 + 0.5) / (1u64 << 53) as f64
}

/// A standard normal number by Box and Muller.
fn normal(keys: [usize; 3]) -> f64 {
    let [kind, a, b] = keys;
    let radius = (-2.0 * uniform([2 * kind + 100, a, b]).ln()).sqrt();
    radius * (std::f64::consts::TAU * uniform([2 * kind + 101, a, b])).cos()
}

impl Invented {
    /// Number of trials.
    pub fn trials(&self) -> usize {
        self.seasons * self.sites
    }

    /// The files of the network's folder, by name.
    pub fn files(&self) -> Map<String, Vec<u8>> {
        let info =
            r#"{"name":"Invented for benchmarks","invented":true,"yield_unit":"bu/ac","bushel_lb":60}"#;
        [
            ("network.json", info.to_owned()),
            ("trials.csv", self.trial_table()),
            ("means.csv", self.mean_table()),
        ]
        .into_iter()
        .map(|(name, text)| (name.to_owned(), text.into_bytes()))
        .collect()
    }

    fn water(&self, trial: usize) -> f64 {
        let (season, site) = (trial / self.sites, trial % self.sites);
        let z = 0.7 * normal([1, season, 0]) + 0.5 * normal([2, site, 0]) + 0.5 * normal([3, trial, 0]);
        (350.0 + 80.0 * z).max(60.0)
    }

    fn trial_table(&self) -> String {
        let mut text = String::from("trial,site,season,water\n");
        for trial in 0..self.trials() {
            let (season, site) = (trial / self.sites, trial % self.sites);
            _ = writeln!(text, "T{trial},S{site},{},{:.1}", 2000 + season, self.water(trial));
        }
        text
    }

    /// Whether a variety is in the trials of a season.
    fn present(&self, variety: usize, season: usize) -> bool {
        let last_start = (self.seasons + self.stay - 1) as f64;
        let start = (uniform([7, variety, 0]) * last_start) as usize;
        variety.is_multiple_of(CHECK_EVERY) || (start..start + self.stay).contains(&(season + self.stay - 1))
    }

    fn mean_table(&self) -> String {
        let mut sown: Vec<(f64, usize, usize)> = (0..self.trials())
            .flat_map(|trial| (0..self.varieties).map(move |variety| (trial, variety)))
            .filter(|&(trial, variety)| self.present(variety, trial / self.sites))
            .map(|(trial, variety)| (uniform([9, trial, variety]), trial, variety))
            .collect();
        sown.sort_by(|a, b| a.0.total_cmp(&b.0));
        sown.truncate(self.means);
        sown.sort_by_key(|&(_, trial, variety)| (trial, variety));
        let mut text = String::from("trial,variety,yield\n");
        for (_, trial, variety) in sown {
            _ = writeln!(text, "T{trial},V{variety},{:.3}", self.yield_of(trial, variety));
        }
        text
    }

    fn yield_of(&self, trial: usize, variety: usize) -> f64 {
        let (season, site) = (trial / self.sites, trial % self.sites);
        let water = (self.water(trial) - 350.0) / 80.0;
        let main = normal([11, variety, 0]);
        let own = (1.0 - SLOPE_ON_MAIN * SLOPE_ON_MAIN).sqrt() * normal([12, variety, 0]);
        let parts = [
            normal([10, trial, 0]),
            main,
            water * (SLOPE_ON_MAIN * main + own),
            normal([13, variety, site]),
            normal([14, variety, season]),
            normal([15, variety, trial]),
        ];
        let sum: f64 = parts.iter().zip(SPREAD).map(|(z, sd)| z * sd).sum();
        (60.0 + sum).max(0.1)
    }
}
