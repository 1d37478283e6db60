//! Predictions of one fold: every mean of its trials whose variety was seen in training.
//!
//! Varieties are predicted as deviations from the trial's mean over the scored varieties, so that only
//! what tells varieties apart is judged; whole yields, level and variety together, are predicted too. The
//! law of a mean includes its plot error. It knows no score.

use super::super::draws::LAW;
use super::super::field::FieldLaw;
use super::super::losses::{SEVERE, shares_lost, strikes};
use super::super::model::ForecastModel;
use super::super::random::Points;
use super::super::score::phi;
use crate::pack::{Network, Trial};
use crate::season::climate::Climate;
use std::collections::{BTreeMap, BTreeSet};

/// Fewest scored varieties of a trial.
const MIN_SCORED: usize = 3;
/// Trials whose pressures stand for those of a season as it comes.
const PRESSURES_PER_SEASON: usize = 4;
/// Draws behind a whole yield.
const LEVEL_DRAWS: usize = 512;

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
    /// Mean and standard deviation given the season's water, yield unit.
    pub given_water: (f64, f64),
    /// Mixture over the seasons of the training climate: weight, mean, standard deviation.
    pub as_it_came: Vec<(f64, f64, f64)>,
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
            let held_trial = HeldTrial { trial, training, model, law, scored, system };
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
    scored: Vec<Scored>,
    system: usize,
}

/// Centred joint law of the scored varieties at one amount of water.
struct Centred {
    mean: Vec<f64>,
    covariance: Vec<f64>,
}

impl HeldTrial<'_> {
    fn predict(&self, network: &Network, raw: &RawTable, points: &Points, fold: &mut FoldPredictions) {
        let count = self.scored.len();
        let yields: Vec<f64> = self.scored.iter().map(|s| s.yield_).collect();
        let came = centred(&yields);
        let water = self.trial.water.map_or(0.0, |w| self.model.standard_water(self.system, w));
        let given = self.law_at(water, &self.pressures(network, water));
        let climate = Climate::of(self.training, &self.trial.system, Some(&self.trial.site), None);
        let weight = 1.0 / (climate.seasons.len() * PRESSURES_PER_SEASON) as f64;
        let mut seasons: Vec<(f64, Centred)> = climate
            .seasons
            .iter()
            .map(|s| self.model.standard_water(self.system, s.1))
            .flat_map(|w| self.likely_pressures(w).into_iter().map(move |p| (w, p)))
            .map(|(w, pressures)| (weight, self.law_at(w, &pressures)))
            .collect();
        if seasons.is_empty() {
            seasons.push((1.0, self.law_at(0.0, &self.model.pressures[self.system].mean(0.0))));
        }
        let raw_means: Vec<f64> = self.scored.iter().map(|s| raw.mean(&s.variety)).collect();
        let raw_centred = centred(&raw_means);
        let draws = self.yield_draws(water, &self.pressures(network, water), points);
        for (i, (scored, drawn)) in self.scored.iter().zip(draws).enumerate() {
            let spread = |law: &Centred| law.covariance[i * count + i].max(0.0).sqrt();
            fold.means.push(Prediction {
                variety: scored.variety.clone(),
                season: self.trial.season,
                system: self.trial.system.clone(),
                came: came[i],
                given_water: (given.mean[i], spread(&given)),
                as_it_came: seasons.iter().map(|(w, law)| (*w, law.mean[i], spread(law))).collect(),
                raw: (raw_centred[i], raw.sd(&scored.variety)),
                yield_came: scored.yield_,
                yield_draws: drawn,
            });
        }
        for i in 0..count {
            for j in 0..i {
                let chance = |law: &Centred| {
                    let at = |a: usize, b: usize| law.covariance[a * count + b];
                    let variance = at(i, i) + at(j, j) - 2.0 * at(i, j);
                    phi((law.mean[i] - law.mean[j]) / variance.max(f64::MIN_POSITIVE).sqrt())
                };
                fold.pairs.push(Pair {
                    came: match yields[i].total_cmp(&yields[j]) {
                        std::cmp::Ordering::Greater => 1.0,
                        std::cmp::Ordering::Equal => 0.5,
                        std::cmp::Ordering::Less => 0.0,
                    },
                    given_water: chance(&given),
                    as_it_came: seasons.iter().map(|(w, law)| w * chance(law)).sum(),
                    raw: raw.chance(&self.scored[i].variety, &self.scored[j].variety),
                });
            }
        }
    }

    /// Variance of a mean about its variety's own forecast: season, residual, plot error; squared shares.
    fn own_variance(&self, scored: &Scored, growth: f64) -> f64 {
        let v = &self.model.fitted.variances;
        let plot = self.model.prepared.plot_variance[self.system].unwrap_or(0.0);
        growth * growth * v.season + v.residual[self.system] + plot / scored.plots
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
        let (law, order, count) = (self.law, self.law.order(), self.scored.len());
        let scale = self.model.prepared.scale[self.system];
        let reach = self.model.slope_water(self.system, water);
        let healthy = self.predicted_level(water);
        let growth = self.model.growth(healthy);
        let first_loss = law.loss_row();
        let hit =
            |block: usize, d: usize| healthy * pressures[d] * self.model.threats[d].susceptibility[block];
        let threats = self.model.threats.len();
        let rows: Vec<Vec<f64>> = self
            .scored
            .iter()
            .map(|s| {
                let slope = law.varieties + s.block;
                (0..order)
                    .map(|k| {
                        let at = |row: usize| law.factor[row * order + k];
                        let lost: f64 = (0..threats).map(|d| hit(s.block, d) * at(first_loss + d)).sum();
                        growth * (at(s.block) + reach * at(slope)) - lost
                    })
                    .collect()
            })
            .collect();
        let means: Vec<f64> = self
            .scored
            .iter()
            .map(|s| {
                let lost: f64 = (0..threats).map(|d| hit(s.block, d) * law.mean[first_loss + d]).sum();
                growth * (law.mean[s.block] + reach * law.mean[law.varieties + s.block]) - lost
            })
            .collect();
        let mut covariance = vec![0.0; count * count];
        for i in 0..count {
            for j in 0..=i {
                let mut value: f64 = rows[i].iter().zip(&rows[j]).map(|(x, y)| x * y).sum();
                if i == j {
                    value += self.own_variance(&self.scored[i], growth);
                }
                covariance[i * count + j] = value;
                covariance[j * count + i] = value;
            }
        }
        centre_covariance(&mut covariance, count);
        covariance.iter_mut().for_each(|x| *x *= scale * scale);
        Centred { mean: centred(&means).iter().map(|x| x * scale).collect(), covariance }
    }

    /// The trial's level as the model predicts it, a share of the system's mean: its own is not known yet.
    fn predicted_level(&self, water: f64) -> f64 {
        let base = self.law.level_row();
        let response = self.model.level.response(water);
        (self.law.mean[base] + response * self.law.mean[base + 1] + self.law.mean[base + 2]).exp()
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
                values.iter_mut().zip(score).for_each(|(x, z)| *x += weight * z);
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
        let form = &self.model.level.parameters;
        let (season_sd, trial_sd) = (form.season_variance.sqrt(), form.trial_variance.sqrt());
        let seasons = points.student(1, self.model.season_freedom());
        let trials = points.normal(0);
        let level = combine(&level_weights, level_mean);
        let typical = self.model.growth(self.predicted_level(water));
        self.scored
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let slope = law.varieties + s.block;
                let weights: Vec<f64> = (0..order).map(|k| row(s.block)[k] + reach * row(slope)[k]).collect();
                let difference = combine(&weights, law.mean[s.block] + reach * law.mean[slope]);
                let lost = shares_lost(&self.model.threats, s.block, &hits, count);
                let own = points.normal(2 + i as u64);
                let own_sd = self.own_variance(s, typical).sqrt();
                let mut draws: Vec<f64> = (0..count)
                    .map(|n| {
                        let level = (level[n] + season_sd * seasons[n] + trial_sd * trials[n]).exp();
                        let share = level * (1.0 - lost[n])
                            + self.model.growth(level) * difference[n]
                            + own_sd * own[n];
                        share.max(0.0) * scale
                    })
                    .collect();
                draws.sort_by(f64::total_cmp);
                draws
            })
            .collect()
    }
}

fn centred(values: &[f64]) -> Vec<f64> {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    values.iter().map(|x| x - mean).collect()
}

/// HΣH with H = I − 11′/k.
fn centre_covariance(covariance: &mut [f64], count: usize) {
    let means: Vec<f64> = (0..count)
        .map(|i| covariance[i * count..(i + 1) * count].iter().sum::<f64>() / count as f64)
        .collect();
    let grand = means.iter().sum::<f64>() / count as f64;
    for i in 0..count {
        for j in 0..count {
            covariance[i * count + j] += grand - means[i] - means[j];
        }
    }
}

/// The table growers have today: each variety's mean deviation from its trials' means.
struct RawTable {
    means: BTreeMap<String, (f64, f64)>,
    residual: f64,
}

impl RawTable {
    fn new(training: &Network) -> RawTable {
        let fitted: BTreeSet<&str> =
            training.trials.iter().filter(|t| t.excluded.is_none()).map(|t| t.trial.as_str()).collect();
        let rows: Vec<_> = training.means.iter().filter(|m| fitted.contains(m.trial.as_str())).collect();
        let mut trials: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
        for m in &rows {
            let slot = trials.entry(&m.trial).or_default();
            slot.0 += m.yield_;
            slot.1 += 1.0;
        }
        let deviation = |m: &crate::pack::Mean| {
            let (sum, count) = trials[m.trial.as_str()];
            m.yield_ - sum / count
        };
        let mut sums: BTreeMap<String, (f64, f64)> = BTreeMap::new();
        for m in &rows {
            let slot = sums.entry(m.variety.clone()).or_default();
            slot.0 += deviation(m);
            slot.1 += 1.0;
        }
        let means: BTreeMap<String, (f64, f64)> =
            sums.into_iter().map(|(v, (sum, count))| (v, (sum / count, count))).collect();
        let squares: f64 = rows.iter().map(|m| (deviation(m) - means[&m.variety].0).powi(2)).sum();
        let freedom = rows.len() as f64 - means.len() as f64;
        RawTable { means, residual: (squares / freedom.max(1.0)).sqrt() }
    }

    fn mean(&self, variety: &str) -> f64 {
        self.means.get(variety).map_or(0.0, |m| m.0)
    }

    fn sd(&self, variety: &str) -> f64 {
        self.residual * (1.0 + 1.0 / self.means.get(variety).map_or(1.0, |m| m.1)).sqrt()
    }

    fn chance(&self, first: &str, second: &str) -> f64 {
        let spread = (self.sd(first).powi(2) + self.sd(second).powi(2)).sqrt();
        phi((self.mean(first) - self.mean(second)) / spread.max(f64::MIN_POSITIVE))
    }
}
