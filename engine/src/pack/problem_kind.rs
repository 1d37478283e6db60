//! What can be wrong with a network folder: one variant a fault, carrying its values and nothing worded.
//!
//! The command line prints these in English through `Display`; the page words them from its own catalogue.

use super::content::Foreign;
use super::outlying_values::OutlyingValues;
use super::terms::{Ability, Code, ErrorSource, JsonType};
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// A fault with its values. The text says what is wrong and what would be right.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Error)]
#[serde(rename_all = "kebab-case")]
pub enum ProblemKind {
    /// A required file is absent.
    #[error("the file is not there; add it to the folder")]
    FileMissing,
    /// Neither `means.csv` nor `plots.csv` is there.
    #[error("neither means.csv nor plots.csv is there; add one of them")]
    YieldsMissing,
    /// An optional file is absent (warning).
    #[error("not there: {ability}")]
    FileAbsent {
        /// What its absence takes away.
        ability: Ability,
    },
    /// A file that no network has (warning).
    #[error("not a file of a network; it is not read")]
    FileUnknown,
    /// A file is of use only beside another that is absent (warning).
    #[error("without {needed} this file is not used; add {needed}")]
    FileNeeded {
        /// The absent file.
        needed: String,
    },
    /// A file is larger than is read.
    #[error("{bytes} bytes are more than the {limit} that are read; split or shorten the file")]
    FileTooLarge {
        /// Its size, at least.
        bytes: usize,
        /// The most that is read.
        limit: usize,
    },
    /// A row has more cells than are read.
    #[error("more than {limit} columns; remove those that no network has")]
    TooManyColumns {
        /// The most that is read.
        limit: usize,
    },
    /// A file has more cells than are read.
    #[error("more than {limit} cells; shorten the file")]
    TooManyCells {
        /// The most that is read.
        limit: usize,
    },
    /// A cell is longer than is read.
    #[error("a cell longer than {limit} bytes; shorten it, or look for a quote that is not closed")]
    CellTooLong {
        /// The most that is read.
        limit: usize,
    },
    /// Text that is not UTF-8.
    #[error("the text is not UTF-8; save the file as \"CSV UTF-8\"")]
    NotUtf8,
    /// A file that is no text.
    #[error(
        "this is {is}, whatever its name says; open it in a spreadsheet and save each sheet as \"CSV UTF-8\""
    )]
    NotText {
        /// What it is.
        is: Foreign,
    },
    /// A quoted cell never ends.
    #[error("a cell opens with a quote that is never closed; close it")]
    QuoteNotClosed,
    /// Something stands between a closing quote and the next comma.
    #[error("text after a closing quote; double the quotes inside the cell")]
    TextAfterQuote,
    /// No header row.
    #[error("the file is empty; its first row must name the columns")]
    HeaderMissing,
    /// A header and nothing below it.
    #[error("no rows below the header; add them")]
    RowsMissing,
    /// A required column is absent.
    #[error("the column is not there; add it")]
    ColumnMissing,
    /// A column name is there twice.
    #[error("the column is there twice; remove or rename one")]
    ColumnTwice,
    /// A column that the file does not have (warning).
    #[error("not a column of this file; it is not read")]
    ColumnUnknown,
    /// A column without a name (warning).
    #[error("column {position} has no name; it is not read")]
    ColumnUnnamed {
        /// Counted from 1.
        position: usize,
    },
    /// A row whose cells do not match the header.
    #[error("{found} cells where the header has {expected}; add or remove commas")]
    RowRagged {
        /// Columns in the header.
        expected: usize,
        /// Cells in the row.
        found: usize,
    },
    /// A cell that must be filled.
    #[error("blank; fill it in or remove the row")]
    Blank,
    /// Not a number.
    #[error("`{text}` is not a number; write digits with one decimal sign, or leave it blank if unknown")]
    NotANumber {
        /// What the cell holds.
        text: String,
    },
    /// Numbers that can be read in two ways (warning).
    #[error(
        "{cells} cells can be read in two ways; `{text}` is read as {value} and not as {other}: write it without the mark \
         between thousands, or with a decimal point"
    )]
    TwoReadings {
        /// How many.
        cells: usize,
        /// The first of them.
        text: String,
        /// What it is read as.
        value: f64,
        /// What else it could be.
        other: f64,
    },
    /// Infinite or not a number at all.
    #[error("`{text}` is not a finite number; correct it, or leave it blank if unknown")]
    NotFinite {
        /// What the cell holds.
        text: String,
    },
    /// A negative yield or amount of water.
    #[error("{text} is below 0 {unit}; remove the row or correct it")]
    BelowZero {
        /// What the cell holds.
        text: String,
        /// The unit of the column.
        unit: String,
    },
    /// A number outside its range, ends included.
    #[error("{text} is not {}; correct it", range_words(.low, .high))]
    OutOfRange {
        /// What the cell holds.
        text: String,
        /// Least allowed.
        low: Option<f64>,
        /// Most allowed.
        high: Option<f64>,
    },
    /// A number that must lie strictly between two others.
    #[error("{text} is not between {low} and {high}; correct it")]
    NotBetween {
        /// What the cell holds.
        text: String,
        /// Must be above.
        low: f64,
        /// Must be below.
        high: f64,
    },
    /// A number that must be above zero.
    #[error("{text} is not above 0; correct it, or leave it blank if unknown")]
    NotAboveZero {
        /// What the cell holds.
        text: String,
    },
    /// Not a year.
    #[error("`{text}` is not a year from {low} to {high}; write the harvest year in four digits")]
    NotAYear {
        /// What the cell holds.
        text: String,
        /// Earliest allowed.
        low: i32,
        /// Latest allowed.
        high: i32,
    },
    /// A pressure other than 0, 1, 2 or 3.
    #[error("`{text}` is not 0 (none), 1 (light), 2 (moderate) or 3 (severe); remove the row if unknown")]
    NotAPressure {
        /// What the cell holds.
        text: String,
    },
    /// A word outside the column's list.
    #[error("`{text}` is not one of {}; correct it", .allowed.join(", "))]
    WordUnknown {
        /// What the cell holds.
        text: String,
        /// What it may hold.
        allowed: Vec<String>,
    },
    /// The same row again.
    #[error("{key} is already in row {first_row}; remove one of the two")]
    Duplicate {
        /// What is there twice.
        key: String,
        /// Where it stands first.
        first_row: usize,
    },
    /// Codes that a file lists which is not wholly read (warning).
    #[error(
        "codes in {}, which this file lists, are looked at once it can be read to its end",
        .waiting.join(", ")
    )]
    CodesUnchecked {
        /// Files whose codes wait.
        waiting: Vec<String>,
    },
    /// A code that is listed nowhere.
    #[error("{code} `{text}` is not in {listed_in}; correct the code or add it there")]
    CodeUnknown {
        /// What the code stands for.
        code: Code,
        /// The code.
        text: String,
        /// Where it should be.
        listed_in: String,
    },
    /// A rating off its trait's scale.
    #[error("{value} is off the scale of {trait_}, {best} best to {worst} worst; correct it")]
    RatingOffScale {
        /// Trait code.
        #[serde(rename = "trait")]
        trait_: String,
        /// The rating.
        value: f64,
        /// Best of the scale.
        best: f64,
        /// Worst of the scale.
        worst: f64,
    },
    /// Best and worst are the same.
    #[error("best and worst are both {value}; give the two ends of the scale")]
    ScaleFlat {
        /// Both.
        value: f64,
    },
    /// A trait that a link could not tell from one of its keys.
    #[error("a trait may not be called `{text}`, because a link uses that word; rename the trait")]
    TraitLikeLinkKey {
        /// The trait's code.
        text: String,
    },
    /// Some rows name a system, this one does not.
    #[error("blank, though other rows name a system; fill it in")]
    SystemBlank,
    /// One file names systems and `trials.csv` does not, or the other way round.
    #[error("{} has a `system` column and {} has none; name the systems in both or in neither", .with, .without)]
    SystemMixed {
        /// The file that names systems.
        with: String,
        /// The file that does not.
        without: String,
    },
    /// A system in which no trial was grown (warning).
    #[error("no trial was grown in system `{system}`; its {rows} rows are not used")]
    SystemWithoutTrials {
        /// The system.
        system: String,
        /// Rows that name it.
        rows: usize,
    },
    /// A trial without a single yield (warning).
    #[error("trial `{trial}` has no yields; add them, or say in `excluded` why there are none")]
    TrialWithoutYields {
        /// Trial code.
        trial: String,
    },
    /// A trial whose means come from its plots although there is a `means.csv` (warning).
    #[error("trial `{trial}` is not in means.csv; its means are worked out from its plots")]
    TrialOnlyInPlots {
        /// Trial code.
        trial: String,
    },
    /// `means.csv` and `plots.csv` name different varieties in one trial.
    #[error("trial `{trial}` has {} in one of means.csv and plots.csv only; correct one of them", .varieties.join(", "))]
    VarietiesDiffer {
        /// Trial code.
        trial: String,
        /// Varieties that only one of the files names.
        varieties: Vec<String>,
    },
    /// A trial's stated means are not what its plots give (warning).
    #[error(
        "`{variety}` in trial `{trial}`: {stated} is stated and the plots give {from_plots} (means of the trial that \
         differ: {differing}); the stated means are used, so take the trial out of means.csv if its plots are right"
    )]
    MeansDiffer {
        /// Trial code.
        trial: String,
        /// The variety whose two means are farthest apart.
        variety: String,
        /// Its stated mean.
        stated: f64,
        /// Its mean from the plots.
        from_plots: f64,
        /// How many means of the trial differ.
        differing: usize,
    },
    /// Every plot of a variety was lost (warning).
    #[error("every plot of `{variety}` in trial `{trial}` is blank; it has no mean there")]
    VarietyLost {
        /// Trial code.
        trial: String,
        /// Variety code.
        variety: String,
    },
    /// No plot of a trial has a yield (warning).
    #[error("no plot of trial `{trial}` has a yield; fill them in, or say in `excluded` why there are none")]
    TrialLost {
        /// Trial code.
        trial: String,
    },
    /// Two replicates of a trial cannot be compared.
    #[error(
        "replicates `{first}` and `{other}` of trial `{trial}` have no variety in common, directly or through \
         others; give one of them another trial code"
    )]
    PlotsNotConnected {
        /// Trial code.
        trial: String,
        /// The first replicate.
        first: String,
        /// One that cannot be compared with it.
        other: String,
    },
    /// A trial of more varieties, replicates or blocks than any has.
    #[error(
        "trial `{trial}` has {varieties} varieties in {reps} replicates and {blocks} blocks, more than are \
         analysed; check the codes"
    )]
    TrialTooLarge {
        /// Trial code.
        trial: String,
        /// Varieties with a yield.
        varieties: usize,
        /// Replicates with a yield.
        reps: usize,
        /// Blocks with a yield, over all replicates.
        blocks: usize,
    },
    /// A plot without a replicate or block in a trial whose other plots have one.
    #[error("blank, though other plots of trial `{trial}` have one; fill it in")]
    BlankAmongPlots {
        /// Trial code.
        trial: String,
    },
    /// Blocks that say nothing of their own (warning).
    #[error(
        "the blocks of trial `{trial}` cannot be told from its varieties or from plot error; it is analysed \
         without them"
    )]
    BlocksLeftOut {
        /// Trial code.
        trial: String,
    },
    /// Varieties that blocks do not join (warning).
    #[error(
        "no chain of blocks joins `{first}` and `{other}` of trial `{trial}`; their difference rests on averages \
         of whole blocks and is known less well"
    )]
    VarietiesApart {
        /// Trial code.
        trial: String,
        /// The first variety of the trial.
        first: String,
        /// One that no chain of blocks with common varieties joins to it.
        other: String,
    },
    /// A plot that stands out from the rest of its trial (warning).
    #[error("{0}")]
    PlotOutlying(Box<OutlyingValues>),
    /// Two statements of a trial's error differ (warning).
    #[error(
        "{first} and {second} differ by {percent:.0} % in the variance of a mean; {first} is used, check both"
    )]
    ErrorSourcesDiffer {
        /// The one that is used.
        first: ErrorSource,
        /// The other.
        second: ErrorSource,
        /// How much the larger variance exceeds the smaller, percent.
        percent: f64,
    },
    /// Trials that state no error where others of their system do (warning).
    #[error(
        "trials of system `{system}` that state no error of their means: {trials}, the first is `{first}`; they take \
         what the system's others have, pooled; add `error_ms`, `lsd` or `cv` where it is known"
    )]
    ErrorPooled {
        /// The system.
        system: String,
        /// How many trials.
        trials: usize,
        /// The first of them.
        first: String,
    },
    /// Trials that no common variety joins to the rest (warning).
    #[error(
        "trials that share no variety with the rest, directly or through others: {trials}, the first is `{trial}`; their \
         varieties, such as `{variety}`, cannot be compared with the rest by trials: grow a common check, or make them a \
         network of their own"
    )]
    TrialsApart {
        /// How many trials.
        trials: usize,
        /// The first of them.
        trial: String,
        /// A variety of theirs.
        variety: String,
    },
    /// A number far from those of its column (warning).
    #[error(
        "{value} is far from the others, the middle one of which is {usual}; check its unit and its point"
    )]
    UnlikeOthers {
        /// The number.
        value: f64,
        /// The middle one.
        usual: f64,
    },
    /// Yields of a size that no grain makes in their unit (warning).
    #[error(
        "the middle yield is {middle} {unit}, which is no grain's: check `yield_unit` in network.json, and the decimal sign"
    )]
    UnlikeUnit {
        /// The middle yield.
        middle: f64,
        /// The unit it would be in.
        unit: String,
    },
    /// Codes that a reader would take for one (warning).
    #[error(
        "{code} `{text}` ({rows} rows) differs from `{other}` in capitals or spaces alone, and counts as another; if they \
         are one, write them alike everywhere"
    )]
    CodesAlike {
        /// What the code stands for.
        code: Code,
        /// The rarer code.
        text: String,
        /// The one that it resembles.
        other: String,
        /// Rows with the rarer code in the file that has most of them.
        rows: usize,
    },
    /// An LSD of unknown level (warning).
    #[error("without `lsd_level` the LSD is not used; add it, for example 0.05")]
    LsdWithoutLevel,
    /// The weight of a bushel is unknown (warning).
    #[error("without the weight of a bushel, yields cannot be shown by weight; add it")]
    BushelUnknown,
    /// `network.json` is not JSON.
    #[error("not JSON at character {position}: {message}; correct it")]
    JsonSyntax {
        /// Character in the line.
        position: usize,
        /// What the parser met.
        message: String,
    },
    /// A required key of `network.json` is absent.
    #[error("the key is not there; add it")]
    KeyMissing,
    /// A key of `network.json` is there twice.
    #[error("the key is there twice; remove one")]
    KeyTwice,
    /// A key that `network.json` does not have (warning).
    #[error("not a key of network.json; it is not read")]
    KeyUnknown,
    /// A value of the wrong type.
    #[error("must be {expected}; correct it")]
    WrongType {
        /// What it must be.
        expected: JsonType,
    },
}

fn range_words(low: &Option<f64>, high: &Option<f64>) -> String {
    match (low, high) {
        (Some(low), Some(high)) => format!("from {low} to {high}"),
        (Some(low), None) => format!("{low} or more"),
        (None, Some(high)) => format!("{high} or less"),
        (None, None) => "a number".to_owned(),
    }
}
