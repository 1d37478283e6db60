//! The command line's contract: exit codes, and the keys of its JSON.

use leanyear_tests::{Scratch, root};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// The command line's program, built once.
fn leanyear(arguments: &[&str]) -> Output {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    let program = PROGRAM.get_or_init(|| {
        // By name, so that the workspace's own toolchain answers whatever runs the tests.
        let built = Command::new("cargo")
            .args(["build", "-p", "leanyear-engine", "--features", "cli", "--bin", "leanyear"])
            .args(["--message-format", "json-render-diagnostics"])
            .current_dir(root())
            .output()
            .unwrap();
        assert!(built.status.success(), "{}", String::from_utf8_lossy(&built.stderr));
        String::from_utf8_lossy(&built.stdout)
            .lines()
            .filter_map(|line| serde_json::from_str::<Value>(line).ok())
            .filter_map(|message| message["executable"].as_str().map(PathBuf::from))
            .next_back()
            .expect("cargo names the program it built")
    });
    Command::new(program).args(arguments).current_dir(root()).output().unwrap()
}

pub fn json(arguments: &[&str]) -> Value {
    let output = leanyear(arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn has(value: &Value, keys: &[&str]) {
    for key in keys {
        assert!(value.get(key).is_some(), "`{key}` is missing in {value:.200}");
    }
}

fn folder(name: &str, files: &[(&str, &[u8])]) -> Scratch {
    let folder = Scratch::new(name).unwrap();
    for (file, bytes) in files {
        std::fs::write(folder.path().join(file), bytes).unwrap();
    }
    folder
}

pub fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

const INFO: &[u8] = br#"{"name": "x", "yield_unit": "t/ha"}"#;
const TRIALS: &[u8] = b"trial,site,season\nT1,S1,2001\nT2,S1,2002\n";
const MEANS: &[u8] = b"trial,variety,yield\nT1,A,3\nT1,B,3.2\nT2,A,2.8\nT2,B,3.1\n";

#[test]
fn check_tells_clean_folders_from_broken_ones() {
    let clean = json(&["check", "data/demo", "--json"]);
    assert_eq!((clean["errors"].as_array().unwrap().len(), clean["warnings"].is_array()), (0, true));
    let bare = folder("bare", &[("network.json", INFO), ("trials.csv", TRIALS), ("means.csv", MEANS)]);
    let bare = json(&["check", text(bare.path()), "--json"]);
    assert_eq!(bare["errors"].as_array().unwrap().len(), 0, "{bare}");
    assert!(!bare["warnings"].as_array().unwrap().is_empty(), "warnings alone are no failure");
    let broken = folder(
        "broken",
        &[
            ("network.json", INFO),
            ("trials.csv", b"trial,site,season\nT1,S1,soon\nT2,S1,2001\n"),
            ("means.csv", b"trial,variety,yield\nT2,A,-1\nT9,A,3\nT2,B,x\n"),
        ],
    );
    let output = leanyear(&["check", text(broken.path()), "--json"]);
    assert_eq!(output.status.code(), Some(2));
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    let errors = report["errors"].as_array().unwrap();
    errors.iter().for_each(|e| has(e, &["file", "row", "column", "message"]));
    let place = |e: &Value| {
        (e["file"].as_str().unwrap().to_owned(), e["row"].as_u64(), e["column"].as_str().map(str::to_owned))
    };
    let places: Vec<_> = errors.iter().map(place).collect();
    for (file, row, column) in [
        ("trials.csv", 2, "season"),
        ("means.csv", 2, "yield"),
        ("means.csv", 3, "trial"),
        ("means.csv", 4, "yield"),
    ] {
        let wanted = (file.to_owned(), Some(row), Some(column.to_owned()));
        assert!(places.contains(&wanted), "every problem at once: no {wanted:?} in {errors:?}");
    }
}

/// Every command that reads a folder ends with 2 and a sentence that names the file.
#[test]
fn what_cannot_be_read_is_said_in_a_sentence() {
    let unreadable = folder("unreadable", &[("network.json", INFO), ("means.csv", MEANS)]);
    std::fs::create_dir_all(unreadable.path().join("trials.csv")).unwrap();
    let cases: [(&str, Scratch); 6] = [
        ("trials.csv", folder("no-trials", &[("network.json", INFO), ("means.csv", MEANS)])),
        ("means.csv", folder("no-means", &[("network.json", INFO), ("trials.csv", TRIALS)])),
        ("network.json", folder("no-info", &[("trials.csv", TRIALS), ("means.csv", MEANS)])),
        (
            "means.csv",
            folder(
                "not-text",
                &[
                    ("network.json", INFO),
                    ("trials.csv", TRIALS),
                    ("means.csv", b"trial,variety,yield\nT1,\0\x01,3\n"),
                ],
            ),
        ),
        (
            "network.json",
            folder("not-json", &[("network.json", b"{"), ("trials.csv", TRIALS), ("means.csv", MEANS)]),
        ),
        ("trials.csv", unreadable),
    ];
    for command in ["check", "fit", "odds", "backtest"] {
        for (file, case) in &cases {
            let output = leanyear(&[command, text(case.path())]);
            let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(2), "{command} {file}: {said}");
            let sentence = said.lines().find(|line| line.contains(file));
            let words = sentence.map_or(0, |line| line.split_whitespace().count());
            assert!(words >= 5 && !said.contains("panicked"), "{command} {file}: {said}");
        }
        let output = leanyear(&[command, "/nowhere/at/all"]);
        assert_eq!(output.status.code(), Some(2), "{command}");
    }
}

#[test]
fn fit_has_its_keys() {
    let report = json(&["fit", "data/demo", "--diff", "V04,V18", "--json"]);
    has(
        &report,
        &[
            "reml",
            "variance",
            "scale",
            "water",
            "effects",
            "difference",
            "dropped",
            "iterations",
            "gradient",
            "seconds",
        ],
    );
    has(
        &report["variance"],
        &["variety:site", "variety:season", "variety:system", "variety*water", "residual"],
    );
    has(&report["variance"]["variety*water"], &["intercept", "slope", "covariance"]);
    has(&report["water"]["dryland"], &["center", "scale"]);
    has(&report["effects"][0], &["variety", "effect", "se", "slope", "slope_se"]);
    has(&report["difference"], &["value", "se"]);
    let plain = json(&["fit", "data/demo", "--terms", "variety + variety:site", "--json"]);
    has(&plain["variance"], &["variety", "variety:site", "residual"]);
    assert!(plain["variance"].get("variety*water").is_none_or(Value::is_null), "no slope was asked for");
    let output = leanyear(&["fit", "data/demo", "--terms", "variety + weather"]);
    assert!(!output.status.success() && String::from_utf8_lossy(&output.stderr).contains("`weather`"));
}

/// Plots in incomplete blocks alone: checked, fitted, and a mistyped yield named by its row.
#[test]
fn plots_in_incomplete_blocks_are_fitted() {
    let varieties = ["A", "B", "C", "D", "E", "F", "G", "H", "I"];
    let mut plots = "trial,rep,block,variety,yield\n".to_owned();
    for (trial, lift) in [("T1", 0.0), ("T2", 0.7)] {
        // A balanced lattice: rows, columns and both diagonals of a square of nine.
        for at in 0..36 {
            let (rep, variety) = (at / 9, at % 9);
            let (row, column) = (variety / 3, variety % 3);
            let block = [row, column, (row + column) % 3, (row + 2 * column) % 3][rep];
            let noise = [0.04, -0.07, 0.02, 0.09, -0.05, -0.03, 0.01][(5 * at + rep) % 7];
            let y = 3.0 + lift + 0.1 * ((variety * 5) % 9) as f64 + 0.3 * ((block + rep) % 3) as f64 + noise;
            let y = if (trial, at) == ("T2", 20) { 10.0 * y } else { y };
            plots += &format!("{trial},{},{},{},{y:.3}\n", rep + 1, block + 1, varieties[variety]);
        }
    }
    let folder =
        folder("lattice", &[("network.json", INFO), ("trials.csv", TRIALS), ("plots.csv", plots.as_bytes())]);
    let report = json(&["check", text(folder.path()), "--json"]);
    assert_eq!(report["errors"].as_array().unwrap().len(), 0, "{report}");
    let of_plots = report["warnings"].as_array().unwrap().iter().filter(|w| w["file"] == "plots.csv");
    let named: Vec<&Value> = of_plots.collect();
    assert_eq!(named.len(), 1, "{named:?}");
    // A header, 36 plots of the first trial, and 20 of the second before it.
    assert_eq!((&named[0]["row"], &named[0]["column"]), (&58.into(), &"yield".into()));
    assert!(named[0]["message"].as_str().unwrap().contains("nothing was removed"));
    let fitted = json(&["fit", text(folder.path()), "--json"]);
    assert_eq!(fitted["effects"].as_array().unwrap().len(), 9);
    assert!(fitted["variance"]["variety"].as_f64().unwrap() >= 0.0 && fitted["reml"].is_number());
}

#[test]
fn odds_has_its_keys_and_takes_a_link() {
    let link = "#v=1&system=dryland&water=driest-fifth&price=6&cost=150&mine=V04&order=chance-short&leaf-rust=severe";
    let table = json(&["odds", "data/demo", "--settings", link, "--json"]);
    has(&table, &["settings", "varieties"]);
    assert_eq!(table["settings"]["cost"], 150.0);
    let row = &table["varieties"][0];
    has(
        row,
        &["variety", "expected", "low80", "high80", "seasons", "chance_short", "marks_short", "shortfall"],
    );
    has(row, &["net", "beats_check", "beats_mine", "best", "best_longrun", "group", "standing"]);
    has(&row["standing"], &["state", "seasons", "trials", "trials_like_this", "last"]);
    assert_eq!(row["seasons"].as_array().unwrap().len(), 20);
    let chances: Vec<f64> =
        table["varieties"].as_array().unwrap().iter().map(|v| v["chance_short"].as_f64().unwrap()).collect();
    assert!(chances.windows(2).all(|w| w[0] <= w[1]), "ordered by the chance of losing");
}

#[test]
fn backtest_has_its_keys() {
    let report = json(&["backtest", "data/demo", "--forward", "--json"]);
    has(&report, &["n", "rmse", "rmse_raw_mean", "cover80", "cover95", "cover80_se", "cover95_se", "crps"]);
    has(
        &report,
        &["crps_raw_mean", "brier_pairs", "brier_pairs_raw_mean", "mean_z", "by", "level", "as_it_came"],
    );
    has(&report["mean_z"], &["first", "continuing", "last"]);
    has(&report["by"][0], &["fold", "n", "rmse", "rmse_raw_mean", "crps", "cover80", "cover95"]);
    assert!(report["rmse"].as_f64() < report["rmse_raw_mean"].as_f64(), "better than the table of raw means");
}

#[test]
fn demo_writes_the_committed_folder_byte_for_byte() {
    let written = folder("demo", &[]);
    assert!(leanyear(&["demo", text(written.path())]).status.success());
    let files: Vec<_> = std::fs::read_dir(written.path()).unwrap().map(|entry| entry.unwrap()).collect();
    assert_eq!(files.len(), std::fs::read_dir(root().join("data/demo")).unwrap().count());
    for entry in files {
        let committed = std::fs::read(root().join("data/demo").join(entry.file_name())).unwrap();
        assert_eq!(std::fs::read(entry.path()).unwrap(), committed, "{:?}", entry.file_name());
    }
}
