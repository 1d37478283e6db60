//! What is saved: the page made of this page's own parts, its hosted copy, the pack, the folder.
//!
//! Nothing is read off the live document: the parts are the texts that the page was made of, put together by the
//! engine as the command line puts them together.

use super::job::Content;
use super::state::Product;
use crate::platform::OwnParts;
use crate::text::Catalogue;
use leanyear_engine::order::Map;
use leanyear_engine::pack::{columns, write};
use leanyear_engine::page::{HostedFile, PageError, Parts, SiteParts, assemble, hosted_site, zip};

/// A file to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// Name.
    pub name: &'static str,
    /// What kind of file it is.
    pub kind: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

const ZIP: &str = "application/zip";

/// Why nothing could be saved.
#[derive(Debug, thiserror::Error)]
pub enum ProductError {
    /// The answer of the job.
    #[error("{0}")]
    Answer(String),
    /// The page's parts.
    #[error(transparent)]
    Page(#[from] PageError),
}

/// A product from the answer of its job.
///
/// # Errors
/// [`ProductError`] where the job failed or the page's own parts make no page.
pub fn product(product: Product, answer: &str, parts: &OwnParts) -> Result<File, ProductError> {
    let unreadable = |error: serde_json::Error| {
        let fault: Result<Map<String, String>, _> = leanyear_engine::json::read(answer);
        let said = fault.ok().and_then(|mut fault| fault.remove("error"));
        ProductError::Answer(said.unwrap_or_else(|| error.to_string()))
    };
    if product == Product::Folder {
        let files: Map<String, String> = leanyear_engine::json::read(answer).map_err(unreadable)?;
        if let Some(error) = files.get("error") {
            return Err(ProductError::Answer(error.clone()));
        }
        return Ok(File { name: "network.zip", kind: ZIP, bytes: zip(&hosted(files)) });
    }
    let content: Content = leanyear_engine::json::read(answer).map_err(unreadable)?;
    if product == Product::Pack {
        let bytes = content.pack_json.into_bytes();
        return Ok(File { name: "network.pack.json", kind: "application/json", bytes });
    }
    let site = SiteParts::from_json(&parts.site)?;
    let shell = assemble(&Parts {
        template: &site.template,
        style: &parts.style,
        script: &parts.script,
        wasm_base64: &parts.wasm,
        site: &parts.site,
    })?;
    let page = shell.fill(&content.title, &content.static_table, &content.pack_json);
    if product == Product::Page {
        return Ok(File { name: "leanyear.html", kind: "text/html", bytes: page.into_bytes() });
    }
    let files = hosted_site(&page, &content.title, &site)?;
    Ok(File { name: "site.zip", kind: ZIP, bytes: zip(&files) })
}

/// The blank files that a network starts from, with what each column is for.
pub fn templates(words: Catalogue) -> File {
    let mut files: Map<String, String> =
        write::templates().into_iter().map(|(name, text)| (name.to_owned(), text)).collect();
    let mut about = String::new();
    for table in &columns::TABLES {
        about += &format!("{}: {}\r\n", table.file, words.file_about(table.file));
        for column in table.columns {
            about += &format!("  {}: {}\r\n", column.name, words.column_about(table.file, column.name));
        }
        about += "\r\n";
    }
    files.insert("READ-ME.txt".into(), format!("\u{feff}{about}"));
    File { name: "blank-network.zip", kind: ZIP, bytes: zip(&hosted(files)) }
}

fn hosted(files: Map<String, String>) -> Vec<HostedFile> {
    files.into_iter().map(|(path, text)| HostedFile { path, bytes: text.into_bytes() }).collect()
}
