//! A whole invented folder, ways to break it, and what a reading of it must show. For tests only.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::{Problem, Reading, read};
use crate::order::Map;

/// A folder with every file, without a fault. Codes and numbers are invented.
pub fn whole() -> Map<String, Vec<u8>> {
    let files = [
        (
            "network.json",
            r#"{"name": "Invented", "invented": true, "yield_unit": "t/ha", "checks": ["A"],
                "defaults": {"price": 210, "system": "dryland", "site": "S1"}}"#,
        ),
        (
            "trials.csv",
            "trial,site,season,system,water,reps,error_ms,lsd,lsd_level,cv,fallow,excluded\n\
             T1,S1,2020,dryland,210,4,0.16,,,,yes,\n\
             T2,S2,2020,dryland,180,4,,0.62,0.05,,,\n\
             T3,S1,2021,irrigated,410,3,,,,9.5,,\n\
             T4,S2,2021,dryland,60,,,,,,,drought\n\
             T5,S2,2022,dryland,220,4,0.2,,,,,hail\n",
        ),
        (
            "means.csv",
            "trial,variety,yield,plots\nT1,A,2.1,4\nT1,B,2.4,4\nT1,C,2.0,3\nT2,A,1.6,\nT2,B,1.5,\nT3,A,5.0,3\n\
             T3,C,5.6,3\nT5,A,0.7,4\n",
        ),
        (
            "varieties.csv",
            "variety,name,released,keep_seed,seed_cost,note\nA,Old,1995,yes,12,\"tall, weak\"\nB,,,,,\nC,,,ask,,\n",
        ),
        (
            "sites.csv",
            "site,name,zone,latitude,longitude,elevation_m\nS1,North,dry,40.5,-101,1200\nS2,South,dry,,,\n",
        ),
        (
            "water.csv",
            "site,season,system,water\nS1,2019,dryland,150\nS1,2020,dryland,210\nS2,2020,dryland,180\n",
        ),
        (
            "traits.csv",
            "trait,label,kind,best,worst,severe_loss,protectable,efficacy\n\
             leaf-rust,Leaf rust,disease,1,9,0.3,yes,0.7\nfirst-hollow-stem,First hollow stem,grazing,,,,,\n",
        ),
        (
            "ratings.csv",
            "variety,trait,value,seasons\nA,leaf-rust,7,5\nB,leaf-rust,2,\nA,first-hollow-stem,0,\n",
        ),
        ("pressure.csv", "trial,trait,pressure\nT1,leaf-rust,0\nT2,leaf-rust,3\n"),
        (
            "shortlist.csv",
            "system,variety,stance,note,by,date\ndryland,B,in,,,2025-07-01\nirrigated,A,out,,,\n",
        ),
    ];
    files.map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec())).into_iter().collect()
}

pub fn with(file: &str, text: &str) -> Map<String, Vec<u8>> {
    let mut files = whole();
    files.insert(file.to_owned(), text.as_bytes().to_vec());
    files
}

/// One file of the whole folder with some text replaced.
pub fn edited(file: &str, from: &str, to: &str) -> Map<String, Vec<u8>> {
    let text = String::from_utf8(whole()[file].clone()).unwrap();
    assert!(text.contains(from), "{file} holds no {from:?}");
    with(file, &text.replacen(from, to, 1))
}

pub fn lines(problems: &[Problem]) -> Vec<String> {
    problems.iter().map(Problem::to_string).collect()
}

/// The folder has exactly these errors, by the start of their lines.
#[track_caller]
pub fn errors(files: &Map<String, Vec<u8>>, expected: &[&str]) {
    let reading = read(files);
    let found = lines(&reading.errors);
    assert_eq!(found.len(), expected.len(), "{found:#?}");
    for (line, start) in found.iter().zip(expected) {
        assert!(line.starts_with(start), "{line:?} does not start with {start:?}");
    }
    assert!(reading.network.is_none());
    accounted(&reading);
}

#[track_caller]
pub fn warning(files: &Map<String, Vec<u8>>, start: &str) {
    let reading = read(files);
    assert!(reading.network.is_some(), "{:#?}", lines(&reading.errors));
    let found = lines(&reading.warnings);
    assert!(found.iter().any(|line| line.starts_with(start)), "{found:#?}");
}

#[track_caller]
pub fn accounted(reading: &Reading) {
    for table in &reading.rows {
        assert_eq!(table.used + table.reported, table.all, "{table:?}\n{:#?}", lines(&reading.errors));
    }
}

pub const PLOTS_HEADER: &str = "trial,rep,block,row,col,variety,yield\n";

/// Plots of trials T1 and T2 that agree with the means file on the varieties.
pub fn plots_of_two_trials() -> String {
    let mut text = PLOTS_HEADER.to_owned();
    for (trial, varieties) in [("T1", "ABC"), ("T2", "AB")] {
        for (rep, lift) in [("1", 0.0), ("2", 0.3), ("3", 0.5)] {
            for (at, variety) in varieties.chars().enumerate() {
                let yield_ = 1.0 + lift + [0.0, 0.4, 0.1][at] + if at == 1 && rep == "2" { 0.2 } else { 0.0 };
                text += &format!("{trial},{rep},,{rep},{at},{variety},{yield_}\n");
            }
        }
    }
    text
}
