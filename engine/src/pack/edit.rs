//! Changing one row of a file's text and nothing else of it, in the manner in which the file is written.
//!
//! Rows are numbered as problems number them, so that a problem leads to its row. Text in, text out; it judges
//! no value: reading does that.

use super::columns::{self, Table};
use super::csv_text::{LIMITS, row_spans};
use super::dialect::{Separator, stated};
use super::quoting;

/// A row of a file beside the header it stands under.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowText {
    /// Cells of the header.
    pub header: Vec<String>,
    /// Cells of the row, as many as the header has or more.
    pub cells: Vec<String>,
}

/// A file's text taken apart into its rows.
pub(super) struct Taken<'a> {
    text: &'a str,
    /// What stands between cells.
    pub separator: Separator,
    /// How rows end.
    pub line_end: &'static str,
    /// Number, start, end with the line end, cells.
    pub rows: Vec<(usize, usize, usize, Vec<String>)>,
    /// Row of the header.
    pub header: usize,
}

/// Takes a file's text apart; `None` where it is refused or holds nothing.
pub(super) fn take<'a>(file: &str, text: &'a str) -> Option<Taken<'a>> {
    let table: &Table = columns::table(file)?;
    let separator = Separator::of(text.as_bytes(), table);
    let rows = row_spans(text.as_bytes(), separator.byte(), LIMITS)?;
    let filled = |(_, start, end, cells): &&(usize, usize, usize, Vec<String>)| {
        cells.iter().any(|cell| !cell.is_empty())
            && stated(text.as_bytes()[*start..*end].trim_ascii()).is_none()
    };
    let header = rows.iter().find(filled)?.0;
    let line_end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    Some(Taken { text, separator, line_end, rows, header })
}

impl Taken<'_> {
    /// The names of the header's columns as their table has them.
    pub fn names(&self, table: &Table) -> Option<Vec<String>> {
        let named = |cell: &String| table.column(cell).map_or(cell.as_str(), |column| column.name).to_owned();
        Some(self.cells(self.header)?.iter().map(named).collect())
    }

    fn cells(&self, row: usize) -> Option<&Vec<String>> {
        self.rows.iter().find(|(number, ..)| *number == row).map(|(.., cells)| cells)
    }

    /// The text with some rows rewritten; `None` takes a row away.
    pub fn rewritten(&self, change: impl Fn(usize, &[String]) -> Option<Option<Vec<String>>>) -> String {
        let mut out = String::with_capacity(self.text.len() + 64);
        if self.text.starts_with('\u{feff}') {
            out.push('\u{feff}');
        }
        for (number, start, end, cells) in &self.rows {
            match change(*number, cells) {
                None => out.push_str(&self.text[*start..*end]),
                Some(None) => {}
                Some(Some(cells)) => {
                    out.push_str(&quoting::row(&cells, char::from(self.separator.byte()), self.line_end));
                }
            }
        }
        out
    }
}

/// One row with its header; `None` where the file has no such row.
pub fn row(file: &str, text: &str, row: usize) -> Option<RowText> {
    let table = columns::table(file)?;
    let taken = take(file, text)?;
    let header = taken.names(table)?;
    let mut cells = taken.cells(row)?.clone();
    cells.resize(cells.len().max(header.len()), String::new());
    Some(RowText { header, cells })
}

/// The row of the header: the first that holds a value and does not only name the separator.
pub fn header_row(file: &str, text: &str) -> Option<usize> {
    take(file, text).map(|taken| taken.header)
}

/// The file's text with one row replaced; `None` where the file has no such row.
pub fn replace_row(file: &str, text: &str, row: usize, cells: &[String]) -> Option<String> {
    let taken = take(file, text)?;
    taken.cells(row)?;
    Some(taken.rewritten(|number, _| (number == row).then(|| Some(cells.to_vec()))))
}

/// The file's text without one row; `None` where the file has no such row.
pub fn remove_row(file: &str, text: &str, row: usize) -> Option<String> {
    let taken = take(file, text)?;
    taken.cells(row)?;
    Some(taken.rewritten(|number, _| (number == row).then_some(None)))
}

/// The file's text with `value` in `column` of every row whose cell of `key_column` is `key`. A column that the
/// file does not have is added. `None` where the file has no such row.
pub fn set_cell(
    file: &str,
    text: &str,
    key_column: &str,
    key: &str,
    column: &str,
    value: &str,
) -> Option<String> {
    let taken = take(file, text)?;
    let header = taken.names(columns::table(file)?)?;
    let key_at = header.iter().position(|name| name == key_column)?;
    let found = header.iter().position(|name| name == column);
    let last_named = header.iter().rposition(|name| !name.is_empty()).map_or(0, |at| at + 1);
    let at = found.unwrap_or(last_named);
    let is_meant = |cells: &[String]| cells.get(key_at).is_some_and(|cell| cell == key);
    taken.rows.iter().find(|(number, .., cells)| *number != taken.header && is_meant(cells))?;
    Some(taken.rewritten(|number, cells| {
        let is_header = number == taken.header;
        if cells.iter().all(String::is_empty) || number < taken.header {
            return None;
        }
        // A column that is added is added to every row, or they would no longer match the header.
        if found.is_some() && (is_header || !is_meant(cells)) {
            return None;
        }
        let mut cells = cells.to_vec();
        cells.resize(cells.len().max(at + 1), String::new());
        if is_header {
            cells[at] = column.to_owned();
        } else if is_meant(&cells) {
            cells[at] = value.to_owned();
        }
        Some(Some(cells))
    }))
}

/// The file of a network that a text is, by the columns that its first line names; `None` where it names the
/// needed ones of no file.
pub fn recognised(text: &str) -> Option<&'static str> {
    let mut best: Option<(usize, &'static str)> = None;
    for table in &columns::TABLES {
        let Some(taken) = take(table.file, text) else { continue };
        let Some(header) = taken.names(table) else { continue };
        let has = |name: &str| header.iter().any(|cell| cell == name);
        if table.columns.iter().any(|column| column.required && !has(column.name)) {
            continue;
        }
        let known = table.columns.iter().filter(|column| has(column.name)).count();
        if best.is_none_or(|(most, _)| known > most) {
            best = Some((known, table.file));
        }
    }
    best.map(|(_, file)| file)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use proptest::prelude::*;

    const TEXT: &str = "\u{feff}trial;site;season\r\nT1;S1;2020\r\n\r\n\"T;2\";S2;20x1\r\n";

    #[test]
    fn one_row_changes_and_the_rest_stays_to_the_byte() {
        let found = row("trials.csv", TEXT, 4).unwrap();
        assert_eq!(
            (found.header.len(), found.cells[0].as_str(), found.cells[2].as_str()),
            (3, "T;2", "20x1")
        );
        let mut cells = found.cells;
        cells[2] = "2021".into();
        let changed = replace_row("trials.csv", TEXT, 4, &cells).unwrap();
        assert_eq!(changed, "\u{feff}trial;site;season\r\nT1;S1;2020\r\n\r\n\"T;2\";S2;2021\r\n");
        assert_eq!(
            remove_row("trials.csv", TEXT, 2).unwrap(),
            "\u{feff}trial;site;season\r\n\r\n\"T;2\";S2;20x1\r\n"
        );
        assert_eq!(row("trials.csv", TEXT, 9), None);
    }

    #[test]
    fn a_column_that_is_missing_is_added_to_every_row() {
        let changed = set_cell("trials.csv", TEXT, "trial", "T1", "excluded", "hail").unwrap();
        assert_eq!(
            changed,
            "\u{feff}trial;site;season;excluded\r\nT1;S1;2020;hail\r\n\r\n\"T;2\";S2;20x1;\r\n"
        );
        let again = set_cell("trials.csv", &changed, "trial", "T;2", "excluded", "stand").unwrap();
        assert!(again.contains("T1;S1;2020;hail\r\n") && again.contains("20x1;stand\r\n"));
        assert_eq!(set_cell("trials.csv", TEXT, "trial", "T9", "excluded", "hail"), None);
    }

    #[test]
    fn a_file_is_known_by_its_columns() {
        for (text, file) in [
            ("trial,variety,yield\n", Some("means.csv")),
            ("trial\trep\tvariety\tyield\n", Some("plots.csv")),
            ("site;season;water\n", Some("water.csv")),
            ("trial;site;season;water\n", Some("trials.csv")),
            ("name,address\n", None),
            ("", None),
        ] {
            assert_eq!(recognised(text), file, "{text:?}");
        }
    }

    proptest! {
        /// Writing a row as it is changes no cell of any row.
        #[test]
        fn a_row_put_back_changes_nothing(cells in prop::collection::vec(prop::collection::vec("[a=',;\" \n]{0,4}", 3), 1..5), which in 0usize..5) {
            let mut text = "trial,site,season\n".to_owned();
            for row in &cells {
                text += &quoting::row(row, ',', "\n");
            }
            let number = take("trials.csv", &text).unwrap().rows[1 + which % cells.len()].0;
            let before = row("trials.csv", &text, number).unwrap();
            let after = replace_row("trials.csv", &text, number, &before.cells).unwrap();
            let rows = |text: &str| take("trials.csv", text).unwrap().rows.into_iter().map(|row| row.3).collect::<Vec<_>>();
            prop_assert_eq!(rows(&after), rows(&text));
        }
    }
}
