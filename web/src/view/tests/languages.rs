//! The views in Spanish: no English left over, figures in the marks of the region, the network's own Spanish.

use super::rules::everything;
use super::*;

/// What the sample itself says in English.
const OF_THE_DATA: [&str; 12] = [
    "Invented upland trials",
    "winter wheat",
    "Cut it early.",
    "First Hill",
    "Second Hill",
    "Upper zone",
    "leaf rust",
    "Hill mosaic",
    "curl mite",
    "nobody",
    "https://trials.invalid/page",
    "English",
];

/// The text of every view in a language, without what is the network's own.
fn texts(lang: &'static str) -> Vec<String> {
    let bare = |html: String| OF_THE_DATA.iter().fold(text_of(&html), |text, own| text.replace(own, ""));
    everything(lang).into_iter().map(bare).collect()
}

#[test]
fn nothing_english_is_left_over_in_spanish() {
    let english = [
        "the",
        "and",
        "of",
        "with",
        "without",
        "for",
        "from",
        "not",
        "is",
        "are",
        "it",
        "its",
        "this",
        "that",
        "year",
        "years",
        "trial",
        "trials",
        "season",
        "seasons",
        "yield",
        "yields",
        "average",
        "variety",
        "varieties",
        "water",
        "wet",
        "cost",
        "price",
        "loses",
        "money",
        "more",
        "less",
        "than",
        "between",
        "what",
        "which",
        "you",
        "your",
    ];
    for text in texts("es") {
        let lower = text.to_lowercase();
        for word in lower.split(|c: char| !c.is_alphanumeric()) {
            assert!(!english.contains(&word), "“{word}” in:\n{text}");
        }
    }
    // The same look finds them where they are.
    assert!(texts("en").iter().all(|text| text.to_lowercase().split_whitespace().any(|word| word == "the")));
}

/// Whether a decimal mark stands between two digits, but not before a group of three.
fn has_decimal(text: &str, mark: char) -> Option<String> {
    let letters: Vec<char> = text.chars().collect();
    letters.iter().enumerate().find_map(|(at, c)| {
        let digits = letters[at + 1..].iter().take_while(|c| c.is_ascii_digit()).count();
        let before = at > 0 && letters[at - 1].is_ascii_digit();
        (*c == mark && before && digits > 0 && digits != 3)
            .then(|| letters[at.saturating_sub(12)..letters.len().min(at + 12)].iter().collect())
    })
}

#[test]
fn every_figure_has_the_marks_of_its_region() {
    let (spanish, english) = (texts("es"), texts("en"));
    for (texts, own, other) in [(&spanish, ',', '.'), (&english, '.', ',')] {
        assert!(texts.iter().any(|text| has_decimal(text, own).is_some()));
        for text in texts {
            assert_eq!(has_decimal(text, other), None, "{text}");
        }
    }
}

#[test]
fn a_field_starts_with_the_marks_of_the_region_and_a_link_keeps_the_point() {
    let change: Change = |state, _, _, _| {
        state.settings.view = View::Share;
        state.share_money = true;
    };
    let html = html_in("es", change);
    assert!(text_of(&html).contains("$5,80 por bushel"), "{html}");
    let entry: Change = |state, _, _, _| {
        state.sheet = Some(Sheet::Price);
        state.settings.haul = Some(0.25);
    };
    assert!(html_in("es", entry).contains("value=\"0,25\""));
    assert!(html_in("en", entry).contains("value=\"0.25\""));
}

#[test]
fn the_networks_own_spanish_is_shown_where_it_is_given() {
    let change: Change = |state, _, network, _| {
        network.varieties[1].note = "Cut it early.".into();
        network.varieties[1].note_es = "Coséchela temprano.".into();
        network.traits[0].label_es = "roya de la hoja".into();
        (state.settings.view, state.settings.variety) = (View::Variety, Some("V02".into()));
    };
    let (spanish, english) = (text_of(&html_in("es", change)), text_of(&html_in("en", change)));
    assert!(spanish.contains("Coséchela temprano.") && !spanish.contains("Cut it early."), "{spanish}");
    assert!(spanish.contains("roya de la hoja") && !spanish.contains("leaf rust"), "{spanish}");
    assert!(english.contains("Cut it early.") && english.contains("leaf rust"), "{english}");
}

#[test]
fn the_head_offers_the_other_language_by_its_own_name() {
    let [english, spanish] = ["en", "es"].map(|lang| html_in(lang, |_, _, _, _| {}));
    assert!(english.contains("<button lang=\"es\" class=\"word\">Español</button>"), "{english}");
    assert!(spanish.contains("<button lang=\"en\" class=\"word\">English</button>"), "{spanish}");
    assert!(spanish.contains("<div lang=\"es\" class=\"sheet-of-paper\">"), "{spanish}");
}
