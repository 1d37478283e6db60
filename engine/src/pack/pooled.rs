//! Trials that state no error of their means where others of their system do: named, since they take the others'.
//!
//! It reads the whole network, because what an LSD or a CV says depends on the trial's entries and mean.

use super::columns::TRIALS;
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::tables::{Network, Trial};
use crate::order::Map;
use crate::trial::error_variance::variance_of_mean;

/// Warns once a system of its trials without an error of their own.
pub(super) fn name_pooled_errors(network: &Network, problems: &mut Problems) {
    let mut yields: Map<&str, (usize, f64)> = Map::new();
    for mean in &network.means {
        let slot = yields.entry(&mean.trial).or_default();
        *slot = (slot.0 + 1, slot.1 + mean.yield_);
    }
    let states = |trial: &Trial| {
        let (entries, sum) = yields.get(trial.trial.as_str()).copied()?;
        Some(variance_of_mean(&trial.error, entries, sum / entries as f64, None).is_some())
    };
    let mut systems: Map<&str, (usize, Vec<&str>)> = Map::new();
    for trial in network.trials.iter().filter(|trial| trial.excluded.is_none()) {
        let Some(stated) = states(trial) else { continue };
        let slot = systems.entry(&trial.system).or_default();
        if stated {
            slot.0 += 1;
        } else {
            slot.1.push(&trial.trial);
        }
    }
    for (system, (stated, pooled)) in systems {
        if let (true, Some(first)) = (stated > 0, pooled.first()) {
            let kind = ProblemKind::ErrorPooled {
                system: system.to_owned(),
                trials: pooled.len(),
                first: (*first).to_owned(),
            };
            problems.warn(Place::column(TRIALS, "error_ms"), kind);
        }
    }
}
