//! One season of a field in each of N draws: what all varieties of it share, and what each makes in it.
//!
//! share_i = m·(1 − lost_i) + m^κ·(d_i + b_i·w) + own_i, cut at 0, and 0 where there is no harvest: m the
//! level, w the water that slopes act on, lost_i what diseases take after protection, own_i the variety's own
//! departure. A season is drawn from a climate, or set at one amount of water, or is the typical one of
//! another; the same sum serves all three. It knows no money.

use super::departures::Departures;
use super::draws::{Assumed, Draws, FieldDraws};
use super::losses::{shares_lost, strikes};
use super::model::ForecastModel;
use super::random::Points;
use crate::order::Map;
use crate::season::level::share_of;
use leanyear_vectors::{Grown, sum, weighted_sum};

/// Dimensions of the fixed numbers that one season takes, and how far apart those of two years lie.
const WATER: u64 = 1;
const HARVEST: u64 = 4;
const PRICE: u64 = 5;
const PRESSURE: u64 = 6;
/// First dimension of the varieties' own departures.
pub const OWN: u64 = 1_000_000;
const YEAR: u64 = 1_000_000_000;

/// A season in each of N draws.
#[derive(Debug, Clone)]
pub struct SeasonDraws {
    /// Chance that the crop is not worth cutting, 0–1.
    pub chance_no_harvest: f64,
    /// Standardised water that the slopes of varieties act on.
    reach: Vec<f64>,
    /// Level, shares of the system's mean yield.
    level: Vec<f64>,
    /// What variety differences are multiplied by.
    grown: Vec<f64>,
    /// Standard deviation of a variety's own departure, shares.
    spread: Vec<f64>,
    harvested: Vec<bool>,
    /// Pressure of each threat before protection, 0–1: D vectors of N.
    pressures: Vec<Vec<f64>>,
}

/// A season with what its threats take after protection.
#[derive(Debug, Clone)]
pub struct MetSeason {
    /// The season.
    pub season: SeasonDraws,
    /// Loss times pressure of each threat: D vectors of N.
    hits: Vec<Vec<f64>>,
}

/// What one variety brings to a season: its draws, N each.
#[derive(Debug, Clone, Copy)]
pub(super) struct Own<'a> {
    pub difference: &'a [f64],
    pub slope: &'a [f64],
    /// Standard normal numbers of its own departure.
    pub departure: &'a [f64],
}

/// Numbers of one dimension for one year (0 the first).
pub(super) fn dimension(of: u64, year: u64) -> u64 {
    of + year * YEAR
}

/// Standard normal numbers of a variety's own departure in one year.
pub(super) fn own_departure(points: &Points, block: usize, year: u64) -> Vec<f64> {
    points.normal(dimension(OWN + block as u64, year))
}

/// Standard normal numbers of the price in one year.
pub(super) fn price_scores(points: &Points, year: u64) -> Vec<f64> {
    points.normal(dimension(PRICE, year))
}

impl SeasonDraws {
    /// A season drawn from the field's climate with these weights, in one year (0 the first).
    pub(super) fn drawn(
        model: &ForecastModel,
        field: &FieldDraws,
        points: &Points,
        weights: &[f64],
        pressure: &[Option<f64>],
        year: u64,
    ) -> SeasonDraws {
        let system = field.key.system;
        let waters = season_waters(model, field, weights, &points.uniform(dimension(WATER, year)));
        let failing: Vec<f64> = waters.iter().map(|&w| model.no_harvest.chance(system, w)).collect();
        let harvested =
            points.uniform(dimension(HARVEST, year)).iter().zip(&failing).map(|(u, p)| u >= p).collect();
        let numbers = points.uniform(dimension(PRESSURE, year));
        let pressures = season_pressures(model, system, &waters, pressure, &numbers);
        let later = (year > 0).then(|| field.place.departures.in_year(points, year));
        let departures = later.as_ref().unwrap_or(&field.place.departures);
        let season = SeasonDraws::at(model, field, &waters, departures, pressures);
        let chance_no_harvest = failing.iter().sum::<f64>() / failing.len() as f64;
        SeasonDraws { harvested, chance_no_harvest, ..season }
    }

    /// Every draw at one amount of standardised water, harvested, diseases as assumed or as they are there on
    /// average.
    pub(super) fn at_water(
        model: &ForecastModel,
        field: &FieldDraws,
        water: f64,
        departures: &Departures,
        pressure: &[Option<f64>],
    ) -> SeasonDraws {
        let count = field.intercept.len();
        let mean = model.pressures[field.key.system].mean(water);
        let pressures =
            mean.iter().zip(pressure).map(|(mean, assumed)| vec![assumed.unwrap_or(*mean); count]).collect();
        let season = SeasonDraws::at(model, field, &vec![water; count], departures, pressures);
        SeasonDraws { chance_no_harvest: model.no_harvest.chance(field.key.system, water), ..season }
    }

    fn at(
        model: &ForecastModel,
        field: &FieldDraws,
        waters: &[f64],
        departures: &Departures,
        pressures: Vec<Vec<f64>>,
    ) -> SeasonDraws {
        let system = field.key.system;
        let level: Vec<f64> = waters
            .iter()
            .enumerate()
            .map(|(n, &w)| {
                share_of(
                    field.intercept[n]
                        + field.place.response[n] * model.water_response(system, w)
                        + departures.shared[n],
                )
            })
            .collect();
        let grown: Vec<f64> = level.iter().map(|m| model.growth(*m)).collect();
        SeasonDraws {
            chance_no_harvest: 0.0,
            reach: waters.iter().map(|&w| model.slope_water(system, w)).collect(),
            spread: grown
                .iter()
                .enumerate()
                .map(|(n, m)| departures.own_variance(n, *m, 0.0).sqrt())
                .collect(),
            harvested: vec![true; level.len()],
            level,
            grown,
            pressures,
        }
    }

    /// The season that every draw shares: means over the draws of water, level, growth and pressure, harvested.
    pub fn typical(&self) -> SeasonDraws {
        let count = self.level.len();
        let level = vec![mean(&self.level); count];
        SeasonDraws {
            chance_no_harvest: self.chance_no_harvest,
            reach: vec![mean(&self.reach); count],
            level,
            grown: vec![mean(&self.grown); count],
            spread: vec![0.0; count],
            harvested: vec![true; count],
            pressures: self.pressures.iter().map(|p| vec![mean(p); count]).collect(),
        }
    }

    /// The same season with one threat at one pressure, 0–1.
    #[must_use]
    pub fn with_pressure(mut self, threat: usize, pressure: f64) -> SeasonDraws {
        if let Some(pressures) = self.pressures.get_mut(threat) {
            pressures.fill(pressure);
        }
        self
    }

    /// Average level of the reference set, shares of the system's mean yield, diseases and failed crops apart.
    pub fn mean_level(&self) -> f64 {
        mean(&self.level)
    }

    /// Average pressure of each threat before protection, 0–1.
    pub fn mean_pressures(&self) -> Vec<f64> {
        self.pressures.iter().map(|p| mean(p)).collect()
    }

    /// Loss times pressure of each threat after protection: D vectors of N.
    pub(super) fn strikes(&self, field: &FieldDraws, protection: &[f64]) -> Vec<Vec<f64>> {
        let mut hits = strikes(&field.place.losses, &self.pressures, self.level.len());
        for (hit, kept_off) in hits.iter_mut().zip(protection).filter(|(_, p)| **p > 0.0) {
            hit.iter_mut().for_each(|x| *x *= 1.0 - kept_off);
        }
        hits
    }

    /// What a variety makes in each draw, shares of the system's mean yield times `scale`; `lost` is what diseases
    /// take.
    pub(super) fn yields(&self, own: Own<'_>, lost: &[f64], scale: f64) -> Vec<f64> {
        let grown = Grown {
            level: &self.level,
            lost,
            grown: &self.grown,
            reach: &self.reach,
            spread: &self.spread,
            harvested: &self.harvested,
            difference: own.difference,
            slope: own.slope,
            departure: own.departure,
        };
        grown.yields(scale)
    }

    /// The typical season, in which nothing is redrawn.
    pub(super) fn lasting(&self) -> Lasting {
        Lasting { reach: mean(&self.reach), grown: mean(&self.grown), level: mean(&self.level) }
    }
}

/// Means of a season over its draws.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lasting {
    reach: f64,
    grown: f64,
    level: f64,
}

impl Lasting {
    /// What a variety makes beyond the season's level, shares times `scale`: its difference in the typical season
    /// less what diseases take on average.
    pub(super) fn differences(&self, own: Own<'_>, lost: &[f64], scale: f64) -> Vec<f64> {
        let taken = self.level * mean(lost);
        weighted_sum(own.difference, self.reach, own.slope, self.grown * scale, -taken * scale)
    }
}

/// What-if questions of a field: the same draws with something in the season otherwise.
impl Draws {
    /// The season that the draws stand in.
    pub fn season(&self) -> &SeasonDraws {
        &self.season
    }

    /// Every draw at one amount of standardised water, given a harvest; each keeps its departure from the level.
    pub fn season_at(&self, model: &ForecastModel, water: f64) -> SeasonDraws {
        SeasonDraws::at_water(model, &self.field, water, &self.field.place.departures, &self.assumed.pressure)
    }

    /// As [`Draws::season_at`], the departures from the level averaged out: only what lasts differs.
    pub fn typical_season_at(&self, model: &ForecastModel, water: f64) -> SeasonDraws {
        let departures = self.field.place.departures.averaged();
        let season = SeasonDraws::at_water(model, &self.field, water, &departures, &self.assumed.pressure);
        SeasonDraws { spread: vec![0.0; self.count()], ..season }
    }

    /// Median level of the reference set over the draws at a response f(w) to water, shares of the system's mean
    /// yield: departures at 0, diseases and failed crops apart.
    pub fn median_level(&self, response: f64) -> f64 {
        let slopes = self.field.intercept.iter().zip(&self.field.place.response);
        share_of(slopes.map(|(a, b)| a + b * response).sum::<f64>() / self.count() as f64)
    }

    /// A season with what its threats take from a fully susceptible variety, where `protection` is the share of
    /// each threat's pressure that is kept off.
    pub fn met(&self, season: SeasonDraws, protection: &[f64]) -> MetSeason {
        MetSeason { hits: season.strikes(&self.field, protection), season }
    }

    /// Yields of a variety (block) in a season of this field, network unit, in the order of the draws.
    pub fn yields_in(&self, model: &ForecastModel, met: &MetSeason, block: usize) -> Vec<f64> {
        let field = &self.field;
        let lost = shares_lost(&model.threats, &field.place.unrated, block, &met.hits, self.count());
        let scale = model.prepared.scale[field.key.system];
        met.season.yields(field.own(block), &lost, scale)
    }

    /// Yields of a variety with other protection than assumed, the same numbers otherwise.
    pub fn yields_with(&self, model: &ForecastModel, block: usize, protection: &[f64]) -> Vec<f64> {
        self.yields_in(model, &self.met(self.season.clone(), protection), block)
    }

    /// Yields of a variety at one amount of standardised water, in no order, network unit, given a harvest.
    pub fn at_water(&self, model: &ForecastModel, block: usize, water: f64) -> Vec<f64> {
        let met = self.met(self.season_at(model, water), &self.assumed.protection);
        self.yields_in(model, &met, block)
    }

    /// What is assumed of diseases.
    pub fn assumed(&self) -> &Assumed {
        &self.assumed
    }
}

fn mean(values: &[f64]) -> f64 {
    sum(values) / values.len() as f64
}

/// Pressure of each threat in each draw's season: as assumed, or as a trial with water like it had it.
fn season_pressures(
    model: &ForecastModel,
    system: usize,
    waters: &[f64],
    assumed: &[Option<f64>],
    uniform: &[f64],
) -> Vec<Vec<f64>> {
    let pool = &model.pressures[system];
    let mut by_water: Map<u64, Vec<usize>> = Map::new();
    for (n, water) in waters.iter().enumerate() {
        by_water.entry(water.to_bits()).or_default().push(n);
    }
    let mut pressures = vec![vec![0.0; waters.len()]; model.threats.len()];
    for (bits, draws) in by_water {
        let numbers: Vec<f64> = draws.iter().map(|&n| uniform[n]).collect();
        let chosen = pool.choose(f64::from_bits(bits), &numbers);
        for (n, trial) in draws.into_iter().zip(chosen) {
            for (d, list) in pressures.iter_mut().enumerate() {
                list[n] = assumed.get(d).copied().flatten().unwrap_or(pool.of(trial)[d]);
            }
        }
    }
    pressures
}

/// Standardised water of each draw's season: the driest seasons go to the lowest numbers.
fn season_waters(model: &ForecastModel, field: &FieldDraws, weights: &[f64], uniform: &[f64]) -> Vec<f64> {
    if weights.is_empty() {
        return vec![0.0; uniform.len()];
    }
    let mut cumulative = Vec::with_capacity(weights.len());
    let mut total = 0.0;
    for w in weights {
        total += w;
        cumulative.push(total);
    }
    let last = weights.iter().rposition(|w| *w > 0.0).unwrap_or_default();
    uniform
        .iter()
        .map(|u| {
            let k = cumulative.partition_point(|c| c < u).min(last);
            model.standard_water(field.key.system, field.place.climate.seasons[k].1)
        })
        .collect()
}
