//! Writes the page and its hosted copy, and nothing else, under one folder.

use crate::error::BuildError;
use crate::parts::ShellParts;
use leanyear_engine::page::{PageContent, hosted_site};
use std::path::{Path, PathBuf};

/// Where the page was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Built {
    /// The page as one file.
    pub page: PathBuf,
    /// The folder of the hosted copy.
    pub site: PathBuf,
    /// Size of the page, bytes.
    pub page_bytes: usize,
}

/// Fills the page with `content` and writes it under `directory`.
///
/// # Errors
/// [`BuildError::Write`] names the file, [`BuildError::Page`] the part of the hosted copy.
pub fn write(directory: &Path, parts: &ShellParts, content: &PageContent) -> Result<Built, BuildError> {
    let html = parts.shell.fill(&content.title, &content.static_table, &content.pack_json);
    let page = directory.join("leanyear.html");
    let site = directory.join("site");
    write_file(&page, html.as_bytes())?;
    // A file that the site no longer has must not be served on from an earlier build.
    if site.exists() {
        std::fs::remove_dir_all(&site).map_err(|source| BuildError::Write { path: site.clone(), source })?;
    }
    for file in hosted_site(&html, &content.title, &parts.site)? {
        write_file(&site.join(&file.path), &file.bytes)?;
    }
    Ok(Built { page, site, page_bytes: html.len() })
}

fn write_file(path: &Path, bytes: &[u8]) -> Result<(), BuildError> {
    let failed = |source| BuildError::Write { path: path.to_path_buf(), source };
    if let Some(directory) = path.parent() {
        std::fs::create_dir_all(directory).map_err(failed)?;
    }
    std::fs::write(path, bytes).map_err(failed)
}
