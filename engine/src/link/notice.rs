//! What a link held that could not be taken over.
//!
//! The command line prints these in English through `Display`; the page words them from its own catalogue.

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// One thing in a link that was left aside, with its key and its text.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Error)]
#[serde(tag = "notice", rename_all = "kebab-case")]
pub enum LinkNotice {
    /// The link was made on other data.
    #[error("the link was made on data {link}, these are {here}; its figures may come out otherwise")]
    OtherPack {
        /// Fingerprint in the link.
        link: String,
        /// Fingerprint here.
        here: String,
    },
    /// The link's syntax is not known here; nothing of it is read, because its keys may mean something else.
    #[error("the link is of version `{found}`, which is not known here; nothing of it is used")]
    VersionUnknown {
        /// The version it states.
        found: String,
    },
    /// The link is longer than is read.
    #[error("the link is longer than {limit} bytes; what comes after is not used")]
    TooLong {
        /// The most that is read.
        limit: usize,
    },
    /// The link has more keys than are read.
    #[error("the link has more than {limit} keys; the others are not used")]
    TooManyKeys {
        /// The most that are read.
        limit: usize,
    },
    /// A key is there again.
    #[error("`{key}` is there twice; the first is used")]
    KeyTwice {
        /// The key.
        key: String,
    },
    /// A key that no link has, and no disease.
    #[error("`{key}` is not known; it is not used")]
    KeyUnknown {
        /// The key.
        key: String,
    },
    /// A percent sign without two digits, or bytes that are not UTF-8.
    #[error("`{key}` cannot be read; it is not used")]
    Unreadable {
        /// The key, as it stands.
        key: String,
    },
    /// A value must be given.
    #[error("`{key}` has no value; it is not used")]
    ValueMissing {
        /// The key.
        key: String,
    },
    /// Not a number.
    #[error("`{key}`: `{text}` is not a number; it is not used")]
    NotANumber {
        /// The key.
        key: String,
        /// Its text.
        text: String,
    },
    /// Not a finite number.
    #[error("`{key}`: `{text}` is not a finite number; it is not used")]
    NotFinite {
        /// The key.
        key: String,
        /// Its text.
        text: String,
    },
    /// Not a whole number.
    #[error("`{key}`: {text} is not a whole number; it is not used")]
    NotWhole {
        /// The key.
        key: String,
        /// Its text.
        text: String,
    },
    /// A number outside its range.
    #[error("`{key}`: {text} is not from {low} to {high}; it is not used")]
    OutOfRange {
        /// The key.
        key: String,
        /// Its text.
        text: String,
        /// Least, included.
        low: f64,
        /// Most, included.
        high: f64,
    },
    /// A word that the key does not have.
    #[error("`{key}`: `{text}` is not one of its words; it is not used")]
    WordUnknown {
        /// The key.
        key: String,
        /// Its text.
        text: String,
    },
    /// A code that is not in this network.
    #[error("`{key}`: `{text}` is not in these data; it is not used")]
    CodeUnknown {
        /// The key.
        key: String,
        /// The code.
        text: String,
    },
    /// A code is there twice in a list.
    #[error("`{key}`: `{text}` is there twice; the first is used")]
    CodeTwice {
        /// The key.
        key: String,
        /// The code.
        text: String,
    },
    /// A list longer than is kept.
    #[error("`{key}` holds more than {limit}; the others are not used")]
    ListTooLong {
        /// The key.
        key: String,
        /// The most that are kept.
        limit: usize,
    },
    /// The outlook is like a season whose water nobody knows there.
    #[error(
        "`water`: no water of {year} is on record for this system and place; years are taken as they come"
    )]
    YearUnknown {
        /// The season.
        year: i32,
    },
    /// Settings that a device kept, and that cannot be read as they were written.
    #[error("what was kept of the settings cannot be read in full; the usual settings stand in its place")]
    KeptDamaged,
    /// An outlook, and no water is known at all.
    #[error("`water`: no water is on record for this system and place; years are taken as they come")]
    WaterUnknown,
}
