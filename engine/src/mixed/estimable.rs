//! Which terms the rows of a fit can tell from each other and from the residual.
//!
//! It looks only at which variety stood where: a term is out if it has one level, if every variety keeps to one
//! level, if no variety comes twice to a level, or if it groups the trials as another term does.

use super::design::Row;
use super::network::WaterScale;
use super::terms::Terms;
use crate::order::Set;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Why a term was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Error)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// Only one level.
    #[error("there is only one level of it")]
    OneLevel,
    /// Every variety has all its rows in one level.
    #[error("every variety was grown in one level of it alone, so it cannot be told from `variety`")]
    OneLevelEach,
    /// No variety has two rows in one level.
    #[error("no variety has two trials in one level, so it cannot be told from the residual")]
    NeverRepeated,
    /// The same grouping of trials as another term.
    #[error("it groups the trials just as another term does")]
    SameGrouping,
    /// Too few trials with spread-out water, in every system or in the one that the term names.
    #[error("fewer than five trials have known water, or it spreads by less than a tenth of its mean")]
    TooLittleWater,
    /// No disease or pest whose loss and scale are known and that a variety is rated for.
    #[error(
        "no disease or pest has a severe loss, a scale and rated varieties; see traits.csv and ratings.csv"
    )]
    NoDisease,
    /// Too little was seen of a disease.
    #[error(
        "it was seen at fewer than two pressures, or in fewer than four trials of three unlike varieties"
    )]
    TooLittlePressure,
    /// A fixed column that others tell.
    #[error("the trials and the columns before it already tell it")]
    Collinear,
    /// A residual of which nothing is left.
    #[error(
        "the other terms leave nothing for it, as where varieties differ by exactly as much in every trial; the least \
         that can be computed with stands in"
    )]
    NothingLeft,
}

/// A term left out, with the reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dropped {
    /// The term as written.
    pub term: String,
    /// The reason.
    pub why: Why,
}

/// Keeps the terms that the rows can tell from each other and from the residual.
pub fn estimable(
    wanted: Terms,
    rows: &[Row],
    water: &[Option<WaterScale>],
    dropped: &mut Vec<Dropped>,
) -> Terms {
    let mut terms = wanted;
    let mut drop = |term: &str, why: Why| dropped.push(Dropped { term: term.to_owned(), why });
    terms.water &= water.iter().any(Option::is_some);
    let varieties = rows.iter().map(|r| r.block).collect::<Set<usize>>().len();
    let check = |of: fn(&Row) -> usize| -> Option<Why> {
        let levels: Set<usize> = rows.iter().map(of).collect();
        if levels.len() < 2 {
            return Some(Why::OneLevel);
        }
        let pairs: Set<(usize, usize)> = rows.iter().map(|r| (r.block, of(r))).collect();
        // Where errors are known the residual is what a variety has in one trial alone, and is the same again.
        match pairs.len() {
            all if all == rows.len() => Some(Why::NeverRepeated),
            each if each == varieties => Some(Why::OneLevelEach),
            _ => None,
        }
    };
    for (term, on, of) in [
        ("variety:site", &mut terms.site, (|r: &Row| r.site) as fn(&Row) -> usize),
        ("variety:season", &mut terms.season, |r: &Row| r.season),
        ("variety:system", &mut terms.system, |r: &Row| r.system),
    ] {
        if *on && let Some(why) = check(of) {
            *on = false;
            drop(term, why);
        }
    }
    if terms.site && terms.season && same_grouping(rows, |r| r.site, |r| r.season) {
        terms.season = false;
        drop("variety:season", Why::SameGrouping);
    }
    let as_system = |of: fn(&Row) -> usize| same_grouping(rows, of, |r| r.system);
    if terms.system && (terms.site && as_system(|r| r.site) || terms.season && as_system(|r| r.season)) {
        terms.system = false;
        drop("variety:system", Why::SameGrouping);
    }
    terms
}

/// Whether two groupings of the rows are the same up to names.
fn same_grouping(rows: &[Row], first: fn(&Row) -> usize, second: fn(&Row) -> usize) -> bool {
    let pairs: Set<(usize, usize)> = rows.iter().map(|r| (first(r), second(r))).collect();
    let firsts: Set<usize> = pairs.iter().map(|p| p.0).collect();
    let seconds: Set<usize> = pairs.iter().map(|p| p.1).collect();
    pairs.len() == firsts.len() && pairs.len() == seconds.len()
}
