//! The truth behind the invented yields: variances, breeding progress and every variety's effects.
//!
//! All effects are shares of the system's mean yield. With i variety, s system, k site, t season, j trial
//! and w_j the trial's water in standard deviations of its system:
//!
//! yield_ij = healthy level_j·(1 − Σ_d L_d·a_id·p_jd/3) + c_s·(u_i + b_i·w_j + u_is + u_ik + u_it + r_ij) + e_ij
//!
//! u_i holds breeding progress and a deviation from it. The ratios variety : variety × site :
//! variety × season : variety × trial follow the order of size published for wheat, 1 : 0.72 : 0.81 :
//! 0.81 (PMC4646961, table 5), taken a little smaller. The truth deliberately derives neither `Debug` nor
//! `Serialize`: nothing may print it; the tests of this module alone compare it with the files.

use super::cast::{CAST, CHECKS};
use super::land::{FIRST_TRIAL_SEASON, PLACES, System, TRIAL_SEASONS};
use super::random::normal;

/// Variance of the variety effects, trend included, that the other variances are stated against.
pub const VARIANCE_VARIETY: f64 = 0.06 * 0.06;
/// Variance of variety × system.
pub const VARIANCE_VARIETY_SYSTEM: f64 = 0.15 * VARIANCE_VARIETY;
/// Variance of variety × site.
pub const VARIANCE_VARIETY_SITE: f64 = 0.5 * VARIANCE_VARIETY;
/// Variance of variety × season.
pub const VARIANCE_VARIETY_SEASON: f64 = 0.6 * VARIANCE_VARIETY;
/// Variance of variety × trial, plot error apart.
pub const VARIANCE_VARIETY_TRIAL: f64 = 0.8 * VARIANCE_VARIETY;
/// Breeding progress, share of the mean yield a year.
pub const GAIN_PER_YEAR: f64 = 0.007;
/// Standard deviation of the varieties about that progress; trend and deviation make the 6 % together.
pub const DEVIATION_SD: f64 = 0.043;
/// Standard deviation of the water slope, share of the mean yield per standard deviation of water.
pub const SLOPE_SD: f64 = 0.025;
/// Correlation of slope and deviation.
pub const SLOPE_CORRELATION: f64 = 0.3;

/// The year from which breeding progress is counted.
const PROGRESS_ORIGIN: f64 = 2014.0;
/// What the old favourite loses a year, share of the mean yield: it drifts, on top of being overtaken.
const DRIFT_PER_YEAR: f64 = 0.012;

/// The old favourite that drifts down.
pub const OLD_FAVOURITE: usize = 3;
/// Steady when it is dry, never spectacular.
pub const DROUGHT_HARDY: usize = 17;
/// Leads in wet years and collapses in dry ones.
pub const WET_YEAR_LEADER: usize = 27;
/// Came in 2024 and has been near the top twice.
pub const PROMISING_NEWCOMER: usize = 57;
/// Good until stripe rust comes.
pub const RUST_PRONE: usize = 30;
/// Made for full irrigation, poor on dryland.
pub const IRRIGATED_LEADER: usize = 42;
/// Near the top in wet and dry years alike, and tested long enough to say so.
pub const ALL_ROUNDER: usize = 44;
/// Hardy too, and newer.
pub const SECOND_HARDY: usize = 53;
/// Late to first hollow stem, leafy, recovers well.
pub const GRAZING_TYPE: usize = 23;
/// The earliest.
pub const EARLY_TYPE: usize = 33;
/// Looked good in its first season and has not since.
pub const DROPPED_HOPE: usize = 51;

/// The characters that have been tested long enough to have every rating.
pub const CHARACTERS: [usize; 6] =
    [OLD_FAVOURITE, DROUGHT_HARDY, WET_YEAR_LEADER, RUST_PRONE, IRRIGATED_LEADER, ALL_ROUNDER];

/// Standardised deviation from breeding progress and standardised slope, where they are designed.
const DESIGNED: [(usize, f64, f64); 12] = [
    (CHECKS[0], 0.4, -0.2),
    (CHECKS[1], 0.1, 0.1),
    (CHECKS[2], 0.2, 0.0),
    (OLD_FAVOURITE, 2.2, 0.2),
    (DROUGHT_HARDY, 1.3, -2.3),
    (WET_YEAR_LEADER, 1.5, 2.5),
    (PROMISING_NEWCOMER, 1.4, -0.4),
    (RUST_PRONE, 1.5, 0.3),
    (IRRIGATED_LEADER, -0.3, 1.2),
    (ALL_ROUNDER, 1.1, -0.6),
    (DROPPED_HOPE, -1.1, 0.6),
    (SECOND_HARDY, 0.3, -1.4),
];

/// Every effect of every variety, as shares of the system's mean yield.
pub struct Truth {
    /// Main effect, by variety.
    pub variety: Vec<f64>,
    /// Change per standard deviation of water, by variety.
    pub slope: Vec<f64>,
    /// By variety and system.
    pub system: Vec<[f64; 3]>,
    /// By variety and place.
    pub site: Vec<[f64; PLACES.len()]>,
    /// By variety and trial season.
    pub season: Vec<[f64; TRIAL_SEASONS]>,
}

impl Truth {
    /// The truth that the files were made from.
    pub fn new() -> Truth {
        let deviations = deviations();
        Truth {
            variety: CAST.iter().zip(&deviations).map(|(m, z)| trend(m.bred) + DEVIATION_SD * z).collect(),
            slope: slopes(&deviations).iter().map(|z| SLOPE_SD * z).collect(),
            system: (0..CAST.len()).map(system_effects).collect(),
            site: (0..CAST.len()).map(site_effects).collect(),
            season: (0..CAST.len()).map(season_effects).collect(),
        }
    }

    /// Healthy yield of a variety in a trial less the trial's level, as a share of the system's mean.
    pub fn effect(&self, variety: usize, place: usize, season: i32, system: System, water_sds: f64) -> f64 {
        let season_index = (season - FIRST_TRIAL_SEASON) as usize;
        self.variety[variety]
            + self.slope[variety] * water_sds
            + self.system[variety][system.index()]
            + self.site[variety][place]
            + self.season[variety][season_index]
    }
}

/// Variety × trial, the part of it that is not plot error.
pub fn trial_effect(variety: usize, place: usize, season: i32, system: System) -> f64 {
    VARIANCE_VARIETY_TRIAL.sqrt()
        * normal("variety × trial", &[variety, place, season as usize, system.index()])
}

fn trend(bred: i32) -> f64 {
    GAIN_PER_YEAR * (f64::from(bred) - PROGRESS_ORIGIN)
}

fn drawn<const N: usize>(purpose: &str, variety: usize, variance: f64) -> [f64; N] {
    std::array::from_fn(|index| variance.sqrt() * normal(purpose, &[variety, index]))
}

/// Standardised deviations from breeding progress, exactly mean 0 and standard deviation 1 over the cast.
///
/// Within each year's intake those that stay longest get the better draws, as selection has it; the
/// draws themselves are not touched, so their law stays normal.
fn deviations() -> Vec<f64> {
    let mut deviations = vec![0.0; CAST.len()];
    let mut intakes: Vec<i32> = CAST.iter().map(|m| m.seasons.0).collect();
    intakes.dedup();
    for intake in intakes {
        let mut members: Vec<usize> = (0..CAST.len()).filter(|i| CAST[*i].seasons.0 == intake).collect();
        let mut draws: Vec<f64> = members.iter().map(|i| normal("deviation", &[*i])).collect();
        let merit = |i: usize| CAST[i].seasons_tested() as f64 + 2.5 * normal("selection", &[i]);
        members.sort_by(|a, b| merit(*a).total_cmp(&merit(*b)));
        draws.sort_by(f64::total_cmp);
        for (member, draw) in members.into_iter().zip(draws) {
            deviations[member] = draw;
        }
    }
    for (variety, deviation, _) in DESIGNED {
        deviations[variety] = deviation;
    }
    standardised(deviations)
}

fn slopes(deviations: &[f64]) -> Vec<f64> {
    let own_share = (1.0 - SLOPE_CORRELATION * SLOPE_CORRELATION).sqrt();
    let mut slopes: Vec<f64> = deviations
        .iter()
        .enumerate()
        .map(|(i, z)| SLOPE_CORRELATION * z + own_share * normal("slope", &[i]))
        .collect();
    for (variety, _, slope) in DESIGNED {
        slopes[variety] = slope;
    }
    standardised(slopes)
}

fn system_effects(variety: usize) -> [f64; 3] {
    match variety {
        IRRIGATED_LEADER => [-0.05, 0.03, 0.08],
        _ => drawn("variety × system", variety, VARIANCE_VARIETY_SYSTEM),
    }
}

/// The characters' own features must show through what sites and seasons add at random.
fn steadiness(variety: usize) -> f64 {
    if [OLD_FAVOURITE, DROUGHT_HARDY, WET_YEAR_LEADER].contains(&variety) { 0.4 } else { 1.0 }
}

fn site_effects(variety: usize) -> [f64; PLACES.len()] {
    drawn("variety × site", variety, VARIANCE_VARIETY_SITE).map(|effect| steadiness(variety) * effect)
}

fn season_effects(variety: usize) -> [f64; TRIAL_SEASONS] {
    let mut effects = drawn("variety × season", variety, VARIANCE_VARIETY_SEASON)
        .map(|effect| steadiness(variety) * effect);
    if variety == OLD_FAVOURITE {
        let middle = (TRIAL_SEASONS as f64 - 1.0) / 2.0;
        for (index, effect) in effects.iter_mut().enumerate() {
            *effect -= DRIFT_PER_YEAR * (index as f64 - middle);
        }
    }
    if variety == DROPPED_HOPE {
        effects[5] = 0.09;
        effects[6] = -0.05;
    }
    effects
}

fn standardised(values: Vec<f64>) -> Vec<f64> {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let sd = (values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    values.into_iter().map(|x| (x - mean) / sd).collect()
}
