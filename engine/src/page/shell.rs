//! The fixed text of a page and its three slots: title, static table, pack.
//!
//! Nothing is ever serialised from a live document: the text between the slots is kept to the byte. The
//! markers carry no line ends, so that a page whose line ends were changed on its way is still read.

use super::{PageError, escape};

const TITLE_OPENS: &str = "<title>";
const TITLE_CLOSES: &str = "</title>";
const TABLE_OPENS: &str = r#"<div id="app">"#;
const TABLE_CLOSES: &str = r#"</div><script type="application/json" id="pack">"#;
const PACK_CLOSES: &str = r#"</script><script type="text/plain" id="wasm">"#;
const SITE_OPENS: &str = r#"</script><script type="text/plain" id="site">"#;
const SITE_CLOSES: &str = "</script>";

/// A page taken apart at its slots.
///
/// Formula: page = head + title + between + table + `</div><script … id="pack">` + pack + rest, where
/// `head` ends with `<title>`, `between` runs from `</title>` to `<div id="app">` and `rest` starts with
/// the `</script>` that closes the pack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shell {
    head: String,
    title: String,
    between: String,
    static_table: String,
    pack: String,
    rest: String,
}

impl Shell {
    /// Takes a built page or a template apart.
    ///
    /// # Errors
    /// [`PageError::MissingSlot`] names the first slot that is not where it belongs.
    pub fn parse(page: &str) -> Result<Self, PageError> {
        let (head, rest) = cut_after(page, TITLE_OPENS, "title")?;
        let (title, rest) = cut_before(rest, TITLE_CLOSES, "title")?;
        let (between, rest) = cut_after(rest, TABLE_OPENS, "static table")?;
        let (static_table, rest) = cut_before(rest, TABLE_CLOSES, "static table")?;
        let (pack, rest) = cut_before(&rest[TABLE_CLOSES.len()..], PACK_CLOSES, "pack")?;
        Ok(Self {
            head: head.to_owned(),
            title: escape::html_to_text(title),
            between: between.to_owned(),
            static_table: static_table.to_owned(),
            pack: pack.to_owned(),
            rest: rest.to_owned(),
        })
    }

    /// The same page with other slots: `title` is plain text, `static_table_html` is what
    /// [`super::static_table`] made, `pack_json` is the pack as JSON.
    ///
    /// Filling a page with its own slots gives its own bytes.
    pub fn fill(&self, title: &str, static_table_html: &str, pack_json: &str) -> String {
        [
            &self.head,
            escape::html(title).as_str(),
            &self.between,
            static_table_html,
            TABLE_CLOSES,
            escape::json(pack_json).as_str(),
            &self.rest,
        ]
        .concat()
    }

    /// The title, as plain text.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The static table, as HTML.
    pub fn static_table(&self) -> &str {
        &self.static_table
    }

    /// The pack, as JSON.
    pub fn pack(&self) -> &str {
        &self.pack
    }

    /// The site text that the page carries, as JSON for [`super::SiteParts::from_json`].
    ///
    /// # Errors
    /// [`PageError::MissingSlot`] where the page has none.
    pub fn site(&self) -> Result<&str, PageError> {
        let (_, rest) = cut_after(&self.rest, SITE_OPENS, "site text")?;
        Ok(cut_before(rest, SITE_CLOSES, "site text")?.0)
    }
}

fn cut_after<'a>(
    text: &'a str,
    marker: &'static str,
    slot: &'static str,
) -> Result<(&'a str, &'a str), PageError> {
    let at = text.find(marker).ok_or(PageError::MissingSlot { slot, marker })?;
    Ok(text.split_at(at + marker.len()))
}

fn cut_before<'a>(
    text: &'a str,
    marker: &'static str,
    slot: &'static str,
) -> Result<(&'a str, &'a str), PageError> {
    let at = text.find(marker).ok_or(PageError::MissingSlot { slot, marker })?;
    Ok(text.split_at(at))
}
