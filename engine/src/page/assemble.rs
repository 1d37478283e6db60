//! Makes a page from its parts, with the policy that lets exactly these parts run and nothing else.
//!
//! The policy names the style sheet and the one script by their SHA-256 (Content Security Policy
//! Level 3, W3C, section 2.3.1: the hash is taken over the element's text, here after line ends are made
//! line feeds, as the parser of HTML makes them).

use super::{PageError, Shell, escape};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// What a page is made of.
#[derive(Debug, Clone, Copy)]
pub struct Parts<'a> {
    /// `shell.html`, with `{{policy}}`, `{{style}}`, `{{wasm}}`, `{{site}}`, `{{script}}` in this order.
    pub template: &'a str,
    /// The style sheet.
    pub style: &'a str,
    /// The one executable script.
    pub script: &'a str,
    /// The wasm, base64 with padding.
    pub wasm_base64: &'a str,
    /// The site text, JSON, as [`super::SiteParts::to_json`] writes it.
    pub site: &'a str,
}

/// Makes the page, its three slots as the template has them; [`Shell::fill`] fills them.
///
/// # Errors
/// [`PageError::MissingPlaceholder`] and [`PageError::MissingSlot`] for a template that is not one,
/// [`PageError::EndsItsElement`] for a part that would break out of its element.
pub fn assemble(parts: &Parts<'_>) -> Result<Shell, PageError> {
    let style = line_feeds(parts.style);
    let script = line_feeds(parts.script);
    let wasm = parts.wasm_base64.trim();
    refuse(&style, "style sheet", &["</style"])?;
    // A comment opener makes the parser swallow the end of the element together with a later `<script`.
    refuse(&script, "script", &["</script", "<!--"])?;
    refuse(wasm, "wasm text", &["<"])?;

    let policy = policy(&style, &script);
    let site = escape::json(parts.site);
    let mut page = String::with_capacity(parts.template.len() + style.len() + script.len() + wasm.len());
    let mut rest = parts.template;
    for (placeholder, value) in [
        ("{{policy}}", policy.as_str()),
        ("{{style}}", style.as_str()),
        ("{{wasm}}", wasm),
        ("{{site}}", site.as_str()),
        ("{{script}}", script.as_str()),
    ] {
        let (before, after) =
            rest.split_once(placeholder).ok_or(PageError::MissingPlaceholder { placeholder })?;
        page.push_str(before);
        page.push_str(value);
        rest = after;
    }
    page.push_str(rest);
    Shell::parse(&page)
}

fn policy(style: &str, script: &str) -> String {
    format!(
        "default-src 'none'; script-src '{}' 'wasm-unsafe-eval'; style-src '{}'; img-src data: blob:; \
         worker-src 'self' blob:; manifest-src 'self'; connect-src 'none'; base-uri 'none'; form-action 'none'",
        hash_source(script),
        hash_source(style)
    )
}

fn hash_source(text: &str) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(text.as_bytes())))
}

fn line_feeds(text: &str) -> String {
    text.replace("\r\n", "\n").replace('\r', "\n")
}

fn refuse(content: &str, part: &'static str, forbidden: &[&'static str]) -> Result<(), PageError> {
    let lower = content.to_ascii_lowercase();
    match forbidden.iter().find(|text| lower.contains(**text)) {
        Some(text) => Err(PageError::EndsItsElement { part, text }),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// Source: the worked example of CSP Level 3, section 2.3.1 (`alert('Hello, world.');`).
    #[test]
    fn hash_is_that_of_the_specification() {
        assert_eq!(
            hash_source("alert('Hello, world.');"),
            "sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng="
        );
    }

    #[test]
    fn policy_is_the_contract() {
        let policy = policy("", "");
        // SHA-256 of nothing: FIPS 180-4 example vectors.
        let empty = "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='";
        assert_eq!(
            policy,
            format!(
                "default-src 'none'; script-src {empty} 'wasm-unsafe-eval'; style-src {empty}; img-src data: \
                 blob:; worker-src 'self' blob:; manifest-src 'self'; connect-src 'none'; base-uri 'none'; \
                 form-action 'none'"
            )
        );
    }

    #[test]
    fn a_part_that_ends_its_element_is_refused() {
        let parts =
            |style, script, wasm| Parts { template: "", style, script, wasm_base64: wasm, site: "{}" };
        for (parts, part) in [
            (parts("a</STYLE>", "", ""), "style sheet"),
            (parts("", "'</Script>'", ""), "script"),
            (parts("", "<!-- x", ""), "script"),
            (parts("", "", "AA<"), "wasm text"),
        ] {
            let error = assemble(&parts).unwrap_err();
            assert!(
                matches!(error, PageError::EndsItsElement { part: found, .. } if found == part),
                "{error}"
            );
        }
    }

    #[test]
    fn a_template_without_a_placeholder_is_named() {
        let parts =
            Parts { template: "{{policy}}{{style}}", style: "", script: "", wasm_base64: "", site: "" };
        assert_eq!(assemble(&parts).unwrap_err(), PageError::MissingPlaceholder { placeholder: "{{wasm}}" });
    }
}
