//! Pictures as SVG text: scales, the marks of twenty years, the axis, the response to water.
//!
//! Presentation attributes and classes only, since a `style` attribute is refused by the page's policy.
//! Nothing here knows a setting or a sentence; words arrive with the values.

pub mod axis;
pub mod drawing;
pub mod held;
pub mod marks;
pub mod moved;
pub mod response;

/// A linear scale from values to user units of a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Value at `from`.
    pub low: f64,
    /// Value at `to`.
    pub high: f64,
    /// Place of `low`.
    pub from: f64,
    /// Place of `high`.
    pub to: f64,
}

impl Scale {
    /// Place of a value; values outside run on in a straight line.
    pub fn place(&self, value: f64) -> f64 {
        let span = self.high - self.low;
        if span == 0.0 {
            return self.from;
        }
        self.from + (value - self.low) / span * (self.to - self.from)
    }

    /// Round values inside the scale, about `wanted` of them, ascending.
    pub fn ticks(&self, wanted: usize) -> Vec<f64> {
        let step = round_step((self.high - self.low) / wanted.max(1) as f64);
        if step <= 0.0 || !step.is_finite() {
            return vec![self.low];
        }
        let first = (self.low / step).ceil() as i64;
        let last = (self.high / step + 1e-9).floor() as i64;
        (first..=last).map(|k| k as f64 * step).collect()
    }
}

/// The least of 1, 2 or 5 times a power of ten that is not below `raw`.
fn round_step(raw: f64) -> f64 {
    if raw <= 0.0 || !raw.is_finite() {
        return 0.0;
    }
    let power = 10f64.powf(raw.log10().floor());
    let factor = [1.0, 2.0, 5.0].into_iter().find(|f| raw <= f * power * (1.0 + 1e-9));
    factor.unwrap_or(10.0) * power
}

/// A coordinate with one decimal: finer is invisible and only makes the page heavier.
pub(crate) fn at(value: f64) -> String {
    let rounded = (value * 10.0).round() / 10.0;
    format!("{}", if rounded == 0.0 { 0.0 } else { rounded })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_inside() {
        let scale = Scale { low: 0.0, high: 57.0, from: 0.0, to: 100.0 };
        assert_eq!(scale.ticks(6), [0.0, 10.0, 20.0, 30.0, 40.0, 50.0]);
        let scale = Scale { low: 6.3, high: 19.8, from: 0.0, to: 100.0 };
        assert_eq!(scale.ticks(5), [10.0, 15.0]);
        assert_eq!(Scale { low: 3.0, high: 3.0, from: 0.0, to: 1.0 }.ticks(5), [3.0]);
    }

    #[test]
    fn places_are_linear() {
        let scale = Scale { low: 10.0, high: 20.0, from: 100.0, to: 0.0 };
        assert_eq!((scale.place(10.0), scale.place(20.0), scale.place(15.0)), (100.0, 0.0, 50.0));
    }
}
