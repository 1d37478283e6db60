//! The calibration study as a program: `calibration [--networks N] [--seed S] [--out FILE]`.
//!
//! Writes FILE.md and FILE.csv (by default into `tests/reference/`). `--true variances,level` replaces
//! estimates by the truth and writes nothing unless `--out` is given; `--threads N` changes the time alone.

use leanyear_tests::calibration::substitute::Substitutes;
use leanyear_tests::calibration::{Study, report, run};
use leanyear_tests::root;
use std::path::PathBuf;
use std::process::ExitCode;

fn main() -> ExitCode {
    match study(std::env::args().skip(1).collect()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn study(arguments: Vec<String>) -> Result<(), String> {
    let mut study = Study { networks: 4_000, seed: 20_260, threads: 2, substitutes: Substitutes::default() };
    let mut out: Option<PathBuf> = None;
    let mut rest = arguments.into_iter();
    while let Some(key) = rest.next() {
        let value = rest.next().ok_or_else(|| format!("{key} needs a value"))?;
        let number = || value.parse::<u64>().map_err(|_| format!("{key} {value}: a whole number is needed"));
        match key.as_str() {
            "--networks" => study.networks = number()?,
            "--seed" => study.seed = number()?,
            "--threads" => study.threads = number()? as usize,
            "--out" => out = Some(PathBuf::from(&value)),
            "--true" => {
                for word in value.split(',') {
                    match word {
                        "variances" => study.substitutes.variances = true,
                        "level" => study.substitutes.level = true,
                        _ => return Err(format!("--true {word}: variances or level")),
                    }
                }
            }
            _ => return Err(format!("{key} is not known: --networks, --seed, --threads, --out, --true")),
        }
    }
    let outcome = run(study);
    let text = report::markdown(&study, &outcome);
    println!("{text}");
    let experiment = study.substitutes != Substitutes::default();
    let stored = (!experiment).then(|| root().join("tests/reference/calibration"));
    if let Some(base) = out.or(stored) {
        for (extension, content) in [("md", text), ("csv", report::csv(&outcome))] {
            let path = base.with_extension(extension);
            std::fs::write(&path, content).map_err(|e| format!("{}: {e}", path.display()))?;
        }
    }
    Ok(())
}
