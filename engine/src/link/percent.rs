//! Percent-encoding of the pieces of a link (RFC 3986, 2005, section 2), UTF-8 underneath.
//!
//! Knows nothing of keys; separators between pieces are written by others and never come from here.

use std::fmt::Write;

/// Writes a text so that only letters, digits, `-`, `.`, `_` and `~` stand as they are.
pub(super) fn encode(text: &str) -> String {
    let mut result = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            result.push(char::from(byte));
        } else {
            // Writing to a string cannot fail.
            let _ = write!(result, "%{byte:02X}");
        }
    }
    result
}

/// Reads a piece back; `None` where a percent sign is not followed by two hexadecimal digits or the bytes are
/// not UTF-8. A bare `+` is a space, because forms and some messengers write spaces so.
pub(super) fn decode(piece: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(piece.len());
    let mut rest = piece.as_bytes();
    while let [first, after @ ..] = rest {
        rest = after;
        match (first, after) {
            (b'%', [high, low, after @ ..]) => {
                bytes.push(hexadecimal(*high)? << 4 | hexadecimal(*low)?);
                rest = after;
            }
            (b'%', _) => return None,
            (b'+', _) => bytes.push(b' '),
            (byte, _) => bytes.push(*byte),
        }
    }
    String::from_utf8(bytes).ok()
}

fn hexadecimal(digit: u8) -> Option<u8> {
    char::from(digit).to_digit(16).and_then(|value| u8::try_from(value).ok())
}
