//! What holds of every view, as a grower reads it.

use super::*;

/// Every view that a grower can see, in one text.
pub(super) fn everything(lang: &'static str) -> Vec<String> {
    let views: [Change; 9] = [
        |state, _, _, _| state.all_shown = true,
        |state, _, _, _| state.settings.view = View::Variety,
        |state, _, _, _| state.settings.view = View::Share,
        |state, answer, _, surroundings| {
            (state.settings.view, state.share_money) = (View::Share, true);
            surroundings.address = Some("https://trials.invalid/page".into());
            answer.code = Some(Rc::new(leaving::code("https://trials.invalid/page#v=1")));
        },
        |state, _, _, _| state.settings.view = View::Handout,
        |state, answer, _, _| {
            state.settings.need = vec!["leaf-rust".into()];
            state.all_shown = true;
            leaving::lack_rust(answer);
        },
        |state, _, _, _| (state.wide, state.night) = (true, true),
        |state, _, _, _| (state.settings.view, state.track) = (View::TrackRecord, Track::Done(list::past())),
        |state, answer, _, _| {
            state.settings.water = WaterOutlook::DriestFifth;
            table(answer).break_even = BreakEven::NoSingleCrossing;
            table(answer).outlook.drier_than_harvested = true;
        },
    ];
    let sheets: [Change; 12] = [
        |state, _, _, _| state.sheet = Some(Sheet::Diseases),
        |state, _, _, _| state.sheet = Some(Sheet::System),
        |state, _, _, _| state.sheet = Some(Sheet::Site),
        |state, _, _, _| state.sheet = Some(Sheet::Usual),
        |state, _, _, _| state.sheet = Some(Sheet::Mine),
        |state, _, _, _| state.sheet = Some(Sheet::Water),
        |state, _, _, _| state.sheet = Some(Sheet::Price),
        |state, _, _, _| state.sheet = Some(Sheet::Cost),
        |state, _, _, _| state.sheet = Some(Sheet::Order),
        |state, _, _, _| state.sheet = Some(Sheet::Find),
        |state, _, _, _| state.sheet = Some(Sheet::Needs),
        |state, _, _, _| state.sheet = Some(Sheet::Units),
    ];
    let weighed: [Change; 9] = [
        |state, answer, _, _| weigh(state, answer, View::Compare, None),
        |state, answer, _, _| weigh(state, answer, View::Acres, None),
        |state, answer, _, _| weigh(state, answer, View::Variety, None),
        |state, answer, _, _| {
            weigh(state, answer, View::Odds, None);
            state.change_shown = true;
        },
        |state, answer, _, _| weigh(state, answer, View::Compare, Some(Sheet::Beside)),
        |state, answer, _, _| weigh(state, answer, View::Acres, Some(Sheet::Sown)),
        |state, answer, _, _| weigh(state, answer, View::Odds, Some(Sheet::Grazing)),
        |state, answer, _, _| weigh(state, answer, View::Odds, Some(Sheet::Docks)),
        |state, answer, _, _| {
            weigh(state, answer, View::Odds, None);
            (state.settings.price, state.settings.cost) = (None, None);
        },
    ];
    views.into_iter().chain(sheets).chain(weighed).map(|change| html_in(lang, change)).collect()
}

/// With everything that can be asked beside the table on the screen.
fn weigh(state: &mut State, answer: &mut Answer, view: View, sheet: Option<Sheet>) {
    state.settings.view = view;
    state.settings.graze = true;
    state.settings.with = vec!["V02".into(), "V05".into()];
    state.settings.acres = vec![("V02".into(), 96.0), ("V07".into(), 64.0)];
    state.sheet = sheet;
    answer.extras = Rc::new(sample::extras());
}

#[test]
fn no_view_speaks_like_a_statistician() {
    const ENGLISH: &[&str] = &[
        "law",
        "laws",
        "pack",
        "packs",
        "fit",
        "fits",
        "fitted",
        "standing",
        "lapsed",
        "regret",
        "expected",
        "quantile",
        "quantiles",
        "environment",
        "blup",
    ];
    // Beginnings of words, since Spanish bends them.
    const SPANISH: &[&str] = &[
        "leyes",
        "paquete",
        "ajust",
        "reajust",
        "esperad",
        "esperanza",
        "cuantil",
        "percentil",
        "ambient",
        "vigen",
        "caduc",
        "arrepent",
        "varianza",
        "blup",
    ];
    for html in everything("en") {
        let text = text_of(&html).to_lowercase();
        for word in text.split(|c: char| !c.is_alphanumeric()) {
            assert!(!ENGLISH.contains(&word), "“{word}” in:\n{text}");
        }
    }
    for html in everything("es") {
        let text = text_of(&html).to_lowercase();
        for word in text.split(|c: char| !c.is_alphanumeric()) {
            assert!(
                word != "ley" && !SPANISH.iter().any(|start| word.starts_with(start)),
                "“{word}” in:\n{text}"
            );
        }
    }
}

#[test]
fn every_view_says_that_the_data_are_invented() {
    for (lang, said) in [("en", "Invented data"), ("es", "Datos inventados")] {
        for html in everything(lang) {
            assert!(html.contains(said), "{html}");
        }
    }
}

#[test]
fn every_picture_has_role_title_description_and_no_style() {
    for (html, numbers_word) in [("en", "the numbers"), ("es", "los números")]
        .into_iter()
        .flat_map(|(lang, word)| everything(lang).into_iter().map(move |html| (html, word)))
    {
        assert!(!html.contains("style="), "{html}");
        for svg in html.split("<svg").skip(1) {
            let svg = &svg[..svg.find("</svg>").unwrap()];
            let decoration = svg.contains("aria-hidden=\"true\"");
            let described = svg.contains("role=\"img\"") && svg.contains("<title>") && svg.contains("<desc>");
            assert!(decoration || described, "{svg}");
        }
        // The text of a code, or the link it holds, stands beside it; every other picture has its numbers.
        let numbers = html
            .split("<svg")
            .skip(1)
            .any(|svg| svg.contains("role=\"img\"") && !svg.contains("class=\"code"));
        if numbers {
            assert!(html.contains(&format!("<summary>{numbers_word}</summary>")), "{html}");
        }
    }
}

#[test]
fn a_row_draws_two_paths_of_marks() {
    let html = html_of(|_, _, _, _| {});
    let row = html.split("<li class=\"row").nth(1).unwrap();
    let row = &row[..row.find("</li>").unwrap()];
    assert_eq!(row.matches("<path").count(), 3, "the marks that are short, the others, and the line: {row}");
}
