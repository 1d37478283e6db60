//! The sentences about money, cattle, sprays, docks, varieties side by side, acres and what would change the
//! answer.

use super::figure::Units;
use super::{Cattle, Short};
use crate::entry::Entry;
use crate::number::NumberProblem;
use leanyear_engine::decide::Standing;
use leanyear_engine::decide::acres::{Holding, Second, Suggestion};
use leanyear_engine::decide::change::{Change, MoreWater};
use leanyear_engine::decide::compare::{Duel, ThreatLoss};
use leanyear_engine::decide::grazing::VarietyGrazing;
use leanyear_engine::decide::sprays::SprayWorth;
use leanyear_engine::decide::tipping::{Lever, TippingPoint};
use leanyear_engine::decide::worked::WorkedLine;
use leanyear_engine::link::WaterOutlook;

/// Most varieties that are named in one sentence.
pub(super) const NAMED: usize = 3;

/// Money, cattle, sprays, docks.
pub trait FieldWorkWords {
    /// What a number among several is, and what stands behind its field; `check` is the variety that days are
    /// counted from.
    fn entry(&self, entry: &Entry, check: &str, units: &Units) -> (String, String);
    /// What to do about a number among several that cannot be used.
    fn entry_problem(&self, problem: NumberProblem, units: &Units) -> String;

    /// That a typed text was not used, for what, and why: the number from before counts.
    fn unused(&self, what: &str, text: &str, problem: &str) -> String;

    /// What the axis counts where it counts money.
    fn money_axis(&self, units: &Units) -> String;
    /// Title and description of that axis, from the least to the greatest.
    fn money_axis_picture(&self, ends: (f64, f64), units: &Units) -> (String, String);
    /// The words over the line where nothing is left.
    fn money_line(&self) -> &'static str;
    /// Average and range of what is left.
    fn averages_money(&self, expected: f64, low: f64, high: f64, units: &Units) -> String;
    /// Heading over twenty amounts of money.
    fn money_heading(&self, units: &Units) -> String;
    /// That the cost holds cash costs only, or everything, with what that is.
    fn costs_option(&self, cash_only: bool) -> &'static str;
    /// Seed costs of varieties: the least, the greatest, and of how many it is not known.
    fn seed_costs(&self, low: f64, high: f64, unknown: usize, units: &Units) -> String;
    /// A line of the sum, and its amount; `label` names the trait of a dock.
    fn worked(&self, line: &WorkedLine, label: &str, units: &Units) -> (String, String);

    /// Cattle as a bracket of the sentence.
    fn grazed(&self, cattle: Option<&Cattle>) -> String;
    /// Whether cattle are on the crop, as an option.
    fn graze_option(&self, graze: bool) -> &'static str;
    /// What cattle bring; `None` where days, gain or value is not known.
    fn graze_income(&self, income: Option<f64>, units: &Units) -> String;
    /// How the grain that cattle take is counted; `spared` is the yield up to which they take none in time.
    fn graze_rule(&self, spared: f64, units: &Units) -> String;
    /// The day cattle should be off, from that of the check; `None` where it is not known.
    fn off_by(&self, day: Option<f64>, check: &str) -> String;
    /// The same in a sentence; `name` is the variety's.
    fn off_by_sentence(&self, day: Option<f64>, name: &str, check: &str) -> String;
    /// What cattle take of a variety's grain, what a week late costs, whether another day pays, how it recovers.
    fn cattle(&self, grazing: &VarietyGrazing, units: &Units) -> Vec<String>;
    /// What a week late costs, short.
    fn week_late(&self, grazing: &VarietyGrazing, units: &Units) -> String;
    /// How it recovers, short.
    fn recovers(&self, poorly: Option<bool>) -> &'static str;

    /// What a spray buys on one variety in the years assumed.
    fn spray(&self, worth: &SprayWorth, label: &str, units: &Units) -> String;
    /// That none of these sprays pays as often as one year in twenty.
    fn sprays_idle(&self, labels: &[String]) -> String;
    /// Whether to spray, as an option.
    fn spray_option(&self, sprayed: bool) -> &'static str;
    /// That no spray protects.
    fn no_spray(&self) -> &'static str;
    /// A quality trait over its docks, with its scale.
    fn docks_heading(&self, label: &str, unit: &str) -> String;
}

/// Varieties weighed against each other.
pub trait WeighingWords {
    /// Who wins how often and by how much; `money` says what is counted.
    fn duel(&self, names: (&str, &str), duel: &Duel, money: bool, units: &Units) -> String;
    /// The same over five seasons.
    fn duel_five(&self, names: (&str, &str), duel: &Duel, money: bool, units: &Units) -> String;
    /// The average difference with its range.
    fn duel_difference(&self, names: (&str, &str), duel: &Duel, money: bool, units: &Units) -> String;
    /// What is moved; `label` names its disease.
    fn lever(&self, lever: &Lever, label: &str) -> String;
    /// An amount of what is moved.
    fn lever_value(&self, lever: &Lever, value: f64, units: &Units) -> String;
    /// Where two change places, or that they do not; both are named.
    fn tipping(&self, names: (&str, &str), point: &TippingPoint, label: &str, units: &Units) -> String;
    /// What each comes to where something was dragged to.
    fn there(&self, lever: &Lever, label: &str, value: f64, units: &Units) -> String;
    /// An amount of money per area, or a yield.
    fn amount(&self, value: f64, money: bool, units: &Units) -> String;
    /// What the amounts of a picture or a table are.
    fn amounts(&self, money: bool, units: &Units) -> String;
    /// Title and description of the picture of what is moved.
    fn moved_picture(&self, names: &[String], lever: &str, money: bool, units: &Units) -> (String, String);
    /// What the table of losses holds: lost in the years assumed, and of the yield when severe.
    fn threats_hold(&self, units: &Units) -> String;
    /// What one disease takes from one variety: in the years assumed, and when severe.
    fn threat_takes(&self, loss: &ThreatLoss, units: &Units) -> String;

    /// The word for acres or hectares.
    fn area_word(&self, units: &Units) -> &'static str;
    /// A share of the whole.
    fn share(&self, share: f64, units: &Units) -> String;
    /// A split in words; each holding with its name.
    fn split(&self, holdings: &[(String, Holding)], units: &Units) -> String;
    /// Which varieties a suggested split may hold: those with so many seasons here, in such years; others only
    /// where the reader gave them acres.
    fn split_proven(&self, seasons: u32, water: WaterOutlook, needs: bool) -> String;
    /// What a suggested split keeps to.
    fn split_limits(&self, most: u8, least: f64, units: &Units) -> String;
    /// What a second variety beside one alone costs.
    fn split_second(&self, second: &Second, name: &str, money: bool, units: &Units) -> String;
    /// What splitting is worth against the best single variety, and what it costs in the average year.
    fn split_worth(
        &self,
        suggestion: &Suggestion,
        single: &str,
        on_average: &str,
        money: bool,
        units: &Units,
    ) -> Vec<String>;
    /// All acres of one variety.
    fn all_of_one(&self, name: &str) -> String;
    /// What one disease could take of the acres.
    fn threat_area(&self, share: f64, area: Option<f64>, units: &Units) -> String;
    /// That these varieties were left out, since no trial speaks for them.
    fn not_tried(&self, names: &[String]) -> String;

    /// Those that are short least often, of all, (`proven`) of those well tested, (`needs`) of those that do what
    /// they must: as many marks each, so that nothing tells them apart. `tested`: none of them is new.
    fn least_often(
        &self,
        names: &[String],
        tested: bool,
        marks: u8,
        short: Short,
        proven: bool,
        needs: bool,
    ) -> String;
    /// That others, too new to be named, may stand in front of the one that stays in front.
    fn of_proven(&self, leader: &str) -> String;
    /// What puts another in front.
    fn change(&self, change: &Change, leader: &str, ahead: &str, label: &str, units: &Units) -> String;
    /// That no change of these does, or none to count on.
    fn no_change(&self, leader: &str, levers: &[String]) -> String;
    /// The newcomer that deserves a strip.
    fn newcomer(&self, name: &str, chance: f64, standing: &Standing, needs: bool) -> String;
    /// That what more water adds on this ground is not known.
    fn water_unknown(&self, system: &str) -> String;
    /// What more water adds.
    fn more_water(&self, more: &MoreWater, systems: bool, units: &Units) -> String;
}
