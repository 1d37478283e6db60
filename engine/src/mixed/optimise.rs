//! Finding the variances: average-information steps on the free parameters, with the boundary as an answer.
//!
//! A bounded parameter at 0 whose gradient points outwards is held there and released when the gradient
//! turns; a step that would leave the bounds is taken to them, and the rest of the step solved again. The
//! end is proved by the gradient of the last pass, not by small steps. It knows nothing of networks.

use super::arrow::{self, ArrowError, Likelihood, Solution};
use super::derivatives::{self, Derivatives};
use super::design::Design;
use super::small;
use super::variances::{Parameter, Variances, parameters};
use thiserror::Error;

/// Newton decrement (half a step's gain in the criterion) below which the optimum is reached. The
/// criterion is of order one near its optimum, so this puts a variance within 1e-5 of its standard error.
const DECREMENT_AT_OPTIMUM: f64 = 1e-12;
/// Least residual variance where no error variance is known, as a share of its start: below that a trial
/// is told exactly by the others and the equations are singular to rounding.
const LEAST_RESIDUAL: f64 = 1e-3;
/// Longest step of a logarithm.
const LARGEST_LOG_STEP: f64 = 2.0;
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
    #[error("the variances did not settle in {MAX_PASSES} passes")]
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
    /// What its distance grows by, in standard deviations, with the logarithm of each variance it knows.
    pub fn slopes(&self, list: &[Parameter]) -> Vec<(usize, f64)> {
        let at = |p: Parameter| list.iter().position(|&x| x == p);
        let compared = match self.expected {
            Expected::Share(_) => at(Parameter::Variety).map(|i| (i, -1.0 / self.sd)),
            Expected::Value(_) => None,
        };
        at(self.parameter).map(|i| (i, 1.0 / self.sd)).into_iter().chain(compared).collect()
    }

    /// Place of the variance, of the one it is compared with, and its distance in standard deviations.
    fn distance(&self, list: &[Parameter], free: &[f64]) -> Option<(usize, Option<usize>, f64)> {
        let at = |p: Parameter| list.iter().position(|&x| x == p);
        let own = at(self.parameter)?;
        match self.expected {
            Expected::Share(share) => {
                let variety = at(Parameter::Variety)?;
                Some((own, Some(variety), (free[own] / free[variety] / share).ln() / self.sd))
            }
            Expected::Value(value) => Some((own, None, (free[own] / value).ln() / self.sd)),
        }
    }
}

/// −2 log density of the priors, less its constant.
fn penalty(priors: &[VariancePrior], list: &[Parameter], free: &[f64]) -> f64 {
    priors.iter().filter_map(|p| p.distance(list, free)).map(|(_, _, x)| x * x).sum()
}

/// Finds the variances that minimise the criterion, from moments.
///
/// # Errors
/// See [`OptimiseError`].
pub fn optimise(design: &Design, likelihood: Likelihood) -> Result<Optimum, OptimiseError> {
    search(design, likelihood, &[], None)
}

/// Finds the variances that minimise the criterion and −2 log of the priors: the posterior mode on the
/// log scale for those with a prior. Starts from `start` or from moments.
///
/// # Errors
/// See [`OptimiseError`].
pub fn search(
    design: &Design,
    likelihood: Likelihood,
    priors: &[VariancePrior],
    start: Option<&Variances>,
) -> Result<Optimum, OptimiseError> {
    if design.rows.len() <= design.free_border() {
        return Err(OptimiseError::NoFreedom);
    }
    let list = parameters(design.terms, design.systems);
    let moments = moment_start(design)?;
    let start = start.unwrap_or(&moments);
    let mut free = start.free(&list);
    let bounds = floors(design, &list, &moments);
    let mut solution = arrow::solve(design, start, likelihood)?;
    let mut passes = 1;
    let (mut stiffness, mut before) = (vec![1.0; list.len()], None::<Taken>);
    loop {
        let derivatives = derivatives::derivatives(design, &solution, likelihood);
        aim_regression(&list, &mut free, &derivatives.gradient);
        let mut local = Local::new(design, &list, &free, &bounds, &derivatives, priors);
        if let Some(before) = &before {
            before.stiffen(&local.gradient, &mut stiffness);
        }
        local.stiffen(&stiffness);
        let step = local.step(&free, &bounds);
        if local.decrement(&step) < DECREMENT_AT_OPTIMUM {
            let variances = Variances::from_free(&list, &free, design.systems);
            return Ok(Optimum {
                variances,
                solution,
                gradient: local.scaled_gradient(&free),
                derivatives,
                passes,
            });
        }
        let mut length = 1.0;
        loop {
            if passes >= MAX_PASSES {
                return Err(OptimiseError::NotSettled);
            }
            let tried = local.moved(&free, &bounds, &step, length);
            passes += 1;
            let next = arrow::solve(design, &Variances::from_free(&list, &tried, design.systems), likelihood);
            match next {
                Ok(next)
                    if next.criterion + penalty(priors, &list, &tried)
                        <= solution.criterion
                            + penalty(priors, &list, &free)
                            + 1e-12 * solution.criterion.abs() =>
                {
                    before = Some(Taken { gradient: local.gradient.clone(), step: step.clone() });
                    solution = next;
                    free = tried;
                    break;
                }
                // Rounding alone keeps the criterion from falling: this is as near as it gets.
                Ok(_) if length < 1e-4 && local.decrement(&step) < 1e-6 => {
                    let variances = Variances::from_free(&list, &free, design.systems);
                    let gradient = local.scaled_gradient(&free);
                    return Ok(Optimum { variances, solution, gradient, derivatives, passes });
                }
                // Too far out even a sound design is singular to rounding: come back.
                Ok(_) | Err(_) => length *= 0.5,
            }
        }
    }
}

/// Where the main effect has no variance its regression is free: point it where adding variance helps most.
fn aim_regression(list: &[Parameter], free: &mut [f64], natural_gradient: &[f64]) {
    let at = |p: Parameter| list.iter().position(|&x| x == p);
    if let (Some(a), Some(d), Some(m)) =
        (at(Parameter::Variety), at(Parameter::Slope), at(Parameter::Covariance))
        && free[a] == 0.0
        && natural_gradient[d] > 0.0
    {
        free[m] = -natural_gradient[m] / (2.0 * natural_gradient[d]);
    }
}

/// The last step taken, and the gradient before it was taken.
struct Taken {
    gradient: Vec<f64>,
    step: Vec<f64>,
}

impl Taken {
    /// Where average information is less than the true curvature a parameter goes too far each time: its
    /// gradient turns, and by how much it must be stiffer can be read off the turn.
    fn stiffen(&self, now: &[f64], stiffness: &mut [f64]) {
        for (i, stiff) in stiffness.iter_mut().enumerate() {
            let (was, is) = (self.gradient[i], now[i]);
            let turned = self.step[i] * was < 0.0 && was * is < 0.0;
            *stiff = if turned { (*stiff * (1.0 - is / was)).min(1e6) } else { (0.5 * *stiff).max(1.0) };
        }
    }
}

/// Gradient and information in free parameters, and which of them may move.
struct Local {
    gradient: Vec<f64>,
    information: Vec<f64>,
    moving: Vec<bool>,
    /// Parameters that move on the log scale: those with a prior, and what they are compared with.
    logs: Vec<bool>,
}

impl Local {
    fn new(
        design: &Design,
        list: &[Parameter],
        free: &[f64],
        floor: &[f64],
        derivatives: &Derivatives,
        priors: &[VariancePrior],
    ) -> Local {
        let k = list.len();
        let jacobian = Variances::jacobian(list, free);
        let mut transposed = vec![0.0; k * k];
        for i in 0..k {
            for j in 0..k {
                transposed[j * k + i] = jacobian[i * k + j];
            }
        }
        let gradient = small::multiply_vector(&transposed, &derivatives.gradient);
        let mut information =
            small::multiply(&transposed, &small::multiply(&derivatives.information, &jacobian, k), k);
        // The slope variance is a·m² + d. Where d is held at its bound the gradient of that variance stays
        // above 0, and its curvature in m, 2a, is as much of the Hessian as the information.
        let at = |p: Parameter| list.iter().position(|&x| x == p);
        if let (Some(a), Some(d), Some(m)) =
            (at(Parameter::Variety), at(Parameter::Slope), at(Parameter::Covariance))
            && free[d] <= floor[d]
        {
            information[m * k + m] += 2.0 * free[a] * derivatives.gradient[d].max(0.0);
        }
        let mut local = Local { gradient, information, moving: vec![true; k], logs: vec![false; k] };
        local.take_logs(priors, list, free);
        for i in 0..k {
            let held = list[i].bounded() && !local.logs[i] && free[i] <= floor[i] && local.gradient[i] >= 0.0;
            let given = design.blocks.len() == 1 && list[i] == Parameter::Variety;
            local.moving[i] = !held && !given && local.information[i * k + i] > 0.0;
        }
        local
    }

    /// Puts parameters with a prior on the log scale, where the prior is a parabola, and adds it.
    fn take_logs(&mut self, priors: &[VariancePrior], list: &[Parameter], free: &[f64]) {
        let k = list.len();
        let distances: Vec<_> =
            priors.iter().filter_map(|p| p.distance(list, free).map(|d| (d, p.sd))).collect();
        for ((own, other, _), _) in &distances {
            self.logs[*own] = true;
            other.iter().for_each(|&i| self.logs[i] = true);
        }
        for i in (0..k).filter(|&i| self.logs[i]) {
            self.gradient[i] *= free[i];
            for j in 0..k {
                self.information[i * k + j] *= free[i];
                self.information[j * k + i] *= free[i];
            }
            // Second derivative of the change of scale, as far as it keeps the matrix positive.
            self.information[i * k + i] += self.gradient[i].max(0.0);
        }
        for ((own, other, x), sd) in distances {
            let slopes: Vec<(usize, f64)> =
                [(own, 1.0 / sd)].into_iter().chain(other.map(|i| (i, -1.0 / sd))).collect();
            for &(i, a) in &slopes {
                self.gradient[i] += 2.0 * x * a;
                for &(j, b) in &slopes {
                    self.information[i * k + j] += 2.0 * a * b;
                }
            }
        }
    }

    /// Parameters after a share of a step: on the log scale no more than [`LARGEST_LOG_STEP`] at a time.
    fn moved(&self, free: &[f64], floor: &[f64], step: &[f64], length: f64) -> Vec<f64> {
        let longest =
            step.iter().zip(&self.logs).filter(|(_, log)| **log).map(|(d, _)| d.abs()).fold(0.0, f64::max);
        let length = length * if longest > LARGEST_LOG_STEP { LARGEST_LOG_STEP / longest } else { 1.0 };
        (0..free.len())
            .map(|i| {
                if self.logs[i] {
                    free[i] * (length * step[i]).exp()
                } else {
                    (free[i] + length * step[i]).max(floor[i])
                }
            })
            .collect()
    }

    fn stiffen(&mut self, stiffness: &[f64]) {
        let k = stiffness.len();
        for (i, stiff) in stiffness.iter().enumerate() {
            self.information[i * k + i] *= stiff;
        }
    }

    /// The Newton step inside the bounds.
    fn step(&self, free: &[f64], floor: &[f64]) -> Vec<f64> {
        let k = free.len();
        let mut open = self.moving.clone();
        let mut step = vec![0.0; k];
        loop {
            let chosen: Vec<usize> = (0..k).filter(|&i| open[i]).collect();
            let matrix: Vec<f64> = chosen
                .iter()
                .flat_map(|&i| chosen.iter().map(move |&j| self.information[i * k + j]))
                .collect();
            let right: Vec<f64> = chosen
                .iter()
                .map(|&i| {
                    let fixed: f64 =
                        (0..k).filter(|&j| !open[j]).map(|j| self.information[i * k + j] * step[j]).sum();
                    -self.gradient[i] - fixed
                })
                .collect();
            for (&i, value) in chosen.iter().zip(small::solve_ridged(&matrix, &right)) {
                step[i] = value;
            }
            let outside = |i: &usize| !self.logs[*i] && free[*i] + step[*i] < floor[*i];
            let Some(worst) = chosen.iter().copied().find(outside) else {
                return step;
            };
            open[worst] = false;
            step[worst] = floor[worst] - free[worst];
        }
    }

    fn decrement(&self, step: &[f64]) -> f64 {
        -small::dot(&self.gradient, step)
    }

    fn scaled_gradient(&self, free: &[f64]) -> f64 {
        (0..free.len())
            .filter(|&i| self.moving[i])
            .map(|i| if self.logs[i] { self.gradient[i].abs() } else { (self.gradient[i] * free[i]).abs() })
            .fold(0.0, f64::max)
    }
}

/// Lower bounds of the free parameters: 0, but a residual without any known part stays above 0.
fn floors(design: &Design, list: &[Parameter], start: &Variances) -> Vec<f64> {
    list.iter()
        .map(|&p| match p {
            Parameter::Covariance => f64::NEG_INFINITY,
            Parameter::Residual(system) => {
                let mut here = design.rows.iter().filter(|r| r.system == system);
                if here.all(|r| r.known_variance > 0.0) {
                    0.0
                } else {
                    LEAST_RESIDUAL * start.residual[system]
                }
            }
            _ => 0.0,
        })
        .collect()
}

/// Starting variances from the spread of deviations from trial means, between and within varieties.
fn moment_start(design: &Design) -> Result<Variances, OptimiseError> {
    let rows = &design.rows;
    let groups = design.trials.max(1);
    let group = |trial: usize| if design.trials > 0 { trial } else { 0 };
    let (mut sum, mut count) = (vec![0.0; groups], vec![0.0; groups]);
    for r in rows {
        sum[group(r.trial)] += r.value;
        count[group(r.trial)] += 1.0;
    }
    let deviation = |r: &super::design::Row| r.value - sum[group(r.trial)] / count[group(r.trial)];
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
