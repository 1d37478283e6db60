//! The invented demo network, written from a seeded simulation whose truth never leaves this module.
//!
//! A dry upland of our own making: winter wheat, nine sites, nine seasons, three production systems.
//! [`files`] returns the same bytes each time; [`write`] puts them into a folder. The parts are
//! [`land`] (sites and water), [`cast`] (varieties), [`truth`] (effects), [`threats`] (diseases and pests),
//! [`qualities`] (ratings), [`harvest`] (trials), [`words`] (texts) and [`tables`] (files). Only [`write`]
//! knows of a disk, and nothing here reads a clock.

mod cast;
mod harvest;
mod land;
mod qualities;
mod random;
mod tables;
#[cfg(test)]
mod tests;
mod threats;
mod truth;
mod words;

use std::path::{Path, PathBuf};

/// Why the demo network could not be written.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// The folder cannot be made or a file cannot be written.
    #[error("cannot write {path}: {source}; choose a folder you may write to")]
    Write {
        /// Folder or file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

/// Name and content of every file of the demo network, the same bytes on every call.
pub fn files() -> Vec<(String, String)> {
    let truth = truth::Truth::new();
    let trials = harvest::trials(&truth);
    let ratings = qualities::ratings(&truth);
    [
        ("network.json", words::NETWORK.to_owned()),
        ("trials.csv", tables::trials(&trials)),
        ("means.csv", tables::means(&trials)),
        ("varieties.csv", tables::varieties()),
        ("sites.csv", tables::sites()),
        ("water.csv", tables::water_record()),
        ("traits.csv", tables::traits()),
        ("ratings.csv", tables::ratings(&ratings)),
        ("pressure.csv", tables::pressure(&trials)),
        ("shortlist.csv", tables::shortlist()),
    ]
    .map(|(name, content)| (name.to_owned(), content))
    .to_vec()
}

/// Writes the demo network into `dir`, which is made if it is not there; returns the files written.
///
/// # Errors
/// [`DemoError::Write`] names the folder or file that could not be written.
pub fn write(dir: &Path) -> Result<Vec<PathBuf>, DemoError> {
    std::fs::create_dir_all(dir).map_err(|source| DemoError::Write { path: dir.to_path_buf(), source })?;
    let mut written = Vec::new();
    for (name, content) in files() {
        let path = dir.join(name);
        std::fs::write(&path, content).map_err(|source| DemoError::Write { path: path.clone(), source })?;
        written.push(path);
    }
    Ok(written)
}
