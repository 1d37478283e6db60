//! How what is left after costs is worked out: the lines of the sum, with the reader's own numbers.
//!
//! Amounts are averages over the draws, per area, what comes in above 0 and what goes out below; they add to
//! the net that the table shows. Which words each line becomes is the page's affair. It knows no view.

use super::account::Account;
use super::docks::VarietyDock;
use super::law::mean;
use super::units::priced_amount;
use crate::link::Settings;
use serde::{Deserialize, Serialize};

/// A line of the sum. Quantities of grain are in the units that the price is for: bushels, tonnes or 100 lb,
/// per area.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "line", rename_all = "kebab-case")]
pub enum WorkedLine {
    /// What grazing takes before grain is cut; no amount of its own.
    GrainGrazed {
        /// Grain that an ungrazed crop would make.
        ungrazed: f64,
        /// Of that, lost to cattle.
        lost: f64,
    },
    /// Grain sold.
    Grain {
        /// Quantity.
        quantity: f64,
        /// Price of a unit.
        price: f64,
        /// quantity × price.
        amount: f64,
    },
    /// Hauling and harvesting it.
    Hauling {
        /// Quantity.
        quantity: f64,
        /// Cost of a unit.
        unit_cost: f64,
        /// −quantity × unit cost.
        amount: f64,
    },
    /// A dock, or a premium where the amount is above 0.
    Dock {
        /// Quality trait.
        #[serde(rename = "trait")]
        trait_: String,
        /// Its value; `None` where it is not rated and the average dock of the others stands in.
        value: Option<f64>,
        /// Taken off a unit.
        off: f64,
        /// −quantity × off.
        amount: f64,
    },
    /// Paid by the guarantee.
    Indemnity {
        /// Quantity guaranteed.
        guarantee: f64,
        /// Paid for a unit short of it.
        price: f64,
        /// Average paid.
        amount: f64,
    },
    /// Income from grazing.
    Grazing {
        /// Days.
        days: f64,
        /// Gain a day times head per area.
        gain: f64,
        /// Value of gain.
        value: f64,
        /// days × gain × value.
        amount: f64,
    },
    /// Costs per area.
    Costs {
        /// Whether cash costs only.
        cash_only: bool,
        /// −costs.
        amount: f64,
    },
    /// Premium of the guarantee.
    Premium {
        /// −premium.
        amount: f64,
    },
    /// Sprays.
    Sprays {
        /// −cost of those that the settings have.
        amount: f64,
    },
    /// Seed.
    Seed {
        /// Whether the cost is the variety's own, not the average of the others.
        known: bool,
        /// −seed cost.
        amount: f64,
    },
    /// What is left: the sum of the amounts.
    Left {
        /// Average net.
        amount: f64,
    },
    /// Grain that pays for everything: costs less other income, over what a unit leaves.
    BreakEvenYield {
        /// Costs, premium, sprays and seed, less grazing income.
        costs: f64,
        /// Price less hauling and docks.
        margin: f64,
        /// Quantity where the net crosses 0; `None` where it does not just once.
        quantity: Option<f64>,
    },
    /// Price that pays for everything at the average yield; a public budget divides the same way.
    BreakEvenPrice {
        /// Costs, premium, sprays, seed and hauling, less grazing income and indemnity.
        costs: f64,
        /// Average quantity.
        quantity: f64,
        /// costs ÷ quantity, before docks.
        price: f64,
    },
}

impl WorkedLine {
    /// What the line adds to what is left; 0 for those that add nothing.
    pub fn amount(&self) -> f64 {
        match self {
            WorkedLine::Grain { amount, .. }
            | WorkedLine::Hauling { amount, .. }
            | WorkedLine::Dock { amount, .. }
            | WorkedLine::Indemnity { amount, .. }
            | WorkedLine::Grazing { amount, .. }
            | WorkedLine::Costs { amount, .. }
            | WorkedLine::Premium { amount }
            | WorkedLine::Sprays { amount }
            | WorkedLine::Seed { amount, .. } => *amount,
            WorkedLine::GrainGrazed { .. }
            | WorkedLine::Left { .. }
            | WorkedLine::BreakEvenYield { .. }
            | WorkedLine::BreakEvenPrice { .. } => 0.0,
        }
    }
}

/// The lines for one variety (block), given its draws in the network's unit and the price of each; empty without price and cost.
pub fn worked(
    settings: &Settings,
    account: &Account,
    block: usize,
    yields: &[f64],
    prices: &[f64],
) -> Vec<WorkedLine> {
    let Some(money) = account.money else { return Vec::new() };
    let own = &account.terms[block];
    let per_unit = priced_amount(settings.unit);
    let grain = account.grain(block, yields);
    let quantity = mean(&grain) / per_unit;
    let sold = grain.iter().zip(prices).map(|(y, price)| price * y).sum::<f64>();
    let sold = sold / grain.len() as f64;
    let indemnity =
        yields.iter().map(|y| money.indemnity(y * account.units)).sum::<f64>() / grain.len() as f64;
    let mut lines = Vec::new();
    if !own.grazed.is_not() {
        let ungrazed = mean(yields) * account.units / per_unit;
        lines.push(WorkedLine::GrainGrazed { ungrazed, lost: ungrazed - quantity });
    }
    lines.push(WorkedLine::Grain { quantity, price: money.price * per_unit, amount: sold });
    if money.unit_cost > 0.0 {
        let unit_cost = money.unit_cost * per_unit;
        lines.push(WorkedLine::Hauling { quantity, unit_cost, amount: -quantity * unit_cost });
    }
    lines.extend(account.docks[block].iter().map(|dock| dock_line(dock, quantity)));
    if money.guarantee > 0.0 {
        let (guarantee, price) = (money.guarantee / per_unit, money.guarantee_price * per_unit);
        lines.push(WorkedLine::Indemnity { guarantee, price, amount: indemnity });
    }
    let costs = cost_lines(settings, account, block);
    let paid: f64 = -costs.iter().map(WorkedLine::amount).sum::<f64>();
    lines.extend(costs);
    lines.push(WorkedLine::Left { amount: lines.iter().map(WorkedLine::amount).sum() });
    let crossing = match money.break_even(own) {
        super::table::BreakEven::Yield(at) => Some(at / per_unit),
        _ => None,
    };
    let margin = (money.price - money.unit_cost - own.dock) * per_unit;
    lines.push(WorkedLine::BreakEvenYield { costs: paid, margin, quantity: crossing });
    // Where other income pays for everything no price is needed.
    let needed = paid + quantity * (money.unit_cost + own.dock) * per_unit - indemnity;
    if quantity > 0.0 && needed > 0.0 {
        lines.push(WorkedLine::BreakEvenPrice { costs: needed, quantity, price: needed / quantity });
    }
    lines
}

fn dock_line(dock: &VarietyDock, quantity: f64) -> WorkedLine {
    let (trait_, value, off) = (dock.trait_.clone(), dock.value, dock.off);
    WorkedLine::Dock { trait_, value, off, amount: -quantity * off }
}

/// What does not hang on the yield: grazing income first, then what is paid.
fn cost_lines(settings: &Settings, account: &Account, block: usize) -> Vec<WorkedLine> {
    let mut lines = Vec::new();
    let income = super::grazing::income(settings);
    if let (true, Some(days), Some(gain), Some(value)) =
        (settings.graze, settings.graze_days, settings.gain, settings.value)
    {
        lines.push(WorkedLine::Grazing { days, gain, value, amount: income });
    }
    let (cost, premium) = (settings.cost.unwrap_or(0.0), settings.premium.unwrap_or(0.0));
    lines.push(WorkedLine::Costs { cash_only: settings.cash_only, amount: -cost });
    if premium > 0.0 {
        lines.push(WorkedLine::Premium { amount: -premium });
    }
    // What the account counts beyond these is sprays.
    let sprays = account.money.map_or(0.0, |money| money.costs) - cost - premium + income;
    if !settings.sprays.is_empty() && sprays.abs() > 1e-9 {
        lines.push(WorkedLine::Sprays { amount: -sprays });
    }
    let (known, seed) = (account.seed_known[block], account.terms[block].seed);
    lines.push(WorkedLine::Seed { known, amount: -seed });
    lines
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::decide::test_network::network;
    use crate::link::{DockStep, Spray};
    use crate::pack::{Rating, YieldUnit};

    fn lines(settings: &Settings, yields: &[f64]) -> (Vec<WorkedLine>, f64) {
        let mut network = network();
        network.varieties[0].seed_cost = Some(0.0);
        network.traits.push(crate::decide::test_network::a_trait(
            "protein",
            crate::pack::TraitKind::Quality,
            Some((15.0, 9.0)),
        ));
        network.ratings.push(Rating {
            variety: "A".to_owned(),
            trait_: "protein".to_owned(),
            value: 12.1,
            seasons: None,
        });
        network.info.yield_unit = settings.unit;
        let account = Account::new(&network, settings, &["A".to_owned()], 40.0);
        let prices = account.prices(&vec![0.3; yields.len()]);
        let net = mean(&account.outcomes(0, yields, &prices));
        (worked(settings, &account, 0, yields, &prices), net)
    }

    /// Source: a public extension budget: 325.10 $/ac over 45 bu is 7.22 $/bu; and 283.47 $ at 6.612 − 1.11 is
    /// 51.52 bu.
    #[test]
    fn the_break_even_price_and_yield_are_those_of_public_budgets() {
        let bare = Settings { price: Some(6.612), ..Settings::bare("all", YieldUnit::BushelPerAcre) };
        let (found, _) = lines(&Settings { cost: Some(325.10), ..bare.clone() }, &[40.0, 50.0]);
        let price = found.iter().find_map(|l| match l {
            WorkedLine::BreakEvenPrice { price, .. } => Some(*price),
            _ => None,
        });
        assert!((price.unwrap() - 7.22).abs() < 0.005, "{price:?}");
        let (found, _) = lines(&Settings { cost: Some(283.47), haul: Some(1.11), ..bare }, &[40.0, 50.0]);
        let quantity = found.iter().find_map(|l| match l {
            WorkedLine::BreakEvenYield { quantity, .. } => *quantity,
            _ => None,
        });
        assert!((quantity.unwrap() - 51.52).abs() < 0.005, "{quantity:?}");
    }

    /// Law: whatever is switched on, the lines add to the net of the table.
    #[test]
    fn the_lines_add_to_what_is_left() {
        let settings = Settings {
            price: Some(210.0),
            haul: Some(15.0),
            volatility: Some(25.0),
            cost: Some(380.0),
            cover: Some(65.0),
            premium: Some(9.0),
            graze: true,
            graze_days: Some(60.0),
            gain: Some(0.9),
            value: Some(4.1),
            off: Some(3.0),
            sprays: [("leaf-rust".to_owned(), Spray { cost: 18.0, efficacy: 0.7 })].into(),
            docks: [("protein".to_owned(), vec![DockStep { below: 12.4, off: -9.2 }])].into(),
            ..Settings::bare("all", YieldUnit::KilogramPerHectare)
        };
        let (found, net) = lines(&settings, &[0.0, 900.0, 1130.0, 2400.0, 5100.0]);
        let sum: f64 = found.iter().map(WorkedLine::amount).sum();
        assert!((sum - net).abs() < 1e-6, "{sum} for {net}");
        assert!(
            found.iter().any(|l| matches!(l, WorkedLine::Left { amount } if (amount - net).abs() < 1e-6))
        );
        assert_eq!(found.len(), 13, "{found:#?}");
    }
}
