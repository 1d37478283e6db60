//! Finding the variances: average-information steps on the free parameters, with the boundary as an answer.
//!
//! A bounded parameter at 0 whose gradient points outwards is held there and released when the gradient
//! turns; a step that would leave the bounds is taken to them, and the rest of the step solved again. The
//! end is proved by the gradient of the last pass, not by small steps. It knows nothing of networks.

use super::arrow::{self, ArrowError, Likelihood, Solution};
use super::derivatives::{self, Derivatives};
use super::design::Design;
use super::start::{LEAST_RESIDUAL, floors, moment_start};
use super::step::{Learnt, Local};
use super::variances::{Leading, Pair, Parameter, Variances, parameters};
use thiserror::Error;

/// When a search ends, and how far down it may go.
#[derive(Debug, Clone, Copy)]
struct Goal {
    /// Newton decrement (twice a step's gain in the criterion) below which it ends at once.
    decrement: f64,
    /// Newton decrement below which it ends if the step is small besides.
    nearly: f64,
    /// Largest step that is small, as a share of each variance.
    share: f64,
    /// What the criterion has to come below: it ends where it is clear that it will not.
    below: f64,
    /// Least residual variance where no error variance is known, as a share of its start.
    least_residual: f64,
}

impl Goal {
    fn is_reached(&self, criterion: f64, local: &Local, step: &[f64], scales: &[f64]) -> bool {
        let decrement = local.decrement(step);
        let hopeless = criterion - HOPE * decrement > self.below;
        hopeless
            || decrement < self.decrement
            || decrement < self.nearly && local.is_settled(step, scales, self.share)
    }
}

/// The criterion is of order one near its optimum, so the first puts a variance within a millionth of its
/// standard error; in a large network, where that is less than is worth a pass, the second within a
/// millionth of itself.
const SETTLED: Goal = Goal {
    decrement: 1e-12,
    nearly: 1e-8,
    share: 1e-6,
    below: f64::INFINITY,
    least_residual: LEAST_RESIDUAL,
};
/// To compare forms of a model by, and to work out what a form takes from its own variances: the criterion is
/// within a ten-thousandth of its least.
const NEAR: Goal = Goal { decrement: 1e-4, nearly: 0.0, share: 0.0, ..SETTLED };
/// What is left to fall by a parabola is half the decrement; a search has hope of eight times as much.
const HOPE: f64 = 4.0;
/// To start a larger search from.
const ROUGH: Goal = Goal { decrement: 1e-2, ..NEAR };
/// Share of the leading variance that one step leaves at least, and the share of the main effect's moments
/// below which it may go to nothing.
const SMALLEST_LEFT: f64 = 0.1;
const NEXT_TO_NOTHING: f64 = 1e-3;
/// Share by which information is raised where a step was too long; four times as much each time after.
const FIRST_DAMPING: f64 = 0.25;
/// How many times as large the other of main effect and slope must be to take the lead.
const TURN: f64 = 2.0;
/// What the criterion may rise by for rounding, as a share of itself.
const ROUNDING: f64 = 1e-12;
/// Passes after which the search is given up.
const MAX_PASSES: usize = 100;

/// Why no optimum was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum OptimiseError {
    /// Every value is the same once trial means are removed.
    #[error("all yields are equal within their trials, so no variance can be estimated")]
    NoVariation,
    /// As many border columns as rows.
    #[error("there are no more means than trials, so no variance can be estimated")]
    NoFreedom,
    /// A border column depends on those before it.
    #[error("fixed column {0} depends on those before it")]
    Collinear(usize),
    /// The criterion is not finite at any variances tried.
    #[error("the restricted likelihood is not finite; look for yields many times larger than the others")]
    NotFinite,
    /// Too many passes.
    #[error(
        "the variances did not settle in {MAX_PASSES} passes; look for a yield or an error variance in another unit, or for varieties that differ by exactly as much in every trial, and fit fewer terms (for example `variety`)"
    )]
    NotSettled,
}

impl From<ArrowError> for OptimiseError {
    fn from(error: ArrowError) -> Self {
        match error {
            ArrowError::Collinear(column) => OptimiseError::Collinear(column),
            ArrowError::NotPositive => OptimiseError::NotFinite,
        }
    }
}

/// The variances found and the model solved at them.
#[derive(Debug, Clone)]
pub struct Optimum {
    /// Variances at the optimum.
    pub variances: Variances,
    /// The model there.
    pub solution: Solution,
    /// Gradient and information there, in natural parameters.
    pub derivatives: Derivatives,
    /// Largest gradient of a free parameter times that parameter's scale (criterion units).
    pub gradient: f64,
    /// Evaluations of the criterion.
    pub passes: usize,
    /// By system, whether its residual variance ended at the least that can be computed with.
    pub least_residual: Vec<bool>,
}

/// What is known of a variance beforehand: log(variance / expected) ~ N(0, sd²).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VariancePrior {
    /// Which variance.
    pub parameter: Parameter,
    /// Its expected value, as a share of the variance of varieties or by itself.
    pub expected: Expected,
    /// Standard deviation of the logarithm.
    pub sd: f64,
}

/// What a variance is expected to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Expected {
    /// This share of the variance of varieties.
    Share(f64),
    /// This value.
    Value(f64),
}

impl VariancePrior {
    /// What its distance grows by, in standard deviations, with the logarithm of each variance it compares.
    pub(super) fn slopes(&self, list: &[Parameter]) -> Vec<(usize, f64)> {
        let at = |p: Parameter| list.iter().position(|&x| x == p);
        let compared = match self.expected {
            Expected::Share(_) => at(Parameter::Variety).map(|i| (i, -1.0 / self.sd)),
            Expected::Value(_) => None,
        };
        at(self.parameter).map(|i| (i, 1.0 / self.sd)).into_iter().chain(compared).collect()
    }

    /// Its distance in standard deviations.
    pub(super) fn distance(&self, list: &[Parameter], free: &[f64]) -> Option<f64> {
        let at = |p: Parameter| list.iter().position(|&x| x == p);
        let own = free[at(self.parameter)?];
        let times = match self.expected {
            Expected::Share(share) => own / free[at(Parameter::Variety)?] / share,
            Expected::Value(value) => own / value,
        };
        Some(times.ln() / self.sd)
    }
}

/// −2 log density of the priors, less its constant.
fn penalty(priors: &[VariancePrior], list: &[Parameter], free: &[f64]) -> f64 {
    priors.iter().filter_map(|p| p.distance(list, free)).map(|x| x * x).sum()
}

/// Finds the variances that minimise the criterion, from moments.
///
/// # Errors
/// See [`OptimiseError`].
pub fn optimise(design: &Design, likelihood: Likelihood) -> Result<Optimum, OptimiseError> {
    search(design, likelihood, &[], None)
}

/// Finds the variances that minimise the criterion and −2 log of the priors: the posterior mode on the
/// log scale for those with a prior. Starts from `start`, or from moments and a part of the trials.
///
/// # Errors
/// See [`OptimiseError`].
pub fn search(
    design: &Design,
    likelihood: Likelihood,
    priors: &[VariancePrior],
    start: Option<&Variances>,
) -> Result<Optimum, OptimiseError> {
    search_until(design, likelihood, priors, start, SETTLED)
}

/// The same to a criterion within a ten-thousandth of its least, in half the passes: enough to compare forms of a
/// model by, since gains that count are far larger. It ends early, wherever it is, once it is clear that the
/// criterion will not come `below`.
///
/// # Errors
/// See [`OptimiseError`].
pub fn search_near(
    design: &Design,
    likelihood: Likelihood,
    priors: &[VariancePrior],
    start: Option<&Variances>,
    below: f64,
) -> Result<Optimum, OptimiseError> {
    search_until(design, likelihood, priors, start, Goal { below, ..NEAR })
}

/// Goes on from the end of another search to where a residual variance is `least` of its start at least.
///
/// # Errors
/// See [`OptimiseError`].
pub(super) fn search_lower(
    design: &Design,
    likelihood: Likelihood,
    start: &Variances,
    least: f64,
) -> Result<Optimum, OptimiseError> {
    search_until(design, likelihood, &[], Some(start), Goal { least_residual: least, ..SETTLED })
}

fn search_until(
    design: &Design,
    likelihood: Likelihood,
    priors: &[VariancePrior],
    start: Option<&Variances>,
    goal: Goal,
) -> Result<Optimum, OptimiseError> {
    let moments = moments_of(design)?;
    let start = match start {
        Some(start) => start.clone(),
        None => super::start::start(design, likelihood, priors, &moments),
    };
    settle(design, likelihood, priors, (&start, &moments), goal)
}

/// Variances to within a tenth or so of their standard errors.
pub(super) fn rough(
    design: &Design,
    likelihood: Likelihood,
    priors: &[VariancePrior],
) -> Result<Variances, OptimiseError> {
    let moments = moments_of(design)?;
    let start = super::start::start(design, likelihood, priors, &moments);
    Ok(settle(design, likelihood, priors, (&start, &moments), ROUGH)?.variances)
}

/// Variances from the spread of deviations from trial means, between and within varieties: where a search starts.
///
/// # Errors
/// Yields that are all equal, or no more of them than trials.
pub fn moments_of(design: &Design) -> Result<Variances, OptimiseError> {
    if design.rows.len() <= design.free_border() {
        return Err(OptimiseError::NoFreedom);
    }
    moment_start(design)
}

/// What stays the same over a search.
pub(super) struct Search<'a> {
    pub design: &'a Design,
    likelihood: Likelihood,
    pub priors: &'a [VariancePrior],
    pub list: Vec<Parameter>,
    pub bounds: Vec<f64>,
    /// Variance of varieties by moments.
    usual: f64,
}

/// Free parameters and the model solved at them.
pub(super) struct Point {
    pub free: Vec<f64>,
    pub leading: Leading,
    solution: Solution,
    /// Criterion and priors.
    value: f64,
}

impl Search<'_> {
    /// Bounds of one step. Where neither main effect nor slope has a variance their regression is undefined,
    /// so the leading one comes down by a tenth at a time until it is next to nothing.
    fn bounds_from(&self, here: &Point) -> Vec<f64> {
        let mut bounds = self.bounds.clone();
        if let Some(Pair { lead, .. }) = here.leading.pair(&self.list)
            && here.free[lead] > NEXT_TO_NOTHING * self.usual
        {
            bounds[lead] = bounds[lead].max(SMALLEST_LEFT * here.free[lead]);
        }
        bounds
    }

    /// By system, whether its residual variance is at a bound above zero.
    fn at_least_residual(&self, free: &[f64]) -> Vec<bool> {
        let mut out = vec![false; self.design.systems];
        for ((parameter, &bound), &free) in self.list.iter().zip(&self.bounds).zip(free) {
            if let Parameter::Residual(system) = *parameter {
                out[system] = bound > 0.0 && free <= bound;
            }
        }
        out
    }

    fn at(&self, free: Vec<f64>, leading: Leading) -> Result<Point, ArrowError> {
        let variances = Variances::from_free(&self.list, &free, self.design.systems, leading);
        let solution = arrow::solve(self.design, &variances, self.likelihood)?;
        let value = solution.criterion + penalty(self.priors, &self.list, &free);
        Ok(Point { free, leading, solution, value })
    }

    /// Lets the larger of main effect and slope lead, and aims the regression where it is undefined.
    /// Returns whether the coordinates are others now.
    fn turn(&self, here: &mut Point, natural_gradient: &[f64]) -> bool {
        let v = &here.solution.variances;
        let other = match here.leading {
            Leading::Main if v.slope > TURN * v.variety => Leading::Slope,
            Leading::Slope if v.variety > TURN * v.slope => Leading::Main,
            same => same,
        };
        let fixed = !self.priors.is_empty() || self.design.blocks.len() == 1;
        if other != here.leading && !fixed {
            here.free = v.free(&self.list, other);
            here.leading = other;
            return true;
        }
        let Some(Pair { lead, own, regression: m }) = here.leading.pair(&self.list) else { return false };
        if here.free[lead] > 0.0 || natural_gradient[own] <= 0.0 {
            return false;
        }
        // Where adding variance helps most.
        here.free[m] = (-natural_gradient[m] / (2.0 * natural_gradient[own])).clamp(-1.0, 1.0);
        true
    }

    /// The point that a step leads to, the whole step or as much of it as does not raise the criterion;
    /// `None` where rounding alone keeps it from falling.
    fn descend(
        &self,
        here: &Point,
        local: &Local,
        step: &[f64],
        passes: &mut usize,
    ) -> Result<Option<Point>, OptimiseError> {
        let decrement = local.decrement(step);
        let bounds = self.bounds_from(here);
        let (mut tried, mut damping) = (step.to_vec(), 0.0);
        while *passes < MAX_PASSES {
            *passes += 1;
            match self.at(local.moved(&here.free, &bounds, &tried), here.leading) {
                Ok(next) if next.value <= here.value + ROUNDING * here.value.abs() => return Ok(Some(next)),
                Ok(_) if damping > 1e4 && decrement < 1e-6 => return Ok(None),
                // Too long for its parabola, or so far out that even a sound design is singular to rounding.
                Ok(_) | Err(_) => {
                    damping = if damping == 0.0 { FIRST_DAMPING } else { 4.0 * damping };
                    tried = local.damped(damping).step(&here.free, &bounds);
                }
            }
        }
        Err(OptimiseError::NotSettled)
    }
}

/// Steps until the end that `goal` asks for.
fn settle(
    design: &Design,
    likelihood: Likelihood,
    priors: &[VariancePrior],
    (start, moments): (&Variances, &Variances),
    goal: Goal,
) -> Result<Optimum, OptimiseError> {
    let list = parameters(design.terms, design.systems);
    let bounds = floors(design, &list, moments, goal.least_residual);
    let search = Search { design, likelihood, priors, list, bounds, usual: moments.variety };
    let mut here = search.at(start.free(&search.list, Leading::Main), Leading::Main)?;
    let mut passes = 1;
    let mut learnt = Learnt::default();
    let mut before = None::<(Vec<f64>, Vec<f64>)>;
    loop {
        let derivatives = derivatives::derivatives(design, &here.solution, likelihood);
        if search.turn(&mut here, &derivatives.gradient) {
            (learnt, before) = (Learnt::default(), None);
        }
        let mut local = Local::new(&search, &here, &derivatives);
        if let Some((gradient, way)) = before.take() {
            let change: Vec<f64> = local.gradient.iter().zip(gradient).map(|(now, was)| now - was).collect();
            learnt.learn(&way, &change, &local.information);
        }
        local.add(&learnt);
        let step = local.step(&here.free, &search.bounds_from(&here));
        let next = if goal.is_reached(here.solution.criterion, &local, &step, &scales(&search.list, &here)) {
            None
        } else {
            search.descend(&here, &local, &step, &mut passes)?
        };
        let Some(next) = next else {
            return Ok(Optimum {
                least_residual: search.at_least_residual(&here.free),
                variances: here.solution.variances.clone(),
                gradient: local.scaled_gradient(&here.free),
                solution: here.solution,
                derivatives,
                passes,
            });
        };
        before = Some((local.gradient.clone(), local.way(&here.free, &next.free)));
        here = next;
    }
}

/// What a step is compared with, by parameter: its value, and for the regression of slope on main effect
/// or the other way round that of the one on a usual size of the other.
fn scales(list: &[Parameter], here: &Point) -> Vec<f64> {
    let mut scales = here.free.clone();
    if let Some(Pair { lead, own, regression: m }) = here.leading.pair(list) {
        let (a, d, slope) = (here.free[lead], here.free[own], here.free[m].abs());
        scales[m] = if a > 0.0 { (d / a).sqrt().max(slope) } else { f64::INFINITY };
        scales[own] = d.max(a * slope * slope);
    }
    scales
}

#[cfg(test)]
#[path = "optimise_tests.rs"]
mod tests;
