//! A network as it is kept: the tables of its folder, typed, and the document that carries them.
//!
//! [`Network`] is what the CSV files and `network.json` say, checked against each other and nothing
//! more; [`Pack`] adds what was fitted from it. Neither holds a number that could be worked out again.

pub mod document;
pub mod tables;

pub use document::{Pack, PackError};
pub use tables::{
    Defaults, ErrorReport, Exclusion, Mean, NetworkInfo, Network, Plot, Pressure, Rating, ShortlistEntry, Site,
    Trait, TraitKind, Trial, Variety, WaterRecord, WaterUnit, YieldUnit,
};
