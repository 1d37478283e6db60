//! Numbers as spreadsheets of several countries write them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::super::columns::{MEANS, TABLES};
use super::*;
use proptest::prelude::*;

fn census(cells: &[&str]) -> MarksCensus {
    let mut census = MarksCensus::default();
    for (row, cell) in cells.iter().enumerate() {
        census.count(row + 2, "yield", cell);
    }
    census
}

#[test]
fn numbers_that_can_be_read_in_one_way_decide() {
    use NumberMarks::{Comma, Point};
    for (cells, separator, marks, asked) in [
        (&["2.1", "34"][..], Separator::Comma, Point, None),
        (&["2,1", "34"], Separator::Semicolon, Comma, None),
        (&["0,123"], Separator::Semicolon, Comma, None),
        (&["1,234", "2.5"], Separator::Semicolon, Point, None),
        (&["1,234", "2,5"], Separator::Semicolon, Comma, None),
        (&["1.234", "2,5"], Separator::Semicolon, Comma, Some('.')),
        (&["1.234,5"], Separator::Tab, Comma, None),
        (&["1,234.5"], Separator::Tab, Point, None),
        (&["1,234,567"], Separator::Semicolon, Point, None),
        (&["1,234"], Separator::Semicolon, Comma, Some(',')),
        (&["1,234"], Separator::Comma, Point, Some(',')),
        (&["1.234"], Separator::Comma, Point, None),
        (&["x,1", "-", ","], Separator::Semicolon, Point, None),
    ] {
        assert_eq!(census(cells).decide(separator), (marks, asked), "{cells:?}");
    }
}

#[test]
fn a_question_shows_both_readings() {
    let question =
        census(&["1,234", "2,345", "3,456", "4,567"]).question("means.csv", NumberMarks::Comma, false, ',');
    assert_eq!((question.cells, question.examples.len()), (4, 3));
    assert_eq!((question.examples[0].point, question.examples[0].comma), (1234.0, 1.234));
}

#[test]
fn what_makes_known_columns_is_the_separator() {
    let table = TABLES.iter().find(|table| table.file == MEANS).unwrap();
    for (text, separator) in [
        ("trial,variety,yield\n", Separator::Comma),
        ("\n\ntrial;variety;yield\n", Separator::Semicolon),
        ("\"trial\"\t\"variety\"\t\"yield\"\r\n", Separator::Tab),
        ("trial;variety;yield, cleaned, dry, net\n", Separator::Semicolon),
        ("sep=;\ntrial;variety\n", Separator::Semicolon),
        ("a;b;c\n", Separator::Semicolon),
        ("", Separator::Comma),
    ] {
        assert_eq!(Separator::of(text.as_bytes(), table), separator, "{text:?}");
    }
}

proptest! {
    /// A number written by either custom, with or without marks between thousands, is read as itself.
    #[test]
    fn what_is_written_is_read(thousandths in 0u64..10_000_000_000, marks in prop_oneof![Just(NumberMarks::Point), Just(NumberMarks::Comma)], group in any::<bool>()) {
        let (decimal, sign) = marks.signs();
        let digits = (thousandths / 1000).to_string();
        let mut whole = String::new();
        for (place, digit) in digits.chars().enumerate() {
            if group && place > 0 && (digits.len() - place) % 3 == 0 {
                whole.push(sign);
            }
            whole.push(digit);
        }
        let text = format!("{whole}{decimal}{:03}", thousandths % 1000);
        let value: f64 = marks.plain(&text).unwrap().parse().unwrap();
        prop_assert!((value - thousandths as f64 / 1000.0).abs() < 1e-6);
    }

    /// No text makes it panic, and what it gives for a plain number is that number.
    #[test]
    fn any_text_is_judged(text in "[-+0-9.,a ]{0,12}") {
        let _ = evidence(&text);
        for marks in [NumberMarks::Point, NumberMarks::Comma] {
            if let Some(plain) = marks.plain(&text) {
                prop_assert!(!plain.contains(',') , "{plain}");
            }
        }
    }
}

#[test]
fn spaces_between_thousands_are_no_part_of_a_number() {
    for (text, plain) in [
        ("1 250", "1250"),
        ("1\u{a0}250,5", "1250,5"),
        ("12\u{202f}345.25", "12345.25"),
        ("1 25", "1 25"),
        ("12 345 6", "12 345 6"),
        ("1 250,5 0", "1250,5 0"),
        ("41 bu", "41 bu"),
        ("41", "41"),
    ] {
        assert_eq!(unspaced(text), plain, "{text:?}");
    }
}
