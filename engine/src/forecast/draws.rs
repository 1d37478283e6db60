//! One matrix of joint draws for a field and an outlook: what every variety makes in each of N seasons.
//!
//! Drawn once a field and shared: the law of [`super::field`]. Shared by all varieties in a season: its
//! water, the season's and the field's departure from the level, whether there is a harvest, the price, how hard
//! each disease strikes. One for each variety: its interaction with the season and its own residual. Plot error is not in a
//! farmer's field. Yields here are in the network's unit. Everything of the decision reads these draws, so
//! its numbers agree by construction.

use super::departures::Departures;
use super::field::FieldLaw;
use super::losses::{MOST_LOST, Unrated, shares_lost};
use super::model::ForecastModel;
use super::random::Points;
use super::season_draws::{Own, SeasonDraws, own_departure, price_scores};
use crate::link::WaterOutlook;
use crate::season::climate::Climate;
use crate::season::level::share_of;
use leanyear_vectors as vectors;
use std::rc::Rc;

/// First dimension of a field's law; one season's own stand before it and far after.
pub const LAW: u64 = 1_000;

/// What is assumed of the model's diseases and pests, threat by threat.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Assumed {
    /// Pressure, 0–1; `None` as it comes.
    pub pressure: Vec<Option<f64>>,
    /// Share of the pressure that a spray keeps off, 0–1.
    pub protection: Vec<f64>,
}

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

/// Draws of what neither the season nor the usual yield changes.
#[derive(Debug, Clone)]
pub(super) struct PlaceDraws {
    pub(super) climate: Climate,
    /// V × N: difference from the reference set at mean water, shares.
    difference: Vec<f64>,
    /// V × N: slope on standardised water.
    slope: Vec<f64>,
    /// N: log level at mean water, no site in it, and what the site adds.
    intercept: Vec<f64>,
    site: Vec<f64>,
    /// N: slope of the log level.
    pub(super) response: Vec<f64>,
    /// V × N standard normal numbers of the variety's own departure in one season.
    own: Vec<f64>,
    /// D × N: share of yield each threat takes from a fully susceptible variety when severe.
    pub(super) losses: Vec<f64>,
    pub(super) unrated: Unrated,
    pub(super) departures: Departures,
}

/// Draws of what does not change from season to season.
#[derive(Debug, Clone)]
pub(super) struct FieldDraws {
    pub(super) key: FieldKey,
    pub(super) place: Rc<PlaceDraws>,
    /// N: log level at mean water, site or usual yield in it.
    pub(super) intercept: Vec<f64>,
    usual: f64,
    /// N: what the reference set makes over the climate as it comes before a usual yield is set, shares.
    averages: Rc<Vec<f64>>,
}

/// The joint draws.
#[derive(Debug, Clone)]
pub struct Draws {
    pub(super) field: Rc<FieldDraws>,
    pub(super) points: Rc<Points>,
    outlook: WaterOutlook,
    pub(super) assumed: Assumed,
    /// Weight of each season of the climate.
    weights: Vec<f64>,
    pub(super) season: SeasonDraws,
    /// V × N yields, network unit, variety by variety.
    yields: Vec<f64>,
    /// V × N yields, each variety's in ascending order.
    sorted: Vec<f64>,
    /// V × N long-run differences from the reference set in the outlook's mean season, network unit.
    long_run: Vec<f64>,
    /// N standard normal numbers for the price.
    price: Vec<f64>,
}

impl Draws {
    /// Draws for a field under an outlook. `previous` spares what is costly: all of it where the field is the same,
    /// most of it where only the usual yield is another.
    pub fn new(
        model: &ForecastModel,
        key: FieldKey,
        climate: Climate,
        outlook: WaterOutlook,
        assumed: Assumed,
        count: usize,
        previous: Option<&Draws>,
    ) -> Draws {
        let same_place = |d: &&Draws| {
            let was = &d.field.key;
            let place = (was.system, was.site) == (key.system, key.site);
            d.points.count() == count && place && d.field.place.climate == climate
        };
        let (field, points) = match previous.filter(same_place) {
            Some(d) if d.field.key == key => (d.field.clone(), d.points.clone()),
            Some(d) => {
                // Whatever usual yield is typed takes the place of the same averages.
                let set = d.field.key.usual.is_some() && key.usual.is_some();
                let averages = set.then(|| d.field.averages.clone());
                (Rc::new(FieldDraws::new(model, key, d.field.place.clone(), averages)), d.points.clone())
            }
            None => {
                let points = Rc::new(Points::new(count));
                let place = Rc::new(PlaceDraws::new(model, &key, climate, &points));
                (Rc::new(FieldDraws::new(model, key, place, None)), points)
            }
        };
        Draws::in_season(model, field, points, outlook, assumed)
    }

    fn in_season(
        model: &ForecastModel,
        field: Rc<FieldDraws>,
        points: Rc<Points>,
        outlook: WaterOutlook,
        assumed: Assumed,
    ) -> Draws {
        let count = points.count();
        let weights = field.place.climate.weights(outlook);
        let season = SeasonDraws::drawn(model, &field, &points, &weights, &assumed.pressure, 0);
        let scale = model.prepared.scale[field.key.system];
        let hits = season.strikes(&field, &assumed.protection);
        let varieties = field.place.difference.len() / count.max(1);
        let lasting = season.lasting();
        let mut yields = Vec::with_capacity(varieties * count);
        let mut long_run = Vec::with_capacity(varieties * count);
        for block in 0..varieties {
            let lost = shares_lost(&model.threats, &field.place.unrated, block, &hits, count);
            let own = field.own(block);
            yields.extend(season.yields(own, &lost, scale));
            long_run.extend(lasting.differences(own, &lost, scale));
        }
        Draws {
            price: price_scores(&points, 0),
            season,
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

    /// Which outlook.
    pub fn outlook(&self) -> WaterOutlook {
        self.outlook
    }

    /// The climate and the weight of each of its seasons.
    pub fn climate(&self) -> (&Climate, &[f64]) {
        (&self.field.place.climate, &self.weights)
    }

    /// Usual yield the draws rest on, network unit: the one given, or the reference set's mean over the
    /// climate as it comes, failed crops counted as 0.
    pub fn usual(&self) -> f64 {
        self.field.usual
    }

    /// Chance that the crop is not worth cutting.
    pub fn chance_no_harvest(&self) -> f64 {
        self.season.chance_no_harvest
    }
}

impl PlaceDraws {
    fn new(model: &ForecastModel, key: &FieldKey, climate: Climate, points: &Points) -> PlaceDraws {
        let count = points.count();
        let law = FieldLaw::new(model, key.system, key.site, None);
        let parameters = sample(&law, points);
        let varieties = law.varieties;
        let column = |i: usize| parameters[i * count..(i + 1) * count].to_vec();
        PlaceDraws {
            difference: parameters[..varieties * count].to_vec(),
            slope: parameters[varieties * count..2 * varieties * count].to_vec(),
            intercept: column(law.level_row()),
            response: column(law.level_row() + 1),
            site: column(law.level_row() + 2),
            losses: parameters[law.loss_row() * count..].to_vec(),
            unrated: Unrated::drawn(&model.threats, points),
            own: (0..varieties).flat_map(|block| own_departure(points, block, 0)).collect(),
            departures: Departures::new(model, key.system, model.field_residual(key.system), points),
            climate,
        }
    }
}

impl FieldDraws {
    /// `averages` are those of another field at this place, where a usual yield replaces the site's effect in both.
    fn new(
        model: &ForecastModel,
        key: FieldKey,
        place: Rc<PlaceDraws>,
        averages: Option<Rc<Vec<f64>>>,
    ) -> FieldDraws {
        let mut intercept = place.intercept.clone();
        let scale = model.prepared.scale[key.system];
        if key.usual.is_none() {
            for (value, site) in intercept.iter_mut().zip(&place.site) {
                *value += site;
            }
        }
        let averages = averages.unwrap_or_else(|| {
            let drawn = (&intercept[..], &place.response[..], &place.losses[..]);
            let lift = place.departures.mean_lift();
            Rc::new(average_levels(model, key.system, &place.climate, drawn, &lift))
        });
        let usual = match key.usual {
            Some(usual) => {
                // The usual yield replaces the site effect, whatever the draw says of water.
                let target = (usual / scale).max(1e-6);
                for (value, average) in intercept.iter_mut().zip(averages.iter()) {
                    *value += (target / average.max(f64::MIN_POSITIVE)).ln();
                }
                usual
            }
            None => averages.iter().sum::<f64>() / intercept.len() as f64 * scale,
        };
        FieldDraws { key, place, intercept, usual, averages }
    }

    /// What a variety brings to the first season.
    pub(super) fn own(&self, block: usize) -> Own<'_> {
        let count = self.intercept.len();
        let range = block * count..(block + 1) * count;
        Own {
            difference: &self.place.difference[range.clone()],
            slope: &self.place.slope[range.clone()],
            departure: &self.place.own[range],
        }
    }
}

/// Each variety's draws in ascending order: read for every table, so sorted once.
fn sorted_by_variety(yields: &[f64], count: usize) -> Vec<f64> {
    let mut sorted = yields.to_vec();
    for draws in sorted.chunks_exact_mut(count.max(1)) {
        vectors::sort(draws);
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
                vectors::add_scaled(&mut row, weight, &scores[k * count..(k + 1) * count]);
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
    lift: &[f64],
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
    let seasons = waters.len() as f64;
    let mut averages = vec![0.0; count];
    for water in waters {
        let harvested = 1.0 - model.no_harvest.chance(system, water);
        let response_here = model.water_response(system, water);
        let hit: Vec<f64> =
            model.pressures[system].mean(water).iter().zip(&susceptible).map(|(p, a)| p * a).collect();
        for (n, average) in averages.iter_mut().enumerate() {
            let lost: f64 =
                hit.iter().enumerate().map(|(d, x)| x * losses[d * count + n].clamp(0.0, 1.0)).sum();
            let level = share_of(intercept[n] + response[n] * response_here);
            *average += harvested * level * (1.0 - lost.min(MOST_LOST)) * lift[n] / seasons;
        }
    }
    averages
}
