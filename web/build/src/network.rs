//! From a network's folder to its answers; the one place of the build that knows of data.

use crate::error::BuildError;
use leanyear_engine::decide::Advisor;
use leanyear_engine::order::Map;
use leanyear_engine::pack::{self, Pack, columns};
use std::io::ErrorKind;
use std::path::Path;

/// Reads and fits the network in `folder`. Its errors and warnings go to standard error, one a line.
///
/// # Errors
/// [`BuildError::Read`], [`BuildError::Network`] for a folder with errors, [`BuildError::Model`] and
/// [`BuildError::Advisor`] for one that cannot be fitted.
pub fn advisor(folder: &Path) -> Result<Advisor, BuildError> {
    let reading = pack::read(&files(folder)?);
    for problem in reading.errors.iter().chain(&reading.warnings) {
        eprintln!("{problem}");
    }
    let errors = reading.errors.len();
    let network =
        reading.network.ok_or_else(|| BuildError::Network { folder: folder.to_path_buf(), errors })?;
    Ok(Advisor::new(Pack::new(network)?)?)
}

fn files(folder: &Path) -> Result<Map<String, Vec<u8>>, BuildError> {
    let failed = |path: &Path, source| BuildError::Read { path: path.to_path_buf(), source };
    std::fs::read_dir(folder).map_err(|source| failed(folder, source))?;
    let mut files = Map::new();
    for name in columns::file_names() {
        let path = folder.join(name);
        match std::fs::read(&path) {
            Ok(bytes) => {
                files.insert(name.to_owned(), bytes);
            }
            Err(error) if error.kind() == ErrorKind::NotFound => {}
            Err(source) => return Err(failed(&path, source)),
        }
    }
    Ok(files)
}
