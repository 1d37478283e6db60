//! How much evidence stands behind a variety, in the production system asked for.
//!
//! Irrigated results are never lent to dryland here: seasons and trials count in the system alone. The
//! rules (seasons to prove, seasons after which a variety lapses) are the network's.

use super::table::{Standing, StandingState};
use crate::link::WaterOutlook;
use crate::order::Gather;
use crate::pack::{Network, Trial};
use crate::season::climate::Climate;
use std::collections::{BTreeMap, BTreeSet};

/// A like-that-year trial may differ by this share of the year's water.
const LIKE_YEAR_SHARE: f64 = 0.1;

/// Least and greatest water that count as inside an outlook; `None` counts every trial.
pub fn outlook_range(climate: &Climate, weights: &[f64], outlook: WaterOutlook) -> Option<(f64, f64)> {
    let inside: Vec<f64> =
        climate.seasons.iter().zip(weights).filter(|(_, w)| **w > 0.0).map(|(s, _)| s.1).collect();
    let (low, high) = (*inside.first()?, *inside.last()?);
    match outlook {
        WaterOutlook::Any | WaterOutlook::Thirds(..) => None,
        WaterOutlook::DriestFifth | WaterOutlook::Dry => Some((f64::NEG_INFINITY, high)),
        WaterOutlook::Middle => Some((low, high)),
        WaterOutlook::Wet => Some((low, f64::INFINITY)),
        WaterOutlook::Like(_) => Some((low * (1.0 - LIKE_YEAR_SHARE), high * (1.0 + LIKE_YEAR_SHARE))),
    }
}

/// A system's last season, and by variety the season and water of each of its trials, by season.
type InSystem = (i32, BTreeMap<String, Vec<(i32, Option<f64>)>>);

/// Where and when each variety was tested: gathered once, counted for every table.
#[derive(Debug, Clone)]
pub struct Tested {
    systems: BTreeMap<String, InSystem>,
    seasons_to_prove: u32,
    lapse_after: i32,
}

impl Tested {
    /// The trials of a network that count.
    pub fn of(network: &Network) -> Tested {
        let trials: BTreeMap<&str, &Trial> =
            network.trials.iter().filter(|t| t.excluded.is_none()).map(|t| (t.trial.as_str(), t)).gather();
        // A variety counts once in a trial, however often it stands there.
        let mut met: BTreeSet<(&str, &str)> = BTreeSet::new();
        let mut systems: BTreeMap<String, InSystem> = BTreeMap::new();
        for trial in trials.values() {
            let system = systems.entry(trial.system.clone()).or_insert((trial.season, BTreeMap::new()));
            system.0 = system.0.max(trial.season);
        }
        for mean in &network.means {
            if let Some(trial) = trials.get(mean.trial.as_str())
                && met.insert((&mean.variety, &mean.trial))
                && let Some((_, varieties)) = systems.get_mut(&trial.system)
            {
                varieties.entry(mean.variety.clone()).or_default().push((trial.season, trial.water));
            }
        }
        for trials in systems.values_mut().flat_map(|(_, varieties)| varieties.values_mut()) {
            crate::order::sort_by_key(trials, |(season, _)| *season);
        }
        let info = &network.info;
        Tested { systems, seasons_to_prove: info.seasons_to_prove, lapse_after: info.lapse_after as i32 }
    }

    /// The standing of every variety with a fitted trial in a system, by code. `range` is the water that counts as
    /// like the outlook.
    pub fn standings(&self, system: &str, range: Option<(f64, f64)>) -> BTreeMap<&str, Standing> {
        let Some((latest, varieties)) = self.systems.get(system) else { return BTreeMap::new() };
        varieties.iter().map(|(code, trials)| (code.as_str(), self.standing(trials, *latest, range))).gather()
    }

    fn standing(&self, trials: &[(i32, Option<f64>)], latest: i32, range: Option<(f64, f64)>) -> Standing {
        let like = |water: &Option<f64>| match (range, water) {
            (None, _) => true,
            (Some((low, high)), Some(water)) => (low..=high).contains(water),
            (Some(_), None) => false,
        };
        let last = trials.last().map(|(season, _)| *season);
        let seasons = trials.chunk_by(|a, b| a.0 == b.0).count() as u32;
        let state = if last.is_some_and(|last| latest - last >= self.lapse_after) {
            StandingState::NoLongerTested
        } else if seasons >= self.seasons_to_prove {
            StandingState::WellTested
        } else {
            StandingState::New
        };
        Standing {
            state,
            seasons,
            trials: trials.len() as u32,
            trials_like_this: trials.iter().filter(|(_, water)| like(water)).count() as u32,
            last,
        }
    }
}
