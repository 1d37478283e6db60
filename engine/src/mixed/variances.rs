//! The variances of a fit, and their order as a vector of parameters.
//!
//! Two parametrisations: *natural*, in which V is linear (intercept, slope, covariance, …), for gradient
//! and information; and *free*, in which intercept and slope are (a, m, d) with covariance a·m and slope
//! variance a·m² + d, so that "positive semidefinite" is just a ≥ 0 and d ≥ 0 and a correlation of ±1 is
//! an ordinary boundary (d = 0). It knows nothing of data.

use super::design::Effect;
use super::terms::Terms;
use serde::{Deserialize, Serialize};

/// Variances of the random effects and of the residual, in squared units of the response.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Variances {
    /// Main effect of a variety, at water 0.
    pub variety: f64,
    /// Slope on water.
    pub slope: f64,
    /// Covariance of main effect and slope.
    pub covariance: f64,
    /// Variety × site.
    pub site: f64,
    /// Variety × season.
    pub season: f64,
    /// Variety × system.
    pub system: f64,
    /// Residual, one for each system.
    pub residual: Vec<f64>,
}

/// One variance parameter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parameter {
    /// Main effect (free: a).
    Variety,
    /// Slope (free: d, the part that the main effect does not carry).
    Slope,
    /// Covariance (free: m, the regression of slope on main effect).
    Covariance,
    /// Variety × site.
    Site,
    /// Variety × season.
    Season,
    /// Variety × system.
    System,
    /// Residual of one system.
    Residual(usize),
}

/// The parameters of a model in their fixed order.
pub fn parameters(terms: Terms, systems: usize) -> Vec<Parameter> {
    let mut list = vec![Parameter::Variety];
    if terms.water {
        list.extend([Parameter::Slope, Parameter::Covariance]);
    }
    for (on, parameter) in
        [(terms.site, Parameter::Site), (terms.season, Parameter::Season), (terms.system, Parameter::System)]
    {
        if on {
            list.push(parameter);
        }
    }
    list.extend((0..systems).map(Parameter::Residual));
    list
}

impl Parameter {
    /// Whether 0 is its lower bound.
    pub fn bounded(self) -> bool {
        self != Parameter::Covariance
    }

    /// Whether it is the variance of an effect.
    pub fn belongs(self, effect: Effect) -> bool {
        matches!(
            (self, effect),
            (Parameter::Variety, Effect::Intercept)
                | (Parameter::Slope, Effect::Slope)
                | (Parameter::Site, Effect::Site(_))
                | (Parameter::Season, Effect::Season(_))
                | (Parameter::System, Effect::System(_))
        )
    }
}

impl Variances {
    /// Value of a natural parameter.
    pub fn natural(&self, parameter: Parameter) -> f64 {
        match parameter {
            Parameter::Variety => self.variety,
            Parameter::Slope => self.slope,
            Parameter::Covariance => self.covariance,
            Parameter::Site => self.site,
            Parameter::Season => self.season,
            Parameter::System => self.system,
            Parameter::Residual(system) => self.residual[system],
        }
    }

    /// Variance of an effect (the diagonal of G).
    pub fn of_effect(&self, effect: Effect) -> f64 {
        match effect {
            Effect::Intercept => self.variety,
            Effect::Slope => self.slope,
            Effect::Site(_) => self.site,
            Effect::Season(_) => self.season,
            Effect::System(_) => self.system,
        }
    }

    /// G·x for the effects of one block.
    pub fn times(&self, effects: &[Effect], x: &[f64]) -> Vec<f64> {
        let mut product: Vec<f64> =
            effects.iter().zip(x).map(|(&e, value)| self.of_effect(e) * value).collect();
        if effects.get(1) == Some(&Effect::Slope) {
            product[0] += self.covariance * x[1];
            product[1] += self.covariance * x[0];
        }
        product
    }

    /// The free parameters, in the order of `list`.
    pub fn free(&self, list: &[Parameter]) -> Vec<f64> {
        let regression = if self.variety > 0.0 { self.covariance / self.variety } else { 0.0 };
        list.iter()
            .map(|&p| match p {
                Parameter::Slope => (self.slope - regression * self.covariance).max(0.0),
                Parameter::Covariance => regression,
                other => self.natural(other),
            })
            .collect()
    }

    /// Variances from free parameters in the order of `list`.
    pub fn from_free(list: &[Parameter], free: &[f64], systems: usize) -> Variances {
        let mut v = Variances { residual: vec![0.0; systems], ..Variances::default() };
        let mut regression = 0.0;
        for (&p, &x) in list.iter().zip(free) {
            match p {
                Parameter::Variety => v.variety = x,
                Parameter::Slope => v.slope = x,
                Parameter::Covariance => regression = x,
                Parameter::Site => v.site = x,
                Parameter::Season => v.season = x,
                Parameter::System => v.system = x,
                Parameter::Residual(system) => v.residual[system] = x,
            }
        }
        v.covariance = v.variety * regression;
        v.slope += regression * v.covariance;
        v
    }

    /// ∂natural/∂free, row-major: one row a natural parameter, one column a free one.
    pub fn jacobian(list: &[Parameter], free: &[f64]) -> Vec<f64> {
        let k = list.len();
        let at = |p: Parameter| list.iter().position(|&x| x == p);
        let mut jacobian = vec![0.0; k * k];
        for i in 0..k {
            jacobian[i * k + i] = 1.0;
        }
        if let (Some(a), Some(d), Some(m)) =
            (at(Parameter::Variety), at(Parameter::Slope), at(Parameter::Covariance))
        {
            jacobian[m * k + a] = free[m];
            jacobian[m * k + m] = free[a];
            jacobian[d * k + a] = free[m] * free[m];
            jacobian[d * k + m] = 2.0 * free[a] * free[m];
        }
        jacobian
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn free_and_natural_agree_and_the_jacobian_is_the_derivative() {
        let terms = Terms { water: true, site: true, ..Terms::default() };
        let list = parameters(terms, 2);
        let free = vec![2.0, 0.5, -0.7, 1.1, 3.0, 4.0];
        let v = Variances::from_free(&list, &free, 2);
        assert!((v.slope - (2.0 * 0.49 + 0.5)).abs() < 1e-12 && (v.covariance + 1.4).abs() < 1e-12);
        for (back, want) in v.free(&list).iter().zip(&free) {
            assert!((back - want).abs() < 1e-12);
        }
        let jacobian = Variances::jacobian(&list, &free);
        for column in 0..free.len() {
            let shifted = |h: f64| {
                let mut moved = free.clone();
                moved[column] += h;
                Variances::from_free(&list, &moved, 2)
            };
            for (row, &p) in list.iter().enumerate() {
                let slope = (shifted(1e-6).natural(p) - shifted(-1e-6).natural(p)) / 2e-6;
                assert!((slope - jacobian[row * free.len() + column]).abs() < 1e-6);
            }
        }
    }
}
