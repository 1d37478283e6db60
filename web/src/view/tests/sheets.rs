//! What is sent, what the sheets ask, what a bad link says, as a grower reads it.

use super::*;
use leanyear_engine::pack::WaterUnit;

#[test]
fn what_is_sent_leaves_money_and_paths_out() {
    let sent: Change = |state, _, _, _| state.settings.view = View::Share;
    let html = html_of(sent);
    assert!(html.contains("value=\"#v=1&amp;pack=00000000"), "{html}");
    assert!(!html.contains("file:"), "{html}");
    let words = text_of(&html);
    assert!(words.contains("Nothing you type leaves this phone unless you send it."), "{words}");
    assert!(words.contains("opened from a file"), "{words}");
    assert!(!words.contains("165") && !words.contains("5.80"), "{words}");
    check(
        |state, _, _, surroundings| {
            state.settings.view = View::Share;
            state.share_money = true;
            state.sent = Some(Sent::Copied);
            surroundings.address = Some("https://trials.invalid/page".into());
        },
        &["at $5.80 a bushel and $165 an acre", "Copied."],
    );
}

#[test]
fn a_link_goes_out_on_the_address_of_the_page_or_of_its_home() {
    let at_home = html_of(|state, _, network, _| {
        state.settings.view = View::Share;
        network.info.home_url = "https://home.invalid/".into();
    });
    assert!(at_home.contains("value=\"https://home.invalid/#v=1&amp;"), "{at_home}");
    let hosted = html_of(|state, _, network, surroundings| {
        state.settings.view = View::Share;
        network.info.home_url = "https://home.invalid/".into();
        surroundings.address = Some("https://here.invalid/x".into());
    });
    assert!(hosted.contains("value=\"https://here.invalid/x#v=1&amp;"), "{hosted}");
}

#[test]
fn sheets_ask_for_one_thing_each() {
    check(
        |state, _, _, _| state.sheet = Some(Sheet::System),
        &["How is the ground farmed?", "full irrigation"],
    );
    check(
        |state, _, _, _| state.sheet = Some(Sheet::Site),
        &["Upper zone", "Second Hill", "elsewhere in Upper zone", "not near any of these"],
    );
    check(
        |state, _, _, _| state.sheet = Some(Sheet::Usual),
        &["over the last ten crops, failed ones counted as 0", "Left to the trials it is about 34 bu/ac."],
    );
    let usual = html_of(|state, _, _, _| state.sheet = Some(Sheet::Usual));
    assert!(usual.contains("placeholder=\"34\""), "{usual}");
    check(
        |state, _, _, _| state.sheet = Some(Sheet::Needs),
        &["Diseases stand up to leaf rust 30 of 36 do, 5 or less; 2 not rated"],
    );
    check(
        |state, _, _, _| state.sheet = Some(Sheet::Units),
        &["bushels an acre (bu/ac)", "tonnes a hectare", "pounds an acre", "millimetres", "inches"],
    );
    check(
        |state, _, _, _| state.sheet = Some(Sheet::Water),
        &["15 of 45 years here were this dry: 6.0 to 11.0 in", "2022: 7.1 in", "long water record"],
    );
    check(|state, _, _, _| state.sheet = Some(Sheet::Order), &["loses money least often", "worst years"]);
    let found = text(|state, _, _, _| {
        state.sheet = Some(Sheet::Find);
        state.search = "bra3".into();
    });
    let sheet = &found[found.rfind("Find a variety").unwrap()..];
    assert_eq!(sheet.matches("Ambra").count(), 7, "{sheet}");
}

#[test]
fn seed_is_asked_for_once() {
    check(|state, _, _, _| state.sheet = Some(Sheet::Cost), &["whatever it makes: seed, fertiliser"]);
    check(
        |state, _, network, _| {
            state.sheet = Some(Sheet::Cost);
            network.varieties[0].seed_cost = Some(20.0);
        },
        &["Not seed: its price is added variety by variety."],
    );
}

#[test]
fn an_unusable_number_says_what_to_do_and_what_is_shown() {
    check(
        |state, _, _, _| {
            state.sheet = Some(Sheet::Usual);
            state.draft = "3x".into();
        },
        &["Use digits only, as in 32 (bu/ac).", "Still showing the last number that could be used."],
    );
}

#[test]
fn a_bad_link_is_named() {
    check(
        |state, _, _, _| {
            state.notices = vec![LinkNotice::OutOfRange {
                key: "usual".into(),
                text: "-3".into(),
                low: 0.1,
                high: 400.0,
            }];
        },
        &["In the link, “usual” is -3, which is not from 0.1 to 400"],
    );
}

#[test]
fn typed_thirds_say_what_they_leave_and_how_often_each_was() {
    check(
        |state, answer, _, _| {
            state.sheet = Some(Sheet::Water);
            state.thirds = ("45".into(), "22".into());
            let rate = answer.years.kinds[0].1;
            let kinds = [WaterOutlook::Dry, WaterOutlook::Middle, WaterOutlook::Wet];
            answer.years = Rc::new(crate::derive::Years {
                kinds: kinds.map(|kind| (kind, rate)).to_vec(),
                single: Vec::new(),
            });
        },
        &["That leaves 33 middling.", "Of 45 years here 15 were dry (6.0 to 11.0 in), 15 middling"],
    );
    check(
        |state, _, _, _| {
            state.sheet = Some(Sheet::Water);
            state.thirds = ("75".into(), "45".into());
        },
        &["Together they may be 100 at most."],
    );
    check(
        |state, _, _, _| state.settings.water = WaterOutlook::Thirds(45, 33, 22),
        &["if the odds for the year are 45 % dry, 33 % middling, 22 % wet, at"],
    );
}

#[test]
fn water_and_yield_are_shown_in_the_units_asked_for() {
    check(
        |state, _, _, _| {
            state.sheet = Some(Sheet::Water);
            state.water_unit = Some(WaterUnit::Millimetre);
        },
        &["152 to 279 mm", "2022: 180 mm"],
    );
    check(
        |state, _, _, _| {
            state.settings = state.settings.in_unit(leanyear_engine::pack::YieldUnit::TonnePerHectare, 60.0);
        },
        &["at $213.11 a tonne and $407.72 a hectare"],
    );
}
