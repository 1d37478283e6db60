//! How well the variances are known: the normal law of their free parameters about the optimum.
//!
//! Covariance = 2·H⁻¹, H the curvature of the criterion (−2 log likelihood, and −2 log prior where there is
//! one): average information on the scale that a parameter moves on (logarithm for a variance, itself for
//! the regression of slope on main effect), and the curvature of the priors. A variance on its bound is held
//! there. It knows no data.

use super::derivatives::Derivatives;
use super::optimise::VariancePrior;
use super::small;
use super::variances::{Leading, Parameter, Variances};
use serde::{Deserialize, Serialize};

/// Longest standard deviation of a logarithm: beyond it the parabola says nothing.
pub const LARGEST_LOG_SD: f64 = 1.0;

/// The law of the variances of a fit, k parameters in the order of [`super::variances::parameters`].
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct VarianceLaw {
    /// Covariance of the parameters, k × k, row-major: of the logarithm of a variance (for the slope, of the
    /// part that the main effect does not carry), of the regression of slope on main effect itself. Zero
    /// where a parameter is held at its bound.
    pub covariance: Vec<f64>,
}

impl VarianceLaw {
    /// The law about an optimum with its derivatives in natural parameters. `given` are parameters that are
    /// no part of the model.
    pub fn new(
        list: &[Parameter],
        variances: &Variances,
        derivatives: &Derivatives,
        priors: &[VariancePrior],
        given: &[Parameter],
    ) -> VarianceLaw {
        let k = list.len();
        let free = variances.free(list, Leading::Main);
        let scale = scale(list, &free);
        let jacobian = Variances::jacobian(list, &free, Leading::Main);
        let transposed = small::transpose(&jacobian, k);
        let gradient = small::multiply_vector(&transposed, &derivatives.gradient);
        let mut curvature =
            small::multiply(&transposed, &small::multiply(&derivatives.information, &jacobian, k), k);
        for i in 0..k {
            for j in 0..k {
                curvature[i * k + j] *= scale[i] * scale[j];
            }
            if list[i].bounded() {
                // Where a prior holds a variance up against the data, the data's slope bends the logarithm.
                curvature[i * k + i] += (gradient[i] * scale[i]).max(0.0);
            }
        }
        for prior in priors {
            let slopes = prior.slopes(list);
            for &(i, a) in &slopes {
                for &(j, b) in &slopes {
                    curvature[i * k + j] += 2.0 * a * b;
                }
            }
        }
        let moving: Vec<usize> = (0..k)
            .filter(|&i| !given.contains(&list[i]) && scale[i] > 0.0 && curvature[i * k + i] > 0.0)
            .collect();
        let part: Vec<f64> = moving
            .iter()
            .flat_map(|&i| moving.iter().map(move |&j| (i, j)))
            .map(|(i, j)| curvature[i * k + j])
            .collect();
        let inverse = small::inverse_ridged(&part, moving.len());
        let mut covariance = vec![0.0; k * k];
        for (a, &i) in moving.iter().enumerate() {
            for (b, &j) in moving.iter().enumerate() {
                covariance[i * k + j] = 2.0 * inverse[a * moving.len() + b];
            }
        }
        shorten(&mut covariance, list, variances);
        VarianceLaw { covariance }
    }

    /// Number of parameters.
    pub fn order(&self) -> usize {
        self.covariance.len().isqrt()
    }

    /// Standard deviation of the logarithm of a variance.
    pub fn log_sd(&self, list: &[Parameter], parameter: Parameter) -> f64 {
        let k = self.order();
        list.iter()
            .position(|&p| p == parameter)
            .filter(|&i| i < k)
            .map_or(0.0, |i| self.covariance[i * k + i].max(0.0).sqrt())
    }

    /// Covariance of the natural parameters (first order), k × k, row-major.
    pub fn natural(&self, list: &[Parameter], variances: &Variances) -> Vec<f64> {
        let k = list.len();
        let free = variances.free(list, Leading::Main);
        let scale = scale(list, &free);
        let mut covariance = self.covariance.clone();
        for i in 0..k {
            for j in 0..k {
                covariance[i * k + j] *= scale[i] * scale[j];
            }
        }
        let jacobian = Variances::jacobian(list, &free, Leading::Main);
        small::multiply(&small::multiply(&jacobian, &covariance, k), &small::transpose(&jacobian, k), k)
    }
}

/// ∂parameter/∂(what moves): itself for a logarithm, 1 for the regression.
fn scale(list: &[Parameter], free: &[f64]) -> Vec<f64> {
    list.iter().zip(free).map(|(p, &x)| if p.bounded() { x.max(0.0) } else { 1.0 }).collect()
}

/// Brings standard deviations down to the longest, correlations kept. That of the regression of slope on main effect,
/// which errors far above the yields leave wholly open, ends where the two would be one: beyond it the doubt of a
/// yield would know no bound.
fn shorten(covariance: &mut [f64], list: &[Parameter], variances: &Variances) {
    let k = list.len();
    let one = (variances.slope.max(0.0) / variances.variety.max(f64::MIN_POSITIVE)).sqrt();
    for i in 0..k {
        let sd = covariance[i * k + i].max(0.0).sqrt();
        let longest = if list[i].bounded() { LARGEST_LOG_SD } else { one };
        if sd > longest {
            for j in 0..k {
                covariance[i * k + j] *= longest / sd;
                covariance[j * k + i] *= longest / sd;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optimise::Expected;
    use crate::terms::Terms;
    use crate::variances::parameters;

    fn variances() -> Variances {
        Variances { variety: 2.0, site: 0.5, residual: vec![4.0], ..Variances::default() }
    }

    /// Law: with information diag(n/φ²)·(½·2) and no prior the log variance has variance 2/n.
    #[test]
    fn information_alone_gives_the_delta_method() {
        let list = parameters(Terms { site: true, ..Terms::default() }, 1);
        let phi = [2.0, 0.5, 4.0];
        let information: Vec<f64> =
            (0..9).map(|e| if e % 4 == 0 { 20.0 / (phi[e / 4] * phi[e / 4]) } else { 0.0 }).collect();
        let derivatives = Derivatives { gradient: vec![0.0; 3], traces: vec![0.0; 3], information };
        let law = VarianceLaw::new(&list, &variances(), &derivatives, &[], &[]);
        for p in &list {
            assert!((law.log_sd(&list, *p) - (2.0f64 / 20.0).sqrt()).abs() < 1e-9);
        }
        let natural = law.natural(&list, &variances());
        assert!((natural[4] - 0.25 * 0.1).abs() < 1e-9);
    }

    /// Law: without any information a variance has the spread of its prior; given ones have none.
    #[test]
    fn without_data_the_prior_is_the_law() {
        let list = parameters(Terms { site: true, ..Terms::default() }, 1);
        let derivatives =
            Derivatives { gradient: vec![0.0; 3], traces: vec![0.0; 3], information: vec![0.0; 9] };
        let prior = VariancePrior { parameter: Parameter::Site, expected: Expected::Value(0.5), sd: 0.7 };
        let law = VarianceLaw::new(&list, &variances(), &derivatives, &[prior], &[Parameter::Variety]);
        assert!((law.log_sd(&list, Parameter::Site) - 0.7).abs() < 1e-9);
        assert_eq!(law.log_sd(&list, Parameter::Variety), 0.0);
    }
}
