//! Dense kernels for one variety's q × q matrices: row-major slices, no allocation beyond the result.
//!
//! They know nothing of models. q is a few dozen at most, where a library call costs more than it saves.

/// Lower Cholesky factor of a symmetric positive definite q × q matrix, in place (the lower triangle is
/// overwritten, the upper is left as it was). Returns log|A|, or the index of the first pivot that is
/// not positive.
pub fn cholesky(a: &mut [f64], q: usize) -> Result<f64, usize> {
    let mut log_determinant = 0.0;
    for j in 0..q {
        let mut pivot = a[j * q + j];
        for k in 0..j {
            pivot -= a[j * q + k] * a[j * q + k];
        }
        if pivot <= 0.0 || !pivot.is_finite() {
            return Err(j);
        }
        let root = pivot.sqrt();
        log_determinant += 2.0 * root.ln();
        a[j * q + j] = root;
        let (head, tail) = a.split_at_mut((j + 1) * q);
        let row_j = &head[j * q..j * q + j];
        for row_i in tail.chunks_exact_mut(q) {
            row_i[j] = (row_i[j] - dot(&row_i[..j], row_j)) / root;
        }
    }
    Ok(log_determinant)
}

/// Inverse of the lower factor `l` (q × q), lower triangular, the rest zero.
pub fn invert_lower(l: &[f64], q: usize) -> Vec<f64> {
    let mut inverse = vec![0.0; q * q];
    for i in 0..q {
        let diagonal = 1.0 / l[i * q + i];
        let (done, rest) = inverse.split_at_mut(i * q);
        let row = &mut rest[..q];
        for k in 0..i {
            let factor = l[i * q + k];
            if factor != 0.0 {
                for (x, y) in row[..=k].iter_mut().zip(&done[k * q..k * q + k + 1]) {
                    *x -= factor * y;
                }
            }
        }
        for x in &mut row[..i] {
            *x *= diagonal;
        }
        row[i] = diagonal;
    }
    inverse
}

/// A·B for q × q matrices.
pub fn multiply(a: &[f64], b: &[f64], q: usize) -> Vec<f64> {
    let mut product = vec![0.0; q * q];
    add_product(a, b, q, q, &mut product);
    product
}

/// A′ for A with rows of `width`.
pub fn transpose(a: &[f64], width: usize) -> Vec<f64> {
    let height = a.len() / width.max(1);
    (0..width).flat_map(|j| (0..height).map(move |i| a[i * width + j])).collect()
}

/// A + A′ for a q × q matrix, in place.
pub fn add_transposed(a: &mut [f64], q: usize) {
    for i in 0..q {
        for j in 0..=i {
            let sum = a[i * q + j] + a[j * q + i];
            a[i * q + j] = sum;
            a[j * q + i] = sum;
        }
    }
}

/// y += factor·x.
pub fn axpy(factor: f64, x: &[f64], y: &mut [f64]) {
    if factor != 0.0 {
        for (sum, value) in y.iter_mut().zip(x) {
            *sum += factor * value;
        }
    }
}

/// Adds A·B to `sum`, for A with rows of `inner` and B with rows of `width`; zeros of A cost nothing.
pub fn add_product(a: &[f64], b: &[f64], inner: usize, width: usize, sum: &mut [f64]) {
    for (row, factors) in sum.chunks_exact_mut(width).zip(a.chunks_exact(inner.max(1))) {
        for (factor, other) in factors.iter().zip(b.chunks_exact(width)) {
            axpy(*factor, other, row);
        }
    }
}

/// A·x for a matrix with rows as long as x.
pub fn multiply_vector(a: &[f64], x: &[f64]) -> Vec<f64> {
    a.chunks_exact(x.len()).map(|row| dot(row, x)).collect()
}

/// Sum of products, in eight running sums: one alone would wait for each addition to end.
pub fn dot(x: &[f64], y: &[f64]) -> f64 {
    let mut sums = [0.0; 8];
    let (x_lanes, y_lanes) = (x.chunks_exact(8), y.chunks_exact(8));
    let rest: f64 = x_lanes.remainder().iter().zip(y_lanes.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in x_lanes.zip(y_lanes) {
        for lane in 0..8 {
            sums[lane] += a[lane] * b[lane];
        }
    }
    sums.iter().sum::<f64>() + rest
}

/// Solves A·x = b for symmetric positive semidefinite A (q × q) by Cholesky, adding the least ridge that
/// lets every pivot stand. Used for Newton steps, where a direction of descent is all that is needed.
pub fn solve_ridged(a: &[f64], b: &[f64]) -> Vec<f64> {
    let q = b.len();
    let scale = (0..q).map(|i| a[i * q + i].abs()).fold(0.0, f64::max).max(f64::MIN_POSITIVE);
    let mut ridge = 0.0;
    for _ in 0..40 {
        let mut factor = a.to_vec();
        for i in 0..q {
            // A pivot lost to rounding is as good as zero; a pure zero row keeps its own coordinate still.
            factor[i * q + i] += ridge + f64::EPSILON * a[i * q + i].abs();
        }
        if cholesky(&mut factor, q).is_ok() {
            return solve_factored(&factor, b);
        }
        ridge = if ridge == 0.0 { scale * 1e-12 } else { ridge * 10.0 };
    }
    vec![0.0; q]
}

/// A⁻¹ for symmetric positive semidefinite A (q × q), with the ridge of [`solve_ridged`].
pub fn inverse_ridged(a: &[f64], q: usize) -> Vec<f64> {
    let columns = (0..q).flat_map(|j| {
        let unit: Vec<f64> = (0..q).map(|i| f64::from(u8::from(i == j))).collect();
        solve_ridged(a, &unit)
    });
    columns.collect()
}

/// Solves L·L′·x = b for a lower factor in row-major order.
pub fn solve_factored(l: &[f64], b: &[f64]) -> Vec<f64> {
    let q = b.len();
    let mut x = b.to_vec();
    for i in 0..q {
        let dot: f64 = (0..i).map(|k| l[i * q + k] * x[k]).sum();
        x[i] = (x[i] - dot) / l[i * q + i];
    }
    for i in (0..q).rev() {
        let dot: f64 = (i + 1..q).map(|k| l[k * q + i] * x[k]).sum();
        x[i] = (x[i] - dot) / l[i * q + i];
    }
    x
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_factor_times_its_transpose_is_the_matrix(q in 1usize..9, seed in prop::collection::vec(-1.0f64..1.0, 81)) {
            let mut a = vec![0.0; q * q];
            for i in 0..q { for j in 0..q {
                a[i * q + j] = (0..q).map(|k| seed[i * q + k] * seed[j * q + k]).sum::<f64>() + f64::from(u8::from(i == j));
            }}
            let mut l = a.clone();
            let log_determinant = cholesky(&mut l, q).unwrap();
            for i in 0..q { for j in 0..=i {
                let product: f64 = (0..=j).map(|k| l[i * q + k] * l[j * q + k]).sum();
                prop_assert!((product - a[i * q + j]).abs() < 1e-10);
            }}
            let inverse = invert_lower(&l, q);
            let by_diagonal: f64 = -2.0 * (0..q).map(|i| inverse[i * q + i].ln()).sum::<f64>();
            prop_assert!((by_diagonal - log_determinant).abs() < 1e-9);
            let x: Vec<f64> = (0..q).map(|i| seed[80 - i]).collect();
            let solved = solve_ridged(&a, &multiply_vector(&a, &x));
            for (got, want) in solved.iter().zip(&x) { prop_assert!((got - want).abs() < 1e-7); }
        }
    }

    #[test]
    fn a_matrix_that_is_not_positive_names_its_pivot() {
        assert_eq!(cholesky(&mut [1.0, 0.0, 0.0, -1.0], 2), Err(1));
    }
}
