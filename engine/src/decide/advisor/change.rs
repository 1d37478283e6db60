//! What would change the answer, from the draws of the field.

use super::super::change::{Change, MoreWater, Newcomer, WhatWouldChange};
use super::super::law::NORMAL_80;
use super::super::table::{OddsTable, StandingState, VarietyOdds};
use super::super::tipping::{Curves, Lever, crossing};
use super::levers::{Field, Place};
use super::{Advisor, AdvisorError};
use crate::forecast::draws::Draws;
use crate::link::{Order, Settings, WaterOutlook};
use crate::pack::WaterUnit;
use crate::season::climate::Climate;
use crate::season::level::share_of;

/// Varieties after the leader that may come to the front.
const CHALLENGERS: usize = 8;

impl Advisor {
    /// What would change the answer that a table gives. The table must be that of the draws and settings.
    ///
    /// # Errors
    /// A variety of the table without fitted trials.
    pub fn what_would_change(
        &self,
        draws: &Draws,
        settings: &Settings,
        table: &OddsTable,
    ) -> Result<WhatWouldChange, AdvisorError> {
        let field = Field { advisor: self, draws, settings };
        let mut named = table.varieties.iter().filter(|row| row.nameable).map(|row| self.block(&row.variety));
        let leader = named.next().transpose()?;
        let changes = match leader {
            Some(leader) => self.changes(field, leader, named)?,
            None => Vec::new(),
        };
        Ok(WhatWouldChange {
            leader: leader.map(|leader| self.model.prepared.varieties[leader].clone()),
            changes,
            newcomer: self.newcomer(table, leader),
            more_water: self.more_water(draws, settings),
        })
    }

    fn changes(
        &self,
        field: Field<'_>,
        leader: usize,
        others: impl Iterator<Item = Result<usize, AdvisorError>>,
    ) -> Result<Vec<Change>, AdvisorError> {
        let others: Vec<usize> = others.collect::<Result<_, _>>()?;
        let joined = others.into_iter().filter(|&other| self.are_joined(other, leader));
        let challengers: Vec<usize> = joined.take(CHALLENGERS).collect();
        // More cost for all changes no average and no worst fifth against another.
        let levers = field.levers(field.settings.order == Order::ChanceShort);
        let changes = levers.into_iter().filter_map(|lever| {
            let (now, grid) = field.grid(&lever)?;
            Some(self.change(field, lever, now, &grid, leader, &challengers))
        });
        Ok(changes.collect())
    }

    /// The change of one lever nearest to where it stands that puts a challenger in front.
    fn change(
        &self,
        field: Field<'_>,
        lever: Lever,
        now: f64,
        grid: &[f64],
        leader: usize,
        challengers: &[usize],
    ) -> Change {
        let order = field.settings.order;
        let merit = |place: &Place, block: usize| place.merit(field, block, order);
        let places: Vec<Place> = grid.iter().map(|value| field.place(&lever, *value)).collect();
        let led: Vec<f64> = places.iter().map(|p| merit(p, leader)).collect();
        let lasting: Vec<Vec<f64>> = places.iter().map(|p| field.lasting(p, leader)).collect();
        let here = field.place(&lever, now);
        let led_here = merit(&here, leader);
        let mut best: Option<(f64, usize, f64)> = None;
        for &block in challengers.iter().filter(|&&block| led_here > merit(&here, block)) {
            let expected: Vec<f64> = places.iter().zip(&led).map(|(p, led)| led - merit(p, block)).collect();
            if expected.iter().all(|lead| *lead > 0.0) {
                continue;
            }
            let differences = places
                .iter()
                .zip(&lasting)
                .map(|(p, led)| led.iter().zip(field.lasting(p, block)).map(|(x, y)| x - y).collect());
            let curves = Curves { grid: grid.to_vec(), expected, lasting: differences.collect() };
            let found = crossing(&curves, now, |value| {
                let place = field.place(&lever, value);
                merit(&place, leader) - merit(&place, block)
            });
            if let Some(at) = found.at
                && best.is_none_or(|(before, ..)| (at - now).abs() < (before - now).abs())
            {
                best = Some((at, block, found.share));
            }
        }
        Change {
            lever,
            now,
            range: (grid[0], grid[grid.len() - 1]),
            at: best.map(|b| b.0),
            ahead: best.map(|b| self.model.prepared.varieties[b.1].clone()),
            crossing: best.map_or(0.0, |b| b.2),
        }
    }

    /// What more water adds in each system that responds to it, the settings' own first.
    fn more_water(&self, draws: &Draws, settings: &Settings) -> Vec<MoreWater> {
        let own = draws.key().system;
        let others = (0..self.model.prepared.systems.len()).filter(|&s| s != own);
        std::iter::once(own).chain(others).filter_map(|s| self.more_water_in(draws, settings, s)).collect()
    }

    fn more_water_in(&self, draws: &Draws, settings: &Settings, system: usize) -> Option<MoreWater> {
        let (model, network) = (&self.model, &self.pack.network);
        model.prepared.water[system]?;
        let name = &model.prepared.systems[system];
        let is_own = system == draws.key().system;
        let climate = Climate::of(network, name, settings.site.as_deref(), settings.zone.as_deref());
        let weights = climate.weights(if is_own { settings.water } else { WaterOutlook::Any });
        let water: f64 = climate.seasons.iter().zip(&weights).map(|(s, w)| s.1 * w).sum();
        if climate.seasons.is_empty() {
            return None;
        }
        let more = match network.info.water_unit {
            WaterUnit::Inch => 1.0,
            WaterUnit::Millimetre => 25.0,
        };
        let response = |amount: f64| model.water_response(system, model.standard_water(system, amount));
        let (here, there) = (response(water), response(water + more));
        // Beyond the wettest trial nobody has seen what more water adds.
        if there <= here {
            return None;
        }
        let law = model.level.field(system, draws.key().site);
        let median = match is_own {
            true => draws.median_level(here),
            false => share_of(law.mean[0] + law.mean[1] * here + law.mean[2]),
        };
        let account = self.account(draws, settings);
        let scale = median * model.prepared.scale[system] * account.units;
        let added = |slope: f64| scale * (share_of(slope * (there - here)) - 1.0);
        let (slope, error) = (law.mean[1], law.covariance[4].max(0.0).sqrt());
        let adds = added(slope);
        Some(MoreWater {
            system: name.clone(),
            water,
            more,
            adds,
            adds_80: (added(slope - NORMAL_80 * error), added(slope + NORMAL_80 * error)),
            // What cattle take differs from variety to variety.
            money: account
                .money
                .filter(|_| account.terms.iter().all(|t| t.grazed.is_not()))
                .map(|_| adds * account.margin()),
        })
    }

    /// The new variety most likely to be the best in the long run, of those that trials join to the leader.
    fn newcomer(&self, table: &OddsTable, leader: Option<usize>) -> Option<Newcomer> {
        let joined = |row: &VarietyOdds| match (leader, self.block(&row.variety)) {
            (Some(leader), Ok(block)) => self.are_joined(block, leader),
            _ => true,
        };
        let new = table.varieties.iter().filter(|row| {
            row.standing.state == StandingState::New
                && row.standing.current()
                && row.fails.is_empty()
                && joined(row)
        });
        let best = new.reduce(|a, b| if b.best_longrun > a.best_longrun { b } else { a })?;
        Some(Newcomer {
            variety: best.variety.clone(),
            best_longrun: best.best_longrun,
            standing: best.standing.clone(),
        })
    }
}
