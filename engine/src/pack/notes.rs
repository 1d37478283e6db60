//! What a reading states of each file beside its problems: how it is written, what was left out as empty, what
//! could not be told.
//!
//! Values only; the page and the command line find the words.

use super::csv_text::Limits;
use super::dialect::{NumberMarks, Question, Separator};
use crate::order::Map;
use serde::{Deserialize, Serialize};

/// Answers to questions, by file name.
pub type Answers = Map<String, NumberMarks>;

/// How a file ends its rows.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LineEnds {
    /// LF.
    #[default]
    LineFeed,
    /// CRLF, as most spreadsheets write.
    Both,
    /// CR alone.
    CarriageReturn,
}

/// How one file is written.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileNote {
    /// File name.
    pub file: String,
    /// What stands between cells.
    pub separator: Separator,
    /// What point and comma mean in its numbers.
    pub marks: NumberMarks,
    /// Whether it begins with a byte order mark.
    pub byte_order_mark: bool,
    /// How rows end.
    pub line_ends: LineEnds,
    /// Whether its first line names the separator.
    pub names_separator: bool,
    /// Rows without a value.
    pub blank_rows: usize,
    /// Columns at the end without a value.
    pub blank_columns: usize,
    /// Cells whose leading apostrophe, which keeps a spreadsheet from running them, was taken off.
    pub guarded: usize,
    /// Columns whose names are written with other capitals or with space in them.
    pub renamed: usize,
    /// Cells for numbers that hold a mark of what is missing, such as `.` or `NA`, and are read as blank, by the mark.
    pub missing: Map<String, usize>,
}

impl FileNote {
    /// What the bytes of a file show at once.
    pub(super) fn new(file: &str, separator: Separator, bytes: &[u8]) -> FileNote {
        let first_end = bytes.iter().position(|byte| matches!(byte, b'\n' | b'\r'));
        let line_ends = match first_end.map(|at| &bytes[at..]) {
            Some([b'\r', b'\n', ..]) => LineEnds::Both,
            Some([b'\r', ..]) => LineEnds::CarriageReturn,
            _ => LineEnds::LineFeed,
        };
        let byte_order_mark = bytes.starts_with(&[0xEF, 0xBB, 0xBF]);
        FileNote { file: file.to_owned(), separator, byte_order_mark, line_ends, ..FileNote::default() }
    }

    /// Whether it is written as the contract has it, so that nothing has to be stated: marks of order and line
    /// ends change nothing.
    pub fn is_plain(&self) -> bool {
        let plain = FileNote {
            file: self.file.clone(),
            byte_order_mark: self.byte_order_mark,
            line_ends: self.line_ends,
            ..FileNote::default()
        };
        *self == plain
    }
}

/// What is found while files are read.
pub(super) struct Findings<'a> {
    /// The most that is read of a file.
    pub limits: Limits,
    /// Answers to earlier questions.
    pub answers: &'a Answers,
    /// How each file is written.
    pub notes: Vec<FileNote>,
    /// What could not be told.
    pub questions: Vec<Question>,
}

impl<'a> Findings<'a> {
    /// Nothing yet.
    pub fn new(limits: Limits, answers: &'a Answers) -> Self {
        Findings { limits, answers, notes: Vec::new(), questions: Vec::new() }
    }
}
