//! Bytes of a CSV file to rows of cells, each with the row number that a spreadsheet would show.
//!
//! Written here and not left to a general reader because a row number must survive blank rows and line
//! breaks inside quotes, because a quote that is never closed must be an error and not a long cell, and
//! because a hostile file must be refused before it is stored. Quoting as in RFC 4180 (2005); rows end
//! with LF, CRLF or CR. Knows nothing of columns or of numbers.

use super::content;
use super::problem::ProblemKind;
use super::quoting::unguarded;

/// The most that is read of one file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    /// Bytes in a file.
    pub file_bytes: usize,
    /// Cells in a row.
    pub columns: usize,
    /// Bytes in a cell.
    pub cell_bytes: usize,
    /// Cells in a file.
    pub cells: usize,
}

/// The most bytes that are read of one file.
pub const MOST_FILE_BYTES: usize = 64 << 20;

/// Far above any real network, far below what fills a phone.
pub(super) const LIMITS: Limits =
    Limits { file_bytes: MOST_FILE_BYTES, columns: 500, cell_bytes: 64 << 10, cells: 2_000_000 };

/// For a file that was written from tables that are held already: every column is there then, also those that its
/// author left out.
pub(super) const LIMITS_OF_OWN: Limits =
    Limits { file_bytes: 8 * MOST_FILE_BYTES, cells: 8 * LIMITS.cells, ..LIMITS };

/// A row as it stands in the file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    /// Number in the spreadsheet, from 1.
    pub row: usize,
    /// Cells without their quotes and without space around them; bytes that are not UTF-8 are replaced.
    pub cells: Vec<String>,
    /// What is wrong with the writing of the row, with the cell's place in the row where there is one.
    pub faults: Vec<(Option<usize>, ProblemKind)>,
}

/// A file that is not read at all, and the row at which that was decided.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Refused {
    /// Row, unless it is the file as a whole.
    pub row: Option<usize>,
    /// Why.
    pub kind: ProblemKind,
}

/// A file's rows.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Split {
    /// Rows that hold a value.
    pub rows: Vec<Row>,
    /// Rows without any.
    pub blank_rows: usize,
    /// Cells from which the apostrophe before a formula was taken off.
    pub guarded: usize,
}

/// Splits a file into its rows. Rows without any value are counted and left out.
///
/// # Errors
/// [`Refused`] when a limit is passed, or the file is no text, or the text is UTF-16; nothing of such a file is
/// kept.
pub(super) fn rows(bytes: &[u8], separator: u8, limits: Limits) -> Result<Split, Refused> {
    if bytes.len() > limits.file_bytes {
        let kind = ProblemKind::FileTooLarge { bytes: bytes.len(), limit: limits.file_bytes };
        return Err(Refused { row: None, kind });
    }
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(Refused { row: None, kind: ProblemKind::NotUtf8 });
    }
    if let Some(is) = content::foreign(bytes) {
        return Err(Refused { row: None, kind: ProblemKind::NotText { is } });
    }
    let mut rest = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
    let mut split = Split::default();
    let mut row_number = 0;
    let mut cells_so_far = 0;
    while !rest.is_empty() {
        row_number += 1;
        let (row, after) = row_at(rest, row_number, separator, limits, &mut split.guarded)?;
        rest = after;
        cells_so_far += row.cells.len();
        if cells_so_far > limits.cells {
            let kind = ProblemKind::TooManyCells { limit: limits.cells };
            return Err(Refused { row: Some(row_number), kind });
        }
        if row.cells.iter().any(|cell| !cell.is_empty()) || !row.faults.is_empty() {
            split.rows.push(row);
        } else {
            split.blank_rows += 1;
        }
    }
    Ok(split)
}

/// A row's number, where it begins and ends (its line end included), and its cells.
pub(super) type RowSpan = (usize, usize, usize, Vec<String>);

/// Every row of a file, blank ones too; `None` where the file is refused.
pub(super) fn row_spans(bytes: &[u8], separator: u8, limits: Limits) -> Option<Vec<RowSpan>> {
    let mut rest = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
    let mut spans = Vec::new();
    while !rest.is_empty() {
        let start = bytes.len() - rest.len();
        let (row, after) = row_at(rest, spans.len() + 1, separator, limits, &mut 0).ok()?;
        rest = after;
        spans.push((row.row, start, bytes.len() - rest.len(), row.cells));
    }
    Some(spans)
}

/// Reads one row from the start of `bytes`, and returns what follows it.
fn row_at<'a>(
    bytes: &'a [u8],
    row: usize,
    separator: u8,
    limits: Limits,
    guarded: &mut usize,
) -> Result<(Row, &'a [u8]), Refused> {
    let refuse = |kind| Refused { row: Some(row), kind };
    let mut result = Row { row, cells: Vec::new(), faults: Vec::new() };
    let mut rest = bytes;
    loop {
        let cell = cell_at(rest, separator);
        if cell.content.len() > limits.cell_bytes {
            return Err(refuse(ProblemKind::CellTooLong { limit: limits.cell_bytes }));
        }
        if result.cells.len() == limits.columns {
            return Err(refuse(ProblemKind::TooManyColumns { limit: limits.columns }));
        }
        let position = result.cells.len();
        let text = String::from_utf8(cell.content).unwrap_or_else(|error| {
            result.faults.push((Some(position), ProblemKind::NotUtf8));
            String::from_utf8_lossy(error.as_bytes()).into_owned()
        });
        if let Some(fault) = cell.fault {
            result.faults.push((Some(position), fault));
        }
        let text = text.trim();
        let plain = unguarded(text);
        *guarded += usize::from(plain.len() < text.len());
        result.cells.push(plain.to_owned());
        rest = cell.rest;
        if cell.ends_row {
            return Ok((result, rest));
        }
    }
}

struct CellText<'a> {
    content: Vec<u8>,
    rest: &'a [u8],
    ends_row: bool,
    fault: Option<ProblemKind>,
}

/// Reads one cell from the start of `bytes` together with the separator or line break behind it.
fn cell_at(bytes: &[u8], separator: u8) -> CellText<'_> {
    let mut content = Vec::new();
    let mut fault = None;
    let mut position = 0;
    if bytes.first() == Some(&b'"') {
        position = 1;
        loop {
            match (bytes.get(position), bytes.get(position + 1)) {
                (Some(b'"'), Some(b'"')) => {
                    content.push(b'"');
                    position += 2;
                }
                (Some(b'"'), _) => {
                    position += 1;
                    break;
                }
                (Some(&byte), _) => {
                    content.push(byte);
                    position += 1;
                }
                (None, _) => {
                    fault = Some(ProblemKind::QuoteNotClosed);
                    break;
                }
            }
        }
    }
    let quoted_length = content.len();
    let plain_start = position;
    let ends = |byte: &u8| *byte == separator || *byte == b'\n' || *byte == b'\r';
    let plain_length = bytes[plain_start..].iter().position(ends).unwrap_or(bytes.len() - plain_start);
    content.extend_from_slice(&bytes[plain_start..plain_start + plain_length]);
    if plain_start > 0 && content[quoted_length..].iter().any(|byte| !byte.is_ascii_whitespace()) {
        fault = Some(ProblemKind::TextAfterQuote);
    }
    let rest = &bytes[plain_start + plain_length..];
    match rest {
        [b'\r', b'\n', rest @ ..] => CellText { content, rest, ends_row: true, fault },
        [byte, rest @ ..] => CellText { content, rest, ends_row: *byte != separator, fault },
        [] => CellText { content, rest, ends_row: true, fault },
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str) -> Vec<Row> {
        rows(text.as_bytes(), b',', LIMITS).unwrap().rows
    }

    fn cells_and_numbers(text: &str) -> Vec<(usize, Vec<String>)> {
        read(text).into_iter().map(|row| (row.row, row.cells)).collect()
    }

    #[test]
    fn counts_rows_as_a_spreadsheet_does() {
        let expected = vec![
            (1, vec!["a".to_owned(), "b".to_owned()]),
            (3, vec!["two\nlines".to_owned(), "1".to_owned()]),
            (5, vec!["x".to_owned(), "say \"no\"".to_owned()]),
        ];
        for line_break in ["\n", "\r\n", "\r"] {
            let text = ["a,b", "", "\"two\nlines\",1", ",", "x,\"say \"\"no\"\"\""].join(line_break);
            assert_eq!(cells_and_numbers(&text), expected, "{line_break:?}");
            assert_eq!(cells_and_numbers(&format!("\u{feff}{text}{line_break}")), expected);
        }
    }

    #[test]
    fn names_bad_quotes_and_bytes_in_their_row() {
        let open = read("a,b\n1,\"2\n3,4\n");
        assert_eq!(open[1].row, 2);
        assert_eq!(open[1].faults, vec![(Some(1), ProblemKind::QuoteNotClosed)]);
        assert_eq!(read("a\n\"1\"2\n")[1].faults, vec![(Some(0), ProblemKind::TextAfterQuote)]);
        assert!(read("a\n\"1\" \n")[1].faults.is_empty());
        let latin1 = rows(b"a,b\nx,pi\xF1a\n", b',', LIMITS).unwrap().rows;
        assert_eq!(latin1[1].faults, vec![(Some(1), ProblemKind::NotUtf8)]);
    }

    #[test]
    fn refuses_what_is_too_large() {
        let limits = Limits { file_bytes: 40, columns: 3, cell_bytes: 5, cells: 8 };
        let refused = |text: &str| rows(text.as_bytes(), b',', limits).unwrap_err();
        assert!(rows(b"a,b,c\n1,2,3\n", b',', limits).is_ok());
        assert_eq!(refused(&"a\n".repeat(21)).kind, ProblemKind::FileTooLarge { bytes: 42, limit: 40 });
        assert_eq!(refused("a,b\n1,2,3,4\n").row, Some(2));
        assert_eq!(refused("a,b\n1,2,3,4\n").kind, ProblemKind::TooManyColumns { limit: 3 });
        assert_eq!(refused("123456\n").kind, ProblemKind::CellTooLong { limit: 5 });
        assert_eq!(refused("a,b,c\n1,2,3\n1,2,3\n").kind, ProblemKind::TooManyCells { limit: 8 });
        let utf16 = rows(b"\xFF\xFEa\0", b',', LIMITS).unwrap_err();
        assert_eq!(utf16.kind, ProblemKind::NotUtf8);
    }

    /// Text whose quotes are in order: plain cells, also with quotes inside, and quoted ones with anything inside.
    fn text() -> impl Strategy<Value = String> {
        let quoted = "([a, \n\r]|\"\"){0,4}".prop_map(|inside| format!("\"{inside}\""));
        let cell = prop_oneof!["([ a][a\"]{0,3})?", quoted];
        let row = prop::collection::vec(cell, 0..4).prop_map(|cells| cells.join(","));
        (prop::collection::vec(row, 0..6), "\n|\r\n").prop_map(|(rows, line_break)| rows.join(&line_break))
    }

    proptest! {
        /// The `csv` crate reads the same cells.
        #[test]
        fn agrees_with_the_csv_crate(text in text()) {
            let ours = read(&text);
            prop_assert!(ours.iter().all(|row| row.faults.is_empty()));
            let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
            let theirs: Vec<Vec<String>> = reader
                .records()
                .map(|record| record.unwrap().iter().map(|cell| cell.trim().to_owned()).collect())
                .filter(|cells: &Vec<String>| cells.iter().any(|cell| !cell.is_empty()))
                .collect();
            prop_assert_eq!(ours.into_iter().map(|row| row.cells).collect::<Vec<_>>(), theirs);
        }
    }
}
