//! The numbers of her printed report for one system: adjusted means with their standard errors, how well two of
//! them can be told apart, ratings, the shortlist, what was left out.
//!
//! An adjusted mean is the best linear unbiased prediction of the variety in the average trial of the system, at
//! middling water and with the diseases that those trials had: the reference set's healthy level plus the variety's
//! long-run difference, less what the trials' pressures take of it on average, so that varieties of different trials
//! stand on one scale. The LSD is z·SED at 5 % with the average standard error of prediction of a difference
//! over all pairs listed (the variances rest on the whole network, so the normal law stands for Student's).

use super::diseases::{Diseased, Lost};
use super::shortlist::{Line, Rules, shortlist};
use crate::decide::{Advisor, AdvisorError};
use crate::forecast::field::difference;
use crate::mixed::effects::Functional;
use crate::pack::Exclusion;
use serde::{Deserialize, Serialize};

/// The normal law's two-sided 5 % point.
const Z_05: f64 = 1.959_963_984_540_054;

/// One variety of the report.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ReportLine {
    /// Its place on the shortlist, with odds and her word.
    pub line: Line,
    /// Adjusted mean with the diseases that the system's trials had, yield unit.
    pub adjusted: f64,
    /// Standard error of its difference from the reference set, yield unit.
    pub error: f64,
    /// Rating of each trait of [`Report::traits`], where there is one.
    pub ratings: Vec<Option<f64>>,
}

/// A trial left out of the fit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeftOut {
    /// Code.
    pub trial: String,
    /// Site code.
    pub site: String,
    /// Harvest year.
    pub season: i32,
    /// Why.
    pub reason: Exclusion,
}

/// The report of one system.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Report {
    /// Production system.
    pub system: String,
    /// Rules of the shortlist.
    pub rules: Rules,
    /// Varieties by adjusted mean, best first; those in the system's trials lately.
    pub lines: Vec<ReportLine>,
    /// Average standard error of a difference over all pairs of lines that trials join, yield unit; `None` where there
    /// is no such pair.
    pub sed: Option<f64>,
    /// Least significant difference at 5 %, yield unit.
    pub lsd: Option<f64>,
    /// Codes of the traits shown.
    pub traits: Vec<String>,
    /// Fitted trials of the system.
    pub trials: usize,
    /// Their first and last season.
    pub seasons: Option<(i32, i32)>,
    /// Varieties that the adjusted means are tied to.
    pub reference: Vec<String>,
    /// Trials of the system left out.
    pub left_out: Vec<LeftOut>,
    /// Whether the error of the trials is known.
    pub error_known: bool,
    /// Whether losses to diseases are in the model.
    pub losses_known: bool,
    /// Whether varieties' own response to water is in the model for this system.
    pub water_known: bool,
    /// Whether a trend over years of release is in the model.
    pub trend_known: bool,
    /// Production systems of the whole network.
    pub systems: usize,
    /// Whether trials join every pair of the lines.
    pub all_joined: bool,
}

/// The report of a system.
///
/// # Errors
/// A system without fitted trials.
pub fn report(advisor: &Advisor, system: &str, rules: &Rules) -> Result<Report, AdvisorError> {
    let lines = shortlist(advisor, system, rules)?;
    let (model, network) = (advisor.model(), &advisor.pack().network);
    let prepared = &model.prepared;
    let unknown = || AdvisorError::UnknownSystem(system.to_owned());
    let place = prepared.systems.iter().position(|name| name == system).ok_or_else(unknown)?;
    let scale = prepared.scale[place];
    let shown: Vec<Line> = lines.into_iter().filter(|line| line.odds.standing.current()).collect();
    let block = |line: &Line| prepared.varieties.iter().position(|code| *code == line.variety);
    let blocks: Vec<Option<usize>> = shown.iter().map(block).collect();
    let diseased = Diseased::of(model, place);
    let (mut functionals, mut taken, mut doubts) = (Vec::new(), Vec::new(), Vec::new());
    for &block in &blocks {
        let mut functional =
            block.map_or_else(Functional::default, |block| difference(model, block, place, None, None));
        let lost = block.map_or_else(Lost::default, |block| diseased.lost(model, block));
        functional.border.extend(&lost.learnt);
        functionals.push(functional);
        taken.push(lost.published);
        doubts.push(lost.doubts);
    }
    let effects = model.effects();
    let mut covariance = effects.covariance(&functionals);
    let n = functionals.len();
    for i in 0..n {
        for k in 0..n {
            covariance[i * n + k] += doubts[i].iter().zip(&doubts[k]).map(|(a, b)| a * b).sum::<f64>();
        }
    }
    let level = average_level(advisor, place);
    let joined = |i: usize, j: usize| blocks[i].zip(blocks[j]).is_some_and(|(a, b)| advisor.are_joined(a, b));
    let sed = average_sed(&covariance, n, joined).map(|sed| sed * scale);
    let traits: Vec<String> = network
        .traits
        .iter()
        .filter(|t| network.ratings.iter().any(|rating| rating.trait_ == t.trait_))
        .map(|t| t.trait_.clone())
        .collect();
    let rating = |variety: &str, trait_: &String| {
        let own = network.ratings.iter().find(|r| r.variety == variety && r.trait_ == *trait_);
        own.map(|rating| rating.value)
    };
    let mut rows: Vec<ReportLine> = shown
        .into_iter()
        .enumerate()
        .map(|(k, line)| ReportLine {
            adjusted: scale * (level + effects.value(&functionals[k]) - taken[k]),
            error: scale * covariance[k * n + k].max(0.0).sqrt(),
            ratings: traits.iter().map(|trait_| rating(&line.variety, trait_)).collect(),
            line,
        })
        .collect();
    crate::order::sort_by(&mut rows, |a, b| b.adjusted.total_cmp(&a.adjusted));
    let here = network.trials.iter().filter(|trial| trial.system == system);
    let fitted: Vec<i32> = here.clone().filter(|t| t.excluded.is_none()).map(|t| t.season).collect();
    let seasons = fitted.iter().min().copied().zip(fitted.iter().max().copied());
    Ok(Report {
        system: system.to_owned(),
        rules: rules.clone(),
        lines: rows,
        sed,
        lsd: sed.map(|sed| Z_05 * sed),
        traits,
        trials: fitted.len(),
        seasons,
        reference: model.reference.iter().map(|&block| prepared.varieties[block].clone()).collect(),
        left_out: here
            .filter_map(|t| {
                let (trial, site) = (t.trial.clone(), t.site.clone());
                Some(LeftOut { trial, site, season: t.season, reason: t.excluded? })
            })
            .collect(),
        error_known: prepared.errors_known[place],
        losses_known: !model.threats.is_empty(),
        water_known: prepared.design.terms.water && prepared.water[place].is_some(),
        trend_known: model.fitted.form.entry_variance.is_some(),
        systems: prepared.systems.len(),
        all_joined: (0..n).all(|i| (0..i).all(|k| joined(i, k))),
    })
}

/// Average level of the reference set over the system's trials, in shares.
fn average_level(advisor: &Advisor, system: usize) -> f64 {
    let model = advisor.model();
    let systems = model.prepared.column_systems();
    let own: Vec<f64> = model
        .trial_levels
        .iter()
        .zip(systems)
        .filter(|(_, s)| *s == system)
        .map(|(level, _)| *level)
        .collect();
    own.iter().sum::<f64>() / own.len().max(1) as f64
}

/// Root of the mean variance of a difference over all pairs that trials join, n × n covariance.
fn average_sed(covariance: &[f64], n: usize, joined: impl Fn(usize, usize) -> bool) -> Option<f64> {
    let pairs = (0..n).flat_map(|i| (0..i).map(move |j| (i, j))).filter(|&(i, j)| joined(i, j));
    let variances: Vec<f64> = pairs
        .map(|(i, j)| covariance[i * n + i] + covariance[j * n + j] - 2.0 * covariance[i * n + j])
        .collect();
    (!variances.is_empty()).then(|| (variances.iter().sum::<f64>() / variances.len() as f64).max(0.0).sqrt())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::test_network::{network, network_apart};
    use super::*;
    use crate::pack::Pack;

    #[test]
    fn what_the_model_holds_is_said() {
        let told = |network: crate::pack::Network| {
            let advisor = Advisor::new(Pack::new(network).unwrap()).unwrap();
            report(&advisor, "dryland", &Rules::of(&advisor.pack().network)).unwrap()
        };
        let whole = told(network());
        assert!(whole.water_known && whole.error_known && whole.all_joined && whole.trend_known);
        assert_eq!(whole.systems, 2);
        // Without the newcomer all were first grown in one season.
        let mut dull = network();
        dull.means.retain(|mean| mean.variety != "V7");
        for trial in &mut dull.trials {
            trial.error.error_ms = None;
            trial.water = if trial.system == "dryland" { Some(10.0) } else { trial.water };
        }
        let dull = told(dull);
        assert!(!dull.water_known && !dull.error_known && !dull.trend_known);
        let apart = told(network_apart());
        assert!(!apart.all_joined && apart.lines.len() == 16 && apart.sed.is_some());
    }

    #[test]
    fn pairs_that_no_trial_joins_count_for_nothing() {
        // Two by two joined: variance 2 − 1 within, 2 + 2 across.
        let covariance =
            [[1.0, 0.5, -1.0, -1.0], [0.5, 1.0, -1.0, -1.0], [-1.0, -1.0, 1.0, 0.5], [-1.0, -1.0, 0.5, 1.0]];
        let joined = |i: usize, j: usize| i / 2 == j / 2;
        assert_eq!(average_sed(covariance.as_flattened(), 4, joined), Some(1.0));
        assert_eq!(average_sed(covariance.as_flattened(), 4, |_, _| true), Some(3.0_f64.sqrt()));
        assert_eq!(average_sed(covariance.as_flattened(), 4, |_, _| false), None);
    }

    #[test]
    fn adjusted_means_stand_on_the_scale_of_the_trials() {
        let advisor = Advisor::new(Pack::new(network()).unwrap()).unwrap();
        let rules = Rules::of(&advisor.pack().network);
        let report = report(&advisor, "dryland", &rules).unwrap();
        assert_eq!(report.lines.len(), 8);
        assert_eq!((report.trials, report.seasons, report.left_out.len()), (11, Some((2019, 2024)), 1));
        let means: Vec<f64> = advisor
            .pack()
            .network
            .means
            .iter()
            .filter(|mean| mean.trial.ends_with('d') && mean.trial != "A2020d" && mean.variety != "V7")
            .map(|mean| mean.yield_)
            .collect();
        let raw = means.iter().sum::<f64>() / means.len() as f64;
        let adjusted: Vec<f64> =
            report.lines.iter().filter(|row| row.line.variety != "V7").map(|row| row.adjusted).collect();
        let average = adjusted.iter().sum::<f64>() / adjusted.len() as f64;
        assert!((average - raw).abs() < 0.05 * raw, "{average} against {raw}");
        assert!(
            report.lines[0].line.variety == "V1"
                && report.lines.windows(2).all(|p| p[0].adjusted >= p[1].adjusted)
        );
        // A newcomer is known less well, and what tells two varieties apart lies between the errors of a pair.
        let error = |code: &str| report.lines.iter().find(|row| row.line.variety == code).unwrap().error;
        assert!(error("V7") > error("V3") && report.sed.unwrap() > 0.5 * error("V3"));
        assert!((report.lsd.unwrap() / report.sed.unwrap() - 1.96).abs() < 0.001);
    }
}
