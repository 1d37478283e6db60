//! Means of a table with gaps: least squares under the additive model.
//!
//! Y_ij = μ + α_i + β_j + error, ordinary least squares (Yates 1934, J. Am. Stat. Assoc. 29:51–66). A
//! variety's adjusted mean is its α_i over the average environment, so that one grown in poor environments
//! alone is not marked down for them. Environments are eliminated, which leaves one equation a variety; the
//! first variety's α is 0 while solving. It knows numbers only.

use super::StabilityError;
use crate::mixed::small;

/// One yield of the table. Rows and columns are counted from 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Row.
    pub variety: usize,
    /// Column.
    pub environment: usize,
    /// Yield, any unit.
    pub yield_: f64,
}

/// Adjusted means of rows and columns, in the unit of the yields.
#[derive(Debug, Clone, PartialEq)]
pub struct AdditiveMeans {
    /// Of each variety, over the average environment.
    pub varieties: Vec<f64>,
    /// Of each environment, over the average variety.
    pub environments: Vec<f64>,
}

/// Adjusted means of a table of so many varieties and environments, from the cells that are there; a cell
/// that comes twice counts twice.
///
/// # Errors
/// A cell outside the table or without a finite yield, an environment without a cell, and varieties that are
/// not connected with the first (one without a cell is not).
pub fn additive_means(
    cells: &[Cell],
    varieties: usize,
    environments: usize,
) -> Result<AdditiveMeans, StabilityError> {
    check(cells, varieties, environments)?;
    let mut counts = vec![0.0; varieties * environments];
    let (mut row_totals, mut column_totals) = (vec![0.0; varieties], vec![0.0; environments]);
    for cell in cells {
        counts[cell.variety * environments + cell.environment] += 1.0;
        row_totals[cell.variety] += cell.yield_;
        column_totals[cell.environment] += cell.yield_;
    }
    let count = |i: usize, j: usize| counts[i * environments + j];
    let in_column: Vec<f64> = (0..environments).map(|j| (0..varieties).map(|i| count(i, j)).sum()).collect();
    let order = varieties - 1;
    let mut equations = vec![0.0; order * order];
    let mut right = vec![0.0; order];
    for a in 0..order {
        right[a] = row_totals[a + 1]
            - (0..environments).map(|j| count(a + 1, j) * column_totals[j] / in_column[j]).sum::<f64>();
        for b in 0..order {
            let shared: f64 =
                (0..environments).map(|j| count(a + 1, j) * count(b + 1, j) / in_column[j]).sum();
            let own: f64 = if a == b { (0..environments).map(|j| count(a + 1, j)).sum() } else { 0.0 };
            equations[a * order + b] = own - shared;
        }
    }
    // Connected varieties leave the equations positive definite but for rounding.
    small::cholesky(&mut equations, order).map_err(|a| StabilityError::Disconnected { variety: a + 2 })?;
    let mut alpha = vec![0.0];
    alpha.extend(small::solve_factored(&equations, &right));
    let beta: Vec<f64> = (0..environments)
        .map(|j| {
            let of_varieties: f64 = (0..varieties).map(|i| count(i, j) * alpha[i]).sum();
            (column_totals[j] - of_varieties) / in_column[j]
        })
        .collect();
    let (average_alpha, average_beta) = (super::mean(&alpha), super::mean(&beta));
    Ok(AdditiveMeans {
        varieties: alpha.iter().map(|a| a + average_beta).collect(),
        environments: beta.iter().map(|b| b + average_alpha).collect(),
    })
}

/// Refuses what has no unique answer.
fn check(cells: &[Cell], varieties: usize, environments: usize) -> Result<(), StabilityError> {
    if varieties < 1 || environments < 1 {
        let (least_varieties, least_environments) = (1, 1);
        return Err(StabilityError::TooSmall {
            varieties,
            environments,
            least_varieties,
            least_environments,
        });
    }
    for cell in cells {
        let (variety, environment) = (cell.variety + 1, cell.environment + 1);
        if variety > varieties || environment > environments {
            return Err(StabilityError::Outside { variety, environment, varieties, environments });
        }
        if !cell.yield_.is_finite() {
            return Err(StabilityError::NotFinite { variety, environment, found: cell.yield_ });
        }
    }
    if let Some(empty) = (0..environments).find(|j| cells.iter().all(|cell| cell.environment != *j)) {
        return Err(StabilityError::EmptyEnvironment(empty + 1));
    }
    // From the first variety through its environments to their varieties, until no more are reached.
    let (mut reached, mut seen) = (vec![false; varieties], vec![false; environments]);
    reached[0] = true;
    loop {
        let mut grown = false;
        for cell in cells {
            if reached[cell.variety] != seen[cell.environment] {
                (reached[cell.variety], seen[cell.environment], grown) = (true, true, true);
            }
        }
        if !grown {
            break;
        }
    }
    match reached.iter().position(|r| !r) {
        Some(variety) => Err(StabilityError::Disconnected { variety: variety + 1 }),
        None => Ok(()),
    }
}
