//! Predictions of one fold: every mean of its trials whose variety was seen in training.
//!
//! Varieties are predicted as deviations from the trial's mean over the scored varieties, so that only
//! what tells varieties apart is judged; whole yields, level and variety together, are predicted too. It knows
//! no score.

use super::super::departures::Departures;
use super::super::field::FieldLaw;
use super::super::model::ForecastModel;
use super::super::random::Points;
use super::super::score::Component;
use super::centred::{Centred, centred};
use super::held_law::HeldLaw;
use super::held_trial::{HeldTrial, NODES, Scored};
use super::raw_table::RawTable;
use crate::order::{Map, Set};
use crate::pack::Network;
use std::cmp::Ordering;

/// Fewest scored varieties of a trial.
const MIN_SCORED: usize = 3;
/// Draws behind a whole yield.
const LEVEL_DRAWS: usize = 512;
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

/// A fold: the trials left out, and what was learnt without them.
#[derive(Debug, Clone, Copy)]
pub struct Fold<'a> {
    /// Season or trial.
    pub name: &'a str,
    /// Codes of the trials left out.
    pub held: &'a Set<String>,
    /// The network without them.
    pub training: &'a Network,
    /// The model fitted to that.
    pub model: &'a ForecastModel,
}

/// All predictions of a fold.
#[derive(Debug, Clone, Default)]
pub struct FoldPredictions {
    /// Season or trial.
    pub name: String,
    /// Means, given the season's water.
    pub means: Vec<Prediction>,
    /// The law of each of them over the seasons of the training climate, yield unit.
    pub as_it_came: Vec<Vec<Component>>,
    /// Pairs.
    pub pairs: Vec<Pair>,
}

/// Predicts the held-out trials from a model of the training network, given the season's water and as it came.
pub fn predict(network: &Network, fold: &Fold<'_>) -> FoldPredictions {
    let mut found = FoldPredictions { name: fold.name.to_owned(), ..FoldPredictions::default() };
    each_trial(network, fold, &mut |trial, raw, points| {
        let given = trial.given_water();
        let seasons = trial.seasons();
        found.as_it_came.extend((0..trial.scored.len()).map(|i| over_seasons(&seasons, i)));
        found.pairs.extend(pairs(trial, &given, &seasons, raw));
        found.means.extend(means(trial, &given, raw, points));
    });
    found
}

/// The same given the season's water alone, in a third of the time.
pub fn predict_given_water(network: &Network, fold: &Fold<'_>) -> Vec<Prediction> {
    let mut found = Vec::new();
    each_trial(network, fold, &mut |trial, raw, points| {
        found.extend(means(trial, &trial.given_water(), raw, points));
    });
    found
}

/// Calls `each` with every held-out trial that can be scored, the table of raw means and the draws' points.
fn each_trial(network: &Network, fold: &Fold<'_>, each: &mut dyn FnMut(&HeldTrial<'_>, &RawTable, &Points)) {
    let Fold { held, training, model, .. } = *fold;
    let raw = RawTable::new(training);
    let points = Points::new(LEVEL_DRAWS);
    let mut laws: Map<(usize, Option<usize>, Option<usize>), FieldLaw> = Map::new();
    for trial in network.trials.iter().filter(|t| held.contains(&t.trial)) {
        let Some(system) = model.prepared.systems.iter().position(|s| *s == trial.system) else { continue };
        let site = model.prepared.sites.iter().position(|s| *s == trial.site);
        // A trial that is left out by itself is of a season that others show.
        let season = model.prepared.seasons.iter().position(|s| *s == trial.season);
        let law =
            laws.entry((system, site, season)).or_insert_with(|| FieldLaw::new(model, system, site, season));
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
            let departures = |points: &Points| {
                let residual = model.fitted.variances.residual[system];
                let new = Departures::new(model, system, residual, points);
                if season.is_some() { new.in_a_season_seen() } else { new }
            };
            let nodes = departures(&Points::new(NODES));
            let joint = HeldLaw::new(law, &scored.iter().map(|s| s.block).collect::<Vec<_>>());
            let held_trial = HeldTrial {
                drawn: departures(&points),
                trial,
                network,
                training,
                model,
                law,
                joint,
                scored,
                system,
                nodes,
            };
            each(&held_trial, &raw, &points);
        }
    }
}

fn means(trial: &HeldTrial<'_>, given: &Centred, raw: &RawTable, points: &Points) -> Vec<Prediction> {
    let came = centred(&trial.scored.iter().map(|s| s.yield_).collect::<Vec<f64>>());
    let raw_means = centred(&trial.scored.iter().map(|s| raw.mean(&s.variety)).collect::<Vec<f64>>());
    let drawn = trial.yield_draws(points);
    let one = |(i, (scored, yield_draws)): (usize, (&Scored, Vec<f64>))| Prediction {
        variety: scored.variety.clone(),
        season: trial.trial.season,
        system: trial.trial.system.clone(),
        came: came[i],
        given_water: given.mixture(i),
        raw: (raw_means[i], raw.sd(&scored.variety)),
        yield_came: scored.yield_,
        yield_draws,
    };
    trial.scored.iter().zip(drawn).enumerate().map(one).collect()
}

fn pairs(trial: &HeldTrial<'_>, given: &Centred, seasons: &[Centred], raw: &RawTable) -> Vec<Pair> {
    let of = |i: usize, j: usize| {
        let (one, other) = (&trial.scored[i], &trial.scored[j]);
        Pair {
            came: match one.yield_.total_cmp(&other.yield_) {
                Ordering::Greater => 1.0,
                Ordering::Equal => 0.5,
                Ordering::Less => 0.0,
            },
            given_water: given.chance(i, j),
            as_it_came: seasons.iter().map(|law| law.chance(i, j)).sum::<f64>() / seasons.len() as f64,
            raw: raw.chance(&one.variety, &other.variety),
        }
    };
    (0..trial.scored.len()).flat_map(|i| (0..i).map(move |j| (i, j))).map(|(i, j)| of(i, j)).collect()
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
