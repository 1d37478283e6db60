//! The catalogue's counting, its ends, and its numbers.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod languages;

use super::figure::{Units, of_twenty};
use super::*;
use leanyear_engine::decide::StandingState;
use leanyear_engine::forecast::backtest::Verdict;
use leanyear_engine::pack::WaterUnit;

fn english() -> Catalogue {
    catalogue("en")
}

fn units() -> Units<'static> {
    Units {
        yield_unit: YieldUnit::BushelPerAcre,
        water_unit: WaterUnit::Inch,
        water_of_data: WaterUnit::Inch,
        currency: "$",
        words: english(),
    }
}

fn standing(seasons: u32, trials: u32, like: u32) -> Standing {
    Standing {
        state: StandingState::WellTested,
        seasons,
        trials,
        trials_like_this: like,
        last: Some(2024),
        apart: false,
    }
}

#[test]
fn one_is_singular_and_the_rest_plural() {
    let tested = |seasons, trials| english().tested(&standing(seasons, trials, 1), WaterOutlook::Any);
    assert_eq!(tested(1, 1), "1 season, 1 trial");
    assert_eq!(tested(2, 3), "2 seasons, 3 trials");
    assert_eq!(english().seasons(1), "1 season");
}

#[test]
fn both_sides_are_told_and_the_ends_stay_open() {
    let odds = |marks| english().odds(Short::Money, marks, &units());
    assert_eq!(odds(0), "loses money in fewer than 1 in 20 years");
    assert_eq!(odds(1), "loses money in 1 of 20 years, not in 19");
    assert_eq!(odds(9), "loses money in 9 of 20 years, not in 11");
    assert_eq!(odds(20), "loses money in more than 19 in 20 years");
    let below = english().odds(Short::Below(30.2), 3, &units());
    assert_eq!(below, "falls short of 30\u{a0}bu/ac in 3 of 20 years, not in 17");
}

#[test]
fn chances_become_counts_of_twenty() {
    assert_eq!([0.0, 0.024, 0.026, 0.65, 1.0].map(of_twenty), [0, 0, 1, 13, 20]);
    assert_eq!(english().beats_mine(0.0), "beats yours in fewer than 1 in 20");
    assert_eq!(english().beats_mine(1.0), "beats yours in more than 19 in 20");
}

#[test]
fn the_kind_of_year_is_named_where_one_is_assumed() {
    let tested = |water| english().tested(&standing(6, 31, 9), water);
    assert_eq!(tested(WaterOutlook::Dry), "6 seasons, 31 trials, 9 of them dry");
    assert_eq!(tested(WaterOutlook::Thirds(50, 30, 20)), "6 seasons, 31 trials");
    for water in [WaterOutlook::Any, WaterOutlook::Like(2022), WaterOutlook::Thirds(20, 30, 50)] {
        assert!(english().years_line(water).contains("Not past years, not a weather forecast."));
    }
}

#[test]
fn a_difference_that_rounds_to_nothing_has_no_sign() {
    assert_eq!(english().deviation(-0.04, &units()), "the same");
    assert_eq!(english().deviation(-1.06, &units()), "1.1 worse");
    assert_eq!(english().deviation(1.06, &units()), "1.1 better");
}

#[test]
fn the_track_record_is_told_with_its_verdict() {
    let told = |verdict| {
        let record = TrackRecord {
            seasons: Vec::new(),
            held: 700,
            n: 1000,
            promised: 800,
            verdict,
            missed: Missed::default(),
        };
        english().track(&record).concat()
    };
    assert!(told(Verdict::TooNarrow).contains("held in 700 of 1000 results; 800 were promised. Fewer"));
    assert!(told(Verdict::AsPromised).contains("About as many as promised"));
    assert!(told(Verdict::TooWide).contains("wider than they need be"));
    assert!(told(Verdict::TooFewSeasons).contains("too few seasons to judge"));
    assert!(!told(Verdict::Nothing).contains("700"));
    let season = |poor| {
        english().track_season(&SeasonRecord {
            season: 2020,
            held: 41,
            n: 100,
            poor,
            missed: Missed::default(),
        })
    };
    assert_eq!([season(false), season(true)], ["41 of 100", "41 of 100: a bad season for these ranges"]);
}

#[test]
fn a_variety_never_tried_in_a_system_is_not_called_new() {
    let never = Standing { last: None, state: StandingState::New, ..standing(0, 0, 0) };
    assert_eq!(english().state(&never).unwrap(), "never tested on such ground");
    assert_eq!(
        english().evidence(&never, WaterOutlook::Dry, Some("dryland")),
        "Never tested on dryland ground: worked out from its trials in other systems."
    );
    let new = Standing { state: StandingState::New, ..standing(1, 2, 0) };
    assert_eq!(english().state(&new).unwrap(), "new");
}

#[test]
fn a_scale_names_its_unit_unless_that_says_the_ends_again() {
    let scale = |best, worst, unit| english().scale(Some(best), Some(worst), unit, &units());
    assert_eq!(scale(63.0, 56.0, "lb/bu"), "63 best, 56 worst (lb/bu)");
    assert_eq!(scale(9.0, 1.0, "9 best to 1 worst"), "9 best, 1 worst");
    assert_eq!(scale(0.0, 40.0, "%"), "0% best, 40% worst");
}
