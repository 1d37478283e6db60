//! Input that is sound and far too much: refused by a count, or read within time and memory.

use super::small::{Files, sound};
use leanyear_engine::mixed::report::fit;
use leanyear_engine::pack::{Pack, ProblemKind, read};
use leanyear_tests::hostile::within;
use std::fmt::Write;

/// Largest resident memory of this process so far, MiB; only Linux tells.
fn peak_mib() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.trim().strip_suffix("kB")?.trim().parse::<f64>().ok()? / 1024.0)
}

fn with(name: &str, text: String) -> Files {
    let mut files = sound();
    files.insert(name.to_owned(), text.into_bytes());
    files
}

fn kinds(files: &Files) -> Vec<ProblemKind> {
    read(files).errors.into_iter().map(|problem| problem.kind).collect()
}

#[test]
fn a_file_beyond_the_limits_is_refused_before_it_is_kept() {
    let header = "trial,variety,yield\n";
    let too_long = with("means.csv", format!("{header}{}", "T0,V0,1\n".repeat((64 << 20) / 8 + 1)));
    assert!(
        within(60, "64 MiB of rows", move || kinds(&too_long))
            .iter()
            .any(|k| matches!(k, ProblemKind::FileTooLarge { .. }))
    );
    let too_many = with("means.csv", format!("{header}{}", "T0,V0,1\n".repeat(700_000)));
    assert!(
        within(60, "two million cells", move || kinds(&too_many))
            .iter()
            .any(|k| matches!(k, ProblemKind::TooManyCells { .. }))
    );
    let too_deep = with("network.json", "[".repeat(100_000));
    assert!(
        within(60, "brackets", move || kinds(&too_deep))
            .iter()
            .any(|k| matches!(k, ProblemKind::JsonSyntax { .. }))
    );
    let too_much = with("network.json", format!("[{}0]", "[],".repeat(1_000_000)));
    assert!(
        within(60, "many brackets", move || kinds(&too_much))
            .iter()
            .any(|k| matches!(k, ProblemKind::FileTooLarge { .. }))
    );
    assert!(peak_mib().is_none_or(|peak| peak < 1500.0), "{:?} MiB", peak_mib());
}

#[test]
fn six_hundred_thousand_faults_are_all_counted() {
    let files = with("ratings.csv", format!("variety,trait,value\n{}", "V0,rust,x\n".repeat(600_000)));
    let reading = within(120, "faults", move || read(&files));
    let rows = reading.rows.iter().find(|rows| rows.file == "ratings.csv").unwrap();
    assert_eq!((rows.all, rows.used), (600_000, 0));
    assert!(peak_mib().is_none_or(|peak| peak < 1500.0), "{:?} MiB", peak_mib());
}

#[test]
fn six_hundred_thousand_ratings_are_read_and_asked() {
    let traits: Vec<String> = (0..300).map(|t| format!("t{t}")).collect();
    let mut text = "variety,trait,value\n".to_owned();
    let mut about = String::from_utf8(sound()["traits.csv"].clone()).unwrap();
    let mut varieties = "variety\n".to_owned();
    for v in 0..2_000 {
        writeln!(varieties, "V{v}").unwrap();
        for code in &traits {
            writeln!(text, "V{v},{code},5").unwrap();
        }
    }
    for code in &traits {
        writeln!(about, "{code},agronomic,1,9,,,no,,").unwrap();
    }
    let mut files = with("ratings.csv", text);
    files.insert("traits.csv".to_owned(), about.into_bytes());
    files.insert("varieties.csv".to_owned(), varieties.into_bytes());
    let ended = within(180, "ratings", move || {
        let reading = read(&files);
        let network = reading.network.ok_or_else(|| reading.errors[0].to_string())?;
        let pack = Pack::new(network).map_err(|error| error.to_string())?;
        let text = pack.to_json().map_err(|error| error.to_string())?;
        let again = Pack::from_json(&text).map_err(|error| error.to_string())?;
        let advisor = leanyear_engine::decide::Advisor::new(again).map_err(|error| error.to_string())?;
        super::interrogate::ask(&advisor, "need=t1,t2,t3&water=dry")
    });
    assert_eq!(ended, Ok(()));
}

/// More than is worked with is refused by its count, not tried.
#[test]
fn too_many_trials_varieties_systems_or_diseases_are_named() {
    let grid = |trials: usize, varieties: usize, systems: usize| {
        let (mut t, mut m) = ("trial,site,season,system\n".to_owned(), "trial,variety,yield\n".to_owned());
        for j in 0..trials {
            writeln!(t, "T{j},S{},{},s{}", j % 7, 2000 + j % 20, j % systems).unwrap();
            for v in 0..varieties {
                writeln!(m, "T{j},V{v},{}", 2.0 + ((j * 31 + v * 17) % 97) as f64 / 50.0).unwrap();
            }
        }
        Files::from([
            ("network.json".to_owned(), br#"{"name": "large", "yield_unit": "t/ha"}"#.to_vec()),
            ("trials.csv".to_owned(), t.into_bytes()),
            ("means.csv".to_owned(), m.into_bytes()),
        ])
    };
    let mut diseases = grid(4, 4, 1);
    let rows: String = (0..200).map(|d| format!("d{d},disease\n")).collect();
    diseases.insert("traits.csv".to_owned(), format!("trait,kind\n{rows}").into_bytes());
    for (files, what) in [
        (grid(4_000, 2, 1), "4000 trials"),
        (grid(2, 2_500, 1), "2500 varieties"),
        (grid(60, 3, 30), "30 production systems"),
        (diseases, "200 diseases and pests"),
    ] {
        let said = within(60, what, move || {
            let network = read(&files).network.unwrap();
            (fit(&network, None, None).map(|_| ()), Pack::new(network).map(|_| ()))
        });
        let (fitted, packed) = (said.0.unwrap_err().to_string(), said.1.unwrap_err().to_string());
        assert!(fitted.starts_with(what) && packed.starts_with(what), "{what}: {fitted} / {packed}");
    }
}
