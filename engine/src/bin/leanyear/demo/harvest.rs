//! The invented trials: level, yields, plot error and what the reports say of it.
//!
//! A trial's healthy level is a saturating function of its water times site, season and trial effects on
//! the log scale; yields follow the formula of [`super::truth`]. The error mean square of a plot is nearly
//! constant within a system, so that the CV rises where the mean falls (Taylor and others 1999,
//! Commun. Soil Sci. Plant Anal. 30:1439–1447). Yields in bu/ac, water in inches.

use super::cast;
use super::land::{self, FIRST_TRIAL_SEASON, NOT_SOWN, PLACES, System, TRIAL_SEASONS};
use super::random::{normal, rounded, scaled_chi_square, uniform};
use super::threats::{self, THREATS};
use super::truth::{Truth, trial_effect};
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Trials that gave no fair comparison: (site code, harvest year, system, reason).
const EXCLUDED: [(&str, i32, System, &str); 8] = [
    ("S04", 2022, System::Dryland, "drought"),
    ("S01", 2025, System::Dryland, "drought"),
    ("S02", 2025, System::Dryland, "drought"),
    ("S03", 2018, System::Dryland, "hail"),
    ("S08", 2023, System::Limited, "hail"),
    ("S06", 2020, System::Dryland, "stand"),
    ("S05", 2021, System::Limited, "stand"),
    ("S02", 2023, System::Full, "other"),
];

/// A plot's error variance at its usual size, (bu/ac)², by system.
pub const PLOT_ERROR_VARIANCE: [f64; 3] = [16.0, 27.0, 46.0];
/// Replicates, by system.
const REPLICATES: [usize; 3] = [4, 3, 3];
/// Spread of the true error variance between trials of a system, on the log scale.
const PLOT_ERROR_LOG_SD: f64 = 0.18;
/// Share of plots lost.
const PLOT_LOST: f64 = 0.006;
/// Mean yield of a system, bu/ac: what the variety effects are shares of.
pub const SYSTEM_MEAN: [f64; 3] = [34.0, 58.0, 85.0];
/// Mean yield without diseases and pests at the usual water, bu/ac.
const HEALTHY_MEAN: [f64; 3] = [35.6, 63.0, 94.0];
/// Water at which that mean is reached, inches; no crop below [`WATER_FOR_NOTHING`].
const USUAL_WATER: [f64; 3] = [13.2, 18.7, 25.7];
/// Curvature of the response, per inch: about 2.6, 2.3 and 1.4 bu/ac an inch at the usual water.
const CURVATURE: [f64; 3] = [0.05, 0.055, 0.08];
const WATER_FOR_NOTHING: f64 = 3.0;
/// What a season's other weather adds to the log level: cold, heat, timing; unrelated to its water.
const SEASON_LOG_SHIFT: [f64; TRIAL_SEASONS] = [-0.01, 0.02, 0.06, -0.04, 0.05, -0.03, 0.0, 0.02, -0.04];
/// What a site's ground adds to the log level.
const SITE_LOG_SHIFT: [f64; PLACES.len()] = [0.02, -0.05, 0.01, 0.05, -0.03, 0.02, 0.04, -0.02, 0.03];
/// Standard deviation of the log level between trials, by system.
const TRIAL_LOG_SD: [f64; 3] = [0.13, 0.09, 0.07];

/// A mean as harvested.
pub struct Harvested {
    /// Place in the cast.
    pub variety: usize,
    /// Mean yield as reported, bu/ac to one decimal.
    pub yield_bu: f64,
    /// Plots behind it.
    pub plots: usize,
}

/// A trial of the invented network, truth and report together.
pub struct FieldTrial {
    /// Place in [`PLACES`].
    pub place: usize,
    /// Harvest year.
    pub season: i32,
    /// System.
    pub system: System,
    /// Water, inches.
    pub water: f64,
    /// The same in standard deviations of the system's fitted trials.
    pub water_sds: f64,
    /// Healthy level, bu/ac.
    pub level: f64,
    /// True pressures, by threat.
    pub pressures: Vec<u8>,
    /// Why it is excluded, or nothing.
    pub excluded: &'static str,
    /// True error variance of a plot.
    pub plot_variance: f64,
    /// Means; none where the crop was lost.
    pub means: Vec<Harvested>,
    /// What the report says.
    pub report: Report,
}

/// The error part of a trial's report, as the file shows it.
#[derive(Default)]
pub struct Report {
    /// Replicates.
    pub reps: usize,
    /// Error mean square.
    pub error_ms: Option<f64>,
    /// Least significant difference at 5 %.
    pub lsd: Option<f64>,
    /// Coefficient of variation, %.
    pub cv: Option<f64>,
}

impl FieldTrial {
    /// The trial's code.
    pub fn code(&self) -> String {
        format!("{}-{}-{}", PLACES[self.place].code, self.season, self.system.suffix())
    }
}

/// Every trial that was sown, by season, place and system.
pub fn trials(truth: &Truth) -> Vec<FieldTrial> {
    let mut trials = sown();
    for system in System::ALL {
        let fitted: Vec<f64> =
            trials.iter().filter(|t| t.system == system && t.excluded.is_empty()).map(|t| t.water).collect();
        let n = fitted.len() as f64;
        let mean = fitted.iter().sum::<f64>() / n;
        let sd = (fitted.iter().map(|w| (w - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
        for trial in trials.iter_mut().filter(|t| t.system == system) {
            trial.water_sds = (trial.water - mean) / sd;
        }
    }
    for trial in &mut trials {
        harvest(trial, truth);
    }
    trials
}

fn sown() -> Vec<FieldTrial> {
    let mut trials = Vec::new();
    for season in (FIRST_TRIAL_SEASON..).take(TRIAL_SEASONS) {
        for (place, here) in PLACES.iter().enumerate() {
            for (system, first) in here.systems {
                if season < *first || NOT_SOWN.contains(&(here.code, season, *system)) {
                    continue;
                }
                let reason =
                    EXCLUDED.iter().find(|(c, y, s, _)| (*c, *y, *s) == (here.code, season, *system));
                trials.push(FieldTrial {
                    place,
                    season,
                    system: *system,
                    water: land::water(place, season, *system),
                    water_sds: 0.0,
                    level: 0.0,
                    pressures: Vec::new(),
                    excluded: reason.map_or("", |r| r.3),
                    plot_variance: 0.0,
                    means: Vec::new(),
                    report: Report::default(),
                });
            }
        }
    }
    trials
}

/// Healthy yield at a given water, bu/ac, before site, season and trial.
fn response(water: f64, system: System) -> f64 {
    let s = system.index();
    let rise = |inches: f64| 1.0 - (-CURVATURE[s] * (inches - WATER_FOR_NOTHING).max(0.5)).exp();
    HEALTHY_MEAN[s] * rise(water) / rise(USUAL_WATER[s])
}

fn harvest(trial: &mut FieldTrial, truth: &Truth) {
    let (place, season, system) = (trial.place, trial.season, trial.system);
    let s = system.index();
    let at = [place, season as usize, s];
    let log_shift = SITE_LOG_SHIFT[place]
        + SEASON_LOG_SHIFT[(season - FIRST_TRIAL_SEASON) as usize]
        + TRIAL_LOG_SD[s] * normal("level of a trial", &at).clamp(-2.0, 2.0);
    let ruined = if matches!(trial.excluded, "stand" | "other") { 0.62 } else { 1.0 };
    trial.level = ruined * response(trial.water, system) * log_shift.exp();
    trial.pressures =
        (0..THREATS.len()).map(|d| threats::pressure(d, place, season, system, trial.water_sds)).collect();
    trial.plot_variance = PLOT_ERROR_VARIANCE[s] * (PLOT_ERROR_LOG_SD * normal("plot variance", &at)).exp();
    if !trial.excluded.is_empty() {
        trial.plot_variance *= 3.5;
    }
    if matches!(trial.excluded, "drought" | "hail") {
        trial.report.reps = REPLICATES[s];
        return;
    }
    trial.means = cast::entries(place, season, system).into_iter().map(|v| mean(trial, truth, v)).collect();
    trial.report = report(trial);
}

fn mean(trial: &FieldTrial, truth: &Truth, variety: usize) -> Harvested {
    let (place, season, system) = (trial.place, trial.season, trial.system);
    let at = [variety, place, season as usize, system.index()];
    let reps = REPLICATES[system.index()];
    let plots =
        (0..reps).filter(|rep| uniform("plot kept", &[&at[..], &[*rep]].concat()) >= PLOT_LOST).count();
    let plots = plots.max(1);
    // Full irrigation leaves too little difference in water for a slope to show.
    let water_sds = if system == System::Full { 0.0 } else { trial.water_sds };
    let share = truth.effect(variety, place, season, system, water_sds)
        + trial_effect(variety, place, season, system);
    let loss = threats::loss(variety, &trial.pressures);
    let error = (trial.plot_variance / plots as f64).sqrt() * normal("plot error", &at);
    let healthy = trial.level * (1.0 - loss) + SYSTEM_MEAN[system.index()] * share;
    Harvested { variety, yield_bu: rounded((healthy + error).max(0.3), 0.1), plots }
}

/// Error mean square as a chi-square draw on the trial's own error degrees of freedom, and the LSD and
/// CV that follow from it: LSD = t·√(2·EMS/reps), CV = 100·√EMS/mean.
fn report(trial: &FieldTrial) -> Report {
    let at = [trial.place, trial.season as usize, trial.system.index()];
    let reps = REPLICATES[trial.system.index()];
    let degrees_of_freedom = (reps - 1) * (trial.means.len() - 1);
    let error_ms = trial.plot_variance * scaled_chi_square("error mean square", &at, degrees_of_freedom);
    let mean = trial.means.iter().map(|m| m.yield_bu).sum::<f64>() / trial.means.len() as f64;
    let lsd = StudentsT::new(0.0, 1.0, degrees_of_freedom as f64)
        .ok()
        .map(|t| rounded(t.inverse_cdf(0.975) * (2.0 * error_ms / reps as f64).sqrt(), 0.1));
    let full = Report {
        reps,
        error_ms: Some(rounded(error_ms, 0.01)),
        lsd,
        cv: Some(rounded(100.0 * error_ms.sqrt() / mean, 0.1)),
    };
    // Not every report says everything.
    match uniform("what the report says", &at) {
        u if u < 0.04 => Report { error_ms: None, lsd: None, cv: None, ..full },
        u if u < 0.11 => Report { error_ms: None, cv: None, ..full },
        u if u < 0.17 => Report { error_ms: None, lsd: None, ..full },
        _ => full,
    }
}
