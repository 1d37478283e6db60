//! Farmers' fields: what the page's table says of them, against many true seasons of the same fields.
//!
//! A field lies near a site of the trials; its usual yield is not given. The true seasons draw their water from
//! the site's true climate (or from its driest third), all else anew as the truth has it, without plot error.

use super::random::Stream;
use super::tally::Tally;
use super::world::{SCALE, World};
use leanyear_engine::decide::{Advisor, VarietyOdds};
use leanyear_engine::link::{Settings, WaterOutlook};
use leanyear_engine::pack::YieldUnit;

/// Fields asked about in each network, at most.
const FIELDS: usize = 3;
/// True seasons of each field and outlook.
const SEASONS: usize = 300;
/// Price of grain; only its ratio to the cost matters.
const PRICE: f64 = 200.0;

/// Names of the measures of one outlook.
struct Names {
    cover80: &'static str,
    shown80: &'static str,
    cover95: &'static str,
    width: &'static str,
    bias: &'static str,
    place: &'static str,
    short: &'static str,
    beats: &'static str,
    best: &'static str,
    failed: &'static str,
    short_harvested: &'static str,
    place_harvested: &'static str,
}

const ANY: Names = Names {
    cover80: "field 80",
    shown80: "field 80 as shown",
    cover95: "field 95",
    width: "field width",
    bias: "field log mean",
    place: "field place",
    short: "short, field",
    beats: "pairs, field",
    best: "best, field",
    failed: "no harvest, field",
    short_harvested: "short if harvested, field",
    place_harvested: "field place if harvested",
};
const DRY: Names = Names {
    cover80: "field dry 80",
    shown80: "field dry 80 as shown",
    cover95: "field dry 95",
    width: "field dry width",
    bias: "field dry log mean",
    place: "field dry place",
    short: "short, field dry",
    beats: "pairs, field dry",
    best: "best, field dry",
    failed: "no harvest, field dry",
    short_harvested: "short if harvested, field dry",
    place_harvested: "field dry place if harvested",
};

/// Asks the page about some fields and scores its answers.
///
/// # Errors
/// A question that the page refuses.
pub fn score_fields(
    world: &World,
    advisor: &Advisor,
    questions: &mut Stream,
    futures: &mut Stream,
    tally: &mut Tally,
) -> Result<(), String> {
    let prepared = &advisor.model().prepared;
    let mut places: Vec<(usize, usize)> = prepared.rows.iter().map(|r| (r.site, r.system)).collect();
    places.sort_unstable();
    places.dedup();
    questions.shuffle(&mut places);
    for &(site, system) in places.iter().take(FIELDS) {
        let mut settings = Settings::bare(&prepared.systems[system], YieldUnit::TonnePerHectare);
        settings.site = Some(prepared.sites[site].clone());
        settings.price = Some(PRICE);
        // The line between good and short is drawn from what the page itself says is usual there: a line drawn
        // from the truth would tell a reader something that the page was never told.
        let usual = advisor.draws(&settings).map_err(|e| e.to_string())?.usual();
        settings.cost = Some(PRICE * questions.between(0.3, 1.2) * usual);
        // Where a system carries no slope on water the page says that a dry season tells it nothing.
        let outlooks = if prepared.water[system].is_some() {
            vec![(WaterOutlook::Any, ANY), (WaterOutlook::Dry, DRY)]
        } else {
            vec![(WaterOutlook::Any, ANY)]
        };
        for (outlook, names) in outlooks {
            settings.water = outlook;
            score_field(world, advisor, &mut settings, &names, (questions, futures), tally)?;
        }
    }
    Ok(())
}

fn score_field(
    world: &World,
    advisor: &Advisor,
    settings: &mut Settings,
    names: &Names,
    (questions, futures): (&mut Stream, &mut Stream),
    tally: &mut Tally,
) -> Result<(), String> {
    let draws = advisor.draws(settings).map_err(|e| e.to_string())?;
    settings.mine = None;
    let asked = advisor.table(&draws, settings).map_err(|e| e.to_string())?;
    let current: Vec<String> =
        asked.varieties.iter().filter(|v| v.standing.current()).map(|v| v.variety.clone()).collect();
    if current.len() < 2 {
        return Ok(());
    }
    let mine = current[questions.whole(0, current.len() - 1)].clone();
    settings.mine = Some(mine.clone());
    let table = advisor.table(&draws, settings).map_err(|e| e.to_string())?;
    let rows: Vec<&VarietyOdds> = table.varieties.iter().filter(|v| v.standing.current()).collect();
    let varieties: Vec<usize> = rows.iter().map(|v| super::variety_of(&v.variety)).collect();
    let ground =
        (super::site_of(settings.site.as_deref().unwrap_or_default()), super::system_of(&settings.system));
    let dry = settings.water == WaterOutlook::Dry;
    let seasons = true_seasons(world, ground, dry, &varieties, futures);
    let own = rows.iter().position(|v| v.variety == mine).unwrap_or_default();
    let wins = shares_of_wins(&seasons);
    let came_to_nothing = share(&seasons.iter().map(|s| s[0]).collect::<Vec<f64>>(), |y| y <= 0.0);
    tally.chance(names.failed, draws.chance_no_harvest(), came_to_nothing);
    let line = settings.cost.unwrap_or_default() / PRICE;
    for (v, odds) in rows.iter().enumerate() {
        let block = advisor.model().prepared.block(&odds.variety).map_err(|e| e.to_string())?;
        let sorted = draws.sorted_yields(block);
        let mut came: Vec<f64> = seasons.iter().map(|s| s[v]).collect();
        tally.add(names.shown80, share(&came, |y| odds.low80 <= y && y <= odds.high80));
        tally.add(names.cover80, inside(sorted, &came, 0.1));
        tally.add(names.cover95, inside(sorted, &came, 0.025));
        tally.add(names.place, places(sorted, &came));
        tally.chance(names.short, odds.chance_short, share(&came, |y| y < line));
        let (law, harvested) = (above_nothing(sorted), above_nothing(&came));
        if !law.is_empty() && !harvested.is_empty() {
            let said = share(&law, |y| y < line);
            tally.chance(names.short_harvested, said, share(&harvested, |y| y < line));
            tally.add(names.place_harvested, places(&law, &harvested));
        }
        if let Some(said) = odds.beats_mine {
            tally.chance(names.beats, said, beaten(&seasons, v, own));
        }
        tally.chance(names.best, odds.best, wins[v]);
        let mean = came.iter().sum::<f64>() / came.len() as f64;
        if odds.expected > 0.0 && mean > 0.0 {
            tally.add(names.bias, (odds.expected / mean).ln());
        }
        came.sort_by(f64::total_cmp);
        let width = came[SEASONS * 9 / 10] - came[SEASONS / 10];
        tally.add(names.width, (odds.high80 - odds.low80) / width.max(1e-3));
    }
    Ok(())
}

/// Yields t/ha of some varieties in many seasons of one field, season by season; 0 where drought took it.
fn true_seasons(
    world: &World,
    (site, system): (usize, usize),
    dry: bool,
    varieties: &[usize],
    stream: &mut Stream,
) -> Vec<Vec<f64>> {
    let bound = world.dry_third(site, system);
    (0..SEASONS)
        .map(|_| {
            let (season, amount) = loop {
                let season = world.season(stream);
                let amount = world.water(&season, site, system, stream);
                if !dry || amount <= bound {
                    break (season, amount);
                }
            };
            let met = world.meeting(&season, (site, system), amount, stream);
            let own = (met.scale * world.variances.trial).sqrt();
            varieties
                .iter()
                .map(|&v| {
                    let share = world.expected(v, Some(&season), &met) + own * stream.normal();
                    if met.failed { 0.0 } else { share.max(0.0) * SCALE[system] }
                })
                .collect()
        })
        .collect()
}

fn share(values: &[f64], holds: impl Fn(f64) -> bool) -> f64 {
    values.iter().filter(|y| holds(**y)).count() as f64 / values.len() as f64
}

fn above_nothing(yields: &[f64]) -> Vec<f64> {
    yields.iter().copied().filter(|y| *y > 0.0).collect()
}

/// Place of a value in the law drawn: share of draws below it, and up to it. They differ where draws tie with it,
/// as those of failed crops do.
fn place(sorted: &[f64], y: f64) -> (f64, f64) {
    let count = sorted.len() as f64;
    (sorted.partition_point(|x| *x < y) as f64 / count, sorted.partition_point(|x| *x <= y) as f64 / count)
}

/// Share of what came between two tails of the law drawn. A value that draws tie with counts by the part of its
/// places that lies between them: a chance of 15 % of no harvest puts the whole lower tail at 0, and a range
/// that begins at 0 would hold 90 % where it says 80 % (the randomised place, Smith 1985, J. Forecasting
/// 4:283–291).
fn inside(sorted: &[f64], came: &[f64], tail: f64) -> f64 {
    let part = |y: &f64| {
        let (below, up_to) = place(sorted, *y);
        if up_to > below {
            (up_to.min(1.0 - tail) - below.max(tail)).max(0.0) / (up_to - below)
        } else {
            f64::from(u8::from((tail..=1.0 - tail).contains(&below)))
        }
    };
    came.iter().map(part).sum::<f64>() / came.len() as f64
}

/// Mean place of what came in the law drawn, ties in the middle: ½ where nothing is biased.
fn places(sorted: &[f64], came: &[f64]) -> f64 {
    let middle = |y: &f64| {
        let (below, up_to) = place(sorted, *y);
        0.5 * (below + up_to)
    };
    came.iter().map(middle).sum::<f64>() / came.len() as f64
}

/// Share of seasons in which one makes more than another, ties counted half.
fn beaten(seasons: &[Vec<f64>], one: usize, other: usize) -> f64 {
    let score = |s: &Vec<f64>| match s[one].total_cmp(&s[other]) {
        std::cmp::Ordering::Greater => 1.0,
        std::cmp::Ordering::Equal => 0.5,
        std::cmp::Ordering::Less => 0.0,
    };
    seasons.iter().map(score).sum::<f64>() / seasons.len() as f64
}

/// Share of seasons in which each makes most, ties shared.
fn shares_of_wins(seasons: &[Vec<f64>]) -> Vec<f64> {
    let mut wins = vec![0.0; seasons.first().map_or(0, Vec::len)];
    for season in seasons {
        let top = season.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let tied = season.iter().filter(|y| **y == top).count() as f64;
        for (sum, y) in wins.iter_mut().zip(season) {
            *sum += if *y == top { 1.0 / tied } else { 0.0 };
        }
    }
    wins.iter_mut().for_each(|x| *x /= seasons.len() as f64);
    wins
}
