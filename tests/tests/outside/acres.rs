//! Laws of a farm of several varieties on a whole network: what its acres make, and what is suggested.

use crate::decisions::{everything, nobody_proven, proven, row};
use crate::laws::{demo, settings, table};
use leanyear_engine::link::{Settings, WaterOutlook};
use leanyear_tests::agree;

#[test]
fn no_acres_are_suggested_for_what_is_not_proven_unless_the_grower_chose_it() {
    for water in [WaterOutlook::Any, WaterOutlook::Dry, WaterOutlook::DriestFifth, WaterOutlook::Wet] {
        let asked = Settings { water, at_most: Some(5), ..settings() };
        let rows = table(&asked).varieties;
        let plan = demo().acres(&demo().draws(&asked).unwrap(), &asked);
        let chosen = plan.suggestion.unwrap().farm.holdings.into_iter().chain(plan.single.unwrap().holdings);
        for holding in chosen {
            let v = rows.iter().find(|v| v.variety == holding.variety).unwrap();
            assert!(proven(v), "{water:?}: {}, {:?}", v.variety, v.standing);
        }
    }
    let advisor = nobody_proven();
    let plan = |settings: &Settings| advisor.acres(&advisor.draws(settings).unwrap(), settings);
    let none = plan(&settings());
    assert!(none.suggestion.is_none() && none.single.is_none());
    let chosen = plan(&Settings { acres: vec![("V07".to_owned(), 80.0)], ..settings() });
    assert_eq!(chosen.single.unwrap().holdings[0].variety, "V07");
    assert_eq!(chosen.suggestion.unwrap().farm.holdings.len(), 1);
}

#[test]
fn a_farm_of_one_variety_is_that_variety() {
    for settings in [settings(), everything()] {
        let alone = Settings { acres: vec![("V07".to_owned(), 60.0)], money_unit: true, ..settings };
        let (plan, v) = (demo().acres(&demo().draws(&alone).unwrap(), &alone), row(&alone, "V07"));
        let farm = plan.farm.unwrap();
        assert_eq!(
            (farm.yield_.seasons, farm.yield_.expected, farm.yield_.worst_fifth),
            (v.seasons, v.expected, v.worst_fifth)
        );
        assert_eq!((farm.chance_short, farm.marks_short), (v.chance_short, v.marks_short));
        let (net, law) = (farm.net.unwrap(), v.net_law.unwrap());
        assert_eq!((net.expected, net.seasons), (v.net.unwrap(), law.seasons));
        assert_eq!(Some(net.worst_fifth), v.worst_fifth_net);
        assert_eq!(farm.holdings[0].area, Some(60.0));
    }
}

#[test]
fn acres_add_up_and_average_what_is_on_them() {
    let acres = vec![("V07".to_owned(), 60.0), ("V12".to_owned(), 25.0), ("V03".to_owned(), 15.0)];
    let split = Settings { acres, ..settings() };
    let plan = demo().acres(&demo().draws(&split).unwrap(), &split);
    let farm = plan.farm.unwrap();
    let shares: f64 = farm.holdings.iter().map(|h| h.share).sum();
    agree("shares", shares, 1.0, 1e-12, 1.0).unwrap();
    let nets: Vec<f64> =
        split.acres.iter().map(|(code, acres)| acres / 100.0 * row(&split, code).net.unwrap()).collect();
    agree("net", farm.net.as_ref().unwrap().expected, nets.iter().sum(), 1e-9, 100.0).unwrap();
    let worst: f64 = split
        .acres
        .iter()
        .map(|(code, acres)| acres / 100.0 * row(&split, code).worst_fifth_net.unwrap())
        .sum();
    assert!(farm.worst_fifth() >= worst, "the worst fifth of a farm is no worse than its parts'");
    let draws = demo().draws(&split).unwrap();
    for threat in &farm.threats {
        let taken: f64 = split
            .acres
            .iter()
            .map(|(code, acres)| {
                let losses = demo().detail(&draws, &split, code).unwrap().losses;
                acres * losses.iter().find(|l| l.trait_ == threat.trait_).unwrap().severe
            })
            .sum();
        agree(&threat.trait_, threat.area.unwrap(), taken, 1e-9, 1.0).unwrap();
    }
}

#[test]
fn the_suggested_split_keeps_its_limits_and_is_no_worse_than_any_single_variety() {
    for (at_most, min_acres) in [(None, None), (Some(1), None), (Some(5), Some(20.0)), (Some(2), Some(45.0))]
    {
        let acres = vec![("V07".to_owned(), 100.0)];
        let asked = Settings { acres, at_most, min_acres, water: WaterOutlook::Dry, ..settings() };
        let plan = demo().acres(&demo().draws(&asked).unwrap(), &asked);
        let (single, suggestion) = (plan.single.unwrap(), plan.suggestion.unwrap());
        let holdings = &suggestion.farm.holdings;
        let acres: f64 = holdings.iter().map(|h| h.area.unwrap()).sum();
        agree("acres", acres, 100.0, 1e-12, 1.0).unwrap();
        assert!(holdings.len() <= usize::from(at_most.unwrap_or(3)));
        assert!(holdings.iter().all(|h| h.area.unwrap() >= min_acres.unwrap_or(10.0) - 1e-9));
        let best = table(&asked)
            .varieties
            .iter()
            .filter(|v| proven(v) || v.variety == "V07")
            .map(|v| v.worst_fifth_net.unwrap())
            .fold(f64::NEG_INFINITY, f64::max);
        agree("best single", single.worst_fifth(), best, 1e-9, 100.0).unwrap();
        assert!(suggestion.gain >= 0.0 && suggestion.average_given_up >= 0.0);
        assert_eq!(suggestion.hardly_helps, suggestion.gain_share < 0.02);
        assert!(at_most != Some(1) || (suggestion.gain.abs() < 1e-9 && suggestion.hardly_helps));
    }
}

#[test]
fn a_second_variety_costs_what_its_farm_loses_and_no_other_costs_less() {
    let asked = Settings { water: WaterOutlook::Dry, ..settings() };
    let draws = demo().draws(&asked).unwrap();
    let plan = demo().acres(&draws, &asked);
    let (single, suggestion) = (plan.single.unwrap(), plan.suggestion.unwrap());
    let second = suggestion.second.expect("on the demo one variety alone is best");
    let first = &single.holdings[0].variety;
    let with = |code: &str| {
        let acres =
            vec![(first.clone(), 100.0 * (1.0 - second.share)), (code.to_owned(), 100.0 * second.share)];
        demo().split(&draws, &Settings { acres, ..asked.clone() }).farm.unwrap()
    };
    let farm = with(&second.variety);
    agree("worst", second.worst_given_up, single.worst_fifth() - farm.worst_fifth(), 1e-9, 10.0).unwrap();
    agree("average", second.average_given_up, single.expected() - farm.expected(), 1e-9, 10.0).unwrap();
    assert!(second.worst_given_up >= 0.0);
    for row in table(&asked).varieties.iter().filter(|v| proven(v) && v.variety != *first) {
        assert!(with(&row.variety).worst_fifth() <= farm.worst_fifth() + 1e-9, "{}", row.variety);
    }
    // Three quarters of each leave no room for two.
    let acres = vec![(first.clone(), 10.0), (second.variety.clone(), 10.0)];
    let wide = Settings { min_acres: Some(15.0), acres, ..asked.clone() };
    assert!(demo().acres(&draws, &wide).suggestion.unwrap().second.is_none());
    let alone = Settings { at_most: Some(1), ..asked.clone() };
    assert!(demo().acres(&draws, &alone).suggestion.unwrap().second.is_none());
}
