//! What leaves the page: codes, tables, pictures, the printed sheet; and what is asked of a variety.

use super::*;
use crate::derive::{LinkCode, Part};
use crate::qr::symbol;
use crate::view::export::{csv, picture, text as words};
use leanyear_engine::decide::needs::{NeedFailure, NeedReason};

pub(super) fn code(text: &str) -> LinkCode {
    LinkCode { symbol: symbol(text, 12), left_out: vec![Part::Acres, Part::Needs] }
}

/// The third variety is weak against leaf rust, the fourth is not rated for it; both come last.
pub(super) fn lack_rust(answer: &mut Answer) {
    let failure = |reason| NeedFailure {
        trait_: "leaf-rust".into(),
        reason,
        needed: Some(5.0),
        higher_is_better: false,
    };
    let rows = &mut table(answer).varieties;
    rows[2].fails = vec![failure(NeedReason::Worse(8.0))];
    rows[3].fails = vec![failure(NeedReason::Unknown)];
    let failing: Vec<_> = rows.drain(2..4).collect();
    rows.extend(failing);
}

/// The page that `change` makes, seen by `look`.
fn seen<T>(change: Change, look: fn(&Page) -> T) -> T {
    let (mut state, mut answer) = (State::opening(sample::settings()), sample::answer());
    let (mut network, mut surroundings) = (sample::network(), Surroundings::default());
    change(&mut state, &mut answer, &mut network, &mut surroundings);
    look(&Page {
        state: &state,
        network: &network,
        answer: &answer,
        surroundings: &surroundings,
        words: catalogue("en"),
        send: &Callback::noop(),
        act: &Callback::noop(),
    })
}

#[test]
fn what_was_never_named_is_not_sent() {
    let sent = text(|state, _, _, _| {
        state.settings.view = View::Share;
        state.settings.mine = None;
    });
    assert!(!sent.contains("name it"), "{sent}");
    assert!(sent.contains("where I usually make about 34 bu/ac, if the year"), "{sent}");
}

#[test]
fn a_code_is_dark_on_white_and_names_what_it_leaves_out() {
    let change: Change = |state, answer, _, surroundings| {
        state.settings.view = View::Share;
        surroundings.address = Some("https://trials.invalid/page".into());
        answer.code = Some(Rc::new(code("https://trials.invalid/page#v=1")));
    };
    check(
        change,
        &[
            "To make room this code leaves out acres and must-haves. What goes first: varieties side by side, acres, \
         sprays, grazing, price and cost, must-haves, what comes first, the view, the variety grown now, diseases.",
            "Plain text, for a phone without signal:",
        ],
    );
    let html = html_of(change);
    // Version 3 has 29 modules and 4 of white on each side, at 4 px each.
    assert!(html.contains("viewBox=\"0 0 37 37\" width=\"148\" height=\"148\""), "{html}");
    assert!(html.contains("fill=\"#fff\"") && html.contains("fill=\"#000\""), "{html}");
}

#[test]
fn plain_text_stays_within_its_bytes_whatever_the_names() {
    let plain = seen(|_, _, _, _| {}, words::code_text);
    let expected = "Invented upland trials, dryland ground near First Hill. Of 20 dry years, how many lose me \
                    money: Ambra05 (yours) 7, Ambra02 6,";
    assert!(plain.starts_with(expected), "{plain}");
    assert!(plain.ends_with(". Invented data. No guarantee."), "{plain}");
    let assumed = seen(
        |state, _, _, _| {
            state.settings.graze = true;
            (state.settings.graze_days, state.settings.off) = (Some(90.0), Some(7.0));
        },
        words::code_text,
    );
    assert!(
        assumed.contains("Of 20 dry years (grazed 90 days, off 7 days after the first hollow stem of Ambra"),
        "{assumed}"
    );
    let priced = seen(|state, _, _, _| state.share_money = true, words::code_text);
    assert!(priced.contains("how many lose money at $5.80 a bushel, $165 an acre: "), "{priced}");
    let crowded = seen(
        |state, answer, _, _| {
            state.share_money = true;
            state.settings.graze = true;
            (state.settings.graze_days, state.settings.off) = (Some(90.0), Some(7.0));
            state.settings.need = vec!["leaf-rust".into(), "protein".into(), "baking".into(), "straw".into()];
            table(answer).varieties[1].standing.state = StandingState::New;
        },
        words::code_text,
    );
    assert!(
        crowded.contains("and more), how many lose me money: Ambra05 (yours) 7, Ambra02 (new) 6"),
        "{crowded}"
    );
    let long = seen(
        |_, _, network, _| {
            network.info.name = "\u{e9}".repeat(200);
            network.sites[0].name = "\u{fc}".repeat(300);
        },
        words::code_text,
    );
    for text in [&plain, &assumed, &priced, &crowded] {
        assert!(text.ends_with(". Invented data. No guarantee.") && text.contains(" (yours) 7, "), "{text}");
    }
    for text in [&plain, &assumed, &priced, &crowded, &long] {
        assert!(text.len() <= 250, "{} bytes: {text}", text.len());
        assert!(symbol(text, 11).is_some(), "{text}");
    }
}

#[test]
fn the_table_for_a_spreadsheet_has_points_every_variety_and_money_only_when_ticked() {
    let without = seen(|_, _, network, _| network.varieties[0].name = "=Ambra01".into(), csv::table);
    let lines: Vec<&str> = without.trim_end().split("\r\n").collect();
    assert_eq!(lines.len(), 37, "{without}");
    assert!(lines[1].starts_with("1,V01,'=Ambra01,yes,33.00,25.00,41.00,25.00,"), "{}", lines[1]);
    assert!(lines[1].contains("Invented data"), "{}", lines[1]);
    let columns = |line: &str| line.split(',').count();
    let quoted = |line: &str| line.split('"').step_by(2).collect::<String>();
    assert!(lines.iter().all(|line| columns(&quoted(line)) == columns(&quoted(lines[0]))), "{without}");
    assert!(!without.contains("165") && !lines[0].contains('$'), "{without}");
    // The group shares the first place; those that are no longer tested have none and stand last.
    let place = |line: &str| line.split(',').next().map(str::to_owned).unwrap_or_default();
    let places: Vec<String> = lines[1..].iter().map(|line| place(line)).collect();
    assert_eq!(places[..11], ["1", "1", "1", "1", "1", "1", "1", "1", "1", "1", "11"], "{without}");
    let lapsed = seen(
        |_, answer, _, _| table(answer).varieties[11].standing.state = StandingState::NoLongerTested,
        csv::table,
    );
    assert!(lapsed.trim_end().lines().last().unwrap().starts_with(",V12,"), "{lapsed}");
    let with = seen(|state, _, _, _| state.share_money = true, csv::table);
    assert!(with.contains("left after costs ($ an acre)") && with.contains("$165 an acre"), "{with}");
    assert!(with.lines().nth(1).unwrap().contains(",28.45,26.40,-20.00,21.00,"), "{with}");
}

#[test]
fn the_list_is_a_picture_that_stands_by_itself() {
    let drawing = seen(|_, _, _, _| {}, picture::list_drawing);
    assert_eq!(drawing.title, "Twenty years of 12 varieties");
    let file = drawing.file();
    for words in [
        "Invented data",
        "Ambra05 (yours)",
        "Ambra01",
        "break-even 28.4",
        "20 dry years",
        "Too close to call",
        "Next in order",
        "\u{b7} 6 seasons, 31 trials, 9 dry",
        "not a guarantee",
    ] {
        assert!(file.contains(words), "no “{words}” in:\n{file}");
    }
    assert!(!file.contains("NaN") && !file.contains("class="), "{file}");
}

#[test]
fn the_table_as_text_holds_the_group_together_and_numbers_only_what_follows() {
    let told = seen(
        |_, answer, _, _| table(answer).varieties[13].standing.state = StandingState::NoLongerTested,
        words::table,
    );
    let lines: Vec<&str> = told.lines().collect();
    let at = |start: &str| {
        lines
            .iter()
            .position(|line| line.starts_with(start))
            .unwrap_or_else(|| panic!("no “{start}” in:\n{told}"))
    };
    assert!(at("Too close to call. The trials cannot tell these 10 apart") < at("- Ambra01: loses money in"));
    assert!(at("- Ambra10:") < at("The other 25, in the same order"));
    assert!(at("The other 25, in the same order") < at("11. Ambra11:"));
    assert!(at("35. Ambra36:") < at("No longer tested"));
    assert!(at("No longer tested") < at("- Ambra14:"));
    assert!(told.contains("6 seasons, 31 trials, 9 of them dry"), "{told}");
}

#[test]
fn one_of_the_group_without_room_for_a_row_is_marked_in_the_small_table() {
    check(
        |state, answer, _, _| {
            state.settings.view = View::Handout;
            table(answer).varieties[..15].iter_mut().for_each(|row| row.group = true);
        },
        &["\u{2248} also too close to call", "\u{2248} Ambra15"],
    );
}

#[test]
fn the_printed_page_holds_what_a_banker_and_a_field_need() {
    check(
        |state, answer, _, _| {
            state.settings.view = View::Handout;
            table(answer).varieties[13].standing.state = StandingState::NoLongerTested;
        },
        &[
            "One page to print",
            "at $5.80 a bushel and $165 an acre",
            "20 dry years, each as likely.",
            "Ambra05 (yours) loses money in 7 of 20 years, not in 13",
            "Ambra01 (the check)",
            "Too close to call The trials cannot tell these 10 apart",
            "Ambra12 loses money in 11 of 20 years, not in 9 averages 28, 20 to 36 in 4 years of 5 \u{b7} 6 seasons, 31 \
         trials, 9 dry",
            "The others in order (seasons, trials): years of 20 that lose money and that do not; average bu/ac",
            "Ambra13 (6, 31) 11, 9 27",
            "Left off this paper: 1 that is no longer tested.",
            "not a guarantee",
            "How it is worked out:",
            "16 trials of winter wheat, 2017 to 2024; data of 28 July 2025. Ask: nobody.",
            "The same as text, no signal needed",
        ],
    );
}

#[test]
fn those_that_lack_something_stand_below_a_line_with_the_reason() {
    let change: Change = |state, answer, _, _| {
        state.settings.need = vec!["leaf-rust".into()];
        lack_rust(answer);
    };
    check(
        change,
        &[
            "leaves most after costs, and it must stand up to leaf rust.",
            "2 lack what they must have and stand below, with the reasons.",
        ],
    );
    let all = text(|state, answer, _, _| {
        state.settings.need = vec!["leaf-rust".into()];
        state.all_shown = true;
        lack_rust(answer);
    });
    let place = |words: &str| all.find(words).unwrap_or_else(|| panic!("no “{words}” in:\n{all}"));
    assert!(place(" Ambra36 ") < place("2 that lack what they must have"), "{all}");
    assert!(place("2 that lack what they must have") < place("leaf rust 8, not 5 or less"), "{all}");
    assert!(place("leaf rust 8, not 5 or less") < place("not rated for leaf rust"), "{all}");
}

#[test]
fn newer_data_wait_for_a_tap_and_a_kept_page_says_so() {
    let newer = text(|state, _, _, _| state.hosted.newer = true);
    assert!(newer.ends_with("Newer trial data are here. use them"), "{newer}");
    check(
        |state, _, _, _| state.hosted.kept = true,
        &["This device keeps the page: it opens without signal."],
    );
    let neither = text(|_, _, _, _| {});
    assert!(!neither.contains("Newer trial data") && !neither.contains("keeps the page"), "{neither}");
}
