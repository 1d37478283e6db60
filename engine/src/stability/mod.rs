//! Stability numbers: how evenly a variety yields over environments, by the formulas the trade has used since
//! 1963.
//!
//! They are read off a table of yields, one row a variety and one column an environment (a site in a season),
//! for whoever wants to see beside the forecast what the classical analyses say. [`CompleteTable`] is a table
//! without a gap, as most of them need; [`measures`] holds the numbers; [`additive`] gives the means of a
//! table with gaps. All treat the table's yields as without error of their own: with few environments the
//! numbers scatter widely.
//!
//! Symbols: Y_ij the yield of variety i in environment j, k varieties, n environments, Ȳ_i. and Ȳ_.j the
//! means of a row and a column, Ȳ.. that of the table. It knows numbers only: no model, no forecast, no
//! names.

pub mod additive;
pub mod measures;
#[cfg(test)]
mod tests;

pub use additive::{AdditiveMeans, Cell, additive_means};
pub use measures::{
    Regression, chance_above, chance_below, ecovalence, joint_regression, reliability, stability_variance,
    standard_deviations, superiority,
};

use thiserror::Error;

/// Why a table has no such number. Varieties and environments are counted from 1.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum StabilityError {
    /// Fewer rows or columns than the number needs.
    #[error(
        "the table has {varieties} varieties and {environments} environments; at least {least_varieties} and \
         {least_environments} are needed"
    )]
    TooSmall {
        /// Rows of the table.
        varieties: usize,
        /// Columns of the table.
        environments: usize,
        /// Rows needed.
        least_varieties: usize,
        /// Columns needed.
        least_environments: usize,
    },
    /// A row of another length than the first.
    #[error(
        "variety {variety} has {found} yields where the first has {expected}; a complete table has \
         one a variety and environment"
    )]
    Ragged {
        /// Row.
        variety: usize,
        /// Yields in the row.
        found: usize,
        /// Yields in the first row.
        expected: usize,
    },
    /// A yield that is not finite.
    #[error("the yield of variety {variety} in environment {environment} is {found}; give a finite number")]
    NotFinite {
        /// Row.
        variety: usize,
        /// Column.
        environment: usize,
        /// The value.
        found: f64,
    },
    /// Every environment has the same mean.
    #[error(
        "all environments have the same mean, so no variety has a slope on it; add a poorer or a better one"
    )]
    NoSpread,
    /// A share that is no chance.
    #[error("a reliability of {0} is not between 0 and 1, both excluded")]
    NotAChance(f64),
    /// A row or column that is not in the table.
    #[error(
        "variety {variety} in environment {environment} is outside a table of {varieties} by \
         {environments}; correct its place"
    )]
    Outside {
        /// Row asked for.
        variety: usize,
        /// Column asked for.
        environment: usize,
        /// Rows of the table.
        varieties: usize,
        /// Columns of the table.
        environments: usize,
    },
    /// Varieties and environments fall into groups that share nothing.
    #[error(
        "variety {variety} shares no environment, directly or through others, with the first; means of \
         the two groups cannot be compared"
    )]
    Disconnected {
        /// The first row outside the first group.
        variety: usize,
    },
    /// An environment without a yield.
    #[error("environment {0} has no yield; leave it out of the table")]
    EmptyEnvironment(usize),
}

/// Yields of every variety in every environment, any unit: at least two of each.
#[derive(Debug, Clone, PartialEq)]
pub struct CompleteTable {
    /// Row by row.
    yields: Vec<f64>,
    varieties: usize,
    environments: usize,
}

impl CompleteTable {
    /// A table from its rows, one a variety.
    ///
    /// # Errors
    /// Fewer than two varieties or environments, rows of unequal length, a yield that is not finite.
    pub fn new(rows: &[Vec<f64>]) -> Result<CompleteTable, StabilityError> {
        let environments = rows.first().map_or(0, Vec::len);
        for (i, row) in rows.iter().enumerate() {
            if row.len() != environments {
                return Err(StabilityError::Ragged {
                    variety: i + 1,
                    found: row.len(),
                    expected: environments,
                });
            }
            if let Some(j) = row.iter().position(|y| !y.is_finite()) {
                return Err(StabilityError::NotFinite { variety: i + 1, environment: j + 1, found: row[j] });
            }
        }
        let table = CompleteTable { yields: rows.concat(), varieties: rows.len(), environments };
        table.needs(2, 2)?;
        Ok(table)
    }

    /// Rows of the table.
    pub fn varieties(&self) -> usize {
        self.varieties
    }

    /// Columns of the table.
    pub fn environments(&self) -> usize {
        self.environments
    }

    /// Yields of one variety.
    pub fn row(&self, variety: usize) -> &[f64] {
        &self.yields[variety * self.environments..(variety + 1) * self.environments]
    }

    /// Yields of one environment, by variety.
    pub fn column(&self, environment: usize) -> impl Iterator<Item = f64> {
        self.rows().map(move |row| row[environment])
    }

    /// Mean of each variety, Ȳ_i.
    pub fn variety_means(&self) -> Vec<f64> {
        self.rows().map(mean).collect()
    }

    /// Mean of each environment, Ȳ_.j.
    pub fn environment_means(&self) -> Vec<f64> {
        (0..self.environments).map(|j| self.column(j).sum::<f64>() / self.varieties as f64).collect()
    }

    /// The same table in percent of the environments' means, as the reliability index was first defined.
    ///
    /// # Errors
    /// [`StabilityError::NotFinite`] where an environment has a mean of 0.
    pub fn in_percent(&self) -> Result<CompleteTable, StabilityError> {
        let means = self.environment_means();
        let share = |row: &[f64]| row.iter().zip(&means).map(|(y, mean)| 100.0 * y / mean).collect();
        CompleteTable::new(&self.rows().map(share).collect::<Vec<Vec<f64>>>())
    }

    fn rows(&self) -> impl Iterator<Item = &[f64]> {
        self.yields.chunks_exact(self.environments)
    }

    fn needs(&self, least_varieties: usize, least_environments: usize) -> Result<(), StabilityError> {
        let CompleteTable { varieties, environments, .. } = *self;
        if varieties >= least_varieties && environments >= least_environments {
            return Ok(());
        }
        Err(StabilityError::TooSmall { varieties, environments, least_varieties, least_environments })
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}
