//! One search from each of several starts, for networks so small that a pass costs nothing.
//!
//! With few trials, and with error variances known of some, the restricted likelihood can have more than one
//! summit: what varieties do by season and what is left over take each other's place. A search finds the one above
//! its start. It knows where searches start and which came highest, not how they go.

use super::arrow::Likelihood;
use super::design::Design;
use super::optimise::{OptimiseError, Optimum, moments_of, optimise, search, search_lower};
use super::variances::Variances;

/// Most rows of a network that is searched from several starts. Of simulated networks with known errors none of 80 of
/// 20 to 200 rows had a second summit, four in 80 of 5 to 60 rows had.
const FEW_ROWS: usize = 1_000;
/// Share of the spread within varieties that one kind of effect takes in a start that favours it, and what the
/// others take.
const FAVOURED: f64 = 0.8;
const OTHERS: f64 = 0.05;
/// Least residual variance, as a share of its start, to which one that is next to nothing is followed: a search
/// that begins far above it goes astray.
const LOWER_RESIDUAL: f64 = 1e-7;
/// What a search has to come lower by: rounding alone must not choose, or two machines would choose differently.
const LEAST_GAIN: f64 = 1e-6;

/// Finds the variances that minimise the criterion, from moments and, in a small network, from starts that favour
/// one kind of effect each; the lowest criterion wins, and a residual that is next to nothing there is followed
/// further down.
///
/// # Errors
/// See [`OptimiseError`]; where every search fails, why the one from moments did.
pub fn optimise_from_several(design: &Design, likelihood: Likelihood) -> Result<Optimum, OptimiseError> {
    let own = optimise(design, likelihood);
    if design.rows.len() > FEW_ROWS {
        return own;
    }
    let starts = starts(&moments_of(design)?);
    let others = starts.iter().map(|start| search(design, likelihood, &[], Some(start)));
    let best = others.fold(own, lower)?;
    if !best.least_residual.contains(&true) {
        return Ok(best);
    }
    let further = search_lower(design, likelihood, &best.variances, LOWER_RESIDUAL);
    lower(Ok(best), further)
}

/// What a search found clearly lower down, or found at all; the first of two that are level.
fn lower(
    one: Result<Optimum, OptimiseError>,
    other: Result<Optimum, OptimiseError>,
) -> Result<Optimum, OptimiseError> {
    match (&one, &other) {
        (Ok(one), Ok(other)) if other.solution.criterion > one.solution.criterion - LEAST_GAIN => {}
        (_, Ok(_)) => return other,
        (_, Err(_)) => {}
    }
    one
}

/// A start for each kind of effect that the model has, and one in which all are small beside the residual.
fn starts(moments: &Variances) -> Vec<Variances> {
    let kinds = [moments.variety, moments.slope, moments.site, moments.season, moments.system];
    let residual = moments.residual.iter().sum::<f64>() / moments.residual.len().max(1) as f64;
    let within = residual + kinds[1..].iter().sum::<f64>();
    let start = |favoured: Option<usize>| {
        let share = |kind: usize| {
            let taken = if favoured == Some(kind) { FAVOURED } else { OTHERS };
            if kinds[kind] > 0.0 { taken * within } else { 0.0 }
        };
        let left = if favoured.is_none() { 1.0 } else { 1.0 - FAVOURED };
        Variances {
            variety: share(0),
            slope: share(1),
            covariance: 0.0,
            site: share(2),
            season: share(3),
            system: share(4),
            residual: moments.residual.iter().map(|own| left * own).collect(),
        }
    };
    let favoured = (0..kinds.len()).filter(|&kind| kinds[kind] > 0.0).map(Some);
    favoured.chain([None]).map(start).collect()
}
