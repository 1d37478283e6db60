//! From a true world to what its agronomist has: trials, means, ratings, pressures, water; and the trials of
//! the season after, which are predicted.
//!
//! It writes the same tables as a folder would hold. It knows no fit.

use super::random::{Purpose, Stream};
use super::world::{FIRST_SEASON, Meeting, SCALE, SYSTEMS, Season, World};
use leanyear_engine::order::Set;
use leanyear_engine::pack::{
    Defaults, ErrorReport, Exclusion, Mean, Network, NetworkInfo, Pressure, Rating, Site, Trait, TraitKind,
    Trial, Variety, WaterRecord, WaterUnit, YieldUnit,
};

/// Years of water on record before the first trial.
const RECORD: i32 = 30;
/// Chance that a variety of the season stands in a given trial of it.
const ENTERED: f64 = 0.85;
/// Chance that a trial was scored for a disease.
const SCORED: f64 = 0.8;
/// Most trials of the season that is predicted.
const MOST_NEXT: usize = 6;
/// Fewest varieties of a trial.
const FEWEST_ENTRIES: usize = 4;

/// A trial of the season that is predicted, with what is true of it.
#[derive(Debug, Clone)]
pub struct NextTrial {
    /// Its code.
    pub code: String,
    /// What it met.
    pub met: Meeting,
    /// Error variance of a mean there, a squared share.
    pub error: f64,
}

/// A simulated network and its future.
#[derive(Debug, Clone)]
pub struct Simulated {
    /// What is known before the season that is predicted.
    pub training: Network,
    /// The same with that season.
    pub whole: Network,
    /// Its trials.
    pub next: Vec<NextTrial>,
}

/// Code of a variety.
pub fn variety_code(index: usize) -> String {
    format!("V{index:02}")
}

/// Code of a site.
pub fn site_code(index: usize) -> String {
    format!("S{index:02}")
}

/// Observes the seasons of a world.
pub fn simulate(world: &World, seed: u64, index: u64) -> Simulated {
    let mut stream = Stream::new(seed, index, Purpose::Trials);
    let mut training = empty(world);
    let seasons: Vec<Season> = (0..world.shape.seasons).map(|_| world.season(&mut stream)).collect();
    let places = layout(world, &mut stream);
    if world.shape.long_record && world.shape.water_known {
        long_record(world, &mut training, &mut stream);
    }
    for (t, season) in seasons.iter().enumerate() {
        for &(_, site, system) in places.iter().filter(|p| p.0 == t) {
            let entries = entries(world, t, &mut stream);
            plant(world, &mut training, (t, season), (site, system), &entries, &mut stream);
        }
    }
    let mut stream = Stream::new(seed, index, Purpose::NextSeason);
    let mut whole = training.clone();
    let next_season = world.season(&mut stream);
    let mut next = Vec::new();
    let mut sites: Vec<usize> = (0..world.shape.sites).collect();
    stream.shuffle(&mut sites);
    for &site in sites.iter().take(MOST_NEXT) {
        let system = stream.whole(0, world.shape.systems - 1);
        let t = world.shape.seasons;
        let entries = entries(world, t, &mut stream);
        let planted = plant(world, &mut whole, (t, &next_season), (site, system), &entries, &mut stream);
        if !planted.met.failed {
            next.push(planted);
        }
    }
    Simulated { training, whole, next }
}

/// A network with its varieties, sites and diseases, and no trial.
fn empty(world: &World) -> Network {
    let info = NetworkInfo {
        name: "Simulated".to_owned(),
        crop: "wheat".to_owned(),
        invented: true,
        yield_unit: YieldUnit::TonnePerHectare,
        bushel_lb: None,
        water_unit: WaterUnit::Millimetre,
        currency: String::new(),
        home_url: String::new(),
        data_date: String::new(),
        contact: String::new(),
        funded_by: String::new(),
        lang: String::new(),
        seasons_to_prove: 3,
        lapse_after: 2,
        plot_error_share: 0.5,
        checks: (0..world.shape.checks).map(variety_code).collect(),
        defaults: Defaults::default(),
        notes: String::new(),
    };
    let varieties = world.varieties.iter().enumerate().map(|(i, v)| Variety {
        variety: variety_code(i),
        released: world.shape.release_known.then(|| FIRST_SEASON + v.seasons.0 as i32),
        ..Variety::default()
    });
    let sites =
        (0..world.shape.sites).map(|k| Site { site: site_code(k), name: site_code(k), ..Site::default() });
    let (traits, ratings) = diseases(world);
    Network {
        info,
        trials: Vec::new(),
        means: Vec::new(),
        plots: Vec::new(),
        varieties: varieties.collect(),
        sites: sites.collect(),
        water: Vec::new(),
        traits,
        ratings,
        pressure: Vec::new(),
        shortlist: Vec::new(),
    }
}

fn disease_code(index: usize) -> String {
    format!("disease-{}", index + 1)
}

/// Ratings run from 1 (best) to 9.
fn diseases(world: &World) -> (Vec<Trait>, Vec<Rating>) {
    let traits = world.threats.iter().enumerate().map(|(d, threat)| Trait {
        trait_: disease_code(d),
        label: disease_code(d),
        label_es: String::new(),
        kind: TraitKind::Disease,
        best: Some(1.0),
        worst: Some(9.0),
        unit: String::new(),
        severe_loss: Some(threat.published.0),
        severe_loss_sd: Some(threat.published.1),
        vector: String::new(),
        protectable: false,
        efficacy: None,
        spray_cost: None,
        label_note: String::new(),
        source: String::new(),
    });
    let ratings = world.threats.iter().enumerate().flat_map(|(d, threat)| {
        let rated = threat.susceptibility.iter().zip(&threat.rated).enumerate().filter(|(_, (_, r))| **r);
        rated.map(move |(i, (a, _))| Rating {
            variety: variety_code(i),
            trait_: disease_code(d),
            value: 1.0 + 8.0 * a,
            seasons: None,
        })
    });
    (traits.collect(), ratings.collect())
}

/// Season, site and system of each trial: every season and every site has one, the rest as it falls.
fn layout(world: &World, stream: &mut Stream) -> Vec<(usize, usize, usize)> {
    let shape = &world.shape;
    let mut chosen = Set::new();
    let any_system = |stream: &mut Stream| stream.whole(0, shape.systems - 1);
    for season in 0..shape.seasons {
        let site = stream.whole(0, shape.sites - 1);
        chosen.insert((season, site, any_system(stream)));
    }
    for site in 0..shape.sites {
        if !chosen.iter().any(|c| c.1 == site) {
            chosen.insert((stream.whole(0, shape.seasons - 1), site, any_system(stream)));
        }
    }
    let mut rest: Vec<(usize, usize, usize)> = (0..shape.seasons)
        .flat_map(|t| (0..shape.sites).flat_map(move |k| (0..shape.systems).map(move |s| (t, k, s))))
        .filter(|place| !chosen.contains(place))
        .collect();
    stream.shuffle(&mut rest);
    let missing = shape.trials.saturating_sub(chosen.len());
    chosen.extend(rest.into_iter().take(missing));
    chosen.into_iter().collect()
}

fn entries(world: &World, season: usize, stream: &mut Stream) -> Vec<usize> {
    let mut entered: Vec<usize> = (0..world.shape.varieties).filter(|&i| world.entered(i, season)).collect();
    stream.shuffle(&mut entered);
    let mut kept = Vec::new();
    for (place, variety) in entered.into_iter().enumerate() {
        let check = variety < world.shape.checks;
        if check || place < FEWEST_ENTRIES || stream.happens(ENTERED) {
            kept.push(variety);
        }
    }
    kept.sort_unstable();
    kept
}

/// Sows, scores and harvests one trial.
fn plant(
    world: &World,
    network: &mut Network,
    (t, season): (usize, &Season),
    (site, system): (usize, usize),
    entries: &[usize],
    stream: &mut Stream,
) -> NextTrial {
    let shape = &world.shape;
    let code = format!("T{:03}", network.trials.len() + 1);
    let amount = world.water(season, site, system, stream);
    let met = world.meeting(season, (site, system), amount, stream);
    let reps = shape.reps as f64;
    let unit = SCALE[system];
    let plot = world.variances.plot * met.scale;
    let freedom = (reps - 1.0) * (entries.len() as f64 - 1.0);
    let stated = plot * stream.mean_square(freedom) * unit * unit;
    network.trials.push(Trial {
        trial: code.clone(),
        site: site_code(site),
        season: FIRST_SEASON + t as i32,
        system: SYSTEMS[system].to_owned(),
        water: shape.water_known.then_some(amount),
        error: ErrorReport {
            reps: Some(reps),
            error_ms: shape.errors_known.then_some(stated),
            ..ErrorReport::default()
        },
        fallow: None,
        excluded: met.failed.then_some(Exclusion::Drought),
    });
    let own = (met.scale * world.variances.trial).sqrt();
    let error = plot / reps;
    for &variety in entries {
        let share = world.expected(variety, Some(season), &met)
            + own * stream.normal()
            + error.sqrt() * stream.normal();
        if !met.failed {
            network.means.push(Mean {
                trial: code.clone(),
                variety: variety_code(variety),
                yield_: share.max(0.0) * unit,
                plots: None,
            });
        }
    }
    for (d, pressure) in met.pressure.iter().enumerate() {
        if stream.happens(SCORED) {
            network.pressure.push(Pressure {
                trial: code.clone(),
                trait_: disease_code(d),
                pressure: *pressure,
            });
        }
    }
    NextTrial { code, met, error }
}

/// A record of water at every site and system before the trials began.
fn long_record(world: &World, network: &mut Network, stream: &mut Stream) {
    for year in FIRST_SEASON - RECORD..FIRST_SEASON {
        let season = world.season(stream);
        for site in 0..world.shape.sites {
            for system in 0..world.shape.systems {
                network.water.push(WaterRecord {
                    site: site_code(site),
                    season: year,
                    system: SYSTEMS[system].to_owned(),
                    water: world.water(&season, site, system, stream),
                });
            }
        }
    }
}
