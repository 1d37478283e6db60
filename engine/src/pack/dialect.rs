//! How a spreadsheet wrote a file: what stands between cells, and what the comma and the point in its
//! numbers mean.
//!
//! Both are recognised and stated, and where the numbers themselves cannot tell (`1,234` alone is one and a
//! bit in one country and more than a thousand in another) the reader asks: a [`Question`] carries what was
//! assumed, and [`super::Answers`] overrule it. Knows single cells, not what they mean.

use super::columns::Table;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// What stands between two cells.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Separator {
    /// A comma, as the contract has it.
    #[default]
    Comma,
    /// A semicolon, as spreadsheets write where the comma is the decimal sign.
    Semicolon,
    /// A tab.
    Tab,
}

const SEPARATORS: [Separator; 3] = [Separator::Comma, Separator::Semicolon, Separator::Tab];

impl Separator {
    /// The byte itself.
    pub(super) fn byte(self) -> u8 {
        match self {
            Separator::Comma => b',',
            Separator::Semicolon => b';',
            Separator::Tab => b'\t',
        }
    }

    /// The separator of a file, by which of them makes known column names of its first filled line; where none
    /// does, the one that stands there most often.
    pub(super) fn of(bytes: &[u8], table: &Table) -> Self {
        let line = bytes
            .split(|byte| matches!(byte, b'\n' | b'\r'))
            .find(|line| line.iter().any(|byte| !b",;\t\" ".contains(byte)))
            .unwrap_or_default();
        if let Some(separator) = stated(line) {
            return separator;
        }
        let text = String::from_utf8_lossy(line);
        let known = |separator: Separator| {
            let names = text.split(char::from(separator.byte())).map(|name| name.trim().trim_matches('"'));
            names.filter(|name| table.column(name).is_some()).count()
        };
        let often = |separator: Separator| line.iter().filter(|byte| **byte == separator.byte()).count();
        let mut best = Separator::Comma;
        for separator in SEPARATORS {
            if (known(separator), often(separator)) > (known(best), often(best)) {
                best = separator;
            }
        }
        best
    }
}

/// The separator that a first line `sep=;` names, as some spreadsheets write.
pub(super) fn stated(line: &[u8]) -> Option<Separator> {
    let line = line.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(line);
    let named = line.strip_prefix(b"sep=").or_else(|| line.strip_prefix(b"\"sep="))?;
    SEPARATORS.into_iter().find(|separator| named.first() == Some(&separator.byte()))
}

/// What the point and the comma mean inside a number.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NumberMarks {
    /// The point is the decimal sign; commas may stand between thousands.
    #[default]
    Point,
    /// The comma is the decimal sign; points may stand between thousands.
    Comma,
}

impl NumberMarks {
    fn signs(self) -> (char, char) {
        match self {
            NumberMarks::Point => ('.', ','),
            NumberMarks::Comma => (',', '.'),
        }
    }

    /// A number written with a decimal point and nothing between thousands; `None` where the marks stand in
    /// places where a number has none.
    pub(super) fn plain(self, text: &str) -> Option<String> {
        let (decimal, group) = self.signs();
        if !text.contains([decimal, group]) {
            return Some(text.to_owned());
        }
        let (whole, fraction) = match text.split_once(decimal) {
            Some((whole, fraction)) => (whole, Some(fraction)),
            None => (text, None),
        };
        if fraction.is_some_and(|fraction| fraction.contains([decimal, group])) || !grouped(whole, group) {
            return None;
        }
        let whole = whole.replace(group, "");
        Some(fraction.map_or(whole.clone(), |fraction| format!("{whole}.{fraction}")))
    }
}

/// A number without the spaces that stand between its thousands; other spaces stay, so that it is none.
pub(super) fn unspaced(text: &str) -> Cow<'_, str> {
    let (whole, rest) = text.split_at(text.find(['.', ',']).unwrap_or(text.len()));
    match whole.chars().find(|letter| letter.is_whitespace()) {
        Some(space) if grouped(whole, space) => Cow::Owned(whole.replace(space, "") + rest),
        _ => Cow::Borrowed(text),
    }
}

/// Whether the digits before the decimal sign stand in groups of three behind a first one of one to three, or
/// in one group.
fn grouped(whole: &str, group: char) -> bool {
    let digits = whole.trim_start_matches(['-', '+']);
    if !digits.contains(group) {
        return true;
    }
    let mut groups = digits.split(group);
    let first = groups.next().unwrap_or_default();
    let all_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    (1..=3).contains(&first.len())
        && all_digits(first)
        && groups.all(|text| text.len() == 3 && all_digits(text))
}

/// What one number says of the marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Evidence {
    /// Nothing: no mark, or no number.
    None,
    /// It can only be read so.
    Is(NumberMarks),
    /// `1,234` or `1.234`, by its one mark: either a thousand or a fraction.
    Either(char),
}

fn evidence(text: &str) -> Evidence {
    let digits = text.trim_start_matches(['-', '+']);
    let of_number = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    let has_digit = digits.bytes().any(|byte| byte.is_ascii_digit());
    if !digits.contains(['.', ',']) || !digits.chars().all(of_number) || !has_digit {
        return Evidence::None;
    }
    let readable = |marks: NumberMarks| marks.plain(digits).is_some();
    match (readable(NumberMarks::Point), readable(NumberMarks::Comma)) {
        // A whole part of nought is never followed by thousands.
        (true, true) if digits.starts_with('0') || digits.starts_with(['.', ',']) => {
            Evidence::Is(if digits.contains('.') { NumberMarks::Point } else { NumberMarks::Comma })
        }
        (true, true) => Evidence::Either(if digits.contains('.') { '.' } else { ',' }),
        (true, false) => Evidence::Is(NumberMarks::Point),
        (false, true) => Evidence::Is(NumberMarks::Comma),
        (false, false) => Evidence::None,
    }
}

/// A number that can be read in two ways.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TwoReadings {
    /// Row as the spreadsheet numbers it.
    pub row: usize,
    /// Column name.
    pub column: String,
    /// The cell.
    pub text: String,
    /// Its value if the point is the decimal sign.
    pub point: f64,
    /// Its value if the comma is.
    pub comma: f64,
}

/// What the reader has to ask about one file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Question {
    /// File name.
    pub file: String,
    /// What is assumed until it is answered, or the answer.
    pub assumed: NumberMarks,
    /// Whether that is an answer.
    pub answered: bool,
    /// How many cells it changes.
    pub cells: usize,
    /// The first of them.
    pub examples: Vec<TwoReadings>,
}

/// Most cells that a question shows.
const EXAMPLES: usize = 3;

/// What a file's numbers say of the marks.
#[derive(Debug, Default)]
pub(super) struct MarksCensus {
    point: usize,
    comma: usize,
    either_point: usize,
    either_comma: usize,
    examples: Vec<TwoReadings>,
}

impl MarksCensus {
    /// Counts one cell of a column that holds numbers.
    pub fn count(&mut self, row: usize, column: &str, text: &str) {
        let mark = match evidence(text) {
            Evidence::None => return,
            Evidence::Is(NumberMarks::Point) => return self.point += 1,
            Evidence::Is(NumberMarks::Comma) => return self.comma += 1,
            Evidence::Either(mark) => mark,
        };
        let slot = if mark == '.' { &mut self.either_point } else { &mut self.either_comma };
        *slot += 1;
        // Only what differs from the usual reading of its mark is worth showing.
        let seen = self.examples.iter().filter(|example| example.text.contains(mark)).count();
        if seen < EXAMPLES {
            let value = |marks: NumberMarks| marks.plain(text).and_then(|plain| plain.parse().ok());
            if let (Some(point), Some(comma)) = (value(NumberMarks::Point), value(NumberMarks::Comma)) {
                let (column, text) = (column.to_owned(), text.to_owned());
                self.examples.push(TwoReadings { row, column, text, point, comma });
            }
        }
    }

    /// Whether any number has a mark at all.
    pub fn marked(&self) -> bool {
        self.point + self.comma + self.either_point + self.either_comma > 0
    }

    /// The marks of the file, and whether they have to be asked about. A file without a comma in its numbers is
    /// as the contract has it; numbers that can be read in one way only outvote each other; where none decides,
    /// a file without commas between its cells is taken to have kept the comma for decimals.
    pub fn decide(&self, separator: Separator) -> (NumberMarks, Option<char>) {
        let decimal_comma_usual = separator != Separator::Comma;
        match (self.point, self.comma) {
            (0, 0) if self.either_comma == 0 => (NumberMarks::Point, None),
            (0, 0) => (if decimal_comma_usual { NumberMarks::Comma } else { NumberMarks::Point }, Some(',')),
            (point, comma) if comma > point => (NumberMarks::Comma, (self.either_point > 0).then_some('.')),
            _ => (NumberMarks::Point, None),
        }
    }

    /// The question about `mark`, or the answer that was given to it.
    pub fn question(self, file: &str, assumed: NumberMarks, answered: bool, mark: char) -> Question {
        let cells = if mark == '.' { self.either_point } else { self.either_comma };
        let examples = self.examples.into_iter().filter(|example| example.text.contains(mark)).collect();
        Question { file: file.to_owned(), assumed, answered, cells, examples }
    }
}

#[cfg(test)]
#[path = "dialect_tests.rs"]
mod tests;
