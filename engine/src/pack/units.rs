//! How the units of a network are written, in files, links and on the page.
//!
//! Knows the words only; converting between units belongs to the decision.

use super::tables::{WaterUnit, YieldUnit};

/// How each yield unit is written.
pub const YIELD_UNITS: [(&str, YieldUnit); 4] = [
    ("bu/ac", YieldUnit::BushelPerAcre),
    ("t/ha", YieldUnit::TonnePerHectare),
    ("kg/ha", YieldUnit::KilogramPerHectare),
    ("lb/ac", YieldUnit::PoundPerAcre),
];

/// How each water unit is written.
pub const WATER_UNITS: [(&str, WaterUnit); 2] = [("mm", WaterUnit::Millimetre), ("in", WaterUnit::Inch)];

impl YieldUnit {
    /// The unit as it is written, for example `t/ha`.
    pub fn symbol(self) -> &'static str {
        YIELD_UNITS.iter().find(|(_, unit)| *unit == self).map_or("", |(symbol, _)| symbol)
    }
}

impl WaterUnit {
    /// The unit as it is written, for example `mm`.
    pub fn symbol(self) -> &'static str {
        WATER_UNITS.iter().find(|(_, unit)| *unit == self).map_or("", |(symbol, _)| symbol)
    }
}
