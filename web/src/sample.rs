//! An invented network and a decision table for tests of the views: 36 varieties, two systems.

#![allow(clippy::expect_used)]

mod extras;

pub use extras::extras;

use crate::derive::{Answer, NeedCount, Years};
use leanyear_engine::decide::{
    BreakEven, ClimateSource, FieldSummary, LongRun, Missing, OddsTable, OutlookSummary, ResponsePoint,
    Standing, StandingState, TrialRecord, VarietyDetail, VarietyLoss, VarietyOdds,
};
use leanyear_engine::forecast::form::FittedLoss;
use leanyear_engine::link::{Settings, View, WaterOutlook};
use leanyear_engine::pack::{Exclusion, Network, Trait, TraitKind, Trial, Variety, YieldUnit};
use leanyear_engine::season::climate::BaseRate;
use std::rc::Rc;

const INFO: &str = r#"{"name": "Invented upland trials", "crop": "winter wheat", "invented": true,
    "yield_unit": "bu/ac", "water_unit": "in", "currency": "$", "data_date": "2025-07-28",
    "contact": "nobody", "funded_by": "nobody", "checks": ["V01"]}"#;

/// A network of 36 varieties, `Ambra01` to `Ambra36`, two sites and two systems.
pub fn network() -> Network {
    let trial = |system: &str, season: i32, excluded| Trial {
        trial: format!("{system}-{season}"),
        site: "S01".into(),
        season,
        system: system.into(),
        water: Some(9.0 + f64::from(season % 7)),
        error: leanyear_engine::pack::ErrorReport::default(),
        fallow: None,
        excluded,
    };
    let mut trials: Vec<Trial> = (2017..2025).map(|season| trial("dryland", season, None)).collect();
    trials.push(trial("dryland", 2025, Some(Exclusion::Drought)));
    trials.extend((2017..2025).map(|season| trial("full-irrigation", season, None)));
    let site = |code: &str, name: &str| leanyear_engine::pack::Site {
        site: code.into(),
        name: name.into(),
        zone: "Upper zone".into(),
        ..Default::default()
    };
    Network {
        info: serde_json::from_str(INFO).expect("the sample's network.json is valid"),
        trials,
        means: Vec::new(),
        plots: Vec::new(),
        varieties: (1..=36)
            .map(|k| Variety {
                variety: format!("V{k:02}"),
                name: format!("Ambra{k:02}"),
                note: if k == 2 { "Cut it early.".into() } else { String::new() },
                ..Default::default()
            })
            .collect(),
        sites: vec![site("S01", "First Hill"), site("S02", "Second Hill")],
        water: Vec::new(),
        traits: [("leaf-rust", "leaf rust", ""), ("mosaic", "Hill mosaic", "curl mite")]
            .map(|(code, label, vector)| Trait {
                label: label.into(),
                vector: vector.into(),
                ..disease(code)
            })
            .to_vec(),
        ratings: Vec::new(),
        pressure: Vec::new(),
        shortlist: Vec::new(),
    }
}

fn disease(code: &str) -> Trait {
    Trait {
        trait_: code.into(),
        label: String::new(),
        label_es: String::new(),
        kind: TraitKind::Disease,
        best: Some(1.0),
        worst: Some(9.0),
        unit: String::new(),
        severe_loss: Some(0.3),
        severe_loss_sd: None,
        vector: String::new(),
        protectable: false,
        efficacy: None,
        spray_cost: None,
        label_note: String::new(),
        source: String::new(),
    }
}

/// Settings for dryland near the first site in a dry year, growing the fifth variety.
pub fn settings() -> Settings {
    let network = network();
    Settings {
        site: Some("S01".into()),
        mine: Some("V05".into()),
        water: WaterOutlook::Dry,
        price: Some(5.8),
        cost: Some(165.0),
        unit: YieldUnit::BushelPerAcre,
        view: View::Odds,
        ..Settings::defaults_for(&network, "00000000")
    }
}

/// Odds of a variety whose twenty years run evenly from `low` to `low + 19`.
fn odds(k: u32, low: f64, line: f64) -> VarietyOdds {
    let seasons: Vec<f64> = (0..20).map(|season| low + f64::from(season)).collect();
    let short = seasons.iter().filter(|y| **y < line).count() as u8;
    let (state, last) = match k {
        3 => (StandingState::New, Some(2024)),
        4 => (StandingState::NoLongerTested, Some(2019)),
        _ => (StandingState::WellTested, Some(2024)),
    };
    VarietyOdds {
        variety: format!("V{k:02}"),
        expected: low + 9.5,
        low80: low + 1.5,
        high80: low + 17.5,
        failed_marks: 0,
        break_even: Some(line),
        chance_short: f64::from(short) / 20.0,
        marks_short: short,
        shortfall: 12.0,
        net: Some(5.8 * (low + 9.5) - 165.0),
        worst_fifth: low + 1.5,
        worst_fifth_net: Some(5.8 * (low + 1.5) - 165.0),
        net_law: None,
        nameable: k != 3 && k != 4,
        fails: Vec::new(),
        seed_cost: 21.0,
        seed_cost_known: k != 2,
        beats_check: Some(0.55),
        beats_mine: (k != 5).then_some(0.65),
        best: 0.1,
        best_longrun: 0.1,
        group: k <= 10,
        standing: Standing {
            state,
            seasons: if k == 3 { 1 } else { 6 },
            trials: if k == 3 { 1 } else { 31 },
            trials_like_this: if k == 3 { 0 } else { 9 },
            last,
            apart: false,
        },
        seasons,
    }
}

/// The answer to [`settings`]: varieties in order, the first ten too close to call.
pub fn answer() -> Answer {
    let line = 165.0 / 5.8;
    let table = OddsTable {
        settings: settings(),
        field: FieldSummary {
            usual: 33.7,
            usual_given: false,
            reference_set: vec!["V01".into(), "V07".into()],
            trials: 16,
            seasons: (2017, 2024),
            water_slope: true,
        },
        outlook: OutlookSummary {
            source: ClimateSource::LongRecord,
            seasons_in_record: 45,
            seasons_like_this: 15,
            water_mean: Some(9.4),
            water_range: Some((6.0, 11.0)),
            record_years: Some((1981, 2025)),
            drier_than_harvested: false,
            chance_no_harvest: 0.03,
        },
        losses: vec![
            FittedLoss { trait_: "leaf-rust".into(), published: (0.3, 0.08), estimate: 0.28, learnt: true },
            FittedLoss { trait_: "mosaic".into(), published: (0.7, 0.15), estimate: 0.7, learnt: false },
        ],
        break_even: BreakEven::Yield(line),
        varieties: (1..=36).map(|k| odds(k, 24.0 - 0.5 * f64::from(k), line)).collect(),
        missing: vec![Missing::DiseaseLosses],
    };
    let rate = BaseRate { seasons_in_record: 45, seasons_like_this: 15, water_range: Some((6.0, 11.0)) };
    Answer {
        table: Rc::new(table),
        detail: Some(Rc::new(detail())),
        years: Rc::new(Years {
            kinds: vec![(WaterOutlook::Dry, rate)],
            single: vec![(2022, 7.1), (2021, 12.4)],
        }),
        code: None,
        extras: Rc::default(),
        needs: Rc::new(vec![NeedCount {
            trait_: "leaf-rust".into(),
            have: 30,
            unknown: 2,
            all: 36,
            passes: Some((5.0, false)),
        }]),
        link: "v=1&pack=00000000&mine=V05&water=dry".into(),
    }
}

fn detail() -> VarietyDetail {
    let record = |season: i32, excluded| TrialRecord {
        trial: format!("dryland-{season}"),
        site: "S01".into(),
        season,
        system: "dryland".into(),
        water: Some(9.5),
        yield_: 31.2,
        deviation: -1.4,
        varieties: 30,
        excluded,
    };
    VarietyDetail {
        variety: "V02".into(),
        response: (6..=20)
            .map(|water| {
                let water = f64::from(water);
                ResponsePoint { water, median: 2.5 * water, low80: 2.0 * water, high80: 3.0 * water }
            })
            .collect(),
        long_run: Some(LongRun {
            against: vec!["V01".into(), "V07".into()],
            difference: 2.14,
            range_80: (-0.3, 4.6),
        }),
        trials: vec![record(2025, Some(Exclusion::Hail)), record(2024, None), record(2023, None)],
        losses: vec![
            VarietyLoss { trait_: "leaf-rust".into(), severe: 0.124, rated: true },
            VarietyLoss { trait_: "mosaic".into(), severe: 0.35, rated: false },
        ],
    }
}
