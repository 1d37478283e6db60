//! What the invented agronomist wrote: the network's own description, notes on varieties, her shortlist.
//!
//! Plain text that matches the simulated characters; no number of a forecast is quoted in it.

use super::land::System;

/// `network.json`.
pub const NETWORK: &str = r#"{
  "name": "Varrasend upland winter wheat (invented)",
  "crop": "winter wheat",
  "invented": true,
  "yield_unit": "bu/ac",
  "bushel_lb": 60,
  "water_unit": "in",
  "currency": "$",
  "home_url": "",
  "data_date": "2025-07-28",
  "contact": "nobody: this network is invented (trials@varrasend.invalid)",
  "funded_by": "nobody: no such trials were ever sown or paid for",
  "lang": "en",
  "seasons_to_prove": 3,
  "lapse_after": 2,
  "plot_error_share": 0.5,
  "checks": ["V01", "V02", "V03"],
  "defaults": {
    "price": 5.80,
    "cost": 165,
    "system": "dryland",
    "site": "S03"
  },
  "notes": "Invented from a seeded simulation to show the page at work. Places, varieties, yields, ratings and notes describe nothing real. Do not choose seed by them."
}
"#;

/// A note on a variety.
pub struct Note {
    /// Name.
    pub name: &'static str,
    /// In English.
    pub english: &'static str,
    /// In Spanish.
    pub spanish: &'static str,
}

const fn note(name: &'static str, english: &'static str, spanish: &'static str) -> Note {
    Note { name, english, spanish }
}

/// Notes, in the order of the varieties.
pub const NOTES: [Note; 0] = [];

/// A line of the shortlist.
pub struct Word {
    /// System.
    pub system: System,
    /// Name of the variety.
    pub name: &'static str,
    /// `in`, `out` or `follow`.
    pub stance: &'static str,
    /// Note.
    pub note: &'static str,
    /// Date.
    pub date: &'static str,
}

const fn word(
    system: System,
    name: &'static str,
    stance: &'static str,
    note: &'static str,
    date: &'static str,
) -> Word {
    Word { system, name, stance, note, date }
}

/// The shortlist, by system.
pub const SHORTLIST: [Word; 0] = [];
