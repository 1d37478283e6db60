//! One Newton step in free parameters: average information, brought nearer to the curvature, within bounds.
//!
//! Average information y′PKPKPy is y's part of the curvature 2·y′PKPKPy − tr(PKPK). For a single variance v
//! with sample value s it is s/v³, where the expected information 1/v² leads to s in one step; their ratio
//! is that of tr(PK) to y′PKPy. Information scaled so, row and column, is used far from the optimum, and is
//! average information at it. What is missing there is learnt from how the gradient changed over the
//! steps taken, as for nonlinear least squares (Dennis, Gay & Welsch 1981, ACM TOMS 7:348–368). It knows
//! neither rows nor blocks.

use super::derivatives::Derivatives;
use super::optimise::{Point, Search, VariancePrior};
use super::small;
use super::variances::{Pair, Parameter, Variances};

/// Longest step of a logarithm.
const LARGEST_LOG_STEP: f64 = 2.0;
/// Largest factor by which information is brought nearer to its expectation.
const LARGEST_SCALING: f64 = 10.0;

/// Least share of the information that must be left in every direction when what was learnt is added.
const LEAST_OF_INFORMATION: f64 = 0.05;

/// What the changes of the gradient say of the curvature beside the information.
#[derive(Debug, Clone, Default)]
pub(super) struct Learnt {
    /// k × k, empty before the first step.
    correction: Vec<f64>,
}

impl Learnt {
    /// Takes in that `step` changed the gradient by `change` where the information is now `information`.
    pub fn learn(&mut self, step: &[f64], change: &[f64], information: &[f64]) {
        let k = step.len();
        if self.correction.is_empty() {
            self.correction = vec![0.0; k * k];
        }
        let known = small::multiply_vector(information, step);
        let size = small::dot(&known, step);
        if size <= 0.0 || !size.is_finite() {
            return;
        }
        let wanted: Vec<f64> = change.iter().zip(&known).map(|(y, b)| y - b).collect();
        let before = small::dot(&small::multiply_vector(&self.correction, step), step);
        let sizing = if before == 0.0 { 1.0 } else { (small::dot(&wanted, step) / before).abs().min(1.0) };
        self.correction.iter_mut().for_each(|x| *x *= sizing);
        let had = small::multiply_vector(&self.correction, step);
        let lacking: Vec<f64> = wanted.iter().zip(&had).map(|(w, h)| w - h).collect();
        let along = small::dot(&lacking, step) / size;
        for i in 0..k {
            for j in 0..k {
                self.correction[i * k + j] +=
                    (lacking[i] * known[j] + known[i] * lacking[j] - along * known[i] * known[j]) / size;
            }
        }
    }
}

/// Which parameters move on the log scale: those with a prior, and what they are compared with.
fn logs(priors: &[VariancePrior], list: &[Parameter]) -> Vec<bool> {
    let mut logs = vec![false; list.len()];
    priors.iter().flat_map(|p| p.slopes(list)).for_each(|(i, _)| logs[i] = true);
    logs
}

/// Average information scaled towards the expected, but for parameters on the log scale, where it is
/// good on both sides.
fn nearer_expected(derivatives: &Derivatives, list: &[Parameter], logs: &[bool]) -> Vec<f64> {
    let k = list.len();
    let at = |p: Parameter| list.iter().position(|&x| x == p);
    let ratio = |i: usize| {
        let (trace, square) = (derivatives.traces[i], derivatives.traces[i] - derivatives.gradient[i]);
        if trace > 0.0 && square > 0.0 && !logs[i] {
            (trace / square).clamp(1.0 / LARGEST_SCALING, LARGEST_SCALING).sqrt()
        } else {
            1.0
        }
    };
    let factors: Vec<f64> = (0..k)
        .map(|i| match (list[i], at(Parameter::Slope)) {
            (Parameter::Covariance, Some(slope)) => (ratio(0) * ratio(slope)).sqrt(),
            _ => ratio(i),
        })
        .collect();
    (0..k * k).map(|ij| derivatives.information[ij] * factors[ij / k] * factors[ij % k]).collect()
}

/// Gradient and information in free parameters, and which of them may move.
#[derive(Debug, Clone)]
pub(super) struct Local {
    pub gradient: Vec<f64>,
    pub information: Vec<f64>,
    moving: Vec<bool>,
    /// Parameters that move on the log scale: those with a prior, and what they are compared with.
    pub logs: Vec<bool>,
}

impl Local {
    /// At a point of a search.
    pub fn new(search: &Search<'_>, point: &Point, derivatives: &Derivatives) -> Local {
        let Search { design, priors, list, bounds, .. } = search;
        let (free, k) = (&point.free, list.len());
        let jacobian = Variances::jacobian(list, free, point.leading);
        let transposed = small::transpose(&jacobian, k);
        let gradient = small::multiply_vector(&transposed, &derivatives.gradient);
        let with_prior = logs(priors, list);
        let scaled = nearer_expected(derivatives, list, &with_prior);
        let mut information = small::multiply(&transposed, &small::multiply(&scaled, &jacobian, k), k);
        // One variance is a·m² + d. Where d is held at its bound the gradient of that variance stays
        // above 0, and its curvature in m, 2a, is as much of the Hessian as the information.
        if let Some(Pair { lead, own, regression: m }) = point.leading.pair(list) {
            information[m * k + m] += 2.0 * free[lead] * derivatives.gradient[own].max(0.0);
        }
        let mut local = Local { gradient, information, moving: vec![true; k], logs: with_prior };
        local.take_logs(priors, list, free);
        for i in 0..k {
            let held =
                list[i].bounded() && !local.logs[i] && free[i] <= bounds[i] && local.gradient[i] >= 0.0;
            let given = design.blocks.len() == 1 && list[i] == Parameter::Variety;
            local.moving[i] = !held && !given && local.information[i * k + i] > 0.0;
        }
        local
    }

    /// Puts parameters with a prior on the log scale, where the prior is a parabola, and adds it.
    fn take_logs(&mut self, priors: &[VariancePrior], list: &[Parameter], free: &[f64]) {
        let k = list.len();
        let distances: Vec<_> =
            priors.iter().filter_map(|p| Some((p.distance(list, free)?, p.slopes(list)))).collect();
        for i in (0..k).filter(|&i| self.logs[i]) {
            self.gradient[i] *= free[i];
            for j in 0..k {
                self.information[i * k + j] *= free[i];
                self.information[j * k + i] *= free[i];
            }
            // Second derivative of the change of scale, as far as it keeps the matrix positive.
            self.information[i * k + i] += self.gradient[i].max(0.0);
        }
        for (x, slopes) in distances {
            for &(i, a) in &slopes {
                self.gradient[i] += 2.0 * x * a;
                for &(j, b) in &slopes {
                    self.information[i * k + j] += 2.0 * a * b;
                }
            }
        }
    }

    /// Parameters after a step: on the log scale no more than [`LARGEST_LOG_STEP`] at a time.
    pub fn moved(&self, free: &[f64], floor: &[f64], step: &[f64]) -> Vec<f64> {
        let longest =
            step.iter().zip(&self.logs).filter(|(_, log)| **log).map(|(d, _)| d.abs()).fold(0.0, f64::max);
        let length = if longest > LARGEST_LOG_STEP { LARGEST_LOG_STEP / longest } else { 1.0 };
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

    /// With each parameter's own information raised by a share, so that steps are shorter and go more
    /// nearly down the gradient (Levenberg 1944, Quarterly of Applied Mathematics 2:164–168).
    pub fn damped(&self, share: f64) -> Local {
        let mut damped = self.clone();
        let k = self.gradient.len();
        (0..k).for_each(|i| damped.information[i * k + i] *= 1.0 + share);
        damped
    }

    /// The step from one point to another, in the coordinates of the gradient.
    pub fn way(&self, from: &[f64], to: &[f64]) -> Vec<f64> {
        let steps = from.iter().zip(to).zip(&self.logs);
        steps.map(|((from, to), log)| if *log { (to / from).ln() } else { to - from }).collect()
    }

    /// Adds what was learnt of the curvature, unless the matrix would no longer be positive.
    pub fn add(&mut self, learnt: &Learnt) {
        if learnt.correction.is_empty() {
            return;
        }
        let k = self.gradient.len();
        let sum: Vec<f64> = self.information.iter().zip(&learnt.correction).map(|(x, y)| x + y).collect();
        let chosen: Vec<usize> = (0..k).filter(|&i| self.moving[i]).collect();
        let places = chosen.iter().flat_map(|&i| chosen.iter().map(move |&j| i * k + j));
        let mut matrix: Vec<f64> =
            places.map(|ij| sum[ij] - LEAST_OF_INFORMATION * self.information[ij]).collect();
        if small::cholesky(&mut matrix, chosen.len()).is_ok() {
            self.information = sum;
        }
    }

    /// Whether the step still to be made is nothing beside each variance.
    pub fn is_settled(&self, step: &[f64], scales: &[f64], share: f64) -> bool {
        let sizes = step.iter().zip(scales).zip(&self.logs);
        sizes.into_iter().all(|((step, scale), log)| step.abs() <= if *log { share } else { share * scale })
    }

    /// The Newton step inside the bounds.
    pub fn step(&self, free: &[f64], floor: &[f64]) -> Vec<f64> {
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

    /// What a whole step gains in the criterion, twice.
    pub fn decrement(&self, step: &[f64]) -> f64 {
        -small::dot(&self.gradient, step)
    }

    /// Largest gradient of a parameter that moves, times the parameter.
    pub fn scaled_gradient(&self, free: &[f64]) -> f64 {
        (0..free.len())
            .filter(|&i| self.moving[i])
            .map(|i| if self.logs[i] { self.gradient[i].abs() } else { (self.gradient[i] * free[i]).abs() })
            .fold(0.0, f64::max)
    }
}
