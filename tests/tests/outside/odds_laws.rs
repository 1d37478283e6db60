//! Laws of the odds of a whole network: links, the order of rows, and how many draws stand behind a mark.

use crate::laws::{demo, settings, table};
use leanyear_engine::decide::{Advisor, OddsTable, VarietyDetail, VarietyOdds};
use leanyear_engine::link::{
    Codes, LinkDefaults, Order, Pressures, Settings, Spray, WaterOutlook, decode, encode,
};
use leanyear_engine::office::influence::{HEAD, most_influential};
use leanyear_engine::office::report::report;
use leanyear_engine::office::shortlist::Rules;
use leanyear_engine::pack::{Network, Pack};
use leanyear_tests::agree;

/// Settings that a grower may well have, each far from the others.
fn several() -> Vec<Settings> {
    let plain = settings();
    let stripe = |pressure| [("stripe-rust".to_owned(), pressure)].into();
    vec![
        plain.clone(),
        Settings { water: WaterOutlook::DriestFifth, price: Some(4.4), cost: Some(120.0), ..plain.clone() },
        Settings {
            water: WaterOutlook::Middle,
            usual: Some(22.0),
            diseases: stripe(Pressures::Severe),
            ..plain.clone()
        },
        Settings {
            system: "limited-irrigation".to_owned(),
            water: WaterOutlook::Wet,
            volatility: Some(0.2),
            ..plain.clone()
        },
        Settings {
            system: "full-irrigation".to_owned(),
            water: WaterOutlook::Dry,
            order: Order::ChanceShort,
            ..plain.clone()
        },
        Settings {
            site: demo().pack().network.sites.first().map(|s| s.site.clone()),
            diseases: stripe(Pressures::Light),
            sprays: [("stripe-rust".to_owned(), Spray { cost: 14.0, efficacy: 0.7 })].into(),
            mine: Some("V04".to_owned()),
            ..plain
        },
    ]
}

fn by_code(mut table: OddsTable) -> OddsTable {
    table.varieties.sort_by(|a, b| a.variety.cmp(&b.variety));
    table
}

#[test]
fn a_link_carries_the_odds_to_another_phone() {
    let pack = demo().pack();
    let defaults = LinkDefaults::of(&pack.network, &pack.fingerprint);
    for sent in several() {
        let link = encode(&sent, &defaults);
        let received = decode(&link, &defaults, &Codes::of(&pack.network));
        assert!(received.notices.is_empty(), "{link}: {:?}", received.notices);
        assert_eq!(table(&received.settings), table(&sent), "{link}");
    }
}

/// The promise of the draws: 65,536 of them move a shown count by one mark at most.
#[test]
fn more_draws_move_a_shown_count_by_one_mark_at_most() {
    for settings in several() {
        let shown = by_code(table(&settings));
        let many = demo().draws_of(&settings, 65_536).unwrap();
        let many = by_code(demo().table(&many, &settings).unwrap());
        for (few, many) in shown.varieties.iter().zip(&many.varieties) {
            let apart = few.marks_short.abs_diff(many.marks_short);
            assert!(apart <= 1, "{}: {} and {} marks", few.variety, few.marks_short, many.marks_short);
        }
    }
}

/// Without a price yields are compared as they are, and a failed crop is a tie.
#[test]
fn the_check_and_mine_share_what_one_of_them_wins() {
    let check = demo().pack().network.info.checks[0].clone();
    let mine = "V18".to_owned();
    let priced = Settings { mine: Some(mine.clone()), water: WaterOutlook::DriestFifth, ..settings() };
    let unpriced = Settings { price: None, cost: None, ..priced.clone() };
    let failed = demo().draws(&unpriced).unwrap().yields(0).iter().filter(|y| **y == 0.0).count();
    assert!(failed > 0, "some driest years are abandoned");
    for settings in [priced, unpriced] {
        let rows = table(&settings).varieties;
        let row = |code: &str| rows.iter().find(|v| v.variety == code).unwrap();
        let sum = row(&mine).beats_check.unwrap() + row(&check).beats_mine.unwrap();
        assert!((sum - 1.0).abs() < 1e-12, "{sum}");
    }
}

/// The same tables with their rows in another order, as another program would save them.
fn turned(network: &Network) -> Network {
    let mut turned = network.clone();
    turned.trials.reverse();
    turned.means.rotate_left(network.means.len() / 3);
    turned.varieties.reverse();
    turned.sites.reverse();
    turned.water.reverse();
    turned.traits.reverse();
    turned.ratings.reverse();
    turned.pressure.reverse();
    turned
}

/// Varieties draw their own numbers by their place, so another order is another sample: a mark, and a share of
/// the mean well inside what 2,048 draws leave open, but no more.
#[test]
fn the_order_of_rows_in_the_files_is_no_information() {
    let other = Advisor::new(Pack::new(turned(&demo().pack().network)).unwrap()).unwrap();
    assert_eq!(other.pack().fingerprint, demo().pack().fingerprint);
    for settings in several() {
        let here = by_code(table(&settings));
        let there = by_code(other.table(&other.draws(&settings).unwrap(), &settings).unwrap());
        assert_eq!(here.varieties.len(), there.varieties.len());
        agree("usual yield", there.field.usual, here.field.usual, 1e-4, here.field.usual).unwrap();
        for (a, b) in here.varieties.iter().zip(&there.varieties) {
            assert_eq!((&a.variety, &a.standing), (&b.variety, &b.standing));
            agree(&a.variety, b.expected, a.expected, 0.02, a.expected).unwrap();
            let apart = a.marks_short.abs_diff(b.marks_short);
            assert!(apart <= 1, "{}: {} and {} marks", a.variety, a.marks_short, b.marks_short);
        }
    }
}

/// What lasts between two varieties is told with the diseases assumed, as the averages are.
#[test]
fn the_long_run_counts_the_diseases_assumed() {
    let under = |pressure| {
        let settings = Settings { diseases: [("stripe-rust".to_owned(), pressure)].into(), ..settings() };
        let draws = demo().draws(&settings).unwrap();
        let detail = |row: &VarietyOdds| demo().detail(&draws, &settings, &row.variety).unwrap();
        let rows = by_code(demo().table(&draws, &settings).unwrap()).varieties;
        rows.iter().map(|row| (row.expected, detail(row))).collect::<Vec<_>>()
    };
    let (healthy, diseased) = (under(Pressures::None), under(Pressures::Severe));
    let place = healthy[0].1.losses.iter().position(|loss| loss.trait_ == "stripe-rust").unwrap();
    let severe = |k: usize| healthy[k].1.losses[place].severe;
    let by_severe = |a: &usize, b: &usize| severe(*a).total_cmp(&severe(*b));
    let resistant = (0..healthy.len()).min_by(by_severe).unwrap();
    let susceptible = (0..healthy.len()).max_by(by_severe).unwrap();
    let lost = |k: usize| {
        let long_run = |detail: &VarietyDetail| detail.long_run.as_ref().unwrap().difference;
        (healthy[k].0 - diseased[k].0, long_run(&healthy[k].1) - long_run(&diseased[k].1))
    };
    let (few, many) = (lost(resistant), lost(susceptible));
    let (averages, long_run) = (many.0 - few.0, many.1 - few.1);
    // Failed crops lose nothing more and count in the averages alone.
    assert!(averages > 1.0 && (0.9..1.3).contains(&(long_run / averages)), "{long_run} beside {averages}");
}

/// The five of which one trial is left out are the first five of the printed report.
#[test]
fn the_head_of_the_list_is_that_of_the_report() {
    let (network, model) = (&demo().pack().network, demo().model());
    for influence in most_influential(network, model, &mut |_, _| {}) {
        let found = report(demo(), &influence.system, &Rules::of(network)).unwrap();
        let head: Vec<&str> = found.lines.iter().take(HEAD).map(|row| row.line.variety.as_str()).collect();
        assert_eq!(influence.head, head, "{}", influence.system);
    }
}
