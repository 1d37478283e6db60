//! The chance that drought leaves a crop not worth cutting, as a logistic function of water.
//!
//! logit p(w) = a_s + b·w, w standardised within the system, over its lost crops as well: without them, the driest,
//! a standard deviation of water would be too short and the prior of b too steep. Priors: p at w = 0 is Beta(½, 9½) in each
//! system, b is N(−1, 1) below 0. The posterior mode is found by Newton steps on the logit, where the mode of
//! a Beta law is its mean: at w = 0 the chance needs no more. In drier seasons it is the mean over what w adds
//! to the variance v of η = a + b·w, σ(η/√(1 + πv/8)) (MacKay 1992, Neural Comput. 4:720–736); in wetter ones,
//! where b's bound makes that too much, the mode. With no lost crop in the record the priors stand, and whoever shows the number says so. It knows nothing of varieties: one
//! event takes them all.

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
    /// Water, on any scale that is the same within the system.
    pub water: f64,
    /// Whether the crop was lost to drought.
    pub failed: bool,
}

/// The chance of no harvest.
#[derive(Debug, Clone, PartialEq)]
pub struct NoHarvest {
    /// Mean and standard deviation of each system's water, on the scale that outcomes are given on.
    scale: Vec<(f64, f64)>,
    intercepts: Vec<f64>,
    slope: f64,
    /// Covariance of each intercept with the slope.
    crossed: Vec<f64>,
    slope_variance: f64,
    /// Crops lost to drought that it was learnt from.
    pub lost: usize,
}

impl NoHarvest {
    /// Learns from the outcomes of trials.
    pub fn learn(outcomes: &[Outcome], systems: usize) -> NoHarvest {
        let scale: Vec<(f64, f64)> = (0..systems).map(|s| scale_of(outcomes, s)).collect();
        let standard = |o: &Outcome| Outcome { water: standardised(scale[o.system], o.water), ..*o };
        let outcomes: &[Outcome] = &outcomes.iter().map(standard).collect::<Vec<_>>();
        let mut intercepts = vec![(PRIOR_FAILED / PRIOR_HARVESTED).ln(); systems];
        let mut slope = PRIOR_SLOPE.0;
        for _ in 0..50 {
            let change = newton(outcomes, &mut intercepts, &mut slope);
            if change < 1e-12 {
                break;
            }
        }
        let (crossed, slope_variance) = errors(&Curvature::at(outcomes, &intercepts, slope));
        NoHarvest {
            scale,
            intercepts,
            slope,
            crossed,
            slope_variance,
            lost: outcomes.iter().filter(|o| o.failed).count(),
        }
    }

    /// Chance of no harvest in a system at water on the scale of the outcomes, 0–1.
    pub fn chance(&self, system: usize, water: f64) -> f64 {
        let water = standardised(self.scale[system], water);
        let dryness = water.min(0.0);
        let added = 2.0 * dryness * self.crossed[system] + dryness * dryness * self.slope_variance;
        let shrink = (1.0 + std::f64::consts::PI * added.max(0.0) / 8.0).sqrt();
        logistic((self.intercepts[system] + self.slope * water) / shrink)
    }
}

/// Mean and standard deviation of a system's water; 0 and 1 where it does not spread.
fn scale_of(outcomes: &[Outcome], system: usize) -> (f64, f64) {
    let waters: Vec<f64> = outcomes.iter().filter(|o| o.system == system).map(|o| o.water).collect();
    let mean = waters.iter().sum::<f64>() / waters.len() as f64;
    let squares = waters.iter().map(|water| (water - mean).powi(2)).sum::<f64>();
    let sd = (squares / (waters.len() as f64 - 1.0)).sqrt();
    if waters.len() > 1 && sd > 0.0 && sd.is_finite() { (mean, sd) } else { (0.0, 1.0) }
}

fn standardised((mean, sd): (f64, f64), water: f64) -> f64 {
    (water - mean) / sd
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// Gradient and Hessian (its negative) of the log posterior: an arrow, intercepts against the slope.
struct Curvature {
    gradient: Vec<f64>,
    own: Vec<f64>,
    cross: Vec<f64>,
    slope_gradient: f64,
    slope: f64,
}

impl Curvature {
    fn at(outcomes: &[Outcome], intercepts: &[f64], slope: f64) -> Curvature {
        let prior = PRIOR_FAILED + PRIOR_HARVESTED;
        let chances: Vec<f64> = intercepts.iter().map(|a| logistic(*a)).collect();
        let mut c = Curvature {
            gradient: chances.iter().map(|p| PRIOR_FAILED - prior * p).collect(),
            own: chances.iter().map(|p| prior * p * (1.0 - p)).collect(),
            cross: vec![0.0; intercepts.len()],
            slope_gradient: -(slope - PRIOR_SLOPE.0) / PRIOR_SLOPE.1,
            slope: 1.0 / PRIOR_SLOPE.1,
        };
        for o in outcomes {
            let p = logistic(intercepts[o.system] + slope * o.water);
            let rest = f64::from(u8::from(o.failed)) - p;
            c.gradient[o.system] += rest;
            c.own[o.system] += p * (1.0 - p);
            c.cross[o.system] += p * (1.0 - p) * o.water;
            c.slope_gradient += rest * o.water;
            c.slope += p * (1.0 - p) * o.water * o.water;
        }
        c
    }
}

/// Covariance of each intercept with the slope, and the slope's variance, from the inverse of the arrow.
fn errors(c: &Curvature) -> (Vec<f64>, f64) {
    let taken: f64 = c.cross.iter().zip(&c.own).map(|(x, own)| x * x / own).sum();
    let slope = 1.0 / (c.slope - taken);
    (c.cross.iter().zip(&c.own).map(|(x, own)| -x / own * slope).collect(), slope)
}

/// One damped Newton step; the intercepts are eliminated one by one.
fn newton(outcomes: &[Outcome], intercepts: &mut [f64], slope: &mut f64) -> f64 {
    let Curvature { gradient, own: curvature, cross, mut slope_gradient, slope: mut slope_curvature } =
        Curvature::at(outcomes, intercepts, *slope);
    let systems = intercepts.len();
    for s in 0..systems {
        slope_gradient -= cross[s] * gradient[s] / curvature[s];
        slope_curvature -= cross[s] * cross[s] / curvature[s];
    }
    let limited = |step: f64| step.clamp(-1.0, 1.0);
    // The prior ends at 0: a slope that would turn positive stops there.
    let slope_step = limited(slope_gradient / slope_curvature).min(-*slope);
    *slope += slope_step;
    let mut change = slope_step.abs();
    for s in 0..systems {
        let step = limited((gradient[s] - cross[s] * slope_step) / curvature[s]);
        intercepts[s] += step;
        change += step.abs();
    }
    change
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_data_the_prior_stands() {
        let prior = NoHarvest::learn(&[], 1);
        assert!((prior.chance(0, 0.0) - 0.05).abs() < 1e-9);
        // In a dry year what is not known of the slope pulls the chance towards a half.
        assert!(prior.chance(0, -2.0) > logistic((0.05f64 / 0.95).ln() + 2.0));
        assert!(prior.chance(0, -2.0) > prior.chance(0, 0.0));
    }

    /// Law: at w = 0 only, the mode is the conjugate one, (½ + lost)/(10 + trials).
    #[test]
    fn at_the_mean_water_it_is_the_conjugate_mode() {
        let outcomes: Vec<Outcome> =
            (0..30).map(|k| Outcome { system: 0, water: 0.0, failed: k < 4 }).collect();
        let learnt = NoHarvest::learn(&outcomes, 1);
        assert!((learnt.chance(0, 0.0) - 4.5 / 40.0).abs() < 1e-9);
        assert_eq!(learnt.lost, 4);
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
