//! The office rendered to text on the server, empty, full and hostile, and read as an agronomist reads it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::*;
use crate::office::job::Step;
use crate::office::update::tests::{prepared, settled};
use crate::office::update::update;
use crate::text::catalogue;
use crate::text::office::Names;
use crate::view::tests::{text_of, wait};
use leanyear_engine::office::report::Report;
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

/// The small network, but its sites never grew a variety together: those of `S` are named `W1` to `W6`.
fn sites_apart() -> Office {
    let mut office = prepared();
    let means = std::rc::Rc::make_mut(&mut office.draft).files.get_mut("means.csv").unwrap();
    let renamed = means.lines().map(|row| match row.starts_with('S') {
        true => row.replace(";V", ";W") + "\n",
        false => row.to_owned() + "\n",
    });
    *means = renamed.collect();
    let read =
        settled(update(&office, Msg::Answer("means.csv".into(), leanyear_engine::pack::NumberMarks::Comma)));
    settled(update(&read, Msg::Run(Step::Fit)))
}

#[test]
fn varieties_that_no_trial_joins_are_said_to_have_places_of_their_own() {
    let words = "each group has places and a list of its own";
    let text = text_of(&html_of(sites_apart));
    assert!(
        text.contains(words) && text.contains("6 varieties, marked \u{201c}tested apart\u{201d}"),
        "{text}"
    );
    assert!(text.contains("Group 2: 6 trials and 6 varieties"), "{text}");
    assert!(!text_of(&html_of(full)).contains(words));
    let places = |office: &Office, group: usize| -> Vec<usize> {
        let lines = &office.fresh_fit().unwrap().lists["all"].lines;
        let mut ranks: Vec<usize> =
            lines.iter().filter(|line| line.group == group).map(|line| line.rank).collect();
        ranks.sort_unstable();
        ranks
    };
    assert_eq!(
        [places(&sites_apart(), 0), places(&sites_apart(), 1)],
        [[1, 2, 3, 4, 5, 6]; 2].map(Vec::from)
    );
}

#[test]
fn last_years_data_that_give_no_answer_say_so() {
    fn damaged() -> Office {
        let mut office = settled(update(&prepared(), Msg::Run(Step::Fit)));
        let last = crate::office::state::LastYear { name: "2024.pack.json".into(), json: "{}".into() };
        std::rc::Rc::make_mut(&mut office.draft).last = Some(last);
        settled(update(&office, Msg::Run(Step::Changes)))
    }
    let text = text_of(&html_of(damaged));
    assert!(
        text.contains("2024.pack.json") && text.contains("data gave no answer: they were changed by hand"),
        "{text}"
    );
}

/// What the paragraph must say where a part is in the model, and must not say where it is not.
#[test]
fn the_report_tells_the_method_of_its_own_model_in_both_languages() {
    let office = settled(update(&settled(update(&prepared(), Msg::Run(Step::Fit))), Msg::Run(Step::Report)));
    let report = &office.report.done().unwrap()["all"];
    let network = office.read.done().unwrap().network.as_ref();
    type Set = fn(&mut Report, bool);
    let parts: [(Set, [&str; 2]); 6] = [
        (|report, on| report.water_known = on, ["their response to water", "su respuesta al agua"]),
        (|report, on| report.trend_known = on, ["a trend over years of release", "una tendencia por año"]),
        (|report, on| report.losses_known = on, ["what diseases take", "lo que quitan las enfermedades"]),
        (|report, on| report.systems = if on { 2 } else { 1 }, ["seasons and systems", "campaña y sistema"]),
        (
            |report, on| report.all_joined = !on,
            ["are not compared with the rest at all", "no se comparan con las demás"],
        ),
        (
            |report, on| report.error_known = on,
            ["own error mean square, drawn", "cuadrado medio del error de cada ensayo"],
        ),
    ];
    for (set, said) in parts {
        for (language, said) in ["en", "es"].into_iter().zip(said) {
            for on in [true, false] {
                let mut report = report.clone();
                set(&mut report, on);
                let told = catalogue(language).report_method(&report, &Names { network, lang: language });
                assert_eq!(told.contains(said), on, "“{said}” in {told}");
            }
        }
    }
}

/// Dryland trials that were all as dry as each other carry no response to water, those under irrigation do.
#[test]
fn a_system_without_a_response_to_water_is_named() {
    let dropped = [leanyear_engine::mixed::network::Dropped {
        term: format!("{}dryland", leanyear_engine::mixed::network::SLOPE_OF),
        why: leanyear_engine::mixed::network::Why::TooLittleWater,
    }];
    let office = settled(update(&prepared(), Msg::Run(Step::Fit)));
    let form = &office.fresh_fit().unwrap().form;
    for (language, said) in [
        ("en", "On dryland ground the varieties\u{2019} own response to water is left out: "),
        ("es", "La respuesta de cada variedad al agua, en secano: queda afuera, "),
    ] {
        let lines =
            catalogue(language).fit_left_out(&dropped, form, &Names { network: None, lang: language });
        assert!(lines[0].starts_with(said), "{lines:?}");
    }
}

#[test]
fn a_network_without_a_name_is_sent_to_the_form_and_to_no_file() {
    fn nameless() -> Office {
        let mut office = prepared();
        std::rc::Rc::make_mut(&mut office.draft).files.remove("network.json");
        settled(update(&office, Msg::Answer("means.csv".into(), leanyear_engine::pack::NumberMarks::Comma)))
    }
    let text = text_of(&html_of(nameless));
    assert!(
        text.replace(" :", ":").contains("2. The network: What the page says of itself. Name and unit"),
        "{text}"
    );
    assert!(!text.contains("This file is needed"), "{text}");
}
