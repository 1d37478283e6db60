//! Reads base64 where it lies. It knows nothing of what the bytes are.

/// Reads base64 (RFC 4648, section 4) where it lies: the bytes come to stand at the front of the text.
///
/// Returns how many there are. It ends at the first character that is no digit of base64.
pub fn decode(text: &mut [u8]) -> usize {
    let (mut bits, mut held, mut written) = (0u32, 0, 0);
    // No index that could panic: what tells of a panic is three times the size of all this.
    for read in 0..text.len() {
        let digit = match text.get(read).copied().unwrap_or(b'=') {
            letter @ b'A'..=b'Z' => letter - b'A',
            letter @ b'a'..=b'z' => letter - b'a' + 26,
            letter @ b'0'..=b'9' => letter - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => break,
        };
        bits = bits << 6 | u32::from(digit);
        held += 6;
        if held >= 8 {
            held -= 8;
            if let Some(place) = text.get_mut(written) {
                *place = (bits >> held) as u8;
            }
            written += 1;
        }
    }
    written
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn base64_is_read_as_the_standard_has_it() {
        for (text, bytes) in [
            ("", ""),
            ("Zg==", "f"),
            ("Zm8=", "fo"),
            ("Zm9v", "foo"),
            ("Zm9vYg==", "foob"),
            ("Zm9vYmFy", "foobar"),
            ("/+9/\n", ""),
        ] {
            let mut buffer = text.as_bytes().to_vec();
            let length = decode(&mut buffer);
            let expected =
                if bytes.is_empty() && !text.is_empty() { &[0xff, 0xef, 0x7f][..] } else { bytes.as_bytes() };
            assert_eq!(&buffer[..length], expected, "{text}");
        }
    }
}
