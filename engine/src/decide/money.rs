//! What is left after costs, and where it crosses zero.
//!
//! net = (price − unit cost − dock)·grain(Y) + indemnity + grazing − costs − premium − sprays − seed, all per
//! acre or hectare: partial-budget arithmetic, as public extension budgets lay it out. grain(Y) is what grazing
//! leaves of a crop of Y ([`super::grazing`]). The price may be uncertain (log-normal, with the stated
//! coefficient of variation). The guarantee pays max(0, usual × cover − Y) × its price on the ungrazed yield Y:
//! what cattle take is not insured. It knows numbers, not varieties.

use super::grazing::{Grazed, income};
use super::table::BreakEven;
use super::units::priced_amount;
use crate::link::Settings;
use leanyear_vectors::Worth;

/// Share of the usual yield below which a crop counts as short where price or cost is unknown.
pub const TARGET_SHARE: f64 = 2.0 / 3.0;

/// Prices and costs of one field that all varieties share, in the unit of its settings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Money {
    /// Price of one unit of yield.
    pub price: f64,
    /// Cost of hauling and harvesting one unit of yield.
    pub unit_cost: f64,
    /// Costs, premium and sprays per area, less the income from grazing; below 0 where that is more.
    pub costs: f64,
    /// Yield that is guaranteed; 0 without a guarantee.
    pub guarantee: f64,
    /// Paid for each unit short of the guarantee.
    pub guarantee_price: f64,
    /// Standard deviation of the log price.
    pub log_price_sd: f64,
}

/// What one variety brings to the account of a field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VarietyTerms {
    /// Seed cost per area.
    pub seed: f64,
    /// Taken off the price of one unit of yield; negative for a premium.
    pub dock: f64,
    /// What grazing does to its grain.
    pub grazed: Grazed,
}

impl VarietyTerms {
    /// Seed for nothing, no dock, no cattle.
    pub const PLAIN: VarietyTerms = VarietyTerms { seed: 0.0, dock: 0.0, grazed: Grazed::NOT };
}

/// What yields of a variety are worth: money, or grain at a price of 1 where there is none.
pub fn worth(money: Option<&Money>, own: &VarietyTerms) -> Worth {
    let grain_alone =
        Worth { grain: own.grazed.lines(), off: 0.0, guarantee: 0.0, guarantee_price: 0.0, costs: 0.0 };
    money.map_or(grain_alone, |money| Worth {
        off: money.unit_cost + own.dock,
        guarantee: money.guarantee,
        guarantee_price: money.guarantee_price,
        costs: money.costs + own.seed,
        ..grain_alone
    })
}

impl Money {
    /// Money of the settings, if both price and cost are there. `usual` is in the settings' unit, `sprays` what
    /// the chosen sprays cost together.
    pub fn new(settings: &Settings, usual: f64, sprays: f64) -> Option<Money> {
        let amount = priced_amount(settings.unit);
        let cover = settings.cover.unwrap_or(0.0) / 100.0;
        let volatility = settings.volatility.unwrap_or(0.0) / 100.0;
        Some(Money {
            price: settings.price? / amount,
            unit_cost: settings.haul.unwrap_or(0.0) / amount,
            costs: settings.cost? + settings.premium.unwrap_or(0.0) + sprays - income(settings),
            guarantee: usual * cover,
            guarantee_price: settings.guarantee_price.or(settings.price)? / amount,
            log_price_sd: (1.0 + volatility * volatility).ln().sqrt(),
        })
    }

    /// Price of one unit of yield at a standard normal number; its mean stays whatever its volatility.
    pub fn price_at(&self, price_score: f64) -> f64 {
        if self.log_price_sd > 0.0 {
            self.price * (self.log_price_sd * price_score - 0.5 * self.log_price_sd * self.log_price_sd).exp()
        } else {
            self.price
        }
    }

    /// Paid for what a yield is short of the guarantee.
    pub fn indemnity(&self, yield_: f64) -> f64 {
        (self.guarantee - yield_).max(0.0) * self.guarantee_price
    }

    /// Left after costs at an ungrazed yield, with a variety's own terms and the price at its mean.
    pub fn net(&self, yield_: f64, own: &VarietyTerms) -> f64 {
        worth(Some(self), own).net(yield_, self.price)
    }

    /// Whether the net depends on yield alone and never falls as it rises, so that the worst yields are the
    /// worst nets.
    pub fn rises_with_yield(&self, own: &VarietyTerms) -> bool {
        let margin = self.price - self.unit_cost - own.dock;
        let insured_safely = self.guarantee == 0.0 || (own.grazed.is_not() && margin >= self.guarantee_price);
        self.log_price_sd == 0.0 && margin >= 0.0 && insured_safely
    }

    /// The grain at which the net crosses 0, where it does so once and upwards.
    pub fn break_even(&self, own: &VarietyTerms) -> BreakEven {
        let margin = self.price - self.unit_cost - own.dock;
        if margin <= 0.0 {
            return BreakEven::CostsMoreToHaul;
        }
        let [first, second] = own.grazed.kinks();
        let mut kinks = [0.0, self.guarantee, first, second];
        leanyear_vectors::sort(&mut kinks);
        let net = |yield_: f64| self.net(yield_, own);
        let (mut up, mut down) = (None, false);
        for ends in kinks.windows(2) {
            let (low, high) = (net(ends[0]), net(ends[1]));
            if low < 0.0 && high >= 0.0 && up.is_none() {
                up = Some(ends[0] + (ends[1] - ends[0]) * (-low / (high - low)));
            }
            down |= low >= 0.0 && high < 0.0;
        }
        let (last, slope) = (kinks[3], margin * (1.0 - own.grazed.lost()));
        if net(last) < 0.0 && slope > 0.0 {
            up = Some(last - net(last) / slope);
        }
        match up.filter(|_| !down) {
            Some(at) => BreakEven::Yield(own.grazed.grain(at)),
            None => BreakEven::NoSingleCrossing,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pack::YieldUnit;
    use proptest::prelude::*;

    fn money(price: f64, unit_cost: f64, costs: f64) -> Money {
        Money { price, unit_cost, costs, guarantee: 0.0, guarantee_price: 0.0, log_price_sd: 0.0 }
    }

    /// Without the price's own swing, at its mean.
    fn left(money: &Money, yield_: f64) -> f64 {
        money.net(yield_, &VarietyTerms::PLAIN)
    }

    fn plain_break_even(money: &Money) -> BreakEven {
        money.break_even(&VarietyTerms::PLAIN)
    }

    /// Source: a public extension enterprise budget; break-even yield = cost/(price − hauling and
    /// harvest a bushel): 283.47 and 352.27 $/ac at 6.612 − 1.11 $/bu give 51.52 and 64.03 bu/ac.
    #[test]
    fn break_even_yield_is_cost_over_price_less_hauling() {
        for (costs, want) in [(283.47, 51.52), (352.27, 64.03)] {
            let BreakEven::Yield(got) = plain_break_even(&money(6.612, 1.11, costs)) else {
                unreachable!("a plain budget has one break-even")
            };
            assert!((got - want).abs() < 0.005, "{got} for {want}");
        }
    }

    /// Source: a public extension dryland budget, 2016: 18 bu at 5.50 $, grazing income 34, variable costs
    /// 141.49, fixed 70.25, total 211.74 $/ac. Its arithmetic: 99 + 34 − 211.74 = −78.74, on cash costs −8.49.
    #[test]
    fn a_published_dryland_budget_adds_up() {
        let bare = Settings {
            price: Some(5.5),
            graze: true,
            graze_days: Some(34.0),
            gain: Some(1.0),
            value: Some(1.0),
            ..Settings::bare("dryland", YieldUnit::BushelPerAcre)
        };
        for (cost, want) in [(141.49 + 70.25, -78.74), (141.49, -8.49)] {
            let settings = Settings { cost: Some(cost), ..bare.clone() };
            let Some(money) = Money::new(&settings, 30.0, 0.0) else {
                unreachable!("price and cost are given")
            };
            assert!((left(&money, 18.0) - want).abs() < 1e-9);
        }
    }

    /// Constructed after a public guarantee formula: 40 bu × 65 % = 26; made 15, so 11 bu × 5.50 = 60.50.
    #[test]
    fn the_guarantee_pays_what_is_missing() {
        let with = Money { guarantee: 40.0 * 0.65, guarantee_price: 5.5, ..money(5.5, 0.0, 100.0) };
        let without = money(5.5, 0.0, 100.0);
        assert!((left(&with, 15.0) - left(&without, 15.0) - 60.5).abs() < 1e-9);
        assert_eq!(left(&with, 30.0), left(&without, 30.0));
    }

    /// By hand: with the guarantee paid at the price, every yield under it comes to the guarantee times the price.
    #[test]
    fn yields_that_a_guarantee_pays_the_same_are_the_same() {
        let m = Money { guarantee: 31.7 * 0.65, guarantee_price: 5.8, ..money(5.8, 0.0, 165.0) };
        let yields: Vec<f64> = (0..200).map(|k| f64::from(k) * 0.0937).collect();
        let distinct = |values: Vec<f64>| {
            let mut bits: Vec<u64> = values.into_iter().map(f64::to_bits).collect();
            bits.sort_unstable();
            bits.dedup();
            bits.len()
        };
        assert!(distinct(yields.iter().map(|y| left(&m, *y)).collect()) > 1, "the machine rounds");
        let told = yields.iter().map(|y| worth(Some(&m), &VarietyTerms::PLAIN).outcome(*y, m.price));
        assert_eq!(distinct(told.collect()), 1);
    }

    /// By hand: 3 % of 30 $ is lost to a dock of 0.90 on 1 t; 30 days late loses all grain, and none is insured.
    #[test]
    fn docks_and_cattle_lower_the_net() {
        let m = Money { guarantee: 2.0, guarantee_price: 20.0, ..money(30.0, 0.0, 50.0) };
        let docked = VarietyTerms { dock: 0.9, ..VarietyTerms::PLAIN };
        assert!((left(&m, 3.0) - m.net(3.0, &docked) - 2.7).abs() < 1e-12);
        let grazed_out = VarietyTerms { grazed: Grazed::days_past(30.0, 1.1), ..VarietyTerms::PLAIN };
        assert_eq!(m.net(3.0, &grazed_out), -50.0);
        assert_eq!(m.net(1.0, &grazed_out), 20.0 - 50.0);
    }

    #[test]
    fn a_price_below_hauling_says_so() {
        assert_eq!(plain_break_even(&money(1.0, 1.2, 10.0)), BreakEven::CostsMoreToHaul);
        let docked = VarietyTerms { dock: 0.3, ..VarietyTerms::PLAIN };
        assert_eq!(money(1.0, 0.8, 10.0).break_even(&docked), BreakEven::CostsMoreToHaul);
    }

    #[test]
    fn a_crop_that_cattle_have_paid_for_has_no_break_even() {
        assert_eq!(plain_break_even(&money(5.0, 0.0, -10.0)), BreakEven::NoSingleCrossing);
    }

    proptest! {
        /// Law: the line drawn as break-even is where the net really is 0 and changes sign, in grain.
        #[test]
        fn the_net_is_zero_at_the_break_even(price in 1.0f64..10.0, haul in 0.0f64..0.9, costs in 1.0f64..400.0,
                                             guarantee in 0.0f64..60.0, guarantee_price in 0.0f64..8.0,
                                             days in prop::option::of(-3.0f64..12.0), dock in -0.2f64..0.05) {
            let m = Money { guarantee, guarantee_price, ..money(price, haul * price, costs) };
            let grazed = days.map_or(Grazed::NOT, |days| Grazed::days_past(days, 16.4));
            let own = VarietyTerms { seed: 12.0, dock, grazed };
            if let BreakEven::Yield(at) = m.break_even(&own) {
                // Every yield whose grain is above the line leaves money, every one below it loses.
                for y in (0..4000).map(|k| 0.25 * f64::from(k)) {
                    let (grain, net) = (grazed.grain(y), m.net(y, &own));
                    prop_assert!(grain <= at + 1e-6 || net >= -1e-6, "{} grain over {} nets {}", grain, at, net);
                    prop_assert!(grain >= at - 1e-6 || net <= 1e-6, "{} grain under {} nets {}", grain, at, net);
                }
            }
        }
    }
}
