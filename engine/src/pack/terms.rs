//! The few words that problems are worded with: abilities, kinds of code, statements of error, JSON types.
//!
//! Knows nothing of where they are used.

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// What a folder cannot do without one of its optional files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Error)]
#[serde(rename_all = "kebab-case")]
pub enum Ability {
    /// `varieties.csv`.
    #[error("varieties are shown by their codes, without notes or seed cost")]
    Varieties,
    /// `sites.csv`.
    #[error("sites are shown by their codes, without zones")]
    Sites,
    /// `water.csv`.
    #[error("the seasons of the trials stand in for the climate")]
    Climate,
    /// `traits.csv`.
    #[error("no disease, pest, straw, quality or grazing trait is shown")]
    Traits,
    /// `ratings.csv`.
    #[error("no variety's ratings are known")]
    Ratings,
    /// `pressure.csv`.
    #[error("losses to disease cannot be learnt from the trials")]
    Pressure,
    /// `shortlist.csv`.
    #[error("the agronomist's recommendations are not shown")]
    Shortlist,
}

/// What a code stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, Error)]
#[serde(rename_all = "kebab-case")]
pub enum Code {
    /// A trial.
    #[error("trial")]
    Trial,
    /// A variety.
    #[error("variety")]
    Variety,
    /// A site.
    #[error("site")]
    Site,
    /// A trait.
    #[error("trait")]
    Trait,
    /// A production system.
    #[error("system")]
    System,
}

/// Where a trial's report states its error.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Error)]
#[serde(rename_all = "snake_case")]
pub enum ErrorSource {
    /// Column `error_ms`.
    #[error("error_ms")]
    ErrorMs,
    /// Columns `lsd` and `lsd_level`.
    #[error("lsd")]
    Lsd,
    /// Column `cv`.
    #[error("cv")]
    Cv,
}

/// What a value of `network.json` must be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Error)]
#[serde(rename_all = "kebab-case")]
pub enum JsonType {
    /// An object.
    #[error("an object in {{ }}")]
    Object,
    /// A text.
    #[error("a text in quotes")]
    Text,
    /// A text with something in it.
    #[error("a text in quotes that is not empty")]
    FilledText,
    /// True or false.
    #[error("true or false")]
    Flag,
    /// A number.
    #[error("a number without quotes")]
    Number,
    /// A whole number.
    #[error("a whole number without quotes")]
    Whole,
    /// A list of texts.
    #[error("a list of texts in [ ]")]
    TextList,
}
