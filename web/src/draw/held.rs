//! Twenty marks of a season that is over: results inside the range they were given, and those outside it, with a
//! line where the promise of four in five stands.
//!
//! The same signs as in the list: a dot for what came as said, a cross for what did not.

use super::drawing::{Drawing, Ink, Shape};
use super::{Scale, at, marks};

/// Marks of a season, and how many of them were promised to be inside.
pub const MARKS: u8 = 20;
/// See [`MARKS`].
pub const PROMISED: u8 = 16;

/// How many of twenty marks stand for `held` of `n` results.
pub fn marks_held(held: u32, n: u32) -> u8 {
    (f64::from(MARKS) * f64::from(held) / f64::from(n.max(1))).round() as u8
}

/// The strip of a season.
pub fn held(marks_held: u8, words: (String, String), width: f64) -> Drawing {
    let places: Vec<f64> = (0..MARKS).map(|k| f64::from(k) + 0.5).collect();
    let scale = Scale { low: 0.0, high: f64::from(MARKS), from: 0.0, to: width };
    // Crosses come first in a strip of marks: counted from the right, those outside are on the right.
    let turned = Scale { from: width, to: 0.0, ..scale };
    let drawn = marks::marks(&places, 0, MARKS - marks_held.min(MARKS), &turned);
    let line = format!("M{} 0V{}", at(scale.place(f64::from(PROMISED))), marks::HEIGHT);
    Drawing {
        size: (width, marks::HEIGHT),
        title: words.0,
        description: words.1,
        shapes: vec![
            Shape::Path(Ink::Tick, line),
            Shape::Path(Ink::Fine, drawn.fine),
            Shape::Path(Ink::Short, drawn.short),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_season_has_twenty_marks_in_the_share_that_held() {
        assert_eq!((marks_held(85, 100), marks_held(41, 100), marks_held(0, 0)), (17, 8, 0));
        let drawing = held(17, ("title".into(), "what".into()), 300.0);
        let count = |ink: Ink, sign: &str| {
            let of = |shape: &Shape| match shape {
                Shape::Path(i, d) if *i == ink => d.matches(sign).count(),
                _ => 0,
            };
            drawing.shapes.iter().map(of).sum::<usize>()
        };
        assert_eq!((count(Ink::Fine, "M"), count(Ink::Short, "l6 6")), (17, 3));
        // The promise stands at 16 of 20 of the width.
        assert_eq!(count(Ink::Tick, "M240 0V"), 1);
    }
}
