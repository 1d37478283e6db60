//! Settings that mean the same in another unit of yield: whoever changes the unit changes no field.
//!
//! Knows how each setting is counted (by area, by weight of grain, by weight of gain); knows no network but
//! for the weight of its bushel.

use super::settings::Settings;
use crate::decide::units::{KG_PER_LB, area_factor, factor, kg_per_ha, priced_amount};
use crate::pack::YieldUnit;

/// Digits that are kept.
const DIGITS: usize = 12;
/// Digits that people type; an amount this near to so few was one of theirs before it went to another unit.
const TYPED_DIGITS: usize = 9;
const NEAR: f64 = 1e-11;

impl Settings {
    /// The same field and money in `unit`: yields by weight and area, prices by weight of grain (a bushel of
    /// `bushel_lb` pounds, 100 lb, a tonne), costs and acres by area, gain and its value by weight.
    /// Normalised, so that an amount which no longer fits its range becomes none.
    #[must_use]
    pub fn in_unit(&self, unit: YieldUnit, bushel_lb: f64) -> Settings {
        let from = self.unit;
        if from == unit {
            return self.clone();
        }
        let grain = factor(from, unit, bushel_lb);
        let area = area_factor(from, unit);
        // A price is per so many units of yield; a unit of yield weighs what its yield does on one area.
        let weight = |unit| {
            priced_amount(unit) * kg_per_ha(unit, bushel_lb) * area_factor(YieldUnit::TonnePerHectare, unit)
        };
        let price = weight(unit) / weight(from);
        let pound = |unit| match unit {
            YieldUnit::BushelPerAcre | YieldUnit::PoundPerAcre => KG_PER_LB,
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => 1.0,
        };
        let gain = pound(unit) / pound(from);
        let times = |value: Option<f64>, by: f64| value.map(|value| rounded(value * by));
        let mut next = Settings {
            unit,
            usual: times(self.usual, grain),
            price: times(self.price, price),
            haul: times(self.haul, price),
            guarantee_price: times(self.guarantee_price, price),
            cost: times(self.cost, area),
            premium: times(self.premium, area),
            gain: times(self.gain, area / gain),
            value: times(self.value, gain),
            min_acres: times(self.min_acres, 1.0 / area),
            ..self.clone()
        };
        for spray in next.sprays.values_mut() {
            spray.cost = rounded(spray.cost * area);
        }
        for step in next.docks.values_mut().flatten() {
            step.off = rounded(step.off * price);
        }
        for (_, acres) in &mut next.acres {
            *acres = rounded(*acres / area);
        }
        next.normalised()
    }
}

/// To [`DIGITS`] significant digits, or to what was typed.
fn rounded(value: f64) -> f64 {
    let to = |digits: usize| format!("{value:.*e}", digits - 1).parse().unwrap_or(value);
    let typed: f64 = to(TYPED_DIGITS);
    if (typed - value).abs() <= NEAR * value.abs() { typed } else { to(DIGITS) }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::link::{Codes, DockStep, LinkDefaults, decode, encode};

    fn bushels() -> Settings {
        Settings {
            usual: Some(32.0),
            price: Some(5.8),
            cost: Some(165.0),
            gain: Some(2.2),
            value: Some(2.1),
            acres: vec![("V07".into(), 60.0)],
            docks: [("test-weight".to_owned(), vec![DockStep { below: 58.0, off: 0.05 }])].into(),
            ..Settings::bare("all", YieldUnit::BushelPerAcre)
        }
    }

    /// Exact arithmetic: 1 t of wheat = 36.7437104 bu, 1 ha = 2.4710538 ac, 1 bu/ac = 67.2510694 kg/ha.
    #[test]
    fn amounts_become_those_of_the_other_unit() {
        let metric = bushels().in_unit(YieldUnit::TonnePerHectare, 60.0);
        for (got, want) in [
            (metric.usual, 32.0 * 0.067_251_069_4),
            (metric.price, 5.8 * 36.743_710_4),
            (metric.cost, 165.0 * 2.471_053_8),
            (metric.gain, 2.2 * 0.453_592_37 * 2.471_053_8),
            (metric.value, 2.1 / 0.453_592_37),
            (Some(metric.acres[0].1), 60.0 / 2.471_053_8),
            (Some(metric.docks["test-weight"][0].off), 0.05 * 36.743_710_4),
        ] {
            assert!((got.unwrap() / want - 1.0).abs() < 1e-7, "{got:?} for {want}");
        }
        let pounds = bushels().in_unit(YieldUnit::PoundPerAcre, 60.0);
        assert_eq!((pounds.usual, pounds.cost), (Some(1920.0), Some(165.0)));
        assert!((pounds.price.unwrap() - 5.8 * 100.0 / 60.0).abs() < 1e-9);
    }

    #[test]
    fn there_and_back_again_changes_nothing() {
        for unit in [YieldUnit::TonnePerHectare, YieldUnit::KilogramPerHectare, YieldUnit::PoundPerAcre] {
            let there = bushels().in_unit(unit, 60.0);
            assert_eq!(there.in_unit(YieldUnit::BushelPerAcre, 60.0), bushels(), "{unit:?}");
        }
    }

    #[test]
    fn a_link_that_names_only_a_unit_means_the_same_money() {
        let defaults = LinkDefaults::from(bushels());
        let read = decode("unit=t%2Fha", &defaults, &Codes::default()).settings;
        assert_eq!(read, bushels().in_unit(YieldUnit::TonnePerHectare, 60.0));
        assert_eq!(encode(&read, &defaults), "v=1&pack=&unit=t%2Fha");
    }
}
