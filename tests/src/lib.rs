//! Helpers shared by the checks against the outside: folders to networks, numbers to verdicts.

pub mod calibration;
pub mod hostile;
pub mod reference;

use leanyear_engine::order::Map;
use leanyear_engine::pack::{Network, columns, read};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

/// The root of the workspace.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The network of a folder on disk, or every problem in words.
///
/// # Errors
/// The problems, one a line.
pub fn network(folder: &Path) -> Result<Network, String> {
    let files: Map<String, Vec<u8>> = columns::file_names()
        .filter_map(|name| Some((name.to_owned(), std::fs::read(folder.join(name)).ok()?)))
        .collect();
    network_of(&files)
}

/// The network of files by name, or every problem in words.
///
/// # Errors
/// The problems, one a line.
pub fn network_of(files: &Map<String, Vec<u8>>) -> Result<Network, String> {
    let reading = read(files);
    let problems: Vec<String> = reading.errors.iter().map(ToString::to_string).collect();
    reading.network.ok_or_else(|| problems.join("\n"))
}

/// Whether two numbers agree, with the difference in words where they do not. `scale` is what the
/// tolerance is a share of.
///
/// # Errors
/// The numbers and how far they are apart.
pub fn agree(what: &str, got: f64, want: f64, tolerance: f64, scale: f64) -> Result<(), String> {
    let distance = (got - want).abs();
    if distance <= tolerance * scale.abs() {
        Ok(())
    } else {
        Err(format!(
            "{what}: {got} for {want}, {distance:e} apart where {:e} is allowed",
            tolerance * scale.abs()
        ))
    }
}

/// A folder for one use by one process, gone when dropped.
#[derive(Debug)]
pub struct Scratch(PathBuf);

impl Scratch {
    /// An empty folder whose name holds `name`.
    ///
    /// # Errors
    /// Where the system's folder for temporary files cannot be written.
    pub fn new(name: &str) -> std::io::Result<Scratch> {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = std::env::temp_dir().join(format!("leanyear-{name}-{}-{count}", std::process::id()));
        std::fs::create_dir_all(&path)?;
        Ok(Scratch(path))
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        // What is left behind is only rubbish.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
