//! Files as one zip archive, uncompressed: for a hosted copy or a network's folder that is handed over as one
//! file.
//!
//! The layout is that of PKWARE's APPNOTE 6.3.10, sections 4.3.7 (local headers), 4.3.12 (central directory) and
//! 4.3.16 (its end); method 0, stored. Times are fixed, so that the same files give the same bytes. Text and
//! icons that are compressed already gain little, and the page none, so nothing is compressed here.

use super::HostedFile;

/// 1 January 1980, the first day that the format knows, at midnight.
const DATE: u16 = (1 << 5) | 1;
/// Names are UTF-8 (bit 11).
const FLAGS: u16 = 1 << 11;
/// The version that reading it takes: 1.0.
const VERSION: u16 = 10;

/// The archive of some files, in their order.
///
/// Paths use `/`. At most 65,535 files and 4 GiB in all, which is far beyond any page.
pub fn zip(files: &[HostedFile]) -> Vec<u8> {
    let mut archive = Vec::new();
    let mut directory = Vec::new();
    for file in files {
        let offset = archive.len() as u32;
        let shared = shared_header(file);
        archive.extend(0x0403_4b50_u32.to_le_bytes());
        archive.extend(&shared);
        archive.extend(file.path.as_bytes());
        archive.extend(&file.bytes);
        directory.extend(0x0201_4b50_u32.to_le_bytes());
        directory.extend(VERSION.to_le_bytes());
        directory.extend(&shared);
        // Comment length, disk, internal attributes: none. External attributes: none.
        directory.extend([0; 10]);
        directory.extend(offset.to_le_bytes());
        directory.extend(file.path.as_bytes());
    }
    let start = archive.len() as u32;
    archive.extend(&directory);
    archive.extend(0x0605_4b50_u32.to_le_bytes());
    archive.extend([0; 4]);
    for _ in 0..2 {
        archive.extend((files.len() as u16).to_le_bytes());
    }
    archive.extend((directory.len() as u32).to_le_bytes());
    archive.extend(start.to_le_bytes());
    archive.extend([0; 2]);
    archive
}

/// What the local and the central header share: version needed to extra length.
fn shared_header(file: &HostedFile) -> Vec<u8> {
    let size = file.bytes.len() as u32;
    let mut header = Vec::with_capacity(26);
    for word in [VERSION, FLAGS, 0, 0, DATE] {
        header.extend(word.to_le_bytes());
    }
    header.extend(crc32(&file.bytes).to_le_bytes());
    header.extend(size.to_le_bytes());
    header.extend(size.to_le_bytes());
    header.extend((file.path.len() as u16).to_le_bytes());
    header.extend(0_u16.to_le_bytes());
    header
}

/// The cyclic redundancy check of ISO 3309, reflected polynomial 0xEDB88320.
fn crc32(bytes: &[u8]) -> u32 {
    let mut table = [0_u32; 256];
    for (entry, start) in table.iter_mut().zip(0_u32..) {
        *entry = (0..8)
            .fold(start, |value, _| if value & 1 == 1 { 0xEDB8_8320 ^ (value >> 1) } else { value >> 1 });
    }
    let mut crc = !0_u32;
    for byte in bytes {
        crc = table[((crc ^ u32::from(*byte)) & 0xFF) as usize] ^ (crc >> 8);
    }
    !crc
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// Source: the check value of CRC-32/ISO-HDLC in the catalogue of parametrised CRC algorithms.
    #[test]
    fn check_value_of_the_crc() {
        assert_eq!(crc32(b"123456789"), 0xCBF4_3926);
        assert_eq!(crc32(b""), 0);
    }

    #[test]
    fn every_offset_and_size_leads_to_its_file() {
        let file = |path: &str, bytes: &[u8]| HostedFile { path: path.to_owned(), bytes: bytes.to_vec() };
        let files = [file("index.html", b"page"), file("icons/\u{e9}.png", b"\x89PNG"), file("empty", b"")];
        let archive = zip(&files);
        let u32_at = |at: usize| u32::from_le_bytes(archive[at..at + 4].try_into().unwrap()) as usize;
        let u16_at = |at: usize| u16::from_le_bytes(archive[at..at + 2].try_into().unwrap()) as usize;
        let end = archive.len() - 22;
        assert_eq!((u32_at(end), u16_at(end + 10)), (0x0605_4b50, 3));
        let mut at = u32_at(end + 16);
        assert_eq!(at + u32_at(end + 12), end);
        for file in &files {
            assert_eq!(u32_at(at), 0x0201_4b50);
            let (size, name, local) = (u32_at(at + 24), u16_at(at + 28), u32_at(at + 42));
            assert_eq!(&archive[at + 46..at + 46 + name], file.path.as_bytes());
            assert_eq!((u32_at(local), u32_at(local + 14)), (0x0403_4b50, crc32(&file.bytes) as usize));
            let content = local + 30 + name;
            assert_eq!(&archive[content..content + size], &file.bytes[..]);
            at += 46 + name;
        }
    }
}
