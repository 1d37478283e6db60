//! One held-out trial as a model of the training network sees it: the laws of its varieties' deviations and yields.
//!
//! The law of a mean includes its plot error. Of what came it reads only who stood there, on which plots, at what
//! water and under which diseases.

use super::super::departures::Departures;
use super::super::draws::LAW;
use super::super::field::FieldLaw;
use super::super::losses::{SEVERE, Threat, Unrated, shares_lost, strikes};
use super::super::model::ForecastModel;
use super::super::random::Points;
use super::super::season_draws::OWN;
use super::centred::Centred;
use super::held_law::{HeldLaw, Met};
use crate::pack::{Network, Trial};
use crate::season::climate::Climate;
use crate::season::level::share_of;
use leanyear_vectors::{Grown, add_scaled};

/// Trials whose pressures stand for those of a season as it comes.
const PRESSURES_PER_SEASON: usize = 4;
/// Nodes that stand for what is not known of the variances of departures.
pub const NODES: usize = 8;

/// A variety that stood in the trial and was seen in training.
pub struct Scored {
    /// Block of the model.
    pub block: usize,
    /// What it made, yield unit.
    pub yield_: f64,
    /// Variety code.
    pub variety: String,
    /// Plots behind its mean.
    pub plots: f64,
}

/// A held-out trial, with what the model knows of its system and site.
pub struct HeldTrial<'a> {
    /// The trial.
    pub trial: &'a Trial,
    /// Everything, for the diseases that were scored there.
    pub network: &'a Network,
    /// What the model was fitted to, for its climate.
    pub training: &'a Network,
    /// The model.
    pub model: &'a ForecastModel,
    /// Its law of the field.
    pub law: &'a FieldLaw,
    /// The part of it that tells the scored varieties apart.
    pub joint: HeldLaw,
    /// The scored varieties.
    pub scored: Vec<Scored>,
    /// Place of the system in the model.
    pub system: usize,
    /// Departures at a few nodes.
    pub nodes: Departures,
    /// Departures at the points of whole yields.
    pub drawn: Departures,
}

impl HeldTrial<'_> {
    /// Standardised water of its season; the usual where it is not known.
    fn water(&self) -> f64 {
        self.trial.water.map_or(0.0, |w| self.model.standard_water(self.system, w))
    }

    /// The law of deviations given the season's water and diseases.
    pub fn given_water(&self) -> Centred {
        let water = self.water();
        self.law_at(water, &self.pressures(water))
    }

    /// The same in each season of the training climate, with each of the pressures that it may bring.
    pub fn seasons(&self) -> Vec<Centred> {
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
        seasons
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
    fn pressures(&self, water: f64) -> Vec<f64> {
        let expected = self.model.pressures[self.system].mean(water);
        let scored = |code: &str| {
            let here = self.network.pressure.iter().find(|p| p.trial == self.trial.trial && p.trait_ == code);
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
        let response = self.model.water_response(self.system, water);
        share_of(self.law.mean[base] + response * self.law.mean[base + 1] + self.law.mean[base + 2])
    }

    /// Sorted draws of each whole yield given the season's water.
    pub fn yield_draws(&self, points: &Points) -> Vec<Vec<f64>> {
        let water = self.water();
        let pressures = self.pressures(water);
        let (law, order, count) = (self.law, self.law.order(), points.count());
        let scale = self.model.prepared.scale[self.system];
        let (response, reach) =
            (self.model.water_response(self.system, water), self.model.slope_water(self.system, water));
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
        let departures = &self.drawn;
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
