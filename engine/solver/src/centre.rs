//! The centre of the law of the variances: the mean on the scale they move on, to which the mode is only near.
//!
//! A variance component has a long tail towards nothing and a residual one towards more, so that the mode gives
//! varieties too much and scatter too little, and what is predicted from it is too sure. With F = half the
//! criterion and priors, in coordinates z in which F has the identity as curvature at its minimum, the mean of z_i
//! is −½·Σ_k ∂³F/∂z_i∂z_k² to first order (Tierney & Kadane 1986, J. Am. Stat. Assoc. 81:82–86; Lindley 1980).
//! The third derivatives are differences of the gradient one standard deviation to either side. It knows no data.

use super::arrow::{self, Likelihood};
use super::derivatives::derivatives;
use super::design::Design;
use super::optimise::{Optimum, VariancePrior};
use super::small;
use super::variance_law::{VarianceLaw, scale};
use super::variances::{Leading, Parameter, Variances, parameters};

/// Longest way from mode to mean, in standard deviations: beyond it the first order says nothing.
const LONGEST: f64 = 1.0;

/// Moves an optimum to the centre of its law: variances, solution and derivatives there; `passes` as it was.
/// Where a step to the side cannot be solved, its direction is left as it is.
pub fn centred(
    design: &Design,
    likelihood: Likelihood,
    priors: &[VariancePrior],
    optimum: Optimum,
    law: &VarianceLaw,
) -> Optimum {
    let list = parameters(design.terms, design.systems);
    let k = list.len();
    let free = optimum.variances.free(&list, Leading::Main);
    let root = root(&law.covariance, k);
    let moved = |way: &[f64]| -> Variances {
        let steps = small::multiply_vector(&root, way);
        let there: Vec<f64> = list
            .iter()
            .zip(free.iter().zip(steps))
            .map(|(p, (x, step))| if p.bounded() { x * step.exp() } else { x + step })
            .collect();
        Variances::from_free(&list, &there, design.systems, Leading::Main)
    };
    let slope_at = |way: &[f64]| -> Option<Vec<f64>> {
        let variances = moved(way);
        let solution = arrow::solve(design, &variances, likelihood).ok()?;
        let natural = derivatives(design, &solution, likelihood).gradient;
        Some(half_slope(&list, &variances, &natural, priors, &root))
    };
    let mut centre = vec![0.0; k];
    for direction in (0..k).filter(|&i| root[i * k + i] > 0.0) {
        let side = |step: f64| {
            let mut way = vec![0.0; k];
            way[direction] = step;
            slope_at(&way)
        };
        let (Some(up), Some(down)) = (side(1.0), side(-1.0)) else { continue };
        for (i, x) in centre.iter_mut().enumerate() {
            *x -= 0.5 * (up[i] + down[i]);
        }
    }
    let length = small::dot(&centre, &centre).sqrt();
    if length > LONGEST {
        centre.iter_mut().for_each(|x| *x *= LONGEST / length);
    }
    let variances = moved(&centre);
    match arrow::solve(design, &variances, likelihood) {
        Ok(solution) => {
            let derivatives = derivatives(design, &solution, likelihood);
            Optimum { variances, solution, derivatives, ..optimum }
        }
        Err(_) => optimum,
    }
}

/// Gradient of half the criterion and priors along the columns of `root`.
fn half_slope(
    list: &[Parameter],
    variances: &Variances,
    natural: &[f64],
    priors: &[VariancePrior],
    root: &[f64],
) -> Vec<f64> {
    let k = list.len();
    let free = variances.free(list, Leading::Main);
    let transposed = small::transpose(&Variances::jacobian(list, &free, Leading::Main), k);
    let mut slope: Vec<f64> = small::multiply_vector(&transposed, natural)
        .iter()
        .zip(scale(list, &free))
        .map(|(x, scale)| 0.5 * x * scale)
        .collect();
    for prior in priors {
        let distance = prior.distance(list, &free).filter(|x| x.is_finite()).unwrap_or(0.0);
        prior.slopes(list).into_iter().for_each(|(i, x)| slope[i] += distance * x);
    }
    small::multiply_vector(&small::transpose(root, k), &slope)
}

/// Lower factor of a covariance with zeros where a parameter is held.
fn root(covariance: &[f64], k: usize) -> Vec<f64> {
    let mut root = vec![0.0; k * k];
    for i in 0..k {
        for j in 0..=i {
            let before = small::dot(&root[i * k..i * k + j], &root[j * k..j * k + j]);
            let left = covariance.get(i * k + j).unwrap_or(&0.0) - before;
            let pivot = root[j * k + j];
            root[i * k + j] = match i == j {
                true => left.max(0.0).sqrt(),
                false if pivot > 0.0 => left / pivot,
                false => 0.0,
            };
        }
    }
    root
}
