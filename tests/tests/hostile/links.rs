//! Links: whatever a link holds, the page it opens answers in finite numbers.

use super::interrogate::{LINKS, ask};
use super::small::sound;
use leanyear_engine::decide::Advisor;
use leanyear_engine::pack::{Pack, read};
use leanyear_tests::hostile::{cases, within};
use proptest::prelude::*;
use std::sync::OnceLock;

fn advisor() -> &'static Advisor {
    static ADVISOR: OnceLock<Advisor> = OnceLock::new();
    ADVISOR.get_or_init(|| Advisor::new(Pack::new(read(&sound()).network.unwrap()).unwrap()).unwrap())
}

const KEYS: &[&str] = &[
    "v",
    "pack",
    "system",
    "site",
    "usual",
    "unit",
    "mine",
    "water",
    "price",
    "haul",
    "volatility",
    "cost",
    "costs",
    "cover",
    "guarantee-price",
    "premium",
    "graze",
    "graze-days",
    "gain",
    "value",
    "off",
    "spray-rust",
    "dock-rust",
    "need",
    "at-most",
    "min-acres",
    "money-unit",
    "order",
    "view",
    "variety",
    "with",
    "acres",
    "rust",
    "spot",
    "zone",
    "nothing",
];
const VALUES: &[&str] = &[
    "",
    "0",
    "1",
    "-1",
    "0.01",
    "1e-300",
    "1e5",
    "1e8",
    "1e300",
    "1e999",
    "NaN",
    "inf",
    "-inf",
    "infinity",
    "0x10",
    "٣",
    "200",
    "366",
    "10000",
    "120",
    "-120",
    "100",
    "V0",
    "V1,V2,V3",
    "V0:1,V1:1e6",
    "V0:NaN",
    "dryland",
    "irrigated",
    "S0",
    "t%2Fha",
    "kg%2Fha",
    "bu%2Fac",
    "lb%2Fac",
    "dry",
    "driest-fifth",
    "wet",
    "like-2019",
    "like-99999999999",
    "0-0-100",
    "255-255-255",
    "severe",
    "none",
    "1e8:1",
    "0:0",
    "1e8:1e8",
    "rust,spot",
    "yes",
    "money",
    "cash",
    "net",
    "worst-fifth",
    "chance-short",
    "%ff",
    "%",
    "%00",
    "%3Cscript%3E",
    "00000000",
    "+",
    "a&b",
    "2",
];

/// A link of known keys with fitting and unfitting values.
fn link() -> impl Strategy<Value = String> {
    let key = prop_oneof![9 => prop::sample::select(KEYS.to_vec()).prop_map(str::to_owned), 1 => "\\PC{0,6}"];
    let value = prop_oneof![
        6 => prop::sample::select(VALUES.to_vec()).prop_map(str::to_owned),
        2 => (-4.0..9.0_f64).prop_map(|power| format!("{}", 10f64.powf(power))),
        1 => "\\PC{0,12}",
    ];
    prop::collection::vec((key, value).prop_map(|(key, value)| format!("{key}={value}")), 0..10)
        .prop_map(|pairs| pairs.join("&"))
}

#[test]
fn settings_at_their_edges_are_answered() {
    for link in LINKS {
        ask(advisor(), link).unwrap_or_else(|lost| panic!("{link}: {lost}"));
    }
}

proptest! {
    #![proptest_config(cases(150))]

    #[test]
    fn whatever_a_link_holds_the_answers_are_finite(link in link()) {
        let what = link.clone();
        let answered = within(30, &what, move || ask(advisor(), &link));
        prop_assert!(answered.is_ok(), "{what}: {answered:?}");
    }
}
