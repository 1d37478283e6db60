//! A text as the square code that a phone's camera reads (ISO/IEC 18004, error correction level M).
//!
//! It knows texts and squares only; where the square is drawn and what the text says belongs to the views.

use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};
use std::fmt::Write;

/// A code as one path, a module a unit of length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Symbol {
    /// Modules along a side, without the quiet zone.
    pub side: u8,
    /// Dark modules, row by row, in a square from (0, 0) to (`side`, `side`).
    pub path: String,
}

/// Modules of white that a camera needs around a code.
pub const QUIET: u8 = 4;

/// The code of `text` in the smallest version that holds it; `None` where that is above `most` (1 to 40).
pub fn symbol(text: &str, most: u8) -> Option<Symbol> {
    let segments = QrSegment::make_segments(text);
    let most = Version::new(most.clamp(1, 40));
    let code =
        QrCode::encode_segments_advanced(&segments, QrCodeEcc::Medium, Version::MIN, most, None, false)
            .ok()?;
    let side = code.size();
    let mut path = String::new();
    for y in 0..side {
        let mut x = 0;
        while x < side {
            let run = (x..side).take_while(|x| code.get_module(*x, y)).count() as i32;
            if run > 0 {
                _ = write!(path, "M{x} {y}h{run}v1h-{run}z");
            }
            x += run.max(1);
        }
    }
    Some(Symbol { side: u8::try_from(side).ok()?, path })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    /// Source: ISO/IEC 18004, table of capacities: bytes at level M by version, and 17 + 4 × version modules.
    #[test]
    fn a_text_takes_the_version_of_its_length() {
        for (version, bytes) in [(1u8, 14usize), (8, 152), (11, 251), (12, 287)] {
            let side = |length: usize, most| symbol(&"x".repeat(length), most).map(|s| s.side);
            assert_eq!(side(bytes, 40), Some(17 + 4 * version), "{bytes} bytes");
            assert_eq!(side(bytes + 1, 40), Some(17 + 4 * (version + 1)));
            assert_eq!(side(bytes + 1, version), None);
        }
    }

    #[test]
    fn the_corner_is_a_finder() {
        let symbol = symbol("water=dry", 12).unwrap();
        assert!(symbol.path.starts_with("M0 0h7v1h-7z"), "{}", symbol.path);
    }
}
