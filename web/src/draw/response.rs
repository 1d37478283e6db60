//! One variety's yield against water: the band, the middle line, the line between good and short, and
//! the trials behind it.

use super::drawing::{Anchor, Drawing, Ink, Shape};
use super::{Scale, at};
use crate::text::{Short, figure::Units};
use leanyear_engine::decide::{ResponsePoint, TrialRecord};
use std::fmt::Write;

/// What goes into the picture.
pub struct Response<'a> {
    /// Name of the variety.
    pub name: &'a str,
    /// The curve, ascending in water.
    pub points: &'a [ResponsePoint],
    /// Its trials.
    pub trials: &'a [TrialRecord],
    /// Systems in the order of their shapes, the one asked for first.
    pub systems: &'a [String],
    /// The line between good and short.
    pub line: Option<(Short, f64)>,
    /// Water of the assumed years with its label.
    pub band: Option<((f64, f64), String)>,
    /// Whether there is room for the larger picture.
    pub wide: bool,
}

/// The signs of the systems, in the order of [`Response::systems`], as they stand in the key.
pub const SIGNS: [&str; 3] = ["\u{25cf}", "\u{25a1}", "\u{25b3}"];

/// Places along the line that its label may take, less one.
const LABEL_STEPS: u8 = 40;

/// Width of a letter of the line's label, user units, about.
const LETTER: f64 = 7.4;

struct Plot {
    width: f64,
    height: f64,
    /// Water as it is shown.
    x: Scale,
    y: Scale,
    /// From water as the data have it to water as it is shown.
    water: f64,
}

impl Plot {
    /// Place of an amount of water as the data have it.
    fn place_x(&self, water: f64) -> f64 {
        self.x.place(self.water * water)
    }
}

/// Trials that are drawn: counted, with water, inside the picture.
pub fn drawn<'a>(response: &'a Response) -> Vec<&'a TrialRecord> {
    let (low, high) = water_range(response);
    response
        .trials
        .iter()
        .filter(|t| t.excluded.is_none() && t.water.is_some_and(|w| (low..=high).contains(&w)))
        .collect()
}

/// The record's water, stretched to the trials of the system asked for.
fn water_range(response: &Response) -> (f64, f64) {
    let asked = response.systems.first();
    let own = response.trials.iter().filter(|t| Some(&t.system) == asked).filter_map(|t| t.water);
    response
        .points
        .iter()
        .map(|p| p.water)
        .chain(own)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), w| (low.min(w), high.max(w)))
}

fn plot(response: &Response, units: &Units) -> Plot {
    let (width, height) = if response.wide { (620.0, 400.0) } else { (350.0, 290.0) };
    let (low, high) = water_range(response);
    let most = response
        .points
        .iter()
        .map(|p| p.high80)
        .chain(drawn(response).iter().map(|t| t.yield_))
        .chain(response.line.map(|line| line.1))
        .fold(0.0, f64::max);
    let pad = 0.03 * (high - low);
    Plot {
        width,
        height,
        x: Scale { low: units.water(low - pad), high: units.water(high + pad), from: 40.0, to: width - 4.0 },
        y: Scale { low: 0.0, high: most * 1.04, from: height - 44.0, to: 28.0 },
        water: units.water(1.0),
    }
}

/// The picture; the caller gives the table with the same numbers.
pub fn response(response: &Response, units: &Units) -> Drawing {
    let plot = plot(response, units);
    let trials = drawn(response);
    let (title, description) = units.words.response_picture(response.name, trials.len(), units);
    let mut shapes = Vec::new();
    if let Some((range, label)) = &response.band {
        shapes.extend(assumed(&plot, *range, label));
    }
    shapes.push(Shape::Path(Ink::Band, band_path(&plot, response.points)));
    shapes.push(Shape::Path(Ink::Curve, curve_path(&plot, response.points)));
    shapes.extend(frame(&plot, units));
    if let Some((short, value)) = response.line {
        let y = plot.y.place(value);
        let across = format!("M{} {}H{}", at(plot.x.from), at(y), at(plot.x.to));
        shapes.push(Shape::Path(Ink::Line, across));
        let words = units.words.line_label(short, (value, value), units);
        shapes.push(line_label(&plot, &trials, y, words));
    }
    for (shape, system) in response.systems.iter().take(SIGNS.len()).enumerate() {
        let ink = if shape == 0 { Ink::Own } else { Ink::Other };
        shapes.push(Shape::Path(ink, trial_path(&plot, &trials, system, shape)));
    }
    Drawing { size: (plot.width, plot.height), title, description, shapes }
}

fn assumed(plot: &Plot, (low, high): (f64, f64), label: &str) -> [Shape; 2] {
    let (left, right) = (plot.place_x(low).max(plot.x.from), plot.place_x(high).min(plot.x.to));
    let middle = ((left + right) / 2.0).clamp(plot.x.from + 46.0, plot.x.to - 46.0);
    let (top, bottom, right) = (at(plot.y.to), at(plot.y.from), at(right.max(left + 1.5)));
    let left = at(left);
    [
        Shape::Path(Ink::Assumed, format!("M{left} {bottom}V{top}H{right}V{bottom}Z")),
        Shape::Words(Ink::Number, (middle, 12.0), Anchor::Middle, label.to_owned()),
    ]
}

/// The words at the line, above or below it and wherever along it they hide the fewest trials.
fn line_label(plot: &Plot, trials: &[&TrialRecord], y: f64, words: String) -> Shape {
    let width = LETTER * words.chars().count() as f64;
    let (first, last) = (plot.x.from + 4.0, (plot.x.to - width - 2.0).max(plot.x.from + 4.0));
    // A trial under the words counts for more than one that nearly touches them.
    let hidden = |x: f64, base: f64| -> usize {
        let within = |t: &TrialRecord, by: f64| {
            let (tx, ty) = (t.water.map_or(f64::NEG_INFINITY, |w| plot.place_x(w)), plot.y.place(t.yield_));
            (x - by..=x + width + by).contains(&tx) && (base - 10.0 - by..=base + by).contains(&ty)
        };
        trials.iter().map(|t| 3 * usize::from(within(t, 4.0)) + usize::from(within(t, 9.0))).sum()
    };
    let places = (0..=LABEL_STEPS).rev().flat_map(|step| {
        let x = first + (last - first) * f64::from(step) / f64::from(LABEL_STEPS);
        [(x, y - 5.0), (x, y + 15.0)]
    });
    let inside = places.filter(|(_, base)| *base < plot.y.from - 2.0 && *base > plot.y.to);
    let (x, base) = inside.min_by_key(|(x, base)| hidden(*x, *base)).unwrap_or((last, y - 5.0));
    Shape::Words(Ink::LineLabel, (x, base), Anchor::Start, words)
}

fn frame(plot: &Plot, units: &Units) -> Vec<Shape> {
    let (bottom, left, right) = (plot.y.from, plot.x.from, plot.x.to);
    let mut shapes = Vec::new();
    for tick in plot.y.ticks(5) {
        let y = plot.y.place(tick);
        let ink = if tick == 0.0 { Ink::Rule } else { Ink::Grid };
        shapes.push(Shape::Path(ink, format!("M{} {}H{}", at(left), at(y), at(right))));
        shapes.push(Shape::Words(Ink::Number, (left - 6.0, y + 4.5), Anchor::End, units.plain(tick)));
    }
    for tick in plot.x.ticks(6) {
        let x = plot.x.place(tick);
        shapes.push(Shape::Path(Ink::Tick, format!("M{} {}v5", at(x), at(bottom))));
        shapes.push(Shape::Words(Ink::Number, (x, bottom + 18.0), Anchor::Middle, units.plain(tick)));
    }
    let (water, unit) = (units.words.water_axis(units), units.words.yield_unit(units.yield_unit).to_owned());
    shapes.push(Shape::Words(Ink::Unit, (right, plot.height - 6.0), Anchor::End, water));
    shapes.push(Shape::Words(Ink::Unit, (2.0, 12.0), Anchor::Start, unit));
    shapes
}

fn curve_path(plot: &Plot, points: &[ResponsePoint]) -> String {
    line_path(plot, points.iter().map(|p| (p.water, p.median)))
}

fn band_path(plot: &Plot, points: &[ResponsePoint]) -> String {
    let above = points.iter().map(|p| (p.water, p.high80));
    let below = points.iter().rev().map(|p| (p.water, p.low80));
    line_path(plot, above.chain(below)) + "Z"
}

fn line_path(plot: &Plot, points: impl Iterator<Item = (f64, f64)>) -> String {
    let mut path = String::new();
    for (place, (water, yield_)) in points.enumerate() {
        let step = if place == 0 { 'M' } else { 'L' };
        _ = write!(path, "{step}{} {}", at(plot.place_x(water)), at(plot.y.place(yield_)));
    }
    path
}

fn trial_path(plot: &Plot, trials: &[&TrialRecord], system: &str, shape: usize) -> String {
    let mut path = String::new();
    for trial in trials.iter().filter(|t| t.system == system) {
        let Some(water) = trial.water else { continue };
        let (x, y) = (plot.place_x(water), plot.y.place(trial.yield_));
        _ = match shape {
            0 => write!(path, "M{} {}a3.2 3.2 0 1 0 6.4 0a3.2 3.2 0 1 0 -6.4 0", at(x - 3.2), at(y)),
            1 => write!(path, "M{} {}h6.4v6.4h-6.4Z", at(x - 3.2), at(y - 3.2)),
            _ => write!(path, "M{} {}l4 7h-8Z", at(x), at(y - 4.2)),
        };
    }
    path
}
