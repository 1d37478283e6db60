//! The languages of the page: their tags, their own names, and which of them a reader gets.
//!
//! A further language is one folder of sentences, and a line in each `match` below.

use super::Catalogue;
use super::en::English;
use super::es::Spanish;
use super::region::Region;

/// A language.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// Spanish.
    Spanish,
}

impl Language {
    /// All of them, in the order in which the page offers them.
    pub const ALL: [Self; 2] = [Self::English, Self::Spanish];

    /// Its tag, as in `lang`.
    pub fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::Spanish => "es",
        }
    }

    /// Its own name for itself.
    pub fn name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::Spanish => "Espa\u{f1}ol",
        }
    }

    /// The marks it is written with where no region is known.
    pub fn usual_region(self) -> Region {
        match self {
            Self::English => Region::POINT,
            Self::Spanish => Region::COMMA,
        }
    }

    /// Its catalogue, with the marks of a region. It stays for the life of the page: a few bytes, as often as a
    /// reader changes the language.
    pub fn catalogue(self, region: Region) -> Catalogue {
        match self {
            Self::English => Box::leak(Box::new(English(region))),
            Self::Spanish => Box::leak(Box::new(Spanish(region))),
        }
    }

    /// The language of a tag such as `es` or `es-MX`.
    pub fn of(tag: &str) -> Option<Self> {
        let tag = tag.split(['-', '_']).next().unwrap_or_default();
        Self::ALL.into_iter().find(|language| language.tag().eq_ignore_ascii_case(tag))
    }

    /// What a reader gets: what was chosen on this device, else the first language of the browser that there is,
    /// else that of the network, else English.
    pub fn for_reader(chosen: Option<&str>, browser: &[String], network: &str) -> Self {
        let mut wished = chosen.into_iter().chain(browser.iter().map(String::as_str)).chain([network]);
        wished.find_map(Self::of).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_reader_comes_before_the_browser_and_the_browser_before_the_network() {
        let got = |chosen, browser: &[&str], network| {
            let browser: Vec<String> = browser.iter().map(|tag| (*tag).to_owned()).collect();
            Language::for_reader(chosen, &browser, network).tag()
        };
        assert_eq!(got(Some("en"), &["es-MX"], "es"), "en");
        assert_eq!(got(None, &["es-MX", "en"], "en"), "es");
        assert_eq!(got(None, &["pt-BR", "es", "en"], "en"), "es");
        assert_eq!(got(None, &["de-DE"], "es"), "es");
        assert_eq!(got(None, &["de-DE"], ""), "en");
        assert_eq!(got(Some("tlh"), &[], "est"), "en");
    }
}
