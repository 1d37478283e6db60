//! What quality takes off the price of a unit of grain, by an editable schedule of steps.
//!
//! A step says what is taken off below its limit; the lowest limit that a value is below decides, and a premium
//! is a negative amount. A schedule that counts each started half pound is written as steps half a pound apart. A
//! variety has one value for each quality
//! trait, its rating: how it differs from year to year is not known here. It knows no yield.

use crate::link::DockStep;
use crate::order::Map;
use crate::pack::{Network, TraitKind};
use serde::{Deserialize, Serialize};

/// What one quality trait takes off one variety's grain.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct VarietyDock {
    /// Trait code.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// The variety's value; `None` where it is not rated.
    pub value: Option<f64>,
    /// Taken off the price of a unit, as the price is counted; negative for a premium. Where the value is not
    /// known the average of the varieties that are rated stands in: not knowing is no advantage.
    pub off: f64,
}

/// What a schedule takes off at a value: the amount of the lowest limit that the value is below.
pub fn taken_off(steps: &[DockStep], value: f64) -> f64 {
    let below = steps.iter().filter(|step| value < step.below);
    below.min_by(|a, b| a.below.total_cmp(&b.below)).map_or(0.0, |step| step.off)
}

/// The docks of each variety of a list, in its order: one for each schedule about a quality trait.
pub fn docks<'a>(
    network: &Network,
    schedules: &Map<String, Vec<DockStep>>,
    varieties: impl Iterator<Item = &'a String>,
) -> Vec<Vec<VarietyDock>> {
    let is_quality =
        |code: &str| network.traits.iter().any(|t| t.trait_ == code && t.kind == TraitKind::Quality);
    let known: Vec<_> = schedules
        .iter()
        .filter(|(code, steps)| is_quality(code) && !steps.is_empty())
        .map(|(code, steps)| {
            let ratings = network.ratings_of(code);
            let offs = ratings.values().map(|value| taken_off(steps, *value));
            let average = offs.sum::<f64>() / ratings.len().max(1) as f64;
            (code, steps, ratings, average)
        })
        .collect();
    varieties
        .map(|variety| {
            let of_each = known.iter().map(|(code, steps, ratings, average)| {
                let value = ratings.get(variety.as_str()).copied();
                let off = value.map_or(*average, |value| taken_off(steps, value));
                VarietyDock { trait_: (*code).clone(), value, off }
            });
            of_each.collect()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Steps of a schedule that takes `each` off for every started half pound, band by band down from a base.
    fn half_steps(base: f64, bands: &[(f64, f64)]) -> Vec<DockStep> {
        let (mut below, mut off, mut steps) = (base, 0.0, Vec::new());
        for (down_to, each) in bands {
            while below > *down_to {
                off += each;
                steps.push(DockStep { below, off });
                below -= 0.5;
            }
        }
        steps
    }

    /// Source: one published test weight discount schedule of 2012: base 58 lb; 5 ¢ a half pound to 56, then
    /// 8 ¢ to 53, then 10 ¢ to 48. By hand: 4 steps of 5 ¢ reach 56, 6 of 8 ¢ reach 53, 10 of 10 ¢ reach 48.
    #[test]
    fn test_weight_is_docked_by_the_published_schedule() {
        let steps = half_steps(58.0, &[(56.0, 0.05), (53.0, 0.08), (48.0, 0.10)]);
        assert_eq!(steps.len(), 20);
        for (weight, cents) in [
            (60.0, 0.0),
            (58.0, 0.0),
            (57.9, 5.0),
            (57.5, 5.0),
            (56.0, 20.0),
            (55.9, 28.0),
            (53.0, 68.0),
            (52.8, 78.0),
            (48.0, 168.0),
        ] {
            let off = taken_off(&steps, weight);
            assert!((100.0 * off - cents).abs() < 1e-9, "{weight} lb: {off} for {cents} cents");
        }
    }

    /// Source: a federal hard winter wheat protein scale, September 2021, cents a bushel: below 11 % −3; 11.0
    /// 0; 11.4 +10; 12.0 +25; 12.4 +44; 12.8 +64.
    #[test]
    fn protein_brings_the_published_premiums() {
        let step = |below, cents: f64| DockStep { below, off: -cents / 100.0 };
        let steps = [
            step(11.0, -3.0),
            step(11.4, 0.0),
            step(12.0, 10.0),
            step(12.4, 25.0),
            step(12.8, 44.0),
            step(100.0, 64.0),
        ];
        for (protein, cents) in [
            (10.9, -3.0),
            (11.0, 0.0),
            (11.3, 0.0),
            (11.4, 10.0),
            (12.0, 25.0),
            (12.5, 44.0),
            (12.8, 64.0),
            (15.0, 64.0),
        ] {
            let brings = -100.0 * taken_off(&steps, protein);
            assert!((brings - cents).abs() < 1e-9, "{protein} %: {brings} for {cents}");
        }
    }

    #[test]
    fn an_empty_schedule_takes_nothing() {
        assert_eq!(taken_off(&[], 40.0), 0.0);
    }
}
