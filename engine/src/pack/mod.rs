//! A network as it is kept: the tables of its folder, typed, and the document that carries them.
//!
//! [`Network`] is what the CSV files and `network.json` say, checked against each other and nothing
//! more; [`Pack`] adds what was fitted from it. Neither holds a number that could be worked out again.

mod cells;
pub mod columns;
mod cross;
mod csv_text;
pub mod document;
mod fingerprint;
mod from_plots;
mod info;
pub mod problem;
mod read;
mod rows;
pub mod tables;
mod units;

pub use csv_text::MOST_FILE_BYTES;
pub use fingerprint::fingerprint;
pub use problem::{Ability, Code, ErrorSource, JsonType, Problem, ProblemKind};
pub use read::{Reading, TableRows, read};
pub use units::{WATER_UNITS, YIELD_UNITS};

pub use document::{Pack, PackError};
pub use tables::{
    Defaults, ErrorReport, Exclusion, Mean, Network, NetworkInfo, Plot, Pressure, Rating, ShortlistEntry,
    Site, Trait, TraitKind, Trial, Variety, WaterRecord, WaterUnit, YieldUnit,
};
