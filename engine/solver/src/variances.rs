//! The variances of a fit, and their order as a vector of parameters.
//!
//! Two parametrisations: *natural*, in which V is linear (intercept, slope, covariance, …), for gradient
//! and information; and *free*, in which intercept and slope are (a, m, d) with covariance a·m and slope
//! variance a·m² + d, so that "positive semidefinite" is just a ≥ 0 and d ≥ 0 and a correlation of ±1 is
//! an ordinary boundary (d = 0). Where a is next to nothing m is not defined, so either of the two may be
//! the one that leads. It knows nothing of data.

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
    /// Main effect (free: a where it leads, else d).
    Variety,
    /// Slope (free: d, the part that the main effect does not carry, or a where it leads).
    Slope,
    /// Covariance (free: m, the regression of the other on the leading one).
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

/// Which of intercept and slope is a, the other being a·m² + d.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Leading {
    /// The main effect.
    #[default]
    Main,
    /// The slope.
    Slope,
}

/// Places of a, d and m in a list of parameters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pair {
    /// Place of a.
    pub lead: usize,
    /// Place of d.
    pub own: usize,
    /// Place of m.
    pub regression: usize,
}

impl Leading {
    /// Where a, d and m stand in `list`; `None` in a model without a slope.
    pub fn pair(self, list: &[Parameter]) -> Option<Pair> {
        let at = |p: Parameter| list.iter().position(|&x| x == p);
        let (main, slope) = (at(Parameter::Variety)?, at(Parameter::Slope)?);
        let (lead, own) = if self == Leading::Main { (main, slope) } else { (slope, main) };
        Some(Pair { lead, own, regression: at(Parameter::Covariance)? })
    }
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

    /// (∂G/∂φ)·x for the effects of one block.
    pub fn derivative_of_g(self, effects: &[Effect], x: &[f64]) -> Vec<f64> {
        effects
            .iter()
            .enumerate()
            .map(|(c, &effect)| match (self, effect) {
                (Parameter::Covariance, Effect::Intercept) => x[1],
                (Parameter::Covariance, Effect::Slope) => x[0],
                (_, effect) if self.belongs(effect) => x[c],
                _ => 0.0,
            })
            .collect()
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
    pub fn free(&self, list: &[Parameter], leading: Leading) -> Vec<f64> {
        let mut free: Vec<f64> = list.iter().map(|&p| self.natural(p)).collect();
        if let Some(Pair { lead, own, regression }) = leading.pair(list) {
            let m = if free[lead] > 0.0 { self.covariance / free[lead] } else { 0.0 };
            let left = free[own] - m * self.covariance;
            // What a subtraction leaves by rounding alone is nothing.
            free[own] = if left > 1e-14 * free[own] { left } else { 0.0 };
            free[regression] = m;
        }
        free
    }

    /// Variances from free parameters in the order of `list`.
    pub fn from_free(list: &[Parameter], free: &[f64], systems: usize, leading: Leading) -> Variances {
        let mut natural = free.to_vec();
        if let Some(Pair { lead, own, regression }) = leading.pair(list) {
            natural[regression] = free[lead] * free[regression];
            natural[own] += free[regression] * natural[regression];
        }
        let mut v = Variances { residual: vec![0.0; systems], ..Variances::default() };
        for (&p, &x) in list.iter().zip(&natural) {
            match p {
                Parameter::Variety => v.variety = x,
                Parameter::Slope => v.slope = x,
                Parameter::Covariance => v.covariance = x,
                Parameter::Site => v.site = x,
                Parameter::Season => v.season = x,
                Parameter::System => v.system = x,
                Parameter::Residual(system) => v.residual[system] = x,
            }
        }
        v
    }

    /// ∂natural/∂free, row-major: one row a natural parameter, one column a free one.
    pub fn jacobian(list: &[Parameter], free: &[f64], leading: Leading) -> Vec<f64> {
        let k = list.len();
        let mut jacobian = vec![0.0; k * k];
        for i in 0..k {
            jacobian[i * k + i] = 1.0;
        }
        if let Some(Pair { lead, own, regression: m }) = leading.pair(list) {
            jacobian[m * k + lead] = free[m];
            jacobian[m * k + m] = free[lead];
            jacobian[own * k + lead] = free[m] * free[m];
            jacobian[own * k + m] = 2.0 * free[lead] * free[m];
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
        let v = Variances::from_free(&list, &free, 2, Leading::Main);
        assert!((v.slope - (2.0 * 0.49 + 0.5)).abs() < 1e-12 && (v.covariance + 1.4).abs() < 1e-12);
        let w = Variances::from_free(&list, &free, 2, Leading::Slope);
        assert!((w.variety - (0.5 * 0.49 + 2.0)).abs() < 1e-12 && (w.covariance + 0.35).abs() < 1e-12);
        for (v, leading) in [(v, Leading::Main), (w, Leading::Slope)] {
            for (back, want) in v.free(&list, leading).iter().zip(&free) {
                assert!((back - want).abs() < 1e-12);
            }
            let jacobian = Variances::jacobian(&list, &free, leading);
            for column in 0..free.len() {
                let shifted = |h: f64| {
                    let mut moved = free.clone();
                    moved[column] += h;
                    Variances::from_free(&list, &moved, 2, leading)
                };
                for (row, &p) in list.iter().enumerate() {
                    let slope = (shifted(1e-6).natural(p) - shifted(-1e-6).natural(p)) / 2e-6;
                    assert!((slope - jacobian[row * free.len() + column]).abs() < 1e-6);
                }
            }
        }
    }
}
