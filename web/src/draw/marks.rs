//! The twenty marks of one variety as two paths: the years that are short, and the others.
//!
//! Sown in two drill rows, so that neighbours never hide each other: odd marks above, even ones below.
//! Short ones are crosses, the others dots, and a crop that was not cut is a slanted stroke at zero.

use super::{Scale, at};
use std::fmt::Write;

/// Height of the strip of marks, user units.
pub const HEIGHT: f64 = 22.0;
const LANE: f64 = 4.4;
const DOT: f64 = 3.3;
const CROSS: f64 = 3.0;
const STROKE_STEP: f64 = 5.0;

/// The two paths of a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Marks {
    /// Crosses and slanted strokes, to be stroked.
    pub short: String,
    /// Dots, to be filled.
    pub fine: String,
}

/// Lays out the marks of `seasons` (ascending); the first `failed` were not cut and the first
/// `short` are short of the line.
pub fn marks(seasons: &[f64], failed: u8, short: u8, scale: &Scale) -> Marks {
    let mut out = Marks { short: String::new(), fine: String::new() };
    let middle = HEIGHT / 2.0;
    for (place, value) in seasons.iter().enumerate() {
        let x = scale.place(*value);
        let y = if place % 2 == 0 { middle + LANE } else { middle - LANE };
        if place < usize::from(failed) {
            // Those all stand at zero: spread in pairs, like tallies, so that they can be counted.
            let x = x + STROKE_STEP * (place / 2) as f64;
            _ = write!(out.short, "M{} {}l3.6 -7.2", at(x - 1.8), at(y + 3.6));
        } else if place < usize::from(short) {
            let side = 2.0 * CROSS;
            _ = write!(
                out.short,
                "M{} {}l{side} {side}m-{side} 0l{side} -{side}",
                at(x - CROSS),
                at(y - CROSS)
            );
        } else {
            let width = 2.0 * DOT;
            _ = write!(
                out.fine,
                "M{} {}a{DOT} {DOT} 0 1 0 {width} 0a{DOT} {DOT} 0 1 0 -{width} 0",
                at(x - DOT),
                at(y)
            );
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_year_has_one_mark_of_its_kind() {
        let seasons: Vec<f64> = (0..20).map(|k| f64::from(k.max(2) - 2)).collect();
        let scale = Scale { low: 0.0, high: 20.0, from: 0.0, to: 200.0 };
        let marks = marks(&seasons, 3, 9, &scale);
        assert_eq!(marks.fine.matches('M').count(), 11);
        assert_eq!(marks.short.matches("l3.6").count(), 3);
        assert_eq!(marks.short.matches("l6 6").count(), 6);
    }
}
