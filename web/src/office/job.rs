//! Work on a network that is being prepared: asked for and answered as text, so that it is done off the screen.
//!
//! Every job reads the files anew, which takes a fraction of a second and leaves nothing to go stale; what took
//! long (the fitted parameters) travels with the request. It knows no browser but the one word of progress, and
//! writes no sentence.

use crate::text::catalogue;
use leanyear_engine::decide::{Advisor, AdvisorError};
use leanyear_engine::forecast::backtest::{BacktestError, TrialRange, past_ranges};
use leanyear_engine::forecast::form::FittedForm;
use leanyear_engine::forecast::model::{Fitted, ForecastModel, ModelError};
use leanyear_engine::mixed::network::Dropped;
use leanyear_engine::office::compare::{Change, changes};
use leanyear_engine::office::influence::{Influence, most_influential};
use leanyear_engine::office::look::{Look, look};
use leanyear_engine::office::outlying::{OutlyingMean, outlying_means};
use leanyear_engine::office::report::{Report, report};
use leanyear_engine::office::residuals::{Residuals, residuals};
use leanyear_engine::office::shares::{Shares, shares};
use leanyear_engine::office::shortlist::{Line, Rules, shortlist};
use leanyear_engine::order::Map;
use leanyear_engine::pack::document::VERSION;
use leanyear_engine::pack::{
    Answers, FileNote, Network, Pack, PackError, Problem, Question, TableRows, fingerprint, read_with, write,
};
use leanyear_engine::page::{PageContent, PageError, page_content};
use serde::{Deserialize, Serialize};

/// Most problems that are handed over; the rest are counted.
const MOST_PROBLEMS: usize = 400;
/// Most trials and varieties whose residuals are handed over.
const MOST_SPREADS: usize = 8;

/// What there is to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// Read the files.
    Read,
    /// Fit them.
    Fit,
    /// Leave each trial out in turn.
    Influence,
    /// Put the shortlists together.
    Lists,
    /// Hold them against last year's.
    Changes,
    /// The tables of the printed report.
    Report,
    /// Past seasons from those before them.
    Track,
    /// What fills the page.
    Page,
    /// The files of the folder.
    Folder,
}

/// A request.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Work {
    /// What to do.
    pub office: Step,
    /// Texts of the network's files by name.
    pub files: Map<String, String>,
    /// Answers to the reader's questions.
    pub answers: Answers,
    /// Parameters of the last fit of these files.
    pub fitted: Option<Fitted>,
    /// Rules of the shortlists that are not as the network has them, by system.
    pub rules: Map<String, Rules>,
    /// Last year's pack, as JSON.
    pub last: Option<String>,
}

/// What reading found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ReadAnswer {
    /// The first of the errors.
    pub errors: Vec<Problem>,
    /// All errors by file.
    pub error_counts: Map<String, usize>,
    /// The first of the warnings.
    pub warnings: Vec<Problem>,
    /// All warnings.
    pub warning_count: usize,
    /// How each file is written.
    pub notes: Vec<FileNote>,
    /// What could not be told.
    pub questions: Vec<Question>,
    /// Rows of each file.
    pub rows: Vec<TableRows>,
    /// The trials on one screen; `None` while there are errors.
    pub look: Option<Look>,
    /// The network without its long tables, for names and words.
    pub network: Option<Network>,
}

/// What a fit found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FitAnswer {
    /// Parameters, for what is asked later.
    pub fitted: Fitted,
    /// Fingerprint of the data.
    pub fingerprint: String,
    /// Varieties, trials and means that were fitted.
    pub sizes: (usize, usize, usize),
    /// Where differences come from.
    pub shares: Vec<Shares>,
    /// What is left over.
    pub residuals: Residuals,
    /// Means that stand out.
    pub outlying: Vec<OutlyingMean>,
    /// The form that was chosen.
    pub form: FittedForm,
    /// Terms left out.
    pub dropped: Vec<Dropped>,
    /// Shortlists by system.
    pub lists: Map<String, Lists>,
}

/// A system's shortlist with the rules behind it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Lists {
    /// The rules.
    pub rules: Rules,
    /// The varieties.
    pub lines: Vec<Line>,
}

/// What fills the page, as plain values.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Content {
    /// Title.
    pub title: String,
    /// Static table.
    pub static_table: String,
    /// Pack.
    pub pack_json: String,
}

/// Why a job gave no answer.
#[derive(Debug, thiserror::Error)]
enum JobError {
    #[error("this is no job: {0}")]
    Unknown(#[from] serde_json::Error),
    #[error("the files have errors")]
    Errors,
    #[error("the files were not fitted yet")]
    NotFitted,
    #[error(transparent)]
    Backtest(#[from] BacktestError),
    #[error(transparent)]
    Model(#[from] ModelError),
    #[error(transparent)]
    Advisor(#[from] AdvisorError),
    #[error(transparent)]
    Page(#[from] PageError),
    #[error("last year's data cannot be read")]
    Pack(#[from] PackError),
}

/// Whether a request is one of these.
pub fn is_work(request: &str) -> bool {
    request.starts_with("{\"office\":")
}

/// Does a job given as JSON and answers in JSON: the result, or `{"error": "…"}`. `progress` hears percents.
pub fn do_work(request: &str, progress: &mut dyn FnMut(u8)) -> String {
    match answer(request, progress) {
        Ok(result) => result,
        Err(error) => serde_json::json!({ "error": error.to_string() }).to_string(),
    }
}

fn answer(request: &str, progress: &mut dyn FnMut(u8)) -> Result<String, JobError> {
    let mut work: Work = leanyear_engine::json::read(request)?;
    let texts = std::mem::take(&mut work.files);
    let files = texts.into_iter().map(|(name, text)| (name, text.into_bytes())).collect();
    let reading = read_with(&files, &work.answers);
    drop(files);
    progress(10);
    if work.office == Step::Read {
        return Ok(serde_json::to_string(&read_answer(reading))?);
    }
    let network = reading.network.ok_or(JobError::Errors)?;
    Ok(match work.office {
        Step::Read | Step::Fit => serde_json::to_string(&fit_answer(network, &work.rules, progress)?)?,
        Step::Track => {
            let mut told = |done: usize, all: usize| {
                progress(percent(done, all));
                true
            };
            serde_json::to_string(&past_ranges(&network, &mut told)?)?
        }
        Step::Folder => serde_json::to_string(&write::files(&network)?)?,
        Step::Influence => {
            let fitted = work.fitted.ok_or(JobError::NotFitted)?;
            let model = ForecastModel::rebuild(&network, &fitted)?;
            let mut told = |done: usize, all: usize| progress(percent(done, all));
            serde_json::to_string(&most_influential(&network, &model, &mut told))?
        }
        Step::Lists => serde_json::to_string(&lists(&advisor(network, work.fitted)?, &work.rules)?)?,
        Step::Changes => {
            let last = Pack::from_json(&work.last.unwrap_or_default())?;
            let advisor = advisor(network, work.fitted)?;
            serde_json::to_string(&all_changes(&advisor, &last, &work.rules, progress)?)?
        }
        Step::Report => serde_json::to_string(&reports(&advisor(network, work.fitted)?, &work.rules)?)?,
        Step::Page => serde_json::to_string(&content(&advisor(network, work.fitted)?)?)?,
    })
}

fn percent(done: usize, all: usize) -> u8 {
    (100 * done / all.max(1)).min(100) as u8
}

fn read_answer(reading: leanyear_engine::pack::Reading) -> ReadAnswer {
    let mut error_counts = Map::new();
    for error in &reading.errors {
        *error_counts.entry(error.file.clone()).or_insert(0) += 1;
    }
    let look = reading.network.as_ref().map(|network| look(network, &reading.plot_errors));
    let network = reading.network.map(|mut network| {
        network.means = Vec::new();
        network.plots = Vec::new();
        network.water = Vec::new();
        network.pressure = Vec::new();
        network
    });
    let first = |problems: Vec<Problem>| problems.into_iter().take(MOST_PROBLEMS).collect();
    let warning_count = reading.warnings.len();
    ReadAnswer {
        errors: first(reading.errors),
        error_counts,
        warnings: first(reading.warnings),
        warning_count,
        notes: reading.notes,
        questions: reading.questions,
        rows: reading.rows,
        look,
        network,
    }
}

fn fit_answer(
    network: Network,
    rules: &Map<String, Rules>,
    progress: &mut dyn FnMut(u8),
) -> Result<FitAnswer, JobError> {
    progress(15);
    let pack = Pack::new(network)?;
    progress(65);
    let advisor = Advisor::new(pack)?;
    let (model, network) = (advisor.model(), &advisor.pack().network);
    progress(75);
    let mut left = residuals(network, model);
    left.trials.truncate(MOST_SPREADS);
    left.varieties.truncate(MOST_SPREADS);
    let outlying = outlying_means(network, model);
    progress(85);
    let lists = lists(&advisor, rules)?;
    progress(100);
    Ok(FitAnswer {
        fitted: model.fitted.clone(),
        fingerprint: advisor.pack().fingerprint.clone(),
        sizes: (model.prepared.varieties.len(), model.prepared.trials.len(), model.prepared.rows.len()),
        shares: shares(model),
        residuals: left,
        outlying,
        form: model.fitted.form.clone(),
        dropped: model.fitted.dropped.clone(),
        lists,
    })
}

/// The network at the parameters of its last fit; her word and names may have changed since, the data not.
fn advisor(network: Network, fitted: Option<Fitted>) -> Result<Advisor, JobError> {
    let fitted = fitted.ok_or(JobError::NotFitted)?;
    let fingerprint = fingerprint(&network);
    Ok(Advisor::new(Pack { version: VERSION, fingerprint, network, fitted })?)
}

fn rules_of(network: &Network, rules: &Map<String, Rules>, system: &str) -> Rules {
    rules.get(system).cloned().unwrap_or_else(|| Rules::of(network))
}

fn lists(advisor: &Advisor, rules: &Map<String, Rules>) -> Result<Map<String, Lists>, JobError> {
    let network = &advisor.pack().network;
    let of_system = |system: &str| {
        let rules = rules_of(network, rules, system);
        let lines = shortlist(advisor, system, &rules)?;
        Ok((system.to_owned(), Lists { rules, lines }))
    };
    each(network, of_system)
}

/// One answer for each system, or the first fault.
fn each<T>(
    network: &Network,
    of_system: impl Fn(&str) -> Result<(String, T), JobError>,
) -> Result<Map<String, T>, JobError> {
    let mut all = Map::new();
    for system in network.systems() {
        let (system, answer) = of_system(system)?;
        all.insert(system, answer);
    }
    Ok(all)
}

fn all_changes(
    advisor: &Advisor,
    last: &Pack,
    rules: &Map<String, Rules>,
    progress: &mut dyn FnMut(u8),
) -> Result<Map<String, Vec<Change>>, JobError> {
    let network = &advisor.pack().network;
    let systems = network.systems();
    let mut all = Map::new();
    for (done, system) in systems.iter().enumerate() {
        let found = changes(advisor, last, system, &rules_of(network, rules, system))?;
        all.insert((*system).to_owned(), found);
        progress(percent(done + 1, systems.len()));
    }
    Ok(all)
}

fn reports(advisor: &Advisor, rules: &Map<String, Rules>) -> Result<Map<String, Report>, JobError> {
    let network = &advisor.pack().network;
    let of_system =
        |system: &str| Ok((system.to_owned(), report(advisor, system, &rules_of(network, rules, system))?));
    each(network, of_system)
}

fn content(advisor: &Advisor) -> Result<Content, JobError> {
    let words = catalogue(&advisor.pack().network.info.lang).plain_table();
    let PageContent { title, static_table, pack_json } = page_content(advisor, &words)?;
    Ok(Content { title, static_table, pack_json })
}

/// Ranges of the track record.
pub type TrackAnswer = Vec<TrialRange>;
/// Influences by system.
pub type InfluenceAnswer = Vec<Influence>;
/// Shortlists by system.
pub type ListsAnswer = Map<String, Lists>;
/// Changes by system.
pub type ChangesAnswer = Map<String, Vec<Change>>;
/// Reports by system.
pub type ReportAnswer = Map<String, Report>;
