//! Which networks cannot be fitted at all: nothing to compare, or more than a page can hold. It knows sizes.

use crate::pack::Network;
use thiserror::Error;

/// The most that is fitted of each. The solver holds a square of the trials and takes a cube of them in time, whoever
/// forecasts a square of the varieties and of the threats; each system has a variance of its own. Many times the
/// largest network known, and what a worker of a page can still hold.
const MOST: [(Large, usize); 4] =
    [(Large::Trials, 3_000), (Large::Varieties, 2_000), (Large::Systems, 24), (Large::Threats, 100)];

/// What a network can have too many of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum Large {
    /// Trials with means.
    #[error("trials")]
    Trials,
    /// Varieties with means.
    #[error("varieties")]
    Varieties,
    /// Production systems.
    #[error("production systems")]
    Systems,
    /// Diseases and pests.
    #[error("diseases and pests")]
    Threats,
}

/// Why a network cannot be fitted at all.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FitError {
    /// Nothing to fit.
    #[error("no trial with means is left to fit; look for trials that are all excluded")]
    NoRows,
    /// One trial only.
    #[error("there is only one fitted trial; at least two are needed before a variety can be told from luck")]
    OneTrial,
    /// One variety only.
    #[error("there is only one variety in the fitted trials; at least two are needed for a comparison")]
    OneVariety,
    /// More than a phone, or a patient reader, can take.
    #[error(
        "{found} {what} are more than the {most} that are worked with; look for codes that differ from row to row, \
         or leave out what is old"
    )]
    TooLarge {
        /// Of what.
        what: Large,
        /// How many there are.
        found: usize,
        /// The most that is fitted.
        most: usize,
    },
    /// A name that is not there.
    #[error("`{0}` is not a variety of the fitted trials")]
    UnknownVariety(String),
    /// The optimiser's reason.
    #[error("{0}")]
    Optimise(#[from] super::optimise::OptimiseError),
}

/// Refuses what cannot be fitted.
///
/// # Errors
/// No trial, one trial, one variety, or too many of something.
pub(super) fn require_size(network: &Network, trials: usize, varieties: usize) -> Result<(), FitError> {
    if trials == 0 {
        return Err(FitError::NoRows);
    }
    if trials < 2 {
        return Err(FitError::OneTrial);
    }
    if varieties < 2 {
        return Err(FitError::OneVariety);
    }
    for (what, most) in MOST {
        let found = match what {
            Large::Trials => trials,
            Large::Varieties => varieties,
            Large::Systems => network.systems().len(),
            Large::Threats => network.traits.iter().filter(|t| t.kind.harms()).count(),
        };
        if found > most {
            return Err(FitError::TooLarge { what, found, most });
        }
    }
    Ok(())
}
