//! Quantiles, probabilities and scores against R.

use crate::scripts::{json, run};
use leanyear_engine::forecast::random::{DRAWS, Points};
use leanyear_engine::forecast::score::{crps, phi};
use leanyear_engine::trial::t_two_sided;
use leanyear_tests::agree;
use serde::Deserialize;

#[derive(Deserialize)]
struct Reference {
    normal_points: Vec<f64>,
    normal_90: f64,
    t_two_sided: Vec<TwoSided>,
    phi: Vec<Phi>,
    student: Vec<Student>,
    crps: Vec<Crps>,
}

#[derive(Deserialize)]
struct TwoSided {
    level: f64,
    df: f64,
    t: f64,
}

#[derive(Deserialize)]
struct Phi {
    z: f64,
    p: f64,
}

#[derive(Deserialize)]
struct Student {
    share: f64,
    df: f64,
    t: f64,
}

#[derive(Deserialize)]
struct Crps {
    parts: Vec<(f64, f64, f64)>,
    value: f64,
    crps: f64,
}

fn compare(r: &Reference) -> Result<(), String> {
    let mut points = Points::new(DRAWS).normal(11);
    points.sort_by(f64::total_cmp);
    if points.len() != r.normal_points.len() {
        return Err(format!("{} points", points.len()));
    }
    for (got, want) in points.iter().zip(&r.normal_points) {
        agree("normal score", *got, *want, 1e-9, 1.0)?;
    }
    for TwoSided { level, df, t } in &r.t_two_sided {
        let got = t_two_sided(*level, *df).ok_or("no t")?;
        agree(&format!("t at {level} on {df}"), got, *t, 1e-8, *t)?;
    }
    for Phi { z, p } in &r.phi {
        // The error function behind it is a rational approximation, good to about 1e-11.
        agree(&format!("Φ({z})"), phi(*z), *p, 1e-10, 1.0)?;
    }
    for Crps { parts, value, crps: want } in &r.crps {
        agree(&format!("CRPS of {parts:?} at {value}"), crps(parts, *value), *want, 1e-8, *want)?;
    }
    agree("90th percentile", phi(r.normal_90), 0.9, 1e-10, 1.0)?;
    students(&r.student)
}

/// The draws' t is an expansion in 1/df, meant for sampling: within 0.5 % in its body, 2 % at 1 in 100.
fn students(wanted: &[Student]) -> Result<(), String> {
    let count = 20_000;
    let points = Points::new(count);
    for Student { share, df, t } in wanted {
        let mut sample = points.student(5, *df);
        sample.sort_by(f64::total_cmp);
        let got = sample[(share * count as f64) as usize];
        let allowed = if (0.04..=0.96).contains(share) { 0.005 } else { 0.02 };
        agree(&format!("drawn t of {df} at {share}"), got, *t, allowed, *t)?;
    }
    Ok(())
}

/// Source: R's `qnorm`, `qt`, `pnorm`, live, and the integral that defines the CRPS.
#[test]
fn distributions_and_scores_agree_with_r() {
    let answers = run("distributions.R");
    let mut reference: Reference = json(answers.path(), "expected.json");
    compare(&reference).unwrap();
    reference.crps[2].crps *= 1.0 + 1e-7;
    assert!(compare(&reference).is_err(), "a wrong number must be seen");
}
