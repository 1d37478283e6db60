//! How a cell is written so that every spreadsheet shows it as text and every reader gets it back.
//!
//! A text that a spreadsheet would run as a formula gets an apostrophe before it, which reading takes off
//! again; one that already begins with apostrophes before such a sign gets one more, so that nothing is lost.
//! Numbers are written as numbers. Quoting as in RFC 4180 (2005). Knows cells, not columns.

/// Signs with which a spreadsheet begins a formula.
const FORMULA_SIGNS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// Whether behind any apostrophes a text begins as a formula does.
fn begins_as_formula(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(FORMULA_SIGNS)
}

/// A cell as it was meant: without the apostrophe that keeps it from being a formula.
pub(super) fn unguarded(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(meant) if begins_as_formula(meant) => meant,
        _ => cell,
    }
}

/// A text as a cell, kept from being a formula and quoted where it has to be; `separator` stands between cells.
pub(super) fn cell(text: &str, separator: char) -> String {
    let guard = begins_as_formula(text) && text.parse::<f64>().is_err();
    let text = if guard { format!("'{text}") } else { text.to_owned() };
    let quotes = text.contains(['"', '\n', '\r', ',', ';', '\t', separator]);
    if quotes { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

/// A row of cells with its line end.
pub(super) fn row<S: AsRef<str>>(cells: &[S], separator: char, line_end: &str) -> String {
    let cells: Vec<String> = cells.iter().map(|text| cell(text.as_ref(), separator)).collect();
    cells.join(separator.encode_utf8(&mut [0; 4])) + line_end
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn formulas_are_text_and_numbers_are_numbers() {
        for (text, written) in [
            ("=1+1", "'=1+1"),
            ("@x", "'@x"),
            ("-", "'-"),
            ("'=x", "''=x"),
            ("-3.2", "-3.2"),
            ("a", "a"),
            ("'tis", "'tis"),
        ] {
            assert_eq!(cell(text, ','), written);
            assert_eq!(unguarded(written), text);
        }
        assert_eq!(cell("say \"no\", now", ','), "\"say \"\"no\"\", now\"");
    }

    proptest! {
        /// What is written is read back, whatever it is, once it is trimmed as every cell is.
        #[test]
        fn a_text_comes_back(texts in prop::collection::vec("['=+@,;\"a\n\t -]{0,6}", 1..5), separator in prop_oneof![Just(','), Just(';'), Just('\t')]) {
            let texts: Vec<String> = texts.iter().map(|text| text.trim().to_owned()).collect();
            prop_assume!(texts.iter().any(|text| !text.is_empty()));
            let text = row(&texts, separator, "\r\n");
            let read = super::super::csv_text::rows(text.as_bytes(), separator as u8, super::super::csv_text::LIMITS).unwrap();
            prop_assert_eq!(&read.rows[0].cells, &texts);
        }
    }
}
