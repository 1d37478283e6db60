//! Numbers as they are printed: few digits, the region's marks, the unit where it belongs.
//!
//! Rounding here is for the eye only and never comes back into a setting.

use super::Words;
use leanyear_engine::pack::{NetworkInfo, WaterUnit, YieldUnit};

/// Millimetres in an inch, exact.
const MM_PER_INCH: f64 = 25.4;

/// The units of a page and the marks of its language.
#[derive(Clone, Copy)]
pub struct Units<'a> {
    /// Unit of yields.
    pub yield_unit: YieldUnit,
    /// Unit that water is shown in.
    pub water_unit: WaterUnit,
    /// Unit that the data have water in.
    pub water_of_data: WaterUnit,
    /// Currency sign.
    pub currency: &'a str,
    /// The language.
    pub words: &'static dyn Words,
}

impl<'a> Units<'a> {
    /// The units of a network in a language: yields as the settings have them, water as it is read.
    pub fn of(
        info: &'a NetworkInfo,
        yield_unit: YieldUnit,
        water_unit: Option<WaterUnit>,
        words: &'static dyn Words,
    ) -> Self {
        let water_of_data = info.water_unit;
        let water_unit = water_unit.unwrap_or(water_of_data);
        Self { yield_unit, water_unit, water_of_data, currency: &info.currency, words }
    }

    /// A yield as a bare number, as coarse as a forecast of it.
    pub fn yield_number(&self, value: f64) -> String {
        match self.yield_unit {
            YieldUnit::BushelPerAcre => self.fixed(value, 0),
            YieldUnit::TonnePerHectare => self.fixed(value, 1),
            YieldUnit::KilogramPerHectare | YieldUnit::PoundPerAcre => {
                self.fixed((value / 10.0).round() * 10.0, 0)
            }
        }
    }

    /// A yield or a difference of yields with one more digit.
    pub fn yield_fine(&self, value: f64) -> String {
        match self.yield_unit {
            YieldUnit::BushelPerAcre => self.fixed(value, 1),
            YieldUnit::TonnePerHectare => self.fixed(value, 2),
            YieldUnit::KilogramPerHectare | YieldUnit::PoundPerAcre => self.fixed(value, 0),
        }
    }

    /// A yield with its unit.
    pub fn yield_amount(&self, value: f64) -> String {
        self.with_unit(&self.yield_number(value))
    }

    /// A yield exactly as it was given, with its unit.
    pub fn yield_given(&self, value: f64) -> String {
        self.with_unit(&self.plain(value))
    }

    /// A difference of yields with its unit.
    pub fn yield_difference(&self, value: f64) -> String {
        self.with_unit(&self.yield_fine(value))
    }

    fn with_unit(&self, number: &str) -> String {
        format!("{number}\u{a0}{}", self.words.yield_unit(self.yield_unit))
    }

    /// Water as it is shown, from water as the data have it.
    pub fn water(&self, value: f64) -> f64 {
        match (self.water_of_data, self.water_unit) {
            (WaterUnit::Inch, WaterUnit::Millimetre) => value * MM_PER_INCH,
            (WaterUnit::Millimetre, WaterUnit::Inch) => value / MM_PER_INCH,
            (WaterUnit::Inch, WaterUnit::Inch) | (WaterUnit::Millimetre, WaterUnit::Millimetre) => value,
        }
    }

    /// A number as a spreadsheet reads it: decimal point, no mark between thousands, no more digits than it
    /// is worth.
    pub fn machine(&self, value: f64) -> String {
        let digits = match self.yield_unit {
            YieldUnit::BushelPerAcre => 2,
            YieldUnit::TonnePerHectare => 3,
            YieldUnit::KilogramPerHectare | YieldUnit::PoundPerAcre => 0,
        };
        let text = format!("{value:.digits$}");
        if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
            return text.trim_start_matches('-').to_owned();
        }
        text
    }

    /// Water as a bare number, from water as the data have it.
    pub fn water_number(&self, value: f64) -> String {
        let value = self.water(value);
        match self.water_unit {
            WaterUnit::Millimetre => self.fixed(value, 0),
            WaterUnit::Inch => self.fixed(value, 1),
        }
    }

    /// The unit of water as it stands behind a number.
    pub fn water_unit(&self) -> &'static str {
        self.words.water_unit(self.water_unit)
    }

    /// A price or cost as it was given.
    pub fn money(&self, value: f64) -> String {
        let whole = (value - value.round()).abs() < 0.005;
        let number = self.fixed(value.abs(), if whole && value.abs() >= 20.0 { 0 } else { 2 });
        after_minus(value <= -0.005, &self.with_currency(&number))
    }

    /// Money that was worked out: whole units.
    pub fn money_rounded(&self, value: f64) -> String {
        self.with_currency(&self.fixed(value.abs(), 0))
    }

    /// Money that was worked out, with a minus where it is lost.
    pub fn money_signed(&self, value: f64) -> String {
        after_minus(value.round() < 0.0, &self.money_rounded(value))
    }

    /// A sign stands before the number, a word behind it.
    fn with_currency(&self, number: &str) -> String {
        let currency = self.currency.trim();
        if currency.is_empty() {
            number.to_owned()
        } else if currency.chars().count() == 1 && !currency.chars().all(char::is_alphabetic) {
            format!("{currency}{number}")
        } else {
            format!("{number}\u{a0}{currency}")
        }
    }

    /// A number with all the digits it was typed with, up to three behind the mark.
    pub fn plain(&self, value: f64) -> String {
        self.words.region().plain(value)
    }

    /// A number as a field starts with it.
    pub fn typed(&self, value: f64) -> String {
        self.words.region().typed(value)
    }

    /// A number with `digits` behind the mark.
    pub fn fixed(&self, value: f64, digits: usize) -> String {
        self.words.region().fixed(value, digits)
    }
}

/// A chance as so many of twenty.
pub fn of_twenty(chance: f64) -> u32 {
    (chance * 20.0).round().clamp(0.0, 20.0) as u32
}

/// The minus stands before the sign of money, joined to it, so that no line ends behind a minus.
fn after_minus(lost: bool, amount: &str) -> String {
    format!("{}{amount}", if lost { "\u{2212}\u{2060}" } else { "" })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::super::catalogue;
    use super::*;
    use crate::number::read;
    use proptest::prelude::*;

    fn units(yield_unit: YieldUnit, currency: &str) -> Units<'_> {
        Units {
            yield_unit,
            water_unit: WaterUnit::Inch,
            water_of_data: WaterUnit::Inch,
            currency,
            words: catalogue("en"),
        }
    }

    #[test]
    fn yields_have_the_digits_of_their_unit() {
        assert_eq!(units(YieldUnit::BushelPerAcre, "$").yield_amount(33.6), "34\u{a0}bu/ac");
        assert_eq!(units(YieldUnit::TonnePerHectare, "$").yield_amount(2.149), "2.1\u{a0}t/ha");
        assert_eq!(units(YieldUnit::KilogramPerHectare, "$").yield_amount(2148.0), "2,150\u{a0}kg/ha");
        assert_eq!(units(YieldUnit::BushelPerAcre, "$").yield_given(32.5), "32.5\u{a0}bu/ac");
        assert_eq!(units(YieldUnit::BushelPerAcre, "$").yield_number(-0.2), "0");
    }

    #[test]
    fn water_is_shown_in_the_unit_asked_for() {
        let shown = Units { water_unit: WaterUnit::Millimetre, ..units(YieldUnit::BushelPerAcre, "$") };
        assert_eq!(shown.water_number(10.0), "254");
        let back = Units { water_of_data: WaterUnit::Millimetre, ..units(YieldUnit::BushelPerAcre, "$") };
        assert_eq!(back.water_number(254.0), "10.0");
    }

    #[test]
    fn a_spreadsheet_gets_points_and_no_minus_zero() {
        assert_eq!(units(YieldUnit::BushelPerAcre, "$").machine(1234.567), "1234.57");
        assert_eq!(units(YieldUnit::TonnePerHectare, "$").machine(-0.0001), "0.000");
        assert_eq!(units(YieldUnit::BushelPerAcre, "$").machine(-12.5), "-12.50");
    }

    #[test]
    fn money_has_its_sign_before_and_its_word_behind() {
        assert_eq!(units(YieldUnit::BushelPerAcre, "$").money(5.8), "$5.80");
        assert_eq!(units(YieldUnit::BushelPerAcre, "$").money(165.0), "$165");
        assert_eq!(units(YieldUnit::BushelPerAcre, "kr").money(1250.0), "1,250\u{a0}kr");
        assert_eq!(units(YieldUnit::BushelPerAcre, "").money(12.5), "12.50");
    }

    proptest! {
        #[test]
        fn a_printed_number_is_read_back(thousandths in 0u32..20_000_000) {
            let value = f64::from(thousandths) / 1000.0;
            let text = units(YieldUnit::BushelPerAcre, "$").plain(value);
            let back = read(&text, value - 1e-9, value + 1e-9);
            prop_assert_eq!(back, Ok(value), "{}", text);
        }
    }
}
