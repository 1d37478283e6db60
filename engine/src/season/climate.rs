//! The seasons a site can have, and how an outlook weighs them.
//!
//! Each of the H seasons of the record, ranked by water, holds 1/H of the scale from driest to wettest; an
//! outlook is an interval of that scale (or a mixture of the thirds), and a season's weight is its overlap
//! with it. Amounts are in the network's water unit. It knows tables, not models.

use crate::decide::ClimateSource;
use crate::link::WaterOutlook;
use crate::order::{Map, Set};
use crate::pack::Network;

/// Seasons below which a site's own trials are no climate.
const MIN_TRIAL_SEASONS: usize = 5;

/// The water of the seasons that a field may meet, driest first.
#[derive(Debug, Clone, PartialEq)]
pub struct Climate {
    /// Season and water, ascending in water; empty where no water is known.
    pub seasons: Vec<(i32, f64)>,
    /// Where they come from.
    pub source: ClimateSource,
}

/// How often years like the outlook's were, and the water they brought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BaseRate {
    /// Distinct years of the record.
    pub seasons_in_record: u32,
    /// Of those, years inside the outlook, rounded; those cut by its edge count by their share.
    pub seasons_like_this: u32,
    /// Least and greatest water of the seasons inside the outlook, water unit.
    pub water_range: Option<(f64, f64)>,
}

impl Climate {
    /// The climate of a site (or a zone, or the whole network) in a production system.
    pub fn of(network: &Network, system: &str, site: Option<&str>, zone: Option<&str>) -> Climate {
        let zone_of: Map<&str, &str> =
            network.sites.iter().map(|s| (s.site.as_str(), s.zone.as_str())).collect();
        let wanted = |candidate: &str| match (site, zone) {
            (Some(site), _) => candidate == site,
            (None, Some(zone)) => zone_of.get(candidate) == Some(&zone),
            (None, None) => true,
        };
        let long: Vec<(i32, f64)> = network
            .water
            .iter()
            .filter(|r| r.system == system && wanted(&r.site))
            .map(|r| (r.season, r.water))
            .collect();
        if long.len() >= MIN_TRIAL_SEASONS {
            return Climate::ranked(long, ClimateSource::LongRecord);
        }
        let own = trial_seasons(network, system, wanted);
        if own.len() >= MIN_TRIAL_SEASONS {
            return Climate::ranked(own, ClimateSource::TrialSeasons);
        }
        let all = trial_seasons(network, system, |_| true);
        let source = if all.is_empty() { ClimateSource::None } else { ClimateSource::NetworkSeasons };
        Climate::ranked(all, source)
    }

    fn ranked(mut seasons: Vec<(i32, f64)>, source: ClimateSource) -> Climate {
        crate::order::sort_by(&mut seasons, |a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        Climate { seasons, source }
    }

    /// Weight of each season under an outlook, adding to 1; equal weights where the outlook names a
    /// season that the record does not hold.
    pub fn weights(&self, outlook: WaterOutlook) -> Vec<f64> {
        let count = self.seasons.len();
        if count == 0 {
            return Vec::new();
        }
        let third = 1.0 / 3.0;
        let mut weights: Vec<f64> = match outlook {
            WaterOutlook::Any => vec![1.0; count],
            WaterOutlook::DriestFifth => self.overlaps(0.0, 0.2),
            WaterOutlook::Dry => self.overlaps(0.0, third),
            WaterOutlook::Middle => self.overlaps(third, 2.0 * third),
            WaterOutlook::Wet => self.overlaps(2.0 * third, 1.0),
            WaterOutlook::Like(season) => {
                self.seasons.iter().map(|s| f64::from(u8::from(s.0 == season))).collect()
            }
            WaterOutlook::Thirds(dry, middle, wet) => {
                let mut sum = vec![0.0; count];
                for (share, from) in [(dry, 0.0), (middle, third), (wet, 2.0 * third)] {
                    for (total, overlap) in sum.iter_mut().zip(self.overlaps(from, from + third)) {
                        *total += f64::from(share) * overlap;
                    }
                }
                sum
            }
        };
        let total: f64 = weights.iter().sum();
        if total <= 0.0 {
            return vec![1.0 / count as f64; count];
        }
        weights.iter_mut().for_each(|w| *w /= total);
        weights
    }

    fn overlaps(&self, from: f64, to: f64) -> Vec<f64> {
        let count = self.seasons.len() as f64;
        (0..self.seasons.len())
            .map(|k| (((k + 1) as f64 / count).min(to) - (k as f64 / count).max(from)).max(0.0))
            // Rounding leaves slivers at the ends of an interval.
            .map(|overlap| if overlap * count < 1e-9 { 0.0 } else { overlap })
            .collect()
    }

    /// How often years were like those that `weights` count.
    pub fn base_rate(&self, weights: &[f64]) -> BaseRate {
        let inside: Vec<f64> =
            self.seasons.iter().zip(weights).filter(|(_, w)| **w > 0.0).map(|(s, _)| s.1).collect();
        // Seasons that count in full are 1/H each of an even record; the others count by their share.
        let heaviest = weights.iter().copied().fold(0.0, f64::max);
        let share = if heaviest > 0.0 {
            weights.iter().map(|w| w / heaviest).sum::<f64>() / weights.len() as f64
        } else {
            0.0
        };
        let record = self.years().map_or(0, |y| y.2);
        BaseRate {
            seasons_in_record: record as u32,
            seasons_like_this: ((share * record as f64).round() as u32).max(u32::from(record > 0)),
            water_range: inside.first().copied().zip(inside.last().copied()),
        }
    }

    /// Distinct years of the record, first, last and how many.
    pub fn years(&self) -> Option<(i32, i32, usize)> {
        let years: Set<i32> = self.seasons.iter().map(|s| s.0).collect();
        Some((*years.first()?, *years.last()?, years.len()))
    }
}

/// Mean water of each site and season that has a trial in the system, excluded trials too: the season
/// was as it was.
fn trial_seasons(network: &Network, system: &str, wanted: impl Fn(&str) -> bool) -> Vec<(i32, f64)> {
    let mut sums: Map<(&str, i32), (f64, f64)> = Map::new();
    for trial in network.trials.iter().filter(|t| t.system == system && wanted(&t.site)) {
        if let Some(water) = trial.water {
            let slot = sums.entry((&trial.site, trial.season)).or_default();
            slot.0 += water;
            slot.1 += 1.0;
        }
    }
    sums.into_iter().map(|((_, season), (sum, count))| (season, sum / count)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn record(count: usize) -> Climate {
        let seasons = (0..count).map(|k| (2000 + k as i32, 10.0 + k as f64)).collect();
        Climate::ranked(seasons, ClimateSource::LongRecord)
    }

    #[test]
    fn the_dry_third_of_ten_seasons_holds_three_and_a_third_of_them() {
        let weights = record(10).weights(WaterOutlook::Dry);
        for (k, want) in [(0, 0.3), (1, 0.3), (2, 0.3), (3, 0.1), (4, 0.0)] {
            assert!((weights[k] - want).abs() < 1e-12, "season {k}: {} for {want}", weights[k]);
        }
    }

    proptest! {
        #[test]
        fn weights_add_to_one_and_the_three_thirds_make_the_whole(count in 1usize..60, dry in 0u8..=100, rest in 0u8..=100) {
            let climate = record(count);
            let middle = (u32::from(100 - dry) * u32::from(rest) / 100) as u8;
            let outlooks = [
                WaterOutlook::Any, WaterOutlook::DriestFifth, WaterOutlook::Dry, WaterOutlook::Middle,
                WaterOutlook::Wet, WaterOutlook::Like(2000), WaterOutlook::Thirds(dry, middle, 100 - dry - middle),
            ];
            for outlook in outlooks {
                let weights = climate.weights(outlook);
                prop_assert!((weights.iter().sum::<f64>() - 1.0).abs() < 1e-9);
                prop_assert!(weights.iter().all(|w| *w >= 0.0));
            }
            let thirds: Vec<Vec<f64>> =
                [WaterOutlook::Dry, WaterOutlook::Middle, WaterOutlook::Wet].map(|o| climate.weights(o)).to_vec();
            for k in 0..count {
                let mean = (thirds[0][k] + thirds[1][k] + thirds[2][k]) / 3.0;
                prop_assert!((mean - 1.0 / count as f64).abs() < 1e-9);
            }
        }
    }
}
