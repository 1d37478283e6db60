//! Laws of the page's bytes, and the static table read as text.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;
use crate::decide::{
    BreakEven, ClimateSource, FieldSummary, OddsTable, OutlookSummary, Standing, StandingState, VarietyOdds,
};
use crate::link::Settings;
use crate::pack::{Network, YieldUnit};
use proptest::prelude::*;
use serde_json::json;

const TEMPLATE: &str = include_str!("../../../public/shell.html");

fn words() -> StaticWords {
    let text = |sentence: &str| sentence.to_owned();
    StaticWords {
        lang: text("en"),
        decimal_sign: text("."),
        invented: text("Invented."),
        working_page: text("How."),
        working_page_at: text("How, or at {address}"),
        ground: text("Ground making {usual} {unit}."),
        ground_near: text("Ground near {site} making {usual} {unit}."),
        money: text("Grain {price}, costs {cost}."),
        per_bushel: text("{money} a bushel"),
        per_hundred_pounds: text("{money} per 100 lb"),
        per_tonne: text("{money} a tonne"),
        per_acre: text("{money} an acre"),
        per_hectare: text("{money} a hectare"),
        systems: [].into(),
        caption: text("Average in {unit}"),
        as_it_comes: text("As it comes"),
        dry_third: text("Dry third"),
        driest_fifth: text("Driest fifth"),
        loses_money: text("loses in {count}"),
        loses_money_none: text("hardly loses"),
        falls_short: text("below {target} {unit} in {count}"),
        falls_short_none: text("hardly below {target} {unit}"),
        well_tested: text("well tested: {seasons}, {trials}"),
        new: text("new: {seasons}, {trials}"),
        season_one: text("1 season"),
        season_many: text("{count} seasons"),
        trial_one: text("1 trial"),
        trial_many: text("{count} trials"),
        never_this_dry: text("never this dry"),
        tested_apart: text("tested apart"),
        drier_than_harvested: text("drier than any harvested"),
        too_close: text("Too close: {varieties}."),
        left_out_one: text("One left out."),
        left_out_many: text("{count} left out."),
        data_date: text("Data of {date}."),
        contact: text("Ask {contact}."),
        funded_by: text("Paid by {funded_by}."),
        cautions: vec![text("No guarantee.")],
        shell: ShellWords {
            too_old: text("Too old."),
            failed: text("Failed."),
            failed_twice: text("Failed twice."),
            open_again: text("Again"),
            start_over: text("Over"),
            last_link: text("Link:"),
        },
    }
}

fn parts_with(site: &str) -> Shell {
    let script = "let x = '{{site}}';";
    let parts = Parts { template: TEMPLATE, style: "b{}", script, wasm_base64: "AGFzbQ==", site };
    assemble(&parts).unwrap()
}

fn network() -> Network {
    serde_json::from_value(json!({
        "info": {"name": "Uplands & <b>Lows</b>", "yield_unit": "bu/ac", "invented": true, "currency": "$",
                 "home_url": "https://example.org/?a=1&b=2", "data_date": "2025-08-01"},
        "trials": [], "means": [], "plots": [], "water": [], "traits": [], "ratings": [], "pressure": [],
        "shortlist": [],
        "varieties": [
            {"variety": "V1", "name": "Corvane", "released": null, "origin": "", "class": "",
             "seed_cost": null, "keep_seed": "", "herbicide_trait": "", "note": "short <straw>",
             "note_es": "paja corta"}],
        "sites": [{"site": "S1", "name": "High Bench", "zone": "", "latitude": null, "longitude": null,
                   "elevation_m": null}]
    }))
    .unwrap()
}

fn settings() -> Settings {
    Settings {
        site: Some("S1".to_owned()),
        usual: Some(32.0),
        price: Some(5.8),
        cost: Some(165.0),
        ..Settings::bare("dryland", YieldUnit::BushelPerAcre)
    }
}

fn odds(variety: &str, average: f64, marks_short: u8, standing: Standing) -> VarietyOdds {
    VarietyOdds {
        variety: variety.to_owned(),
        expected: average,
        low80: 0.0,
        high80: 0.0,
        seasons: vec![0.0; 20],
        failed_marks: 0,
        break_even: None,
        chance_short: 0.0,
        marks_short,
        shortfall: 0.0,
        net: None,
        worst_fifth: 0.0,
        worst_fifth_net: None,
        net_law: None,
        nameable: true,
        fails: Vec::new(),
        beats_check: None,
        beats_mine: None,
        seed_cost: 0.0,
        seed_cost_known: true,
        best: 0.0,
        best_longrun: 0.0,
        group: true,
        standing,
    }
}

fn standing(state: StandingState, seasons: u32, trials: u32, trials_like_this: u32) -> Standing {
    Standing { state, seasons, trials, trials_like_this, last: Some(2019), apart: false }
}

fn table(break_even: BreakEven, varieties: Vec<VarietyOdds>) -> OddsTable {
    OddsTable {
        settings: settings(),
        field: FieldSummary {
            usual: 32.4,
            usual_given: true,
            reference_set: Vec::new(),
            trials: 0,
            seasons: (2017, 2025),
            water_slope: false,
        },
        outlook: OutlookSummary {
            source: ClimateSource::LongRecord,
            seasons_in_record: 45,
            seasons_like_this: 15,
            water_mean: None,
            water_range: None,
            record_years: None,
            drier_than_harvested: false,
            chance_no_harvest: 0.0,
        },
        losses: Vec::new(),
        break_even,
        varieties,
        missing: Vec::new(),
    }
}

fn system() -> StaticSystem {
    let well = |like| standing(StandingState::WellTested, 6, 31, like);
    let new = standing(StandingState::New, 1, 1, 1);
    let money = BreakEven::Yield(28.4);
    StaticSystem {
        name: "Dryland".to_owned(),
        as_it_comes: table(money, vec![odds("V1", 34.4, 3, well(31)), odds("V2", 33.6, 0, new.clone())]),
        dry_third: Some(table(money, vec![odds("V2", 20.2, 19, new), odds("V1", 22.0, 9, well(0))])),
        driest_fifth: None,
    }
}

/// The cells of each row as text, in the order a reader meets them.
fn rows(html: &str) -> Vec<String> {
    html.lines()
        .filter(|line| line.starts_with("<tbody>"))
        .map(|line| {
            let mut text = String::new();
            let mut inside_tag = false;
            for character in line.chars() {
                match character {
                    '<' => inside_tag = true,
                    '>' => {
                        inside_tag = false;
                        text.push('|');
                    }
                    other if !inside_tag => text.push(other),
                    _ => {}
                }
            }
            text.split('|').filter(|piece| !piece.is_empty()).collect::<Vec<_>>().join(" | ")
        })
        .collect()
}

#[test]
fn a_row_says_average_and_how_often_it_loses_money() {
    let html = static_table(&[system()], &words(), &network());
    assert_eq!(
        rows(&html),
        [
            "Corvane | 34 | loses in 3 | 22 | loses in 9 | never this dry | well tested: 6 seasons, 31 trials | short \
             &lt;straw&gt;",
            "V2 | 34 | hardly loses | 20 | loses in 19 | new: 1 season, 1 trial",
        ]
    );
    for expected in [
        "<h1>Uplands &amp; &lt;b&gt;Lows&lt;/b&gt;</h1>",
        "How, or at https://example.org/?a=1&amp;b=2<",
        ">Invented.<",
        "<p>Ground near High Bench making 32 bu/ac. Grain $5.80 a bushel, costs $165 an acre.</p>",
        "<p>Too close: Corvane, V2.</p>",
        "<p>Data of 2025-08-01.</p>",
        "<p>No guarantee.</p>",
    ] {
        assert!(html.contains(expected), "{expected} in\n{html}");
    }
    for absent in ["Driest fifth", "style=", "Ask", "Paid"] {
        assert!(!html.contains(absent), "{absent} in\n{html}");
    }
}

#[test]
fn what_cannot_be_sown_is_counted_and_not_listed() {
    let mut system = system();
    let html = static_table(&[system.clone()], &words(), &network());
    assert!(!html.contains("left out"), "{html}");
    let gone = standing(StandingState::NoLongerTested, 6, 31, 31);
    let never = standing(StandingState::New, 0, 0, 0);
    system.as_it_comes.varieties.insert(0, odds("V8", 40.0, 0, gone));
    let html = static_table(&[system.clone()], &words(), &network());
    assert!(html.contains(">One left out.<"), "{html}");
    system.as_it_comes.varieties.push(odds("V9", 41.0, 0, never));
    let html = static_table(&[system], &words(), &network());
    assert!(html.contains(">2 left out.<"), "{html}");
    assert_eq!(rows(&html).len(), 2, "{html}");
    assert!(!html.contains("<b>40</b>") && !html.contains("<b>41</b>"), "{html}");
}

#[test]
fn without_a_price_short_is_short_of_a_yield_and_spanish_has_its_own_notes() {
    let mut system = system();
    system.as_it_comes.break_even = BreakEven::Target(25.0);
    system.as_it_comes.settings.price = None;
    system.dry_third = None;
    let words = StaticWords {
        lang: "es".to_owned(),
        decimal_sign: ",".to_owned(),
        systems: [("dryland".to_owned(), "secano".to_owned())].into(),
        ..words()
    };
    system.name = "dryland".to_owned();
    let html = static_table(&[system], &words, &network());
    assert!(html.contains("<h2>secano</h2>"), "{html}");
    assert_eq!(
        rows(&html),
        [
            "Corvane | 34 | below 25 bu/ac in 3 | well tested: 6 seasons, 31 trials | paja corta",
            "V2 | 34 | hardly below 25 bu/ac | new: 1 season, 1 trial",
        ]
    );
    assert!(!html.contains("Grain"));
}

#[test]
fn a_filled_page_is_refilled_to_the_byte_through_generations() {
    let site = SiteParts {
        template: TEMPLATE.to_owned(),
        words: SiteParts::sentences(&[("en".to_owned(), words())].into()).unwrap(),
        files: [("sw.js".to_owned(), "x</script>".to_owned())].into(),
        icons: [].into(),
        made_of: MadeOf::default(),
    };
    let table = static_table(&[system()], &words(), &network());
    let first =
        parts_with(&site.to_json().unwrap()).fill("A & B </title>", &table, r#"{"a":"</script><!--"}"#);
    let second = Shell::parse(&first).unwrap();
    let third = Shell::parse(&second.fill(second.title(), second.static_table(), second.pack())).unwrap();
    assert_eq!(third.fill(second.title(), second.static_table(), second.pack()), first);
    assert_eq!(second.title(), "A & B </title>");
    assert_eq!(second.static_table(), table);
    assert_eq!(first.matches("</script>").count(), 4);
    assert_eq!(SiteParts::from_json(second.site().unwrap()).unwrap(), site);
    // What a page carries is enough to make it again.
    let again = parts_with(second.site().unwrap());
    assert_eq!(again.fill(second.title(), second.static_table(), second.pack()), first);
}

#[test]
fn a_text_that_is_no_page_is_refused_by_its_first_missing_slot() {
    for (text, slot) in [
        ("", "title"),
        ("<title>a</title>", "static table"),
        (r#"<title></title><div id="app"></div><script type="application/json" id="pack">{}"#, "pack"),
    ] {
        let error = Shell::parse(text).unwrap_err();
        assert!(matches!(error, PageError::MissingSlot { slot: found, .. } if found == slot), "{error}");
    }
}

#[test]
fn the_hosted_copy_changes_its_version_with_the_page_and_carries_its_icons() {
    let site = SiteParts {
        template: TEMPLATE.to_owned(),
        words: SiteParts::sentences(&[("en".to_owned(), words())].into()).unwrap(),
        files: [
            ("sw.js".to_owned(), "{{version}} {{seal}} {{files}}".to_owned()),
            ("manifest.webmanifest".to_owned(), r#"{"name":{{name}},"icon":"{{icon i.png}}"}"#.to_owned()),
        ]
        .into(),
        icons: [("i.png".to_owned(), "iVBORw==".to_owned())].into(),
        made_of: MadeOf::default(),
    };
    let files = |title: &str| {
        let page = parts_with("{}").fill(title, "", "{}");
        let files = hosted_site(&page, title, &site).unwrap();
        files.into_iter().map(|file| (file.path, file.bytes)).collect::<crate::order::Map<_, _>>()
    };
    let (one, other) = (files("\"{{icon i.png}}\""), files("b"));
    let manifest: serde_json::Value = serde_json::from_slice(&one["manifest.webmanifest"]).unwrap();
    assert_eq!(manifest, json!({ "name": "\"{{icon i.png}}\"", "icon": "data:image/png;base64,iVBORw==" }));
    assert_eq!(one["i.png"], [0x89, b'P', b'N', b'G']);
    let worker = |files: &crate::order::Map<String, Vec<u8>>| {
        String::from_utf8(files["sw.js"].clone()).unwrap().split(' ').map(str::to_owned).collect::<Vec<_>>()
    };
    let (first, second) = (worker(&one), worker(&other));
    assert_ne!(first[0], second[0]);
    assert_eq!(first[1], second[1]);
    assert!(first[1].starts_with("sha256-"));
    assert_eq!(first[2], r#"["manifest.webmanifest","i.png"]"#);
}

proptest! {
    #[test]
    fn any_title_and_any_text_in_the_pack_come_back(title in ".*", note in ".*") {
        let pack = json!({ "note": note }).to_string();
        let page = parts_with("{}").fill(&title, "<p>table</p>", &pack);
        let shell = Shell::parse(&page).unwrap();
        prop_assert_eq!(shell.title(), title.as_str());
        let read: serde_json::Value = serde_json::from_str(shell.pack()).unwrap();
        prop_assert_eq!(&read["note"], &json!(note));
        prop_assert_eq!(shell.fill(shell.title(), shell.static_table(), shell.pack()), page);
    }
}

#[test]
fn a_network_gets_the_sentences_of_its_language_or_english() {
    let spanish = StaticWords { lang: "es".to_owned(), ..words() };
    let mut site = SiteParts {
        template: String::new(),
        words: SiteParts::sentences(&[("en".to_owned(), words()), ("es".to_owned(), spanish)].into())
            .unwrap(),
        files: [].into(),
        icons: [].into(),
        made_of: MadeOf::default(),
    };
    let got = |lang: &str| site.words_in(lang).unwrap().lang.clone();
    assert_eq!(["es", "es-MX", "de", ""].map(got), ["es", "es", "en", "en"]);
    site.words = crate::order::Map::new();
    assert!(site.words_in("en").is_err());
}
