//! The pack: a network's data and what was fitted from them, as one JSON document.
//!
//! It carries data, terms, variances and their information, never effects: whoever opens it solves once.
//! A document from a newer version is refused; an older one would be migrated here. It is as hostile as a folder
//! and held to the same rules: its tables are written as a folder's files and read again, but for a page's own.

use super::figures::to_figures;
use super::fingerprint::fingerprint;
use super::problem::Problem;
use super::read::read_own;
use super::{Network, Plot, seal, write};
use crate::forecast::model::{Fitted, ForecastModel, ModelError};
use crate::json;
use crate::link;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use thiserror::Error;

/// Version of the document that this code writes.
pub const VERSION: u32 = 1;

/// Figures of a fitted parameter in a pack: far more than any shown number needs, and few enough that a processor
/// and a browser, whose last bits differ, write the same bytes.
pub const DIGITS: usize = 8;
/// A parameter smaller than this is nothing, in squared shares and in logarithms alike.
const NOTHING: f64 = 1e-13;

/// Every number of the parameters to [`DIGITS`] figures.
fn rounded(fitted: Fitted) -> Fitted {
    fn round(value: &mut Value) {
        match value {
            Value::Array(items) => items.iter_mut().for_each(round),
            Value::Object(map) => map.values_mut().for_each(round),
            Value::Number(number) if number.is_f64() => {
                let exact = number.as_f64().unwrap_or_default();
                let near = if exact.abs() < NOTHING { 0.0 } else { to_figures(exact, DIGITS) };
                *value = Value::from(near);
            }
            _ => {}
        }
    }
    // Through text, as a pack goes anyway: a second way of writing and reading every type would only weigh on the page.
    let text = serde_json::to_string(&fitted).unwrap_or_default();
    let Ok(mut value) = serde_json::from_str(&text) else { return fitted };
    round(&mut value);
    let mut near: Fitted = json::read(&value.to_string()).unwrap_or(fitted);
    // With a variance that is nothing now there is no covariance.
    if near.variances.slope == 0.0 || near.variances.variety == 0.0 {
        near.variances.covariance = 0.0;
    }
    near
}

/// A network with its fitted parameters.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Pack {
    /// Version of the document.
    pub version: u32,
    /// Eight hex digits of the data; settings and links are kept by it.
    pub fingerprint: String,
    /// The data.
    pub network: Network,
    /// What was fitted from them.
    pub fitted: Fitted,
}

/// Why a document is no pack.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PackError {
    /// Not JSON, or not of this shape.
    #[error("these data cannot be read (line {line}, column {column}); the file may be cut off or damaged")]
    Unreadable {
        /// Line of the document.
        line: usize,
        /// Column of the document.
        column: usize,
    },
    /// Written by a newer release.
    #[error(
        "these data were made by a newer release (version {found}; this page reads up to {VERSION}); open a newer page"
    )]
    Newer {
        /// Version of the document.
        found: u64,
    },
    /// A version that never was.
    #[error("these data name no version that this page knows; make the page again from its folder")]
    UnknownVersion,
    /// A name that is none of a pack's data.
    #[error(
        "the data's own mark is `{found}` and not eight hexadecimal digits; make the page again from its folder"
    )]
    BadMark {
        /// What stands there.
        found: String,
    },
    /// Tables that no folder could hold.
    #[error("these data were changed by hand or damaged ({0}); make the page again from its folder")]
    Unlawful(Box<Problem>),
}

impl Pack {
    /// Fits a network and packs it, its parameters to [`DIGITS`] figures.
    ///
    /// # Errors
    /// A network that cannot be fitted.
    pub fn new(network: Network) -> Result<Pack, ModelError> {
        let fitted = rounded(ForecastModel::fit(&network)?.fitted);
        Ok(Pack { version: VERSION, fingerprint: fingerprint(&network), network, fitted })
    }

    /// Reads a document.
    ///
    /// # Errors
    /// See [`PackError`].
    pub fn from_json(text: &str) -> Result<Pack, PackError> {
        let unreadable =
            |error: serde_json::Error| PackError::Unreadable { line: error.line(), column: error.column() };
        #[derive(Deserialize)]
        struct Versioned {
            version: u64,
        }
        let versioned: Versioned = json::read(text).map_err(unreadable)?;
        match versioned.version {
            0 => Err(PackError::UnknownVersion),
            found if found > u64::from(VERSION) => Err(PackError::Newer { found }),
            _ => json::read::<Pack>(text).map_err(unreadable)?.lawful(),
        }
    }

    /// Reads the document that a page carries. As the page was made, its seal is whole and its tables are not held to a
    /// folder's rules once more: that would take a fifth of the page's opening. The seal says that nothing was changed
    /// by chance or by hand; it is no proof against who makes pages of his own, whose scripts run with them anyway.
    ///
    /// # Errors
    /// See [`PackError`].
    pub fn of_page(text: &str) -> Result<Pack, PackError> {
        if seal::is_whole(text)
            && let Ok(pack) = json::read::<Pack>(text)
            && pack.version == VERSION
        {
            return Ok(pack);
        }
        Pack::from_json(text)
    }

    /// The pack with its tables as a folder's files would give them.
    fn lawful(self) -> Result<Pack, PackError> {
        if !link::is_fingerprint(&self.fingerprint) {
            return Err(PackError::BadMark { found: self.fingerprint });
        }
        Ok(Pack { network: lawful(self.network)?, ..self })
    }

    /// Writes the document, sealed.
    ///
    /// # Errors
    /// A number that JSON cannot hold.
    pub fn to_json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string(self).map(|text| seal::sealed(&text))
    }
}

/// A network held to the rules of a folder. Plots are left out of that: their means and errors are there already, to
/// work them out again costs more than the whole opening of a page, and nothing but a folder's files is made of them.
fn lawful(mut network: Network) -> Result<Network, PackError> {
    let plots: Vec<Plot> = std::mem::take(&mut network.plots);
    let unreadable = |()| PackError::Unreadable { line: 0, column: 0 };
    let files = write::files(&network).map_err(|_| unreadable(()))?;
    let files = files.into_iter().map(|(name, text)| (name.to_owned(), text.into_bytes())).collect();
    let reading = read_own(&files);
    match (reading.network, reading.errors.into_iter().next()) {
        (Some(network), _) => Ok(Network { plots, ..network }),
        (None, Some(problem)) => Err(PackError::Unlawful(Box::new(problem))),
        (None, None) => Err(unreadable(())),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::test_folder::whole;
    use super::*;

    #[test]
    fn a_pack_comes_back_and_its_parameters_are_those_of_the_fit_to_eight_figures() {
        let network = crate::pack::read(&whole()).network.unwrap();
        let exact = ForecastModel::fit(&network).unwrap().fitted;
        let pack = Pack::new(network).unwrap();
        assert_eq!(Pack::from_json(&pack.to_json().unwrap()).unwrap(), pack);
        assert_eq!(Pack::of_page(&pack.to_json().unwrap()).unwrap(), pack);
        assert_eq!(rounded(pack.fitted.clone()), pack.fitted);
        let (near, exact) = (pack.fitted.variances, exact.variances);
        for (near, exact) in
            [(near.variety, exact.variety), (near.site, exact.site), (near.season, exact.season)]
        {
            assert!((near - exact).abs() <= 1e-7 * exact.abs() + NOTHING, "{near} {exact}");
        }
    }
    /// A page's own data that were changed are judged as a stranger's.
    #[test]
    fn a_page_whose_data_were_changed_is_held_to_the_rules() {
        let pack = Pack::new(crate::pack::read(&whole()).network.unwrap()).unwrap();
        let text = pack.to_json().unwrap();
        let changed = text.replacen("\"season\":20", "\"season\":90", 1);
        assert_ne!(changed, text);
        assert!(
            matches!(Pack::of_page(&changed), Err(PackError::Unlawful(_))),
            "{:?}",
            Pack::of_page(&changed)
        );
    }
}
