//! The decision table: what every view of the page and `leanyear odds` show, as plain values.
//!
//! Yields are in the unit of the settings, money per acre or hectare as that unit has it, chances are
//! shares 0–1. Nothing here is a sentence; the page's catalogue and the command line find the words.

use super::needs::NeedFailure;
use crate::forecast::form::FittedLoss;
use crate::link::Settings;
use serde::{Deserialize, Serialize};

/// How much evidence stands behind a variety.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StandingState {
    /// At least `seasons_to_prove` seasons, and tested lately.
    WellTested,
    /// Fewer seasons than that.
    New,
    /// Not in a trial for `lapse_after` seasons or more.
    NoLongerTested,
}

/// How long a variety was tested, in the system asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Standing {
    /// The verdict.
    pub state: StandingState,
    /// Seasons with at least one fitted trial in this system.
    pub seasons: u32,
    /// Fitted trials in this system.
    pub trials: u32,
    /// Of those, trials whose water fell inside the assumed outlook.
    pub trials_like_this: u32,
    /// Last season with a fitted trial in this system, if any.
    pub last: Option<i32>,
    /// Whether no chain of trials of any system joins it to the larger part of the varieties: only the model's prior
    /// compares it with those.
    pub apart: bool,
}

impl Standing {
    /// Whether it was tested in this system, and lately: one that can be sown and recommended.
    pub fn current(&self) -> bool {
        self.state != StandingState::NoLongerTested && self.trials > 0
    }

    /// Whether enough stands behind it to name it: tested in this system for as many seasons as the network asks,
    /// lately, and in such a season as is assumed.
    pub fn proven(&self) -> bool {
        self.state == StandingState::WellTested && self.trials_like_this > 0
    }
}

/// One variety in one field under one outlook.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct VarietyOdds {
    /// Code.
    pub variety: String,
    /// Mean of the law, yield unit, failed crops counted as 0. All yields here are grain cut: where the settings
    /// have cattle on the crop, what they take is off.
    pub expected: f64,
    /// 10th percentile, yield unit.
    pub low80: f64,
    /// 90th percentile, yield unit.
    pub high80: f64,
    /// Twenty seasons: quantiles at (k − ½)/20, ascending, yield unit.
    pub seasons: Vec<f64>,
    /// How many of the twenty were not worth cutting (they stand at 0).
    pub failed_marks: u8,
    /// Yield below which it is short, its own seed cost counted; `None` where no single yield parts
    /// good from short.
    pub break_even: Option<f64>,
    /// Chance that the net is below 0 (or the yield below the target where there is no price).
    pub chance_short: f64,
    /// Marks of the twenty that are short.
    pub marks_short: u8,
    /// Average shortfall when short: money per area, or yield where there is no price.
    pub shortfall: f64,
    /// Average left after costs, money per area; `None` without price and cost.
    pub net: Option<f64>,
    /// Average yield of the worst fifth of the law, yield unit.
    pub worst_fifth: f64,
    /// Average net of the worst fifth of the law; `None` without price and cost.
    pub worst_fifth_net: Option<f64>,
    /// Law of the net; only where the settings want money on the axis.
    pub net_law: Option<NetLaw>,
    /// Seed cost per area that the net counts.
    pub seed_cost: f64,
    /// Whether that is its own, not the average of the others.
    pub seed_cost_known: bool,
    /// P(beats the check) + ½ P(ties); `None` for the check itself, where there is none and where no chain of trials
    /// joins the two.
    pub beats_check: Option<f64>,
    /// P(beats mine) + ½ P(ties); `None` for mine, where none is named and where no chain of trials joins the two.
    pub beats_mine: Option<f64>,
    /// Chance of being the best of those shown, next season.
    pub best: f64,
    /// Chance of being the best of those shown in the long run.
    pub best_longrun: f64,
    /// Whether it belongs to the group too close to call.
    pub group: bool,
    /// Whether it may be named as the best: tested in this system, lately and in such a season, with everything
    /// that is needed; a new one only where none that is well tested has all that.
    pub nameable: bool,
    /// What it lacks of what is needed; those that lack anything come after all others.
    pub fails: Vec<NeedFailure>,
    /// How long tested.
    pub standing: Standing,
}

/// The law of what is left after costs, money per area.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NetLaw {
    /// 10th percentile.
    pub low80: f64,
    /// 90th percentile.
    pub high80: f64,
    /// Twenty seasons: quantiles at (k − ½)/20, ascending.
    pub seasons: Vec<f64>,
}

/// Where the climate of the outlook came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ClimateSource {
    /// `water.csv` of this site and system.
    LongRecord,
    /// The seasons of this site's own trials in this system.
    TrialSeasons,
    /// Trial seasons of the zone or of the whole network, since the site has too few.
    NetworkSeasons,
    /// No water known at all: only "as it comes" can be answered.
    None,
}

/// The season assumed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutlookSummary {
    /// Where the climate came from.
    pub source: ClimateSource,
    /// Seasons in the record.
    pub seasons_in_record: u32,
    /// Seasons of the record inside the chosen outlook, rounded.
    pub seasons_like_this: u32,
    /// Mean water of the outlook, water unit; `None` where no water is known.
    pub water_mean: Option<f64>,
    /// Least and greatest water of the seasons inside the outlook, water unit.
    pub water_range: Option<(f64, f64)>,
    /// First and last season of the record.
    pub record_years: Option<(i32, i32)>,
    /// Whether part of the outlook is drier than any harvested trial of the system.
    pub drier_than_harvested: bool,
    /// Chance that the crop is not worth cutting.
    pub chance_no_harvest: f64,
}

/// What decides "short".
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BreakEven {
    /// Price and cost are given: the yield where the net is 0, before a variety's own seed cost.
    Yield(f64),
    /// Price does not exceed the cost of hauling a unit.
    CostsMoreToHaul,
    /// No price or cost: the yield below which a crop counts as short.
    Target(f64),
    /// The net does not cross 0 at any yield, or more than once.
    NoSingleCrossing,
}

/// The field the odds are for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FieldSummary {
    /// Usual yield the odds rest on: the one given, or the one the trials suggest; yield unit.
    pub usual: f64,
    /// Whether it was given.
    pub usual_given: bool,
    /// Varieties whose average the usual yield is about.
    pub reference_set: Vec<String>,
    /// Fitted trials behind the odds, all systems.
    pub trials: u32,
    /// Seasons they span, first and last.
    pub seasons: (i32, i32),
    /// Whether varieties respond to water in the model of this system.
    pub water_slope: bool,
}

/// An ability that is missing, with the reason; the page has a sentence for each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Missing {
    /// No `water.csv`: the climate is that of the trial seasons.
    LongClimate,
    /// No water at all.
    Water,
    /// No `ratings.csv` or `traits.csv`: diseases cannot be assumed.
    Ratings,
    /// No `pressure.csv`: losses rest on published figures only.
    Pressure,
    /// Ratings, but no disease whose loss and scale are known: assuming one changes nothing.
    DiseaseLosses,
    /// No error variances: a stated share of the residual is taken as plot error.
    ErrorVariances,
    /// No drought exclusions: the chance of no harvest rests on the prior alone.
    DroughtLosses,
    /// No price or cost: short means short of a yield.
    Money,
    /// No `sites.csv`.
    SiteNames,
    /// No `varieties.csv`.
    VarietyNames,
    /// The slope on water is not used in this system, though its level follows the water.
    WaterSlope,
    /// The water of this system's trials is too much alike or too little known: the year that is assumed changes
    /// nothing.
    WaterSpread,
    /// The trials cannot tell how varieties differ from site to site: the usual size is assumed.
    AssumedSite,
    /// The same from season to season.
    AssumedSeason,
    /// The same from system to system.
    AssumedSystem,
}

/// The decision table.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OddsTable {
    /// The settings, with every default filled in.
    pub settings: Settings,
    /// The field.
    pub field: FieldSummary,
    /// The season.
    pub outlook: OutlookSummary,
    /// What decides "short".
    pub break_even: BreakEven,
    /// The varieties, in the chosen order.
    pub varieties: Vec<VarietyOdds>,
    /// What diseases and pests take: as published, and after the trials.
    pub losses: Vec<FittedLoss>,
    /// Abilities that are missing here.
    pub missing: Vec<Missing>,
}

/// One point of a variety's response to water.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ResponsePoint {
    /// Water, water unit.
    pub water: f64,
    /// Median yield at that water, yield unit.
    pub median: f64,
    /// 10th percentile.
    pub low80: f64,
    /// 90th percentile.
    pub high80: f64,
}

/// One trial that a variety stood in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TrialRecord {
    /// Trial code.
    pub trial: String,
    /// Site code.
    pub site: String,
    /// Harvest year.
    pub season: i32,
    /// Production system.
    pub system: String,
    /// Water, water unit.
    pub water: Option<f64>,
    /// Yield of the variety, yield unit.
    #[serde(rename = "yield")]
    pub yield_: f64,
    /// Yield minus the mean of all varieties in that trial, yield unit.
    pub deviation: f64,
    /// Varieties in that trial.
    pub varieties: u32,
    /// Why the trial is kept out of the fit, if it is.
    pub excluded: Option<crate::pack::Exclusion>,
}

/// One variety in detail.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct VarietyDetail {
    /// Code.
    pub variety: String,
    /// Response to water over the site's record, ascending; empty where no water is known.
    pub response: Vec<ResponsePoint>,
    /// Long-run difference from the reference set; `None` where no chain of trials joins the variety to any of it.
    pub long_run: Option<LongRun>,
    /// Every trial it stood in, newest first.
    pub trials: Vec<TrialRecord>,
    /// What each disease and pest takes from it, in the order of [`OddsTable::losses`].
    pub losses: Vec<VarietyLoss>,
}

/// What a variety makes beyond the average of the reference set, as far as trials join it to that, over many seasons like the one assumed, diseases as
/// assumed, yield unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LongRun {
    /// Varieties of the reference set that it is held against.
    pub against: Vec<String>,
    /// Mean.
    pub difference: f64,
    /// The range that holds it four times in five.
    pub range_80: (f64, f64),
}

/// What one disease or pest takes from one variety.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct VarietyLoss {
    /// Trait code.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// Share of a healthy yield that a severe attack takes from it, 0–1.
    pub severe: f64,
    /// Whether it is rated for it; where not, the average of the rated ones stands in.
    pub rated: bool,
}
