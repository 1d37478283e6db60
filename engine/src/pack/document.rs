//! The pack: a network's data and what was fitted from them, as one JSON document.
//!
//! It carries data, terms, variances and their information, never effects: whoever opens it solves once.
//! A document from a newer version is refused; an older one would be migrated here.

use super::Network;
use super::fingerprint::fingerprint;
use crate::forecast::model::{Fitted, ForecastModel, ModelError};
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Version of the document that this code writes.
pub const VERSION: u32 = 1;

/// A network with its fitted parameters.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Pack {
    /// Version of the document.
    pub version: u32,
    /// Eight hex digits of the data; settings and links are kept by it.
    pub fingerprint: String,
    /// The data.
    pub network: Network,
    /// What was fitted from them.
    pub fitted: Fitted,
}

/// Why a document is no pack.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PackError {
    /// Not JSON, or not of this shape.
    #[error("these data cannot be read (line {line}, column {column}); the file may be cut off or damaged")]
    Unreadable {
        /// Line of the document.
        line: usize,
        /// Column of the document.
        column: usize,
    },
    /// Written by a newer release.
    #[error(
        "these data were made by a newer release (version {found}; this page reads up to {VERSION}); open a newer page"
    )]
    Newer {
        /// Version of the document.
        found: u64,
    },
    /// A version that never was.
    #[error("these data name no version that this page knows; make the page again from its folder")]
    UnknownVersion,
}

impl Pack {
    /// Fits a network and packs it.
    ///
    /// # Errors
    /// A network that cannot be fitted.
    pub fn new(network: Network) -> Result<Pack, ModelError> {
        let fitted = ForecastModel::fit(&network)?.fitted;
        Ok(Pack { version: VERSION, fingerprint: fingerprint(&network), network, fitted })
    }

    /// Reads a document.
    ///
    /// # Errors
    /// See [`PackError`].
    pub fn from_json(text: &str) -> Result<Pack, PackError> {
        let unreadable =
            |error: serde_json::Error| PackError::Unreadable { line: error.line(), column: error.column() };
        #[derive(Deserialize)]
        struct Versioned {
            version: u64,
        }
        let versioned: Versioned = serde_json::from_str(text).map_err(unreadable)?;
        match versioned.version {
            0 => Err(PackError::UnknownVersion),
            found if found > u64::from(VERSION) => Err(PackError::Newer { found }),
            _ => serde_json::from_str(text).map_err(unreadable),
        }
    }

    /// Writes the document.
    ///
    /// # Errors
    /// A number that JSON cannot hold.
    pub fn to_json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string(self)
    }
}
