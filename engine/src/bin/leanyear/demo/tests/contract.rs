//! Columns, keys, ranges and counts, and the committed copy byte for byte.

use super::{mean, number, rows, text, variance};
use leanyear_engine::order::{Map, Set};
use leanyear_engine::pack::{NetworkInfo, YieldUnit};
use std::path::Path;

#[test]
fn committed_files_are_what_the_generator_writes() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../data/demo");
    let mut committed: Vec<String> =
        std::fs::read_dir(&folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    committed.sort();
    let mut generated = super::super::files();
    generated.sort();
    assert_eq!(committed, generated.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>());
    for (name, content) in generated {
        let bytes = std::fs::read(folder.join(&name)).unwrap();
        assert!(bytes == content.as_bytes(), "data/demo/{name} differs: run `leanyear demo data/demo`");
    }
}

#[test]
fn writing_makes_the_folder_and_refuses_with_its_name() {
    let folder = std::env::temp_dir().join(format!("leanyear-demo-{}", std::process::id()));
    let written = super::super::write(&folder.join("new")).unwrap();
    assert_eq!(written.len(), 10);
    let blocked = super::super::write(&written[0]).unwrap_err().to_string();
    assert!(blocked.contains("network.json"), "{blocked}");
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn headers_are_those_of_the_data_folder() {
    for (name, header) in [
        ("trials.csv", "trial,site,season,system,water,reps,error_ms,lsd,lsd_level,cv,fallow,excluded"),
        ("means.csv", "trial,variety,yield,plots"),
        (
            "varieties.csv",
            "variety,name,released,origin,class,seed_cost,keep_seed,herbicide_trait,note,note_es",
        ),
        ("sites.csv", "site,name,zone,latitude,longitude,elevation_m"),
        ("water.csv", "site,season,system,water"),
        (
            "traits.csv",
            "trait,label,label_es,kind,best,worst,unit,severe_loss,severe_loss_sd,vector,protectable,efficacy,\
             spray_cost,label_note,source",
        ),
        ("ratings.csv", "variety,trait,value,seasons"),
        ("pressure.csv", "trial,trait,pressure"),
        ("shortlist.csv", "system,variety,stance,note,by,date"),
    ] {
        assert_eq!(text(name).lines().next().unwrap(), header, "{name}");
    }
}

#[test]
fn network_says_it_is_invented_and_opens_on_a_dryland_site_with_a_record() {
    let info: NetworkInfo = serde_json::from_str(&text("network.json")).unwrap();
    assert!(info.invented && info.name.contains("invented") && info.contact.contains("invented"));
    assert_eq!(info.yield_unit, YieldUnit::BushelPerAcre);
    assert_eq!(
        (info.defaults.price, info.defaults.cost, info.defaults.usual),
        (Some(5.8), Some(165.0), None)
    );
    let (site, system) = (info.defaults.site.unwrap(), info.defaults.system.unwrap());
    let record = rows("water.csv").iter().filter(|r| r["site"] == site && r["system"] == system).count();
    assert_eq!(record, 45);
    let harvested: Set<String> = rows("means.csv").iter().map(|r| r["trial"].clone()).collect();
    for check in &info.checks {
        let seen: Set<String> =
            rows("means.csv").iter().filter(|r| r["variety"] == *check).map(|r| r["trial"].clone()).collect();
        assert_eq!(seen, harvested, "{check} is missing from a trial");
    }
}

/// The values of one or more key columns, none twice.
fn keys(file: &str, columns: &[&str]) -> Set<String> {
    let rows = rows(file);
    let keys: Set<String> =
        rows.iter().map(|r| columns.iter().map(|c| r[*c].as_str()).collect::<Vec<_>>().join("|")).collect();
    assert_eq!(keys.len(), rows.len(), "{file}: a key of {columns:?} occurs twice");
    keys
}

#[test]
fn every_code_is_unique_and_resolves() {
    let trials = keys("trials.csv", &["trial"]);
    let varieties = keys("varieties.csv", &["variety"]);
    let sites = keys("sites.csv", &["site"]);
    let traits = keys("traits.csv", &["trait"]);
    keys("varieties.csv", &["name"]);
    for (file, key, column, known) in [
        ("means.csv", &["trial", "variety"][..], "trial", &trials),
        ("means.csv", &["trial", "variety"], "variety", &varieties),
        ("trials.csv", &["site", "season", "system"], "site", &sites),
        ("water.csv", &["site", "season", "system"], "site", &sites),
        ("ratings.csv", &["variety", "trait"], "variety", &varieties),
        ("ratings.csv", &["variety", "trait"], "trait", &traits),
        ("pressure.csv", &["trial", "trait"], "trial", &trials),
        ("pressure.csv", &["trial", "trait"], "trait", &traits),
        ("shortlist.csv", &["system", "variety"], "variety", &varieties),
    ] {
        keys(file, key);
        for row in rows(file) {
            assert!(known.contains(&row[column]), "{file}: {column} `{}` is not known", row[column]);
        }
    }
}

#[test]
fn trials_and_entries_come_in_the_numbers_promised() {
    let trials = rows("trials.csv");
    let means = rows("means.csv");
    assert!((100..=115).contains(&trials.len()), "{}", trials.len());
    assert!((2_700..=3_300).contains(&means.len()), "{}", means.len());
    let excluded: Vec<_> = trials.iter().filter(|t| !t["excluded"].is_empty()).collect();
    assert_eq!(excluded.len(), 8);
    for reason in ["drought", "hail", "stand", "other"] {
        assert!(excluded.iter().any(|t| t["excluded"] == reason), "{reason}");
    }
    for drought in excluded.iter().filter(|t| t["excluded"] == "drought") {
        assert!(["2022", "2025"].contains(&drought["season"].as_str()));
    }
    let mut entries: Map<&str, Set<&str>> = Map::new();
    for mean in &means {
        entries.entry(&mean["trial"][4..8]).or_default().insert(&mean["variety"]);
    }
    assert_eq!(entries.len(), 9);
    assert!(entries.values().all(|e| (32..=38).contains(&e.len())), "{entries:?}");
}

#[test]
fn trial_water_is_the_record_and_the_dry_seasons_are_among_the_driest() {
    let record: Map<(String, String, String), f64> = rows("water.csv")
        .iter()
        .map(|r| ((r["site"].clone(), r["season"].clone(), r["system"].clone()), number(r, "water")))
        .collect();
    for trial in rows("trials.csv") {
        let key = (trial["site"].clone(), trial["season"].clone(), trial["system"].clone());
        assert_eq!(number(&trial, "water"), record[&key], "{}", trial["trial"]);
    }
    let mut by_season: Map<&str, Vec<f64>> = Map::new();
    let mut by_site: Map<&str, Vec<(f64, &str)>> = Map::new();
    for ((site, season, _), water) in record.iter().filter(|((_, _, system), _)| system == "dryland") {
        by_season.entry(season).or_default().push(*water);
        by_site.entry(site).or_default().push((*water, season));
    }
    let mut ranked: Vec<(f64, &str)> = by_season.iter().map(|(s, w)| (mean(w), *s)).collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert_eq!(ranked[0].1, "2025");
    assert!(ranked[..5].iter().any(|(_, season)| *season == "2022"), "{ranked:?}");
    let driest_in_2025 = by_site
        .values()
        .filter(|waters| waters.iter().min_by(|a, b| a.0.total_cmp(&b.0)).unwrap().1 == "2025")
        .count();
    assert!(driest_in_2025 >= 3);
    for (site, waters) in by_site {
        let inches: Vec<f64> = waters.iter().map(|(w, _)| *w).collect();
        assert!((11.0..=17.0).contains(&mean(&inches)), "{site}");
        assert!((0.20..=0.32).contains(&(variance(&inches).sqrt() / mean(&inches))), "{site}");
    }
}

#[test]
fn reports_agree_with_each_other_and_some_are_missing() {
    let trials = rows("trials.csv");
    let harvested = rows("means.csv");
    for trial in trials.iter().filter(|t| !t["error_ms"].is_empty()) {
        let yields: Vec<f64> =
            harvested.iter().filter(|m| m["trial"] == trial["trial"]).map(|m| number(m, "yield")).collect();
        let error_ms = number(trial, "error_ms");
        let t = number(trial, "lsd") / (2.0 * error_ms / number(trial, "reps")).sqrt();
        // Two-sided 5 % points lie between those of ∞ and 42 degrees of freedom, 1.960 and 2.018; the LSD
        // is rounded to 0.1, up to 1.5 % of it.
        assert!((1.93..=2.05).contains(&t), "{}: {t}", trial["trial"]);
        assert!((number(trial, "cv") - 100.0 * error_ms.sqrt() / mean(&yields)).abs() < 0.1);
    }
    let harvested_trials: Vec<_> =
        trials.iter().filter(|t| !["drought", "hail"].contains(&&*t["excluded"])).collect();
    let says = |ems: bool, lsd: bool, cv: bool| {
        harvested_trials
            .iter()
            .filter(|t| {
                t["error_ms"].is_empty() != ems && t["lsd"].is_empty() != lsd && t["cv"].is_empty() != cv
            })
            .count()
    };
    assert!(says(true, true, true) > 70);
    assert!(says(false, true, false) >= 3 && says(false, false, true) >= 3 && says(false, false, false) >= 2);
    assert!(trials.iter().all(|t| t["lsd"].is_empty() == t["lsd_level"].is_empty()));
}

#[test]
fn ratings_lie_on_their_scales_and_newcomers_have_fewer() {
    let traits = rows("traits.csv");
    let ratings = rows("ratings.csv");
    for rating in &ratings {
        let scale = traits.iter().find(|t| t["trait"] == rating["trait"]).unwrap();
        if !scale["best"].is_empty() {
            let (best, worst) = (number(scale, "best"), number(scale, "worst"));
            let value = number(rating, "value");
            assert!((best.min(worst)..=best.max(worst)).contains(&value), "{rating:?}");
        }
    }
    let threats: Vec<_> = traits.iter().filter(|t| ["disease", "pest"].contains(&&*t["kind"])).collect();
    assert!(threats.len() >= 7);
    assert!(threats.iter().any(|t| number(t, "best") > number(t, "worst")));
    assert!(threats.iter().any(|t| number(t, "best") < number(t, "worst")));
    let count = |variety: &str| ratings.iter().filter(|r| r["variety"] == variety).count();
    let newest: usize = (61..=64).map(|v| count(&format!("V{v}"))).sum();
    let checks: usize = (1..=3).map(|v| count(&format!("V0{v}"))).sum();
    assert_eq!(checks, 3 * traits.len());
    assert!(newest < 4 * traits.len() / 2);
    for rating in ratings.iter().filter(|r| r["trait"] == "first-hollow-stem" && r["variety"] == "V01") {
        assert_eq!(rating["value"], "0");
    }
}

#[test]
fn a_score_never_taken_is_absent_and_never_zero() {
    let scores = rows("pressure.csv");
    let harvested: Set<String> = rows("means.csv").iter().map(|r| r["trial"].clone()).collect();
    let threats = rows("traits.csv").iter().filter(|t| ["disease", "pest"].contains(&&*t["kind"])).count();
    let missing = 1.0 - scores.len() as f64 / (harvested.len() * threats) as f64;
    assert!((0.10..=0.20).contains(&missing), "{missing}");
    for level in ["0", "1", "2", "3"] {
        assert!(scores.iter().any(|s| s["pressure"] == level), "no score of {level}");
    }
}

#[test]
fn notes_are_in_both_languages_and_the_shortlist_takes_every_stance() {
    let noted: Vec<_> = rows("varieties.csv").into_iter().filter(|v| !v["note"].is_empty()).collect();
    assert!(noted.len() >= 15);
    assert!(noted.iter().all(|v| !v["note_es"].is_empty()));
    let shortlist = rows("shortlist.csv");
    for system in ["dryland", "limited-irrigation", "full-irrigation"] {
        for stance in ["in", "out", "follow"] {
            assert!(shortlist.iter().any(|s| s["system"] == system && s["stance"] == stance));
        }
    }
}
