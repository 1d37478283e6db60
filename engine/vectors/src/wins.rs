//! Which of some vectors is greater, draw by draw.

/// Raises each value of `top` to that of `values`.
pub fn greatest(top: &mut [f64], values: &[f64]) {
    for (top, x) in top.iter_mut().zip(values) {
        *top = if *x > *top { *x } else { *top };
    }
}

/// Counts the draws in which `values` is the greatest, in `count`.
pub fn tied(count: &mut [f64], top: &[f64], values: &[f64]) {
    for ((count, top), x) in count.iter_mut().zip(top).zip(values) {
        *count += f64::from(u8::from(x == top));
    }
}

/// Sum over the draws in which `values` is the greatest of 1 shared by those that tie.
pub fn share_won(share: &[f64], top: &[f64], values: &[f64]) -> f64 {
    let here = share.iter().zip(top).zip(values);
    here.map(|((share, top), x)| if x == top { *share } else { 0.0 }).sum()
}

/// Draws in which `a` is greater than `b`, and half of those in which they are equal.
pub fn wins(a: &[f64], b: &[f64]) -> f64 {
    let (mut greater, mut not_less) = (0u32, 0u32);
    for (a, b) in a.iter().zip(b) {
        greater += u32::from(a > b);
        not_less += u32::from(a >= b);
    }
    0.5 * (f64::from(greater) + f64::from(not_less))
}

/// Draws in which `a` is at least `b`.
pub fn at_least(a: &[f64], b: &[f64]) -> usize {
    a.iter().zip(b).map(|(a, b)| u32::from(a >= b)).sum::<u32>() as usize
}
