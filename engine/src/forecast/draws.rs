//! One matrix of joint draws for a field and an outlook: what every variety makes in each of N seasons.
//!
//! Drawn once a field and shared: the law of [`super::field`]. Shared by all varieties in a season: its
//! water, the season's and the field's departure from the level, whether there is a harvest, the price, how hard
//! each disease strikes. One for each variety: its interaction with the season and its own residual. Plot error is not in a
//! farmer's field. Yields here are in the network's unit. Everything of the decision reads these draws, so
//! its numbers agree by construction.

use super::departures::Departures;
use super::field::FieldLaw;
use super::losses::{MOST_LOST, shares_lost, strikes};
use super::model::ForecastModel;
use super::random::Points;
use crate::link::WaterOutlook;
use crate::season::climate::Climate;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Dimensions of the fixed numbers, apart from the field's law (which starts at [`LAW`]) and the
/// varieties' own departures (which start at [`OWN`]).
const WATER: u64 = 1;
const HARVEST: u64 = 4;
const PRICE: u64 = 5;
const PRESSURE: u64 = 6;
/// First dimension of a field's law.
pub const LAW: u64 = 1_000;
/// First dimension of the varieties' own departures.
pub const OWN: u64 = 1_000_000;

/// Which field the draws are for.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldKey {
    /// System index.
    pub system: usize,
    /// Site index among the fitted trials' sites, if the field is near one.
    pub site: Option<usize>,
    /// Usual yield in the network's unit, if given.
    pub usual: Option<f64>,
}

/// Draws of what does not change from season to season.
#[derive(Debug, Clone)]
struct FieldDraws {
    key: FieldKey,
    law: FieldLaw,
    climate: Climate,
    /// V × N: difference from the reference set at mean water, shares.
    difference: Vec<f64>,
    /// V × N: slope on standardised water.
    slope: Vec<f64>,
    /// N: log level at mean water, site and usual yield in it.
    intercept: Vec<f64>,
    /// N: slope of the log level.
    response: Vec<f64>,
    /// V × N standard normal numbers of the variety's own departure in one season.
    own: Vec<f64>,
    /// D × N: share of yield each threat takes from a fully susceptible variety when severe.
    losses: Vec<f64>,
    departures: Departures,
    usual: f64,
}

/// The joint draws.
#[derive(Debug, Clone)]
pub struct Draws {
    field: Rc<FieldDraws>,
    points: Rc<Points>,
    outlook: WaterOutlook,
    /// Pressure assumed of each threat; `None` as it comes.
    assumed: Vec<Option<f64>>,
    /// Weight of each season of the climate.
    weights: Vec<f64>,
    /// V × N yields, network unit, variety by variety.
    yields: Vec<f64>,
    /// V × N yields, each variety's in ascending order.
    sorted: Vec<f64>,
    /// V × N long-run differences from the reference set in the outlook's mean season, network unit.
    long_run: Vec<f64>,
    /// N standard normal numbers for the price.
    price: Vec<f64>,
    chance_no_harvest: f64,
}

impl Draws {
    /// Draws for a field under an outlook. `previous` spares the costly part where the field is the same.
    pub fn new(
        model: &ForecastModel,
        key: FieldKey,
        climate: Climate,
        outlook: WaterOutlook,
        assumed: Vec<Option<f64>>,
        count: usize,
        previous: Option<&Draws>,
    ) -> Draws {
        let reused = previous
            .filter(|d| d.points.count() == count && d.field.key == key && d.field.climate == climate)
            .map(|d| (d.field.clone(), d.points.clone()));
        let (field, points) = reused.unwrap_or_else(|| {
            let points = Rc::new(Points::new(count));
            (Rc::new(FieldDraws::new(model, key, climate, &points)), points)
        });
        Draws::season(model, field, points, outlook, assumed)
    }

    fn season(
        model: &ForecastModel,
        field: Rc<FieldDraws>,
        points: Rc<Points>,
        outlook: WaterOutlook,
        assumed: Vec<Option<f64>>,
    ) -> Draws {
        let system = field.key.system;
        let count = points.count();
        let weights = field.climate.weights(outlook);
        let waters = season_waters(model, &field, &weights, &points.uniform(WATER));
        let failing: Vec<f64> = waters.iter().map(|&w| model.no_harvest.chance(system, w)).collect();
        let harvested: Vec<bool> =
            points.uniform(HARVEST).iter().zip(&failing).map(|(u, p)| u >= p).collect();
        let reach: Vec<f64> = waters.iter().map(|&w| model.slope_water(system, w)).collect();
        let mean_reach = reach.iter().sum::<f64>() / count as f64;
        let scale = model.prepared.scale[system];
        let level: Vec<f64> = (0..count)
            .map(|n| {
                let response = field.response[n] * model.level.response(waters[n]);
                (field.intercept[n] + response + field.departures.shared[n]).exp()
            })
            .collect();
        let grown: Vec<f64> = level.iter().map(|m| model.growth(*m)).collect();
        let mean_grown = grown.iter().sum::<f64>() / count as f64;
        let spread: Vec<f64> =
            grown.iter().enumerate().map(|(n, m)| field.departures.own_variance(n, *m, 0.0).sqrt()).collect();
        let pressures = season_pressures(model, system, &waters, &assumed, &points.uniform(PRESSURE));
        let hits = strikes(&field.losses, &pressures, count);
        let mean_level = level.iter().sum::<f64>() / count as f64;
        let varieties = field.difference.len() / count.max(1);
        let mut yields = Vec::with_capacity(varieties * count);
        let mut long_run = Vec::with_capacity(varieties * count);
        for block in 0..varieties {
            let lost = shares_lost(&model.threats, block, &hits, count);
            let mean_lost = lost.iter().sum::<f64>() / count as f64;
            let range = block * count..(block + 1) * count;
            let (difference, slope, own) =
                (&field.difference[range.clone()], &field.slope[range.clone()], &field.own[range]);
            for n in 0..count {
                let effect = difference[n] + slope[n] * reach[n];
                let share = level[n] * (1.0 - lost[n]) + grown[n] * effect + spread[n] * own[n];
                yields.push(if harvested[n] { share.max(0.0) * scale } else { 0.0 });
                let lasting = (difference[n] + slope[n] * mean_reach) * mean_grown - mean_level * mean_lost;
                long_run.push(lasting * scale);
            }
        }
        Draws {
            chance_no_harvest: failing.iter().sum::<f64>() / count as f64,
            price: points.normal(PRICE),
            field,
            points,
            outlook,
            assumed,
            weights,
            sorted: sorted_by_variety(&yields, count),
            yields,
            long_run,
        }
    }

    /// Number of draws N.
    pub fn count(&self) -> usize {
        self.points.count()
    }

    /// Yields of a variety (block of the model) over the draws, network unit.
    pub fn yields(&self, block: usize) -> &[f64] {
        &self.yields[block * self.count()..(block + 1) * self.count()]
    }

    /// Yields of a variety in ascending order, network unit.
    pub fn sorted_yields(&self, block: usize) -> &[f64] {
        &self.sorted[block * self.count()..(block + 1) * self.count()]
    }

    /// Long-run differences of a variety from the reference set over the draws, network unit.
    pub fn long_run(&self, block: usize) -> &[f64] {
        &self.long_run[block * self.count()..(block + 1) * self.count()]
    }

    /// Standard normal numbers for the price of each draw.
    pub fn price_scores(&self) -> &[f64] {
        &self.price
    }

    /// Which field.
    pub fn key(&self) -> &FieldKey {
        &self.field.key
    }

    /// Pressures assumed; `None` as they come.
    pub fn assumed(&self) -> &[Option<f64>] {
        &self.assumed
    }

    /// The field's law, from which its draws come.
    pub fn law(&self) -> &FieldLaw {
        &self.field.law
    }

    /// Which outlook.
    pub fn outlook(&self) -> WaterOutlook {
        self.outlook
    }

    /// The climate and the weight of each of its seasons.
    pub fn climate(&self) -> (&Climate, &[f64]) {
        (&self.field.climate, &self.weights)
    }

    /// Usual yield the draws rest on, network unit: the one given, or the reference set's mean over the
    /// climate as it comes, failed crops counted as 0.
    pub fn usual(&self) -> f64 {
        self.field.usual
    }

    /// Chance that the crop is not worth cutting.
    pub fn chance_no_harvest(&self) -> f64 {
        self.chance_no_harvest
    }

    /// Yields of a variety at one amount of water, in no order, network unit, given a harvest.
    pub fn at_water(&self, model: &ForecastModel, block: usize, water: f64) -> Vec<f64> {
        let (field, count) = (&self.field, self.count());
        let system = field.key.system;
        let reach = model.slope_water(system, water);
        let response = model.level.response(water);
        let mean = model.pressures[system].mean(water);
        let pressure: Vec<Vec<f64>> = mean
            .iter()
            .zip(&self.assumed)
            .map(|(mean, assumed)| vec![assumed.unwrap_or(*mean); count])
            .collect();
        let lost = shares_lost(&model.threats, block, &strikes(&field.losses, &pressure, count), count);
        let start = block * count;
        (0..count)
            .map(|n| {
                let shared = field.departures.shared[n];
                let level = (field.intercept[n] + field.response[n] * response + shared).exp();
                let grown = model.growth(level);
                let effect = field.difference[start + n] + field.slope[start + n] * reach;
                let share = level * (1.0 - lost[n])
                    + grown * effect
                    + field.departures.own_variance(n, grown, 0.0).sqrt() * field.own[start + n];
                share.max(0.0) * model.prepared.scale[system]
            })
            .collect()
    }
}

impl FieldDraws {
    fn new(model: &ForecastModel, key: FieldKey, climate: Climate, points: &Points) -> FieldDraws {
        let count = points.count();
        let law = FieldLaw::new(model, key.system, key.site);
        let parameters = sample(&law, points);
        let varieties = law.varieties;
        let column = |i: usize| &parameters[i * count..(i + 1) * count];
        let response = column(law.level_row() + 1).to_vec();
        let mut intercept: Vec<f64> = column(law.level_row()).to_vec();
        let departures = Departures::new(model, key.system, model.field_residual(key.system), points);
        let scale = model.prepared.scale[key.system];
        if key.usual.is_none() {
            for (value, site) in intercept.iter_mut().zip(column(law.level_row() + 2)) {
                *value += site;
            }
        }
        let losses = parameters[law.loss_row() * count..].to_vec();
        let drawn = (&intercept[..], &response[..], &losses[..]);
        let averages = average_levels(model, key.system, &climate, drawn, &departures.shared_variance);
        let usual = match key.usual {
            Some(usual) => {
                // The usual yield replaces the site effect, whatever the draw says of water.
                let target = (usual / scale).max(1e-6);
                for (value, average) in intercept.iter_mut().zip(&averages) {
                    *value += (target / average).ln();
                }
                usual
            }
            None => averages.iter().sum::<f64>() / count as f64 * scale,
        };
        let own = (0..varieties).flat_map(|block| points.normal(OWN + block as u64)).collect();
        FieldDraws {
            difference: parameters[..varieties * count].to_vec(),
            slope: parameters[varieties * count..2 * varieties * count].to_vec(),
            intercept,
            response,
            losses,
            own,
            departures,
            usual,
            law,
            key,
            climate,
        }
    }
}

/// Each variety's draws in ascending order: read for every table, so sorted once.
fn sorted_by_variety(yields: &[f64], count: usize) -> Vec<f64> {
    let mut sorted = yields.to_vec();
    for draws in sorted.chunks_exact_mut(count.max(1)) {
        draws.sort_unstable_by(f64::total_cmp);
    }
    sorted
}

/// Draws of the field's law: its order × N, parameter by parameter.
fn sample(law: &FieldLaw, points: &Points) -> Vec<f64> {
    let (order, count) = (law.order(), points.count());
    let scores: Vec<f64> = (0..order as u64).flat_map(|k| points.normal(LAW + k)).collect();
    let mut sample = Vec::with_capacity(order * count);
    for i in 0..order {
        let mut row = vec![law.mean[i]; count];
        for k in 0..=i {
            let weight = law.factor[i * order + k];
            if weight != 0.0 {
                for (x, z) in row.iter_mut().zip(&scores[k * count..(k + 1) * count]) {
                    *x += weight * z;
                }
            }
        }
        sample.extend(row);
    }
    sample
}

/// For each draw, the reference set's mean over the climate as it comes, failed crops counted as 0,
/// shares.
fn average_levels(
    model: &ForecastModel,
    system: usize,
    climate: &Climate,
    (intercept, response, losses): (&[f64], &[f64], &[f64]),
    shared_variance: &[f64],
) -> Vec<f64> {
    let count = intercept.len();
    let waters: Vec<f64> = match climate.seasons.is_empty() {
        true => vec![0.0],
        false => climate.seasons.iter().map(|s| model.standard_water(system, s.1)).collect(),
    };
    let susceptible: Vec<f64> = model
        .threats
        .iter()
        .map(|t| {
            let sum: f64 = model.reference.iter().map(|&b| t.susceptibility[b]).sum();
            sum / model.reference.len() as f64
        })
        .collect();
    let lift: Vec<f64> = shared_variance.iter().map(|v| (0.5 * v).exp() / waters.len() as f64).collect();
    let mut averages = vec![0.0; count];
    for water in waters {
        let harvested = 1.0 - model.no_harvest.chance(system, water);
        let response_here = model.level.response(water);
        let hit: Vec<f64> =
            model.pressures[system].mean(water).iter().zip(&susceptible).map(|(p, a)| p * a).collect();
        for (n, average) in averages.iter_mut().enumerate() {
            let lost: f64 =
                hit.iter().enumerate().map(|(d, x)| x * losses[d * count + n].clamp(0.0, 1.0)).sum();
            let level = (intercept[n] + response[n] * response_here).exp();
            *average += harvested * level * (1.0 - lost.min(MOST_LOST)) * lift[n];
        }
    }
    averages
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
    let mut by_water: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
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
            model.standard_water(field.key.system, field.climate.seasons[k].1)
        })
        .collect()
}
