//! How every command ends: its text on standard output, or its error on standard error and exit code 2.

use crate::folder::{FolderError, FolderReading, read_folder};
use leanyear_engine::pack::{Network, ProblemKind};
use serde::Serialize;
use std::error::Error;
use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

/// What a command gives: the text to print, or why there is none.
pub type Outcome = Result<String, Box<dyn Error>>;

/// Exit code of a command that could not do its work.
const FAILED: u8 = 2;

/// Prints the outcome.
pub fn finish(outcome: Outcome) -> ExitCode {
    match outcome {
        Ok(text) => {
            // A closed pipe on the other side is no fault of ours.
            let _ = io::stdout().write_all(text.as_bytes());
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("error: {error}");
            ExitCode::from(FAILED)
        }
    }
}

/// JSON, indented, with a line end.
///
/// # Errors
/// A number that JSON cannot hold.
pub fn pretty(value: &impl Serialize) -> Outcome {
    Ok(serde_json::to_string_pretty(value)? + "\n")
}

/// Why a folder gives no network.
#[derive(Debug, thiserror::Error)]
pub enum NetworkError {
    /// It cannot be read.
    #[error("{0}")]
    Folder(#[from] FolderError),
    /// Its files have errors.
    #[error("{count} errors in the folder; the first: {first}\nrun `leanyear check` on it for all of them")]
    Problems {
        /// How many.
        count: usize,
        /// The first in words.
        first: String,
    },
}

/// The network of a folder.
///
/// # Errors
/// See [`NetworkError`].
pub fn network(folder: &Path) -> Result<Network, NetworkError> {
    let FolderReading { reading, letters } = read_folder(folder)?;
    for (file, words) in letters {
        eprintln!("note: {file}: {words}");
    }
    // No number of any command tells that two varieties were never compared.
    for warning in reading.warnings.iter().filter(|w| matches!(w.kind, ProblemKind::TrialsApart { .. })) {
        eprintln!("warning: {warning}");
    }
    match (reading.network, reading.errors.first()) {
        (Some(network), None) => Ok(network),
        (_, first) => Err(NetworkError::Problems {
            count: reading.errors.len(),
            first: first.map(ToString::to_string).unwrap_or_default(),
        }),
    }
}
