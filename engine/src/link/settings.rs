//! What a reader of the page chose: one plain value, compared and cloned freely.

use crate::order::Map;
use crate::pack::YieldUnit;
use serde::{Deserialize, Serialize};

/// The water of the season assumed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WaterOutlook {
    /// As it comes: every season of the record alike.
    #[default]
    Any,
    /// The driest fifth of the record.
    DriestFifth,
    /// The driest third.
    Dry,
    /// The middle third.
    Middle,
    /// The wettest third.
    Wet,
    /// The water of one named season.
    Like(i32),
    /// Chances of dry, middle and wet thirds, percent, adding to 100.
    Thirds(u8, u8, u8),
}

/// How hard a disease or pest is assumed to hit; a trait that is absent comes as it comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Pressures {
    /// None.
    None,
    /// Light: a third of the severe loss.
    Light,
    /// Moderate: two thirds.
    Moderate,
    /// Severe.
    Severe,
}

impl Pressures {
    /// Pressure as a share of severe, 0–1.
    pub fn share(self) -> f64 {
        match self {
            Pressures::None => 0.0,
            Pressures::Light => 1.0 / 3.0,
            Pressures::Moderate => 2.0 / 3.0,
            Pressures::Severe => 1.0,
        }
    }
}

/// What a spray costs and prevents.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Spray {
    /// Cost per acre or hectare.
    pub cost: f64,
    /// Share of the loss it prevents, 0–1.
    pub efficacy: f64,
}

/// One step of a dock schedule: what a unit of grain loses while its quality is below a limit, and not below
/// a lower one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DockStep {
    /// Limit, on the trait's own scale; grain below it is docked.
    pub below: f64,
    /// Taken off the price of a unit, as the price is counted; a premium is negative.
    pub off: f64,
}

/// What comes first in the list.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Order {
    /// Most left after costs in the average season.
    #[default]
    Net,
    /// Best average of the worst fifth.
    WorstFifth,
    /// Least often short.
    ChanceShort,
}

/// What the page shows.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum View {
    /// The list of varieties.
    #[default]
    Odds,
    /// One variety in detail.
    Variety,
    /// Two to four side by side.
    Compare,
    /// Acres split over varieties.
    Acres,
    /// How often past predictions held.
    TrackRecord,
    /// Her own network.
    Prepare,
    /// One printed sheet.
    Handout,
    /// Link, QR and sentence.
    Share,
}

/// Everything a reader chose. Yields are in `unit`; money is per acre or hectare as `unit` has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// Fingerprint of the pack the settings were made on.
    pub pack: Option<String>,
    /// Production system.
    pub system: String,
    /// Site code.
    pub site: Option<String>,
    /// Zone, where no site is chosen.
    pub zone: Option<String>,
    /// Usual yield on this ground.
    pub usual: Option<f64>,
    /// Unit of all yields shown and typed.
    pub unit: YieldUnit,
    /// Variety code of the one I grow.
    pub mine: Option<String>,
    /// The season assumed.
    pub water: WaterOutlook,
    /// Diseases assumed, by trait code.
    pub diseases: Map<String, Pressures>,
    /// Currency sign that the reader counts in; `None` for the network's.
    pub currency: Option<String>,
    /// Price of grain: per bushel with bu/ac, per 100 lb with lb/ac, else per tonne.
    pub price: Option<f64>,
    /// Cost of hauling and harvesting a unit of grain, as the price is counted.
    pub haul: Option<f64>,
    /// Coefficient of variation of the price, percent.
    pub volatility: Option<f64>,
    /// Costs per area.
    pub cost: Option<f64>,
    /// Whether the cost holds cash costs only, not everything.
    pub cash_only: bool,
    /// Share of the usual yield that is guaranteed, percent.
    pub cover: Option<f64>,
    /// Price of a unit short of the guarantee.
    pub guarantee_price: Option<f64>,
    /// Premium per area.
    pub premium: Option<f64>,
    /// Whether the crop is grazed.
    pub graze: bool,
    /// Days of grazing.
    pub graze_days: Option<f64>,
    /// Gain, lb or kg a head and day, times head per area.
    pub gain: Option<f64>,
    /// Value of gain, per lb or kg.
    pub value: Option<f64>,
    /// Days past first hollow stem at which cattle come off.
    pub off: Option<f64>,
    /// Sprays, by trait code.
    pub sprays: Map<String, Spray>,
    /// Dock schedules, by code of a quality trait; steps ascending in their limits.
    pub docks: Map<String, Vec<DockStep>>,
    /// Traits that a variety must have, by code.
    pub need: Vec<String>,
    /// Most varieties in an acre split.
    pub at_most: Option<u8>,
    /// Fewest acres or hectares of one variety.
    pub min_acres: Option<f64>,
    /// Whether the axis shows money in place of yield.
    pub money_unit: bool,
    /// What comes first.
    pub order: Order,
    /// What is shown.
    pub view: View,
    /// The variety shown in detail.
    pub variety: Option<String>,
    /// Varieties side by side.
    pub with: Vec<String>,
    /// Acres by variety.
    pub acres: Vec<(String, f64)>,
}

impl Settings {
    /// Whether price and cost are known, so that money is counted and not yield alone.
    pub fn counts_money(&self) -> bool {
        self.price.is_some() && self.cost.is_some()
    }

    /// Nothing chosen but the production system and the unit of yields.
    pub fn bare(system: &str, unit: YieldUnit) -> Settings {
        Settings {
            pack: None,
            system: system.to_owned(),
            site: None,
            zone: None,
            usual: None,
            unit,
            mine: None,
            water: WaterOutlook::default(),
            diseases: Map::new(),
            currency: None,
            price: None,
            haul: None,
            volatility: None,
            cost: None,
            cash_only: false,
            cover: None,
            guarantee_price: None,
            premium: None,
            graze: false,
            graze_days: None,
            gain: None,
            value: None,
            off: None,
            sprays: Map::new(),
            docks: Map::new(),
            need: Vec::new(),
            at_most: None,
            min_acres: None,
            money_unit: false,
            order: Order::default(),
            view: View::default(),
            variety: None,
            with: Vec::new(),
            acres: Vec::new(),
        }
    }
}
