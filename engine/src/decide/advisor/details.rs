//! One variety in detail: its response to water, its long-run difference, its losses, every trial it stood in.

use super::super::law::{mean, quantile};
use super::super::table::{LongRun, ResponsePoint, TrialRecord, VarietyDetail, VarietyLoss};
use super::{Advisor, AdvisorError};
use crate::forecast::draws::Draws;
use crate::link::Settings;
use crate::order::Map;
use crate::pack::Network;

/// Points of a variety's response to water.
const RESPONSE_POINTS: usize = 25;

impl Advisor {
    /// One variety in detail: its response to water, its long-run difference, every trial it stood in.
    ///
    /// # Errors
    /// A system or a variety without fitted trials.
    pub fn detail(
        &self,
        draws: &Draws,
        settings: &Settings,
        variety: &str,
    ) -> Result<VarietyDetail, AdvisorError> {
        let key = self.field_key(settings)?;
        let block = self.block(variety)?;
        let units = self.unit_factor(settings);
        Ok(VarietyDetail {
            variety: variety.to_owned(),
            response: self.response(draws, key.system, block, units),
            long_run: self.long_run(draws, block, units),
            trials: trial_records(&self.pack.network, variety, units),
            losses: self.losses(block, variety),
        })
    }

    /// The long-run difference of a variety from what trials join it to of the reference set.
    fn long_run(&self, draws: &Draws, block: usize, units: f64) -> Option<LongRun> {
        let reference = self.model.reference.iter().copied();
        let reference: Vec<usize> = reference.filter(|&other| self.are_joined(block, other)).collect();
        if reference.is_empty() {
            return None;
        }
        let mut differences = leanyear_vectors::scaled(draws.long_run(block), units);
        let share = units / reference.len() as f64;
        for &other in &reference {
            leanyear_vectors::add_scaled(&mut differences, -share, draws.long_run(other));
        }
        leanyear_vectors::sort(&mut differences);
        Some(LongRun {
            against: reference.iter().map(|&other| self.model.prepared.varieties[other].clone()).collect(),
            difference: mean(&differences),
            range_80: (quantile(&differences, 0.1), quantile(&differences, 0.9)),
        })
    }

    /// What a severe attack of each threat takes from one variety.
    pub(super) fn losses(&self, block: usize, variety: &str) -> Vec<VarietyLoss> {
        let ratings = &self.pack.network.ratings;
        let threats = self.model.threats.iter().zip(&self.model.fitted.form.losses);
        threats
            .map(|(threat, loss)| VarietyLoss {
                trait_: threat.code.clone(),
                severe: loss.estimate.clamp(0.0, 1.0) * threat.susceptibility[block],
                rated: ratings.iter().any(|r| r.variety == variety && r.trait_ == threat.code),
            })
            .collect()
    }

    fn response(&self, draws: &Draws, system: usize, block: usize, units: f64) -> Vec<ResponsePoint> {
        let climate = draws.climate().0;
        let (Some(scale), Some(driest), Some(wettest)) =
            (self.model.prepared.water[system], climate.seasons.first(), climate.seasons.last())
        else {
            return Vec::new();
        };
        (0..RESPONSE_POINTS)
            .map(|k| {
                let water = driest.1 + (wettest.1 - driest.1) * k as f64 / (RESPONSE_POINTS - 1) as f64;
                let mut yields = draws.at_water(&self.model, block, scale.standard(water));
                leanyear_vectors::sort(&mut yields);
                ResponsePoint {
                    water,
                    median: quantile(&yields, 0.5) * units,
                    low80: quantile(&yields, 0.1) * units,
                    high80: quantile(&yields, 0.9) * units,
                }
            })
            .collect()
    }
}

/// Every trial of a variety, newest first.
fn trial_records(network: &Network, variety: &str, units: f64) -> Vec<TrialRecord> {
    let mut sums: Map<&str, (f64, u32)> = Map::new();
    for mean in &network.means {
        let slot = sums.entry(&mean.trial).or_default();
        slot.0 += mean.yield_;
        slot.1 += 1;
    }
    let trials: Map<&str, &crate::pack::Trial> =
        network.trials.iter().map(|t| (t.trial.as_str(), t)).collect();
    let mut records: Vec<TrialRecord> = network
        .means
        .iter()
        .filter(|m| m.variety == variety)
        .filter_map(|m| {
            let trial = trials.get(m.trial.as_str())?;
            let (sum, count) = sums[m.trial.as_str()];
            Some(TrialRecord {
                trial: trial.trial.clone(),
                site: trial.site.clone(),
                season: trial.season,
                system: trial.system.clone(),
                water: trial.water,
                yield_: m.yield_ * units,
                deviation: (m.yield_ - sum / f64::from(count)) * units,
                varieties: count,
                excluded: trial.excluded,
            })
        })
        .collect();
    crate::order::sort_by(&mut records, |a, b| b.season.cmp(&a.season).then(a.trial.cmp(&b.trial)));
    records
}
