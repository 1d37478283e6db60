//! Where the search for variances starts, and how far down it may go.
//!
//! Moments first. A large network is then fitted in small: the trials of some sites stand for all
//! of them, and what they say is within a few standard errors of what all will say, at a small part of the
//! cost of a pass. It knows nothing of derivatives.

use super::arrow::Likelihood;
use super::design::{Design, Extra, Row};
use super::optimise::{OptimiseError, VariancePrior, rough};
use super::variances::{Parameter, Variances};

/// Least residual variance where no error variance is known, as a share of its start: below that a trial
/// is told exactly by the others, the equations are singular to rounding, and a search goes astray.
pub(super) const LEAST_RESIDUAL: f64 = 1e-3;
/// Least error variance of any row where some are known, as a share of the residual's start: with the
/// inverse of less than that V⁻¹ is a difference of numbers so large that too few digits are left.
const LEAST_ERROR: f64 = 1e-5;
/// Trials from which on a part of them is fitted first.
const TRIALS_WORTH_A_PART: usize = 100;
/// Sites of which a part is left with at least half as many.
const SITES_OF_A_PART: usize = 10;
/// A part may say that a variance is zero by chance; the whole starts no lower than this share of moments.
const LEAST_START: f64 = 0.05;

/// Variances of a part of the trials, or else moments.
pub(super) fn start(
    design: &Design,
    likelihood: Likelihood,
    priors: &[VariancePrior],
    moments: &Variances,
) -> Variances {
    // A part without enough to go by is no failure of the whole.
    let found = part_of(design).and_then(|part| rough(&part, likelihood, priors).ok());
    found.map_or_else(|| moments.clone(), |found| raised(found, moments))
}

/// Variances of a part, no lower than a share of moments.
fn raised(found: Variances, moments: &Variances) -> Variances {
    let variety = found.variety.max(LEAST_START * moments.variety);
    // The correlation of a part may stand; the covariance then grows with both variances.
    let slope = found.slope.max(LEAST_START * moments.slope);
    let shrunk = (found.variety * found.slope).max(f64::MIN_POSITIVE).sqrt();
    let correlation = (found.covariance / shrunk).clamp(-0.9, 0.9);
    let residual = found.residual.iter().zip(&moments.residual);
    Variances {
        variety,
        slope,
        covariance: correlation * (variety * slope).sqrt(),
        site: found.site.max(LEAST_START * moments.site),
        season: found.season.max(LEAST_START * moments.season),
        system: found.system.max(LEAST_START * moments.system),
        residual: residual.map(|(found, moment)| found.max(LEAST_START * moment)).collect(),
    }
}

/// Every so many sites, with all their trials: what varieties keep at a site from season to season, and in
/// a season from site to site, can be told there too. `None` where a part would be too small.
fn part_of(design: &Design) -> Option<Design> {
    let mut sites: Vec<usize> = design.rows.iter().map(|r| r.site).collect();
    sites.sort_unstable();
    sites.dedup();
    let every = sites.len().div_ceil(SITES_OF_A_PART);
    if design.trials < TRIALS_WORTH_A_PART || every < 2 {
        return None;
    }
    let is_in = |r: &Row| sites.binary_search(&r.site).is_ok_and(|place| place % every == 0);
    let kept: Vec<usize> = (0..design.rows.len()).filter(|&i| is_in(&design.rows[i])).collect();
    let mut place = vec![usize::MAX; design.trials];
    kept.iter().for_each(|&i| place[design.rows[i].trial] = 0);
    let mut trials = 0;
    for place in place.iter_mut().filter(|place| **place == 0) {
        *place = trials;
        trials += 1;
    }
    let rows: Vec<Row> =
        kept.iter().map(|&i| Row { trial: place[design.rows[i].trial], ..design.rows[i] }).collect();
    let extras: Vec<Extra> = design
        .extra_priors
        .iter()
        .enumerate()
        .map(|(e, &prior)| Extra { values: kept.iter().map(|&i| design.row_extras(i)[e]).collect(), prior })
        .collect();
    Some(Design::new(&rows, &extras, design.blocks.len(), trials, design.systems, design.terms))
}

/// Lower bounds of the free parameters: 0, but what is left of a row's error variance stays above 0, and above
/// `least_residual` of its start where none is known.
pub(super) fn floors(
    design: &Design,
    list: &[Parameter],
    start: &Variances,
    least_residual: f64,
) -> Vec<f64> {
    list.iter()
        .map(|&p| match p {
            Parameter::Covariance => f64::NEG_INFINITY,
            Parameter::Residual(system) => {
                let here = || design.rows.iter().filter(|r| r.system == system);
                if here().all(|r| r.known_variance == 0.0) {
                    return least_residual * start.residual[system];
                }
                let least = LEAST_ERROR * start.residual[system];
                here().map(|r| (least - r.known_variance) * r.weight).fold(0.0, f64::max)
            }
            _ => 0.0,
        })
        .collect()
}

/// Starting variances from the spread of deviations from trial means, between and within varieties.
pub(super) fn moment_start(design: &Design) -> Result<Variances, OptimiseError> {
    let rows = &design.rows;
    let groups = design.trials.max(1);
    let group = |trial: usize| if design.trials > 0 { trial } else { 0 };
    let (mut sum, mut count) = (vec![0.0; groups], vec![0.0; groups]);
    for r in rows {
        sum[group(r.trial)] += r.value;
        count[group(r.trial)] += 1.0;
    }
    let deviation = |r: &Row| r.value - sum[group(r.trial)] / count[group(r.trial)];
    let total = rows.iter().map(|r| deviation(r).powi(2)).sum::<f64>() / rows.len() as f64;
    let size = rows.iter().map(|r| r.value.abs()).fold(0.0, f64::max);
    if !total.is_finite() {
        return Err(OptimiseError::NotFinite);
    }
    if total <= 1e-24 * size * size {
        return Err(OptimiseError::NoVariation);
    }
    let (mut between, mut within, mut freedom, mut varieties, mut mean_count) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for block in design.blocks.iter().filter(|b| b.rows > 0) {
        let here = &rows[block.start..block.start + block.rows];
        let mean = here.iter().map(deviation).sum::<f64>() / here.len() as f64;
        between += mean * mean;
        within += here.iter().map(|r| (deviation(r) - mean).powi(2)).sum::<f64>();
        freedom += here.len() as f64 - 1.0;
        varieties += 1.0;
        mean_count += here.len() as f64;
    }
    let within = if freedom > 0.0 { within / freedom } else { total };
    let between: f64 = between / varieties - within * varieties / mean_count;
    let systems = design.systems;
    let residual = (0..systems)
        .map(|system| {
            let here: Vec<_> = rows.iter().filter(|r| r.system == system).collect();
            let n = here.len().max(1) as f64;
            let spread = here.iter().map(|r| deviation(r).powi(2)).sum::<f64>() / n;
            let known = here.iter().map(|r| r.known_variance).sum::<f64>() / n;
            (0.6 * spread.max(0.05 * total) - known).max(0.1 * spread.max(0.05 * total))
        })
        .collect();
    let interaction = 0.12 * within.max(0.05 * total);
    let terms = design.terms;
    let given = |on: bool| if on { interaction } else { 0.0 };
    Ok(Variances {
        // The main effect of a single block is the border's own constant.
        variety: if design.blocks.len() == 1 { 0.0 } else { between.max(0.1 * total) },
        slope: given(terms.water),
        covariance: 0.0,
        site: given(terms.site),
        season: given(terms.season),
        system: given(terms.system),
        residual,
    })
}
