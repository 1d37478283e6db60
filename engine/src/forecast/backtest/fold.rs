//! Predictions of one fold: every mean of its trials whose variety was seen in training.
//!
//! Varieties are predicted as deviations from the trial's mean over the scored varieties, so that only
//! what tells varieties apart is judged; whole yields, level and variety together, are predicted too. The
//! law of a mean includes its plot error. It knows no score.

use super::super::departures::Departures;
use super::super::draws::LAW;
use super::super::field::FieldLaw;
use super::super::losses::{SEVERE, Threat, Unrated, shares_lost, strikes};
use super::super::model::ForecastModel;
use super::super::random::Points;
use super::super::score::Component;
use super::super::season_draws::OWN;
use super::centred::{Centred, centred};
use super::held_law::{HeldLaw, Met};
use super::raw_table::RawTable;
use crate::pack::{Network, Trial};
use crate::season::climate::Climate;
use crate::season::level::share_of;
use leanyear_vectors::{Grown, add_scaled};
use std::collections::{BTreeMap, BTreeSet};

/// Fewest scored varieties of a trial.
const MIN_SCORED: usize = 3;
/// Trials whose pressures stand for those of a season as it comes.
const PRESSURES_PER_SEASON: usize = 4;
/// Draws behind a whole yield.
const LEVEL_DRAWS: usize = 512;
/// Nodes that stand for what is not known of the variances of departures.
const NODES: usize = 8;
/// Components of a law over all seasons.
const COMPONENTS: usize = 12;

/// One mean, predicted.
#[derive(Debug, Clone)]
pub struct Prediction {
    /// Variety code.
    pub variety: String,
    /// Season of the trial.
    pub season: i32,
    /// System of the trial.
    pub system: String,
    /// What came: deviation from the trial's mean over the scored varieties, yield unit.
    pub came: f64,
    /// Mixture of normal laws given the season's water, yield unit.
    pub given_water: Vec<Component>,
    /// The same over the seasons of the training climate.
    pub as_it_came: Vec<Component>,
    /// The table of raw means: mean deviation and standard deviation.
    pub raw: (f64, f64),
    /// Whole yield that came, yield unit.
    pub yield_came: f64,
    /// Sorted draws of the whole yield given the season's water, yield unit.
    pub yield_draws: Vec<f64>,
}

/// A pair of varieties in one trial.
#[derive(Debug, Clone, Copy)]
pub struct Pair {
    /// 1 if the first made more, ½ if they tied, else 0.
    pub came: f64,
    /// Chance given the season's water.
    pub given_water: f64,
    /// Chance as it came.
    pub as_it_came: f64,
    /// Chance by the table of raw means.
    pub raw: f64,
}

/// All predictions of a fold.
#[derive(Debug, Clone, Default)]
pub struct FoldPredictions {
    /// Season or trial.
    pub name: String,
    /// Means.
    pub means: Vec<Prediction>,
    /// Pairs.
    pub pairs: Vec<Pair>,
}

/// Predicts the held-out trials from a model of the training network.
pub fn predict(
    network: &Network,
    training: &Network,
    model: &ForecastModel,
    name: &str,
    held: &BTreeSet<String>,
) -> FoldPredictions {
    let raw = RawTable::new(training);
    let points = Points::new(LEVEL_DRAWS);
    let mut laws: BTreeMap<(usize, Option<usize>), FieldLaw> = BTreeMap::new();
    let mut fold = FoldPredictions { name: name.to_owned(), ..FoldPredictions::default() };
    for trial in network.trials.iter().filter(|t| held.contains(&t.trial)) {
        let Some(system) = model.prepared.systems.iter().position(|s| *s == trial.system) else { continue };
        let site = model.prepared.sites.iter().position(|s| *s == trial.site);
        let law = laws.entry((system, site)).or_insert_with(|| FieldLaw::new(model, system, site));
        let scored: Vec<Scored> = network
            .means
            .iter()
            .filter(|m| m.trial == trial.trial)
            .filter_map(|m| {
                let block = model.prepared.block(&m.variety).ok()?;
                let plots = m.plots.or(trial.error.reps).unwrap_or(1.0).max(1.0);
                Some(Scored { block, yield_: m.yield_, variety: m.variety.clone(), plots })
            })
            .collect();
        if scored.len() >= MIN_SCORED {
            let residual = model.fitted.variances.residual[system];
            let nodes = Departures::new(model, system, residual, &Points::new(NODES));
            let joint = HeldLaw::new(law, &scored.iter().map(|s| s.block).collect::<Vec<_>>());
            let held_trial = HeldTrial { trial, training, model, law, joint, scored, system, nodes };
            held_trial.predict(network, &raw, &points, &mut fold);
        }
    }
    fold
}

struct Scored {
    block: usize,
    yield_: f64,
    variety: String,
    plots: f64,
}

struct HeldTrial<'a> {
    trial: &'a Trial,
    training: &'a Network,
    model: &'a ForecastModel,
    law: &'a FieldLaw,
    /// The part of it that tells the scored varieties apart.
    joint: HeldLaw,
    scored: Vec<Scored>,
    system: usize,
    /// Departures at a few nodes.
    nodes: Departures,
}

impl HeldTrial<'_> {
    fn predict(&self, network: &Network, raw: &RawTable, points: &Points, fold: &mut FoldPredictions) {
        let count = self.scored.len();
        let yields: Vec<f64> = self.scored.iter().map(|s| s.yield_).collect();
        let came = centred(&yields);
        let water = self.trial.water.map_or(0.0, |w| self.model.standard_water(self.system, w));
        let given = self.law_at(water, &self.pressures(network, water));
        let climate = Climate::of(self.training, &self.trial.system, Some(&self.trial.site), None);
        let mut seasons: Vec<Centred> = climate
            .seasons
            .iter()
            .map(|s| self.model.standard_water(self.system, s.1))
            .flat_map(|w| self.likely_pressures(w).into_iter().map(move |p| (w, p)))
            .map(|(w, pressures)| self.law_at(w, &pressures))
            .collect();
        if seasons.is_empty() {
            seasons.push(self.law_at(0.0, &self.model.pressures[self.system].mean(0.0)));
        }
        let raw_means: Vec<f64> = self.scored.iter().map(|s| raw.mean(&s.variety)).collect();
        let raw_centred = centred(&raw_means);
        let draws = self.yield_draws(water, &self.pressures(network, water), points);
        for (i, (scored, drawn)) in self.scored.iter().zip(draws).enumerate() {
            fold.means.push(Prediction {
                variety: scored.variety.clone(),
                season: self.trial.season,
                system: self.trial.system.clone(),
                came: came[i],
                given_water: given.mixture(i),
                as_it_came: over_seasons(&seasons, i),
                raw: (raw_centred[i], raw.sd(&scored.variety)),
                yield_came: scored.yield_,
                yield_draws: drawn,
            });
        }
        for i in 0..count {
            for j in 0..i {
                fold.pairs.push(Pair {
                    came: match yields[i].total_cmp(&yields[j]) {
                        std::cmp::Ordering::Greater => 1.0,
                        std::cmp::Ordering::Equal => 0.5,
                        std::cmp::Ordering::Less => 0.0,
                    },
                    given_water: given.chance(i, j),
                    as_it_came: seasons.iter().map(|law| law.chance(i, j)).sum::<f64>()
                        / seasons.len() as f64,
                    raw: raw.chance(&self.scored[i].variety, &self.scored[j].variety),
                });
            }
        }
    }

    /// Error variance of a mean, squared shares.
    fn plot_error(&self, scored: &Scored) -> f64 {
        self.model.prepared.plot_variance[self.system].unwrap_or(0.0) / scored.plots
    }

    /// Pressures that a season of this water may bring, each as likely.
    fn likely_pressures(&self, water: f64) -> Vec<Vec<f64>> {
        let pool = &self.model.pressures[self.system];
        let shares: Vec<f64> =
            (0..PRESSURES_PER_SEASON).map(|k| (k as f64 + 0.5) / PRESSURES_PER_SEASON as f64).collect();
        pool.choose(water, &shares).into_iter().map(|trial| pool.of(trial).to_vec()).collect()
    }

    /// Pressures of the held-out trial: as scored there, or as expected at its water.
    fn pressures(&self, network: &Network, water: f64) -> Vec<f64> {
        let expected = self.model.pressures[self.system].mean(water);
        let scored = |code: &str| {
            let here = network.pressure.iter().find(|p| p.trial == self.trial.trial && p.trait_ == code);
            here.map(|p| f64::from(p.pressure) / SEVERE)
        };
        self.model.threats.iter().zip(expected).map(|(t, mean)| scored(&t.code).unwrap_or(mean)).collect()
    }

    fn law_at(&self, water: f64, pressures: &[f64]) -> Centred {
        let scale = self.model.prepared.scale[self.system];
        let healthy = self.predicted_level(water);
        let growth = self.model.growth(healthy);
        let threats = || self.model.threats.iter().zip(pressures);
        let mut hits = Vec::with_capacity(self.scored.len() * pressures.len());
        for s in &self.scored {
            hits.extend(threats().map(|(t, pressure)| healthy * pressure * t.susceptibility[s.block]));
        }
        let met = Met { growth, reach: self.model.slope_water(self.system, water), hits: &hits };
        let means: Vec<f64> = self.joint.means(&met).into_iter().map(|x| x * scale).collect();
        let mut covariance = self.joint.covariance(&met);
        covariance.iter_mut().for_each(|x| *x *= scale * scale);
        let doubt = |s: &Scored| {
            let of = |((t, pressure), loss): ((&Threat, &f64), &f64)| {
                (healthy * pressure * t.doubt[s.block] * loss).powi(2)
            };
            threats().zip(&self.joint.loss).map(of).sum()
        };
        let doubts: Vec<f64> = self.scored.iter().map(doubt).collect();
        let own_at = |n: usize| {
            let own = |(s, doubt): (&Scored, &f64)| {
                scale * scale * (self.nodes.own_variance(n, growth, self.plot_error(s)) + doubt)
            };
            self.scored.iter().zip(&doubts).map(own).collect()
        };
        let own = (0..self.nodes.count()).map(own_at).collect();
        Centred::new(&means, covariance, own)
    }

    /// The trial's level as the model predicts it, a share of the system's mean: its own is not known yet.
    fn predicted_level(&self, water: f64) -> f64 {
        let base = self.law.level_row();
        let response = self.model.level.response(water);
        share_of(self.law.mean[base] + response * self.law.mean[base + 1] + self.law.mean[base + 2])
    }

    /// Sorted draws of each whole yield given the season's water.
    fn yield_draws(&self, water: f64, pressures: &[f64], points: &Points) -> Vec<Vec<f64>> {
        let (law, order, count) = (self.law, self.law.order(), points.count());
        let scale = self.model.prepared.scale[self.system];
        let (response, reach) =
            (self.model.level.response(water), self.model.slope_water(self.system, water));
        let scores: Vec<Vec<f64>> = (0..order as u64).map(|k| points.normal(LAW + k)).collect();
        let combine = |weights: &[f64], mean: f64| -> Vec<f64> {
            let mut values = vec![mean; count];
            for (weight, score) in weights.iter().zip(&scores).filter(|(w, _)| **w != 0.0) {
                add_scaled(&mut values, *weight, score);
            }
            values
        };
        let row = |i: usize| &law.factor[i * order..(i + 1) * order];
        let base = law.level_row();
        let level_weights: Vec<f64> =
            (0..order).map(|k| row(base)[k] + response * row(base + 1)[k] + row(base + 2)[k]).collect();
        let level_mean = law.mean[base] + response * law.mean[base + 1] + law.mean[base + 2];
        let losses: Vec<f64> = (0..self.model.threats.len())
            .map(|d| law.loss_row() + d)
            .flat_map(|d| combine(row(d), law.mean[d]))
            .collect();
        let constant: Vec<Vec<f64>> = pressures.iter().map(|pressure| vec![*pressure; count]).collect();
        let hits = strikes(&losses, &constant, count);
        let unrated = Unrated::drawn(&self.model.threats, points);
        let residual = self.model.fitted.variances.residual[self.system];
        let departures = Departures::new(self.model, self.system, residual, points);
        let level: Vec<f64> = combine(&level_weights, level_mean)
            .iter()
            .zip(&departures.shared)
            .map(|(level, shared)| share_of(level + shared))
            .collect();
        let grown: Vec<f64> = level.iter().map(|m| self.model.growth(*m)).collect();
        let typical = self.model.growth(self.predicted_level(water));
        let (nothing, harvested) = (vec![0.0; count], vec![true; count]);
        self.scored
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let slope = law.varieties + s.block;
                let weights: Vec<f64> = (0..order).map(|k| row(s.block)[k] + reach * row(slope)[k]).collect();
                let difference = combine(&weights, law.mean[s.block] + reach * law.mean[slope]);
                let lost = shares_lost(&self.model.threats, &unrated, s.block, &hits, count);
                let own = points.normal(OWN + i as u64);
                let plot = self.plot_error(s);
                let spread: Vec<f64> =
                    (0..count).map(|n| departures.own_variance(n, typical, plot).sqrt()).collect();
                let grown = Grown {
                    level: &level,
                    lost: &lost,
                    grown: &grown,
                    // The slope stands in the difference already.
                    reach: &nothing,
                    slope: &nothing,
                    spread: &spread,
                    harvested: &harvested,
                    difference: &difference,
                    departure: &own,
                };
                let mut draws = grown.yields(scale);
                leanyear_vectors::sort(&mut draws);
                draws
            })
            .collect()
    }
}

/// Law of one variety's deviation over seasons that are each as likely: for each node, the seasons in a few
/// groups by their mean, which keeps mean and variance.
fn over_seasons(seasons: &[Centred], i: usize) -> Vec<Component> {
    let mixtures: Vec<Vec<Component>> = seasons.iter().map(|law| law.mixture(i)).collect();
    (0..NODES)
        .flat_map(|node| {
            let mut parts: Vec<Component> =
                mixtures.iter().map(|m| (m[node].0 / seasons.len() as f64, m[node].1, m[node].2)).collect();
            parts.sort_unstable_by(|a, b| a.1.total_cmp(&b.1));
            let size = parts.len().div_ceil(COMPONENTS);
            parts.chunks(size).map(joined).collect::<Vec<Component>>()
        })
        .collect()
}

/// One normal law with the weight, mean and variance of several.
fn joined(parts: &[Component]) -> Component {
    let weight: f64 = parts.iter().map(|p| p.0).sum();
    let mean = parts.iter().map(|p| p.0 * p.1).sum::<f64>() / weight;
    let variance = parts.iter().map(|p| p.0 * (p.2 * p.2 + (p.1 - mean).powi(2))).sum::<f64>() / weight;
    (weight, mean, variance.sqrt())
}
