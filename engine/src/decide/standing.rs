//! How much evidence stands behind a variety, in the production system asked for.
//!
//! Irrigated results are never lent to dryland here: seasons and trials count in the system alone. The
//! rules (seasons to prove, seasons after which a variety lapses) are the network's.

use super::table::{Standing, StandingState};
use crate::link::WaterOutlook;
use crate::mixed::network::Prepared;
use crate::pack::groups::groups;
use crate::pack::{Network, NetworkInfo};
use crate::season::climate::Climate;

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

/// Season and water of each trial of a variety in a system, by season.
type Met = Vec<(i32, Option<f64>)>;

/// Where and when each variety was tested: gathered once, counted for every table.
#[derive(Debug, Clone)]
pub struct Tested {
    /// By system (index): its last season, and the trials of each variety (block).
    systems: Vec<(i32, Vec<Met>)>,
    /// By block: the group of trials that the variety stood in, 0 the largest.
    joined: Vec<usize>,
    seasons_to_prove: u32,
    lapse_after: i32,
}

impl Tested {
    /// The fitted trials of a network.
    pub fn of(network: &Network, prepared: &Prepared) -> Tested {
        let mut systems =
            vec![(i32::MIN, vec![Vec::new(); prepared.varieties.len()]); prepared.systems.len()];
        // Columns stand by season, and so do the rows of each of them.
        let mut met = vec![Vec::new(); prepared.trials.len()];
        for row in &prepared.rows {
            met[row.trial].push((row.system, row.block));
        }
        for (column, met) in met.into_iter().enumerate() {
            let trial = prepared.trial(network, column);
            for (system, block) in met {
                let (last, varieties) = &mut systems[system];
                *last = (*last).max(trial.season);
                varieties[block].push((trial.season, trial.water));
            }
        }
        let groups = groups(network);
        let group = |code: &String| groups.iter().position(|group| group.varieties.contains(code));
        let joined = prepared.varieties.iter().map(|code| group(code).unwrap_or(0)).collect();
        let NetworkInfo { seasons_to_prove, lapse_after, .. } = network.info;
        Tested { systems, joined, seasons_to_prove, lapse_after: lapse_after as i32 }
    }

    /// The group of trials that a variety (block) stood in: two of one group a chain of trials joins. 0 is the largest.
    pub fn joined(&self, block: usize) -> usize {
        self.joined[block]
    }

    /// The standing of every variety (block) in a system; `range` is the water that counts as like the outlook.
    pub fn standings(&self, system: usize, range: Option<(f64, f64)>) -> Vec<Standing> {
        let Some((latest, varieties)) = self.systems.get(system) else { return Vec::new() };
        let each = varieties.iter().zip(&self.joined);
        each.map(|(trials, joined)| self.standing(trials, *joined > 0, *latest, range)).collect()
    }

    fn standing(&self, trials: &Met, apart: bool, latest: i32, range: Option<(f64, f64)>) -> Standing {
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
            apart,
        }
    }
}
