//! Eigenvalues of a symmetric matrix, and a vector's components along its eigenvectors.
//!
//! Householder's reduction to three diagonals, then implicit QL (Wilkinson & Reinsch 1971, *Handbook for
//! Automatic Computation* II, II/2 and II/4). The vector is turned with the matrix, so that no eigenvector
//! is stored. Knows nothing of trials.

/// Turns of QL for one eigenvalue; two or three are usual.
const MOST_TURNS: usize = 60;

/// The eigenvalues of `a` (size × size, symmetric, row-major) in no order, each with the component of `v`.
pub(super) fn spectrum(mut a: Vec<f64>, mut v: Vec<f64>) -> Vec<(f64, f64)> {
    let size = v.len();
    for column in 0..size.saturating_sub(2) {
        reflect(&mut a, &mut v, column);
    }
    let mut diagonal: Vec<f64> = (0..size).map(|k| a[k * size + k]).collect();
    let mut beside: Vec<f64> =
        (0..size).map(|k| if k + 1 < size { a[(k + 1) * size + k] } else { 0.0 }).collect();
    for first in 0..size {
        for _ in 0..MOST_TURNS {
            let small = |&k: &usize| {
                k + 1 == size || beside[k].abs() <= f64::EPSILON * (diagonal[k].abs() + diagonal[k + 1].abs())
            };
            let last = (first..size).find(small).unwrap_or(first);
            if last == first {
                break;
            }
            turn(&mut diagonal, &mut beside, &mut v, first, last);
        }
    }
    diagonal.into_iter().zip(v).collect()
}

/// Clears a column below the diagonal's neighbour by one reflection of matrix and vector.
fn reflect(a: &mut [f64], v: &mut [f64], column: usize) {
    let size = v.len();
    let from = column + 1;
    let mut normal: Vec<f64> = (from..size).map(|row| a[row * size + column]).collect();
    let length = normal.iter().map(|x| x * x).sum::<f64>().sqrt();
    if length == 0.0 {
        return;
    }
    let image = if normal[0] > 0.0 { -length } else { length };
    normal[0] -= image;
    let squared: f64 = normal.iter().map(|x| x * x).sum();
    let dot = |x: &[f64]| normal.iter().zip(x).map(|(n, x)| n * x).sum::<f64>() * 2.0 / squared;
    let along = dot(&v[from..]);
    v[from..].iter_mut().zip(&normal).for_each(|(x, n)| *x -= along * n);
    let mut product: Vec<f64> =
        (from..size).map(|row| dot(&a[row * size + from..(row + 1) * size])).collect();
    let half = dot(&product) / 2.0;
    product.iter_mut().zip(&normal).for_each(|(p, n)| *p -= half * n);
    for (row, (n_row, p_row)) in normal.iter().zip(&product).enumerate() {
        let line = &mut a[(from + row) * size + from..(from + row + 1) * size];
        for ((x, n), p) in line.iter_mut().zip(&normal).zip(&product) {
            *x -= n_row * p + p_row * n;
        }
    }
    for row in from..size {
        let value = if row == from { image } else { 0.0 };
        a[row * size + column] = value;
        a[column * size + row] = value;
    }
}

/// One implicit QL step on rows `first` to `last`, where `beside[last]` is as good as zero.
fn turn(diagonal: &mut [f64], beside: &mut [f64], v: &mut [f64], first: usize, last: usize) {
    let shift = (diagonal[first + 1] - diagonal[first]) / (2.0 * beside[first]);
    let mut g = diagonal[last] - diagonal[first] + beside[first] / (shift + shift.hypot(1.0).copysign(shift));
    let (mut sine, mut cosine, mut moved) = (1.0, 1.0, 0.0);
    for k in (first..last).rev() {
        let (f, b) = (sine * beside[k], cosine * beside[k]);
        let length = f.hypot(g);
        beside[k + 1] = length;
        if length == 0.0 {
            diagonal[k + 1] -= moved;
            beside[last] = 0.0;
            return;
        }
        sine = f / length;
        cosine = g / length;
        g = diagonal[k + 1] - moved;
        let change = (diagonal[k] - g) * sine + 2.0 * cosine * b;
        moved = sine * change;
        diagonal[k + 1] = g + moved;
        g = cosine * change - b;
        let above = v[k + 1];
        v[k + 1] = sine * v[k] + cosine * above;
        v[k] = cosine * v[k] - sine * above;
    }
    diagonal[first] -= moved;
    beside[first] = g;
    beside[last] = 0.0;
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Sums of λ^k·c² are the moments v′A^k·v, and sums of λ^k the traces, whatever the eigenvectors.
        #[test]
        fn moments_and_traces_are_those_of_the_matrix(
            size in 1_usize..9, rank in 1_usize..9, seed in prop::collection::vec(-1.0..1.0_f64, 90),
        ) {
            let mut a = vec![0.0; size * size];
            for i in 0..size { for j in 0..size {
                a[i * size + j] = (0..rank).map(|k| seed[i * 9 + k] * seed[j * 9 + k]).sum();
            }}
            let v = &seed[81..81 + size];
            let pairs = spectrum(a.clone(), v.to_vec());
            let times = |x: &[f64]| -> Vec<f64> {
                a.chunks_exact(size).map(|row| row.iter().zip(x).map(|(p, q)| p * q).sum()).collect()
            };
            let mut image = v.to_vec();
            for power in 0..6 {
                let moment: f64 = v.iter().zip(&image).map(|(p, q)| p * q).sum();
                let ours: f64 = pairs.iter().map(|(value, part)| value.powi(power) * part * part).sum();
                prop_assert!((moment - ours).abs() <= 1e-12 * (1.0 + moment.abs()), "{power}: {moment} {ours}");
                image = times(&image);
            }
            let trace: f64 = (0..size).map(|k| a[k * size + k]).sum();
            let square: f64 = a.iter().map(|x| x * x).sum();
            prop_assert!((pairs.iter().map(|(value, _)| value).sum::<f64>() - trace).abs() < 1e-12);
            prop_assert!((pairs.iter().map(|(value, _)| value * value).sum::<f64>() - square).abs() < 1e-11);
        }
    }

    #[test]
    fn diagonal_and_repeated_values_are_found() {
        let mut identity = vec![0.0; 16];
        (0..4).for_each(|k| identity[k * 5] = 3.0);
        assert_eq!(spectrum(identity, vec![1.0, 2.0, 3.0, 4.0])[2], (3.0, 3.0));
        assert_eq!(spectrum(vec![0.0; 9], vec![1.0; 3]), vec![(0.0, 1.0); 3]);
        assert!(spectrum(Vec::new(), Vec::new()).is_empty());
    }
}
