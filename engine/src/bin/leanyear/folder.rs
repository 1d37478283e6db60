//! Reads a network folder from disk: the files that a network has, and nothing else that lies there.

use leanyear_engine::pack::{self, Reading, columns};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Why a folder could not be read at all.
#[derive(Debug, Error)]
pub enum FolderError {
    /// It is not there, not a folder, or not ours to read.
    #[error("{}: cannot read the folder ({source}); give a folder that holds trials.csv", .folder.display())]
    Folder {
        /// The folder.
        folder: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A file of it could not be read.
    #[error("{}: cannot read the file ({source}); check that it may be read", .file.display())]
    File {
        /// The file.
        file: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl FolderError {
    /// The folder or file that could not be read.
    pub fn path(&self) -> &Path {
        match self {
            FolderError::Folder { folder, .. } => folder,
            FolderError::File { file, .. } => file,
        }
    }
}

/// The bytes of a folder's known files by file name. Of a file larger than the reader accepts only so much is
/// loaded that the reader sees it is too large.
///
/// # Errors
/// [`FolderError`] if the folder or one of the files cannot be read; an absent file is none.
pub fn read_files(folder: &Path) -> Result<BTreeMap<String, Vec<u8>>, FolderError> {
    fs::read_dir(folder).map_err(|source| FolderError::Folder { folder: folder.to_owned(), source })?;
    let mut files = BTreeMap::new();
    for name in columns::file_names() {
        let path = folder.join(name);
        let mut bytes = Vec::new();
        let limit = pack::MOST_FILE_BYTES as u64 + 1;
        match File::open(&path).and_then(|file| file.take(limit).read_to_end(&mut bytes)) {
            Ok(_) => {
                files.insert(name.to_owned(), bytes);
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            Err(source) => return Err(FolderError::File { file: path, source }),
        }
    }
    Ok(files)
}

/// Reads and checks a network folder.
///
/// # Errors
/// As [`read_files`]; what is wrong inside the files is in the [`Reading`].
pub fn read_folder(folder: &Path) -> Result<Reading, FolderError> {
    Ok(pack::read(&read_files(folder)?))
}
