//! The sentences of the office: files, problems, trials, the fit, shortlists, saving, the printed report.
//!
//! An agronomist reads these: LSD, BLUP and fit may stand here, each with one plain sentence.

use super::figure::Units;
use super::label::fixed_words;
use crate::office::state::Fate;
use leanyear_engine::forecast::form::FittedForm;
use leanyear_engine::mixed::network::Dropped;
use leanyear_engine::office::compare::Change;
use leanyear_engine::office::influence::Influence;
use leanyear_engine::office::look::DryTrials;
use leanyear_engine::office::outlying::OutlyingMean;
use leanyear_engine::office::report::Report;
use leanyear_engine::office::residuals::Spread;
use leanyear_engine::office::shares::{Part, Shares};
use leanyear_engine::office::shortlist::{Reason, Rules, Stance};
use leanyear_engine::pack::groups::Group;
use leanyear_engine::pack::{
    ErrorSource, FileNote, Letters, NetworkInfo, NumberMarks, PackError, Problem, ProblemKind, Question,
    TwoReadings,
};

/// Names for codes, as far as the files give any.
pub struct Names<'a> {
    /// The network, for varieties, sites and traits.
    pub network: Option<&'a leanyear_engine::pack::Network>,
    /// Tag of the language they are wanted in.
    pub lang: &'static str,
}

impl Names<'_> {
    /// A variety.
    pub fn variety(&self, code: &str) -> String {
        self.network.map_or(code, |network| network.variety_name(code)).to_owned()
    }

    /// Varieties.
    pub fn varieties(&self, codes: &[String]) -> Vec<String> {
        codes.iter().map(|code| self.variety(code)).collect()
    }

    /// A trait.
    pub fn trait_(&self, code: &str) -> String {
        let found = self.network.and_then(|network| network.traits.iter().find(|t| t.trait_ == code));
        found
            .map(|t| super::own_words(self.lang, &t.label, &t.label_es))
            .filter(|label| !label.is_empty())
            .unwrap_or(code)
            .to_owned()
    }

    /// A site.
    pub fn site(&self, code: &str) -> String {
        let found = self.network.and_then(|network| network.sites.iter().find(|s| s.site == code));
        found.map(|s| s.name.as_str()).filter(|name| !name.is_empty()).unwrap_or(code).to_owned()
    }
}

/// What became of a dropped file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ArrivalWord<'a> {
    /// Taken as this file of the network.
    File {
        /// Name in the network.
        file: &'a str,
        /// Whether its columns said so.
        by_columns: bool,
        /// How its letters are written.
        letters: Letters,
        /// What was done with it.
        fate: &'a Fate,
    },
    /// A whole network, kept as last year's.
    Pack,
    /// A text that could be any table.
    Unknown,
    /// Not used.
    Refused(&'a ProblemKind),
    /// A pack that cannot be read.
    BadPack(&'a PackError),
}

fixed_words! {
/// A technical word with its plain sentence.
pub enum Term {
    Cv,
    ErrorMeanSquare,
    Sed,
    Water,
    Group,
    Outlying,
    Variance,
    Residual,
    Influence,
    Fit,
    Blup,
    Lsd,
}
}

fixed_words! {
/// Short fixed words of the office, one a place of use.
pub enum Desk {
    Open,
    Title,
    Intro,
    GuideHeading,
    GuideDemo,
    Hosts,
    Back,
    FilesHeading,
    FilesChoose,
    FilesDrop,
    JoinRows,
    UseInstead,
    Templates,
    OpenThis,
    OpenLast,
    Clear,
    ClearHint,
    Kept,
    NotKept,
    KeptElsewhere,
    Remove,
    NameHeading,
    NameIntro,
    WhichFile,
    NotUsed,
    Explain,
    Needed,
    ProblemsHeading,
    NoProblems,
    Reading,
    ReadFailed,
    Jump,
    FixHeading,
    FixDone,
    FixRemove,
    FixLeave,
    WarningsHeading,
    NotesHeading,
    LookHeading,
    LookIntro,
    Trial,
    Entries,
    Mean,
    Cv,
    ErrorMs,
    Sed,
    Water,
    Disease,
    Group,
    Counts,
    CountsYes,
    ExcludeDrought,
    ExcludeHail,
    ExcludeStand,
    ExcludeOther,
    Words,
    FitHeading,
    FitIntro,
    FitButton,
    FitAgain,
    Fitting,
    Stop,
    Stopped,
    Stale,
    SharesHeading,
    SharesPicture,
    LeftOutHeading,
    OutlyingHeading,
    NoOutlying,
    ResidualsHeading,
    ResidualTrials,
    ResidualVarieties,
    InfluenceHeading,
    InfluenceRunning,
    InfluenceTooLarge,
    MovedHeading,
    NothingMoved,
    MovedLater,
    TrackHeading,
    TrackButton,
    TrackRunning,
    TrackFailed,
    ListHeading,
    ListIntro,
    Sideways,
    Variety,
    Place,
    Average,
    Years,
    Stands,
    Why,
    YourWord,
    WordHeading,
    WordNote,
    WordBy,
    WordDate,
    WordNone,
    WordWrite,
    WordChange,
    WordSave,
    WordLeave,
    RulesHeading,
    RuleSeasons,
    RuleTrials,
    RuleSince,
    RuleMost,
    RuleOrder,
    RuleWater,
    RuleCeiling,
    RuleNoCeiling,
    ChangesHeading,
    ChangesIntro,
    ChangesRunning,
    ChangesNone,
    ChangesFailed,
    OffHeading,
    ReportHeading,
    ReportButton,
    ReportPrint,
    ReportRunning,
    Adjusted,
    SeasonsTrials,
    MethodHeading,
    LeftOutTrials,
    SaveHeading,
    SaveIntro,
    SavePage,
    SaveSite,
    SavePack,
    SaveFolder,
    Saving,
    SaveFirst,
}
}

/// What the office says.
pub trait OfficeWords {
    /// A short fixed word or sentence.
    fn desk(&self, label: Desk) -> &'static str;
    /// The way from last year's spreadsheets to a page, step by step.
    fn guide(&self) -> Vec<&'static str>;
    /// One plain sentence for a technical word.
    fn term(&self, term: Term) -> &'static str;

    /// What a file of the network is for.
    fn file_about(&self, file: &str) -> &'static str;
    /// What a column holds.
    fn column_about(&self, file: &str, column: &str) -> &'static str;
    /// Label and hint of a key of `network.json`.
    fn key_about(&self, key: &str) -> (&'static str, &'static str);

    /// What became of a dropped file.
    fn arrival(&self, name: &str, word: ArrivalWord) -> String;
    /// The files that a file of the network came in.
    fn came_in(&self, sources: &[String]) -> String;
    /// How a file is written, where that is worth saying.
    fn file_note(&self, note: &FileNote, letters: Letters) -> Option<String>;
    /// Rows of a file that are used.
    fn rows_used(&self, used: usize, all: usize) -> String;
    /// What a number in a file may mean.
    fn question(&self, question: &Question) -> String;
    /// One of the two readings of a number, as a choice.
    fn reading(&self, marks: NumberMarks, example: &TwoReadings) -> String;
    /// Where a problem is, without its file.
    fn problem_place(&self, problem: &Problem) -> String;
    /// What is wrong, and what would be right.
    fn problem(&self, kind: &ProblemKind) -> String;
    /// How many problems stand in the way.
    fn problem_count(&self, errors: usize) -> String;
    /// How many more of a file's problems there are.
    fn more_problems(&self, more: usize) -> String;
    /// Heading of a row that is put right.
    fn fix_row(&self, file: &str, row: usize) -> String;

    /// Trials, varieties and what hangs together.
    fn groups(&self, groups: &[Group], names: &Names) -> Vec<String>;
    /// Whether the dry trials are the bad ones.
    fn dry(&self, dry: &DryTrials, several: bool) -> Option<String>;
    /// Where a trial's error was taken from; empty where it is its own error mean square.
    fn error_from(&self, source: ErrorSource) -> &'static str;
    /// A pressure from 0 to 3.
    fn pressure_word(&self, pressure: u8) -> &'static str;
    /// A mean that stands out, and why it is named.
    fn outlying(&self, mean: &OutlyingMean, names: &Names, units: &Units) -> String;

    /// What was fitted.
    fn fitted(&self, varieties: usize, trials: usize, means: usize) -> String;
    /// Where differences between varieties come from, as a sentence.
    fn shares(&self, shares: &Shares, several: bool, units: &Units) -> String;
    /// A source with its share.
    fn share_part(&self, part: &Part, error_known: bool) -> String;
    /// What was left out or assumed, and why.
    fn fit_left_out(&self, dropped: &[Dropped], form: &FittedForm, names: &Names) -> Vec<String>;
    /// Residuals of a trial or variety.
    fn spread(&self, name: &str, spread: &Spread) -> String;
    /// The trial that the head of the list hangs on.
    fn influence(&self, influence: &Influence, several: bool, names: &Names, units: &Units) -> String;
    /// That a fit failed, and why, as far as that is known.
    fn fit_failed(&self, why: &str) -> String;
    /// A variety that moved after trials were taken out or in.
    fn moved(&self, name: &str, before: usize, now: usize) -> String;

    /// Why what was typed for a number is none, and how to write it; `None` where it is one.
    fn number_fault(&self, text: &str) -> Option<String>;
    /// That a text is no number, or no whole number, between these ends, so that the rule stays.
    fn rule_refused(&self, text: &str, ends: (f64, f64), whole: bool) -> String;
    /// That places and lists are counted apart for varieties that no trial joins.
    fn places_apart(&self) -> &'static str;
    /// A shortlist's rules as a sentence.
    fn rules(&self, rules: &Rules) -> String;
    /// Where a variety stands.
    fn stands(&self, stance: Stance) -> &'static str;
    /// Why it stands there.
    fn reason(&self, reason: &Reason, names: &Names) -> String;
    /// Where a variety stands now that she has given or taken back her word.
    fn word_taken(&self, name: &str, stance: Stance, given: bool) -> String;
    /// That her word differs from the rules.
    fn word_differs(&self, word: Stance, rules: Stance) -> Option<String>;
    /// How one variety changed since last year's pack; `None` where nothing did.
    fn since_last_year(&self, change: &Change, names: &Names, units: &Units) -> Option<String>;
    /// How last year's network is named.
    fn last_year(&self, name: &str) -> String;

    /// Heading of a printed report.
    fn report_title(&self, info: &NetworkInfo, system: Option<&str>) -> String;
    /// The line under it: trials, seasons, date.
    fn report_line(&self, report: &Report, info: &NetworkInfo) -> String;
    /// What tells two of its varieties apart.
    fn report_lsd(&self, report: &Report, units: &Units) -> Option<String>;
    /// Its method in one paragraph.
    fn report_method(&self, report: &Report, names: &Names) -> String;
    /// Seasons and trials of a variety.
    fn seasons_trials(&self, seasons: u32, trials: u32) -> String;

    /// That something was handed to the browser.
    fn saved(&self, product: crate::office::state::Product) -> &'static str;
    /// That it was not.
    fn save_failed(&self, why: &str) -> String;
    /// How far a job is.
    fn percent(&self, percent: u8) -> String;
}
