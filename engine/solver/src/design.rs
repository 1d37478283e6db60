//! The rows of a fit, laid out variety by variety, with the sparse design of each row.
//!
//! It knows indices and numbers only: no names, units or files. A *block* is one variety (or, for the
//! model of trial levels, the whole network as one block). Each row of Z has as many non-zeros as there
//! are terms; the columns of a block are numbered from 0.

use super::terms::Terms;

/// One observation as it comes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Block (variety).
    pub block: usize,
    /// Border column of the row's trial, if trials are fixed effects.
    pub trial: usize,
    /// Site.
    pub site: usize,
    /// Season.
    pub season: usize,
    /// Production system, which also chooses the residual variance.
    pub system: usize,
    /// Water, centred and scaled; 0 where the system carries no slope.
    pub water: f64,
    /// What the variety's effects are multiplied by in this trial: 1 unless they grow with its level.
    pub multiplier: f64,
    /// Observed value.
    pub value: f64,
    /// Known part of its error variance; 0 where nothing is known.
    pub known_variance: f64,
    /// What its system's residual variance is divided by: 1 but for means of unequal numbers of plots.
    pub weight: f64,
}

/// A dense border column: one value a row, and what is known of its coefficient beforehand.
#[derive(Debug, Clone, PartialEq)]
pub struct Extra {
    /// Values, in the order of the rows.
    pub values: Vec<f64>,
    /// Prior mean and variance of the coefficient; `None` leaves it free.
    pub prior: Option<(f64, f64)>,
}

/// What a column of Z belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effect {
    /// The main effect of the block.
    Intercept,
    /// The slope on water, correlated with the main effect.
    Slope,
    /// Block × site, with the site.
    Site(usize),
    /// Block × season, with the season.
    Season(usize),
    /// Block × system, with the system.
    System(usize),
}

/// One block: its rows in ascending order of trial, and its columns of Z.
#[derive(Debug, Clone)]
pub struct Block {
    /// First of its rows in the design.
    pub start: usize,
    /// Number of rows.
    pub rows: usize,
    /// What each of the q columns of Z is.
    pub effects: Vec<Effect>,
}

/// All rows of a fit in the order of the solver.
#[derive(Debug, Clone)]
pub struct Design {
    /// Blocks, by index.
    pub blocks: Vec<Block>,
    /// Rows, sorted by block, then trial.
    pub rows: Vec<Row>,
    /// Place of each sorted row in the caller's list.
    pub order: Vec<usize>,
    /// Columns of Z for each row, `width` to a row.
    pub columns: Vec<usize>,
    /// Values of Z, aligned with `columns`.
    pub values: Vec<f64>,
    /// Non-zeros of Z in a row.
    pub width: usize,
    /// Columns of Z of a row that only say which level it is of, `width` less main effect and slope to a row.
    pub indicators: Vec<u32>,
    /// Fixed trial effects (indicator columns of the border).
    pub trials: usize,
    /// Dense border columns behind the trials.
    pub extras: usize,
    /// Values of the dense border columns, `extras` to a sorted row.
    pub extra_values: Vec<f64>,
    /// Prior of each dense border column's coefficient: mean and variance, or free.
    pub extra_priors: Vec<Option<(f64, f64)>>,
    /// Number of residual variances.
    pub systems: usize,
    /// Effects in the model.
    pub terms: Terms,
}

impl Design {
    /// Lays out `rows`. `extras` holds the dense border columns, each as long as `rows`; `trials` is the
    /// number of indicator columns (0 leaves trials out of the border), `blocks` and `systems` the
    /// number of blocks and of residual variances.
    pub fn new(
        rows: &[Row],
        extras: &[Extra],
        blocks: usize,
        trials: usize,
        systems: usize,
        terms: Terms,
    ) -> Design {
        let mut order: Vec<usize> = (0..rows.len()).collect();
        order.sort_by_key(|&i| (rows[i].block, rows[i].trial, i));
        let sorted: Vec<Row> = order.iter().map(|&i| rows[i]).collect();
        let width = 1
            + usize::from(terms.water)
            + usize::from(terms.site)
            + usize::from(terms.season)
            + usize::from(terms.system);
        let mut design = Design {
            blocks: Vec::with_capacity(blocks),
            columns: Vec::with_capacity(rows.len() * width),
            values: Vec::with_capacity(rows.len() * width),
            width,
            indicators: Vec::new(),
            trials,
            extras: extras.len(),
            extra_values: order.iter().flat_map(|&i| extras.iter().map(move |e| e.values[i])).collect(),
            extra_priors: extras.iter().map(|e| e.prior).collect(),
            systems,
            terms,
            rows: sorted,
            order,
        };
        let mut start = 0;
        for block in 0..blocks {
            let rows = design.rows[start..].iter().take_while(|r| r.block == block).count();
            let effects = design.lay_block(start, rows);
            design.blocks.push(Block { start, rows, effects });
            start += rows;
        }
        let lead = design.lead();
        design.indicators =
            design.columns.chunks_exact(width).flat_map(|c| c[lead..].iter().map(|&c| c as u32)).collect();
        design
    }

    /// Numbers the columns of one block and writes its rows of Z.
    fn lay_block(&mut self, start: usize, rows: usize) -> Vec<Effect> {
        let mut effects = vec![Effect::Intercept];
        if self.terms.water {
            effects.push(Effect::Slope);
        }
        let mut distinct = |wanted: bool, of: fn(&Row) -> usize, as_effect: fn(usize) -> Effect| {
            if wanted {
                let mut levels: Vec<usize> = self.rows[start..start + rows].iter().map(of).collect();
                levels.sort_unstable();
                levels.dedup();
                effects.extend(levels.into_iter().map(as_effect));
            }
        };
        distinct(self.terms.site, |r| r.site, Effect::Site);
        distinct(self.terms.season, |r| r.season, Effect::Season);
        distinct(self.terms.system, |r| r.system, Effect::System);
        for row in start..start + rows {
            let r = self.rows[row];
            let mut put = |effect: Effect, value: f64| {
                // Every level of the block's rows was listed above.
                let column = effects.iter().position(|&e| e == effect).unwrap_or_default();
                self.columns.push(column);
                self.values.push(value);
            };
            put(Effect::Intercept, r.multiplier);
            if self.terms.water {
                put(Effect::Slope, r.multiplier * r.water);
            }
            if self.terms.site {
                put(Effect::Site(r.site), r.multiplier);
            }
            if self.terms.season {
                put(Effect::Season(r.season), r.multiplier);
            }
            if self.terms.system {
                put(Effect::System(r.system), r.multiplier);
            }
        }
        effects
    }

    /// Number of border columns, trials and extras.
    pub fn border(&self) -> usize {
        self.trials + self.extras
    }

    /// Border columns whose coefficient is free: those that count as parameters of the mean.
    pub fn free_border(&self) -> usize {
        self.border() - self.extra_priors.iter().flatten().count()
    }

    /// Columns of Z that every row of a block shares: main effect and slope.
    pub fn lead(&self) -> usize {
        1 + usize::from(self.terms.water)
    }

    /// Columns of Z of a sorted row.
    pub fn row_columns(&self, row: usize) -> &[usize] {
        &self.columns[row * self.width..(row + 1) * self.width]
    }

    /// Values of Z of a sorted row, aligned with [`Design::row_columns`].
    pub fn row_values(&self, row: usize) -> &[f64] {
        &self.values[row * self.width..(row + 1) * self.width]
    }

    /// z′x of a row, x by the columns of its block.
    pub fn row_dot(&self, row: usize, x: &[f64]) -> f64 {
        self.row_columns(row).iter().zip(self.row_values(row)).map(|(&c, &z)| z * x[c]).sum()
    }

    /// Z′v of a block, for v with a value for each of its rows.
    pub fn transposed(&self, block: &Block, v: &[f64]) -> Vec<f64> {
        let mut sums = vec![0.0; block.effects.len()];
        for (i, &value) in v.iter().enumerate() {
            let row = block.start + i;
            for (&c, &z) in self.row_columns(row).iter().zip(self.row_values(row)) {
                sums[c] += z * value;
            }
        }
        sums
    }

    /// Dense border values of a sorted row.
    pub fn row_extras(&self, row: usize) -> &[f64] {
        &self.extra_values[row * self.extras..(row + 1) * self.extras]
    }
}
