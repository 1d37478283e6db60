//! What differs from season to season and from field to field, with how vaguely its variances are known.
//!
//! For each draw, once: the variances of seasons and fields (log scale), of variety × season and of the
//! residual, log-normal about their modes as [`crate::mixed::variance_law`] says. Anew each season: the
//! season's and the field's departure, shared by all varieties, and the field's scale g, inverse gamma with
//! mean 1 and ν degrees of freedom, which makes a heavy tail that belongs to the trial and not to a variety
//! (χ² by the cube of Wilson & Hilferty 1931, Proc. Natl. Acad. Sci. 17:684–688). It knows no variety.

use super::model::ForecastModel;
use super::random::Points;
use super::season_draws::dimension;
use crate::season::level::share_of;

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
    /// Variance of seasons and of a trial about them, log scale squared.
    level: (Vec<f64>, Vec<f64>),
    freedom: f64,
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
        let level = (
            vague(level.season_variance, season_sd, points, SEASON_VARIANCE),
            vague(level.trial_variance[system], trial_sd, points, TRIAL_VARIANCE),
        );
        let freedom = model.fitted.tail;
        Departures {
            shared: shared(&level, points, 0),
            level,
            freedom,
            season: vague(model.fitted.variances.season, own_season_sd, points, OWN_SEASON_VARIANCE),
            residual: vague(residual, residual_sd, points, RESIDUAL_VARIANCE),
            scale: scales(freedom, points, 0),
        }
    }

    /// Another year (the first is 0): the same variances, other seasons and fields.
    pub fn in_year(&self, points: &Points, year: u64) -> Departures {
        Departures {
            shared: shared(&self.level, points, year),
            scale: scales(self.freedom, points, year),
            ..self.clone()
        }
    }

    /// The same where the season is one of the trials, so that what varieties do in it is in their law already.
    pub fn in_a_season_seen(self) -> Departures {
        Departures { season: vec![0.0; self.count()], ..self }
    }

    /// The same with the shared departures averaged out, in the mean of yields.
    pub fn averaged(&self) -> Departures {
        let lift = (self.shared.iter().map(|s| share_of(*s)).sum::<f64>() / self.count() as f64).ln();
        Departures { shared: vec![lift; self.count()], ..self.clone() }
    }

    /// What the shared departures multiply a mean yield by, in each draw.
    pub fn mean_lift(&self) -> Vec<f64> {
        self.level.0.iter().zip(&self.level.1).map(|(s, t)| share_of(0.5 * (s + t))).collect()
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

/// The season's and the field's departure of one year.
fn shared(level: &(Vec<f64>, Vec<f64>), points: &Points, year: u64) -> Vec<f64> {
    let (seasons, trials) = (points.normal(dimension(SEASON, year)), points.normal(dimension(TRIAL, year)));
    (0..points.count()).map(|n| level.0[n].sqrt() * seasons[n] + level.1[n].sqrt() * trials[n]).collect()
}

/// A variance in each draw, log-normal about its mode.
fn vague(mode: f64, log_sd: f64, points: &Points, dimension: u64) -> Vec<f64> {
    points.normal(dimension).into_iter().map(|z| mode * (log_sd * z).exp()).collect()
}

/// Inverse gamma scales with mean 1 of one year.
fn scales(freedom: f64, points: &Points, year: u64) -> Vec<f64> {
    let spread = 2.0 / (9.0 * freedom);
    let mut scales: Vec<f64> = points
        .normal(dimension(SCALE, year))
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
        let mut g = scales(10.0, &Points::new(4000), 0);
        g.sort_by(f64::total_cmp);
        for (share, chi) in [(0.05, 18.307), (0.95, 3.940)] {
            let want = 8.0 / chi;
            let got = g[(share * 4000.0) as usize];
            assert!((got / want - 1.0).abs() < 0.02, "{got} for {want}");
        }
        assert!((g.iter().sum::<f64>() / 4000.0 - 1.0).abs() < 1e-12);
    }
}
