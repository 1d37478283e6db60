//! One CSV file as named columns, and the typed reading of a row's cells, each fault named where it stands.
//!
//! Knows columns and value types; knows nothing of what the values mean together.

use super::columns::Table;
use super::csv_text::{self, Row};
use super::dialect::{MarksCensus, NumberMarks, Separator, unspaced};
use super::notes::{FileNote, Findings};
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use crate::order::Map;

/// Earliest year that a season or a release may be.
pub const FIRST_YEAR: i32 = 1800;
/// Latest year that a season or a release may be.
pub const LAST_YEAR: i32 = 2200;

/// What stands in a cell for a number where there is none, in small letters: statistics packages and trial books
/// write these, and no number is written so.
const MISSING: [&str; 7] = [".", "*", "-", "\u{2013}", "\u{2014}", "na", "n/a"];

/// Most of a yield or an amount of water, in any unit of either.
const MOST_QUANTITY: f64 = 1e5;
/// Most of any other number; squares and sums of such numbers stay finite.
const MOST: f64 = 1e12;
/// Least of a number that must be above zero; what is divided by it stays finite.
const LEAST_ABOVE_ZERO: f64 = 1e-9;

/// A file's rows below its header.
#[derive(Debug)]
pub(super) struct RawTable {
    /// What the file should be.
    pub table: &'static Table,
    columns: Map<&'static str, usize>,
    width: usize,
    marks: NumberMarks,
    /// Rows below the header that hold a value.
    pub rows: Vec<Row>,
}

impl RawTable {
    /// Reads a file and names the faults of its header and of its writing; `None` if nothing can be read.
    pub fn read(
        table: &'static Table,
        bytes: &[u8],
        findings: &mut Findings<'_>,
        problems: &mut Problems,
    ) -> Option<Self> {
        let separator = Separator::of(bytes, table);
        let mut split = match csv_text::rows(bytes, separator.byte(), findings.limits) {
            Ok(split) => split,
            Err(refused) => {
                let place = Place { file: table.file, row: refused.row, column: None };
                problems.error(place, refused.kind);
                return None;
            }
        };
        let names_separator = split.rows.first().is_some_and(|row| row.cells[0].starts_with("sep="));
        if names_separator {
            split.rows.remove(0);
        }
        if split.rows.is_empty() {
            problems.error(Place::file(table.file), ProblemKind::HeaderMissing);
            return None;
        }
        let mut rows = split.rows;
        let blank_columns = trim_blank_columns(&mut rows);
        let mut header = rows.remove(0);
        let mut renamed = 0;
        for cell in &mut header.cells {
            if let Some(column) = table.column(cell).filter(|column| column.name != cell) {
                column.name.clone_into(cell);
                renamed += 1;
            }
        }
        let columns = named_columns(table, &header, &rows, problems);
        let width = header.cells.len();
        let mut result = RawTable { table, columns, width, marks: NumberMarks::Point, rows };
        let (blank_rows, guarded) = (split.blank_rows, split.guarded);
        let note = FileNote::new(table.file, separator, bytes);
        let missing = result.blank_missing();
        let note = FileNote { names_separator, blank_rows, blank_columns, guarded, missing, renamed, ..note };
        result.settle_marks(note, findings, problems);
        result.name_faults(problems);
        Some(result)
    }

    /// Makes cells for numbers blank that hold nothing but a mark of what is missing, and counts them by the mark.
    fn blank_missing(&mut self) -> Map<String, usize> {
        let mut missing = Map::new();
        let numbers = self.table.columns.iter().filter(|column| column.number);
        let places: Vec<usize> =
            numbers.filter_map(|column| self.columns.get(column.name).copied()).collect();
        for row in &mut self.rows {
            for &place in &places {
                let Some(cell) = row.cells.get_mut(place) else { continue };
                if MISSING.contains(&cell.to_ascii_lowercase().as_str()) {
                    *missing.entry(std::mem::take(cell)).or_default() += 1;
                }
            }
        }
        missing
    }

    /// Finds what point and comma mean in the file's numbers, states it, and asks where they do not say.
    fn settle_marks(&mut self, note: FileNote, findings: &mut Findings<'_>, problems: &mut Problems) {
        let mut census = MarksCensus::default();
        let numbers = self.table.columns.iter().filter(|column| column.number);
        for column in numbers.filter(|column| self.has(column.name)) {
            for (row, text) in self.values(column.name) {
                census.count(row.row, column.name, &unspaced(text));
            }
        }
        let (assumed, asked) = census.decide(note.separator);
        let answer = findings.answers.get(self.table.file).copied();
        self.marks = answer.unwrap_or(assumed);
        findings.notes.push(FileNote { marks: self.marks, ..note });
        if let Some(mark) = asked {
            let question = census.question(self.table.file, self.marks, answer.is_some(), mark);
            if let (Some(first), None) = (question.examples.first(), answer) {
                let (value, other) = match self.marks {
                    NumberMarks::Point => (first.point, first.comma),
                    NumberMarks::Comma => (first.comma, first.point),
                };
                let kind = ProblemKind::TwoReadings {
                    cells: question.cells,
                    text: first.text.clone(),
                    value,
                    other,
                };
                problems.warn(Place::cell(self.table.file, first.row, &first.column), kind);
            }
            findings.questions.push(question);
        }
    }

    /// Whether the header has this column.
    pub fn has(&self, column: &str) -> bool {
        self.columns.contains_key(column)
    }

    /// The text of a cell; empty where the cell is blank or not there.
    pub fn text<'a>(&'a self, row: &'a Row, column: &str) -> &'a str {
        self.columns.get(column).and_then(|&position| row.cells.get(position)).map_or("", String::as_str)
    }

    /// Every value of a column that is not blank, with its row.
    pub fn values<'a>(&'a self, column: &'a str) -> impl Iterator<Item = (&'a Row, &'a str)> {
        self.rows.iter().map(move |row| (row, self.text(row, column))).filter(|(_, text)| !text.is_empty())
    }

    /// Types every row that has as many cells as the header, with its row number.
    pub fn typed<T>(
        &self,
        units: Units<'_>,
        problems: &mut Problems,
        parse: fn(&mut Cells<'_>) -> Option<T>,
    ) -> Vec<(usize, T)> {
        let whole = self.rows.iter().filter(|row| row.cells.len() == self.width);
        whole
            .filter_map(|row| {
                let value = parse(&mut Cells { table: self, row, units, problems })?;
                Some((row.row, value))
            })
            .collect()
    }

    fn name_faults(&self, problems: &mut Problems) {
        for row in &self.rows {
            for (position, fault) in &row.faults {
                let named = position.and_then(|p| self.columns.iter().find(|(_, at)| **at == p));
                let place =
                    Place { column: named.map(|(name, _)| *name), ..Place::row(self.table.file, row.row) };
                problems.error(place, fault.clone());
            }
            // Quotes that are not in order swallow the commas after them.
            let torn = |(_, fault): &(_, ProblemKind)| {
                matches!(fault, ProblemKind::QuoteNotClosed | ProblemKind::TextAfterQuote)
            };
            if row.cells.len() != self.width && !row.faults.iter().any(torn) {
                let kind = ProblemKind::RowRagged { expected: self.width, found: row.cells.len() };
                problems.error(Place::row(self.table.file, row.row), kind);
            }
        }
    }
}

/// Takes off the columns at the end that hold nothing in any row, and gives their number.
fn trim_blank_columns(rows: &mut [Row]) -> usize {
    let filled = |row: &Row| row.cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |at| at + 1);
    let before = rows.first().map_or(0, |header| header.cells.len());
    let widest = rows.iter().map(filled).max().unwrap_or(0);
    for row in rows.iter_mut() {
        row.cells.truncate(widest);
    }
    before.saturating_sub(widest)
}

/// Finds each column of the table in the header.
fn named_columns(
    table: &'static Table,
    header: &Row,
    rows: &[Row],
    problems: &mut Problems,
) -> Map<&'static str, usize> {
    let mut columns = Map::new();
    for (position, name) in header.cells.iter().enumerate() {
        let place = Place::column(table.file, name);
        let known = table.columns.iter().find(|column| column.name == name);
        match known {
            Some(column) if columns.contains_key(column.name) => {
                problems.error(place, ProblemKind::ColumnTwice)
            }
            Some(column) => {
                columns.insert(column.name, position);
            }
            None if name.is_empty() => {
                if rows.iter().any(|row| row.cells.get(position).is_some_and(|cell| !cell.is_empty())) {
                    let kind = ProblemKind::ColumnUnnamed { position: position + 1 };
                    problems.warn(Place::file(table.file), kind);
                }
            }
            None => problems.warn(place, ProblemKind::ColumnUnknown),
        }
    }
    for (_, fault) in &header.faults {
        problems.error(Place::row(table.file, header.row), fault.clone());
    }
    for column in table.columns.iter().filter(|column| column.required && !columns.contains_key(column.name))
    {
        problems.error(Place::column(table.file, column.name), ProblemKind::ColumnMissing);
    }
    columns
}

/// The units of a network as they are written; empty where `network.json` does not say.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Units<'a> {
    /// Of yields.
    pub yield_: &'a str,
    /// Of water.
    pub water: &'a str,
}

/// What a number may be.
#[derive(Debug, Clone, Copy)]
pub(super) enum Bounds {
    /// Any finite number.
    Finite,
    /// A yield: not negative.
    Yield,
    /// An amount of water: not negative.
    Water,
    /// Above zero.
    AboveZero,
    /// From one number to another, ends included.
    Within(f64, f64),
    /// This or more.
    AtLeast(f64),
    /// Strictly between two numbers.
    Between(f64, f64),
}

/// The cells of one row while it is typed. Each method names the fault of its cell and returns `None` then.
pub(super) struct Cells<'a> {
    table: &'a RawTable,
    row: &'a Row,
    units: Units<'a>,
    problems: &'a mut Problems,
}

impl Cells<'_> {
    fn fault(&mut self, column: &str, kind: ProblemKind) {
        self.problems.error(Place::cell(self.table.table.file, self.row.row, column), kind);
    }

    /// Whether the file has the column.
    pub fn has(&self, column: &str) -> bool {
        self.table.has(column)
    }

    /// A text, empty if blank.
    pub fn text(&self, column: &str) -> String {
        self.table.text(self.row, column).to_owned()
    }

    /// A text, or `None` if blank.
    pub fn optional_text(&self, column: &str) -> Option<String> {
        Some(self.text(column)).filter(|text| !text.is_empty())
    }

    /// A text that must not be blank.
    pub fn filled(&mut self, column: &str) -> Option<String> {
        let text = self.optional_text(column);
        if text.is_none() && self.table.has(column) {
            self.fault(column, ProblemKind::Blank);
        }
        text
    }

    /// A number, or `None` if blank.
    pub fn number(&mut self, column: &str, bounds: Bounds) -> Option<f64> {
        let text = self.optional_text(column)?;
        match number(&text, self.table.marks, bounds, self.units) {
            Ok(value) => Some(value),
            Err(kind) => {
                self.fault(column, kind);
                None
            }
        }
    }

    /// A number that must not be blank.
    pub fn filled_number(&mut self, column: &str, bounds: Bounds) -> Option<f64> {
        self.filled(column)?;
        self.number(column, bounds)
    }

    /// A year, or `None` if blank.
    pub fn year(&mut self, column: &str) -> Option<i32> {
        let text = self.optional_text(column)?;
        let year = text.parse().ok().filter(|year| (FIRST_YEAR..=LAST_YEAR).contains(year));
        if year.is_none() {
            self.fault(column, ProblemKind::NotAYear { text, low: FIRST_YEAR, high: LAST_YEAR });
        }
        year
    }

    /// A year that must not be blank.
    pub fn filled_year(&mut self, column: &str) -> Option<i32> {
        self.filled(column)?;
        self.year(column)
    }

    /// One of a few words, or `None` if blank.
    pub fn word<T: Copy>(&mut self, column: &str, words: &[(&str, T)]) -> Option<T> {
        let text = self.optional_text(column)?;
        let found = words.iter().find(|(word, _)| *word == text).map(|(_, value)| *value);
        if found.is_none() {
            let allowed = words.iter().map(|(word, _)| (*word).to_owned()).collect();
            self.fault(column, ProblemKind::WordUnknown { text, allowed });
        }
        found
    }

    /// One of a few words; must not be blank.
    pub fn filled_word<T: Copy>(&mut self, column: &str, words: &[(&str, T)]) -> Option<T> {
        self.filled(column)?;
        self.word(column, words)
    }

    /// A pressure, 0 to 3.
    pub fn filled_pressure(&mut self, column: &str) -> Option<u8> {
        let text = self.filled(column)?;
        let pressure = text.parse().ok().filter(|pressure| *pressure <= 3);
        if pressure.is_none() {
            self.fault(column, ProblemKind::NotAPressure { text });
        }
        pressure
    }
}

fn number(text: &str, marks: NumberMarks, bounds: Bounds, units: Units<'_>) -> Result<f64, ProblemKind> {
    let text = text.to_owned();
    let Some(Ok(value)) = marks.plain(&unspaced(&text)).map(|plain| plain.parse::<f64>()) else {
        return Err(ProblemKind::NotANumber { text });
    };
    if !value.is_finite() {
        return Err(ProblemKind::NotFinite { text });
    }
    // A negative zero would print, compare and hash unlike zero.
    let value = if value == 0.0 { 0.0 } else { value };
    let out_of_range = |low, high| Err(ProblemKind::OutOfRange { text: text.clone(), low, high });
    let below_zero = |unit: &str| match unit {
        "" => out_of_range(Some(0.0), None),
        unit => Err(ProblemKind::BelowZero { text: text.clone(), unit: unit.to_owned() }),
    };
    match bounds {
        Bounds::Yield if value < 0.0 => below_zero(units.yield_),
        Bounds::Water if value < 0.0 => below_zero(units.water),
        Bounds::Yield | Bounds::Water if value > MOST_QUANTITY => {
            out_of_range(Some(0.0), Some(MOST_QUANTITY))
        }
        Bounds::AboveZero if value > 0.0 && value < LEAST_ABOVE_ZERO => {
            out_of_range(Some(LEAST_ABOVE_ZERO), None)
        }
        Bounds::AboveZero if value <= 0.0 => Err(ProblemKind::NotAboveZero { text }),
        Bounds::Within(low, high) if value < low || value > high => out_of_range(Some(low), Some(high)),
        Bounds::AtLeast(low) if value < low => out_of_range(Some(low), None),
        Bounds::Between(low, high) if value <= low || value >= high => {
            Err(ProblemKind::NotBetween { text, low, high })
        }
        _ if value.abs() > MOST => out_of_range(Some(-MOST), Some(MOST)),
        _ => Ok(value),
    }
}
