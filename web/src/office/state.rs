//! A network being prepared, at one moment: its files as texts, what was answered and ruled, what was found.
//!
//! The files' texts are the truth: an excluded trial is a cell of `trials.csv`, her word a row of
//! `shortlist.csv`, so that what is saved is what is shown. Nothing here knows a browser.

use super::arrival::Found;
use super::job::{
    ChangesAnswer, FitAnswer, InfluenceAnswer, ReadAnswer, ReportAnswer, Step, TrackAnswer, Work,
};
use leanyear_engine::office::shortlist::Rules;
use leanyear_engine::order::Map;
use leanyear_engine::pack::join::Unjoinable;
use leanyear_engine::pack::{Answers, Letters, ShortlistEntry};
use serde::{Deserialize, Serialize};
use std::rc::Rc;

/// How far a job has come.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum Stage<T> {
    /// Not asked for.
    #[default]
    Idle,
    /// Running, so many percent done.
    Running(u8),
    /// There.
    Done(Rc<T>),
    /// It failed, for this reason.
    Failed(String),
    /// It was stopped.
    Cancelled,
}

impl<T> Stage<T> {
    /// The answer, if it is there.
    pub fn done(&self) -> Option<&T> {
        match self {
            Stage::Done(answer) => Some(answer),
            _ => None,
        }
    }

    /// Whether it is running.
    pub fn is_running(&self) -> bool {
        matches!(self, Stage::Running(_))
    }
}

/// What became of a dropped file.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrival {
    /// Its own name.
    pub name: String,
    /// What it is.
    pub found: Found,
    /// What was done with it.
    pub fate: Fate,
}

/// What was done with a file of the network that was dropped.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Fate {
    /// It was taken, or is none.
    #[default]
    Taken,
    /// It was taken in place of what came from these files.
    InPlaceOf(Vec<String>),
    /// Its rows stand behind those that were there.
    Joined {
        /// Rows with a value.
        rows: usize,
        /// Row of the first of them in the file as it is now.
        first_row: usize,
    },
    /// There is such a file already, so that it waits for her word; it cannot be joined for the reason given, if any.
    Waits(Option<Unjoinable>),
}

/// What is typed and not yet taken, kept between visits apart from the draft, which is large.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Typed {
    /// The row being put right.
    pub fix: Option<Fix>,
    /// Her word while she writes it.
    pub word: Option<ShortlistEntry>,
    /// Other rows that she left half put right.
    pub fixes: Vec<Fix>,
    /// Her words on other varieties that she left unfinished.
    pub words: Vec<ShortlistEntry>,
    /// A field of the network's form that she has not left yet: its text by its key.
    pub keys: Map<String, String>,
}

/// A row that is being put right.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Fix {
    /// File.
    pub file: String,
    /// Row.
    pub row: usize,
    /// The column that a problem named, if one did.
    pub column: Option<String>,
    /// Names of the columns.
    pub header: Vec<String>,
    /// Cells as typed.
    pub cells: Vec<String>,
}

/// Last year's network.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LastYear {
    /// Name of the file it came in.
    pub name: String,
    /// The pack, as JSON.
    pub json: String,
}

/// Whether what was typed is kept on this device.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Kept {
    /// Not known yet.
    #[default]
    Unknown,
    /// It is.
    Stored,
    /// The browser refused.
    Refused,
    /// Another tab has kept its own since.
    Elsewhere,
}

/// What can be saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Product {
    /// The page as one file.
    Page,
    /// The hosted copy as a zip.
    Site,
    /// The pack as JSON.
    Pack,
    /// The network's files as a zip.
    Folder,
}

impl Product {
    /// The job that gives what it is made of.
    pub fn step(self) -> Step {
        match self {
            Product::Folder => Step::Folder,
            Product::Page | Product::Site | Product::Pack => Step::Page,
        }
    }
}

/// How the last saving went.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Saving {
    /// Nothing was saved.
    #[default]
    None,
    /// Being put together.
    Running(Product),
    /// Handed to the browser.
    Saved(Product),
    /// It failed.
    Failed(String),
}

/// What is kept between visits.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Draft {
    /// Files by name.
    pub files: Map<String, String>,
    /// Names of the files that each came in, a line each, in the order in which they were joined.
    pub sources: Map<String, String>,
    /// Answers.
    pub answers: Answers,
    /// Rules by system.
    pub rules: Map<String, Rules>,
    /// Last year's network.
    pub last: Option<LastYear>,
    /// Whether its files have been fitted, so that another visit fits them at once.
    pub fitted: bool,
}

impl Draft {
    /// Names of the files that one of the network came in.
    pub fn came_in(&self, file: &str) -> Vec<String> {
        let names = self.sources.get(file).map(String::as_str).unwrap_or_default();
        names.lines().map(str::to_owned).collect()
    }
}

/// A network being prepared.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Office {
    /// What is kept between visits.
    pub draft: Rc<Draft>,
    /// How letters of files were written that are not UTF-8.
    pub letters: Map<String, Letters>,
    /// What was dropped last.
    pub arrivals: Vec<Arrival>,
    /// What is typed and not yet taken.
    pub typed: Rc<Typed>,
    /// Whether what was typed in an earlier visit has been looked for.
    pub resumed: bool,
    /// Counts changes of the files.
    pub revision: u64,
    /// What reading found.
    pub read: Stage<ReadAnswer>,
    /// What reading found before, which stands in sight while the files are read again.
    pub read_before: Option<Rc<ReadAnswer>>,
    /// What the fit found.
    pub fit: Stage<FitAnswer>,
    /// The files that the fit is of.
    pub fit_revision: u64,
    /// The fit before it, to see what moved.
    pub before: Option<Rc<FitAnswer>>,
    /// The trial that was kept out or taken in last: what moved by it is told under its row.
    pub turned: Option<String>,
    /// Which trial the head of the list hangs on.
    pub influence: Stage<InfluenceAnswer>,
    /// The track record.
    pub track: Stage<TrackAnswer>,
    /// Last year's changes.
    pub changes: Stage<ChangesAnswer>,
    /// The printed reports.
    pub report: Stage<ReportAnswer>,
    /// Saving.
    pub saving: Saving,
    /// What is saved next, in the order in which it was asked for.
    pub to_save: Vec<Product>,
    /// Whether it is kept on this device.
    pub kept: Kept,
    /// The system whose list is shown.
    pub system: Option<String>,
    /// A rule's field whose text is no rule, with that text.
    pub rule_fault: Option<(String, String)>,
    /// System and variety of her last word, so that the list can say where it went.
    pub worded: Option<(String, String)>,
    /// The job that should run, with a ticket that tells its answers from older ones.
    pub job: Option<(Step, u64)>,
    /// Whether the lists are older than her words and rules, because another job took their place.
    pub lists_due: bool,
    /// What was asked for while files were read: it runs once nothing else does.
    pub waiting: Option<Step>,
    /// The last ticket given out.
    pub ticket: u64,
}

impl Office {
    /// Whether there is anything to work on.
    pub fn is_empty(&self) -> bool {
        self.draft.files.is_empty()
    }

    /// What reading found: of the files as they are, or as they were while they are read again.
    pub fn shown_read(&self) -> Option<&ReadAnswer> {
        let before = self.read_before.as_deref().filter(|_| self.read.is_running());
        self.read.done().or(before)
    }

    /// The fit in sight: the last, or the one before it while it is made again.
    pub fn shown_fit(&self) -> Option<&FitAnswer> {
        self.fit.done().or(self.before.as_deref().filter(|_| self.fit.is_running()))
    }

    /// Whether the files have changed since they were fitted.
    pub fn stale(&self) -> bool {
        self.fit_revision != self.revision
    }

    /// The fit in force, if it is of these files.
    pub fn fresh_fit(&self) -> Option<&FitAnswer> {
        self.fit.done().filter(|_| !self.stale())
    }

    /// The request of a job.
    pub fn work(&self, step: Step) -> Work {
        let needs_last = step == Step::Changes;
        Work {
            office: step,
            files: self.draft.files.clone(),
            answers: self.draft.answers.clone(),
            fitted: self.fit.done().map(|fit| fit.fitted.clone()),
            rules: self.draft.rules.clone(),
            last: self.draft.last.as_ref().filter(|_| needs_last).map(|last| last.json.clone()),
        }
    }

    /// The system whose list is shown: the one chosen, else the first.
    pub fn shown_system(&self) -> Option<&str> {
        let fit = self.shown_fit()?;
        let chosen = self.system.as_deref().filter(|system| fit.lists.contains_key(*system));
        chosen.or_else(|| fit.lists.keys().next().map(String::as_str))
    }
}
