//! Reads a network folder from disk: the files that a network has, and nothing else that lies there.

use leanyear_engine::order::Map;
use leanyear_engine::pack::{self, Letters, Reading, columns};
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
pub fn read_files(folder: &Path) -> Result<Map<String, Vec<u8>>, FolderError> {
    fs::read_dir(folder).map_err(|source| FolderError::Folder { folder: folder.to_owned(), source })?;
    let mut files = Map::new();
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

/// A folder as it was read.
#[derive(Debug)]
pub struct FolderReading {
    /// What its files hold.
    pub reading: Reading,
    /// Files whose letters are not UTF-8, with the words for them.
    pub letters: Map<String, &'static str>,
}

/// Reads and checks a network folder, whichever letters its files are written in.
///
/// # Errors
/// As [`read_files`]; what is wrong inside the files is in the [`Reading`].
pub fn read_folder(folder: &Path) -> Result<FolderReading, FolderError> {
    let mut files = read_files(folder)?;
    let mut letters = Map::new();
    for (name, bytes) in &mut files {
        // What is no text at all is left as it is: the reader names it.
        let Ok((text, written)) = pack::text_of(bytes) else { continue };
        let words = match written {
            Letters::Utf8 => continue,
            Letters::Utf16 => "letters in UTF-16",
            Letters::Windows1252 => "letters of older Windows programs, check names with accents",
        };
        *bytes = text.into_bytes();
        letters.insert(name.clone(), words);
    }
    Ok(FolderReading { reading: pack::read(&files), letters })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn letters_of_other_programs_are_read_and_stated() {
        let folder = std::env::temp_dir().join(format!("leanyear-letters-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let wide = "\u{feff}variety,name\nA,Ñandú\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
        let files: [(&str, Vec<u8>); 5] = [
            ("network.json", b"{\"name\": \"Invented \xF1\", \"yield_unit\": \"t/ha\"}".to_vec()),
            ("trials.csv", b"trial,site,season\nT1,S1,2020\n".to_vec()),
            ("means.csv", b"trial,variety,yield\nT1,A,3\n".to_vec()),
            ("varieties.csv", wide),
            ("sites.csv", b"PK\x03\x04".to_vec()),
        ];
        for (name, bytes) in &files {
            fs::write(folder.join(name), bytes).unwrap();
        }
        let refused = read_folder(&folder).unwrap().reading;
        assert!(refused.errors[0].to_string().starts_with("sites.csv: this is a zip archive"));
        fs::remove_file(folder.join("sites.csv")).unwrap();
        let read = read_folder(&folder).unwrap();
        fs::remove_dir_all(&folder).unwrap();
        let network = read.reading.network.unwrap();
        assert_eq!((network.info.name.as_str(), network.varieties[0].name.as_str()), ("Invented ñ", "Ñandú"));
        assert_eq!(read.letters.keys().collect::<Vec<_>>(), ["network.json", "varieties.csv"]);
        assert_eq!(read.letters["varieties.csv"], "letters in UTF-16");
    }
}
