//! What differs from season to season and from field to field, with how vaguely its variances are known.
//!
//! For each draw, once: the variances of seasons and fields (log scale), of variety × season and of the
//! residual, log-normal about their modes as [`crate::mixed::variance_law`] says. Anew each season: the
//! season's and the field's departure, shared by all varieties, and the field's scale g, inverse gamma with
//! mean 1 and ν degrees of freedom, which makes a heavy tail that belongs to the trial and not to a variety
//! (χ² by the cube of Wilson & Hilferty 1931, Proc. Natl. Acad. Sci. 17:684–688). It knows no variety.

use super::model::ForecastModel;
use super::random::Points;

/// Dimensions of the fixed numbers.
const SEASON: u64 = 2;
const TRIAL: u64 = 3;
const SCALE: u64 = 7;
const SEASON_VARIANCE: u64 = 8;
const TRIAL_VARIANCE: u64 = 9;
const OWN_SEASON_VARIANCE: u64 = 10;
const RESIDUAL_VARIANCE: u64 = 11;
/// Least share of its mean that χ² is taken for: the cube is no good below.
const LEAST_CHI_SQUARED: f64 = 0.02;

/// Departures of N draws.
#[derive(Debug, Clone)]
pub struct Departures {
    /// The season's and the field's departure, log scale, shared by varieties.
    pub shared: Vec<f64>,
    /// Variance of that, log scale squared.
    pub shared_variance: Vec<f64>,
    /// Variance of variety × season, squared shares.
    season: Vec<f64>,
    /// Variance of the residual before the field's scale, squared shares.
    residual: Vec<f64>,
    /// The field's scale g.
    scale: Vec<f64>,
}

impl Departures {
    /// Departures in one system. `residual` is the variance of a variety in such a field, squared shares.
    pub fn new(model: &ForecastModel, system: usize, residual: f64, points: &Points) -> Departures {
        let level = &model.level.parameters;
        let (season_sd, trial_sd) = level.log_sds(system);
        let (own_season_sd, residual_sd) = model.own_log_sds(system);
        let season = vague(level.season_variance, season_sd, points, SEASON_VARIANCE);
        let trial = vague(level.trial_variance[system], trial_sd, points, TRIAL_VARIANCE);
        let (seasons, trials) = (points.normal(SEASON), points.normal(TRIAL));
        let shared = (0..points.count())
            .map(|n| season[n].sqrt() * seasons[n] + trial[n].sqrt() * trials[n])
            .collect();
        Departures {
            shared,
            shared_variance: season.iter().zip(&trial).map(|(s, t)| s + t).collect(),
            season: vague(model.fitted.variances.season, own_season_sd, points, OWN_SEASON_VARIANCE),
            residual: vague(residual, residual_sd, points, RESIDUAL_VARIANCE),
            scale: scales(model.fitted.tail, points),
        }
    }

    /// Number of draws N.
    pub fn count(&self) -> usize {
        self.scale.len()
    }

    /// Variance of a variety's own departure in draw `n`, squared shares: its interaction with the season,
    /// grown as its effects are, its residual and `plot`, the error of what is compared with it.
    pub fn own_variance(&self, n: usize, growth: f64, plot: f64) -> f64 {
        self.season[n] * growth * growth + self.scale[n] * (self.residual[n] + plot)
    }
}

/// A variance in each draw, log-normal about its mode.
fn vague(mode: f64, log_sd: f64, points: &Points, dimension: u64) -> Vec<f64> {
    points.normal(dimension).into_iter().map(|z| mode * (log_sd * z).exp()).collect()
}

/// Inverse gamma scales with mean 1.
fn scales(freedom: f64, points: &Points) -> Vec<f64> {
    let spread = 2.0 / (9.0 * freedom);
    let mut scales: Vec<f64> = points
        .normal(SCALE)
        .into_iter()
        .map(|z| 1.0 / (1.0 - spread + z * spread.sqrt()).powi(3).max(LEAST_CHI_SQUARED))
        .collect();
    let mean = scales.iter().sum::<f64>() / scales.len().max(1) as f64;
    scales.iter_mut().for_each(|g| *g /= mean);
    scales
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: χ² with 10 degrees of freedom, upper 5 % 18.307, lower 5 % 3.940 (NIST/SEMATECH e-Handbook,
    /// tables of critical values); the mean of ν/χ² is ν/(ν − 2).
    #[test]
    fn scales_are_those_of_the_published_chi_squared() {
        let mut g = scales(10.0, &Points::new(4000));
        g.sort_by(f64::total_cmp);
        for (share, chi) in [(0.05, 18.307), (0.95, 3.940)] {
            let want = 8.0 / chi;
            let got = g[(share * 4000.0) as usize];
            assert!((got / want - 1.0).abs() < 0.02, "{got} for {want}");
        }
        assert!((g.iter().sum::<f64>() / 4000.0 - 1.0).abs() < 1e-12);
    }
}
