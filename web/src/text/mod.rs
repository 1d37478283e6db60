//! Every sentence of the page, as a list that each language must fill.
//!
//! A sentence that is missing in a language does not compile. Views hold no words of their own; the
//! catalogue computes nothing: it receives values and finds the words. Banned from a grower's view are
//! the statistician's words (a test looks for them).

mod decision;
mod en;
mod es;
pub mod figure;
mod label;
mod language;
pub mod office;
pub mod region;
mod sending;
mod shared;
#[cfg(test)]
mod tests;

pub use decision::{FieldWorkWords, WeighingWords};
pub use label::Label;
pub use language::Language;
pub use office::OfficeWords;
pub use sending::{CodeHead, CodeTags, SendWords, TableRow};

use crate::derive::NeedCount;
use crate::number::{NumberProblem, Quantity};
use crate::state::{Sent, Sheet};
use figure::Units;
use leanyear_engine::decide::needs::NeedFailure;
use leanyear_engine::decide::{FieldSummary, Missing, OutlookSummary, Standing, VarietyLoss};
use leanyear_engine::forecast::backtest::{Missed, SeasonRecord, TrackRecord};
use leanyear_engine::forecast::form::FittedLoss;
use leanyear_engine::link::{LinkNotice, Order, Pressures, WaterOutlook};
use leanyear_engine::pack::{Exclusion, NetworkInfo, TraitKind, WaterUnit, YieldUnit};
use leanyear_engine::page::StaticWords;
use leanyear_engine::season::climate::BaseRate;
use region::Region;

/// A part of the field sentence: words, or a bracket that opens a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Piece {
    /// Words between brackets.
    Text(String),
    /// What was chosen, which opens a sheet.
    Ask(Sheet, String),
}

/// Where the field lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// Near a site, by name.
    Site(String),
    /// In a zone, near none of its sites.
    Zone(String),
    /// Near none of the sites.
    Elsewhere,
}

/// The field sentence before it has words: names as growers know them, numbers as values.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Production system, as data code; `None` where the network has only one.
    pub system: Option<String>,
    /// Where; `None` where the network names a single site.
    pub place: Place,
    /// Usual yield in force, yield unit.
    pub usual: f64,
    /// Whether the grower gave it.
    pub usual_given: bool,
    /// Name of the variety grown now.
    pub mine: Option<String>,
    /// The year assumed.
    pub water: WaterOutlook,
    /// Whether any water is known here, so that a year can be assumed at all.
    pub water_known: bool,
    /// Diseases and pests assumed to strike otherwise than as they come, by label; `None` where none can
    /// be assumed.
    pub diseases: Option<Vec<(String, Pressures)>>,
    /// Whether price and cost are told at all.
    pub money_told: bool,
    /// Price.
    pub price: Option<f64>,
    /// Whether the price is known to swing.
    pub swings: bool,
    /// Cost.
    pub cost: Option<f64>,
    /// Whether that is cash only.
    pub cash_only: bool,
    /// Cattle, where they graze.
    pub grazing: Option<Cattle>,
    /// What comes first; `None` where that is not told.
    pub order: Option<Order>,
    /// Ratings that a variety must have.
    pub needs: Vec<Need>,
    /// Whether ratings are known at all, so that one can be asked for.
    pub needs_told: bool,
    /// Whether its parts can be tapped: what was never named is then asked for, else left out.
    pub asks: bool,
}

/// What counts beside price and cost.
#[derive(Debug, Clone, PartialEq)]
pub enum Counted {
    /// Hauling the grain.
    Hauling,
    /// A price that swings.
    Swing,
    /// Cover or premium of an insurance.
    Insurance,
    /// Sprays against these.
    Sprays(Vec<String>),
    /// Docks for quality.
    Docks,
}

/// Cattle on the crop.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Cattle {
    /// Days of grazing.
    pub days: Option<f64>,
    /// Days past first hollow stem at which they come off, and the variety whose it is.
    pub off: Option<(f64, String)>,
}

/// A trait that a variety must have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// Kind.
    pub kind: TraitKind,
    /// Label.
    pub label: String,
    /// Whether its scale has a good and a poor end; else it counts days or a length, and more is asked for.
    pub scaled: bool,
}

/// What counts as a bad season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Short {
    /// Less came in than went out.
    Money,
    /// Less than this yield.
    Below(f64),
}

/// How the long-run difference of a variety is told, all in the yield unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// Difference.
    pub value: f64,
    /// Lower end of the range that holds it 4 times in 5.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Names of the other varieties it is told against.
    pub against: Vec<String>,
    /// Whether the variety is itself among those it is told against.
    pub itself: bool,
    /// Whether it is told for such years as are assumed, not for years as they come.
    pub assumed: bool,
}

/// Every sentence of one language.
pub trait Words:
    SettingWords + OddsWords + DetailWords + SendWords + OfficeWords + FieldWorkWords + WeighingWords
{
    /// The plain table that stands in the page for viewers without scripts, and the shell's own screens; `{…}` are
    /// places for values.
    fn plain_table(&self) -> StaticWords;
}

/// The field sentence, its sheets, units.
pub trait SettingWords {
    /// Language tag for the page, for example `en`.
    fn lang(&self) -> &'static str;
    /// How numbers and dates are written.
    fn region(&self) -> &Region;
    /// A short fixed word or sentence.
    fn label(&self, label: Label) -> &'static str;

    /// The name of a yield unit as it stands behind a number.
    fn yield_unit(&self, unit: YieldUnit) -> &'static str;
    /// The name of a unit of water as it stands behind a number.
    fn water_unit(&self, unit: WaterUnit) -> &'static str;
    /// A production system, from its code.
    fn system(&self, code: &str) -> String;
    /// What a price is counted by: a bushel, a tonne.
    fn price_per(&self, unit: YieldUnit) -> &'static str;
    /// What a cost is counted by: an acre, a hectare.
    fn area_per(&self, unit: YieldUnit) -> &'static str;

    /// The field sentence.
    fn sentence(&self, field: &Field, units: &Units) -> Vec<Piece>;
    /// What the twenty marks are, and are not.
    fn years_line(&self, water: WaterOutlook) -> String;
    /// What a mark short of the line means.
    fn key_short(&self, short: Short, units: &Units) -> String;
    /// What a mark beyond the line means.
    fn key_fine(&self, short: Short, units: &Units) -> String;

    /// Heading of a sheet.
    fn sheet_title(&self, sheet: Sheet, units: &Units) -> String;
    /// The words under that heading; `seed_apart` says whether seed is counted variety by variety.
    fn sheet_hint(&self, sheet: Sheet, seed_apart: bool, units: &Units) -> String;
    /// What to do about a number that cannot be used.
    fn number_problem(&self, quantity: Quantity, problem: NumberProblem, units: &Units) -> String;
    /// A year assumed, as an option.
    fn water_option(&self, water: WaterOutlook) -> String;
    /// How often such years were, and how much water they brought; `None` where nothing is known.
    fn base_rate(&self, water: WaterOutlook, rate: &BaseRate, units: &Units) -> Option<String>;
    /// What record the years are drawn from.
    fn climate(&self, outlook: &OutlookSummary) -> String;
    /// How often each third of the years was, and how much water it brought: dry, middling, wet.
    fn thirds_rate(&self, thirds: &[BaseRate; 3], units: &Units) -> Option<String>;
    /// What two typed shares of a hundred leave for the middling third, or what is wrong with them.
    fn thirds_left(&self, read: Result<Option<u8>, NumberProblem>) -> String;
    /// A yield that the trials themselves suggest, where none was typed.
    fn usual_of_trials(&self, usual: f64, units: &Units) -> String;
    /// A unit of yield as an option, with the price and cost that go with it.
    fn yield_unit_option(&self, unit: YieldUnit) -> String;
    /// A unit of water as an option.
    fn water_unit_option(&self, unit: WaterUnit) -> &'static str;
    /// A kind of trait, over those of its kind.
    fn kind_heading(&self, kind: TraitKind) -> &'static str;
    /// A trait that a variety must have, as it follows "it must".
    fn need(&self, need: &Need) -> String;
    /// How many have it, and what counts as having it.
    fn need_count(&self, count: &NeedCount, units: &Units) -> String;
    /// A named past year with its water.
    fn past_year(&self, year: i32, water: f64, units: &Units) -> String;
    /// Ground in a zone, away from its sites.
    fn zone_option(&self, zone: &str) -> String;
    /// Sites that belong to no zone.
    fn no_zone(&self) -> &'static str;
    /// How hard a disease is assumed to strike, as a choice; `None` as it comes.
    fn pressure(&self, pressure: Option<Pressures>) -> &'static str;
    /// What a severe attack takes from a variety without resistance, shares 0–1.
    fn takes(&self, loss: &FittedLoss) -> String;
    /// The caution under the diseases.
    fn disease_caution(&self) -> &'static str;
    /// What can come first; `money` says whether price and cost are known.
    fn order_option(&self, order: Order, money: bool) -> &'static str;
}

/// The list, its rows and its pictures.
pub trait OddsWords {
    /// The bold sentence of a row.
    fn odds(&self, short: Short, marks_short: u8, units: &Units) -> String;
    /// Average and range.
    fn averages(&self, expected: f64, low: f64, high: f64, units: &Units) -> String;
    /// How long tested.
    fn tested(&self, standing: &Standing, water: WaterOutlook) -> String;
    /// What has to be said of a variety that is new, no longer tested, never was in this system, or met the others in no
    /// trial.
    fn state(&self, standing: &Standing) -> Option<String>;
    /// What it lacks of what it must have: label and failure of each.
    fn lacks(&self, failures: &[(String, NeedFailure)], units: &Units) -> String;
    /// Heading over those that lack something.
    fn lacking_heading(&self, count: usize) -> String;
    /// The line under that heading.
    fn lacking_line(&self) -> &'static str;
    /// That so many stand below the line, out of the fold.
    fn lacking_below(&self, count: usize) -> String;
    /// That a variety met the others in no trial, in few words.
    fn apart_in_short(&self) -> &'static str;
    /// How many varieties met the others in no trial, for what stands above a list of them all.
    fn tested_apart(&self, count: usize) -> String;
    /// That trials join one variety to no other, or to none of several.
    fn never_met(&self, one: &str, others: &[String]) -> String;
    /// Never tested in such a year.
    fn never_tested(&self, water: WaterOutlook) -> &'static str;
    /// How often it beats the one grown now.
    fn beats_mine(&self, chance: f64) -> String;
    /// How often it beats the check.
    fn beats_check(&self, chance: f64) -> String;
    /// The worst fifth, in yield and, where known, in money; in money alone where its years are others.
    fn worst_fifth(&self, yield_: Option<f64>, net: Option<f64>, units: &Units) -> String;
    /// What is left in the average year.
    fn left(&self, net: f64, units: &Units) -> String;
    /// Years not worth cutting, of twenty.
    fn not_cut(&self, marks: u8) -> Option<String>;
    /// What the mark of such a year means.
    fn key_not_cut(&self) -> &'static str;
    /// What counts beside price and cost, in a few words.
    fn counted(&self, what: &Counted) -> String;
    /// Several of those as a sentence.
    fn also_counted(&self, counted: &[String]) -> String;

    /// Heading over the first group of `group` varieties, `shown` of which stand below it.
    fn group_heading(&self, group: usize, shown: usize) -> String;
    /// The line under that heading.
    fn group_line(&self, group: usize, needs: bool) -> String;
    /// The button that unfolds the rest.
    fn show_rest(&self, rest: usize) -> String;
    /// Heading over the rest of what can be sown.
    fn rest_heading(&self, rest: usize) -> String;
    /// Heading over those never tested in this system, by code where the network has several.
    fn untried_heading(&self, system: Option<&str>) -> String;
    /// The line under that heading.
    fn untried_line(&self) -> &'static str;
    /// Heading over those no longer tested.
    fn lapsed_heading(&self) -> &'static str;
    /// The line under that heading.
    fn lapsed_line(&self) -> &'static str;
    /// Label of the line on the axis, or of the least and greatest where seed costs differ.
    fn line_label(&self, short: Short, ends: (f64, f64), units: &Units) -> String;
    /// Where every unit costs more to haul than it brings.
    fn costs_more_to_haul(&self, unit: YieldUnit) -> String;
    /// Where no single yield parts good from bad.
    fn no_single_line(&self) -> &'static str;
    /// Drier than any harvested trial.
    fn drier_than_harvested(&self) -> &'static str;

    /// Title and description of a row's picture.
    fn marks_picture(&self, name: &str, seasons: &[f64], units: &Units) -> (String, String);
    /// Title and description of the axis.
    fn axis_picture(
        &self,
        greatest: f64,
        line: Option<(Short, (f64, f64))>,
        units: &Units,
    ) -> (String, String);
    /// Title and description of the response to water.
    fn response_picture(&self, name: &str, trials: usize, units: &Units) -> (String, String);
    /// The label of the water axis.
    fn water_axis(&self, units: &Units) -> String;
    /// The label of the band of the assumed years on the water axis.
    fn outlook_band(&self, water: WaterOutlook) -> String;
}

/// One variety in detail, where the numbers come from, links and sending.
pub trait DetailWords {
    /// How well tested, as a sentence of the detail.
    fn evidence(&self, standing: &Standing, water: WaterOutlook, system: Option<&str>) -> String;
    /// What is counted for seed, where anything is; `known` says whether the price is the variety's own.
    fn seed(&self, cost: f64, known: bool, units: &Units) -> Option<String>;
    /// Who paid, where the network says it.
    fn paid_for(&self, info: &NetworkInfo) -> Option<String>;
    /// The long-run difference with its range.
    fn difference(&self, difference: &Difference, units: &Units) -> String;
    /// Better or worse than the trial's average.
    fn deviation(&self, value: f64, units: &Units) -> String;
    /// Why a trial does not count.
    fn exclusion(&self, exclusion: Exclusion) -> &'static str;
    /// A scale with its direction.
    fn scale(&self, best: Option<f64>, worst: Option<f64>, unit: &str, units: &Units) -> String;
    /// What a severe attack takes from a variety.
    fn would_take(&self, loss: &VarietyLoss) -> String;
    /// That resistance to what is carried so can fail.
    fn can_fail(&self, vector: &str) -> String;
    /// A rating as a word: 0 is the best of its scale, 1 the worst.
    fn rating_word(&self, place: f64) -> &'static str;
    /// What a variety is not rated for.
    fn not_rated(&self, labels: &[String]) -> String;
    /// Heading over the twenty yields of a variety.
    fn numbers_heading(&self, units: &Units) -> String;
    /// A number of seasons.
    fn seasons(&self, count: u32) -> String;
    /// The agronomist's stance on a variety.
    fn stance(&self, stance: &str, system: &str) -> String;
    /// The same in few words, for the end of a line about a variety.
    fn stance_in_short(&self, stance: &str) -> &'static str;
    /// Release, origin, class, seed: what is known of a variety, in a line.
    fn about(&self, released: Option<i32>, origin: &str, class: &str) -> String;
    /// Who wrote a note and when.
    fn signed(&self, by: &str, date: &str) -> String;

    /// Trials, seasons, date, contact, payer.
    fn source(&self, field: &FieldSummary, info: &NetworkInfo) -> Vec<String>;
    /// A missing ability.
    fn missing(&self, missing: &Missing) -> &'static str;
    /// The cautions.
    fn cautions(&self) -> Vec<&'static str>;
    /// How often past ranges held, over all seasons, and what to think of it.
    fn track(&self, record: &TrackRecord) -> Vec<String>;
    /// One season of the track record.
    fn track_season(&self, season: &SeasonRecord) -> String;
    /// By how much differences between varieties were missed, beside the table of plain averages.
    fn track_missed(&self, missed: &Missed, units: &Units) -> String;
    /// The same of one season, short.
    fn track_season_missed(&self, missed: &Missed, units: &Units) -> String;
    /// Title and description of a season's marks: so many of all of them inside their range.
    fn track_picture(&self, season: i32, held: u8, all: u8) -> (String, String);
    /// Headings of the table: season, results inside, results, missed by the forecast, by plain averages.
    fn track_columns(&self, units: &Units) -> [String; 5];
    /// A problem with the link.
    fn notice(&self, notice: &LinkNotice) -> String;
    /// What became of sending.
    fn sent(&self, sent: Sent) -> &'static str;
}

/// A language, for the life of the page.
pub type Catalogue = &'static dyn Words;

/// The catalogue for a language tag, with the marks it is usually written with; English where there is none.
pub fn catalogue(lang: &str) -> Catalogue {
    let language = Language::of(lang).unwrap_or_default();
    language.catalogue(language.usual_region())
}

/// A text of the network in the language of the page: `spanish` where that is Spanish and it is given.
pub fn own_words<'a>(lang: &str, own: &'a str, spanish: &'a str) -> &'a str {
    if lang == Language::Spanish.tag() && !spanish.is_empty() { spanish } else { own }
}
