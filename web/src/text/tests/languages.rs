//! Every language under the same rules, and what is Spanish about Spanish.

use super::*;
use crate::entry::Entry;
use crate::number::{NumberProblem, Quantity};
use crate::office::form::KEYS;
use crate::state::Sheet;
use crate::text::office::{Desk, Names, Term};
use crate::text::region::Region;
use leanyear_engine::decide::acres::Holding;
use leanyear_engine::decide::tipping::Lever;
use leanyear_engine::office::shortlist::Rules;
use leanyear_engine::pack::columns::TABLES;

fn spanish() -> Catalogue {
    catalogue("es")
}

fn units_in(words: Catalogue) -> Units<'static> {
    Units { words, ..units() }
}

/// Every language with the same marks, so that the same figure must stand in each.
fn languages() -> impl Iterator<Item = Catalogue> {
    Language::ALL.into_iter().map(|language| language.catalogue(Region::POINT))
}

#[test]
fn no_fixed_word_is_empty_in_any_language() {
    for words in languages() {
        let mut said: Vec<&str> = Label::ALL.iter().map(|label| words.label(*label)).collect();
        said.extend(Desk::ALL.iter().map(|label| words.desk(*label)));
        said.extend(Term::ALL.iter().map(|term| words.term(*term)));
        said.extend(words.guide());
        said.extend(words.cautions());
        for table in &TABLES {
            said.push(words.file_about(table.file));
            said.extend(table.columns.iter().map(|column| words.column_about(table.file, column.name)));
        }
        said.extend(KEYS.iter().map(|(key, _)| words.key_about(key).0));
        for sentence in said {
            assert!(
                !sentence.trim().is_empty() && !sentence.contains('{'),
                "“{sentence}” in {}",
                words.lang()
            );
            assert_eq!(sentence.trim(), sentence);
        }
    }
}

#[test]
fn languages_share_hardly_any_fixed_word() {
    let [english, spanish] = [english(), spanish()];
    let same: Vec<&str> = Label::ALL
        .iter()
        .map(|l| english.label(*l))
        .filter(|w| Label::ALL.iter().any(|l| spanish.label(*l) == *w))
        .collect();
    assert_eq!(same, Vec::<&str>::new());
    let same = Desk::ALL.iter().filter(|label| english.desk(**label) == spanish.desk(**label));
    assert_eq!(same.collect::<Vec<_>>(), [&Desk::Cv]);
}

/// A sentence with figures in it, and these figures.
type Told = (fn(Catalogue, &Units) -> String, &'static [&'static str]);

const TOLD: [Told; 24] = [
    (|w, u| w.odds(Short::Money, 9, u), &["9", "20", "11"]),
    (|w, u| w.odds(Short::Below(30.2), 3, u), &["30", "3", "20", "17"]),
    (|w, u| w.odds(Short::Money, 0, u), &["1", "20"]),
    (|w, u| w.odds(Short::Money, 20, u), &["19", "20"]),
    (|w, u| w.averages(34.2, 25.4, 43.1, u), &["34", "25", "43", "4", "5"]),
    (|w, _| w.tested(&standing(6, 31, 9), WaterOutlook::Dry), &["6", "31", "9"]),
    (|w, u| w.worst_fifth(Some(21.0), Some(-38.4), u), &["4", "20", "21", "$38"]),
    (|w, u| w.left(52.0, u), &["20", "$52"]),
    (|w, _| w.beats_mine(0.65), &["13", "20"]),
    (|w, _| w.group_line(5, false), &["5"]),
    (|w, _| w.group_heading(9, 5), &["5", "9"]),
    (|w, _| w.years_line(WaterOutlook::Like(2012)), &["20", "2012"]),
    (|w, u| w.line_label(Short::Money, (28.4, 31.0), u), &["28.4", "31.0"]),
    (|w, u| w.seed(17.5, true, u).unwrap(), &["$17.50"]),
    (|w, u| w.past_year(2012, 7.25, u), &["2012", "7.2"]),
    (|w, u| w.usual_of_trials(32.4, u), &["32"]),
    (|w, _| w.thirds_left(Ok(Some(35))), &["35"]),
    (|w, u| w.lever_value(&Lever::Price, 5.8, u), &["$5.80"]),
    (|w, u| w.there(&Lever::Water, "", 9.5, u), &["9.5"]),
    (|w, u| w.threat_area(0.42, Some(67.2), u), &["42", "67"]),
    (|w, u| w.split_limits(3, 0.15, u), &["3", "15"]),
    (|w, _| w.grazed(Some(&Cattle { days: Some(90.0), off: Some((7.0, "A".into())) })), &["90", "7"]),
    (|w, u| w.graze_rule(20.0, u), &["7", "20", "5"]),
    (|w, u| w.number_problem(Quantity::Price, NumberProblem::TooSmall(0.05), u), &["0.05"]),
];

#[test]
fn every_figure_is_told_in_every_language() {
    for words in languages() {
        for (place, (tell, figures)) in TOLD.iter().enumerate() {
            let text = tell(words, &units_in(words));
            let told: Vec<&str> = text.split(|c: char| !(c.is_ascii_digit() || "$.".contains(c))).collect();
            for figure in *figures {
                let found = told.iter().any(|word| word.trim_end_matches('.') == *figure);
                assert!(found, "{place}: no {figure} in “{text}”");
            }
        }
    }
}

#[test]
fn spanish_counts_one_and_many() {
    let tested = |seasons, trials| spanish().tested(&standing(seasons, trials, 1), WaterOutlook::Any);
    assert_eq!(tested(1, 1), "1 campaña, 1 ensayo");
    assert_eq!(tested(2, 3), "2 campañas, 3 ensayos");
    assert_eq!(spanish().seasons(1), "1 campaña");
    assert_eq!(spanish().lacking_heading(1), "Una que no cumple lo que debe");
    assert_eq!(spanish().lacking_heading(2), "2 que no cumplen lo que deben");
    assert_eq!(spanish().show_rest(1), "mostrar la que falta");
    assert_eq!(spanish().show_rest(2), "mostrar las otras 2");
    assert_eq!(spanish().off_by(Some(1.2), "Pardovey"), "1 día después que Pardovey");
    assert_eq!(spanish().off_by(Some(-2.0), "Pardovey"), "2 días antes que Pardovey");
    assert_eq!(spanish().off_by(Some(0.3), "Pardovey"), "el mismo día que Pardovey");
    let day = Cattle { days: Some(1.0), off: None };
    assert_eq!(spanish().grazed(Some(&day)), "con pastoreo de 1 día");
    assert_eq!(spanish().problem_count(1), "1 cosa por corregir antes de poder ajustar nada.");
    assert_eq!(spanish().problem_count(2), "2 cosas por corregir antes de poder ajustar nada.");
    assert_eq!(
        spanish().sprays_idle(&["roya".into()]),
        "El tratamiento contra roya se paga en menos de 1 de 20 años así en esta variedad."
    );
    assert!(
        spanish()
            .sprays_idle(&["roya".into(), "carbón".into()])
            .starts_with("Los tratamientos contra roya y carbón, cada uno, se pagan en")
    );
}

#[test]
fn spanish_tells_both_sides_and_leaves_the_ends_open() {
    let odds = |marks| spanish().odds(Short::Money, marks, &units_in(spanish()));
    assert_eq!(odds(0), "pierde dinero en menos de 1 de 20 años");
    assert_eq!(odds(9), "pierde dinero en 9 de 20 años, en 11 no");
    assert_eq!(odds(20), "pierde dinero en más de 19 de 20 años");
    let below = spanish().odds(Short::Below(30.2), 3, &units_in(spanish()));
    assert_eq!(below, "no llega a 30\u{a0}bu/ac en 3 de 20 años, en 17 sí");
    assert_eq!(spanish().group_heading(3, 3), "Muy parejas para decidir");
    assert_eq!(spanish().beats_mine(1.0), "le gana a la suya en más de 19 de 20");
}

#[test]
fn spanish_bends_its_and_and_or_before_their_own_sounds() {
    let names = |last: &str| {
        let holding = |code: &str| Holding { variety: code.into(), share: 0.5, area: None };
        let pair = [("Ambra".to_owned(), holding("V1")), (last.to_owned(), holding("V2"))];
        spanish().split(&pair, &units())
    };
    assert!(names("Ibisk").contains("50\u{a0}% de Ambra y 50\u{a0}% de Ibisk"));
    let list = |last: &str| spanish().not_tried(&["Ambra".into(), last.into()]);
    assert!(list("Ibisk").contains("Ambra e Ibisk"));
    assert!(list("Hirta").contains("Ambra e Hirta"));
    assert!(list("Hierro").contains("Ambra y Hierro"));
    assert!(list("Pardovey").contains("Ambra y Pardovey"));
    let either = |last: &str| spanish().no_change("Ambra", &["agua".into(), last.into()]);
    assert!(either("oídio").contains("agua u oídio"));
    assert!(either("precio").contains("agua o precio"));
}

#[test]
fn dates_follow_the_language_and_its_region() {
    let info = NetworkInfo { crop: "trigo".into(), data_date: "2025-07-28".into(), ..network_info() };
    let field = FieldSummary { trials: 16, seasons: (2017, 2024), ..field() };
    let months = Region::of_samples(["1,234.5", "12,345.5"], "7/28/2025").unwrap();
    let told = |words: Catalogue| words.source(&field, &info)[0].clone();
    assert_eq!(told(spanish()), "16 ensayos de trigo, de 2017 a 2024; datos del 28 de julio de 2025.");
    assert_eq!(told(Language::Spanish.catalogue(months)), told(spanish()));
    assert_eq!(told(english()), "16 trials of trigo, 2017 to 2024; data of 28 July 2025.");
    assert!(told(Language::English.catalogue(months)).ends_with("data of July 28, 2025."));
    assert_eq!(spanish().signed("mesa", "julio"), "mesa, julio");
}

#[test]
fn a_number_that_can_be_read_in_two_ways_is_told_as_what_to_write() {
    let problem = NumberProblem::TwoReadings(1.234, 1234.0);
    let told = |words: Catalogue| words.entry_problem(problem, &units_in(words));
    assert_eq!(told(spanish()), "Se puede leer de dos maneras: escriba 1,2340 o 1234.");
    assert_eq!(told(english()), "This can be read in two ways: write 1.2340 or 1234.");
}

#[test]
fn the_plain_table_speaks_the_language_with_its_own_mark() {
    let table = spanish().plain_table();
    assert_eq!((table.lang.as_str(), table.decimal_sign.as_str()), ("es", ","));
    assert_eq!(table.systems["dryland"], "secano");
    let [english, spanish] =
        [english(), spanish()].map(|words| serde_json::to_value(words.plain_table()).unwrap());
    let places = |text: &str| text.matches('{').count();
    for (key, own) in english.as_object().unwrap() {
        if let (Some(own), Some(other)) = (own.as_str(), spanish[key].as_str()) {
            assert_eq!(places(own), places(other), "{key}: {other}");
            assert!(!other.is_empty());
        }
    }
}

#[test]
fn spanish_has_its_own_units_and_its_own_names_for_systems() {
    assert_eq!(units_in(spanish()).water_unit(), "pulg");
    assert_eq!(spanish().system("full-irrigation"), "riego completo");
    assert_eq!(spanish().system("ladera-alta"), "ladera alta");
    let (label, behind) = spanish().entry(&Entry::Key("haul"), "", &units_in(spanish()));
    assert_eq!((label.as_str(), behind.as_str()), ("acarreo y cosecha", "$ por bushel"));
    assert_eq!(spanish().sheet_title(Sheet::Price, &units_in(spanish())), "¿Cuánto le pagan por bushel?");
}

fn network_info() -> NetworkInfo {
    serde_json::from_str(r#"{"name": "Red", "yield_unit": "bu/ac"}"#).unwrap()
}

fn field() -> FieldSummary {
    crate::sample::answer().table.field.clone()
}

#[test]
fn the_office_counts_in_spanish_too() {
    let rules = Rules::of(&crate::sample::network());
    assert!(spanish().rules(&rules).starts_with("En la lista: como mucho "), "{}", spanish().rules(&rules));
    assert_eq!(spanish().fitted(2, 1, 2), "Ajustado: 2 variedades en 1 ensayo, 2 medias.");
    assert_eq!(spanish().moved("Ambra", 3, 1), "Ambra: sube del 3 al 1");
}

#[test]
fn what_changed_since_last_year_says_what_was_lost_and_in_how_many_years() {
    use leanyear_engine::decide::StandingState;
    use leanyear_engine::office::compare::{Change, Position};
    use leanyear_engine::office::shortlist::Stance;
    let at = |rank, marks_short, of_money| Position {
        rank,
        marks_short,
        of_money,
        expected: 2.0,
        state: StandingState::WellTested,
        by_rules: Stance::In,
    };
    let said = |lang: &str, then: Position, now: Position| {
        let change = Change {
            variety: "V1".into(),
            then: Some(then),
            refitted: Some(then),
            now: Some(now),
            new_trials: 2,
            new_dry_trials: 2,
        };
        let words = catalogue(lang);
        let names = Names { network: None, lang: words.lang() };
        words.since_last_year(&change, &names, &units_in(words)).unwrap()
    };
    let money = |lang| said(lang, at(3, 6, true), at(5, 8, true));
    assert_eq!(
        money("en"),
        "V1: fell from 3 to 5; 2 new trials, 2 of them dry; now loses money in 8 of 20 years, before in 6 of 20 years."
    );
    assert!(money("es").contains("; ahora pierde dinero en 8 de 20"), "{}", money("es"));
    let yields = |lang| said(lang, at(3, 8, false), at(2, 8, false));
    assert!(yields("en").contains("; falls short in 8 of 20 years as before."), "{}", yields("en"));
    assert!(yields("es").contains("; se queda corta en 8 de 20"), "{}", yields("es"));
    let priced = said("en", at(3, 6, false), at(5, 8, true));
    assert!(priced.ends_with("; now loses money in 8 of 20 years."), "{priced}");
}

#[test]
fn the_advisers_word_names_no_system_where_there_is_but_one() {
    for words in languages() {
        for stance in ["in", "out", "follow"] {
            let (one, of_several) = (words.stance(stance, "all"), words.stance(stance, "dryland"));
            assert!(of_several.starts_with(&one) && of_several.len() > one.len(), "{one} / {of_several}");
        }
    }
    assert_eq!(catalogue("en").stance("out", "all"), "Off the adviser\u{2019}s short list");
}
