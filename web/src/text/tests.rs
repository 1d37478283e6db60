//! The catalogue's counting, its ends, and its numbers.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::en::English;
use super::figure::{Units, of_twenty};
use super::*;
use leanyear_engine::pack::WaterUnit;

fn units() -> Units<'static> {
    Units {
        yield_unit: YieldUnit::BushelPerAcre,
        water_unit: WaterUnit::Inch,
        currency: "$",
        words: &English,
    }
}

fn standing(seasons: u32, trials: u32, like: u32) -> Standing {
    Standing { state: StandingState::WellTested, seasons, trials, trials_like_this: like, last: Some(2024) }
}

#[test]
fn one_is_singular_and_the_rest_plural() {
    let tested = |seasons, trials| English.tested(&standing(seasons, trials, 1), WaterOutlook::Any);
    assert_eq!(tested(1, 1), "1 season, 1 trial");
    assert_eq!(tested(2, 0), "2 seasons, 0 trials");
    assert_eq!(English.seasons(1), "1 season");
}

#[test]
fn both_sides_are_told_and_the_ends_stay_open() {
    let odds = |marks| English.odds(Short::Money, marks, &units());
    assert_eq!(odds(0), "loses money in fewer than 1 in 20 years");
    assert_eq!(odds(1), "loses money in 1 of 20 years, not in 19");
    assert_eq!(odds(9), "loses money in 9 of 20 years, not in 11");
    assert_eq!(odds(20), "loses money in more than 19 in 20 years");
    let below = English.odds(Short::Below(30.2), 3, &units());
    assert_eq!(below, "falls short of 30\u{a0}bu/ac in 3 of 20 years, not in 17");
}

#[test]
fn chances_become_counts_of_twenty() {
    assert_eq!([0.0, 0.024, 0.026, 0.65, 1.0].map(of_twenty), [0, 0, 1, 13, 20]);
    assert_eq!(English.beats_mine(0.0), "beats yours in fewer than 1 in 20");
    assert_eq!(English.beats_mine(1.0), "beats yours in more than 19 in 20");
}

#[test]
fn the_kind_of_year_is_named_where_one_is_assumed() {
    let tested = |water| English.tested(&standing(6, 31, 9), water);
    assert_eq!(tested(WaterOutlook::Dry), "6 seasons, 31 trials, 9 of them dry");
    assert_eq!(tested(WaterOutlook::Thirds(50, 30, 20)), "6 seasons, 31 trials");
    for water in [WaterOutlook::Any, WaterOutlook::Like(2022), WaterOutlook::Thirds(20, 30, 50)] {
        assert!(English.years_line(water).contains("Not past years, not a weather forecast."));
    }
}

#[test]
fn a_difference_that_rounds_to_nothing_has_no_sign() {
    assert_eq!(English.deviation(-0.04, &units()), "the same");
    assert_eq!(English.deviation(-1.06, &units()), "1.1 worse");
    assert_eq!(English.deviation(1.06, &units()), "1.1 better");
}

#[test]
fn the_track_record_is_judged_in_both_directions() {
    let verdict = |held| English.track(held, 1000).concat();
    assert!(verdict(700).contains("too narrow"), "{}", verdict(700));
    assert!(verdict(800).contains("About as many as promised"));
    assert!(verdict(900).contains("wider than they need be"));
    assert!(English.track(0, 0).concat().contains("too few seasons"));
}
