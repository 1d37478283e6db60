//! From a network's folder to what fills the page; the one place that decides what lies in its slots.

use crate::error::BuildError;
use leanyear_engine::page::StaticWords;
use std::path::Path;

/// What fills the page's three slots.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PageContent {
    /// Title, plain text.
    pub title: String,
    /// Static table, HTML.
    pub static_table: String,
    /// Pack, JSON.
    pub pack_json: String,
}

/// Reads and fits the network in `directory` and lays out its static table in `words`.
///
/// # Errors
/// None yet.
pub fn network_to_content(directory: &Path, words: &StaticWords) -> Result<PageContent, BuildError> {
    let title = directory.file_name().map_or_else(|| "Leanyear".into(), |name| name.to_string_lossy());
    Ok(PageContent {
        title: title.into_owned(),
        static_table: format!(
            r#"<main class="static"><p class="static-how">{}</p></main>"#,
            words.working_page
        ),
        pack_json: "{}".to_owned(),
    })
}
