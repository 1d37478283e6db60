//! Blocked kernels for the one large matrix of a fit, row by row, p × p.
//!
//! Everything is built on one product, C −= A′·B over rows of A and B, in small squares of C that stay in
//! registers while both are read along their rows. The order of each sum is fixed, so that every
//! machine, with wide registers or without, gives the same digits. They know nothing of models.

/// Rows of C that are worked on together.
const HEIGHT: usize = 4;
/// Columns of C that are worked on together: as many as a machine has registers for.
const WIDTH: usize = if cfg!(target_arch = "wasm32") { 4 } else { 8 };
/// Rows of a panel.
const PANEL: usize = 64;

/// Runs `work` with the widest registers that this processor has.
#[cfg(not(target_arch = "wasm32"))]
fn widest<T>(work: impl FnOnce() -> T) -> T {
    pulp::Arch::new().dispatch(work)
}

/// Runs `work`; a phone may have no wide registers.
#[cfg(target_arch = "wasm32")]
fn widest<T>(work: impl FnOnce() -> T) -> T {
    work()
}

/// Some rows of a matrix, packed in strips so that a product reads them in order: entry (k, c) of the
/// columns from `first` on stands at `(strip·rows + k)·N + lane`, c = strip·N + lane, the rest zero.
#[derive(Default)]
struct Strips<const N: usize> {
    values: Vec<[f64; N]>,
    rows: usize,
}

impl<const N: usize> Strips<N> {
    /// Rows `rows` and columns `columns` of `source`.
    #[inline(always)]
    fn pack(
        &mut self,
        source: &[f64],
        p: usize,
        rows: std::ops::Range<usize>,
        columns: std::ops::Range<usize>,
    ) {
        self.rows = rows.len();
        self.values.clear();
        for first in columns.clone().step_by(N) {
            let width = N.min(columns.end - first);
            for k in rows.clone() {
                let here = &source[k * p + first..k * p + first + width];
                self.values.push(here.first_chunk().copied().unwrap_or_else(|| {
                    let mut lanes = [0.0; N];
                    lanes[..width].copy_from_slice(here);
                    lanes
                }));
            }
        }
    }

    #[inline(always)]
    fn strip(&self, strip: usize, from: usize) -> &[[f64; N]] {
        &self.values[strip * self.rows + from..(strip + 1) * self.rows]
    }
}

/// Σ_k a_k·b_k′ over rows packed side by side.
#[inline(always)]
fn square(a: &[[f64; HEIGHT]], b: &[[f64; WIDTH]]) -> [[f64; WIDTH]; HEIGHT] {
    let mut sum = [[0.0; WIDTH]; HEIGHT];
    for (a, b) in a.iter().zip(b) {
        for (row, x) in sum.iter_mut().zip(a) {
            for (value, y) in row.iter_mut().zip(b) {
                *value += x * y;
            }
        }
    }
    sum
}

/// Adds `sign`·A′B to rows `top..` of `target` at columns `left..left + width`, for one strip of B. `skip`
/// is the number of rows of A and B that B's strip has nothing in.
#[inline(always)]
fn add_strip(
    target: &mut [f64],
    p: usize,
    (top, height): (usize, usize),
    (left, width): (usize, usize),
    a: &Strips<HEIGHT>,
    b: &[[f64; WIDTH]],
    (skip, sign): (usize, f64),
) {
    for (strip, first) in (0..height).step_by(HEIGHT).enumerate() {
        let sums = square(a.strip(strip, skip), &b[skip..]);
        for (i, sums) in sums.iter().enumerate().take(height - first) {
            let start = (top + first + i) * p + left;
            for (x, sum) in target[start..start + width].iter_mut().zip(sums) {
                *x += sign * sum;
            }
        }
    }
}

/// Cholesky factor of S = U′U in place, from and to the upper entries row by row; below stays as it was.
///
/// # Errors
/// The index of the first pivot that is not positive.
pub(super) fn factor(s: &mut [f64], p: usize) -> Result<(), usize> {
    widest(
        #[inline(always)]
        || {
            let (mut a, mut b) = (Strips::<HEIGHT>::default(), Strips::<WIDTH>::default());
            for top in (0..p).step_by(PANEL) {
                let height = PANEL.min(p - top);
                a.pack(s, p, 0..top, top..top + height);
                for left in (top..p).step_by(WIDTH) {
                    let width = WIDTH.min(p - left);
                    b.pack(s, p, 0..top, left..left + width);
                    add_strip(s, p, (top, height), (left, width), &a, b.strip(0, 0), (0, -1.0));
                }
                for k in top..top + height {
                    let (done, row) = s.split_at_mut(k * p);
                    let row = &mut row[k..p];
                    for above in top..k {
                        let above = &done[above * p + k..(above + 1) * p];
                        let factor = above[0];
                        row.iter_mut().zip(above).for_each(|(x, y)| *x -= factor * y);
                    }
                    let pivot = row[0];
                    if pivot <= 0.0 || !pivot.is_finite() {
                        return Err(k);
                    }
                    let root = pivot.sqrt();
                    row.iter_mut().for_each(|x| *x /= root);
                }
            }
            Ok(())
        },
    )
}

/// Upper entries of S⁻¹ from the factor U, row by row; what stands below is of no use.
pub(super) fn inverse(u: &[f64], p: usize) -> Vec<f64> {
    let mut t = vec![0.0; p * p];
    widest(
        #[inline(always)]
        || {
            invert_transposed(u, p, &mut t);
            square_upper(&mut t, p);
        },
    );
    t
}

/// T = U′⁻¹, lower, row by row: T_m = (e_m − Σ_{k<m} U_km·T_k)/U_mm.
#[inline(always)]
fn invert_transposed(u: &[f64], p: usize, t: &mut [f64]) {
    let (mut a, mut b) = (Strips::<HEIGHT>::default(), Strips::<WIDTH>::default());
    for top in (0..p).step_by(PANEL) {
        let height = PANEL.min(p - top);
        a.pack(u, p, 0..top, top..top + height);
        for left in (0..top).step_by(WIDTH) {
            let width = WIDTH.min(top - left);
            b.pack(t, p, 0..top, left..left + width);
            add_strip(t, p, (top, height), (left, width), &a, b.strip(0, 0), (left, -1.0));
        }
        for m in top..top + height {
            let (done, row) = t.split_at_mut(m * p);
            let row = &mut row[..=m];
            for k in top..m {
                let factor = u[k * p + m];
                row[..=k].iter_mut().zip(&done[k * p..=k * p + k]).for_each(|(x, y)| *x -= factor * y);
            }
            row[m] = 1.0;
            let pivot = u[m * p + m];
            row.iter_mut().for_each(|x| *x /= pivot);
        }
    }
}

/// T′T in place, upper entries, for lower T: row i of the product needs T from row i on, so the rows before
/// may go.
#[inline(always)]
fn square_upper(t: &mut [f64], p: usize) {
    let (mut a, mut b) = (Strips::<HEIGHT>::default(), Strips::<WIDTH>::default());
    let mut panel = vec![0.0; PANEL * p];
    for top in (0..p).step_by(PANEL) {
        let height = PANEL.min(p - top);
        a.pack(t, p, top..p, top..top + height);
        panel.fill(0.0);
        for left in (top..p).step_by(WIDTH) {
            let width = WIDTH.min(p - left);
            b.pack(t, p, top..p, left..left + width);
            let skip = left - top;
            add_strip(&mut panel, p, (0, height), (left, width), &a, b.strip(0, 0), (skip, 1.0));
        }
        for i in 0..height {
            let row = top + i;
            t[row * p + row..(row + 1) * p].copy_from_slice(&panel[i * p + row..(i + 1) * p]);
        }
    }
}
