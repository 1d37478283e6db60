//! The yield axis above the rows, shared by all of them, and the line that parts good from short.

use super::{Scale, at};
use crate::text::{Short, figure::Units};
use leanyear_engine::decide::OddsTable;
use yew::prelude::*;

/// Room at both ends, user units: half a mark on the left, half a long number on the right.
const ENDS: (f64, f64) = (16.0, 20.0);

/// A number nearer to the line than this would be crossed by it; the line's own label says as much.
const CLEAR: f64 = 14.0;

/// Width of a letter of the label, user units, about; it keeps the label inside the picture.
const LETTER: f64 = 7.4;

/// The shared geometry of a list's pictures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Width of each picture, user units.
    pub width: f64,
    /// Yield to place.
    pub scale: Scale,
    /// The least and greatest line between good and short, where single yields part them.
    pub line: Option<(f64, f64)>,
}

/// The frame that holds every mark of a table; user units are about a CSS pixel on a phone or a laptop.
pub fn frame(table: &OddsTable, line: Option<(f64, f64)>, wide: bool) -> Frame {
    let width = if wide { 520.0 } else { 350.0 };
    let greatest = table
        .varieties
        .iter()
        .filter_map(|row| row.seasons.last().copied())
        .chain(line.map(|ends| ends.1))
        .fold(0.0, f64::max);
    let high = if greatest > 0.0 { greatest * 1.02 } else { 1.0 };
    Frame { width, scale: Scale { low: 0.0, high, from: ENDS.0, to: width - ENDS.1 }, line }
}

/// The axis with its unit and the labelled line.
pub fn axis(frame: &Frame, short: Short, units: &Units) -> Html {
    let words = units.words;
    let (title, description) =
        words.axis_picture(frame.scale.high, frame.line.map(|ends| (short, ends)), units);
    let ticks = frame.scale.ticks(6);
    let unit_at_left = frame.line.is_some_and(|ends| frame.scale.place(ends.0 + ends.1) > frame.width);
    let (unit_x, unit_anchor) = if unit_at_left { (2.0, "start") } else { (frame.width - 2.0, "end") };
    html! {
        <svg class="axis" viewBox={format!("0 0 {} 42", frame.width)} role="img" aria-label={title.clone()}>
            <title>{title}</title>
            <desc>{description}</desc>
            <text class="unit" x={at(unit_x)} y="12" text-anchor={unit_anchor}>
                { words.yield_unit(units.yield_unit) }
            </text>
            { for frame.line.map(|ends| line_label(frame, short, ends, units)) }
            <path class="rule" d={format!("M0 41.5H{}", frame.width)} />
            { for ticks.iter().map(|tick| {
                let place = frame.scale.place(*tick);
                let x = at(place);
                let clear = frame.line.is_none_or(|ends| {
                    place < frame.scale.place(ends.0) - CLEAR || place > frame.scale.place(ends.1) + CLEAR
                });
                html! {
                    <>
                        <path class="tick" d={format!("M{x} 36V41.5")} />
                        { for clear.then(|| html! {
                            <text class="number" x={x} y="32" text-anchor="middle">{ units.plain(*tick) }</text>
                        }) }
                    </>
                }
            }) }
        </svg>
    }
}

/// The words over the line, kept inside the picture at either end.
fn line_label(frame: &Frame, short: Short, ends: (f64, f64), units: &Units) -> Html {
    let (left, right) = (frame.scale.place(ends.0), frame.scale.place(ends.1));
    let x = (left + right) / 2.0;
    let words = units.words.line_label(short, ends, units);
    let half = 0.5 * LETTER * words.chars().count() as f64;
    let x_words = x.clamp(half, (frame.width - half).max(half));
    html! {
        <>
            <text class="line-label" x={at(x_words)} y="12" text-anchor="middle">{words}</text>
            { if right - left < 1.0 {
                html! { <path class="line" d={format!("M{} 17V42", at(x))} /> }
            } else {
                html! { <path class="line-span" d={format!("M{l} 42V17H{r}V42", l = at(left), r = at(right))} /> }
            } }
        </>
    }
}
