//! Running a reference script in R or Python, into a folder that is gone afterwards.

use leanyear_engine::pack::Network;
use leanyear_tests::{Scratch, network, root};
use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// Debian's Python, which is where `tests/run` puts `scipy`; another one may stand first on the path.
const DEBIAN_PYTHON: &str = "/usr/bin/python3";

/// Runs `tests/reference/SCRIPT`. Without R or Python this fails: a check that does not run must not pass.
pub fn run(script: &str) -> Scratch {
    let answers = Scratch::new(script).unwrap();
    let path = root().join("tests/reference").join(script);
    let mut command = if script.ends_with(".py") {
        Command::new(if Path::new(DEBIAN_PYTHON).exists() { DEBIAN_PYTHON } else { "python3" })
    } else {
        let mut command = Command::new("Rscript");
        command.arg("--vanilla");
        command
    };
    // One thread: tests run side by side as it is, and sums then come in one order.
    command.env("OPENBLAS_NUM_THREADS", "1").env("OMP_NUM_THREADS", "1");
    let output = command.arg(path).arg(answers.path()).output().unwrap_or_else(|error| {
        panic!("{script} cannot be run ({error}): run `tests/run`, which installs R, lme4, nlme and scipy")
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

/// One case of a script that writes networks: the network, and what is expected of it.
pub struct Case {
    pub name: String,
    pub network: Network,
    pub expected: Value,
}

/// Runs a script and reads every case that it lists.
pub fn cases(script: &str) -> Vec<Case> {
    let answers = run(script);
    let names: Vec<String> = json(answers.path(), "cases.json");
    names
        .into_iter()
        .map(|name| {
            let folder = answers.path().join(&name);
            let network = network(&folder).unwrap_or_else(|error| panic!("{name}: {error}"));
            Case { network, expected: json(&folder, "expected.json"), name }
        })
        .collect()
}
