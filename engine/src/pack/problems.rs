//! Where problems are put while a folder is read, and how their places are written down.
//!
//! Knows nothing of what a problem is about.

use super::problem::{Problem, ProblemKind};

/// Errors and warnings as they are met, in the order of the files.
#[derive(Debug, Default)]
pub(super) struct Problems {
    /// What stops the fit.
    pub errors: Vec<Problem>,
    /// What does not.
    pub warnings: Vec<Problem>,
}

/// A file, and where in it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place<'a> {
    /// File name.
    pub file: &'a str,
    /// Row, or the whole file.
    pub row: Option<usize>,
    /// Column, or the whole row.
    pub column: Option<&'a str>,
}

impl<'a> Place<'a> {
    /// The whole file.
    pub fn file(file: &'a str) -> Self {
        Place { file, row: None, column: None }
    }
    /// A whole row.
    pub fn row(file: &'a str, row: usize) -> Self {
        Place { file, row: Some(row), column: None }
    }
    /// A column of the whole file, or a path in `network.json`.
    pub fn column(file: &'a str, column: &'a str) -> Self {
        Place { file, row: None, column: Some(column) }
    }
    /// One cell.
    pub fn cell(file: &'a str, row: usize, column: &'a str) -> Self {
        Place { file, row: Some(row), column: Some(column) }
    }
    fn problem(self, kind: ProblemKind) -> Problem {
        Problem { file: self.file.to_owned(), row: self.row, column: self.column.map(str::to_owned), kind }
    }
}

impl Problems {
    /// Adds an error.
    pub fn error(&mut self, place: Place<'_>, kind: ProblemKind) {
        self.errors.push(place.problem(kind));
    }
    /// Adds a warning.
    pub fn warn(&mut self, place: Place<'_>, kind: ProblemKind) {
        self.warnings.push(place.problem(kind));
    }
}
