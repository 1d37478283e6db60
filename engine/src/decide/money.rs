//! What is left after costs, and where it crosses zero.
//!
//! net = (price − unit cost)·Y + indemnity − costs − premium − seed, all per acre or hectare. The price may
//! be uncertain (log-normal, with the stated coefficient of variation). The guarantee pays
//! max(0, usual × cover − Y) × its price. Partial-budget arithmetic; grazing and sprays join it with their
//! views. It knows numbers, not varieties.

use super::table::BreakEven;
use super::units::priced_amount;
use crate::link::Settings;

/// Share of the usual yield below which a crop counts as short where price or cost is unknown.
pub const TARGET_SHARE: f64 = 2.0 / 3.0;

/// Prices and costs of one field, in the unit of its settings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Money {
    /// Price of one unit of yield.
    pub price: f64,
    /// Cost of hauling and harvesting one unit of yield.
    pub unit_cost: f64,
    /// Costs and premium per area.
    pub costs: f64,
    /// Yield that is guaranteed; 0 without a guarantee.
    pub guarantee: f64,
    /// Paid for each unit short of the guarantee.
    pub guarantee_price: f64,
    /// Standard deviation of the log price.
    pub log_price_sd: f64,
}

impl Money {
    /// Money of the settings, if both price and cost are there. `usual` is in the settings' unit.
    pub fn new(settings: &Settings, usual: f64) -> Option<Money> {
        let amount = priced_amount(settings.unit);
        let cover = settings.cover.unwrap_or(0.0) / 100.0;
        let volatility = settings.volatility.unwrap_or(0.0) / 100.0;
        Some(Money {
            price: settings.price? / amount,
            unit_cost: settings.haul.unwrap_or(0.0) / amount,
            costs: settings.cost? + settings.premium.unwrap_or(0.0),
            guarantee: usual * cover,
            guarantee_price: settings.guarantee_price.or(settings.price)? / amount,
            log_price_sd: (1.0 + volatility * volatility).ln().sqrt(),
        })
    }

    /// Left after costs at a yield, with the seed cost of a variety and a standard normal number for the
    /// price; the price keeps its mean whatever its volatility.
    pub fn net(&self, yield_: f64, seed: f64, price_score: f64) -> f64 {
        let price = if self.log_price_sd > 0.0 {
            self.price * (self.log_price_sd * price_score - 0.5 * self.log_price_sd * self.log_price_sd).exp()
        } else {
            self.price
        };
        let indemnity = (self.guarantee - yield_).max(0.0) * self.guarantee_price;
        (price - self.unit_cost) * yield_ + indemnity - self.costs - seed
    }

    /// Whether the net depends on yield alone and never falls as it rises, so that the worst yields are the
    /// worst nets.
    pub fn rises_with_yield(&self) -> bool {
        let margin = self.price - self.unit_cost;
        self.log_price_sd == 0.0 && margin >= 0.0 && (self.guarantee == 0.0 || margin >= self.guarantee_price)
    }

    /// Where the net crosses 0, before a variety's own seed cost.
    pub fn break_even(&self) -> BreakEven {
        let margin = self.price - self.unit_cost;
        if margin <= 0.0 {
            return BreakEven::CostsMoreToHaul;
        }
        let at_nothing = self.net(0.0, 0.0, 0.0);
        let at_guarantee = self.net(self.guarantee, 0.0, 0.0);
        let crossing_above = self.costs / margin;
        match (at_nothing < 0.0, at_guarantee < 0.0) {
            (_, true) if at_nothing < 0.0 || self.guarantee == 0.0 => BreakEven::Yield(crossing_above),
            (true, false) if self.guarantee > 0.0 => {
                let slope = margin - self.guarantee_price;
                BreakEven::Yield(-at_nothing / slope)
            }
            _ => BreakEven::NoSingleCrossing,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn money(price: f64, unit_cost: f64, costs: f64) -> Money {
        Money { price, unit_cost, costs, guarantee: 0.0, guarantee_price: 0.0, log_price_sd: 0.0 }
    }

    /// Source: a public extension enterprise budget; break-even yield = cost/(price − hauling and
    /// harvest a bushel): 283.47 and 352.27 $/ac at 6.612 − 1.11 $/bu give 51.52 and 64.03 bu/ac.
    #[test]
    fn break_even_yield_is_cost_over_price_less_hauling() {
        for (costs, want) in [(283.47, 51.52), (352.27, 64.03)] {
            let BreakEven::Yield(got) = money(6.612, 1.11, costs).break_even() else {
                unreachable!("a plain budget has one break-even")
            };
            assert!((got - want).abs() < 0.005, "{got} for {want}");
        }
    }

    /// Constructed after a public guarantee formula: 40 bu × 65 % = 26; made 15, so 11 bu × 5.50 = 60.50.
    #[test]
    fn the_guarantee_pays_what_is_missing() {
        let with = Money { guarantee: 40.0 * 0.65, guarantee_price: 5.5, ..money(5.5, 0.0, 100.0) };
        let without = money(5.5, 0.0, 100.0);
        assert!((with.net(15.0, 0.0, 0.0) - without.net(15.0, 0.0, 0.0) - 60.5).abs() < 1e-9);
        assert_eq!(with.net(30.0, 0.0, 0.0), without.net(30.0, 0.0, 0.0));
    }

    #[test]
    fn a_price_below_hauling_says_so() {
        assert_eq!(money(1.0, 1.2, 10.0).break_even(), BreakEven::CostsMoreToHaul);
    }

    proptest! {
        /// Law: the line drawn as break-even is where the net really is 0 and changes sign.
        #[test]
        fn the_net_is_zero_at_the_break_even(price in 1.0f64..10.0, haul in 0.0f64..0.9, costs in 1.0f64..400.0,
                                             guarantee in 0.0f64..60.0, guarantee_price in 0.0f64..8.0) {
            let m = Money { guarantee, guarantee_price, ..money(price, haul * price, costs) };
            if let BreakEven::Yield(at) = m.break_even() {
                prop_assert!(at >= 0.0);
                prop_assert!(m.net(at, 0.0, 0.0).abs() < 1e-6 * costs.max(1.0));
                prop_assert!(m.net(at * 1.01 + 0.01, 0.0, 0.0) >= -1e-6 && m.net((at * 0.99 - 0.01).max(0.0), 0.0, 0.0) <= 1e-6);
            }
        }
    }
}
