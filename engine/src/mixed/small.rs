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
    for i in 0..q {
        let row = &mut product[i * q..(i + 1) * q];
        for k in 0..q {
            let factor = a[i * q + k];
            if factor != 0.0 {
                for (x, y) in row.iter_mut().zip(&b[k * q..(k + 1) * q]) {
                    *x += factor * y;
                }
            }
        }
    }
    product
}

/// Order from which a library's product is faster than a plain loop.
const LARGE: usize = 24;

/// A·B′ for dense q × q matrices.
pub fn multiply_transposed(a: &[f64], b: &[f64], q: usize) -> Vec<f64> {
    let mut product = vec![0.0; q * q];
    if q < LARGE {
        for (row, x) in product.chunks_exact_mut(q).zip(a.chunks_exact(q)) {
            for (value, y) in row.iter_mut().zip(b.chunks_exact(q)) {
                *value = dot(x, y);
            }
        }
        return product;
    }
    faer::linalg::matmul::matmul(
        faer::MatMut::from_row_major_slice_mut(&mut product, q, q),
        faer::Accum::Replace,
        faer::MatRef::from_row_major_slice(a, q, q),
        faer::MatRef::from_row_major_slice(b, q, q).transpose(),
        1.0,
        faer::Par::Seq,
    );
    product
}

/// A·x for a q × q matrix.
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

/// A′ for a q × q matrix.
pub fn transpose(a: &[f64], q: usize) -> Vec<f64> {
    (0..q * q).map(|e| a[(e % q) * q + e / q]).collect()
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
