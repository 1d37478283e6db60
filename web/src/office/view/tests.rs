//! The office rendered to text on the server, empty, full and hostile, and read as an agronomist reads it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::*;
use crate::office::job::Step;
use crate::office::update::tests::{prepared, settled};
use crate::office::update::update;
use crate::text::catalogue;
use crate::view::tests::{text_of, wait};
use leanyear_engine::pack::ShortlistEntry;
use yew::ServerRenderer;

type Make = fn() -> Office;

#[derive(Properties)]
struct CaseProps {
    make: Make,
}

impl PartialEq for CaseProps {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::fn_addr_eq(self.make, other.make)
    }
}

#[component]
fn Case(props: &CaseProps) -> Html {
    let office = (props.make)();
    let (send, act, back) = (Callback::noop(), Callback::noop(), Callback::noop());
    let words = catalogue("en");
    bench(&Bench { office: &office, words, send: &send, act: &act, back: &back, today: "2025-07-28" })
}

fn html_of(make: Make) -> String {
    wait(ServerRenderer::<Case>::with_props(move || CaseProps { make }).hydratable(false).render())
}

fn full() -> Office {
    let fitted = settled(update(&prepared(), Msg::Run(Step::Fit)));
    let reported = settled(update(&fitted, Msg::Run(Step::Report)));
    update(&reported, Msg::Word(Some(Box::new(word_on("V1", "")))))
}

fn word_on(variety: &str, note: &str) -> ShortlistEntry {
    ShortlistEntry {
        system: "all".into(),
        variety: variety.into(),
        stance: "out".into(),
        note: note.into(),
        by: "desk".into(),
        date: "2025-07-28".into(),
    }
}

fn worded() -> Office {
    settled(update(&full(), Msg::SetWord(Box::new(word_on("V2", "<script>alert(1)</script>")))))
}

fn broken() -> Office {
    let open = update(&prepared(), Msg::Fix("means.csv".into(), 2, None));
    let broken = settled(update(&update(&open, Msg::Cell(2, "three".into())), Msg::FixDone));
    update(&broken, Msg::Fix("means.csv".into(), 2, Some("yield".into())))
}

#[test]
fn every_step_stands_in_its_place() {
    let text = text_of(&html_of(full));
    let steps = [
        "1. Files",
        "2. The network",
        "3. What to put right",
        "4. Look at the trials",
        "5. Fit",
        "6. Shortlists",
        "7. Save",
    ];
    let places: Vec<usize> =
        steps.iter().map(|step| text.find(step).unwrap_or_else(|| panic!("no {step} in {text}"))).collect();
    assert!(places.is_sorted());
    for words in [
        "semicolons between cells, decimal commas",
        "hang together",
        "hang most on trial",
        "Adjusted means are best linear",
        "LSD (5 %)",
    ] {
        assert!(text.contains(words), "no “{words}” in:\n{text}");
    }
    assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
}

#[test]
fn what_a_trial_moves_is_told_under_its_row() {
    fn ranks(office: &Office) -> Vec<(String, usize)> {
        let lines = &office.fresh_fit().unwrap().lists["all"].lines;
        lines.iter().map(|line| (line.variety.clone(), line.rank)).collect()
    }
    fn turned() -> Office {
        let fitted = settled(update(&prepared(), Msg::Run(Step::Fit)));
        let trials = (2018..2024).flat_map(|season| [format!("N{season}"), format!("S{season}")]);
        let reason = Some(leanyear_engine::pack::Exclusion::Hail);
        let mut without = trials.map(|trial| settled(update(&fitted, Msg::Exclude(trial, reason))));
        without.find(|office| ranks(office) != ranks(&fitted)).expect("a trial that moves a variety")
    }
    fn unfitted() -> Office {
        settled(update(
            &prepared(),
            Msg::Exclude("N2020".into(), Some(leanyear_engine::pack::Exclusion::Hail)),
        ))
    }
    let after = |make: Make, words: &str| {
        let html = html_of(make);
        let row = html.split("class=\"told\"").nth(1).unwrap_or_else(|| panic!("no row in {html}"));
        let row = text_of(row.split("</tr>").next().unwrap());
        assert!(row.contains(words), "no “{words}” in {row}");
    };
    after(turned, "What moved since the fit before: V");
    after(unfitted, "Fit once, and what a trial moves is told here at once.");
}

#[test]
fn a_network_of_one_system_has_no_heading_twice_and_no_word_for_it() {
    let html = html_of(full);
    assert!(!html.contains("<caption>4. ") && !html.contains("<caption>all"), "{html}");
    assert_eq!(text_of(&html).matches("4. Look at the trials").count(), 1);
    assert!(text_of(&html).contains("of 20 years, short in"));
}

#[test]
fn a_fit_that_fails_says_why() {
    fn equal() -> Office {
        let mut office = prepared();
        let means: String = ["trial;variety;yield\n".to_owned()]
            .into_iter()
            .chain(
                (1..7).flat_map(|variety| ["N2018", "S2018"].map(|trial| format!("{trial};V{variety};3\n"))),
            )
            .collect();
        std::rc::Rc::make_mut(&mut office.draft).files.insert("means.csv".into(), means);
        settled(update(
            &settled(update(
                &office,
                Msg::Answer("means.csv".into(), leanyear_engine::pack::NumberMarks::Comma),
            )),
            Msg::Run(Step::Fit),
        ))
    }
    let text = text_of(&html_of(equal));
    let why = "These trials could not be fitted: all yields are equal within their trials";
    assert!(text.contains(why), "{text}");
    let Stage::Failed(why) = equal().fit else { panic!("it was fitted") };
    let spanish = catalogue("es").fit_failed(&why);
    assert!(
        spanish.starts_with("Estos ensayos no se pudieron ajustar: todos los rendimientos son iguales"),
        "{spanish}"
    );
    assert_eq!(catalogue("es").fit_failed(""), "Estos ensayos no se pudieron ajustar.");
}

#[test]
fn the_other_language_is_one_press_away() {
    let html = html_of(Office::default);
    let buttons = html.split("<button").skip(1).filter_map(|part| part.split("</button>").next());
    let languages: Vec<&str> = buttons.filter(|button| button.contains("lang=\"")).collect();
    assert_eq!(languages.len(), 1, "{languages:?}");
    assert!(languages[0].contains("lang=\"es\"") && languages[0].ends_with(">Español"), "{languages:?}");
}

#[test]
fn what_is_hostile_is_text_and_nothing_is_styled_in_place() {
    for make in [Office::default as Make, full, worded, broken] {
        let html = html_of(make);
        assert!(!html.contains("<script"), "{html}");
        assert!(!html.contains("style="), "{html}");
        for svg in html.split("<svg").skip(1) {
            let svg = &svg[..svg.find("</svg>").unwrap()];
            let described = svg.contains("role=\"img\"") && svg.contains("<title>") && svg.contains("<desc>");
            assert!(svg.contains("aria-hidden=\"true\"") || described, "{svg}");
        }
    }
    assert!(html_of(worded).contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
}

#[test]
fn a_broken_cell_is_named_with_its_row_and_stands_in_its_field() {
    let html = html_of(broken);
    let text = text_of(&html);
    assert!(text.replace(" :", ":").contains("row 2, yield: “three” is not a number."), "{text}");
    assert!(html.contains("value=\"three\"") && html.contains("aria-invalid=\"true\""), "{html}");
    assert!(!text.contains("5. Fit"), "nothing is fitted from files with an error: {text}");
}

#[test]
fn what_is_no_rule_is_said_and_stays_in_its_field() {
    fn faulty() -> Office {
        update(&full(), Msg::RuleFault("rule-0".into(), "abc".into()))
    }
    let html = html_of(faulty);
    let words = "\u{201c}abc\u{201d} is not a whole number from 0 to 99; the rule stays as it was.";
    assert!(text_of(&html).contains(words), "{}", text_of(&html));
    assert!(html.contains("value=\"abc\""), "{html}");
}

#[test]
fn a_price_of_two_readings_says_how_to_write_it() {
    fn odd() -> Office {
        let key = crate::office::form::Kind::Number;
        settled(update(&prepared(), Msg::Key("defaults.price", key, "5.825".into())))
    }
    let text = text_of(&html_of(odd));
    for words in ["5.825 can be read as 5.825 and as 5,825. Write 5.8250 or 5825.", "This must be a number"] {
        assert!(text.contains(words), "no “{words}” in:\n{text}");
    }
    assert!(!text.contains("defaults.price"), "{text}");
}

#[test]
fn a_trial_without_yields_is_no_group() {
    fn bare() -> Office {
        let mut office = prepared();
        let draft = std::rc::Rc::make_mut(&mut office.draft);
        draft.files.get_mut("trials.csv").unwrap().push_str("W2024;N;2024;210\n");
        settled(update(&office, Msg::Answer("means.csv".into(), leanyear_engine::pack::NumberMarks::Comma)))
    }
    let text = text_of(&html_of(bare));
    assert!(
        text.contains("All 12 trials and 6 varieties hang together") && !text.contains("Group 2"),
        "{text}"
    );
    assert!(text.contains("Trial W2024 has no yields"), "{text}");
}
