//! Links there and back, and links that mean harm.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::*;
use crate::order::{Map, Set};
use crate::pack::YieldUnit;
use proptest::prelude::*;

fn set(codes: &[&str]) -> Set<String> {
    codes.iter().map(|code| (*code).to_owned()).collect()
}

/// Codes with everything in them that a link must guard.
fn codes() -> Codes {
    Codes {
        systems: set(&["dryland", "full irrigation", "all"]),
        sites: set(&["S03", "Süd/1", "#2"]),
        zones: set(&["dry", "100%"]),
        varieties: set(&["V07", "V12", "a,b:c", "x+y&z=", "ñ", " ", "60"]),
        traits: set(&["leaf-rust", "virus & mite", "straw", "first-hollow-stem"]),
        diseases: set(&["leaf-rust", "virus & mite"]),
        qualities: set(&["test-weight", "protein, %"]),
    }
}

fn plain() -> Settings {
    Settings { pack: Some("8f3a21c4".to_owned()), ..Settings::bare("all", YieldUnit::BushelPerAcre) }
}

fn read(text: &str) -> Decoded {
    decode(text, &plain().into(), &codes())
}

/// The link of the contract, word for word.
const CONTRACT: &str = "v=1&pack=8f3a21c4&system=dryland&site=S03&usual=2.1&unit=t%2Fha&water=dry&leaf-rust=light\
    &price=210&cost=380&order=chance-short&view=odds&with=V07,V12&acres=V07:60,V12:40";

#[test]
fn the_contracts_link_is_read_and_written() {
    let defaults = LinkDefaults::from(Settings { view: View::Share, ..plain() });
    let decoded = decode(CONTRACT, &defaults, &codes());
    assert_eq!(decoded.notices, []);
    let settings = decoded.settings;
    assert_eq!((settings.usual, settings.price, settings.cost), (Some(2.1), Some(210.0), Some(380.0)));
    assert_eq!((settings.unit, settings.water), (YieldUnit::TonnePerHectare, WaterOutlook::Dry));
    assert_eq!(settings.diseases["leaf-rust"], Pressures::Light);
    assert_eq!((settings.order, settings.view), (Order::ChanceShort, View::Odds));
    assert_eq!(settings.with, ["V07", "V12"]);
    assert_eq!(settings.acres, [("V07".to_owned(), 60.0), ("V12".to_owned(), 40.0)]);
    assert_eq!(encode(&settings, &defaults), CONTRACT);
}

#[test]
fn the_other_keys_are_read_and_written() {
    let link = "v=1&pack=8f3a21c4&zone=dry&mine=V07&water=50-30-20&virus%20%26%20mite=severe&haul=12.5&volatility=20\
        &costs=cash&cover=65&guarantee-price=200&premium=9&graze=yes&graze-days=60&gain=2.2&value=2.1&off=-3\
        &spray-leaf-rust=18:0.7&dock-test-weight=56:0.2,58:-0.05&need=first-hollow-stem,straw&at-most=3&min-acres=40&money-unit=money\
        &view=track-record&variety=a%2Cb%3Ac&with=x%2By%26z%3D,%C3%B1";
    let decoded = read(link);
    assert_eq!(decoded.notices, []);
    let settings = &decoded.settings;
    assert_eq!(settings.water, WaterOutlook::Thirds(50, 30, 20));
    assert_eq!(settings.sprays["leaf-rust"], Spray { cost: 18.0, efficacy: 0.7 });
    assert!(settings.cash_only);
    assert_eq!(
        settings.docks["test-weight"],
        [DockStep { below: 56.0, off: 0.2 }, DockStep { below: 58.0, off: -0.05 }]
    );
    assert_eq!((settings.at_most, settings.off, settings.graze), (Some(3), Some(-3.0), true));
    assert_eq!((settings.money_unit, settings.view), (true, View::TrackRecord));
    assert_eq!(settings.with, ["x+y&z=", "ñ"]);
    assert_eq!(encode(settings, &plain().into()), link);
    assert_eq!(read("water=like-2022").settings.water, WaterOutlook::Like(2022));
}

#[test]
fn fragment_query_and_address_are_the_same_link() {
    let expected = read("water=dry");
    for text in [
        "#water=dry",
        "?water=dry",
        " water=dry\n",
        "https://farm.example/page#water=dry",
        "https://farm.example/page?water=dry",
        "https://farm.example/page?water=wet#water=dry",
        "file:///home/me/leanyear.html#water=dry",
    ] {
        assert_eq!(read(text), expected, "{text}");
    }
    for empty in ["", "#", "https://farm.example/page", "&&"] {
        assert_eq!(read(empty), Decoded { settings: plain(), notices: vec![] }, "{empty:?}");
    }
}

#[test]
fn a_default_can_be_turned_off() {
    let diseases = [("leaf-rust".to_owned(), Pressures::Severe)].into();
    let sprays = [("leaf-rust".to_owned(), Spray { cost: 18.0, efficacy: 0.7 })].into();
    let (site, price, need) = (Some("S03".to_owned()), Some(5.0), vec!["straw".to_owned()]);
    let docks = [("test-weight".to_owned(), vec![DockStep { below: 58.0, off: 0.05 }])].into();
    let graze = true;
    let defaults = Settings { diseases, sprays, docks, site, price, need, graze, ..plain() }.into();
    let link =
        "v=1&pack=8f3a21c4&site=&leaf-rust=any&price=&graze=no&spray-leaf-rust=&dock-test-weight=&need=";
    assert_eq!(encode(&plain(), &defaults), link);
    assert_eq!(decode(link, &defaults, &codes()), Decoded { settings: plain(), notices: vec![] });
    let zone = decode("zone=dry", &defaults, &codes()).settings;
    assert_eq!((zone.site, zone.zone), (None, Some("dry".to_owned())));
    let neither = Settings { pack: None, ..plain() };
    assert_eq!(decode(&encode(&neither, &defaults), &defaults, &codes()).settings, neither);
}

#[test]
fn what_cannot_be_is_named_and_ignored() {
    let cases = [
        ("pack=00000000", "the link was made on data 00000000, these are 8f3a21c4"),
        ("pack=xyz", "`pack`: `xyz` is not one of its words"),
        ("colour=red", "`colour` is not known"),
        ("straw=severe", "`straw` is not known"),
        ("spray-straw=1:0.5", "`spray-straw` is not known"),
        ("water=damp", "`water`: `damp` is not one of its words"),
        ("water=50-30-30", "`water`: `50-30-30` is not one of its words"),
        ("water=like-22", "`water`: `like-22` is not one of its words"),
        ("leaf-rust=awful", "`leaf-rust`: `awful` is not one of its words"),
        ("price=cheap", "`price`: `cheap` is not a number"),
        ("price=1e999", "`price`: `1e999` is not a finite number"),
        ("price=NaN", "`price`: `NaN` is not a finite number"),
        ("price=-1", "`price`: -1 is not from 0 to 100000000"),
        ("cover=101", "`cover`: 101 is not from 0 to 100"),
        ("at-most=2.5", "`at-most`: 2.5 is not a whole number"),
        ("spray-leaf-rust=18:70", "`spray-leaf-rust`: 70 is not from 0 to 1"),
        ("spray-leaf-rust=18", "`spray-leaf-rust`: `18` is not one of its words"),
        ("dock-straw=58:1", "`dock-straw` is not known"),
        ("mine=V99", "`mine`: `V99` is not in these data"),
        ("system=", "`system` has no value"),
        ("price", "`price` has no value"),
        ("mine=%4", "`mine` cannot be read"),
        ("mine=%ff", "`mine` cannot be read"),
        ("%zz=1", "`%zz` cannot be read"),
    ];
    for (link, start) in cases {
        let decoded = read(link);
        let said: Vec<String> = decoded.notices.iter().map(ToString::to_string).collect();
        assert_eq!(said.len(), 1, "{link}: {said:?}");
        assert!(said[0].starts_with(start), "{link}: {said:?}");
        let pack = decoded.settings.pack.clone();
        assert_eq!(Settings { pack: plain().pack, ..decoded.settings }, plain(), "{link}");
        assert_eq!(pack.as_deref(), Some(if link == "pack=00000000" { "00000000" } else { "8f3a21c4" }));
    }
}

#[test]
fn lists_keep_what_they_can() {
    let decoded = read("with=V07,V99,V07,V12,a%2Cb%3Ac,%C3%B1,60");
    assert_eq!(decoded.settings.with, ["V07", "V12", "a,b:c", "ñ"]);
    let key = || "with".to_owned();
    assert_eq!(
        decoded.notices,
        [
            LinkNotice::CodeUnknown { key: key(), text: "V99".to_owned() },
            LinkNotice::CodeTwice { key: key(), text: "V07".to_owned() },
            LinkNotice::ListTooLong { key: key(), limit: 4 },
        ]
    );
}

#[test]
fn a_dock_schedule_keeps_the_steps_it_can() {
    let decoded = read("dock-test-weight=58:0.05,56,58:0.1,53:2e9,57.5:0.1");
    let kept = [DockStep { below: 57.5, off: 0.1 }, DockStep { below: 58.0, off: 0.05 }];
    assert_eq!(decoded.settings.docks["test-weight"], kept);
    let key = || "dock-test-weight".to_owned();
    let (low, high) = (-1e8, 1e8);
    assert_eq!(
        decoded.notices,
        [
            LinkNotice::WordUnknown { key: key(), text: "56".to_owned() },
            LinkNotice::CodeTwice { key: key(), text: "58".to_owned() },
            LinkNotice::OutOfRange { key: key(), text: "2e9".to_owned(), low, high },
        ]
    );
}

#[test]
fn of_a_repeated_key_the_first_is_used() {
    let decoded = read("price=5&price=6");
    assert_eq!(decoded.settings.price, Some(5.0));
    assert_eq!(decoded.notices, [LinkNotice::KeyTwice { key: "price".to_owned() }]);
}

#[test]
fn another_version_is_not_read() {
    let decoded = read("price=5&v=2");
    assert_eq!(decoded.settings, plain());
    assert_eq!(decoded.notices, [LinkNotice::VersionUnknown { found: "2".to_owned() }]);
}

#[test]
fn long_links_are_cut_between_keys() {
    // The cut falls inside the second price of cost, and must not make 12 of 123.
    let filler = format!("x={}", "y".repeat(decode::MOST_BYTES - "price=5&x=".len() - "&cost=12".len()));
    let decoded = read(&format!("price=5&{filler}&cost=123"));
    assert_eq!((decoded.settings.price, decoded.settings.cost), (Some(5.0), None));
    assert_eq!(decoded.notices[0], LinkNotice::TooLong { limit: 4096 });
    let fits = read(&format!("price=5&{filler}&cost=12"));
    assert_eq!(fits.settings.cost, Some(12.0));
    let keys: Vec<String> = (0..decode::MOST_KEYS).map(|n| format!("k{n}=1")).collect();
    let decoded = read(&format!("{}&price=5", keys.join("&")));
    assert_eq!(decoded.settings.price, None);
    assert_eq!(decoded.notices[0], LinkNotice::TooManyKeys { limit: 64 });
}

#[test]
fn each_key_and_each_name_is_there_once() {
    let keys: Set<&str> = keys::KEYS.iter().map(|key| key.key).collect();
    let names: Set<&str> = keys::KEYS.iter().map(|key| key.name).collect();
    assert_eq!((keys.len(), names.len()), (keys::KEYS.len(), keys::KEYS.len()));
    assert!(
        is_key("price")
            && is_key("spray-leaf-rust")
            && is_key("dock-protein")
            && !is_key("leaf-rust")
            && !is_key("")
    );
}

fn amount(low: f64, high: f64) -> impl Strategy<Value = Option<f64>> {
    prop::option::of(prop_oneof![Just(low), Just(high), low..=high, (low..=high).prop_map(f64::round)])
}

fn one_of(codes: &Set<String>) -> impl Strategy<Value = Option<String>> + use<> {
    prop::option::of(prop::sample::select(codes.iter().cloned().collect::<Vec<_>>()))
}

fn some_of(codes: &Set<String>) -> impl Strategy<Value = Vec<String>> + use<> {
    prop::collection::vec(prop::sample::select(codes.iter().cloned().collect::<Vec<_>>()), 0..6)
}

fn choice<T: Clone + std::fmt::Debug + 'static>(values: &[T]) -> impl Strategy<Value = T> + use<T> {
    prop::sample::select(values.to_vec())
}

prop_compose! {
    fn place()(
        pack in prop::option::of("[0-9a-f]{8}"),
        system in one_of(&codes().systems),
        site in one_of(&codes().sites),
        zone in one_of(&codes().zones),
        unit in choice(&crate::pack::YIELD_UNITS),
        mine in one_of(&codes().varieties),
        thirds in (0_u8..=50, 0_u8..=50),
        water in choice(&[0, 1, 2, 3, 4, 5, 6]),
        season in 1800..=2200,
        usual in amount(0.01, 1e5),
    ) -> Settings {
        let waters = [
            WaterOutlook::Any, WaterOutlook::DriestFifth, WaterOutlook::Dry, WaterOutlook::Middle, WaterOutlook::Wet,
            WaterOutlook::Like(season), WaterOutlook::Thirds(thirds.0, thirds.1, 100 - thirds.0 - thirds.1),
        ];
        let system = system.unwrap_or("all".to_owned());
        Settings { pack, system, site, zone, unit: unit.1, mine, water: waters[water], usual, ..plain() }
    }
}

prop_compose! {
    fn money()(
        price in amount(0.0, 1e8), haul in amount(0.0, 1e8), volatility in amount(0.0, 200.0),
        cost in amount(0.0, 1e8), cover in amount(0.0, 100.0), guarantee_price in amount(0.0, 1e8),
        premium in amount(0.0, 1e8), graze in any::<bool>(), graze_days in amount(0.0, 366.0),
        gain in amount(0.0, 1e4), value in amount(0.0, 1e8), off in amount(-120.0, 120.0),
    ) -> Settings {
        let part = Settings { price, haul, volatility, cost, cover, guarantee_price, ..plain() };
        Settings { premium, graze, graze_days, gain, value, off, ..part }
    }
}

/// A currency sign stands beside numbers: what turns or covers them is none. (Signs of money: Unicode, category Sc;
/// marks of direction: Unicode Standard Annex 9.)
#[test]
fn a_currency_sign_is_made_of_letters_and_signs_of_money() {
    for sign in ["$", "\u{20ac}", "\u{20b9}", "US$", "kr", "R$", "z\u{142}", "S/.", "\u{62f}.\u{625}"] {
        let kept = currency_sign(sign);
        assert_eq!(kept.as_deref(), (sign != "S/.").then_some(sign).or(Some("S.")), "{sign}");
    }
    for harmful in ["\u{202e}", "\u{200b}", "\u{2066}", "\u{301}", "<b>1", "5", "\u{7f}"] {
        let kept = currency_sign(harmful).unwrap_or_default();
        assert!(kept.chars().all(char::is_alphabetic), "{harmful:?} gave {kept:?}");
    }
    let turned = read("#currency=%E2%80%AE");
    assert_eq!(turned.settings.currency, None);
    assert_eq!(turned.notices.len(), 1);
}

prop_compose! {
    fn settings()(
        place in place(),
        money in money(),
        diseases in prop::collection::btree_map(
            one_of(&codes().diseases).prop_map(Option::unwrap_or_default),
            choice(&[Pressures::None, Pressures::Light, Pressures::Moderate, Pressures::Severe]),
            0..3,
        ).prop_map(Map::from_iter),
        sprays in prop::collection::btree_map(
            one_of(&codes().diseases).prop_map(Option::unwrap_or_default),
            (0.0..1e3, 0.0..=1.0).prop_map(|(cost, efficacy)| Spray { cost, efficacy }),
            0..3,
        ).prop_map(Map::from_iter),
        docks in prop::collection::btree_map(
            one_of(&codes().qualities).prop_map(Option::unwrap_or_default),
            prop::collection::vec(
                (prop_oneof![Just(58.0), -1e6..1e6], -1e3..1e3).prop_map(|(below, off)| DockStep { below, off }),
                0..30,
            ),
            0..3,
        ).prop_map(Map::from_iter),
        (cash_only, currency) in (any::<bool>(), prop::option::of("[€£$a-zA-Z0-9. ]{0,6}")),
        need in some_of(&codes().traits),
        at_most in prop::option::of(any::<u8>()),
        min_acres in amount(0.0, 1e6),
        money_unit in any::<bool>(),
        order in choice(&[Order::Net, Order::WorstFifth, Order::ChanceShort]),
        view in choice(&[View::Odds, View::Variety, View::Compare, View::Acres, View::TrackRecord, View::Prepare,
            View::Handout, View::Share]),
        variety in one_of(&codes().varieties),
        with in some_of(&codes().varieties),
        areas in prop::collection::vec(0.01..1e6, 6),
        growing in some_of(&codes().varieties),
    ) -> Settings {
        let acres = growing.into_iter().zip(areas).collect();
        let Settings { pack, system, site, zone, usual, unit, mine, water, .. } = place;
        let chosen = Settings { pack, system, site, zone, usual, unit, mine, water, diseases, sprays, need, ..money };
        Settings { docks, cash_only, currency, at_most, min_acres, money_unit, order, view, variety, with, acres, ..chosen }.normalised()
    }
}

proptest! {
    /// Whatever the settings and the defaults, a link brings the settings back, is written alike again, and
    /// normalising twice is normalising once.
    #[test]
    fn a_link_brings_the_settings_back(settings in settings(), defaults in settings()) {
        let defaults = LinkDefaults::from(defaults);
        let link = encode(&settings, &defaults);
        let decoded = decode(&link, &defaults, &codes());
        prop_assert_eq!(&decoded.settings, &settings, "{}", link);
        let only_pack = decoded.notices.iter().all(|notice| matches!(notice, LinkNotice::OtherPack { .. }));
        prop_assert!(only_pack, "{:?}", decoded.notices);
        prop_assert_eq!(encode(&decoded.settings, &defaults), link.clone());
        prop_assert!(link.bytes().all(|b| b.is_ascii_alphanumeric() || b"-._~%=&,:".contains(&b)), "{}", link);
        prop_assert_eq!(settings.clone().normalised(), settings);
    }

    /// Any text decodes, to settings that are valid and can be sent on.
    #[test]
    fn any_text_decodes(text in "\\PC{0,200}") {
        let decoded = read(&text);
        prop_assert_eq!(decoded.settings.clone().normalised(), decoded.settings);
    }

    /// A damaged link decodes to settings that can be sent on.
    #[test]
    fn a_damaged_link_decodes(settings in settings(), at in 0_usize..300, length in 0_usize..8, new in "[&=%,:+#?0-9a-z-]{0,6}|\\PC") {
        let mut text: Vec<char> = encode(&settings, &plain().into()).chars().collect();
        let start = at % (text.len() + 1);
        text.splice(start..(start + length).min(text.len()), new.chars());
        let text: String = text.into_iter().collect();
        let decoded = read(&text);
        let again = read(&encode(&decoded.settings, &plain().into()));
        prop_assert_eq!(again.settings, decoded.settings);
    }
}
