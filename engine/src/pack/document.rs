//! The pack: a network and what was fitted from it, as one JSON document.
use super::Network;
use serde::{Deserialize, Serialize};

/// A network with its fingerprint.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Pack {
    /// Schema version.
    pub version: u32,
    /// Eight hex digits over the data tables.
    pub fingerprint: String,
    /// The tables.
    pub network: Network,
}

/// Why a pack cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum PackError {
    /// Not JSON of this schema.
    #[error("the network inside this page cannot be read: {0}")]
    Json(#[from] serde_json::Error),
}

impl Pack {
    /// Reads a pack.
    pub fn from_json(text: &str) -> Result<Self, PackError> {
        Ok(serde_json::from_str(text)?)
    }
}
