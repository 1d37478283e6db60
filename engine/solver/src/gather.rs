//! The two gathers that carry a fit: a variety's part of the border, and the border's part of a variety.
//!
//! A row of Z has a main effect, perhaps a slope, and up to three columns that only say which level the
//! row is of. Rows of a variety stand in ascending order of trial, seasons one after another, so that S is
//! written and S⁻¹ read along its rows, and what a season adds is the same for a whole run of rows. All
//! loops over pairs of rows are written for exactly that. They know no variances.

use super::dense_share::{self, DenseShare};
use super::design::{Block, Design};
use super::small;

/// Rows that follow one another in one season.
struct Run {
    start: usize,
    end: usize,
    /// Column of the season, if the model has one.
    season: Option<usize>,
}

/// What the loops over pairs need of each row of a block, side by side.
struct Lanes {
    trial: Vec<u32>,
    /// Multiplier over error variance.
    scale: Vec<f64>,
    water: Vec<f64>,
    /// Columns of the levels other than the season: none, one or two to a row.
    levels: [Vec<u32>; 2],
    /// Whether the second column is a slope.
    slope: bool,
    runs: Vec<Run>,
}

impl Lanes {
    fn new(design: &Design, block: &Block, inverse_residual: &[f64]) -> Lanes {
        let rows = block.start..block.start + block.rows;
        let (lead, terms) = (design.lead(), design.terms);
        let column = |place: usize| -> Vec<u32> {
            rows.clone().map(|row| design.row_columns(row)[lead + place] as u32).collect()
        };
        let season_place = terms.season.then_some(usize::from(terms.site));
        let mut others = (0..design.width - lead).filter(|place| Some(*place) != season_place).map(column);
        let levels = [others.next().unwrap_or_default(), others.next().unwrap_or_default()];
        let mut runs: Vec<Run> = Vec::new();
        for row in rows.clone() {
            let season = season_place.map(|place| design.row_columns(row)[lead + place]);
            match runs.last_mut() {
                Some(run) if run.season == season => run.end += 1,
                _ => runs.push(Run { start: row - block.start, end: row - block.start + 1, season }),
            }
        }
        Lanes {
            trial: design.rows[rows.clone()].iter().map(|r| r.trial as u32).collect(),
            scale: rows.clone().map(|i| design.rows[i].multiplier * inverse_residual[i]).collect(),
            water: design.rows[rows].iter().map(|r| r.water).collect(),
            levels,
            slope: terms.water,
            runs,
        }
    }

    /// Number of levels of a row other than its season.
    fn other_levels(&self) -> usize {
        self.levels.iter().filter(|columns| !columns.is_empty()).count()
    }
}

/// Adds X′V⁻¹X of a block to `s` (p × p, upper entries row by row).
pub fn border(design: &Design, block: &Block, m: &[f64], inverse_residual: &[f64], s: &mut [f64]) {
    if design.trials > 0 {
        let lanes = Lanes::new(design, block, inverse_residual);
        match lanes.other_levels() {
            0 => trials::<0>(design, block, m, inverse_residual, &lanes, s),
            1 => trials::<1>(design, block, m, inverse_residual, &lanes, s),
            _ => trials::<2>(design, block, m, inverse_residual, &lanes, s),
        }
    }
    if design.extras > 0 {
        dense_share::border(design, block, m, inverse_residual, s);
    }
}

/// −w·M·z of a row.
fn shrunk_row(design: &Design, row: usize, m: &[f64], weight: f64, out: &mut [f64]) {
    let q = out.len();
    out.fill(0.0);
    for (&c, &z) in design.row_columns(row).iter().zip(design.row_values(row)) {
        small::axpy(-weight * z, &m[c * q..(c + 1) * q], out);
    }
}

fn trials<const LEVELS: usize>(
    design: &Design,
    block: &Block,
    m: &[f64],
    inverse_residual: &[f64],
    lanes: &Lanes,
    s: &mut [f64],
) {
    let p = design.border();
    let mut spread = vec![0.0; block.effects.len()];
    let mut first_run = 0;
    for i in 0..block.rows {
        let weight = inverse_residual[block.start + i];
        shrunk_row(design, block.start + i, m, weight, &mut spread);
        let slope = if lanes.slope { spread[1] } else { 0.0 };
        let trial = lanes.trial[i] as usize;
        let row = &mut s[trial * p..(trial + 1) * p];
        row[trial] += weight;
        first_run += usize::from(lanes.runs[first_run].end <= i);
        for run in &lanes.runs[first_run..] {
            let here = run.start.max(i)..run.end;
            let base = spread[0] + run.season.map_or(0.0, |column| spread[column]);
            let (trial, scale) = (&lanes.trial[here.clone()], &lanes.scale[here.clone()]);
            let (water, n) = (&lanes.water[here.clone()], scale.len());
            let levels = [0, 1].map(|k| if k < LEVELS { &lanes.levels[k][here.clone()] } else { &[] });
            for j in 0..n {
                let mut value = base + water[j] * slope;
                for column in levels.iter().take(LEVELS) {
                    value += spread[column[j] as usize];
                }
                row[trial[j] as usize] += scale[j] * value;
            }
        }
        // A variety twice in one trial meets itself in both orders.
        let again = (i + 1..block.rows).take_while(|&j| lanes.trial[j] as usize == trial);
        for j in again {
            row[trial] += inverse_residual[block.start + j] * design.row_dot(block.start + j, &spread);
        }
    }
}

/// Q = X S⁻¹ X′ of one block, as far as traces need it.
pub struct BorderShare {
    /// Z′R⁻¹QR⁻¹Z, q × q.
    pub squared: Vec<f64>,
    /// For each row i, Q_ii − 2·(QR⁻¹Z)_i·M·z_i; empty unless asked for.
    pub by_row: Vec<f64>,
}

impl BorderShare {
    /// Gathers from S⁻¹ (p × p). `by_row` is M where single rows are asked for, at twice the cost. Without
    /// them the upper entries of S⁻¹ are all that is read.
    pub fn new(
        design: &Design,
        block: &Block,
        inverse_residual: &[f64],
        inverse: &[f64],
        by_row: Option<&[f64]>,
    ) -> BorderShare {
        let lanes = Lanes::new(design, block, inverse_residual);
        match lanes.other_levels() {
            0 => share::<0>(design, block, &lanes, inverse_residual, inverse, by_row),
            1 => share::<1>(design, block, &lanes, inverse_residual, inverse, by_row),
            _ => share::<2>(design, block, &lanes, inverse_residual, inverse, by_row),
        }
    }
}

fn share<const LEVELS: usize>(
    design: &Design,
    block: &Block,
    lanes: &Lanes,
    inverse_residual: &[f64],
    inverse: &[f64],
    conditional: Option<&[f64]>,
) -> BorderShare {
    let (q, p) = (block.effects.len(), design.border());
    let mut squared = vec![0.0; q * q];
    let mut by_row = vec![0.0; if conditional.is_some() { block.rows } else { 0 }];
    let (mut row_sum, mut run_sum, mut shrunk) = (vec![0.0; q], vec![0.0; q], vec![0.0; q]);
    // Without columns of trials only dense ones share anything.
    let runs: &[Run] = if design.trials > 0 { &lanes.runs } else { &[] };
    for run in runs {
        run_sum.fill(0.0);
        for i in run.start..run.end {
            let trial = lanes.trial[i] as usize;
            let border = &inverse[trial * p..(trial + 1) * p];
            row_sum.fill(0.0);
            // A pair is met once, in W's upper or lower half by chance; W + W′ then has each in both.
            let (from, own) = if conditional.is_some() { (0, 0.0) } else { (i + 1, 0.5) };
            project::<LEVELS>(lanes, from, border, &mut row_sum);
            let own_share = border[trial];
            let row = block.start + i;
            for (&c, &z) in design.row_columns(row).iter().zip(design.row_values(row)) {
                row_sum[c] += own * own_share * inverse_residual[row] * z;
            }
            if let Some(m) = conditional {
                shrunk_row(design, row, m, -1.0, &mut shrunk);
                by_row[i] = own_share - 2.0 * small::dot(&row_sum, &shrunk);
            }
            let scale = lanes.scale[i];
            small::axpy(scale, &row_sum, &mut run_sum);
            if lanes.slope {
                small::axpy(scale * lanes.water[i], &row_sum, &mut squared[q..2 * q]);
            }
            for columns in lanes.levels.iter().take(LEVELS) {
                let c = columns[i] as usize;
                small::axpy(scale, &row_sum, &mut squared[c * q..(c + 1) * q]);
            }
        }
        small::axpy(1.0, &run_sum, &mut squared[..q]);
        if let Some(c) = run.season {
            small::axpy(1.0, &run_sum, &mut squared[c * q..(c + 1) * q]);
        }
    }
    if conditional.is_none() {
        small::add_transposed(&mut squared, q);
    }
    if design.extras > 0 {
        let dense = DenseShare::new(design, block, inverse_residual, inverse);
        dense.add_squared(&mut squared);
        if let Some(m) = conditional {
            dense.add_by_row(design, block, m, &mut by_row);
        }
    }
    BorderShare { squared, by_row }
}

/// Adds Σ_j border[trial_j]·R⁻¹_j·z_j over the rows from `from` on to `sum`.
fn project<const LEVELS: usize>(lanes: &Lanes, from: usize, border: &[f64], sum: &mut [f64]) {
    let (mut main, mut slope) = (0.0, 0.0);
    let first = lanes.runs.partition_point(|run| run.end <= from);
    for run in &lanes.runs[first..] {
        let here = run.start.max(from)..run.end;
        let (trial, scale) = (&lanes.trial[here.clone()], &lanes.scale[here.clone()]);
        let (water, n) = (&lanes.water[here.clone()], scale.len());
        let levels = [0, 1].map(|k| if k < LEVELS { &lanes.levels[k][here.clone()] } else { &[] });
        let mut season = 0.0;
        for j in 0..n {
            let value = border[trial[j] as usize] * scale[j];
            season += value;
            slope += value * water[j];
            for column in levels.iter().take(LEVELS) {
                sum[column[j] as usize] += value;
            }
        }
        main += season;
        if let Some(column) = run.season {
            sum[column] += season;
        }
    }
    sum[0] += main;
    if lanes.slope {
        sum[1] += slope;
    }
}
