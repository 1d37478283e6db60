//! A field's account: what every variety's yields are worth under the settings.
//!
//! One place where a yield of the network becomes grain and money of the reader, so that the table, the
//! comparison, sprays and acres count alike. It knows no draws.

use super::docks::{VarietyDock, docks};
use super::grazing::{grazed, hollow_stem_days, spared};
use super::law::mean;
use super::money::{Money, TARGET_SHARE, VarietyTerms, worth};
use super::table::BreakEven;
use super::units::{WHEAT_BUSHEL_LB, area_factor, factor, priced_amount};
use crate::link::Settings;
use crate::order::Map;
use crate::pack::Network;

/// The account of a field.
#[derive(Debug, Clone, PartialEq)]
pub struct Account {
    /// From the network's yield unit to that of the settings.
    pub units: f64,
    /// Usual yield, unit of the settings.
    pub usual: f64,
    /// Money, if price and cost are known.
    pub money: Option<Money>,
    /// What decides "short", before a variety's own terms.
    pub break_even: BreakEven,
    /// Terms of each variety (block).
    pub terms: Vec<VarietyTerms>,
    /// Whether each one's seed cost is its own, not the average of the others.
    pub seed_known: Vec<bool>,
    /// Docks of each variety.
    pub docks: Vec<Vec<VarietyDock>>,
    /// Day of first hollow stem of each variety from the first check's, where it is rated.
    pub hollow_stem: Vec<Option<f64>>,
}

impl Account {
    /// The account of the settings for varieties by their codes; `usual` is in the network's unit.
    pub fn new(network: &Network, settings: &Settings, varieties: &[String], usual: f64) -> Account {
        let bushel_lb = network.info.bushel_lb.unwrap_or(WHEAT_BUSHEL_LB);
        let units = factor(network.info.yield_unit, settings.unit, bushel_lb);
        let usual = usual * units;
        let money = Money::new(settings, usual, sprays_cost(network, settings));
        let docks = match settings.docks.is_empty() {
            true => vec![Vec::new(); varieties.len()],
            false => docks(network, &settings.docks, varieties.iter()),
        };
        let hollow_stem = match settings.graze {
            true => hollow_stem_days(network, varieties.iter()),
            false => vec![None; varieties.len()],
        };
        let grazing = grazed(settings, &hollow_stem, spared(settings, bushel_lb));
        let (seed, seed_known) = seed_costs(network, settings, varieties);
        let amount = priced_amount(settings.unit);
        let terms: Vec<VarietyTerms> = seed
            .into_iter()
            .zip(&docks)
            .zip(grazing)
            .map(|((seed, docks), grazed)| {
                let dock = docks.iter().map(|dock| dock.off).sum::<f64>() / amount;
                VarietyTerms { seed, dock, grazed }
            })
            .collect();
        // The line of the axis is that of grain that leaves the field: cattle move it only by their income.
        let break_even = money
            .map_or(BreakEven::Target(spoken(TARGET_SHARE * usual)), |m| m.break_even(&VarietyTerms::PLAIN));
        Account { units, usual, money, break_even, terms, seed_known, docks, hollow_stem }
    }

    /// What an ungrazed yield of a variety (block), unit of the settings, comes to at a price: net per area, or
    /// grain where there is no money.
    pub fn outcome(&self, block: usize, yield_: f64, price: f64) -> f64 {
        worth(self.money.as_ref(), &self.terms[block]).outcome(yield_, price)
    }

    /// Outcomes of draws in the network's unit, at the price of each.
    pub fn outcomes(&self, block: usize, yields: &[f64], prices: &[f64]) -> Vec<f64> {
        worth(self.money.as_ref(), &self.terms[block]).outcomes(yields, self.units, prices)
    }

    /// Price of one unit of yield in each draw, from standard normal numbers; [`Account::mean_price`] in all where it
    /// is certain.
    pub fn prices(&self, scores: &[f64]) -> Vec<f64> {
        match self.money.filter(|money| money.log_price_sd > 0.0) {
            Some(money) => scores.iter().map(|score| money.price_at(*score)).collect(),
            None => vec![self.mean_price(); scores.len()],
        }
    }

    /// Price of one unit of yield, whatever it swings; 1 where there is no money.
    pub fn mean_price(&self) -> f64 {
        self.money.map_or(1.0, |money| money.price)
    }

    /// Grain of draws in the network's unit.
    pub fn grain(&self, block: usize, yields: &[f64]) -> Vec<f64> {
        yields.iter().map(|y| self.terms[block].grazed.grain(y * self.units)).collect()
    }

    /// Outcome below which a crop is short.
    pub fn line(&self) -> f64 {
        match (self.money, self.break_even) {
            (None, BreakEven::Target(target)) => target,
            _ => 0.0,
        }
    }

    /// What one unit of yield leaves after hauling, before docks; 1 where there is no money, so that outcomes
    /// and yields can be turned into each other.
    pub fn margin(&self) -> f64 {
        self.money.map_or(1.0, |money| money.price - money.unit_cost)
    }
}

/// What the sprays of the settings cost per area, those counted that some spray can do.
fn sprays_cost(network: &Network, settings: &Settings) -> f64 {
    settings.sprays.iter().filter(|(code, _)| network.protects(code)).map(|(_, spray)| spray.cost).sum()
}

/// Seed cost of each variety per area of the settings, and whether it is its own: a seed cost that nobody knows
/// is no advantage, the average of the others stands in.
fn seed_costs(network: &Network, settings: &Settings, varieties: &[String]) -> (Vec<f64>, Vec<bool>) {
    let area = area_factor(network.info.yield_unit, settings.unit);
    let known: Map<&str, f64> =
        network.varieties.iter().filter_map(|v| Some((v.variety.as_str(), v.seed_cost?))).collect();
    let average = if known.is_empty() { 0.0 } else { mean(&known.values().copied().collect::<Vec<f64>>()) };
    let cost = |code: &String| known.get(code.as_str()).copied().unwrap_or(average) * area;
    (
        varieties.iter().map(cost).collect(),
        varieties.iter().map(|code| known.contains_key(code.as_str())).collect(),
    )
}

/// A target as people say it: two significant figures.
fn spoken(target: f64) -> f64 {
    if target <= 0.0 {
        return 0.0;
    }
    let unit = 10f64.powf(target.log10().floor() - 1.0);
    (target / unit).round() * unit
}
