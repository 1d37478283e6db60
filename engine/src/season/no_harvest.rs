//! The chance that drought leaves a crop not worth cutting, as a logistic function of water.
//!
//! logit p(w) = a_s + b·w, w standardised within the system. Priors: p at w = 0 is Beta(½, 9½) in each
//! system, b is N(−1, 1) below 0. Shown is the posterior mean of p(w), by the trapezoid rule over b and, given b,
//! over each a_s: a curve through the one best a and b says too much of the driest years, in which few trials
//! stood. With no lost crop in the record the priors stand, and whoever shows the number says so. It knows nothing
//! of varieties: one event takes them all.

/// Prior failures and harvests at the mean water.
const PRIOR_FAILED: f64 = 0.5;
const PRIOR_HARVESTED: f64 = 9.5;
/// Prior mean and variance of the slope.
const PRIOR_SLOPE: (f64, f64) = (-1.0, 1.0);

/// A trial as this model sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// System index.
    pub system: usize,
    /// Standardised water.
    pub water: f64,
    /// Whether the crop was lost to drought.
    pub failed: bool,
}

/// Slopes that are averaged over, from 0 down to the prior's mean less four standard deviations.
const SLOPES: usize = 26;
const SLOPE_STEP: f64 = 0.2;
/// Intercepts that are averaged over, in standard deviations about their mode. The lower tail is the longer one.
const INTERCEPT_FROM: f64 = -12.0;
const INTERCEPT_STEP: f64 = 0.7;
const INTERCEPTS: usize = 26;
/// Standardised water at which chances are kept, the driest and how far apart; between them the logit is a line.
const DRIEST: f64 = -5.0;
const WATER_STEP: f64 = 0.25;
const WATERS: usize = 41;
/// Weight below which a slope or an intercept is left out of a mean.
const NO_WEIGHT: f64 = 1e-7;
/// Most steps to a mode, and the least curvature that a step is divided by.
const NEWTON_STEPS: usize = 50;
const LEAST_CURVATURE: f64 = 1e-6;
/// Chances multiplied before a logarithm is taken: so many are still far from the smallest number.
const MULTIPLIED: usize = 16;

/// The chance of no harvest.
#[derive(Debug, Clone, PartialEq)]
pub struct NoHarvest {
    /// For each system the logit of the chance at each of the waters.
    logits: Vec<Vec<f64>>,
    /// Crops lost to drought that it was learnt from.
    pub lost: usize,
}

impl NoHarvest {
    /// Learns from the outcomes of trials.
    pub fn learn(outcomes: &[Outcome], systems: usize) -> NoHarvest {
        let laws: Vec<Vec<Conditional>> = (0..systems).map(|s| given_slopes(outcomes, s)).collect();
        let weights = slope_weights(&laws);
        NoHarvest {
            logits: laws.iter().map(|of| logits(&weights, of)).collect(),
            lost: outcomes.iter().filter(|o| o.failed).count(),
        }
    }

    /// Chance of no harvest in a system at standardised water, 0–1. Beyond five standard deviations it is that at five.
    pub fn chance(&self, system: usize, water: f64) -> f64 {
        let logits = &self.logits[system];
        let place = ((water - DRIEST) / WATER_STEP).clamp(0.0, (WATERS - 1) as f64);
        let below = (place as usize).min(WATERS - 2);
        let part = place - below as f64;
        logistic(logits[below] * (1.0 - part) + logits[below + 1] * part)
    }
}

fn slope(k: usize) -> f64 {
    -(k as f64) * SLOPE_STEP
}

/// The intercepts of one system given a slope.
struct Conditional {
    /// Each with its weight; weights add up to one.
    intercepts: Vec<(f64, f64)>,
    /// Logarithm of what the weights added up to before, for the slope's own weight.
    log_total: f64,
}

/// The intercepts of a system given each of the slopes.
fn given_slopes(outcomes: &[Outcome], system: usize) -> Vec<Conditional> {
    let of_system: Vec<Outcome> = outcomes.iter().filter(|o| o.system == system).copied().collect();
    let mut mode = (PRIOR_FAILED / PRIOR_HARVESTED).ln();
    let conditional = |k: usize| {
        let (found, curvature) = best_intercept(&of_system, slope(k), mode);
        mode = found;
        let step = INTERCEPT_STEP / curvature.sqrt();
        let from = mode + INTERCEPT_FROM / curvature.sqrt();
        let at = |place: usize| from + place as f64 * step;
        let logs: Vec<f64> =
            (0..INTERCEPTS).map(|place| log_density(&of_system, at(place), slope(k))).collect();
        let (weights, log_sum) = normalised(&logs);
        let intercepts = weights.into_iter().enumerate().map(|(place, weight)| (at(place), weight)).collect();
        Conditional { intercepts, log_total: log_sum + step.ln() }
    };
    (0..SLOPES).map(conditional).collect()
}

/// The mode of the intercept given the slope, and the curvature there, by damped Newton steps.
fn best_intercept(outcomes: &[Outcome], slope: f64, near: f64) -> (f64, f64) {
    let prior = PRIOR_FAILED + PRIOR_HARVESTED;
    let (mut mode, mut curvature) = (near, LEAST_CURVATURE);
    for _ in 0..NEWTON_STEPS {
        let p = logistic(mode);
        let mut gradient = PRIOR_FAILED - prior * p;
        curvature = prior * p * (1.0 - p);
        for o in outcomes {
            let p = logistic(mode + slope * o.water);
            gradient += f64::from(u8::from(o.failed)) - p;
            curvature += p * (1.0 - p);
        }
        curvature = curvature.max(LEAST_CURVATURE);
        let step = (gradient / curvature).clamp(-1.0, 1.0);
        mode += step;
        // What is left is small beside what is averaged over.
        if step.abs() * curvature.sqrt() < 0.05 {
            break;
        }
    }
    (mode, curvature)
}

/// Logarithm of a system's prior and likelihood at an intercept and a slope, but for a constant.
fn log_density(outcomes: &[Outcome], intercept: f64, slope: f64) -> f64 {
    let prior = PRIOR_FAILED * logistic(intercept).ln() + PRIOR_HARVESTED * logistic(-intercept).ln();
    let chance = |o: &Outcome| {
        let logit = intercept + slope * o.water;
        logistic(if o.failed { logit } else { -logit })
    };
    prior + outcomes.chunks(MULTIPLIED).map(|of| of.iter().map(chance).product::<f64>().ln()).sum::<f64>()
}

/// Posterior weights of the slopes, which add up to one.
fn slope_weights(laws: &[Vec<Conditional>]) -> Vec<f64> {
    let log = |k: usize| {
        let prior = -0.5 * (slope(k) - PRIOR_SLOPE.0).powi(2) / PRIOR_SLOPE.1;
        // The trapezoid rule takes half of the ends.
        let width = if k == 0 || k == SLOPES - 1 { 0.5f64.ln() } else { 0.0 };
        prior + width + laws.iter().map(|of| of[k].log_total).sum::<f64>()
    };
    normalised(&(0..SLOPES).map(log).collect::<Vec<_>>()).0
}

/// Weights that add up to one from their logarithms, and the logarithm of what they added up to.
fn normalised(logs: &[f64]) -> (Vec<f64>, f64) {
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if top == f64::NEG_INFINITY {
        // Beyond what numbers hold: nowhere is it likely, and its sum says so.
        return (vec![1.0 / logs.len() as f64; logs.len()], top);
    }
    let raw: Vec<f64> = logs.iter().map(|log| (log - top).exp()).collect();
    let total: f64 = raw.iter().sum();
    (raw.iter().map(|weight| weight / total).collect(), top + total.ln())
}

/// The logit of a system's mean chance at each of the waters.
fn logits(weights: &[f64], laws: &[Conditional]) -> Vec<f64> {
    let counts = |weight: f64| weight > NO_WEIGHT;
    let given = |k: usize, water: f64| -> f64 {
        let intercepts = laws[k].intercepts.iter().filter(|(_, weight)| counts(*weight));
        intercepts.map(|(a, weight)| weight * logistic(a + slope(k) * water)).sum()
    };
    let chance = |water: f64| -> f64 {
        let slopes = weights.iter().enumerate().filter(|(_, weight)| counts(**weight));
        slopes.map(|(k, weight)| weight * given(k, water)).sum()
    };
    (0..WATERS)
        .map(|place| {
            let chance = chance(DRIEST + place as f64 * WATER_STEP);
            (chance / (1.0 - chance)).ln()
        })
        .collect()
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_data_the_prior_stands() {
        let prior = NoHarvest::learn(&[], 1);
        assert!((prior.chance(0, 0.0) - 0.05).abs() < 1e-4, "{}", prior.chance(0, 0.0));
        // In a dry year what is not known of the slope pulls the chance towards a half.
        assert!(prior.chance(0, -2.0) > logistic((0.05f64 / 0.95).ln() + 2.0));
        assert!(prior.chance(0, -2.0) > prior.chance(0, 0.0));
    }

    /// Law: where all trials stood at w = 0 it is the conjugate mean, (½ + lost)/(10 + trials).
    #[test]
    fn at_the_mean_water_it_is_the_conjugate_mean() {
        for (lost, trials) in [(0, 30), (4, 30), (25, 30), (40, 1_500)] {
            let outcomes: Vec<Outcome> =
                (0..trials).map(|k| Outcome { system: 0, water: 0.0, failed: k < lost }).collect();
            let learnt = NoHarvest::learn(&outcomes, 1);
            let exact = (0.5 + f64::from(lost)) / (10.0 + f64::from(trials));
            assert!(
                (learnt.chance(0, 0.0) - exact).abs() < 2e-4,
                "{lost} of {trials}: {}",
                learnt.chance(0, 0.0)
            );
            assert_eq!(learnt.lost, lost as usize);
        }
    }

    /// Source: the same integrals by `scipy.integrate.dblquad`, tolerances of 1e-10, for six trials.
    #[test]
    fn means_are_those_of_adaptive_quadrature() {
        let outcome = |water: f64, failed: bool| Outcome { system: 0, water, failed };
        let outcomes = [
            outcome(-1.8, true),
            outcome(-1.2, true),
            outcome(-1.0, false),
            outcome(-0.3, false),
            outcome(0.2, false),
            outcome(1.4, false),
        ];
        let learnt = NoHarvest::learn(&outcomes, 1);
        for (water, expected) in [(-2.0, 0.712_222), (-1.0, 0.349_510), (0.0, 0.085_488), (1.0, 0.021_601)] {
            assert!(
                (learnt.chance(0, water) - expected).abs() < 5e-4,
                "{water}: {}",
                learnt.chance(0, water)
            );
        }
    }

    #[test]
    fn water_beyond_belief_gives_a_chance_all_the_same() {
        for water in [1e6, -1e6, 1e300] {
            let outcomes: Vec<Outcome> =
                (0..20).map(|k| Outcome { system: 0, water, failed: k % 2 == 0 }).collect();
            let chance = NoHarvest::learn(&outcomes, 2).chance(0, water);
            assert!((0.0..=1.0).contains(&chance), "{water}: {chance}");
        }
    }

    #[test]
    fn more_water_never_raises_the_chance_even_when_the_record_says_so() {
        let outcomes: Vec<Outcome> = (0..40)
            .map(|k| Outcome { system: 0, water: f64::from(k) / 10.0 - 2.0, failed: k > 30 })
            .collect();
        let learnt = NoHarvest::learn(&outcomes, 1);
        assert!(learnt.chance(0, 2.0) <= learnt.chance(0, -2.0) + 1e-12);
    }
}
