//! Running a reference script in R, into a folder that is gone afterwards.

use leanyear_tests::{Scratch, root};
use std::path::Path;
use std::process::Command;

/// Runs `tests/reference/SCRIPT`. Without R this fails: a check that does not run must not pass.
pub fn run(script: &str) -> Scratch {
    let answers = Scratch::new(script).unwrap();
    let path = root().join("tests/reference").join(script);
    let output = Command::new("Rscript").arg("--vanilla").arg(path).arg(answers.path()).output();
    let output = output.unwrap_or_else(|error| {
        panic!("Rscript cannot be run ({error}): run `tests/run`, which installs R, lme4, nlme and MASS")
    });
    assert!(output.status.success(), "{script} failed: {}", String::from_utf8_lossy(&output.stderr));
    answers
}

/// A JSON file of an answer.
pub fn json<T: serde::de::DeserializeOwned>(folder: &Path, file: &str) -> T {
    let path = folder.join(file);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}
