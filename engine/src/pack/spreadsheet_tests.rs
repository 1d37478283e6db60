//! Files as spreadsheets write them: other separators and decimal marks are recognised, stated and asked about.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::super::test_folder::{accounted, edited, lines, plots_of_two_trials, warning, whole, with};
use super::*;
use crate::pack::{LineEnds, NumberMarks, Separator, edit};

#[test]
fn byte_order_mark_and_line_breaks_do_not_matter() {
    let expected = read(&whole());
    let files = whole()
        .into_iter()
        .map(|(name, bytes)| {
            let text = String::from_utf8(bytes).unwrap().replace('\n', "\r\n");
            (name, format!("\u{feff}{text}").into_bytes())
        })
        .collect();
    let found = read(&files);
    assert!(found.notes.iter().all(|note| note.byte_order_mark && note.line_ends == LineEnds::Both));
    assert_eq!(Reading { notes: expected.notes.clone(), ..found }, expected);
}

/// The whole folder as a spreadsheet writes it where the comma is the decimal sign.
fn semicolons_and_commas() -> Map<String, Vec<u8>> {
    let mut files = whole();
    for (name, bytes) in &mut files {
        if name != "network.json" {
            let text = String::from_utf8(bytes.clone()).unwrap().replace("\"tall, weak\"", "tall and weak");
            *bytes =
                (text.replace(',', ";").replace('.', ",").replace('\n', ";;\r\n") + ";;;\r\n").into_bytes();
        }
    }
    files
}

#[test]
fn a_folder_of_semicolons_and_decimal_commas_is_the_same_network() {
    let found = read(&semicolons_and_commas());
    let mut expected = read(&whole()).network.unwrap();
    expected.varieties[0].note = "tall and weak".into();
    assert_eq!(found.network, Some(expected), "{:#?}", lines(&found.errors));
    assert!(found.questions.is_empty() && found.warnings.is_empty());
    for note in &found.notes {
        assert_eq!(
            (note.separator, note.blank_columns, note.blank_rows),
            (Separator::Semicolon, 2, 1),
            "{note:?}"
        );
        assert!(!note.is_plain());
    }
    let means = found.notes.iter().find(|note| note.file == "means.csv").unwrap();
    assert_eq!(means.marks, NumberMarks::Comma);
}

#[test]
fn what_changes_a_number_is_asked_about_and_the_answer_counts() {
    let text = "trial;variety;yield\nT1;A;1,234\nT2;A;2,345\n";
    let mut files = with("means.csv", text);
    files.remove("varieties.csv");
    files.remove("ratings.csv");
    files.remove("shortlist.csv");
    let yields = |reading: &Reading| reading.network.as_ref().map(|n| n.means[0].yield_);
    let asked = read(&files);
    let [question] = &asked.questions[..] else { panic!("{:?}", asked.questions) };
    assert_eq!(
        (question.file.as_str(), question.assumed, question.answered),
        ("means.csv", NumberMarks::Comma, false)
    );
    assert_eq!((question.cells, question.examples[0].row, question.examples[0].point), (2, 2, 1234.0));
    assert_eq!(yields(&asked), Some(1.234), "{:#?}", lines(&asked.errors));
    warning(
        &files,
        "means.csv row 2, column `yield`: 2 cells can be read in two ways; `1,234` is read as 1.234",
    );
    let answered = read_with(&files, &Answers::from([("means.csv".to_owned(), NumberMarks::Point)]));
    assert_eq!(yields(&answered), Some(1234.0));
    assert!(answered.questions[0].answered);
}

#[test]
fn what_is_no_text_is_refused_whole() {
    for (bytes, start) in [
        (&b"PK\x03\x04rubbish"[..], "means.csv: this is a zip archive or a spreadsheet file"),
        (b"trial,variety\n\x00\x01\x02", "means.csv: this is no text"),
    ] {
        let mut files = whole();
        files.insert("means.csv".into(), bytes.to_vec());
        let found = read(&files);
        assert_eq!(found.errors.len(), 1, "{:#?}", lines(&found.errors));
        assert!(found.errors[0].to_string().starts_with(start), "{:#?}", lines(&found.errors));
        accounted(&found);
    }
}

#[test]
fn a_formula_is_text_again_and_counted() {
    let found = read(&edited("varieties.csv", "\"tall, weak\"", "'=HYPERLINK(x)"));
    assert_eq!(found.network.unwrap().varieties[0].note, "=HYPERLINK(x)");
    assert_eq!(found.notes.iter().map(|note| note.guarded).sum::<usize>(), 1);
}

/// What is missing may be marked; the mark is blank where a number should be, is stated, and stays in a text.
#[test]
fn marks_of_what_is_missing_are_blank_and_stated() {
    let mut text = plots_of_two_trials();
    text += "T1,4,,,.,A,.\nT1,4,,,*,B,NA\nT1,4,,,,C,n/a\nT2,-,,,,A,.\nT2,-,,,,B,-\n";
    let reading = read(&with("plots.csv", &text));
    assert_eq!(lines(&reading.errors), [""; 0]);
    let network = reading.network.unwrap();
    assert!(network.plots[15..].iter().all(|plot| plot.yield_.is_none() && plot.col.is_none()));
    assert_eq!(network.plots[18].rep, "-");
    let note = reading.notes.iter().find(|note| note.file == "plots.csv").unwrap();
    let expected = [("*", 1), ("-", 1), (".", 3), ("NA", 1), ("n/a", 1)];
    assert_eq!(note.missing, expected.map(|(mark, cells)| (mark.to_owned(), cells)).into_iter().collect());
    assert!(!note.is_plain());
}

/// A header's capitals and spaces do not matter, are stated, and never make two columns of one.
#[test]
fn capitals_and_spaces_of_a_header_do_not_matter() {
    let expected = read(&whole()).network.unwrap();
    let spoken = "Trial , Site,SEASON,System,Water,Reps,Error MS,LSD,lsd_level,CV,fallow,Excluded";
    let header = "trial,site,season,system,water,reps,error_ms,lsd,lsd_level,cv,fallow,excluded";
    let found = read(&edited("trials.csv", header, spoken));
    assert_eq!(found.network, Some(expected), "{:#?}", lines(&found.errors));
    let note = found.notes.iter().find(|note| note.file == "trials.csv").unwrap();
    assert_eq!((note.renamed, note.is_plain()), (10, false));
    let twice = read(&edited("trials.csv", "site,season", "site,Site"));
    assert!(lines(&twice.errors)[0].starts_with("trials.csv, column `site`: the column is there twice"));
    let text = format!("{spoken}\nT1,S1,2020,dryland,,,,,,,,\n");
    assert_eq!(edit::recognised(&text), Some("trials.csv"));
    let out = edit::set_cell("trials.csv", &text, "trial", "T1", "excluded", "hail").unwrap();
    assert_eq!(out, format!("{spoken}\nT1,S1,2020,dryland,,,,,,,,hail\n"));
    assert_eq!(edit::row("trials.csv", &text, 2).unwrap().header[6], "error_ms");
}
