//! Broken and whole folders, read: every fault is named in its place, and no row is lost on the way.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::super::test_folder::{
    accounted, edited, errors, lines, plots_of_two_trials, warning, whole, with,
};
use super::super::{ErrorSource, Exclusion};
use super::*;
use proptest::prelude::*;

#[test]
fn a_whole_folder_reads_without_a_word() {
    let reading = read(&whole());
    assert_eq!(lines(&reading.errors), [""; 0]);
    assert_eq!(lines(&reading.warnings), [""; 0]);
    let rows: Vec<_> = reading.rows.iter().map(|t| (t.file.as_str(), t.all, t.used)).collect();
    assert_eq!(rows[0], ("trials.csv", 5, 5));
    assert_eq!(rows[1], ("means.csv", 8, 8));
    assert_eq!(rows.len(), 9);
    let network = reading.network.unwrap();
    assert_eq!(network.trials[3].excluded, Some(Exclusion::Drought));
    assert_eq!(network.trials[3].water, Some(60.0));
    assert_eq!(network.means[7].trial, "T5", "means of excluded trials are kept");
    assert_eq!(network.varieties[0].note, "tall, weak");
    assert_eq!(network.means[3].plots, None);
    assert_eq!(network.pressure[0].pressure, 0);
    assert_eq!(network.info.seasons_to_prove, 3);
    assert_eq!(network.systems(), ["dryland", "irrigated"]);
}

#[test]
fn two_files_and_a_name_are_enough_and_each_missing_ability_is_said() {
    let mut files = whole();
    files.retain(|file, _| ["network.json", "trials.csv", "means.csv"].contains(&file.as_str()));
    files.insert("network.json".to_owned(), br#"{"name": "N", "yield_unit": "t/ha"}"#.to_vec());
    files.insert("trials.csv".to_owned(), b"trial,site,season\nT1,S9,2020\n".to_vec());
    files.insert("means.csv".to_owned(), b"trial,variety,yield\nT1,Z,1\nT1,Y,2\n".to_vec());
    let reading = read(&files);
    assert_eq!(lines(&reading.errors), [""; 0]);
    assert_eq!(reading.warnings.len(), 7);
    assert!(
        lines(&reading.warnings)
            .contains(&"water.csv: not there: the seasons of the trials stand in for the climate".to_owned())
    );
    let network = reading.network.unwrap();
    assert_eq!(network.trials[0].system, "all");
    assert_eq!(network.varieties.iter().map(|v| v.variety.as_str()).collect::<Vec<_>>(), ["Y", "Z"]);
    assert_eq!(network.sites[0].site, "S9");
}

#[test]
fn every_problem_is_named_at_once() {
    let mut files = with("means.csv", "trial,variety,yield\nT1,A,-3.2\nT9,Q,x\nT1,B,1\nT1,B,2\n");
    files.insert("trials.csv".to_owned(), b"trial,site,season,system\nT1,S7,20,\n".to_vec());
    files.remove("water.csv");
    files.remove("shortlist.csv");
    files.remove("pressure.csv");
    files.insert(
        "network.json".to_owned(),
        br#"{"name": "", "yield_unit": "stone", "lapse_after": 0}"#.to_vec(),
    );
    errors(
        &files,
        &[
            "network.json, column `name`: must be a text in quotes that is not empty",
            "network.json, column `yield_unit`: `stone` is not one of bu/ac, t/ha, kg/ha, lb/ac",
            "network.json, column `lapse_after`: 0 is not from 1 to 20",
            "trials.csv row 2, column `season`: `20` is not a year",
            "trials.csv row 2, column `site`: site `S7` is not in sites.csv",
            "means.csv row 2, column `yield`: -3.2 is not 0 or more",
            "means.csv row 3, column `yield`: `x` is not a number",
            "means.csv row 3, column `trial`: trial `T9` is not in trials.csv",
            "means.csv row 3, column `variety`: variety `Q` is not in varieties.csv",
            "means.csv row 5: trial `T1`, variety `B` is already in row 4",
        ],
    );
}

#[test]
fn each_cell_is_held_to_its_column() {
    let cases = [
        ("means.csv", "2.4", "-2.4", "means.csv row 3, column `yield`: -2.4 is below 0 t/ha"),
        ("means.csv", "2.4", "inf", "means.csv row 3, column `yield`: `inf` is not a finite number"),
        ("means.csv", "2.4", "NaN", "means.csv row 3, column `yield`: `NaN` is not a finite number"),
        ("means.csv", "2.4", "1e999", "means.csv row 3, column `yield`: `1e999` is not a finite number"),
        ("means.csv", "2.4", "1e200", "means.csv row 3, column `yield`: 1e200 is not from 0 to 100000"),
        (
            "trials.csv",
            "0.16",
            "1e-300",
            "trials.csv row 2, column `error_ms`: 1e-300 is not 0.000000001 or more",
        ),
        (
            "ratings.csv",
            "hollow-stem,0",
            "hollow-stem,-1e13",
            "ratings.csv row 4, column `value`: -1e13 is not from",
        ),
        ("means.csv", "2.4", "", "means.csv row 3, column `yield`: blank"),
        ("means.csv", "2.4,4", "2.4,0", "means.csv row 3, column `plots`: 0 is not 1 or more"),
        ("means.csv", "T1,B,2.4,4", "T1,B,2.4", "means.csv row 3: 3 cells where the header has 4"),
        ("means.csv", "T1,B,2.4,4", "T1,B,2,4,4", "means.csv row 3: 5 cells where the header has 4"),
        ("means.csv", "T1,B", "T1,", "means.csv row 3, column `variety`: blank"),
        ("trials.csv", "210", "-1", "trials.csv row 2, column `water`: -1 is below 0 mm"),
        ("trials.csv", "0.16", "0", "trials.csv row 2, column `error_ms`: 0 is not above 0"),
        ("trials.csv", "0.05", "1", "trials.csv row 3, column `lsd_level`: 1 is not between 0 and 1"),
        (
            "trials.csv",
            "drought",
            "dry",
            "trials.csv row 5, column `excluded`: `dry` is not one of drought, hail",
        ),
        (
            "trials.csv",
            "T2,S2,2020,dryland",
            "T2,S2,2020,",
            "trials.csv row 3, column `system`: blank, though",
        ),
        ("trials.csv", "T4", "T3", "trials.csv row 5: trial `T3` is already in row 4"),
        (
            "traits.csv",
            "disease",
            "fungus",
            "traits.csv row 2, column `kind`: `fungus` is not one of disease",
        ),
        ("traits.csv", "1,9", "9,9", "traits.csv row 2, column `worst`: best and worst are both 9"),
        ("traits.csv", "0.3", "30", "traits.csv row 2, column `severe_loss`: 30 is not from 0 to 1"),
        (
            "ratings.csv",
            "rust,7",
            "rust,70",
            "ratings.csv row 2, column `value`: 70 is off the scale of leaf-rust",
        ),
        (
            "ratings.csv",
            "B,leaf",
            "B,stem",
            "ratings.csv row 3, column `trait`: trait `stem-rust` is not in traits.csv",
        ),
        ("pressure.csv", "rust,3", "rust,4", "pressure.csv row 3, column `pressure`: `4` is not 0 (none)"),
        (
            "pressure.csv",
            "rust,3",
            "rust,1.5",
            "pressure.csv row 3, column `pressure`: `1.5` is not 0 (none)",
        ),
        ("pressure.csv", "rust,3", "rust,", "pressure.csv row 3, column `pressure`: blank"),
        (
            "shortlist.csv",
            "irrigated",
            "wet",
            "shortlist.csv row 3, column `system`: system `wet` is not in trials.csv",
        ),
        (
            "shortlist.csv",
            ",in,",
            ",maybe,",
            "shortlist.csv row 2, column `stance`: `maybe` is not one of in, out, follow",
        ),
        ("sites.csv", "40.5", "140.5", "sites.csv row 2, column `latitude`: 140.5 is not from -90 to 90"),
        (
            "varieties.csv",
            "ask",
            "perhaps",
            "varieties.csv row 4, column `keep_seed`: `perhaps` is not one of yes",
        ),
        (
            "water.csv",
            "2019,dryland",
            "2020,dryland",
            "water.csv row 3: site `S1`, season `2020`, system `dryland` is",
        ),
        (
            "network.json",
            "[\"A\"]",
            "[\"A\", \"X\"]",
            "network.json, column `checks[1]`: variety `X` is not in",
        ),
        (
            "network.json",
            "\"S1\"",
            "\"S5\"",
            "network.json, column `defaults.site`: site `S5` is not in sites.csv",
        ),
        (
            "network.json",
            "210",
            "\"210\"",
            "network.json, column `defaults.price`: must be a number without quotes",
        ),
        ("network.json", "true", "1", "network.json, column `invented`: must be true or false"),
        (
            "network.json",
            "\"checks\"",
            "\"name\": \"again\", \"checks\"",
            "network.json, column `name`: the key is there twice",
        ),
        ("network.json", "true,", "true", "network.json row 1: not JSON at character"),
    ];
    for (file, from, to, expected) in cases {
        errors(&edited(file, from, to), &[expected]);
    }
}

#[test]
fn faults_of_whole_files_are_named_once() {
    errors(&edited("means.csv", "yield", "harvest"), &["means.csv, column `yield`: the column is not there"]);
    errors(&edited("means.csv", "plots", "yield"), &["means.csv, column `yield`: the column is there twice"]);
    errors(&with("means.csv", ""), &["means.csv: the file is empty"]);
    errors(&with("means.csv", "trial,variety,yield\n"), &["means.csv: no rows below the header"]);
    errors(
        &edited("water.csv", "system", "sistema"),
        &["water.csv, column `system`: trials.csv has a `system` column"],
    );
    errors(&edited("sites.csv", "S2,South", "S2,\"South"), &["sites.csv row 3, column `name`: a cell opens"]);
    let mut files = whole();
    files.insert("varieties.csv".to_owned(), b"variety,name\nA,x\nB,\nC,pi\xF1a\n".to_vec());
    errors(&files, &["varieties.csv row 4, column `name`: the text is not UTF-8"]);
    for (absent, expected) in [
        ("network.json", "network.json: the file is not there"),
        ("trials.csv", "trials.csv: the file is not there"),
        ("means.csv", "means.csv: neither means.csv nor plots.csv is there"),
    ] {
        let mut files = whole();
        files.remove(absent);
        errors(&files, &[expected]);
    }
}

#[test]
fn a_file_past_its_limits_is_refused_before_it_is_stored() {
    let long = format!("trial,variety,yield\nT1,A,{}\n", "1".repeat((64 << 10) + 1));
    errors(&with("means.csv", &long), &["means.csv row 2: a cell longer than 65536 bytes"]);
    let wide = format!("trial,variety,yield{}\nT1,A,1\n", ",".repeat(498));
    errors(&with("means.csv", &wide), &["means.csv row 1: more than 500 columns"]);
    let many =
        format!("trial,variety,yield{}\n{}", ",".repeat(497), format!("{}\n", ",".repeat(499)).repeat(4_000));
    errors(&with("means.csv", &many), &["means.csv row 4001: more than 2000000 cells"]);
    let mut files = whole();
    files.insert("means.csv".to_owned(), vec![b'\n'; (64 << 20) + 1]);
    errors(&files, &["means.csv: 67108865 bytes are more than the 67108864 that are read"]);
}

#[test]
fn systems_in_one_file_only_are_one_problem_of_that_file() {
    errors(
        &edited("trials.csv", "system", "sistema"),
        &[
            "network.json, column `defaults.system`: system `dryland` is not in trials.csv",
            "water.csv, column `system`: water.csv has a `system` column and trials.csv has none",
            "shortlist.csv, column `system`: shortlist.csv has a `system` column and trials.csv has none",
        ],
    );
}

#[test]
fn what_stops_nothing_is_a_warning() {
    warning(
        &edited("means.csv", "plots", "parcels"),
        "means.csv, column `parcels`: not a column of this file",
    );
    warning(
        &edited("means.csv", "T3,A,5.0,3\nT3,C,5.6,3\n", ""),
        "trials.csv row 4: trial `T3` has no yields",
    );
    warning(
        &edited("trials.csv", "0.62,0.05", "0.62,"),
        "trials.csv row 3, column `lsd`: without `lsd_level`",
    );
    warning(
        &edited("water.csv", "S2,2020,dryland", "S2,2020,flood"),
        "water.csv, column `system`: no trial was grown in system `flood`; its 1 rows",
    );
    warning(
        &edited("network.json", "\"invented\"", "\"colour\": 1, \"invented\""),
        "network.json, column `colour`: not a key",
    );
    warning(&with("readme.txt", "hello"), "readme.txt: not a file of a network");
    warning(&edited("network.json", "t/ha", "bu/ac"), "network.json, column `bushel_lb`: without the weight");
    let mut files = whole();
    files.remove("traits.csv");
    warning(&files, "ratings.csv: without traits.csv this file is not used");
}

/// By hand, for the time it takes: `cargo test --release -p leanyear-engine --lib hundred_thousand -- --nocapture`.
#[test]
fn numbers_in_another_unit_are_named_by_their_row() {
    warning(
        &edited("means.csv", "T2,A,1.6", "T2,A,1600"),
        "means.csv row 5, column `yield`: 1600 is far from",
    );
    warning(
        &edited("trials.csv", "dryland,220,4,0.2", "dryland,8.7,4,0.2"),
        "trials.csv row 6, column `water`: 8.7 is far from",
    );
    warning(
        &edited("water.csv", "S2,2020,dryland,180", "S2,2020,dryland,7"),
        "water.csv row 4, column `water`: 7 is far from",
    );
    let usual = edited("means.csv", "T3,C,5.6,3", "T3,C,9.6,3");
    assert!(read(&usual).warnings.is_empty(), "{:?}", lines(&read(&usual).warnings));
}

#[test]
fn trials_that_take_the_error_of_the_others_are_named_once_a_system() {
    let trials = "trial,site,season,system,reps,error_ms\nT1,S1,2020,dryland,4,0.16\nT2,S2,2020,dryland,4,\nT3,S1,2021,irrigated,,\n";
    let mut files = with("trials.csv", trials);
    files.retain(|name, _| {
        ["network.json", "trials.csv", "means.csv", "varieties.csv"].contains(&name.as_str())
    });
    files.insert(
        "means.csv".into(),
        b"trial,variety,yield\nT1,A,2\nT1,B,3\nT2,A,2\nT3,B,5\nT3,C,5\n".to_vec(),
    );
    let named: Vec<String> =
        lines(&read(&files).warnings).into_iter().filter(|line| line.contains("pooled")).collect();
    assert_eq!(named.len(), 1, "{named:?}");
    assert!(
        named[0].starts_with("trials.csv, column `error_ms`: trials of system `dryland` that state no error of their means: 1, the first is `T2`"),
        "{named:?}"
    );
}

#[test]
fn a_hundred_thousand_rows_are_read_and_accounted_for() {
    let mut trials = "trial,site,season,system,water,reps,error_ms\n".to_owned();
    let mut means = "trial;variety;yield;plots\n".to_owned();
    for trial in 0..1500 {
        trials +=
            &format!("T{trial},S{},{},dryland,{},4,0.16\n", trial % 40, 1990 + trial / 50, 100 + trial % 300);
        for variety in 0..67 {
            means += &format!(
                "T{trial};V{};{},{};4\n",
                (trial + variety * 7) % 500,
                1 + variety % 5,
                11 + trial % 80
            );
        }
    }
    let mut files = whole();
    files.retain(|name, _| name == "network.json");
    let info = r#"{"name": "Invented", "invented": true, "yield_unit": "t/ha"}"#;
    files.insert("network.json".into(), info.as_bytes().to_vec());
    files.insert("trials.csv".into(), trials.into_bytes());
    files.insert("means.csv".into(), means.into_bytes());
    let found = read(&files);
    accounted(&found);
    assert_eq!(found.network.map(|network| network.means.len()), Some(100_500), "{:?}", found.errors.first());
}

#[test]
fn statements_of_error_that_differ_are_named() {
    // EMS 0.16267 on four replicates and two entries: t on 3 df is 3.1824, LSD 0.9076; half of that is a quarter
    // of the variance.
    let differing = edited("trials.csv", "4,0.16,,", "4,0.16267,0.4538,0.05");
    let reading = read(&differing);
    let named: Vec<_> = reading.warnings.iter().map(|w| (&w.kind, w.row)).collect();
    let [(ProblemKind::ErrorSourcesDiffer { first, second, .. }, Some(2))] = named[..] else {
        panic!("{named:?}")
    };
    assert_eq!((*first, *second), (ErrorSource::ErrorMs, ErrorSource::Lsd));
}

proptest! {
    /// Whatever is done to a file, no row is lost between used and reported, a network comes out exactly when
    /// there is no error, and the count of rows is that of the `csv` crate.
    #[test]
    fn damage_loses_no_row(
        file in 0_usize..10,
        cuts in prop::collection::vec((0_usize..400, 0_usize..4, "[,\"\n0-9a-z.\\-]{0,3}|T1|leaf-rust|\\PC"), 1..5),
    ) {
        let mut files = whole();
        files.insert("plots.csv".to_owned(), plots_of_two_trials().into_bytes());
        let name = TABLES[file].file;
        let mut text: Vec<char> = String::from_utf8(files[name].clone()).unwrap().chars().collect();
        for (at, length, new) in cuts {
            let start = at % (text.len() + 1);
            let end = (start + length).min(text.len());
            text.splice(start..end, new.chars());
        }
        let text: String = text.into_iter().collect();
        files.insert(name.to_owned(), text.clone().into_bytes());
        let reading = read(&files);
        accounted(&reading);
        prop_assert_eq!(reading.network.is_some(), reading.errors.is_empty());
        let quotes_in_order = !reading.errors.iter().any(|error| {
            matches!(error.kind, ProblemKind::QuoteNotClosed | ProblemKind::TextAfterQuote | ProblemKind::HeaderMissing)
        });
        if quotes_in_order {
            let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
            let records = reader.records().filter(|r| r.as_ref().unwrap().iter().any(|c| !c.trim().is_empty())).count();
            let counted = reading.rows.iter().find(|table| table.file == name).unwrap().all;
            prop_assert_eq!(counted + 1, records);
        }
    }
}

#[test]
fn no_trait_is_called_as_a_link_key_is() {
    for word in ["price", "water", "spray-rust", "v"] {
        let mut files = edited("traits.csv", "first-hollow-stem,", &format!("{word},"));
        files.insert("ratings.csv".to_owned(), b"variety,trait,value\nA,leaf-rust,7\n".to_vec());
        errors(&files, &[&format!("traits.csv row 3, column `trait`: a trait may not be called `{word}`")]);
    }
}

/// A quote that is never closed swallows the rest of its file: it is named first, and what it swallowed is not
/// missed elsewhere.
#[test]
fn a_file_that_is_not_wholly_read_is_named_first_and_blamed_for_nothing_else() {
    let open = |file: &str, from: &str, to: &str| {
        let mut files = edited(file, from, to);
        let trials = String::from_utf8(files["trials.csv"].clone()).unwrap();
        files.insert("trials.csv".into(), (trials + "T6,S1,20x2,dryland,,,,,,,,\n").into_bytes());
        files
    };
    errors(
        &open("varieties.csv", "B,,,", "B,\"Name,,"),
        &["varieties.csv row 3, column `name`: a cell opens", "trials.csv row 7"],
    );
    let found = read(&open("varieties.csv", "B,,,", "B,\"Name,,"));
    assert!(
        lines(&found.warnings)[0]
            .starts_with("varieties.csv: codes in means.csv, ratings.csv, shortlist.csv, which"),
        "{:#?}",
        lines(&found.warnings)
    );
    let mut files = open("means.csv", "T1,B,2.4", "T1,\"B,2.4");
    files.insert("plots.csv".into(), plots_of_two_trials().into_bytes());
    errors(&files, &["means.csv row 3, column `variety`: a cell opens", "trials.csv row 7"]);
    assert!(lines(&read(&files).warnings).iter().all(|line| !line.contains("has no yields")));
}
