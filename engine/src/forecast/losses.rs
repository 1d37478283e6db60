//! What diseases and pests take: how susceptible each variety is, how hard each trial was hit, what a severe
//! attack costs, and when that may be learnt from the trials.
//!
//! Yield lost = L·a·p·m⁰: L the share a fully susceptible variety loses under severe pressure, a its
//! susceptibility (0–1 from its rating; where it has none, the average, and as much in doubt as rated varieties
//! differ), p the pressure (0, ⅓, ⅔, 1; the
//! average of its season where it was not scored), m⁰ the trial's healthy level. The published loss is the
//! prior of L. It is learnt only where one variety was seen under different pressures often enough: 2
//! pressure levels or more, and 3 varieties that spread by 0.3 or more in 4 trials or more. It knows tables
//! and rows, not what a field will meet.

use super::random::Points;
use crate::mixed::network::Prepared;
use crate::order::{Map, Set};
use crate::pack::{Network, Trait};
use leanyear_vectors as vectors;

/// Severe pressure as scored.
pub const SEVERE: f64 = 3.0;
/// Spread of susceptibility that tells a loss from a bad trial, and in how many trials and varieties.
const MIN_SPREAD: f64 = 0.3;
const MIN_TRIALS: usize = 4;
const MIN_VARIETIES: usize = 3;
/// Prior standard deviation of a loss that is published without one, as a share of it.
const BLANK_SD: f64 = 0.5;
/// First dimension of the fixed numbers that stand for ratings nobody gave.
const SUSCEPTIBILITY: u64 = 10_000;
/// Most of a healthy yield that all diseases together can take.
pub const MOST_LOST: f64 = 0.95;

/// One disease or pest of a network.
#[derive(Debug, Clone, PartialEq)]
pub struct Threat {
    /// Trait code.
    pub code: String,
    /// Published loss of a fully susceptible variety under severe pressure: mean and standard deviation.
    pub prior: (f64, f64),
    /// Whether the trials can teach more than that.
    pub learnt: bool,
    /// Susceptibility of each variety (block), 0–1.
    pub susceptibility: Vec<f64>,
    /// Its standard deviation where it was never rated, 0 where it was.
    pub doubt: Vec<f64>,
    /// Pressure in each fitted trial (border column), 0–1.
    pub pressure: Vec<f64>,
}

/// The threats of a network whose loss and scale are known and that some variety is rated for.
pub fn threats(network: &Network, prepared: &Prepared) -> Vec<Threat> {
    network.traits.iter().filter(|t| t.kind.harms()).filter_map(|t| threat(network, prepared, t)).collect()
}

fn threat(network: &Network, prepared: &Prepared, t: &Trait) -> Option<Threat> {
    let (best, worst, loss) = (t.best?, t.worst?, t.severe_loss?);
    let ratings = network.ratings_of(&t.trait_);
    let known: Vec<Option<f64>> = prepared
        .varieties
        .iter()
        .map(|code| ratings.get(code.as_str()).map(|value| ((value - best) / (worst - best)).clamp(0.0, 1.0)))
        .collect();
    let average = average(known.iter().flatten().copied())?;
    let scored: Map<&str, f64> = network
        .pressure
        .iter()
        .filter(|p| p.trait_ == t.trait_)
        .map(|p| (p.trial.as_str(), f64::from(p.pressure) / SEVERE))
        .collect();
    let susceptibility = known.iter().map(|a| a.unwrap_or(average)).collect();
    let doubt = spread(known.iter().flatten().copied(), average);
    let doubt = known.iter().map(|a| if a.is_some() { 0.0 } else { doubt }).collect();
    let sd = t.severe_loss_sd.unwrap_or(BLANK_SD * loss);
    Some(Threat {
        code: t.trait_.clone(),
        prior: (loss, sd),
        // A loss that is published without any doubt leaves nothing to learn.
        learnt: sd > 0.0 && teaches(network, prepared, &known, &scored),
        susceptibility,
        doubt,
        pressure: trial_pressure(network, prepared, &scored),
    })
}

fn average(values: impl Iterator<Item = f64>) -> Option<f64> {
    let values: Vec<f64> = values.collect();
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Standard deviation (n − 1) of the susceptibilities of rated varieties; 0 where there is one.
fn spread(values: impl Iterator<Item = f64>, average: f64) -> f64 {
    let squares: Vec<f64> = values.map(|a| (a - average).powi(2)).collect();
    (squares.iter().sum::<f64>() / (squares.len() as f64 - 1.0).max(1.0)).sqrt()
}

/// Pressure of each border column: as scored, else the season's average, else that of all.
fn trial_pressure(network: &Network, prepared: &Prepared, scored: &Map<&str, f64>) -> Vec<f64> {
    let mut seasons: Map<i32, Vec<f64>> = Map::new();
    for trial in &network.trials {
        if let Some(pressure) = scored.get(trial.trial.as_str()) {
            seasons.entry(trial.season).or_default().push(*pressure);
        }
    }
    let overall = average(scored.values().copied()).unwrap_or(0.0);
    (0..prepared.trials.len())
        .map(|column| {
            let trial = prepared.trial(network, column);
            let season = || average(seasons.get(&trial.season)?.iter().copied());
            scored.get(trial.trial.as_str()).copied().or_else(season).unwrap_or(overall)
        })
        .collect()
}

/// Whether the trials can tell the loss from "susceptible varieties are low anyway".
fn teaches(network: &Network, prepared: &Prepared, known: &[Option<f64>], scored: &Map<&str, f64>) -> bool {
    // By trial: varieties rated, and the least and greatest susceptibility of them.
    let mut rated = vec![(0, f64::INFINITY, f64::NEG_INFINITY); prepared.trials.len()];
    for r in &prepared.rows {
        if let Some(a) = known[r.block] {
            let (count, least, greatest) = &mut rated[r.trial];
            (*count, *least, *greatest) = (*count + 1, least.min(a), greatest.max(a));
        }
    }
    let mut levels = Set::new();
    let mut trials = 0;
    for (column, (count, least, greatest)) in rated.into_iter().enumerate() {
        let Some(pressure) = scored.get(prepared.trial(network, column).trial.as_str()) else { continue };
        levels.insert((pressure * SEVERE).round() as i64);
        if *pressure > 0.0 && count >= MIN_VARIETIES && greatest - least >= MIN_SPREAD {
            trials += 1;
        }
    }
    levels.len() >= 2 && trials >= MIN_TRIALS
}

/// Healthy level of each trial at given losses: m̄_j/(1 − Σ L·ā·p), with ā the mean susceptibility there.
pub fn healthy_levels(prepared: &Prepared, threats: &[Threat], losses: &[f64]) -> Vec<f64> {
    let mut lost = vec![(0.0, 0.0); prepared.trials.len()];
    for r in &prepared.rows {
        lost[r.trial].0 += share_lost(threats, losses, r.block, |d| threats[d].pressure[r.trial]);
        lost[r.trial].1 += 1.0;
    }
    let means = prepared.trial_means();
    means.iter().zip(lost).map(|(mean, (sum, count))| mean / (1.0 - sum / count)).collect()
}

/// Share of a healthy yield that a variety loses at given losses and pressures.
pub fn share_lost(threats: &[Threat], losses: &[f64], block: usize, pressure: impl Fn(usize) -> f64) -> f64 {
    let each = threats.iter().zip(losses).enumerate();
    let lost: f64 =
        each.map(|(d, (t, loss))| loss.clamp(0.0, 1.0) * t.susceptibility[block] * pressure(d)).sum();
    lost.min(MOST_LOST)
}

/// Loss times pressure of each threat in each draw: D vectors of N, from losses D × N (threat by threat) and
/// D vectors of N pressures.
pub fn strikes(losses: &[f64], pressures: &[Vec<f64>], count: usize) -> Vec<Vec<f64>> {
    let losses = losses.chunks_exact(count.max(1));
    pressures
        .iter()
        .zip(losses)
        .map(|(p, l)| p.iter().zip(l).map(|(p, l)| p * l.clamp(0.0, 1.0)).collect())
        .collect()
}

/// Susceptibility of the varieties that were never rated, drawn once and for all: N numbers each.
#[derive(Debug, Clone, Default)]
pub struct Unrated(Map<(usize, usize), Vec<f64>>);

impl Unrated {
    /// Draws for every variety (block) without a rating.
    pub fn drawn(threats: &[Threat], points: &Points) -> Unrated {
        let mut drawn = Map::new();
        for (d, threat) in threats.iter().enumerate() {
            for (block, &doubt) in threat.doubt.iter().enumerate().filter(|(_, doubt)| **doubt > 0.0) {
                let numbers = points.normal(SUSCEPTIBILITY + (block * threats.len() + d) as u64);
                let a = |z: f64| (threat.susceptibility[block] + doubt * z).clamp(0.0, 1.0);
                drawn.insert((d, block), numbers.into_iter().map(a).collect());
            }
        }
        Unrated(drawn)
    }
}

/// Share of its healthy yield that a variety (block) loses in each of N draws, given [`strikes`].
pub fn shares_lost(
    threats: &[Threat],
    unrated: &Unrated,
    block: usize,
    strikes: &[Vec<f64>],
    count: usize,
) -> Vec<f64> {
    let mut lost = vec![0.0; count];
    for (d, (threat, strike)) in threats.iter().zip(strikes).enumerate() {
        match unrated.0.get(&(d, block)) {
            Some(drawn) => vectors::add_products(&mut lost, drawn, strike),
            None => vectors::add_scaled(&mut lost, threat.susceptibility[block], strike),
        }
    }
    vectors::cut_above(&mut lost, MOST_LOST);
    lost
}
