//! What a spray buys for one variety in the season assumed.
//!
//! The same draws with and without: gain = net with protection − net without − cost, draw by draw. The share of
//! draws where it is above 0 is how often the spray pays. Break-even gain in yield = (product + application) ÷
//! price of a unit after hauling (extension: 26 $ at 4.50 $/bu is 5.78 bu). It knows no disease.

use super::account::Account;
use super::law::{marks, mean};
use serde::{Deserialize, Serialize};

/// What one spray is worth on one variety.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SprayWorth {
    /// Trait code of the disease or pest.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// Cost per area, the reader's or the network's; `None` where neither is known.
    pub cost: Option<f64>,
    /// Share of the pressure that it keeps off, 0–1.
    pub efficacy: f64,
    /// Whether the settings have it sprayed already.
    pub sprayed: bool,
    /// Grain gained on average, yield unit.
    pub gain_yield: f64,
    /// Left on average by spraying after its cost, per area; `None` without price, cost of the crop, or its own.
    pub gain: Option<f64>,
    /// How often it pays, 0–1.
    pub pays: Option<f64>,
    /// In how many of the twenty years it pays.
    pub marks_pays: Option<u8>,
    /// Gain in yield that pays for it, yield unit.
    pub break_even: Option<f64>,
}

/// The draws of a variety (block) with a spray and without, network unit.
#[derive(Debug, Clone, Copy)]
pub struct WithAndWithout<'a> {
    /// Block of the variety.
    pub block: usize,
    /// With.
    pub with: &'a [f64],
    /// Without.
    pub without: &'a [f64],
    /// Price of each draw.
    pub prices: &'a [f64],
}

/// A spray to be weighed.
#[derive(Debug, Clone, Copy)]
pub struct Spraying<'a> {
    /// Trait code.
    pub trait_: &'a str,
    /// Cost per area, if known.
    pub cost: Option<f64>,
    /// Share of the pressure that it keeps off, 0–1.
    pub efficacy: f64,
    /// Whether the settings have it sprayed.
    pub sprayed: bool,
}

/// Gain in yield that pays for a spray: its cost over what a unit leaves; `None` where that is nothing.
pub fn break_even_gain(cost: f64, margin: f64) -> Option<f64> {
    (margin > 0.0).then(|| cost / margin)
}

/// What a spray is worth.
pub fn worth(account: &Account, draws: WithAndWithout<'_>, spraying: Spraying<'_>) -> SprayWorth {
    let cost = spraying.cost;
    let WithAndWithout { block, with, without, prices } = draws;
    let gain_yield = mean(&account.grain(block, with)) - mean(&account.grain(block, without));
    let gains: Option<Vec<f64>> = cost.filter(|_| account.money.is_some()).map(|cost| {
        let with = account.outcomes(block, with, prices);
        let without = account.outcomes(block, without, prices);
        with.iter().zip(without).map(|(with, without)| with - without - cost).collect()
    });
    let pays = gains.as_ref().map(|g| g.iter().filter(|x| **x > 0.0).count() as f64 / g.len() as f64);
    SprayWorth {
        trait_: spraying.trait_.to_owned(),
        cost,
        efficacy: spraying.efficacy,
        sprayed: spraying.sprayed,
        gain_yield,
        gain: gains.as_deref().map(mean),
        pays,
        marks_pays: pays.map(marks),
        break_even: cost
            .filter(|_| account.money.is_some())
            .and_then(|cost| break_even_gain(cost, account.margin() - account.terms[block].dock)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decide::test_network::network;
    use crate::link::Settings;
    use crate::pack::YieldUnit;

    fn spraying(cost: f64) -> Spraying<'static> {
        Spraying { trait_: "leaf-rust", cost: Some(cost), efficacy: 0.8, sprayed: false }
    }

    fn account(price: f64) -> Account {
        let bare = Settings::bare("dryland", YieldUnit::TonnePerHectare);
        let settings = Settings { price: Some(price), cost: Some(100.0), ..bare };
        Account::new(&network(), &settings, &["A".to_owned()], 2.0)
    }

    /// Source: extension: break-even bu/ac = (product + application)/price: 26 $ at 4.50 is 5.78 bu, 40 $ at
    /// 3.50 is 11.43.
    #[test]
    fn the_gain_that_pays_is_cost_over_price() {
        for (cost, price, want) in [(26.0, 4.5, 5.78), (40.0, 3.5, 11.43)] {
            let draws = WithAndWithout { block: 0, with: &[1.0], without: &[1.0], prices: &[price] };
            let got = worth(&account(price), draws, spraying(cost)).break_even.unwrap_or_default();
            assert!((got - want).abs() < 0.005, "{got} for {want}");
        }
        assert_eq!(break_even_gain(26.0, 0.0), None);
    }

    /// By hand: at 10 a tonne and 3 a spray, gains of 0.2, 0.3, 0.4 and 0 t bring −1, 0, 1 and −3.
    #[test]
    fn it_pays_where_the_gain_is_worth_more_than_it_costs() {
        let (with, without) = ([1.2, 1.3, 1.4, 1.0], [1.0; 4]);
        let draws = WithAndWithout { block: 0, with: &with, without: &without, prices: &[9.999; 4] };
        // Just under, so that a gain of three tenths is not a question of the last bit.
        let worth = worth(&account(9.999), draws, spraying(3.0));
        assert_eq!((worth.pays, worth.marks_pays), (Some(0.25), Some(5)));
        assert!((worth.gain_yield - 0.225).abs() < 1e-12);
        assert!((worth.gain.unwrap_or_default() - (9.999 * 0.225 - 3.0)).abs() < 1e-9);
    }
}
