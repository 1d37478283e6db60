//! Which effects of a variety are in the model, and how they are written on the command line.
//!
//! It knows names, not data: whether a network can estimate a term is for the network's reader.

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// The random effects of a variety and the optional border columns. The main effect of a variety and
/// the fixed trials are always there.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Terms {
    /// A slope on water, correlated with the main effect (`variety*water`).
    pub water: bool,
    /// Variety × site.
    pub site: bool,
    /// Variety × season.
    pub season: bool,
    /// Variety × production system.
    pub system: bool,
    /// Losses to diseases as border columns.
    pub disease: bool,
    /// Entry year as a border column.
    pub entry: bool,
}

/// What is wrong with a `--terms` text.
#[derive(Debug, Error, PartialEq, Eq)]
pub enum TermsError {
    /// A word that names no term.
    #[error(
        "`{0}` is no term of the model; use variety, variety*water, variety:site, variety:season, \
         variety:system, disease or entry, joined by +"
    )]
    Unknown(String),
    /// The main effect is not there.
    #[error("the terms leave out `variety`; write `variety` or `variety*water` first")]
    NoVariety,
    /// A term stands twice.
    #[error("`{0}` stands twice in the terms; keep one")]
    Twice(String),
}

impl Terms {
    /// Reads terms such as `variety*water + variety:site`; blanks do not matter.
    ///
    /// # Errors
    /// An unknown or repeated word, or no main effect.
    pub fn parse(text: &str) -> Result<Terms, TermsError> {
        let mut terms = Terms::default();
        let mut main = false;
        for word in text.split('+') {
            let word: String = word.split_whitespace().collect();
            let seen = match word.as_str() {
                "variety" => std::mem::replace(&mut main, true),
                "variety*water" => {
                    terms.water = true;
                    std::mem::replace(&mut main, true)
                }
                "variety:site" => std::mem::replace(&mut terms.site, true),
                "variety:season" => std::mem::replace(&mut terms.season, true),
                "variety:system" => std::mem::replace(&mut terms.system, true),
                "disease" => std::mem::replace(&mut terms.disease, true),
                "entry" => std::mem::replace(&mut terms.entry, true),
                _ => return Err(TermsError::Unknown(word)),
            };
            if seen {
                return Err(TermsError::Twice(word));
            }
        }
        if main { Ok(terms) } else { Err(TermsError::NoVariety) }
    }
}

impl std::fmt::Display for Terms {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(if self.water { "variety*water" } else { "variety" })?;
        for (on, word) in [
            (self.site, "variety:site"),
            (self.season, "variety:season"),
            (self.system, "variety:system"),
            (self.disease, "disease"),
            (self.entry, "entry"),
        ] {
            if on {
                write!(f, " + {word}")?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_back() {
        for bits in 0..64u8 {
            let bit = |k: u8| bits & (1 << k) != 0;
            let terms = Terms {
                water: bit(0),
                site: bit(1),
                season: bit(2),
                system: bit(3),
                disease: bit(4),
                entry: bit(5),
            };
            assert_eq!(Terms::parse(&terms.to_string()), Ok(terms));
        }
    }

    #[test]
    fn a_wrong_word_is_named() {
        assert_eq!(Terms::parse("variety + variety:sites"), Err(TermsError::Unknown("variety:sites".into())));
        assert_eq!(Terms::parse("variety:site"), Err(TermsError::NoVariety));
        assert_eq!(Terms::parse("variety + variety*water"), Err(TermsError::Twice("variety*water".into())));
    }
}
