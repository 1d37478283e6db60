//! The hosted copy: what a page carries in its site text, and the files made from it.
//!
//! A service worker has to be a file of its own, so a page that is to be put on a web server comes as a
//! folder. The page carries what that folder needs and can make it again from itself.

use super::{MadeOf, PageError, StaticWords, escape};
use crate::order::Map;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sha2::{Digest, Sha256};

const SERVICE_WORKER: &str = "sw.js";
const READ_ME: &str = "READ-ME.txt";

/// The site text of a page, as JSON inside it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SiteParts {
    /// The template that the page was assembled from.
    pub template: String,
    /// [`StaticWords`] by language, as JSON: a page has its own and would carry a reader of them for nothing.
    pub words: Map<String, Value>,
    /// Text files by path: `sw.js` and `manifest.webmanifest` with their placeholders, `READ-ME.txt`.
    pub files: Map<String, String>,
    /// Icons by path, base64 with padding.
    pub icons: Map<String, String>,
    /// Whose programs are inside; nothing is known of that in a page of an earlier release.
    #[serde(default)]
    pub made_of: MadeOf,
}

/// The language of a network that names none that the page has.
const USUAL_LANGUAGE: &str = "en";

impl SiteParts {
    /// The sentences of every language as a site text carries them.
    ///
    /// # Errors
    /// [`PageError::Site`] if they cannot be written as JSON.
    pub fn sentences(words: &Map<String, StaticWords>) -> Result<Map<String, Value>, PageError> {
        let json = |words| serde_json::to_value(words);
        words
            .iter()
            .map(|(lang, words)| Ok((lang.clone(), json(words)?)))
            .collect::<Result<_, serde_json::Error>>()
            .map_err(|error| PageError::Site { reason: error.to_string() })
    }

    /// The sentences for a network whose language has this tag; English where the page does not have it.
    ///
    /// # Errors
    /// [`PageError::Site`] for a page that has no sentences at all, or others than these.
    pub fn words_in(&self, lang: &str) -> Result<StaticWords, PageError> {
        let own = self.words.get(lang.split(['-', '_']).next().unwrap_or_default());
        let words = own
            .or_else(|| self.words.get(USUAL_LANGUAGE))
            .ok_or_else(|| PageError::Site { reason: "it has no sentences".to_owned() })?;
        StaticWords::deserialize(words).map_err(|error| PageError::Site { reason: error.to_string() })
    }

    /// Reads a site text.
    ///
    /// # Errors
    /// [`PageError::Site`] where it is not one.
    pub fn from_json(text: &str) -> Result<Self, PageError> {
        crate::json::read(text).map_err(|error| PageError::Site { reason: error.to_string() })
    }

    /// Writes the site text.
    ///
    /// # Errors
    /// [`PageError::Site`] if it cannot be written as JSON.
    pub fn to_json(&self) -> Result<String, PageError> {
        let text =
            serde_json::to_string(self).map_err(|error| PageError::Site { reason: error.to_string() })?;
        Ok(escape::json(&text))
    }
}

/// One file of the hosted copy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HostedFile {
    /// Path within the folder, with `/`.
    pub path: String,
    /// Content.
    pub bytes: Vec<u8>,
}

/// The files of the hosted copy of `page`, whose title is `title`.
///
/// In the text files `{{version}}` becomes 16 hex digits of the page's SHA-256, `{{seal}}` the hash of the
/// page's script as its policy has it (by which the service worker knows our page from another's),
/// `{{files}}` the JSON list of what else is kept for offline, `{{name}}` the title as JSON text and
/// `{{icon PATH}}` that icon as a `data:` address, since the policy lets a page load no image file.
///
/// # Errors
/// [`PageError::MissingSlot`] for a page without a policy, [`PageError::Icon`] for a broken icon.
pub fn hosted_site(page: &str, title: &str, parts: &SiteParts) -> Result<Vec<HostedFile>, PageError> {
    let mut replacements = vec![
        ("{{version}}".to_owned(), version(page)),
        ("{{seal}}".to_owned(), seal(page)?.to_owned()),
        ("{{files}}".to_owned(), kept_files(parts).to_string()),
    ];
    replacements.extend(
        parts
            .icons
            .iter()
            .map(|(path, icon)| (format!("{{{{icon {path}}}}}"), format!("data:image/png;base64,{icon}"))),
    );
    // Last, so that a title is never searched for placeholders.
    replacements.push(("{{name}}".to_owned(), Value::from(title).to_string()));
    let mut files = vec![HostedFile { path: "index.html".to_owned(), bytes: page.as_bytes().to_vec() }];
    for (path, text) in &parts.files {
        let filled = replacements
            .iter()
            .fold(text.clone(), |text, (placeholder, value)| text.replace(placeholder, value));
        files.push(HostedFile { path: path.clone(), bytes: filled.into_bytes() });
    }
    for (path, base64) in &parts.icons {
        let bytes = STANDARD.decode(base64).map_err(|_| PageError::Icon { path: path.clone() })?;
        files.push(HostedFile { path: path.clone(), bytes });
    }
    Ok(files)
}

fn version(page: &str) -> String {
    Sha256::digest(page.as_bytes()).iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

fn seal(page: &str) -> Result<&str, PageError> {
    const MARKER: &str = "script-src '";
    page.split_once(MARKER)
        .and_then(|(_, rest)| rest.split_once('\''))
        .map(|(hash, _)| hash)
        .ok_or(PageError::MissingSlot { slot: "policy", marker: MARKER })
}

fn kept_files(parts: &SiteParts) -> Value {
    parts
        .files
        .keys()
        .filter(|path| ![SERVICE_WORKER, READ_ME].contains(&path.as_str()))
        .chain(parts.icons.keys())
        .map(String::as_str)
        .collect()
}
