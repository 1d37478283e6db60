//! Drawing the truth of a network: sizes, variances, varieties that come and go, sites, diseases.
//!
//! Variances are log-normal about what is published for wheat (variety : site : season : trial : plot 1 : 0.72 :
//! 0.81 : 0.81 : 5.1); everything else about what is usual in dryland cereals, widely. It knows no fit.

use super::random::{Purpose, Stream};
use super::world::{
    Shape, TrueThreat, TrueVariances, TrueVariety, WATER_MEAN, WATER_SITES, World, water_spread,
};

/// Standard deviation of the logarithm of a variance ratio.
const RATIO_SPREAD: f64 = 0.8;

impl World {
    /// The truth of one network.
    pub fn draw(seed: u64, index: u64) -> World {
        let mut shaping = Stream::new(seed, index, Purpose::Shape);
        let shape = Shape::draw(&mut shaping);
        let variances = TrueVariances::draw(&shape, &mut shaping);
        let mut stream = Stream::new(seed, index, Purpose::World);
        let mut varieties = draw_varieties(&shape, &variances, &mut stream);
        centre_on_reference(&shape, &mut varieties);
        // As many percent of yield as of water, nearly: 0.22 a standard deviation of dryland water.
        let elasticity = stream.log_normal(0.9, 0.4);
        let response =
            WATER_MEAN[..shape.systems].iter().map(|mean| elasticity * water_spread() / mean).collect();
        let sites = (0..shape.sites).map(|_| variances.level_site.sqrt() * stream.normal()).collect();
        let site_water = (0..shape.sites).map(|_| WATER_SITES * stream.normal()).collect();
        let diseases = if stream.happens(0.45) { stream.whole(1, 3) } else { 0 };
        let threats = (0..diseases).map(|_| TrueThreat::draw(&shape, &varieties, &mut stream)).collect();
        let intercepts = (0..shape.systems)
            .map(|_| {
                let chance = stream.beta(0.5, 9.5).clamp(1e-6, 0.9);
                (chance / (1.0 - chance)).ln()
            })
            .collect();
        // Half-normal, from N(−1, 1) below 0.
        let slope = loop {
            let slope = stream.normal() - 1.0;
            if slope < 0.0 {
                break slope;
            }
        };
        World {
            shape,
            variances,
            varieties,
            response,
            sites,
            site_water,
            threats,
            no_harvest: (intercepts, slope),
        }
    }
}

impl Shape {
    fn draw(stream: &mut Stream) -> Shape {
        let seasons = stream.log_whole(3, 15);
        let sites = stream.whole(2, 12);
        let systems = if stream.happens(0.3) { 2 } else { 1 };
        let places = seasons * sites * systems;
        let most = places.min(150);
        let least = seasons.max(sites).max(12).min(most);
        Shape {
            varieties: stream.log_whole(8, 60),
            trials: stream.log_whole(least, most),
            sites,
            seasons,
            systems,
            checks: stream.whole(0, 3),
            reps: stream.whole(3, 4),
            water_known: stream.happens(0.7),
            long_record: stream.happens(0.5),
            errors_known: stream.happens(0.5),
            release_known: stream.happens(0.5),
            tails: stream.happens(0.35).then(|| stream.between(6.0, 14.0)),
            kappa: [0.0, 0.5, 1.0][stream.whole(0, 2)],
            gain: stream.uniform() / stream.between(4.0, 12.0),
        }
    }
}

impl TrueVariances {
    fn draw(shape: &Shape, stream: &mut Stream) -> TrueVariances {
        let variety = stream.log_normal(0.06, 0.3).powi(2);
        let mut ratio = |median: f64| variety * stream.log_normal(median, RATIO_SPREAD);
        let (site, season, system, trial) = (ratio(0.72), ratio(0.81), ratio(0.7), ratio(0.81));
        let plot = variety * stream.log_normal(5.1, 0.5);
        let slope = if stream.happens(0.3) { 0.0 } else { variety * stream.between(0.2, 0.7).powi(2) };
        TrueVariances {
            variety,
            slope,
            correlation: stream.between(-0.3, 0.7),
            site,
            season,
            system: if shape.systems > 1 { system } else { 0.0 },
            trial,
            plot,
            level_site: stream.log_normal(0.14, 0.3).powi(2),
            level_season: stream.log_normal(0.14, 0.3).powi(2),
            level_trial: stream.log_normal(0.14, 0.3).powi(2),
        }
    }
}

impl TrueThreat {
    fn draw(shape: &Shape, varieties: &[TrueVariety], stream: &mut Stream) -> TrueThreat {
        let loss = stream.between(0.15, 0.45);
        let published = (loss, loss * stream.between(0.25, 0.5));
        let susceptibility = varieties
            .iter()
            .map(|v| {
                // Breeders watch the diseases of their day: what is old falls to them a little more.
                let age = 1.0 - v.seasons.0 as f64 / shape.seasons as f64;
                let share = stream.between(0.0, 0.75) + 0.25 * age;
                (share * 8.0).round() / 8.0
            })
            .collect();
        TrueThreat {
            published,
            loss: (published.0 + published.1 * stream.normal()).clamp(0.0, 0.9),
            susceptibility,
            rated: varieties.iter().map(|_| stream.happens(0.85)).collect(),
            mean: stream.between(-0.8, 0.3),
        }
    }
}

fn draw_varieties(shape: &Shape, variances: &TrueVariances, stream: &mut Stream) -> Vec<TrueVariety> {
    let last = shape.seasons;
    let typical = stream.between(2.0, 6.0);
    let sd = variances.variety.sqrt();
    let mut varieties: Vec<TrueVariety> = (0..shape.varieties)
        .map(|i| {
            let life = (stream.log_normal(typical, 0.4).round() as usize).max(1);
            let entry = stream.whole(0, last - 1 + life - 1) as i64 - (life as i64 - 1);
            let seasons = if i < shape.checks {
                (0, last)
            } else {
                (entry.max(0) as usize, ((entry + life as i64) as usize - 1).min(last))
            };
            let year = if i < shape.checks { 0.0 } else { entry as f64 };
            let (z, other) = (stream.normal(), stream.normal());
            let rho = variances.correlation;
            TrueVariety {
                seasons,
                main: sd * (z + shape.gain * year),
                slope: variances.slope.sqrt() * (rho * z + (1.0 - rho * rho).sqrt() * other),
                system: (0..shape.systems).map(|_| variances.system.sqrt() * stream.normal()).collect(),
                site: (0..shape.sites).map(|_| variances.site.sqrt() * stream.normal()).collect(),
            }
        })
        .collect();
    keep_enough(shape, &mut varieties);
    varieties
}

/// Every season has five varieties at least, and so has the one that is predicted of those seen before.
fn keep_enough(shape: &Shape, varieties: &mut [TrueVariety]) {
    const FEWEST: usize = 5;
    for season in 0..=shape.seasons {
        let known = |v: &TrueVariety| v.seasons.0 < season.max(1);
        loop {
            let entered = |v: &TrueVariety| v.seasons.0 <= season && season <= v.seasons.1;
            let last = season == shape.seasons;
            let count = varieties.iter().filter(|v| entered(v) && (!last || known(v))).count();
            if count >= FEWEST.min(varieties.len()) {
                break;
            }
            let nearest = |v: &TrueVariety| v.seasons.0.abs_diff(season).min(v.seasons.1.abs_diff(season));
            let absent = varieties.iter_mut().filter(|v| !(entered(v) && (!last || known(v))));
            let Some(next) = absent.min_by_key(|v| nearest(v)) else { break };
            next.seasons.0 = next.seasons.0.min(season.min(shape.seasons - 1));
            next.seasons.1 = next.seasons.1.max(season);
        }
    }
}

/// Makes effects differences from the reference set: the checks, or without any the varieties of the last two
/// seasons of the trials.
fn centre_on_reference(shape: &Shape, varieties: &mut [TrueVariety]) {
    let in_set = |i: usize, v: &TrueVariety| match shape.checks {
        0 => v.seasons.0 < shape.seasons && v.seasons.1 + 2 >= shape.seasons,
        checks => i < checks,
    };
    let set: Vec<usize> =
        varieties.iter().enumerate().filter(|(i, v)| in_set(*i, v)).map(|(i, _)| i).collect();
    let mean = |of: &dyn Fn(&TrueVariety) -> f64| {
        set.iter().map(|&i| of(&varieties[i])).sum::<f64>() / set.len().max(1) as f64
    };
    let (main, slope) = (mean(&|v| v.main), mean(&|v| v.slope));
    let system: Vec<f64> = (0..shape.systems).map(|s| mean(&|v| v.system[s])).collect();
    for v in varieties {
        v.main -= main;
        v.slope -= slope;
        v.system.iter_mut().zip(&system).for_each(|(x, m)| *x -= m);
    }
}
