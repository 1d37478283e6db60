//! The yield axis above the rows, shared by all of them, and the line that parts good from short.

use super::drawing::{Anchor, Drawing, Ink, Shape};
use super::{Scale, at};
use crate::text::{Short, figure::Units};
use leanyear_engine::decide::OddsTable;

/// Room at both ends, user units: half a mark on the left, half a long number on the right.
const ENDS: (f64, f64) = (16.0, 20.0);

/// A number nearer to the line than this would be crossed by it; the line's own label says as much.
const CLEAR: f64 = 14.0;

/// About how many numbers stand on the axis.
const TICKS: usize = 6;

/// Width of a letter of the label, user units, about; it keeps the label inside the picture.
const LETTER: f64 = 7.4;

/// Height of the axis, user units.
pub const HEIGHT: f64 = 42.0;
/// Height of one more line of words over it.
const LINE_OF_WORDS: f64 = 15.0;

/// Width of the pictures of a list on a phone and on a laptop, user units: about a CSS pixel each.
pub const WIDTH: f64 = 350.0;
/// See [`WIDTH`].
pub const WIDTH_WIDE: f64 = 520.0;

/// The shared geometry of a list's pictures.
///
/// It counts yield, or what is left after costs where the settings want that: then it may begin below nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Width of each picture, user units.
    pub width: f64,
    /// Yield to place.
    pub scale: Scale,
    /// The least and greatest line between good and short, where single yields part them.
    pub line: Option<(f64, f64)>,
    /// Whether it counts money.
    pub money: bool,
}

/// The frame that holds every mark of a table in pictures of a width; where the table has the money of every
/// variety it counts money, and the line is at nothing.
pub fn frame(table: &OddsTable, line: Option<(f64, f64)>, width: f64) -> Frame {
    let nets: Option<Vec<&[f64]>> =
        table.varieties.iter().map(|row| row.net_law.as_ref().map(|law| law.seasons.as_slice())).collect();
    match nets.filter(|nets| !nets.is_empty()) {
        Some(nets) => frame_of(nets.into_iter(), Some((0.0, 0.0)), width, true),
        None => frame_of(table.varieties.iter().map(|row| row.seasons.as_slice()), line, width, false),
    }
}

/// The frame that holds these twenties.
pub fn frame_of<'a>(
    twenties: impl Iterator<Item = &'a [f64]>,
    line: Option<(f64, f64)>,
    width: f64,
    money: bool,
) -> Frame {
    let (mut low, mut high) = (0.0, line.map_or(0.0, |ends| ends.1));
    for twenty in twenties {
        low = twenty.first().map_or(low, |least: &f64| least.min(low));
        high = twenty.last().map_or(high, |most: &f64| most.max(high));
    }
    let room = 0.02 * (high - low);
    let high = if high > low { high + room } else { low + 1.0 };
    let low = if low < 0.0 { low - room } else { 0.0 };
    Frame { width, scale: Scale { low, high, from: ENDS.0, to: width - ENDS.1 }, line, money }
}

/// The axis with its unit and the labelled line.
pub fn axis(frame: &Frame, short: Short, units: &Units) -> Drawing {
    let words = units.words;
    let (title, description) = match frame.money {
        true => words.money_axis_picture((frame.scale.low, frame.scale.high), units),
        false => words.axis_picture(frame.scale.high, frame.line.map(|ends| (short, ends)), units),
    };
    let unit = match frame.money {
        true => words.money_axis(units),
        false => words.yield_unit(units.yield_unit).to_owned(),
    };
    let label = frame.line.map(|ends| line_label(frame, short, ends, units));
    let no_words = (f64::INFINITY, f64::INFINITY);
    let (free_left, free_right) = label.as_ref().map_or(no_words, |label| label.free(frame.width));
    let wide_unit = LETTER * unit.chars().count() as f64 + 8.0;
    // The words over the line may leave no room beside them: then the unit stands among the numbers, or over all.
    let (ticks, place, anchor, over) = match (free_right >= wide_unit, free_left >= wide_unit) {
        (true, _) => (spaced_ticks(frame, units), (frame.width - 2.0, 12.0), Anchor::End, 0.0),
        (false, true) => (spaced_ticks(frame, units), (2.0, 12.0), Anchor::Start, 0.0),
        (false, false) => match among_ticks(frame, wide_unit, units) {
            Some((ticks, between)) => (ticks, (between, 32.0), Anchor::Middle, 0.0),
            None => (spaced_ticks(frame, units), (frame.width - 2.0, 12.0), Anchor::End, LINE_OF_WORDS),
        },
    };
    let mut shapes = vec![Shape::Words(Ink::Unit, place, anchor, unit)];
    shapes.extend(label.into_iter().flat_map(|label| label.shapes(over)));
    shapes.push(Shape::Path(Ink::Rule, format!("M0 {}H{}", 41.5 + over, frame.width)));
    for tick in ticks {
        let place = frame.scale.place(tick);
        let clear = frame.line.is_none_or(|ends| {
            place < frame.scale.place(ends.0) - CLEAR || place > frame.scale.place(ends.1) + CLEAR
        });
        // A tick without its number beside a labelled line would be taken for the line's.
        if clear {
            let number = (place, 32.0 + over);
            shapes.push(Shape::Path(Ink::Tick, format!("M{} {}V{}", at(place), 36.0 + over, 41.5 + over)));
            shapes.push(Shape::Words(Ink::Number, number, Anchor::Middle, units.plain(tick)));
        }
    }
    Drawing { size: (frame.width, HEIGHT + over), title, description, shapes }
}

/// Width of the longest of the numbers, user units, about.
fn widest_number(ticks: &[f64], units: &Units) -> f64 {
    LETTER * ticks.iter().map(|tick| units.plain(*tick).chars().count()).max().unwrap_or(0) as f64
}

/// As many ticks as can stand with their numbers clear of one another.
fn spaced_ticks(frame: &Frame, units: &Units) -> Vec<f64> {
    let clear = |ticks: &[f64]| {
        let room = widest_number(ticks, units) + 4.0;
        ticks.windows(2).all(|pair| frame.scale.place(pair[1]) - frame.scale.place(pair[0]) >= room)
    };
    let mut fewer = (2..=TICKS).rev().map(|count| frame.scale.ticks(count));
    fewer.find(|ticks| clear(ticks)).unwrap_or_else(|| frame.scale.ticks(1))
}

/// Ticks with a gap among them that holds words of a width clear of their numbers and of the line, and the middle
/// of that gap: the fewer the ticks, the wider the gaps. `None` where no gap is as wide.
fn among_ticks(frame: &Frame, wide: f64, units: &Units) -> Option<(Vec<f64>, f64)> {
    let crossed = |left: f64, right: f64| {
        frame.line.is_some_and(|ends| {
            frame.scale.place(ends.1) > left - CLEAR && frame.scale.place(ends.0) < right + CLEAR
        })
    };
    let gap = |ticks: &[f64]| {
        let pairs = ticks.windows(2).map(|pair| (frame.scale.place(pair[0]), frame.scale.place(pair[1])));
        let middles = pairs.map(|(left, right)| ((left + right) / 2.0, right - left));
        let wide_number = widest_number(ticks, units);
        let mut fitting = middles.filter(|(middle, room)| {
            *room >= wide + wide_number && !crossed(middle - wide / 2.0, middle + wide / 2.0)
        });
        fitting.next().map(|(middle, _)| middle)
    };
    (1..=TICKS).rev().find_map(|count| {
        let ticks = frame.scale.ticks(count);
        gap(&ticks).map(|middle| (ticks, middle))
    })
}

/// The words over the line with the line itself, and where the words stand.
struct LineLabel {
    words: String,
    /// Left and right end of the line.
    ends: (f64, f64),
    middle: f64,
    half: f64,
    /// Where the words hang: at an end of the picture by that end, since a font may be wider than it is taken for.
    hung: (f64, Anchor),
}

impl LineLabel {
    /// Room to the left and to the right of the words.
    fn free(&self, width: f64) -> (f64, f64) {
        (self.middle - self.half, width - self.middle - self.half)
    }

    /// Words and line, so much lower.
    fn shapes(self, over: f64) -> [Shape; 2] {
        let (left, right) = self.ends;
        let (top, foot) = (17.0 + over, 42.0 + over);
        let line = match right - left < 1.0 {
            true => Shape::Path(Ink::Line, format!("M{} {top}V{foot}", at((left + right) / 2.0))),
            false => Shape::Path(
                Ink::LineSpan,
                format!("M{l} {foot}V{top}H{r}V{foot}", l = at(left), r = at(right)),
            ),
        };
        let (x, anchor) = self.hung;
        [Shape::Words(Ink::LineLabel, (x, 12.0 + over), anchor, self.words), line]
    }
}

/// The words over the line, kept inside the picture at either end.
fn line_label(frame: &Frame, short: Short, ends: (f64, f64), units: &Units) -> LineLabel {
    let (left, right) = (frame.scale.place(ends.0), frame.scale.place(ends.1));
    let x = (left + right) / 2.0;
    let words = match frame.money {
        true => units.words.money_line().to_owned(),
        false => units.words.line_label(short, ends, units),
    };
    let half_of = |words: &str| 0.5 * LETTER * words.chars().count() as f64;
    // Too narrow for all of it, the picture goes without what makes the line two.
    let words = match words.rsplit_once(", ") {
        Some((first, _)) if 2.0 * half_of(&words) > frame.width => first.to_owned(),
        _ => words,
    };
    let half = half_of(&words);
    let middle = x.clamp(half, (frame.width - half).max(half));
    let hung = match (middle > x, middle < x) {
        (true, _) => (0.0, Anchor::Start),
        (_, true) => (frame.width, Anchor::End),
        _ => (middle, Anchor::Middle),
    };
    LineLabel { words, ends: (left, right), middle, half, hung }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::sample;
    use crate::text::catalogue;

    /// Left and right end of each word of a drawing, by its anchor and the width of a letter.
    fn words(drawing: &Drawing) -> Vec<(f64, f64, f64, String)> {
        let of = |shape: &Shape| match shape {
            Shape::Words(_, (x, y), anchor, words) => {
                let wide = 6.5 * words.chars().count() as f64;
                let left = match anchor {
                    Anchor::Start => *x,
                    Anchor::Middle => x - wide / 2.0,
                    Anchor::End => x - wide,
                };
                Some((left, left + wide, *y, words.clone()))
            }
            _ => None,
        };
        drawing.shapes.iter().filter_map(of).collect()
    }

    #[test]
    fn the_words_of_a_line_at_an_end_hang_by_that_end() {
        let network = sample::network();
        let units = Units::of(&network.info, sample::settings().unit, None, catalogue("en"));
        for (line, anchor) in [(0.0, Anchor::Start), (30.0, Anchor::Middle), (60.0, Anchor::End)] {
            let twenty = [2.0, 60.0];
            let frame = frame_of(std::iter::once(twenty.as_slice()), Some((line, line)), WIDTH, true);
            let shapes = axis(&frame, Short::Money, &units).shapes;
            let label = shapes.iter().find_map(|shape| match shape {
                Shape::Words(Ink::LineLabel, (x, _), anchor, _) => Some((*x, *anchor)),
                _ => None,
            });
            let (x, found) = label.unwrap();
            assert_eq!(found, anchor, "{x} at {line}");
            assert!((0.0..=WIDTH).contains(&x));
        }
    }

    /// On the narrow strip of the printed page and on a phone, wherever the line stands.
    #[test]
    fn no_words_of_an_axis_touch_each_other() {
        let network = sample::network();
        let settings = sample::settings();
        let units = Units::of(&network.info, settings.unit, None, catalogue("en"));
        // As they are, in kilograms a hectare, and in a currency of large numbers.
        let sizes = [1.0, 67.25, 7000.0];
        for (width, size) in [255.0, WIDTH, WIDTH_WIDE].into_iter().flat_map(|w| sizes.map(|s| (w, s))) {
            for line in 4..60 {
                let ends = (size * f64::from(line), size * (f64::from(line) + 2.3));
                let twenty = [2.0 * size, 58.0 * size];
                let frame = frame_of(std::iter::once(twenty.as_slice()), Some(ends), width, false);
                let drawing = axis(&frame, Short::Money, &units);
                let words = words(&drawing);
                assert!(words.iter().any(|word| word.3 == "bu/ac"), "{words:?}");
                for (k, a) in words.iter().enumerate() {
                    for b in words.iter().skip(k + 1).filter(|b| b.2 == a.2) {
                        let apart = (b.0 - a.1).max(a.0 - b.1);
                        assert!(apart >= 4.0, "{} and {} are {apart} apart at {width}, {ends:?}", a.3, b.3);
                    }
                }
            }
        }
    }
}
