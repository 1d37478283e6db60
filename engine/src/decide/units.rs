//! Yields from one unit to another, and how grain is priced in each.
//!
//! Exact factors: 1 lb = 0.45359237 kg (international pound, 1959), 1 ac = 0.40468564224 ha.

use crate::pack::YieldUnit;

/// Kilograms in a pound, exact.
pub const KG_PER_LB: f64 = 0.453_592_37;
/// Hectares in an acre, exact.
pub const HA_PER_ACRE: f64 = 0.404_685_642_24;
/// Weight of a bushel of wheat, lb, where a network does not give its own.
pub const WHEAT_BUSHEL_LB: f64 = 60.0;

/// Kilograms per hectare in one unit of yield.
pub fn kg_per_ha(unit: YieldUnit, bushel_lb: f64) -> f64 {
    match unit {
        YieldUnit::BushelPerAcre => bushel_lb * KG_PER_LB / HA_PER_ACRE,
        YieldUnit::TonnePerHectare => 1000.0,
        YieldUnit::KilogramPerHectare => 1.0,
        YieldUnit::PoundPerAcre => KG_PER_LB / HA_PER_ACRE,
    }
}

/// What a yield in `from` must be multiplied by to be in `to`.
pub fn factor(from: YieldUnit, to: YieldUnit, bushel_lb: f64) -> f64 {
    if from == to { 1.0 } else { kg_per_ha(from, bushel_lb) / kg_per_ha(to, bushel_lb) }
}

/// What an amount per area of `from` must be multiplied by to be per area of `to`: acres or hectares.
pub fn area_factor(from: YieldUnit, to: YieldUnit) -> f64 {
    let hectares = |unit| match unit {
        YieldUnit::BushelPerAcre | YieldUnit::PoundPerAcre => HA_PER_ACRE,
        YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => 1.0,
    };
    hectares(to) / hectares(from)
}

/// Units of yield that the price is for: a bushel, a tonne, 1000 kg or 100 lb.
pub fn priced_amount(unit: YieldUnit) -> f64 {
    match unit {
        YieldUnit::BushelPerAcre | YieldUnit::TonnePerHectare => 1.0,
        YieldUnit::KilogramPerHectare => 1000.0,
        YieldUnit::PoundPerAcre => 100.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact arithmetic: bushels of wheat 60, barley 48, oats 32 lb; 1 t/ha of wheat in bushels; 1 lb/ac.
    #[test]
    fn the_factors_are_the_exact_ones() {
        let bushel = |lb: f64| factor(YieldUnit::BushelPerAcre, YieldUnit::KilogramPerHectare, lb);
        for (got, want) in [
            (bushel(60.0), 67.251_069_4),
            (bushel(48.0), 53.800_855_5),
            (bushel(32.0), 35.867_237_0),
            (factor(YieldUnit::TonnePerHectare, YieldUnit::BushelPerAcre, 60.0), 14.869_652_0),
            (factor(YieldUnit::PoundPerAcre, YieldUnit::KilogramPerHectare, 60.0), 1.120_851_16),
        ] {
            assert!((got - want).abs() < 6e-8 * want.max(1.0), "{got} for {want}");
        }
    }
}
