//! One network: fit what its agronomist has, predict, and compare with what is true.
//!
//! Trials of the next season are predicted as deviations from their mean (with plot error); lasting differences
//! are compared pair by pair with the field's law; whole yields in farmers' fields (without plot error) are
//! asked of the page's own table and compared with many true seasons of those fields.

use super::fields::score_fields;
use super::network::{NextTrial, Simulated, simulate};
use super::random::{Purpose, Stream};
use super::substitute::{Substitutes, substituted, true_variances};
use super::tally::Tally;
use super::world::{SCALE, World};
use leanyear_engine::decide::Advisor;
use leanyear_engine::forecast::backtest::fold::{Fold, Prediction, predict};
use leanyear_engine::forecast::field::FieldLaw;
use leanyear_engine::forecast::model::ForecastModel;
use leanyear_engine::forecast::score::{Component, cdf, crps, crps_sample, moments};
use leanyear_engine::mixed::variances::Variances;
use leanyear_engine::order::{Map, Set};
use leanyear_engine::pack::Pack;

/// Half-widths of the normal law's 80 % and 95 % ranges.
pub const NORMAL_80: f64 = 1.281_551_565_544_600_4;
/// See [`NORMAL_80`].
pub const NORMAL_95: f64 = 1.959_963_984_540_054;
/// Varieties between which lasting differences are compared, at most.
const COMPARED: usize = 12;

/// Simulates, fits and scores one network.
///
/// # Errors
/// Why the network gave no forecast.
pub fn score_network(seed: u64, index: u64, what: Substitutes) -> Result<Tally, String> {
    let world = World::draw(seed, index);
    let simulated = simulate(&world, seed, index);
    let model = ForecastModel::fit(&simulated.training).map_err(|e| e.to_string())?;
    let fitted = substituted(&world, &model, what);
    let pack = Pack { version: 1, fingerprint: String::new(), network: simulated.training.clone(), fitted };
    let advisor = Advisor::new(pack).map_err(|e| e.to_string())?;
    let mut tally = Tally { strata: strata(&world), ..Tally::default() };
    compare_variances(&world, advisor.model(), &mut tally);
    score_trials(&world, &simulated, advisor.model(), &mut tally);
    let mut questions = Stream::new(seed, index, Purpose::Questions);
    score_differences(&world, advisor.model(), &mut questions, &mut tally);
    let mut futures = Stream::new(seed, index, Purpose::Fields);
    score_fields(&world, &advisor, &mut questions, &mut futures, &mut tally)?;
    Ok(tally)
}

/// Groups of networks that a network belongs to.
fn strata(world: &World) -> Vec<&'static str> {
    let shape = &world.shape;
    let pick = |yes: bool, a: &'static str, b: &'static str| if yes { a } else { b };
    vec![
        pick(shape.seasons < 6, "seasons under 6", "seasons 6 or more"),
        pick(shape.sites < 5, "sites under 5", "sites 5 or more"),
        pick(shape.varieties < 20, "varieties under 20", "varieties 20 or more"),
        pick(shape.water_known, "water known", "water unknown"),
        pick(world.variances.slope > 0.0, "slopes on water", "no slopes on water"),
        pick(world.threats.is_empty(), "no diseases", "diseases"),
        pick(shape.tails.is_some(), "heavy tails", "normal tails"),
        pick(shape.errors_known, "errors known", "errors unknown"),
        pick(shape.systems > 1, "two systems", "one system"),
        match shape.kappa {
            0.0 => "kappa 0",
            1.0 => "kappa 1",
            _ => "kappa 1/2",
        },
        pick(shape.checks == 0, "no checks", "checks"),
        pick(shape.water_known && shape.long_record, "long record of water", "no long record of water"),
    ]
}

/// How far estimated variances are from the true ones, logarithms.
fn compare_variances(world: &World, model: &ForecastModel, tally: &mut Tally) {
    let (truth, found) = (true_variances(world, model), &model.fitted.variances);
    let mut compare = |measure: &'static str, of: fn(&Variances) -> f64| {
        let (truth, found) = (of(&truth), of(found));
        if truth > 0.0 && found > 0.0 {
            tally.add(measure, (found / truth).ln());
        }
    };
    compare("log ratio variety", |v| v.variety);
    compare("log ratio site", |v| v.site);
    compare("log ratio season", |v| v.season);
    compare("log ratio system", |v| v.system);
    compare("log ratio slope", |v| v.slope);
    compare("log ratio residual", |v| v.residual[0]);
    let level = &model.fitted.level;
    tally.hold("level has seasons", level.season);
    tally.hold("level has sites", level.site);
    if model.prepared.water.iter().all(Option::is_some) {
        let truth = &world.variances;
        let mut spread = |measure: &'static str, found: f64, truth: f64| {
            tally.add(measure, found - truth.sqrt());
        };
        spread("level sd site", level.site_variance.sqrt(), truth.level_site);
        if level.season {
            spread("level sd season", level.season_variance.sqrt(), truth.level_season);
        }
        let found = level.season_variance + level.trial_variance[0];
        let both = truth.level_season + truth.level_trial;
        spread("level sd season and trial", found.sqrt(), both);
    }
    tally.add("kappa", model.fitted.form.kappa - world.shape.kappa);
}

fn score_trials(world: &World, simulated: &Simulated, model: &ForecastModel, tally: &mut Tally) {
    let mut seasons: Map<&str, Set<&str>> = Map::new();
    let season_of: Map<&str, i32> =
        simulated.training.trials.iter().map(|t| (t.trial.as_str(), t.season)).collect();
    for m in &simulated.training.means {
        if season_of.contains_key(m.trial.as_str()) {
            seasons.entry(&m.variety).or_default().insert(&m.trial);
        }
    }
    let seen = |variety: &str| {
        let years: Set<i32> =
            seasons.get(variety).into_iter().flatten().filter_map(|t| season_of.get(t).copied()).collect();
        years.len()
    };
    for trial in &simulated.next {
        let held = Set::from([trial.code.clone()]);
        let fold = predict(
            &simulated.whole,
            &Fold { name: "next", held: &held, training: &simulated.training, model },
        );
        let truth = oracle(world, trial, &fold.means);
        for ((p, as_it_came), truth) in fold.means.iter().zip(&fold.as_it_came).zip(truth) {
            score_mean((p, as_it_came), truth, SCALE[trial.met.system], seen(&p.variety), tally);
        }
        for pair in &fold.pairs {
            tally.chance("pairs, trial", pair.given_water, pair.came);
            tally.chance("pairs, trial as it came", pair.as_it_came, pair.came);
            tally.chance("pairs, trial by raw means", pair.raw, pair.came);
        }
    }
}

/// Mean and standard deviation of each deviation for whoever knows all but the season's own departures.
fn oracle(world: &World, trial: &NextTrial, means: &[Prediction]) -> Vec<(f64, f64)> {
    let unit = SCALE[trial.met.system];
    let whole: Vec<f64> =
        means.iter().map(|p| world.expected(super::variety_of(&p.variety), None, &trial.met)).collect();
    let mean = whole.iter().sum::<f64>() / whole.len() as f64;
    let growth = world.growth(trial.met.level);
    let own =
        growth * growth * world.variances.season + trial.met.scale * world.variances.trial + trial.error;
    let sd = (own * (1.0 - 1.0 / whole.len() as f64)).sqrt();
    whole.iter().map(|x| ((x - mean) * unit, sd * unit)).collect()
}

fn score_mean(
    (p, as_it_came): (&Prediction, &Vec<Component>),
    truth: (f64, f64),
    unit: f64,
    seen: usize,
    tally: &mut Tally,
) {
    let (mean, sd) = moments(&p.given_water);
    let z = (p.came - mean) / sd;
    let place = cdf(&p.given_water, p.came);
    let (inside80, inside95) = ((0.1..=0.9).contains(&place), (0.025..=0.975).contains(&place));
    tally.hold("deviation 80", inside80);
    tally.hold("deviation 95", inside95);
    tally.add("deviation z squared", z * z);
    tally.hold("truth known 80", (p.came - truth.0).abs() <= NORMAL_80 * truth.1);
    let place = cdf(as_it_came, p.came);
    tally.hold("deviation as it came 80", (0.1..=0.9).contains(&place));
    tally.hold("deviation as it came 95", (0.025..=0.975).contains(&place));
    let standing = match seen {
        0 | 1 => ("deviation 80, one season", "deviation 95, one season", "deviation z, one season"),
        2 => ("deviation 80, two seasons", "deviation 95, two seasons", "deviation z, two seasons"),
        _ => ("deviation 80, three or more", "deviation 95, three or more", "deviation z, three or more"),
    };
    tally.hold(standing.0, inside80);
    tally.hold(standing.1, inside95);
    tally.add(standing.2, z);
    for (measure, guess) in [
        ("square, given water", mean),
        ("square, as it came", moments(as_it_came).0),
        ("square, raw means", p.raw.0),
        ("square, truth known", truth.0),
    ] {
        tally.add(measure, ((p.came - guess) / unit).powi(2));
    }
    for (measure, law) in [
        ("crps, given water", p.given_water.clone()),
        ("crps, as it came", as_it_came.clone()),
        ("crps, raw means", vec![(1.0, p.raw.0, p.raw.1)]),
        ("crps, truth known", vec![(1.0, truth.0, truth.1)]),
    ] {
        tally.add(measure, crps(&law, p.came) / unit);
    }
    let share = |x: f64| p.yield_draws.partition_point(|y| *y <= x) as f64 / p.yield_draws.len() as f64;
    let place = share(p.yield_came);
    tally.hold("trial yield 80", (0.1..=0.9).contains(&place));
    tally.hold("trial yield 95", (0.025..=0.975).contains(&place));
    tally.add("trial yield place", place);
    tally.add("crps, trial yield", crps_sample(&p.yield_draws, p.yield_came) / unit);
}

/// Pairs of lasting differences at a site, at its mean water and in a dry season.
fn score_differences(world: &World, model: &ForecastModel, questions: &mut Stream, tally: &mut Tally) {
    let prepared = &model.prepared;
    let mut blocks: Vec<usize> = (0..prepared.varieties.len()).collect();
    questions.shuffle(&mut blocks);
    blocks.truncate(COMPARED);
    let mut sites: Vec<usize> = (0..prepared.sites.len()).collect();
    questions.shuffle(&mut sites);
    for &at in sites.iter().take(2) {
        let system = questions.whole(0, prepared.systems.len() - 1);
        let law = FieldLaw::new(model, system, Some(at), None);
        let place = (super::site_of(&prepared.sites[at]), super::system_of(&prepared.systems[system]));
        let dry = world.shape.water_known.then(|| world.dry_third(place.0, place.1));
        let usual = world.mean_water(place.0, place.1);
        for amount in std::iter::once(usual).chain(dry) {
            for (k, &i) in blocks.iter().enumerate() {
                for &j in &blocks[..k] {
                    let z = pair_score(world, model, &law, (system, place), (i, j), amount);
                    tally.hold("difference 80", z.abs() <= NORMAL_80);
                    tally.hold("difference 95", z.abs() <= NORMAL_95);
                    tally.add("difference z squared", z * z);
                }
            }
        }
    }
}

/// Distance of a true lasting difference from the law's, in the law's standard deviations. Both are in yield at
/// the level that is true of such a season.
fn pair_score(
    world: &World,
    model: &ForecastModel,
    law: &FieldLaw,
    (system, place): (usize, (usize, usize)),
    (i, j): (usize, usize),
    amount: f64,
) -> f64 {
    let water = model.slope_water(system, model.standard_water(system, amount));
    let order = law.order();
    let row =
        |b: usize, k: usize| law.factor[b * order + k] + water * law.factor[(law.varieties + b) * order + k];
    let mean = |b: usize| law.mean[b] + water * law.mean[law.varieties + b];
    let variance: f64 = (0..order).map(|k| (row(i, k) - row(j, k)).powi(2)).sum();
    let w = world.standard(place.1, amount);
    let level = (world.response[place.1] * w + world.sites[place.0]).exp();
    let (c, unit) = (model.prepared.scale[system], SCALE[place.1]);
    let grown = c * model.growth(level * unit / c);
    let truth = |b: usize| {
        let variety = super::variety_of(&model.prepared.varieties[b]);
        unit * world.growth(level) * world.difference(variety, place.0, place.1, w)
    };
    (truth(i) - truth(j) - grown * (mean(i) - mean(j))) / (grown * variance.sqrt())
}
