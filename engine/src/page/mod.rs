//! The page's bytes: a fixed text with three slots, and the files of its hosted copy.
//!
//! A page is made once by [`assemble`] from its parts (template, style sheet, one script, the wasm, the
//! site text) and afterwards only ever refilled: [`Shell::parse`] finds the three slots (title, static
//! table, pack) and [`Shell::fill`] writes them, so that a saved page, a page saved from a saved page
//! and a page made on the command line are the same bytes. Everything here is text in, text out; it
//! knows no browser and no file, and its sentences arrive as [`StaticWords`].

mod assemble;
mod content;
mod escape;
mod made_of;
mod shell;
mod site;
mod static_table;
mod words;
mod zip;

#[cfg(test)]
mod tests;

pub use assemble::{Parts, assemble};
pub use content::{PageContent, page_content, settings_for};
pub use made_of::{Borrowed, MadeOf};
pub use shell::Shell;
pub use site::{HostedFile, SiteParts, hosted_site};
pub use static_table::{StaticSystem, static_table};
pub use words::{ShellWords, StaticWords};
pub use zip::zip;

use crate::decide::AdvisorError;

/// Why a page cannot be made or read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PageError {
    /// A text that is not one of our pages or templates.
    #[error(
        "the page has no {slot} where one belongs (looked for `{marker}`); use a page that Leanyear wrote"
    )]
    MissingSlot {
        /// Which slot.
        slot: &'static str,
        /// The text that opens or closes it.
        marker: &'static str,
    },
    /// A template without one of its placeholders, or with them in another order.
    #[error("the template lacks `{placeholder}`, or has it before an earlier placeholder; put it back")]
    MissingPlaceholder {
        /// The placeholder.
        placeholder: &'static str,
    },
    /// A part that would end its own element early.
    #[error("the {part} contains `{text}`, which would end its element early; write it differently")]
    EndsItsElement {
        /// Which part.
        part: &'static str,
        /// The text found.
        text: &'static str,
    },
    /// The site text cannot be read.
    #[error("the page's own site text cannot be read ({reason}); use a page that Leanyear wrote")]
    Site {
        /// What the reader of JSON says.
        reason: String,
    },
    /// The network cannot answer what the static table asks.
    #[error("the plain table cannot be made: {0}")]
    Answer(#[from] AdvisorError),
    /// The pack cannot be written.
    #[error("the network cannot be written into the page: {reason}")]
    Pack {
        /// What the writer of JSON says.
        reason: String,
    },
    /// An icon that is not base64.
    #[error("the icon `{path}` inside the page cannot be decoded; use a page that Leanyear wrote")]
    Icon {
        /// Path of the icon in the hosted copy.
        path: String,
    },
}
