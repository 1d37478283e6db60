//! What was dropped or chosen, sorted: tables by name or by their columns, a pack or a page as last year's, the
//! rest with the reason why it is not used.
//!
//! It knows bytes and names; nothing here reads a table's values.

use leanyear_engine::pack::{Letters, Pack, PackError, ProblemKind, columns, edit, text_of};
use leanyear_engine::page::Shell;

/// One file as the browser hands it over.
#[derive(Debug, Clone, PartialEq)]
pub struct Dropped {
    /// Its name, without folders.
    pub name: String,
    /// Its bytes; `None` where it is too large to be read.
    pub bytes: Option<Vec<u8>>,
    /// Its size in bytes.
    pub size: usize,
}

/// What a dropped file is.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// A file of the network: its name there, its text, how its letters are written, and whether its columns and
    /// not its name said so.
    File {
        /// Name in the network.
        file: &'static str,
        /// Text.
        text: String,
        /// How letters are written.
        letters: Letters,
        /// Whether the name was another.
        by_columns: bool,
    },
    /// A whole network: a pack, or a page with one inside; its pack as JSON.
    Pack(String),
    /// A text that could be any table.
    Unknown(String),
    /// Not used, because of this.
    Refused(ProblemKind),
    /// A pack that this page cannot read.
    BadPack(PackError),
}

/// Sorts one file.
pub fn sort(dropped: &Dropped) -> Found {
    let Some(bytes) = &dropped.bytes else {
        let limit = leanyear_engine::pack::MOST_FILE_BYTES;
        return Found::Refused(ProblemKind::FileTooLarge { bytes: dropped.size, limit });
    };
    let name = dropped.name.to_lowercase();
    if name.ends_with(".html") || name.ends_with(".htm") {
        let page = std::str::from_utf8(bytes).ok().and_then(|text| Shell::parse(text).ok());
        return page.map_or_else(|| refused(bytes), |page| pack(page.pack().to_owned()));
    }
    let (text, letters) = match text_of(bytes) {
        Ok(read) => read,
        Err(kind) => return Found::Refused(kind),
    };
    if let Some(file) = columns::file_names().find(|file| *file == name) {
        return Found::File { file, text, letters, by_columns: false };
    }
    if name.ends_with(".json") {
        let value: serde_json::Value = serde_json::from_str(&text).unwrap_or_default();
        if value.get("yield_unit").is_some() {
            return Found::File { file: columns::NETWORK_JSON, text, letters, by_columns: true };
        }
        return pack(text);
    }
    match edit::recognised(&text) {
        Some(file) => Found::File { file, text, letters, by_columns: true },
        None => Found::Unknown(text),
    }
}

fn refused(bytes: &[u8]) -> Found {
    Found::Refused(text_of(bytes).err().unwrap_or(ProblemKind::FileUnknown))
}

fn pack(json: String) -> Found {
    match Pack::from_json(&json) {
        Ok(_) => Found::Pack(json),
        Err(error) => Found::BadPack(error),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;

    fn dropped(name: &str, bytes: &[u8]) -> Dropped {
        Dropped { name: name.into(), bytes: Some(bytes.to_vec()), size: bytes.len() }
    }

    #[test]
    fn files_are_known_by_name_or_by_columns() {
        let found = sort(&dropped("Means.CSV", b"trial;variety;yield\n"));
        assert!(matches!(found, Found::File { file: "means.csv", by_columns: false, .. }), "{found:?}");
        let found = sort(&dropped("2025 plots final.csv", b"trial,rep,variety,yield\n"));
        assert!(matches!(found, Found::File { file: "plots.csv", by_columns: true, .. }), "{found:?}");
        assert!(matches!(sort(&dropped("notes.csv", b"who,what\n")), Found::Unknown(_)));
    }

    #[test]
    fn what_is_no_table_is_refused_with_its_reason() {
        for name in ["means.csv", "workbook.xlsx"] {
            let found = sort(&dropped(name, b"PK\x03\x04...."));
            assert!(matches!(found, Found::Refused(ProblemKind::NotText { .. })), "{found:?}");
        }
        let large = Dropped { name: "means.csv".into(), bytes: None, size: 70 << 20 };
        assert!(matches!(sort(&large), Found::Refused(ProblemKind::FileTooLarge { .. })));
        let newer = sort(&dropped("pack.json", br#"{"version": 99}"#));
        assert_eq!(newer, Found::BadPack(PackError::Newer { found: 99 }));
        assert!(matches!(sort(&dropped("page.html", b"<!doctype html>")), Found::Refused(_)));
    }
}
