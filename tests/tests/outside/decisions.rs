//! Laws of what follows from the odds on a whole network: needs, cattle, sprays, money, pairs, acres, change.

use crate::laws::{demo, settings, table};
use leanyear_engine::decide::change::Change;
use leanyear_engine::decide::compare::Comparison;
use leanyear_engine::decide::tipping::{COUNT_ON, Lever};
use leanyear_engine::decide::worked::WorkedLine;
use leanyear_engine::decide::{Advisor, Missing, OddsTable, VarietyOdds};
use leanyear_engine::link::{DockStep, Order, Pressures, Settings, Spray, WaterOutlook};
use leanyear_engine::office::report::report;
use leanyear_engine::office::shortlist::Rules;
use leanyear_engine::order::Map;
use leanyear_engine::pack::Pack;
use leanyear_tests::agree;

pub fn row(settings: &Settings, variety: &str) -> VarietyOdds {
    table(settings).varieties.into_iter().find(|v| v.variety == variety).unwrap()
}

/// Everything that can be switched on, so that nothing is left out of a sum.
pub fn everything() -> Settings {
    Settings {
        water: WaterOutlook::Dry,
        haul: Some(0.4),
        volatility: Some(20.0),
        cover: Some(65.0),
        premium: Some(7.0),
        graze: true,
        graze_days: Some(60.0),
        gain: Some(1.1),
        value: Some(0.9),
        off: Some(4.0),
        sprays: [("stripe-rust".to_owned(), Spray { cost: 18.0, efficacy: 0.8 })].into(),
        docks: [(
            "test-weight".to_owned(),
            vec![DockStep { below: 58.0, off: 0.1 }, DockStep { below: 60.0, off: 0.05 }],
        )]
        .into(),
        ..settings()
    }
}

#[test]
fn what_lacks_a_need_is_kept_below_the_others_and_never_named() {
    let plain = table(&settings());
    let needing = table(&Settings { need: vec!["straw".to_owned(), "leaf-rust".to_owned()], ..settings() });
    assert_eq!(plain.varieties.len(), needing.varieties.len());
    let lacking: Vec<bool> = needing.varieties.iter().map(|v| !v.fails.is_empty()).collect();
    assert!(lacking.contains(&true) && lacking.contains(&false));
    assert!(lacking.is_sorted(), "those that lack stand last");
    let network = &demo().pack().network;
    let (straw, rust) = (network.ratings_of("straw"), network.ratings_of("leaf-rust"));
    for v in &needing.varieties {
        // The demo's straw runs from 1 best to 9 worst, and so does its leaf rust.
        let has = |value: Option<&f64>| value.is_some_and(|value| *value <= 5.0);
        let passes = has(straw.get(v.variety.as_str())) && has(rust.get(v.variety.as_str()));
        assert_eq!(v.fails.is_empty(), passes, "{}", v.variety);
        assert!(passes || (!v.nameable && !v.group && v.best == 0.0), "{}", v.variety);
    }
    let best: f64 = needing.varieties.iter().map(|v| v.best).sum();
    agree("chances to be best", best, 1.0, 1e-9, 1.0).unwrap();
}

/// The evidence rules of TRADE §8: three seasons in that system, recent, newcomers never ranked as if proven.
pub fn proven(v: &VarietyOdds) -> bool {
    v.standing.current() && v.standing.seasons >= 3 && v.standing.trials_like_this > 0
}

/// What costs more to haul than it brings loses with every unit: the best is who loses least, and stands in the group.
#[test]
fn where_grain_only_loses_money_the_least_of_it_is_the_best() {
    let losing = table(&Settings { price: Some(5.0), haul: Some(6.0), order: Order::Net, ..settings() });
    let net = |v: &&VarietyOdds| v.net.unwrap();
    let named = || losing.varieties.iter().filter(|v| v.nameable);
    let best = named().max_by(|a, b| net(a).total_cmp(&net(b))).unwrap();
    assert!(best.group, "{}", best.variety);
    let highest = named().max_by(|a, b| a.expected.total_cmp(&b.expected)).unwrap();
    assert!(!highest.group, "{}", highest.variety);
    // Each draw of one of them is worth less the more it yields.
    for v in named() {
        agree(&v.variety, net(&v), -v.expected - (165.0 + v.seed_cost), 1e-9, net(&v)).unwrap();
    }
}

/// The demo's full irrigation had 22 to 24 inches in every trial.
#[test]
fn a_system_that_always_had_its_water_says_that_a_dry_year_changes_nothing() {
    let at =
        |system: &str, water| table(&Settings { system: system.into(), site: None, water, ..settings() });
    let [any, dry] = [WaterOutlook::Any, WaterOutlook::Dry].map(|water| at("full-irrigation", water));
    assert!(dry.missing.contains(&Missing::WaterSpread) && !dry.missing.contains(&Missing::WaterSlope));
    let means = |table: &OddsTable| {
        table.varieties.iter().map(|v| (v.variety.clone(), v.expected)).collect::<Map<_, _>>()
    };
    let (any, dry) = (means(&any), means(&dry));
    assert!(any.iter().all(|(code, mean)| (dry[code.as_str()] - mean).abs() < 0.01 * mean));
    assert!(!at("dryland", WaterOutlook::Dry).missing.contains(&Missing::WaterSpread));
}

#[test]
fn what_is_new_or_was_never_tested_in_such_a_year_is_not_named() {
    let table = table(&Settings { water: WaterOutlook::DriestFifth, ..settings() });
    assert!(table.varieties.iter().any(|v| v.standing.trials_like_this == 0));
    assert!(table.varieties.iter().any(|v| v.standing.current() && v.standing.seasons < 3));
    for v in &table.varieties {
        assert_eq!(v.nameable, proven(v), "{}", v.variety);
    }
}

/// The demo asked for more seasons than anybody has.
pub fn nobody_proven() -> Advisor {
    let mut network = demo().pack().network.clone();
    network.info.seasons_to_prove = 20;
    Advisor::new(Pack::new(network).unwrap()).unwrap()
}

#[test]
fn where_nobody_is_proven_one_tried_in_such_a_year_may_lead() {
    let advisor = nobody_proven();
    let asked = Settings { water: WaterOutlook::Dry, ..settings() };
    let table = advisor.table(&advisor.draws(&asked).unwrap(), &asked).unwrap();
    for v in &table.varieties {
        assert_eq!(v.nameable, v.standing.current() && v.standing.trials_like_this > 0, "{}", v.variety);
    }
    assert!(table.varieties.iter().any(|v| v.group));
}

#[test]
fn the_lines_of_the_sum_add_to_what_the_table_says_is_left() {
    for settings in [settings(), everything()] {
        let draws = demo().draws(&settings).unwrap();
        for v in demo().table(&draws, &settings).unwrap().varieties {
            let lines = demo().worked(&draws, &settings, &v.variety).unwrap();
            let sum: f64 = lines.iter().map(WorkedLine::amount).sum();
            agree(&v.variety, sum, v.net.unwrap(), 1e-9, 100.0).unwrap();
        }
    }
}

/// The law of the net where the axis is money: its mean lies among its seasons, and marks short are those below 0.
#[test]
fn money_on_the_axis_is_the_law_of_the_net() {
    for settings in [settings(), everything()] {
        let wanted = Settings { money_unit: true, ..settings };
        for v in table(&wanted).varieties {
            let law = v.net_law.unwrap();
            let below = law.seasons.iter().filter(|x| **x < 0.0).count() as u8;
            assert!(below.abs_diff(v.marks_short) <= 1, "{}: {below}, {}", v.variety, v.marks_short);
            let mean = law.seasons.iter().sum::<f64>() / 20.0;
            agree(&v.variety, mean, v.net.unwrap(), 0.05, 100.0).unwrap();
        }
    }
}

#[test]
fn a_spray_is_worth_what_switching_it_on_changes() {
    let base = Settings { water: WaterOutlook::Wet, ..settings() };
    let on = |efficacy| Settings {
        sprays: [("stripe-rust".to_owned(), Spray { cost: 18.0, efficacy })].into(),
        ..base.clone()
    };
    let draws = demo().draws(&base).unwrap();
    for code in ["V01", "V07", "V20"] {
        let worth = |settings: &Settings| {
            let all = demo().sprays(&draws, settings, code).unwrap();
            all.into_iter().find(|s| s.trait_ == "stripe-rust").unwrap()
        };
        let (plain, sprayed) = (row(&base, code), row(&on(0.8), code));
        let here = worth(&base);
        agree(code, sprayed.net.unwrap() - plain.net.unwrap(), here.gain.unwrap(), 1e-9, 100.0).unwrap();
        agree(code, sprayed.expected - plain.expected, here.gain_yield, 1e-9, 100.0).unwrap();
        // 18 $ at 5.80 $/bu is 3.10 bu (TRADE §3 divides the same way).
        agree(code, here.break_even.unwrap(), 18.0 / 5.8, 1e-12, 1.0).unwrap();
        let nothing = worth(&on(0.0));
        assert_eq!((nothing.gain, nothing.pays), (Some(-18.0), Some(0.0)));
        assert!(worth(&on(0.9)).gain_yield >= here.gain_yield && here.gain_yield >= 0.0);
    }
}

#[test]
fn cattle_take_by_the_day_past_each_varietys_own_date() {
    let base = Settings { water: WaterOutlook::Middle, ..settings() };
    let grazed = |off| Settings { graze: true, off, ..base.clone() };
    let in_time = demo().grazing(&demo().draws(&base).unwrap(), &grazed(None));
    assert!(in_time.varieties.iter().all(|v| (v.lost - 0.07).abs() < 1e-12 && v.days_past == 0.0));
    let without = Settings { graze: false, off: Some(6.0), ..base.clone() };
    assert_eq!(demo().grazing(&demo().draws(&without).unwrap(), &without), in_time);
    let late = demo().grazing(&demo().draws(&base).unwrap(), &grazed(Some(6.0)));
    let mut rated: Vec<_> = late.varieties.iter().filter(|v| v.off_by.is_some()).collect();
    rated.sort_by(|a, b| a.off_by.unwrap().total_cmp(&b.off_by.unwrap()));
    assert!(rated.len() > 20 && rated.windows(2).all(|w| w[0].lost >= w[1].lost));
    for v in rated {
        let days = (6.0 - v.off_by.unwrap()).max(0.0);
        // TRADE §4: 7 % to the right date and 5 % a day past first hollow stem.
        agree(&v.variety, v.lost, (0.07 + 0.05 * days).min(1.0), 1e-12, 1.0).unwrap();
        let (plain, cut) = (row(&base, &v.variety), row(&grazed(Some(6.0)), &v.variety));
        agree(&v.variety, plain.expected - cut.expected, v.grain_lost, 1e-9, 10.0).unwrap();
    }
    let poor = late.varieties.iter().filter(|v| v.recovers_poorly == Some(true)).count();
    assert!(poor > 0 && late.varieties.iter().any(|v| v.recovers_poorly.is_none()));
}

fn compared(settings: &Settings, codes: &[&str]) -> Comparison {
    let codes: Vec<String> = codes.iter().map(|code| (*code).to_owned()).collect();
    demo().compare(&demo().draws(settings).unwrap(), settings, &codes).unwrap()
}

#[test]
fn a_pair_adds_to_one_and_agrees_with_the_table() {
    let asked = Settings { mine: Some("V12".to_owned()), water: WaterOutlook::Dry, ..settings() };
    let comparison = compared(&asked, &["V07", "V12", "V03"]);
    assert_eq!(comparison.pairs.len(), 3);
    for pair in &comparison.pairs {
        for duel in [&pair.one_season, &pair.five_seasons] {
            agree(&pair.a, duel.a_wins + duel.b_wins + duel.ties, 1.0, 1e-12, 1.0).unwrap();
            let mean = duel.a_wins * duel.a_by - duel.b_wins * duel.b_by;
            agree(&pair.a, duel.difference, mean, 1e-9, 100.0).unwrap();
        }
        let width = |range: (f64, f64)| range.1 - range.0;
        assert!(width(pair.five_seasons.difference_80) < width(pair.one_season.difference_80));
    }
    let duel = &comparison.pairs[0].one_season;
    let beats = row(&asked, "V07").beats_mine.unwrap();
    agree("beats mine", duel.a_wins + 0.5 * duel.ties, beats, 1e-12, 1.0).unwrap();
}

/// Five years as they come are each the year of the table: their average is its average.
#[test]
fn five_seasons_as_they_come_average_what_one_does() {
    let comparison = compared(&settings(), &["V07", "V12", "V03", "V20"]);
    for v in &comparison.varieties {
        // A year's net has an sd of some 50; its mean over 2,048 draws is known to about 1.
        agree(&v.variety, v.five_seasons, row(&settings(), &v.variety).net.unwrap(), 0.05, 100.0).unwrap();
    }
}

#[test]
fn two_varieties_are_level_at_their_tipping_point_and_only_there() {
    let mut found: Map<&str, usize> = Map::new();
    let grazed = Settings { graze: true, off: Some(3.0), ..everything() };
    for asked in [settings(), grazed] {
        let draws = demo().draws(&asked).unwrap();
        let comparison = compared(&asked, &["V01", "V07", "V12", "V20"]);
        let at = |code: &str, lever: &Lever, value: f64| {
            demo().expected_at(&draws, &asked, code, lever, value).unwrap()
        };
        for t in &comparison.tipping {
            assert!((0.0..=1.0).contains(&t.crossing) && (!t.counts() || t.crossing >= COUNT_ON));
            let Some(value) = t.at else { continue };
            assert!(t.range.0 <= value && value <= t.range.1);
            let (a, b) = (at(&t.a, &t.lever, value), at(&t.b, &t.lever, value));
            agree("level", a, b, 1e-6, 100.0).unwrap();
            let little = 1e-3 * (t.range.1 - t.range.0);
            let above = at(&t.a, &t.lever, value + little) - at(&t.b, &t.lever, value + little);
            let below = at(&t.a, &t.lever, value - little) - at(&t.b, &t.lever, value - little);
            assert_eq!((above > 0.0, below > 0.0), (t.first_ahead_above, !t.first_ahead_above), "{t:?}");
            let kind = match &t.lever {
                Lever::Water => "water",
                Lever::Price => "price",
                Lever::Cost => "cost",
                Lever::Disease(_) => "disease",
            };
            *found.entry(kind).or_default() += 1;
            if t.lever == Lever::Price {
                let there = Settings { price: Some(value), ..asked.clone() };
                let net = |code: &str| row(&there, code).net.unwrap();
                agree("the table's nets", net(&t.a), net(&t.b), 1e-6, 100.0).unwrap();
            }
        }
    }
    assert!(["water", "price", "disease"].iter().all(|kind| found.contains_key(kind)), "{found:?}");
}

/// Two ways to the same number: a disease assumed severe, and its lever at the end.
#[test]
fn a_lever_at_a_setting_is_that_setting() {
    let severe = [("stripe-rust".to_owned(), Pressures::Severe)].into();
    let assumed = Settings { diseases: severe, ..settings() };
    let draws = demo().draws(&settings()).unwrap();
    let lever = Lever::Disease("stripe-rust".to_owned());
    for code in ["V01", "V07"] {
        let moved = demo().expected_at(&draws, &settings(), code, &lever, 1.0).unwrap();
        agree(code, moved, row(&assumed, code).net.unwrap(), 1e-9, 100.0).unwrap();
    }
}

#[test]
fn the_change_that_is_named_puts_the_named_variety_in_front() {
    for order in [Order::Net, Order::WorstFifth, Order::ChanceShort] {
        let asked = Settings { order, ..everything() };
        let draws = demo().draws(&asked).unwrap();
        let table = demo().table(&draws, &asked).unwrap();
        let would = demo().what_would_change(&draws, &asked, &table).unwrap();
        let leader = would.leader.unwrap();
        assert_eq!(table.varieties.iter().find(|v| v.nameable).unwrap().variety, leader);
        let cost = would.changes.iter().any(|c| c.lever == Lever::Cost);
        assert_eq!(cost, order == Order::ChanceShort);
        for change in &would.changes {
            assert_eq!(change.at.is_some(), change.ahead.is_some());
            if matches!(change.lever, Lever::Price | Lever::Cost) {
                overtakes(&asked, change, &leader);
            }
        }
        let newcomer = would.newcomer.unwrap();
        assert!(newcomer.standing.seasons < 3);
        assert_eq!(would.more_water[0].system, asked.system);
        assert!(would.more_water.iter().all(|w| w.adds_80.0 <= w.adds && w.adds <= w.adds_80.1));
        assert!(would.more_water[0].adds > 0.5, "an inch on dryland: {:?}", would.more_water[0]);
    }
}

/// A step beyond the change the named variety stands before the leader, a step before it does not.
fn overtakes(asked: &Settings, change: &Change, leader: &str) {
    let (Some(at), Some(ahead)) = (change.at, change.ahead.as_deref()) else { return };
    let step = 1e-4 * (at - change.now);
    let before = |value: f64| {
        let there = match change.lever {
            Lever::Price => Settings { price: Some(value), ..asked.clone() },
            _ => Settings { cost: Some(value), ..asked.clone() },
        };
        let rows = table(&there).varieties;
        let place = |code: &str| rows.iter().position(|v| v.variety == code).unwrap();
        place(ahead) < place(leader)
    };
    assert!(before(at + step) && !before(at - step), "{change:?}, {leader}");
}

/// Means alone, no water, no traits, no price: every question still has an answer, and it is about yield.
#[test]
fn a_network_of_means_alone_is_answered_too() {
    let mut network = demo().pack().network.clone();
    network.water.clear();
    network.traits.clear();
    network.ratings.clear();
    network.pressure.clear();
    network.trials.iter_mut().for_each(|t| t.water = None);
    let advisor = Advisor::new(Pack::new(network).unwrap()).unwrap();
    let acres = vec![("V07".to_owned(), 50.0), ("no such".to_owned(), 9.0)];
    let asked = Settings { price: None, cost: None, graze: true, acres, ..settings() };
    let draws = advisor.draws(&asked).unwrap();
    let table = advisor.table(&draws, &asked).unwrap();
    assert!(advisor.sprays(&draws, &asked, "V07").unwrap().is_empty());
    assert!(advisor.worked(&draws, &asked, "V07").unwrap().is_empty());
    let grazing = advisor.grazing(&draws, &asked);
    assert!(
        grazing.varieties.iter().all(|v| v.off_by.is_none() && v.grain_lost > 0.0 && v.keep_on.is_none())
    );
    let plan = advisor.acres(&draws, &asked);
    assert_eq!(plan.left_out, ["no such"]);
    assert!(plan.farm.unwrap().net.is_none() && plan.suggestion.unwrap().gain >= 0.0);
    let two = ["V07".to_owned(), "V12".to_owned()];
    let comparison = advisor.compare(&draws, &asked, &two).unwrap();
    assert!(!comparison.in_money && comparison.tipping.is_empty() && comparison.pairs.len() == 1);
    let would = advisor.what_would_change(&draws, &asked, &table).unwrap();
    assert!(would.leader.is_some() && would.changes.is_empty() && would.more_water.is_empty());
}

/// Law: a check that stands in every trial of a system has there about the mean that it made, diseases and all.
#[test]
fn a_check_is_reported_at_what_it_made() {
    let network = &demo().pack().network;
    for system in network.systems() {
        let report = report(demo(), system, &Rules::of(network)).unwrap();
        for check in &network.info.checks {
            let in_system = |trial: &str| {
                network.trials.iter().any(|t| t.trial == trial && t.system == system && t.excluded.is_none())
            };
            let made: Vec<f64> = network
                .means
                .iter()
                .filter(|m| m.variety == *check && in_system(&m.trial))
                .map(|m| m.yield_)
                .collect();
            if made.len() < report.trials {
                continue;
            }
            let mean = made.iter().sum::<f64>() / made.len() as f64;
            let row = report.lines.iter().find(|row| row.line.variety == *check).unwrap();
            assert!(
                (row.adjusted - mean).abs() < 0.02 * mean,
                "{system} {check}: {} for {mean}",
                row.adjusted
            );
        }
    }
}
