//! The classical stability numbers of a complete table, one a variety, in the table's order.
//!
//! Each is the formula of its first author, with the yields as they are (the joint regression of 1963 took
//! logarithms: put them into the table). It knows one table and nothing of where it came from.

use super::{CompleteTable, StabilityError, mean};
use statrs::distribution::{ContinuousCDF, Normal};

/// A variety's line on the environments' means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regression {
    /// Yield gained for one unit more of the environment's mean: 1 on average, above 1 where a variety
    /// answers to better environments more than others do.
    pub slope: f64,
    /// Mean square of the deviations from the line, yield unit squared.
    pub deviation_ms: f64,
}

/// Joint regression: with I_j = Ȳ_.j − Ȳ.., slope b_i = Σ_j Y_ij·I_j / Σ_j I_j² (Finlay & Wilkinson 1963,
/// Aust. J. Agric. Res. 14:742–754) and deviation mean square Σ_j (Y_ij − Ȳ_i. − b_i·I_j)²/(n − 2) (Eberhart
/// & Russell 1966, Crop Sci. 6:36–40, who then take off the error mean square of a mean).
///
/// # Errors
/// Fewer than three environments, or environments all of one mean.
pub fn joint_regression(table: &CompleteTable) -> Result<Vec<Regression>, StabilityError> {
    table.needs(2, 3)?;
    let means = table.environment_means();
    let grand = mean(&means);
    let index: Vec<f64> = means.iter().map(|m| m - grand).collect();
    let squares: f64 = index.iter().map(|x| x * x).sum();
    // What rounding leaves of equal means is no spread.
    let greatest = means.iter().fold(0.0f64, |greatest, m| greatest.max(m.abs()));
    if squares.sqrt() <= 1e-12 * greatest {
        return Err(StabilityError::NoSpread);
    }
    let freedom = (table.environments() - 2) as f64;
    let lines = table.rows().map(|row| {
        let slope = row.iter().zip(&index).map(|(y, x)| y * x).sum::<f64>() / squares;
        let own = mean(row);
        let left: f64 = row.iter().zip(&index).map(|(y, x)| (y - own - slope * x).powi(2)).sum();
        Regression { slope, deviation_ms: left / freedom }
    });
    Ok(lines.collect())
}

/// Ecovalence, a variety's part of the interaction sum of squares, yield unit squared: W_i = Σ_j (Y_ij − Ȳ_i.
/// − Ȳ_.j + Ȳ..)² (Wricke 1962, Z. Pflanzenzücht. 47:92–96).
pub fn ecovalence(table: &CompleteTable) -> Vec<f64> {
    let means = table.environment_means();
    let grand = mean(&means);
    let of_row = |row: &[f64]| {
        let own = mean(row);
        row.iter().zip(&means).map(|(y, environment)| (y - own - environment + grand).powi(2)).sum()
    };
    table.rows().map(of_row).collect()
}

/// Stability variance, the unbiased estimate of a variety's interaction variance, yield unit squared; it may
/// fall below 0: σ²_i = [k(k − 1)·W_i − Σ_i W_i] / ((n − 1)(k − 1)(k − 2)) (Shukla 1972, Heredity
/// 29:237–245).
///
/// # Errors
/// Fewer than three varieties.
pub fn stability_variance(table: &CompleteTable) -> Result<Vec<f64>, StabilityError> {
    table.needs(3, 2)?;
    let (k, n) = (table.varieties() as f64, table.environments() as f64);
    let parts = ecovalence(table);
    let total: f64 = parts.iter().sum();
    let of_part = |w: &f64| (k * (k - 1.0) * w - total) / ((n - 1.0) * (k - 1.0) * (k - 2.0));
    Ok(parts.iter().map(of_part).collect())
}

/// Superiority, half the mean square distance from the best of each environment, yield unit squared; the
/// smaller the better: P_i = Σ_j (Y_ij − max_i Y_ij)²/(2n) (Lin & Binns 1988, Can. J. Plant Sci. 68:193–198).
pub fn superiority(table: &CompleteTable) -> Vec<f64> {
    let best: Vec<f64> =
        (0..table.environments()).map(|j| table.column(j).fold(f64::NEG_INFINITY, f64::max)).collect();
    let twice = 2.0 * table.environments() as f64;
    table.rows().map(|row| row.iter().zip(&best).map(|(y, m)| (y - m).powi(2)).sum::<f64>() / twice).collect()
}

/// Standard deviation over environments, S_i with n − 1, yield unit.
pub fn standard_deviations(table: &CompleteTable) -> Vec<f64> {
    table.rows().map(standard_deviation).collect()
}

fn standard_deviation(values: &[f64]) -> f64 {
    let own = mean(values);
    (values.iter().map(|y| (y - own).powi(2)).sum::<f64>() / (values.len() - 1) as f64).sqrt()
}

/// Chance that a variety yields below a level in an environment drawn like those of the table, 0–1, by the
/// normal law: Φ((level − Ȳ_i.)/S_i) (Eskridge 1990, Crop Sci. 30:369–374). `level` is in the table's unit.
pub fn chance_below(table: &CompleteTable, level: f64) -> Vec<f64> {
    table.rows().map(|row| normal_below(level - mean(row), standard_deviation(row))).collect()
}

/// Chance that a variety yields above a check in an environment drawn like those of the table, 0–1, by the
/// normal law of their difference: Φ(d̄_i/s_d) (Eskridge 1990, as above). The check against itself has ½.
///
/// # Errors
/// [`StabilityError::Outside`] where `check` is no row of the table.
pub fn chance_above(table: &CompleteTable, check: usize) -> Result<Vec<f64>, StabilityError> {
    let (varieties, environments) = (table.varieties(), table.environments());
    if check >= varieties {
        return Err(StabilityError::Outside { variety: check + 1, environment: 1, varieties, environments });
    }
    let against = |row: &[f64]| {
        let differences: Vec<f64> = row.iter().zip(table.row(check)).map(|(y, c)| y - c).collect();
        normal_below(mean(&differences), standard_deviation(&differences))
    };
    Ok(table.rows().map(against).collect())
}

/// Φ(distance/sd); where nothing varies, 0, ½ or 1 by the sign of the distance.
fn normal_below(distance: f64, sd: f64) -> f64 {
    if sd > 0.0 {
        Normal::standard().cdf(distance / sd)
    } else if distance == 0.0 {
        0.5
    } else {
        f64::from(u8::from(distance > 0.0))
    }
}

/// The yield that a variety exceeds in a share `reliability` of environments, by the normal law, table's
/// unit: Ȳ_i. − z(reliability)·S_i (Annicchiarico 1992, J. Genet. Breed. 46:269–278, on the table of
/// [`CompleteTable::in_percent`]).
///
/// # Errors
/// [`StabilityError::NotAChance`] where the share is not between 0 and 1.
pub fn reliability(table: &CompleteTable, reliability: f64) -> Result<Vec<f64>, StabilityError> {
    if !(reliability > 0.0 && reliability < 1.0) {
        return Err(StabilityError::NotAChance(reliability));
    }
    let z = Normal::standard().inverse_cdf(reliability);
    Ok(table.rows().map(|row| mean(row) - z * standard_deviation(row)).collect())
}
