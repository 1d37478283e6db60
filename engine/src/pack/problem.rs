//! A fault of a network folder and its place as a spreadsheet shows it.
//!
//! It knows nothing of how a file is read.

pub use super::problem_kind::ProblemKind;
use serde::{Deserialize, Serialize};
use std::fmt;

/// One fault and its place as a spreadsheet shows it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Problem {
    /// File name, for example `means.csv`.
    pub file: String,
    /// Row as the spreadsheet numbers it (header = 1), or line of `network.json`; `None` for a whole file.
    pub row: Option<usize>,
    /// Column name, or path inside `network.json`; `None` for a whole row or file.
    pub column: Option<String>,
    /// What is wrong.
    pub kind: ProblemKind,
}

impl Problem {
    /// Whether the file cannot be read, or not from here on.
    pub(super) fn cuts_off(&self) -> bool {
        use ProblemKind as P;
        match self.kind {
            P::NotUtf8 => self.row.is_none(),
            P::FileTooLarge { .. }
            | P::TooManyColumns { .. }
            | P::TooManyCells { .. }
            | P::CellTooLong { .. }
            | P::NotText { .. }
            | P::QuoteNotClosed
            // The text that follows is often the next row, up to the first quote that is closed.
            | P::TextAfterQuote
            | P::HeaderMissing
            | P::JsonSyntax { .. } => true,
            _ => false,
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some(row) = self.row {
            write!(f, " row {row}")?;
        }
        if let Some(column) = &self.column {
            write!(f, ", column `{column}`")?;
        }
        write!(f, ": {}", self.kind)
    }
}
