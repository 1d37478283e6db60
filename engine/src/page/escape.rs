//! Putting text safely inside HTML and JSON inside a script element; knows nothing of what it carries.

/// Text as HTML content or attribute value.
pub(super) fn html(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\'' => escaped.push_str("&#39;"),
            // A carriage return would come back from the browser's parser as a line feed.
            '\r' => escaped.push_str("&#13;"),
            other => escaped.push(other),
        }
    }
    escaped
}

/// The inverse of [`html`].
pub(super) fn html_to_text(escaped: &str) -> String {
    escaped
        .replace("&#13;", "\r")
        .replace("&#39;", "'")
        .replace("&quot;", "\"")
        .replace("&gt;", ">")
        .replace("&lt;", "<")
        .replace("&amp;", "&")
}

/// JSON that cannot close or confuse the script element it lies in.
///
/// In JSON `<` occurs only inside strings, where `\u003c` means the same; a text without `<` can
/// neither close its element nor open a comment in it. Escaping twice changes nothing.
pub(super) fn json(text: &str) -> String {
    text.replace('<', "\\u003c")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn html_comes_back(text in ".*") {
            prop_assert_eq!(html_to_text(&html(&text)), text);
        }

        #[test]
        fn escaped_json_means_the_same(text in ".*") {
            let value = serde_json::json!({ "note": text });
            let escaped = json(&value.to_string());
            prop_assert!(!escaped.contains('<'));
            prop_assert_eq!(serde_json::from_str::<serde_json::Value>(&escaped).unwrap(), value);
            prop_assert_eq!(json(&escaped), escaped);
        }
    }
}
