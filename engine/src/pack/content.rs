//! What kind of bytes a file is, before anything is read of it: text that a reader can use, or something else
//! under a table's name.
//!
//! Knows a few signatures and the ways in which spreadsheets write letters; nothing of tables.

use super::csv_text::MOST_FILE_BYTES;
use super::problem::ProblemKind;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// What a file is that is no text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Error)]
#[serde(rename_all = "kebab-case")]
pub enum Foreign {
    /// A zip archive, and with it every newer spreadsheet file.
    #[error("a zip archive or a spreadsheet file")]
    Zip,
    /// An older spreadsheet file.
    #[error("an older spreadsheet file")]
    OldSpreadsheet,
    /// A portable document.
    #[error("a PDF document")]
    Pdf,
    /// A picture.
    #[error("a picture")]
    Picture,
    /// A page of the web.
    #[error("a web page")]
    WebPage,
    /// Anything else.
    #[error("no text")]
    Binary,
}

const SIGNATURES: [(&[u8], Foreign); 7] = [
    (b"PK\x03\x04", Foreign::Zip),
    (b"PK\x05\x06", Foreign::Zip),
    (b"\xD0\xCF\x11\xE0", Foreign::OldSpreadsheet),
    (b"%PDF", Foreign::Pdf),
    (b"\x89PNG", Foreign::Picture),
    (b"\xFF\xD8\xFF", Foreign::Picture),
    (b"<!doctype html", Foreign::WebPage),
];

/// How many bytes are looked at for what no text has.
const LOOKED_AT: usize = 64 << 10;

/// What the bytes are, if they are no text.
pub(super) fn foreign(bytes: &[u8]) -> Option<Foreign> {
    let start: Vec<u8> = bytes.iter().take(16).map(u8::to_ascii_lowercase).collect();
    let signed = SIGNATURES.iter().find(|(signature, _)| start.starts_with(&signature.to_ascii_lowercase()));
    if let Some((_, foreign)) = signed {
        return Some(*foreign);
    }
    if utf16(bytes).is_some() {
        return None;
    }
    let control = |byte: &&u8| **byte < 0x20 && !matches!(**byte, b'\t' | b'\n' | b'\r' | 0x0B | 0x0C | 0x1A);
    bytes.iter().take(LOOKED_AT).find(control).map(|_| Foreign::Binary)
}

/// How a file writes letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Letters {
    /// UTF-8, as the contract has it.
    Utf8,
    /// UTF-16, as spreadsheets write "Unicode text".
    Utf16,
    /// The western letters of older Windows programs.
    Windows1252,
}

/// The text of a dropped file, whichever letters it is written in.
///
/// # Errors
/// A file that is too large, is no text, or is UTF-16 cut in half.
pub fn text_of(bytes: &[u8]) -> Result<(String, Letters), ProblemKind> {
    if bytes.len() > MOST_FILE_BYTES {
        return Err(ProblemKind::FileTooLarge { bytes: bytes.len(), limit: MOST_FILE_BYTES });
    }
    if let Some(is) = foreign(bytes) {
        return Err(ProblemKind::NotText { is });
    }
    if let Some(read) = utf16(bytes) {
        let units: Vec<u16> = bytes[2..].chunks_exact(2).map(|pair| read([pair[0], pair[1]])).collect();
        let text = String::from_utf16(&units).map_err(|_| ProblemKind::NotUtf8)?;
        return Ok((text, Letters::Utf16));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok((text.to_owned(), Letters::Utf8)),
        Err(_) => Ok((bytes.iter().map(|byte| windows_1252(*byte)).collect(), Letters::Windows1252)),
    }
}

type Unit = fn([u8; 2]) -> u16;

fn utf16(bytes: &[u8]) -> Option<Unit> {
    match bytes {
        [0xFF, 0xFE, ..] => Some(u16::from_le_bytes),
        [0xFE, 0xFF, ..] => Some(u16::from_be_bytes),
        _ => None,
    }
}

/// Windows code page 1252: Latin-1 except for 0x80–0x9F. Source: the table at unicode.org,
/// VENDORS/MICSFT/WINDOWS/CP1252.TXT; its five holes become the replacement character.
fn windows_1252(byte: u8) -> char {
    const UPPER: [char; 32] = [
        '€', '\u{fffd}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{fffd}', 'Ž', '\u{fffd}',
        '\u{fffd}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{fffd}', 'ž', 'Ÿ',
    ];
    match byte {
        0x80..=0x9F => UPPER[usize::from(byte - 0x80)],
        _ => char::from(byte),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_is_no_text_is_named() {
        for (bytes, is) in [
            (&b"PK\x03\x04\x14\0"[..], Foreign::Zip),
            (b"\xD0\xCF\x11\xE0\xA1\xB1", Foreign::OldSpreadsheet),
            (b"%PDF-1.7", Foreign::Pdf),
            (b"\x89PNG\r\n", Foreign::Picture),
            (b"<!DOCTYPE html><html>", Foreign::WebPage),
            (b"trial,variety\n\0\0\x01\x02", Foreign::Binary),
        ] {
            assert_eq!(text_of(bytes), Err(ProblemKind::NotText { is }));
        }
    }

    #[test]
    fn letters_of_three_kinds_are_read() {
        assert_eq!(text_of("piña".as_bytes()).unwrap(), ("piña".to_owned(), Letters::Utf8));
        assert_eq!(text_of(b"pi\xF1a \x80\x96").unwrap(), ("piña €–".to_owned(), Letters::Windows1252));
        let mut wide = vec![0xFF, 0xFE];
        wide.extend("piña".encode_utf16().flat_map(u16::to_le_bytes));
        assert_eq!(text_of(&wide).unwrap(), ("piña".to_owned(), Letters::Utf16));
    }

    proptest! {
        #[test]
        fn any_bytes_are_judged(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let _ = text_of(&bytes);
        }
    }
}
