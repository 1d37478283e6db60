//! How much evidence stands behind a variety, in the production system asked for.
//!
//! Irrigated results are never lent to dryland here: seasons and trials count in the system alone. The
//! rules (seasons to prove, seasons after which a variety lapses) are the network's.

use super::table::{Standing, StandingState};
use crate::link::WaterOutlook;
use crate::order::Gather;
use crate::pack::Network;
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

/// The standing of every variety with a fitted trial, by code. `range` is the water that counts as like
/// the outlook.
pub fn standings(network: &Network, system: &str, range: Option<(f64, f64)>) -> BTreeMap<String, Standing> {
    let trials: BTreeMap<&str, &crate::pack::Trial> = network
        .trials
        .iter()
        .filter(|t| t.excluded.is_none() && t.system == system)
        .map(|t| (t.trial.as_str(), t))
        .gather();
    let latest = trials.values().map(|t| t.season).max();
    let mut seen: BTreeMap<&str, (BTreeSet<i32>, BTreeSet<&str>, u32)> = BTreeMap::new();
    for mean in &network.means {
        let slot = seen.entry(&mean.variety).or_default();
        if let Some(trial) = trials.get(mean.trial.as_str())
            && slot.1.insert(&trial.trial)
        {
            slot.0.insert(trial.season);
            let like = match (range, trial.water) {
                (None, _) => true,
                (Some((low, high)), Some(water)) => (low..=high).contains(&water),
                (Some(_), None) => false,
            };
            slot.2 += u32::from(like);
        }
    }
    let standing = |(seasons, trials, like): (BTreeSet<i32>, BTreeSet<&str>, u32)| {
        let last = seasons.last().copied();
        let lapsed = match (latest, last) {
            (Some(latest), Some(last)) => latest - last >= network.info.lapse_after as i32,
            _ => false,
        };
        let state = if lapsed {
            StandingState::NoLongerTested
        } else if seasons.len() as u32 >= network.info.seasons_to_prove {
            StandingState::WellTested
        } else {
            StandingState::New
        };
        Standing {
            state,
            seasons: seasons.len() as u32,
            trials: trials.len() as u32,
            trials_like_this: like,
            last,
        }
    };
    seen.into_iter().map(|(variety, counts)| (variety.to_owned(), standing(counts))).collect()
}
