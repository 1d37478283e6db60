//! Whose work a page is made of: the programs of others inside it, and the terms on which they gave them.
//!
//! The page carries this because the terms ask for it. Gathered where the page is built; here it is only kept.

use serde::{Deserialize, Serialize};

/// The programs of others in a page.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct MadeOf {
    /// Each program.
    pub parts: Vec<Borrowed>,
    /// The distinct texts of terms, paragraphs set apart by a blank line.
    pub terms: Vec<String>,
}

/// One program.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Borrowed {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// Its licences, as it states them.
    pub licence: String,
    /// Who holds the rights, one a line of its terms.
    pub holders: Vec<String>,
    /// Places of its terms in [`MadeOf::terms`].
    pub terms: Vec<usize>,
}
