//! One trial's plots as numbered varieties, replicates and blocks.
//!
//! A block is named within its replicate, so that blocks numbered afresh in each replicate are told apart.
//! Knows plots of one trial only and no statistics.

use crate::order::Map;
use thiserror::Error;

/// Most varieties that one trial is analysed with; codes of another column would exceed it.
pub const MOST_VARIETIES: usize = 5_000;
/// Most replicates that one trial is analysed with.
pub const MOST_REPS: usize = 200;
/// Most incomplete blocks that one trial is analysed with.
pub const MOST_BLOCKS: usize = 600;

/// A plot with a yield.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlotYield<'a> {
    /// Variety code.
    pub variety: &'a str,
    /// Replicate; the same text in all plots, for example none, where there are no replicates.
    pub rep: &'a str,
    /// Incomplete block within the replicate; `None` in all plots of a complete replicate.
    pub block: Option<&'a str>,
    /// Yield, any unit.
    pub yield_: f64,
}

/// Why a trial could not be analysed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum BlocksError {
    /// No plot has a yield.
    #[error("no plot has a yield; give at least one")]
    NoPlots,
    /// Two replicates cannot be compared.
    #[error("replicates `{first}` and `{other}` have no variety in common, directly or through others")]
    NotConnected {
        /// The first replicate of the trial.
        first: String,
        /// One that no chain of common varieties joins to it.
        other: String,
    },
    /// More than any trial has.
    #[error(
        "{varieties} varieties in {reps} replicates and {blocks} blocks are more than the {MOST_VARIETIES} in \
         {MOST_REPS} and {MOST_BLOCKS} analysed"
    )]
    TooLarge {
        /// Varieties with a yield.
        varieties: usize,
        /// Replicates with a yield.
        reps: usize,
        /// Blocks with a yield.
        blocks: usize,
    },
}

/// A plot by the numbers of its variety, replicate and block.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub variety: usize,
    pub rep: usize,
    pub block: usize,
    pub yield_: f64,
}

/// Names in order of first appearance, and every plot by their numbers.
#[derive(Debug)]
pub(super) struct Layout<'a> {
    pub varieties: Vec<&'a str>,
    pub reps: Vec<&'a str>,
    /// The replicate of each block; a replicate without named blocks is one block.
    pub rep_of_block: Vec<usize>,
    pub places: Vec<Place>,
}

impl<'a> Layout<'a> {
    pub fn of(plots: &[PlotYield<'a>]) -> Result<Self, BlocksError> {
        if plots.is_empty() {
            return Err(BlocksError::NoPlots);
        }
        let (varieties, variety_at) = in_order(plots.iter().map(|plot| plot.variety));
        let (reps, rep_at) = in_order(plots.iter().map(|plot| plot.rep));
        let (blocks, block_at) = in_order(plots.iter().map(|plot| (plot.rep, plot.block)));
        if varieties.len() > MOST_VARIETIES || reps.len() > MOST_REPS || blocks.len() > MOST_BLOCKS {
            let (varieties, reps, blocks) = (varieties.len(), reps.len(), blocks.len());
            return Err(BlocksError::TooLarge { varieties, reps, blocks });
        }
        let places = plots.iter().map(|plot| Place {
            variety: variety_at[plot.variety],
            rep: rep_at[plot.rep],
            block: block_at[&(plot.rep, plot.block)],
            yield_: plot.yield_,
        });
        let places = places.collect();
        let rep_of_block = blocks.iter().map(|(rep, _)| rep_at[rep]).collect();
        Ok(Layout { varieties, reps, rep_of_block, places })
    }

    /// Whether some replicate is divided into blocks.
    pub fn has_incomplete_blocks(&self) -> bool {
        self.rep_of_block.len() > self.reps.len()
    }

    /// Count and sum of the yields of each of `groups` groups.
    pub fn totals(&self, groups: usize, group: impl Fn(&Place) -> usize) -> Vec<(f64, f64)> {
        let mut totals = vec![(0.0, 0.0); groups];
        for place in &self.places {
            let (count, sum) = &mut totals[group(place)];
            *count += 1.0;
            *sum += place.yield_;
        }
        totals
    }

    /// Two varieties that no chain of common blocks joins, if there are such.
    pub fn apart_within_blocks(&self) -> Option<(String, String)> {
        // Varieties first, blocks behind them; each points towards the root of its group.
        let varieties = self.varieties.len();
        let mut parent: Vec<usize> = (0..varieties + self.rep_of_block.len()).collect();
        fn root(parent: &mut [usize], mut at: usize) -> usize {
            while parent[at] != at {
                parent[at] = parent[parent[at]];
                at = parent[at];
            }
            at
        }
        for place in &self.places {
            let variety = root(&mut parent, place.variety);
            let block = root(&mut parent, varieties + place.block);
            parent[block] = variety;
        }
        let first = root(&mut parent, 0);
        let other = (1..varieties).find(|&at| root(&mut parent, at) != first)?;
        Some((self.varieties[0].to_owned(), self.varieties[other].to_owned()))
    }
}

/// Distinct names in order of first appearance, and the place of each.
fn in_order<N: Copy + Ord>(names: impl Iterator<Item = N>) -> (Vec<N>, Map<N, usize>) {
    let mut order = Vec::new();
    let mut places = Map::new();
    for name in names {
        places.entry(name).or_insert_with(|| {
            order.push(name);
            order.len() - 1
        });
    }
    (order, places)
}
