//! One variety in detail, as a grower reads it.

use super::*;

#[test]
fn the_detail_tells_the_evidence_and_the_long_run() {
    check(
        |state, _, _, _| state.settings.view = View::Variety,
        &[
            "Back to all varieties",
            "Well tested on dryland ground: 6 seasons, 31 trials, 9 of them dry; last in 2024.",
            "Cut it early.",
            "Average of the 4 worst years of 20: 24 bu/ac, a loss of $23 an acre",
            "Its seed price is not known: $21 an acre is counted, the average of the others.",
            "it makes 2.1 bu/ac more than the average of Ambra01 and Ambra07",
            "between 0.3 bu/ac less and 4.6 bu/ac more",
            "the trials cannot say which is better",
            "leaf rust about 12 %",
            "Hill mosaic resistance not known; 35 % is counted, as for the average variety Carried by the curl mite",
            "ask a licensed adviser",
            "2024 First Hill 9.5 31.2 1.4 worse",
            "Trials that do not count",
            "hail",
        ],
    );
}

/// Holds the variety looked at against these in the long run.
fn against(answer: &mut Answer, codes: &[&str]) {
    let detail = Rc::make_mut(answer.detail.as_mut().unwrap());
    detail.long_run.as_mut().unwrap().against = codes.iter().map(|code| (*code).to_owned()).collect();
}

#[test]
fn a_variety_is_held_against_the_others_and_itself() {
    check(
        |state, answer, _, _| {
            state.settings.view = View::Variety;
            against(answer, &["V02", "V01"]);
        },
        &["more than the average of Ambra01 and itself"],
    );
    let alone = text(|state, answer, _, _| {
        state.settings.view = View::Variety;
        against(answer, &["V02"]);
    });
    assert!(!alone.contains("in the long run"), "{alone}");
}

#[test]
fn diseases_are_named_as_the_data_name_them() {
    check(
        |state, _, _, _| {
            let diseases = [("mosaic", Pressures::Severe), ("leaf-rust", Pressures::None)];
            state.settings.diseases = diseases.map(|(code, pressure)| (code.to_owned(), pressure)).into();
            state.sheet = Some(Sheet::Diseases);
        },
        &[
            "turns out dry with no leaf rust and severe Hill mosaic, at $5.80",
            "Leaf rust Severe, it takes about 28 % from a variety without resistance (from these trials; published: 30 %).",
            "(as published: too few trials here to tell)",
        ],
    );
}

#[test]
fn a_laptop_shows_list_and_detail_together() {
    check(|state, _, _, _| state.wide = true, &["find a variety", "Is it better in the long run?"]);
    let phone = text(|_, _, _, _| {});
    assert!(!phone.contains("long run"));
}

#[test]
fn every_view_says_once_what_its_numbers_stand_on() {
    fn see(state: &mut State, answer: &mut Answer, view: View, wide: bool) {
        (state.settings.view, state.wide) = (view, wide);
        answer.extras = Rc::new(sample::extras());
    }
    let views: [Change; 6] = [
        |state, answer, _, _| see(state, answer, View::Variety, false),
        |state, answer, _, _| see(state, answer, View::Variety, true),
        |state, answer, _, _| see(state, answer, View::Compare, false),
        |state, answer, _, _| see(state, answer, View::Compare, true),
        |state, answer, _, _| see(state, answer, View::Acres, false),
        |state, answer, _, _| see(state, answer, View::Acres, true),
    ];
    for change in views {
        let text = text(change);
        for said in [", if the year turns out dry", ", at $5.80 a bushel and $165 an acre"] {
            assert_eq!(text.matches(said).count(), 1, "{text}");
        }
    }
}
