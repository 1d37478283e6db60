//! What the truth put in, found again in the yields.

use super::super::cast::{CAST, code};
use super::super::harvest::{FieldTrial, SYSTEM_MEAN, trials};
use super::super::land::System;
use super::super::threats::{self, THREATS};
use super::super::truth::{self, Truth, trial_effect};
use super::{mean, number, rows, variance};
use leanyear_engine::order::Map;

/// A mean as a share of its system's mean yield, losses given back, less its trial's mean of the same.
struct Deviation {
    variety: usize,
    trial: usize,
    share: f64,
}

/// Fitted trials.
fn fitted(truth: &Truth) -> Vec<FieldTrial> {
    trials(truth).into_iter().filter(|t| t.excluded.is_empty()).collect()
}

/// `known` is taken off each mean before the trial's mean is.
fn deviations(trials: &[FieldTrial], known: impl Fn(usize, &FieldTrial) -> f64) -> Vec<Deviation> {
    let mut deviations = Vec::new();
    for (index, trial) in trials.iter().enumerate() {
        let scale = SYSTEM_MEAN[trial.system.index()];
        let shares: Vec<f64> = trial
            .means
            .iter()
            .map(|m| {
                let lost = trial.level * threats::loss(m.variety, &trial.pressures);
                (m.yield_bu + lost) / scale - known(m.variety, trial)
            })
            .collect();
        let centre = mean(&shares);
        for (m, share) in trial.means.iter().zip(&shares) {
            deviations.push(Deviation { variety: m.variety, trial: index, share: share - centre });
        }
    }
    deviations
}

fn slope_part(truth: &Truth, variety: usize, trial: &FieldTrial) -> f64 {
    if trial.system == System::Full { 0.0 } else { truth.slope[variety] * trial.water_sds }
}

/// Mean product of two deviations of one variety in two dryland trials, over all pairs that `pick` takes.
fn mean_product(
    trials: &[FieldTrial],
    deviations: &[Deviation],
    pick: impl Fn(&FieldTrial, &FieldTrial) -> bool,
) -> f64 {
    let mut products = Vec::new();
    for variety in 0..CAST.len() {
        let own: Vec<&Deviation> = deviations
            .iter()
            .filter(|d| d.variety == variety && trials[d.trial].system == System::Dryland)
            .collect();
        for (i, a) in own.iter().enumerate() {
            for b in &own[..i] {
                if pick(&trials[a.trial], &trials[b.trial]) {
                    products.push(a.share * b.share);
                }
            }
        }
    }
    mean(&products)
}

#[test]
fn variance_components_are_found_again_by_moments() {
    let truth = Truth::new();
    let trials = fitted(&truth);
    let deviations = deviations(&trials, |v, t| slope_part(&truth, v, t));
    let product = |pick: &dyn Fn(&FieldTrial, &FieldTrial) -> bool| mean_product(&trials, &deviations, pick);
    let neither = product(&|a, b| a.place != b.place && a.season != b.season);
    let site = product(&|a, b| a.place == b.place && a.season != b.season) - neither;
    let season = product(&|a, b| a.place != b.place && a.season == b.season) - neither;
    // Tolerances are three standard errors of 64 varieties' worth of each component, and more.
    let close = |found: f64, expected: f64, tolerance: f64, what: &str| {
        assert!((found / expected - 1.0).abs() < tolerance, "{what}: {found} for {expected}");
    };
    close(site, truth::VARIANCE_VARIETY_SITE, 0.35, "variety × site");
    close(season, truth::VARIANCE_VARIETY_SEASON, 0.35, "variety × season");
    close(neither, truth::VARIANCE_VARIETY + truth::VARIANCE_VARIETY_SYSTEM, 0.5, "variety");
}

#[test]
fn variety_by_trial_and_plot_error_are_all_that_the_truth_leaves_over() {
    let truth = Truth::new();
    let trials = fitted(&truth);
    let explained = |v: usize, t: &FieldTrial| {
        let water_sds = if t.system == System::Full { 0.0 } else { t.water_sds };
        truth.effect(v, t.place, t.season, t.system, water_sds)
    };
    let left = deviations(&trials, explained);
    for system in System::ALL {
        let of_system: Vec<&Deviation> = left.iter().filter(|d| trials[d.trial].system == system).collect();
        let expected: Vec<f64> = of_system
            .iter()
            .map(|d| {
                let t = &trials[d.trial];
                let plots = t.means.iter().find(|m| m.variety == d.variety).unwrap().plots as f64;
                let error = t.plot_variance / plots / SYSTEM_MEAN[system.index()].powi(2);
                (truth::VARIANCE_VARIETY_TRIAL + error) * (1.0 - 1.0 / t.means.len() as f64)
            })
            .collect();
        let shares: Vec<f64> = of_system.iter().map(|d| d.share).collect();
        let ratio = shares.iter().map(|x| x * x).sum::<f64>() / expected.iter().sum::<f64>();
        // Four standard errors of a variance ratio on n means: 4·√(2/n).
        assert!((ratio - 1.0).abs() < 4.0 * (2.0 / shares.len() as f64).sqrt(), "{}: {ratio}", system.code());
    }
    let drawn: Vec<f64> = (0..2_000).map(|v| trial_effect(v, 0, 2017, System::Dryland)).collect();
    assert!((variance(&drawn) / truth::VARIANCE_VARIETY_TRIAL - 1.0).abs() < 4.0 * (2.0f64 / 2_000.0).sqrt());
}

#[test]
fn slopes_have_the_spread_and_correlation_they_were_given() {
    let truth = Truth::new();
    assert!((variance(&truth.slope).sqrt() / truth::SLOPE_SD - 1.0).abs() < 1e-9);
    let deviation: Vec<f64> = truth
        .variety
        .iter()
        .zip(&CAST)
        .map(|(u, m)| u - truth::GAIN_PER_YEAR * f64::from(m.bred - 2014))
        .collect();
    let covariance =
        deviation.iter().zip(&truth.slope).map(|(u, b)| u * b).sum::<f64>() / (CAST.len() - 1) as f64;
    let correlation = covariance / (variance(&deviation) * variance(&truth.slope)).sqrt();
    // Two standard errors of a correlation of 0.3 on 64 varieties are 0.23.
    assert!((correlation - truth::SLOPE_CORRELATION).abs() < 0.23, "{correlation}");
    let share = variance(&truth.variety) / truth::VARIANCE_VARIETY;
    assert!((0.8..=1.2).contains(&share), "{share}");
}

/// Least squares slope of y on x.
fn least_squares_slope(points: &[(f64, f64)]) -> f64 {
    let x: Vec<f64> = points.iter().map(|p| p.0).collect();
    let y: Vec<f64> = points.iter().map(|p| p.1).collect();
    let (centre_x, centre_y) = (mean(&x), mean(&y));
    points.iter().map(|(a, b)| (a - centre_x) * (b - centre_y)).sum::<f64>()
        / x.iter().map(|a| (a - centre_x).powi(2)).sum::<f64>()
}

#[test]
fn breeding_progress_is_positive_and_near_its_truth() {
    let truth = Truth::new();
    let trials = fitted(&truth);
    let mut by_variety: Map<usize, Vec<f64>> = Map::new();
    // Newer varieties stand in stronger company, so what the company is worth is given back first.
    for d in deviations(&trials, |_, _| 0.0) {
        let company: Vec<f64> = trials[d.trial].means.iter().map(|m| truth.variety[m.variety]).collect();
        by_variety.entry(d.variety).or_default().push(d.share + mean(&company));
    }
    let points: Vec<(f64, f64)> =
        by_variety.iter().map(|(v, shares)| (f64::from(CAST[*v].bred), mean(shares))).collect();
    let gain = least_squares_slope(&points);
    // The standard error is about 0.0011 a year.
    assert!((0.0045..=0.0095).contains(&gain), "{gain}");
}

/// Yield of a variety less its trial's mean, bu/ac, by dryland trial, from the files alone.
fn dryland_deviations(variety: usize) -> Vec<(f64, i32, f64)> {
    let means = rows("means.csv");
    let mut found = Vec::new();
    for trial in rows("trials.csv").iter().filter(|t| t["system"] == "dryland" && t["excluded"].is_empty()) {
        let here: Vec<_> = means.iter().filter(|m| m["trial"] == trial["trial"]).collect();
        let centre = mean(&here.iter().map(|m| number(m, "yield")).collect::<Vec<_>>());
        if let Some(own) = here.iter().find(|m| m["variety"] == code(variety)) {
            let season: i32 = trial["season"].parse().unwrap();
            found.push((number(trial, "water"), season, number(own, "yield") - centre));
        }
    }
    found
}

#[test]
fn the_order_changes_between_wet_and_dry_trials() {
    let average = |variety, keep: &dyn Fn(f64) -> bool| {
        mean(&dryland_deviations(variety).iter().filter(|d| keep(d.0)).map(|d| d.2).collect::<Vec<_>>())
    };
    let dry = |water: f64| water < 11.0;
    let wet = |water: f64| water > 15.5;
    assert!(average(truth::DROUGHT_HARDY, &dry) > average(truth::WET_YEAR_LEADER, &dry) + 2.0);
    assert!(average(truth::WET_YEAR_LEADER, &wet) > average(truth::DROUGHT_HARDY, &wet) + 4.0);
}

#[test]
fn the_old_favourite_drifts_down_and_the_newcomer_promises() {
    let by_season: Vec<(f64, f64)> =
        dryland_deviations(truth::OLD_FAVOURITE).iter().map(|d| (f64::from(d.1), d.2)).collect();
    assert!(least_squares_slope(&by_season) < -0.3);
    let newcomer = dryland_deviations(truth::PROMISING_NEWCOMER);
    assert!(newcomer.iter().all(|d| d.1 >= 2024) && newcomer.len() >= 8);
    assert!(mean(&newcomer.iter().map(|d| d.2).collect::<Vec<_>>()) > 1.5);
}

#[test]
fn losses_follow_rating_and_pressure() {
    assert_eq!(threats::loss(truth::RUST_PRONE, &[0; THREATS.len()]), 0.0);
    let mut stripe_rust = [0; THREATS.len()];
    stripe_rust[1] = 3;
    // Severe loss 0.5 × susceptibility 0.97 × pressure 3/3.
    assert!((threats::loss(truth::RUST_PRONE, &stripe_rust) - 0.485).abs() < 1e-12);
    let rating =
        rows("ratings.csv").into_iter().find(|r| r["variety"] == "V31" && r["trait"] == "stripe-rust");
    assert_eq!(rating.unwrap()["value"], "1");
    assert!(threats::loss(truth::RUST_PRONE, &[3; THREATS.len()]) <= 0.9);
}
