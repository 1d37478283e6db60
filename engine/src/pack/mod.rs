//! A network as it is kept: the tables of its folder, typed, and the document that carries them.
//!
//! [`Network`] is what the CSV files and `network.json` say, checked against each other and nothing
//! more; [`Pack`] adds what was fitted from it. Neither holds a number that could be worked out again.

mod alike;
mod cells;
pub mod columns;
mod content;
mod cross;
mod csv_text;
mod dialect;
pub mod document;
pub mod edit;
mod figures;
mod fingerprint;
mod from_plots;
pub mod groups;
mod info;
pub mod join;
mod notes;
mod outlying_values;
mod pooled;
mod problem;
mod problem_kind;
mod problems;
mod quoting;
mod read;
mod rows;
#[cfg(test)]
mod schema_tests;
mod seal;
pub mod tables;
mod terms;
#[cfg(test)]
pub(crate) mod test_folder;
mod units;
mod unlike;
pub mod write;

pub use cells::{FIRST_YEAR, LAST_YEAR};
pub use content::{Foreign, Letters, text_of};
pub use csv_text::MOST_FILE_BYTES;
pub use dialect::{NumberMarks, Question, Separator, TwoReadings};
pub use fingerprint::fingerprint;
pub use from_plots::PlotErrors;
pub use notes::{Answers, FileNote, LineEnds};
pub use outlying_values::OutlyingValues;
pub use problem::{Problem, ProblemKind};
pub use read::{Reading, TableRows, read, read_with};
pub use rows::ONE_SYSTEM;
pub use terms::{Ability, Code, ErrorSource, JsonType};
pub use units::{WATER_UNITS, YIELD_UNITS};

pub use document::{Pack, PackError};
pub use tables::{
    Defaults, ErrorReport, Exclusion, Mean, Network, NetworkInfo, Plot, Pressure, Rating, ShortlistEntry,
    Site, Trait, TraitKind, Trial, Variety, WaterRecord, WaterUnit, YieldUnit,
};
