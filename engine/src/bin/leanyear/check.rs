//! `leanyear check DIR`: every problem of a network folder, in words or as JSON.

use crate::folder::{FolderError, FolderReading, read_folder};
use leanyear_engine::pack::{FileNote, NumberMarks, Problem, Separator};
use serde::Serialize;
use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

/// Read a network folder and list everything that is wrong with it.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The folder.
    dir: PathBuf,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// Exit code where there are errors; warnings alone leave it 0.
const ERRORS: u8 = 2;

#[derive(Serialize)]
struct Report {
    errors: Vec<Entry>,
    warnings: Vec<Entry>,
}

#[derive(Serialize)]
struct Entry {
    file: String,
    row: Option<usize>,
    column: Option<String>,
    message: String,
}

impl From<&Problem> for Entry {
    fn from(problem: &Problem) -> Self {
        Entry {
            file: problem.file.clone(),
            row: problem.row,
            column: problem.column.clone(),
            message: problem.kind.to_string(),
        }
    }
}

/// Prints the report; 0 if clean or with warnings, 2 with errors or an unreadable folder.
pub fn run(arguments: &Arguments) -> ExitCode {
    let reading = read_folder(&arguments.dir);
    let (text, has_errors) = match (&reading, arguments.json) {
        (Ok(folder), true) => (json(folder), !folder.reading.errors.is_empty()),
        (Ok(folder), false) => (words(folder), !folder.reading.errors.is_empty()),
        (Err(error), true) => (unreadable_json(error), true),
        (Err(error), false) => (format!("error: {error}\n"), true),
    };
    // A closed pipe on the other side is no fault of the folder.
    let _ = io::stdout().write_all(text.as_bytes());
    if has_errors { ExitCode::from(ERRORS) } else { ExitCode::SUCCESS }
}

fn json(folder: &FolderReading) -> String {
    let reading = &folder.reading;
    let entries = |problems: &[Problem]| problems.iter().map(Entry::from).collect::<Vec<_>>();
    let mut warnings = entries(&reading.warnings);
    warnings.extend(stated(folder).map(|(file, message)| Entry {
        file: file.to_owned(),
        row: None,
        column: None,
        message,
    }));
    pretty(&Report { errors: entries(&reading.errors), warnings })
}

fn unreadable_json(error: &FolderError) -> String {
    let file = error.path().display().to_string();
    let entry = Entry { file, row: None, column: None, message: error.to_string() };
    pretty(&Report { errors: vec![entry], warnings: Vec::new() })
}

fn pretty(report: &Report) -> String {
    // Texts, numbers and nulls always serialise.
    serde_json::to_string_pretty(report).unwrap_or_default() + "\n"
}

/// How files are written that are not as the contract has it, with what was made of them.
fn stated(folder: &FolderReading) -> impl Iterator<Item = (&str, String)> {
    let letters = folder.letters.iter().map(|(file, words)| (file.as_str(), (*words).to_owned()));
    let notes = folder.reading.notes.iter();
    letters.chain(notes.filter_map(|note| Some((note.file.as_str(), note_words(note)?))))
}

fn note_words(note: &FileNote) -> Option<String> {
    let mut parts: Vec<String> = Vec::new();
    match note.separator {
        Separator::Comma => {}
        Separator::Semicolon => parts.push("semicolons between cells".into()),
        Separator::Tab => parts.push("tabs between cells".into()),
    }
    if note.marks == NumberMarks::Comma {
        parts.push("decimal commas".into());
    }
    if note.renamed > 0 {
        parts
            .push(format!("column names in other capitals or with spaces, taken as meant: {}", note.renamed));
    }
    parts.extend(
        note.missing.iter().map(|(mark, cells)| format!("cells with `{mark}`, read as blank: {cells}")),
    );
    (!parts.is_empty()).then(|| parts.join(", "))
}

fn words(folder: &FolderReading) -> String {
    let reading = &folder.reading;
    let mut lines = Vec::new();
    for (problems, kind) in [(&reading.errors, "errors"), (&reading.warnings, "warnings")] {
        lines.push(format!("{kind}: {}", problems.len()));
        lines.extend(problems.iter().map(Problem::to_string));
    }
    lines.extend(stated(folder).map(|(file, words)| format!("{file}: {words}")));
    lines.extend(reading.rows.iter().map(|table| {
        format!("{}: {} rows = {} used + {} reported", table.file, table.all, table.used, table.reported)
    }));
    lines.join("\n") + "\n"
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use leanyear_engine::order::Map;
    use leanyear_engine::pack;

    fn reading(means: &str) -> FolderReading {
        let network = r#"{"name": "Test", "yield_unit": "bu/ac", "bushel_lb": 60}"#;
        let trials = "trial,site,season\nT1,S1,2020\n";
        let files = [("network.json", network), ("trials.csv", trials), ("means.csv", means)];
        let files =
            files.map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec())).into_iter().collect();
        FolderReading { reading: pack::read(&files), letters: Map::new() }
    }

    #[test]
    fn a_problem_is_one_line_and_the_rows_close_the_report() {
        let report = words(&reading("trial,variety,yield\nT1,A,-3.2\nT1,B,30\n"));
        let lines: Vec<&str> = report.lines().collect();
        let expected = "means.csv row 2, column `yield`: -3.2 is below 0 bu/ac; remove the row or correct it";
        assert_eq!(lines[..2], ["errors: 1", expected]);
        assert_eq!(lines[lines.len() - 1], "means.csv: 2 rows = 1 used + 1 reported");
    }

    #[test]
    fn json_has_exactly_the_promised_keys() {
        let report: Map<String, Vec<Map<String, serde_json::Value>>> =
            serde_json::from_str(&json(&reading("trial,variety,yield\nT1,A,-3.2\n"))).unwrap();
        assert_eq!(report.keys().collect::<Vec<_>>(), ["errors", "warnings"]);
        let entry = &report["errors"][0];
        assert_eq!(entry.keys().collect::<Vec<_>>(), ["column", "file", "message", "row"]);
        assert_eq!(
            (&entry["file"], &entry["row"], &entry["column"]),
            (&"means.csv".into(), &2.into(), &"yield".into())
        );
        assert!(report["warnings"].iter().all(|entry| entry["row"].is_null()));
    }

    #[test]
    fn how_a_file_is_written_is_stated_in_both_forms() {
        let reading = reading("trial;variety;yield;plots\nT1;A;30,5;NA\nT1;B;31,5;NA\n");
        let expected = "semicolons between cells, decimal commas, cells with `NA`, read as blank: 2";
        assert!(words(&reading).contains(&format!("\nmeans.csv: {expected}\n")), "{}", words(&reading));
        assert!(json(&reading).contains(&format!("\"message\": \"{expected}\"")), "{}", json(&reading));
    }

    #[test]
    fn an_unreadable_folder_is_an_error_in_both_forms() {
        let missing = read_folder(std::path::Path::new("/nonexistent/folder")).unwrap_err();
        assert!(unreadable_json(&missing).contains("\"file\": \"/nonexistent/folder\""));
        assert!(missing.to_string().contains("cannot read the folder"));
    }
}
