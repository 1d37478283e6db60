//! The two gathers that carry a fit: a variety's part of the border, and the border's part of a variety.
//!
//! A row of Z has a main effect, perhaps a slope, and up to three columns that only say which level the
//! row is of. All loops over pairs of rows are written for exactly that: two running sums and a few
//! indexed ones, with the rows of a variety in ascending order of trial, so that S is written and S⁻¹ read
//! along its rows. They know no variances.

use super::arrow::{add_border, apply_inverse};
use super::design::{Block, Design};
use super::small;

/// What the inner loops need of each row of a block: trial, multiplier over its error variance, water.
struct Packed {
    trial: Vec<u32>,
    scale: Vec<f64>,
    water: Vec<f64>,
}

impl Packed {
    fn new(design: &Design, block: &Block, inverse_residual: &[f64]) -> Packed {
        let rows = block.start..block.start + block.rows;
        let slope = f64::from(u8::from(design.terms.water));
        Packed {
            trial: design.rows[rows.clone()].iter().map(|r| r.trial as u32).collect(),
            scale: rows.clone().map(|i| design.rows[i].multiplier * inverse_residual[i]).collect(),
            water: design.rows[rows].iter().map(|r| slope * r.water).collect(),
        }
    }
}

/// Adds X′V⁻¹X of a block to `s` (p × p, upper entries row by row).
pub fn border(design: &Design, block: &Block, m: &[f64], inverse_residual: &[f64], s: &mut [f64]) {
    if design.trials > 0 {
        let packed = Packed::new(design, block, inverse_residual);
        match design.width - design.lead() {
            0 => trials::<0>(design, block, m, inverse_residual, &packed, s),
            1 => trials::<1>(design, block, m, inverse_residual, &packed, s),
            2 => trials::<2>(design, block, m, inverse_residual, &packed, s),
            _ => trials::<3>(design, block, m, inverse_residual, &packed, s),
        }
    }
    let p = design.border();
    for e in 0..design.extras {
        let column: Vec<f64> =
            (block.start..block.start + block.rows).map(|row| design.row_extras(row)[e]).collect();
        let applied = apply_inverse(design, block, m, inverse_residual, &column);
        let mut border = vec![0.0; p];
        add_border(design, block, &applied, &mut border);
        for (i, value) in border.iter().enumerate().take(design.trials + e + 1) {
            s[i * p + design.trials + e] += value;
        }
    }
}

fn trials<const LEVELS: usize>(
    design: &Design,
    block: &Block,
    m: &[f64],
    inverse_residual: &[f64],
    packed: &Packed,
    s: &mut [f64],
) {
    let (p, q, lead) = (design.border(), block.effects.len(), design.lead());
    let levels = &design.indicators[block.start * LEVELS..(block.start + block.rows) * LEVELS];
    let mut spread = vec![0.0; q];
    for i in 0..block.rows {
        let a = block.start + i;
        spread.fill(0.0);
        for (&c, &z) in design.row_columns(a).iter().zip(design.row_values(a)) {
            for (x, y) in spread.iter_mut().zip(&m[c * q..(c + 1) * q]) {
                *x -= inverse_residual[a] * z * y;
            }
        }
        let slope = if lead > 1 { spread[1] } else { 0.0 };
        let trial = packed.trial[i] as usize;
        let row = &mut s[trial * p..(trial + 1) * p];
        row[trial] += inverse_residual[a];
        let others = packed.trial[i..].iter().zip(&packed.scale[i..]).zip(&packed.water[i..]);
        for (j, ((&other, scale), water)) in others.enumerate() {
            let mut value = spread[0] + water * slope;
            for k in 0..LEVELS {
                value += spread[levels[(i + j) * LEVELS + k] as usize];
            }
            // A variety twice in one trial meets itself in both orders.
            let twice = if j > 0 && other as usize == trial { 2.0 } else { 1.0 };
            row[other as usize] += twice * scale * value;
        }
    }
}

/// Q = X S⁻¹ X′ of one block, seen only through Z: F = Q·R⁻¹Z, W = Z′R⁻¹F and the diagonal of Q.
pub struct BorderShare {
    /// F, a row for each row of the block, q values each.
    pub half: Vec<f64>,
    /// W, q × q.
    pub squared: Vec<f64>,
    /// Diagonal of Q.
    pub diagonal: Vec<f64>,
}

impl BorderShare {
    /// Gathers from S⁻¹ (p × p, both triangles).
    pub fn new(design: &Design, block: &Block, inverse_residual: &[f64], inverse: &[f64]) -> BorderShare {
        let (q, n) = (block.effects.len(), block.rows);
        let packed = Packed::new(design, block, inverse_residual);
        let mut half = vec![0.0; n * q];
        let mut diagonal = vec![0.0; n];
        for i in 0..n {
            let shares = border_row(design, block, i, &packed, inverse);
            diagonal[i] = shares[i];
            let row = &mut half[i * q..(i + 1) * q];
            match design.width - design.lead() {
                0 => project::<0>(design, block, &shares, &packed, row),
                1 => project::<1>(design, block, &shares, &packed, row),
                2 => project::<2>(design, block, &shares, &packed, row),
                _ => project::<3>(design, block, &shares, &packed, row),
            }
        }
        let mut squared = vec![0.0; q * q];
        for i in 0..n {
            let row = block.start + i;
            for (&c, &z) in design.row_columns(row).iter().zip(design.row_values(row)) {
                let weight = z * inverse_residual[row];
                for (x, y) in squared[c * q..(c + 1) * q].iter_mut().zip(&half[i * q..(i + 1) * q]) {
                    *x += weight * y;
                }
            }
        }
        BorderShare { half, squared, diagonal }
    }
}

/// One row of Q over the rows of the block.
fn border_row(design: &Design, block: &Block, i: usize, packed: &Packed, inverse: &[f64]) -> Vec<f64> {
    let p = design.border();
    let row_of = |column: usize| &inverse[column * p..(column + 1) * p];
    if design.extras == 0 {
        let border = row_of(packed.trial[i] as usize);
        return packed.trial.iter().map(|&trial| border[trial as usize]).collect();
    }
    let mut border = if design.trials > 0 { row_of(packed.trial[i] as usize).to_vec() } else { vec![0.0; p] };
    for (e, x) in design.row_extras(block.start + i).iter().enumerate().filter(|(_, x)| **x != 0.0) {
        border.iter_mut().zip(row_of(design.trials + e)).for_each(|(sum, y)| *sum += x * y);
    }
    let mut shares: Vec<f64> = if design.trials > 0 {
        packed.trial.iter().map(|&trial| border[trial as usize]).collect()
    } else {
        vec![0.0; block.rows]
    };
    for (j, share) in shares.iter_mut().enumerate() {
        *share += small::dot(design.row_extras(block.start + j), &border[design.trials..]);
    }
    shares
}

/// Shares·R⁻¹Z into one row of F.
fn project<const LEVELS: usize>(
    design: &Design,
    block: &Block,
    shares: &[f64],
    packed: &Packed,
    row: &mut [f64],
) {
    let levels = &design.indicators[block.start * LEVELS..(block.start + block.rows) * LEVELS];
    let (mut main, mut slope) = (0.0, 0.0);
    for (j, ((share, scale), water)) in shares.iter().zip(&packed.scale).zip(&packed.water).enumerate() {
        let value = share * scale;
        main += value;
        slope += value * water;
        for k in 0..LEVELS {
            row[levels[j * LEVELS + k] as usize] += value;
        }
    }
    row[0] += main;
    if design.lead() > 1 {
        row[1] += slope;
    }
}
