//! Invented answers about cattle, sprays, acres, side by side, for tests of the views.

use crate::derive::{Extras, Moved};
use leanyear_engine::decide::acres::{AcrePlan, Farm, Holding, Suggestion, ThreatShare};
use leanyear_engine::decide::change::{Change, MoreWater, Newcomer, WhatWouldChange};
use leanyear_engine::decide::compare::{Compared, Comparison, Duel, Pair, ThreatLoss};
use leanyear_engine::decide::grazing::{Grazing, KeepOn, VarietyGrazing};
use leanyear_engine::decide::law::Law;
use leanyear_engine::decide::sprays::SprayWorth;
use leanyear_engine::decide::tipping::{Lever, TippingPoint};
use leanyear_engine::decide::worked::WorkedLine;
use leanyear_engine::decide::{Standing, StandingState};
use std::rc::Rc;

/// Everything that can be asked beside the table.
pub fn extras() -> Extras {
    let lever = Lever::Water;
    Extras {
        grazing: Some(Rc::new(grazing())),
        sprays: vec![SprayWorth {
            trait_: "leaf-rust".into(),
            cost: Some(18.0),
            efficacy: 0.8,
            sprayed: false,
            gain_yield: 1.9,
            gain: Some(-6.2),
            pays: Some(0.35),
            marks_pays: Some(7),
            break_even: Some(3.1),
        }],
        worked: worked(),
        against_mine: Some(pair()),
        comparison: Some(Rc::new(Comparison {
            in_money: true,
            varieties: ["V02", "V05"].map(compared).to_vec(),
            pairs: vec![pair()],
            tipping: tipping(),
        })),
        moved: Some(Moved {
            lever,
            range: (6.0, 20.0),
            now: 9.4,
            at: 12.0,
            there: vec![40.0, 55.0],
            curves: Rc::new(vec![(6.0, vec![-20.0, -30.0]), (20.0, vec![80.0, 120.0])]),
        }),
        acres: Some((Rc::new(plan(true)), Rc::new(plan(false)))),
        change: Some(Rc::new(change())),
    }
}

fn grazing() -> Grazing {
    let of = |code: &str, off_by, recovers_poorly| VarietyGrazing {
        variety: code.into(),
        off_by,
        days_past: 0.0,
        lost: 0.07,
        grain_lost: 2.1,
        week_late: 7.4,
        week_late_money: Some(43.0),
        keep_on: Some(KeepOn { brings: 2.1, grain_lost: 1.2, costs: 6.9 }),
        recovery: None,
        recovers_poorly,
    };
    Grazing {
        income: Some(105.0),
        spared: 16.4,
        recovery_trait: None,
        counted_from: Some("V01".into()),
        varieties: vec![of("V01", Some(0.0), None), of("V02", Some(4.0), Some(true)), of("V05", None, None)],
    }
}

fn worked() -> Vec<WorkedLine> {
    vec![
        WorkedLine::Grain { quantity: 31.2, price: 5.8, amount: 180.96 },
        WorkedLine::Dock { trait_: "test-weight".into(), value: None, off: 0.05, amount: -1.56 },
        WorkedLine::Costs { cash_only: false, amount: -165.0 },
        WorkedLine::Seed { known: false, amount: -21.0 },
        WorkedLine::Left { amount: -6.6 },
        WorkedLine::BreakEvenYield { costs: 186.0, margin: 5.75, quantity: Some(32.35) },
        WorkedLine::BreakEvenPrice { costs: 186.0, quantity: 31.2, price: 5.96 },
    ]
}

fn pair() -> Pair {
    let duel = |a_wins: f64, a_by, b_by, difference| Duel {
        a_wins,
        b_wins: 1.0 - a_wins,
        ties: 0.0,
        a_by,
        b_by,
        difference,
        difference_80: (-22.0, 35.0),
    };
    Pair {
        a: "V02".into(),
        b: "V05".into(),
        one_season: duel(0.65, 21.0, 12.0, 9.5),
        five_seasons: duel(0.7, 9.0, 5.0, 4.0),
    }
}

fn compared(code: &str) -> Compared {
    let loss = |trait_: &str, rated| ThreatLoss { trait_: trait_.into(), lost: 1.4, severe: 0.12, rated };
    Compared {
        variety: code.into(),
        five_seasons: 20.0,
        losses: vec![loss("leaf-rust", true), loss("mosaic", false)],
    }
}

fn tipping() -> Vec<TippingPoint> {
    let point = |lever, now, range, at, set80, crossing| TippingPoint {
        a: "V02".into(),
        b: "V05".into(),
        lever,
        now,
        range,
        at,
        first_ahead_above: false,
        set80,
        crossing,
    };
    vec![
        point(Lever::Water, 9.4, (6.0, 20.0), Some(11.2), Some((9.0, 13.1)), 0.9),
        point(Lever::Price, 5.8, (2.9, 11.6), Some(9.0), Some((4.0, 11.0)), 0.3),
        point(Lever::Disease("mosaic".into()), 0.2, (0.0, 1.0), None, None, 0.0),
    ]
}

fn law(low: f64) -> Law {
    Law {
        expected: low + 47.5,
        low80: low + 7.5,
        high80: low + 87.5,
        seasons: (0..20).map(|k| low + 5.0 * f64::from(k)).collect(),
        worst_fifth: low + 7.5,
    }
}

fn farm(shares: &[(&str, f64)], area: Option<f64>, low: f64) -> Farm {
    Farm {
        holdings: shares
            .iter()
            .map(|(code, share)| Holding {
                variety: (*code).into(),
                share: *share,
                area: area.map(|area| area * share),
            })
            .collect(),
        yield_: law(10.0),
        net: Some(law(low)),
        chance_short: 0.3,
        marks_short: 6,
        threats: vec![ThreatShare { trait_: "leaf-rust".into(), share: 0.14, area: area.map(|a| 0.14 * a) }],
    }
}

fn plan(own: bool) -> AcrePlan {
    let split = [("V02", 0.6), ("V07", 0.4)];
    AcrePlan {
        area: own.then_some(160.0),
        farm: own.then(|| farm(&split, Some(160.0), -28.0)),
        left_out: Vec::new(),
        single: (!own).then(|| farm(&[("V02", 1.0)], None, -30.0)),
        suggestion: (!own).then(|| Suggestion {
            farm: farm(&split, None, -27.0),
            gain: 1.2,
            gain_share: 0.006,
            hardly_helps: true,
            average_given_up: 0.8,
            best_on_average: "V02".into(),
            second: None,
        }),
        limits: (3, 0.1),
    }
}

fn change() -> WhatWouldChange {
    let change = |lever, now, range, at: Option<f64>, crossing| Change {
        lever,
        now,
        range,
        at,
        ahead: at.map(|_| "V05".into()),
        crossing,
    };
    WhatWouldChange {
        leader: Some("V02".into()),
        changes: vec![
            change(Lever::Water, 9.4, (6.0, 20.0), Some(12.4), 0.8),
            change(Lever::Price, 5.8, (2.9, 11.6), None, 0.0),
            change(Lever::Disease("leaf-rust".into()), 0.2, (0.0, 1.0), Some(0.66), 0.4),
        ],
        newcomer: Some(Newcomer {
            variety: "V03".into(),
            best_longrun: 0.16,
            standing: Standing {
                state: StandingState::New,
                seasons: 1,
                trials: 5,
                trials_like_this: 2,
                last: Some(2024),
                apart: false,
            },
        }),
        more_water: vec![MoreWater {
            system: "dryland".into(),
            water: 9.4,
            more: 1.0,
            adds: 4.2,
            adds_80: (3.1, 5.3),
            money: Some(24.0),
        }],
    }
}
