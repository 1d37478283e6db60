//! The typed tables of a network folder, one struct a file, named as the columns are.
//!
//! A blank cell is `None`, never zero. Yields are in the network's own unit, water in its own unit.
//! Nothing here is computed from anything else, and nothing here knows of files or of CSV.
use crate::order::Map;
use serde::{Deserialize, Serialize};

/// The unit of every yield in a network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum YieldUnit {
    /// Bushels per acre; the weight of a bushel is in [`NetworkInfo::bushel_lb`].
    #[serde(rename = "bu/ac")]
    BushelPerAcre,
    /// Tonnes per hectare.
    #[serde(rename = "t/ha")]
    TonnePerHectare,
    /// Kilograms per hectare.
    #[serde(rename = "kg/ha")]
    KilogramPerHectare,
    /// Pounds per acre.
    #[serde(rename = "lb/ac")]
    PoundPerAcre,
}

/// The unit of every amount of water in a network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum WaterUnit {
    /// Millimetres.
    #[serde(rename = "mm")]
    Millimetre,
    /// Inches.
    #[serde(rename = "in")]
    Inch,
}

/// What a link leaves out and the page opens with.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Defaults {
    /// Price of grain, per bushel with bu/ac, per 100 lb with lb/ac, else per tonne.
    pub price: Option<f64>,
    /// Cost per acre or hectare, as the yield unit has it.
    pub cost: Option<f64>,
    /// Usual yield, in the network's yield unit.
    pub usual: Option<f64>,
    /// Production system.
    pub system: Option<String>,
    /// Site code.
    pub site: Option<String>,
}

/// `network.json`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NetworkInfo {
    /// Name of the network, shown as the page's title.
    pub name: String,
    /// The crop, in words.
    #[serde(default)]
    pub crop: String,
    /// True where the data are invented; every view and every sheet of paper then says so.
    #[serde(default)]
    pub invented: bool,
    /// Unit of all yields.
    pub yield_unit: YieldUnit,
    /// Weight of a bushel, lb.
    #[serde(default)]
    pub bushel_lb: Option<f64>,
    /// Unit of all water.
    #[serde(default = "default_water_unit")]
    pub water_unit: WaterUnit,
    /// Currency sign.
    #[serde(default)]
    pub currency: String,
    /// Address where the page lives, if it lives anywhere.
    #[serde(default)]
    pub home_url: String,
    /// Date of the data, ISO 8601.
    #[serde(default)]
    pub data_date: String,
    /// Whom to ask.
    #[serde(default)]
    pub contact: String,
    /// Who paid for the trials.
    #[serde(default)]
    pub funded_by: String,
    /// Language of the page at first opening.
    #[serde(default)]
    pub lang: String,
    /// Seasons a variety needs before it counts as well tested.
    #[serde(default = "default_seasons_to_prove")]
    pub seasons_to_prove: u32,
    /// Seasons without a trial after which a variety counts as no longer tested.
    #[serde(default = "default_lapse_after")]
    pub lapse_after: u32,
    /// Share of the residual taken as plot error where no error variance is known, 0–1.
    #[serde(default = "default_plot_error_share")]
    pub plot_error_share: f64,
    /// Variety codes of the checks.
    #[serde(default)]
    pub checks: Vec<String>,
    /// What the page opens with.
    #[serde(default)]
    pub defaults: Defaults,
    /// Anything else worth saying.
    #[serde(default)]
    pub notes: String,
}

fn default_water_unit() -> WaterUnit {
    WaterUnit::Millimetre
}
fn default_seasons_to_prove() -> u32 {
    3
}
fn default_lapse_after() -> u32 {
    2
}
fn default_plot_error_share() -> f64 {
    0.5
}

/// Why a trial never enters the fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Exclusion {
    /// The crop was lost to drought; informs the chance of no harvest.
    Drought,
    /// Hail.
    Hail,
    /// A bad stand.
    Stand,
    /// Any other reason.
    Other,
}

/// What a trial's report says of its error; any part may be missing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct ErrorReport {
    /// Replicates.
    pub reps: Option<f64>,
    /// Error mean square of a plot, yield unit squared.
    pub error_ms: Option<f64>,
    /// Least significant difference, yield unit.
    pub lsd: Option<f64>,
    /// Level of the LSD, for example 0.05.
    pub lsd_level: Option<f64>,
    /// Coefficient of variation, percent.
    pub cv: Option<f64>,
}

/// A row of `trials.csv`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// Code.
    pub trial: String,
    /// Site code.
    pub site: String,
    /// Harvest year.
    pub season: i32,
    /// Production system; `all` where the file has no such column.
    pub system: String,
    /// Water the crop could use (stored + rain + irrigation), water unit.
    pub water: Option<f64>,
    /// Replicates, error mean square, LSD, CV.
    pub error: ErrorReport,
    /// Whether the ground was fallow before.
    pub fallow: Option<String>,
    /// Why it is kept out of the fit, if it is.
    pub excluded: Option<Exclusion>,
}

/// A row of `means.csv`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Mean {
    /// Trial code.
    pub trial: String,
    /// Variety code.
    pub variety: String,
    /// Mean yield, yield unit.
    #[serde(rename = "yield")]
    pub yield_: f64,
    /// Plots behind the mean.
    pub plots: Option<f64>,
}

/// A row of `plots.csv`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Plot {
    /// Trial code.
    pub trial: String,
    /// Replicate; empty in a trial that has blocks alone.
    pub rep: String,
    /// Incomplete block within the replicate.
    pub block: Option<String>,
    /// Row of the plot in the field.
    pub row: Option<f64>,
    /// Column of the plot in the field.
    pub col: Option<f64>,
    /// Variety code.
    pub variety: String,
    /// Yield; `None` for a lost plot.
    #[serde(rename = "yield")]
    pub yield_: Option<f64>,
}

/// A row of `varieties.csv`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Variety {
    /// Code.
    pub variety: String,
    /// Name as growers know it.
    pub name: String,
    /// Year of release.
    pub released: Option<i32>,
    /// Where it comes from.
    pub origin: String,
    /// Market class.
    pub class: String,
    /// Seed cost per acre or hectare.
    pub seed_cost: Option<f64>,
    /// Whether seed may be kept: `yes`, `no`, `ask` or blank.
    pub keep_seed: String,
    /// Herbicide trait, if any.
    pub herbicide_trait: String,
    /// The agronomist's note.
    pub note: String,
    /// The same in Spanish.
    pub note_es: String,
}

/// A row of `sites.csv`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Site {
    /// Code.
    pub site: String,
    /// Name.
    pub name: String,
    /// Zone.
    pub zone: String,
    /// Degrees north.
    pub latitude: Option<f64>,
    /// Degrees east.
    pub longitude: Option<f64>,
    /// Metres above sea level.
    pub elevation_m: Option<f64>,
}

/// A row of `water.csv`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WaterRecord {
    /// Site code.
    pub site: String,
    /// Harvest year.
    pub season: i32,
    /// Production system.
    pub system: String,
    /// Water the crop could use, water unit.
    pub water: f64,
}

/// What a trait is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum TraitKind {
    /// A disease.
    Disease,
    /// An insect or other pest.
    Pest,
    /// Straw, stand, maturity and the like.
    Agronomic,
    /// Grain quality.
    Quality,
    /// Grazing and forage.
    Grazing,
}

impl TraitKind {
    /// Whether it takes yield: a disease or a pest.
    pub fn harms(self) -> bool {
        matches!(self, TraitKind::Disease | TraitKind::Pest)
    }
}

/// A row of `traits.csv`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Trait {
    /// Code, used as a link key.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// Label.
    pub label: String,
    /// Label in Spanish.
    pub label_es: String,
    /// Kind.
    pub kind: TraitKind,
    /// Value of the best rating.
    pub best: Option<f64>,
    /// Value of the worst rating.
    pub worst: Option<f64>,
    /// Unit of the rating.
    pub unit: String,
    /// Share of yield a fully susceptible variety loses in a severe epidemic, 0–1.
    pub severe_loss: Option<f64>,
    /// Standard deviation of that share.
    pub severe_loss_sd: Option<f64>,
    /// What carries it, if the resistance can fail in a warm autumn.
    pub vector: String,
    /// Whether a spray protects.
    pub protectable: bool,
    /// Share of the loss a spray prevents, 0–1.
    pub efficacy: Option<f64>,
    /// Cost of the spray per acre or hectare.
    pub spray_cost: Option<f64>,
    /// What the label says.
    pub label_note: String,
    /// Where the figures come from.
    pub source: String,
}

/// A row of `ratings.csv`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Rating {
    /// Variety code.
    pub variety: String,
    /// Trait code.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// Value on the trait's scale.
    pub value: f64,
    /// Seasons behind it.
    pub seasons: Option<f64>,
}

/// A row of `pressure.csv`: how hard a disease or pest hit a trial, 0 none to 3 severe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Pressure {
    /// Trial code.
    pub trial: String,
    /// Trait code.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// 0 none, 1 light, 2 moderate, 3 severe.
    pub pressure: u8,
}

/// A row of `shortlist.csv`: the agronomist's word, shown beside the numbers and never mixed into them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShortlistEntry {
    /// Production system.
    pub system: String,
    /// Variety code.
    pub variety: String,
    /// `in`, `out` or `follow`.
    pub stance: String,
    /// Her note.
    pub note: String,
    /// Who wrote it.
    pub by: String,
    /// When, ISO 8601.
    pub date: String,
}

/// A network folder, read and checked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Network {
    /// `network.json`.
    pub info: NetworkInfo,
    /// `trials.csv`, in file order.
    pub trials: Vec<Trial>,
    /// `means.csv` in file order, then the means of trials that only `plots.csv` names.
    pub means: Vec<Mean>,
    /// `plots.csv`, if there is one.
    pub plots: Vec<Plot>,
    /// `varieties.csv`; without that file a row of its code for every variety with a mean.
    pub varieties: Vec<Variety>,
    /// `sites.csv`; without that file a row of its code for every site with a trial.
    pub sites: Vec<Site>,
    /// `water.csv`.
    pub water: Vec<WaterRecord>,
    /// `traits.csv`.
    pub traits: Vec<Trait>,
    /// `ratings.csv`.
    pub ratings: Vec<Rating>,
    /// `pressure.csv`.
    pub pressure: Vec<Pressure>,
    /// `shortlist.csv`.
    pub shortlist: Vec<ShortlistEntry>,
}

impl Network {
    /// The variety's name as growers know it, or its code where no name is given.
    pub fn variety_name<'a>(&'a self, variety: &'a str) -> &'a str {
        self.varieties
            .iter()
            .find(|v| v.variety == variety)
            .map(|v| v.name.as_str())
            .filter(|name| !name.is_empty())
            .unwrap_or(variety)
    }

    /// Production systems of the fitted trials in order of first appearance.
    pub fn systems(&self) -> Vec<&str> {
        let mut systems: Vec<&str> = Vec::new();
        for trial in self.trials.iter().filter(|t| t.excluded.is_none()) {
            if !systems.contains(&trial.system.as_str()) {
                systems.push(&trial.system);
            }
        }
        systems
    }

    /// Whether some spray protects from what a trait rates.
    pub fn protects(&self, trait_: &str) -> bool {
        self.traits.iter().any(|t| t.protectable && t.trait_ == trait_)
    }

    /// Rating of each variety for one trait, by variety code.
    pub fn ratings_of(&self, trait_: &str) -> Map<&str, f64> {
        self.ratings.iter().filter(|r| r.trait_ == trait_).map(|r| (r.variety.as_str(), r.value)).collect()
    }
}
