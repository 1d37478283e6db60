//! The seal of a document: sixteen hexadecimal digits by which a page knows its own data unchanged. It knows text.
//!
//! 64 bits of FNV-1a (Fowler, Noll & Vo), which a phone works out in a few milliseconds. It finds what was
//! changed, not who changed it.

const BEFORE: &str = "{\"seal\":\"";
const DIGITS: usize = 16;
const AFTER: &str = "\",";
/// How a document's `<` stands inside a page.
const ESCAPED: &[u8] = b"\\u003c";

/// The text of a JSON object with its seal as the first entry.
pub(super) fn sealed(object: &str) -> String {
    let rest = object.strip_prefix('{').unwrap_or(object);
    format!("{BEFORE}{:0DIGITS$x}{AFTER}{rest}", mark(rest))
}

/// Whether a text is as it was sealed, but for what a page escapes.
pub(super) fn is_whole(text: &str) -> bool {
    let Some((seal, rest)) = text.strip_prefix(BEFORE).and_then(|text| text.split_at_checked(DIGITS)) else {
        return false;
    };
    let found = u64::from_str_radix(seal, 16).ok();
    rest.strip_prefix(AFTER).is_some_and(|rest| found == Some(mark(rest)))
}

/// FNV-1a, with `<` the same whether it is escaped or not.
fn mark(text: &str) -> u64 {
    let mut bytes = text.as_bytes();
    let mut mark: u64 = 0xCBF2_9CE4_8422_2325;
    while let [first, rest @ ..] = bytes {
        let (byte, left) = match bytes.strip_prefix(ESCAPED).filter(|_| *first == b'\\') {
            Some(left) => (b'<', left),
            None => (*first, rest),
        };
        mark = (mark ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01B3);
        bytes = left;
    }
    mark
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Source: the list of test vectors its authors publish, FNV-1a of 64 bits of "a" and of "foobar" (from memory).
    #[test]
    fn the_mark_is_that_of_the_published_vectors() {
        assert_eq!(mark("a"), 0xAF63_DC4C_8601_EC8C);
        assert_eq!(mark("foobar"), 0x8594_4171_F739_67E8);
    }

    proptest! {
        #[test]
        fn what_is_sealed_is_whole_until_it_is_changed(name in ".*", more in any::<f64>(), at in 0usize..400, to in "[a-z]") {
            let object = serde_json::json!({ "name": name, "more": more }).to_string();
            let text = sealed(&object);
            prop_assert!(is_whole(&text));
            prop_assert!(is_whole(&text.replace('<', "\\u003c")));
            let at = at % text.len();
            if text.is_char_boundary(at) && text.is_char_boundary(at + 1) && text[at..=at] != to {
                let changed = format!("{}{to}{}", &text[..at], &text[at + 1..]);
                prop_assert!(!is_whole(&changed), "{changed}");
            }
        }

        #[test]
        fn any_text_is_judged(text in ".*") {
            is_whole(&text);
        }
    }
}
