//! What varieties come to as one thing is moved: a line each, told apart by their dashes and by names at their
//! ends, the set that their crossing lies in, and an upright line where the reader moved it.

use super::drawing::{Anchor, Drawing, Ink, Shape};
use super::{Scale, at};
use crate::derive::Curve;
use std::fmt::Write;

/// What goes into the picture.
pub struct MovedPicture<'a> {
    /// Places and averages, ascending.
    pub curves: &'a [Curve],
    /// Names, in the order of the averages.
    pub names: &'a [String],
    /// Where the reader moved it.
    pub at: f64,
    /// Where a crossing lies, 4 chances in 5.
    pub set: Option<(f64, f64)>,
    /// The words at the left and right end of the range.
    pub ends: (String, String),
    /// What the averages are.
    pub unit: String,
    /// Title and description.
    pub words: (String, String),
    /// Width, user units.
    pub width: f64,
}

const HEIGHT: f64 = 216.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = HEIGHT - 24.0;
/// Half the thumb of the slider under the picture, so that line and thumb stand under each other.
pub const THUMB: f64 = 14.0;
/// Inks of the lines, in their order.
pub const INKS: [Ink; 4] = [Ink::First, Ink::Second, Ink::Third, Ink::Fourth];

/// The picture; the caller gives the table with the same numbers. `number` writes a tick.
pub fn moved(picture: &MovedPicture, number: impl Fn(f64) -> String) -> Drawing {
    let all = || picture.curves.iter().flat_map(|(_, values)| values.iter().copied());
    let (low, high) = all().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    let pad = 0.04 * (high - low).max(1e-9);
    let ends = (picture.curves.first().map_or(0.0, |c| c.0), picture.curves.last().map_or(1.0, |c| c.0));
    let x = Scale { low: ends.0, high: ends.1, from: THUMB, to: picture.width - THUMB };
    let y = Scale { low: low - pad, high: high + pad, from: BOTTOM, to: TOP };
    let mut shapes = Vec::new();
    if let Some((low, high)) = picture.set {
        let (left, right) = (x.place(low.max(ends.0)), x.place(high.min(ends.1)));
        shapes.push(Shape::Path(
            Ink::Band,
            format!("M{l} {TOP}H{r}V{BOTTOM}H{l}Z", l = at(left), r = at(right.max(left + 2.0))),
        ));
    }
    for tick in y.ticks(4) {
        let height = y.place(tick);
        shapes.push(Shape::Path(
            if tick == 0.0 { Ink::Rule } else { Ink::Grid },
            format!("M0 {}H{}", at(height), picture.width),
        ));
    }
    for (k, ink) in INKS.into_iter().enumerate().take(picture.names.len()) {
        let mut path = String::new();
        for (place, (value, averages)) in picture.curves.iter().enumerate() {
            let step = if place == 0 { 'M' } else { 'L' };
            let average = averages.get(k).copied().unwrap_or(0.0);
            _ = write!(path, "{step}{} {}", at(x.place(*value)), at(y.place(average)));
        }
        shapes.push(Shape::Path(ink, path));
    }
    for tick in y.ticks(4) {
        shapes.push(Shape::Words(Ink::Number, (0.0, y.place(tick) - 3.0), Anchor::Start, number(tick)));
    }
    shapes.push(Shape::Path(Ink::Here, format!("M{} {TOP}V{}", at(x.place(picture.at)), HEIGHT)));
    shapes.push(Shape::Words(Ink::Unit, (picture.width, 12.0), Anchor::End, picture.unit.clone()));
    let (left, right) = picture.ends.clone();
    shapes.push(Shape::Words(Ink::Number, (0.0, HEIGHT - 6.0), Anchor::Start, left));
    shapes.push(Shape::Words(Ink::Number, (picture.width, HEIGHT - 6.0), Anchor::End, right));
    let (title, description) = picture.words.clone();
    Drawing { size: (picture.width, HEIGHT), title, description, shapes }
}
