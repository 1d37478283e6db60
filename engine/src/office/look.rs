//! A network's trials on one screen, before anything is fitted: how much they made, how well they tell varieties
//! apart, what water and diseases they had.
//!
//! A coefficient of variation falls as yield rises while the error mean square hardly changes (Taylor et al. 1999,
//! Commun. Soil Sci. Plant Anal. 30:1439–1447, over 362 wheat experiments): a flat limit on it would throw out the
//! dry trials first. So the error mean square and the standard error of a difference stand beside it, and
//! [`DryTrials`] counts how many high coefficients are dry trials with an ordinary error. Nothing is excluded here.
use crate::order::Map;
use crate::pack::groups::{Group, groups};
use crate::pack::{ErrorSource, Exclusion, Mean, Network, PlotErrors, Trial};
use crate::trial::variances_of_mean;
use serde::{Deserialize, Serialize};

/// A coefficient of variation above this is often taken for a reason to discard a cereal trial, percent
/// (British Columbia Ministry of Agriculture, *Statistics used in Variety Trial Work*).
pub const CUSTOMARY_CV: f64 = 15.0;

/// One trial.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TrialLook {
    /// Code.
    pub trial: String,
    /// Site code.
    pub site: String,
    /// Harvest year.
    pub season: i32,
    /// Production system.
    pub system: String,
    /// Varieties with a mean.
    pub entries: usize,
    /// Replicates, where stated.
    pub reps: Option<f64>,
    /// Mean of its means, yield unit; `None` without any.
    pub mean: Option<f64>,
    /// Coefficient of variation, percent.
    pub cv: Option<f64>,
    /// Error mean square, yield unit squared.
    pub error_ms: Option<f64>,
    /// Standard error of a difference of two means, yield unit.
    pub sed: Option<f64>,
    /// Which statement of the trial its error was taken from.
    pub error_from: Option<ErrorSource>,
    /// Water, water unit.
    pub water: Option<f64>,
    /// Whether its water is in the driest third of its system's trials.
    pub dry: bool,
    /// Pressure of each disease and pest that was noted, 0–3.
    pub pressure: Vec<(String, u8)>,
    /// Its group among those that hang together, from 0; `None` for an excluded trial.
    pub group: Option<usize>,
    /// Why it is kept out.
    pub excluded: Option<Exclusion>,
}

/// Whether the dry trials are the bad ones, for one system.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DryTrials {
    /// Production system.
    pub system: String,
    /// Trials with a coefficient of variation above the customary limit.
    pub high_cv: usize,
    /// Of those, trials in the driest third.
    pub high_cv_dry: usize,
    /// Of those, trials whose error mean square is at or below the middle one of the system.
    pub high_cv_dry_ordinary: usize,
}

/// The trials of a network, by system and season, and what holds between them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Look {
    /// Trials by system, then newest first, then from the lowest mean.
    pub trials: Vec<TrialLook>,
    /// Groups that hang together, the largest first.
    pub groups: Vec<Group>,
    /// One for each system with water and errors.
    pub dry: Vec<DryTrials>,
}

/// Looks at every trial of a network; `plot_errors` are those of its reading.
pub fn look(network: &Network, plot_errors: &[PlotErrors]) -> Look {
    let mut means: Map<&str, Vec<&Mean>> = Map::new();
    for mean in &network.means {
        means.entry(&mean.trial).or_default().push(mean);
    }
    let mut pressure: Map<&str, Vec<(String, u8)>> = Map::new();
    for row in &network.pressure {
        pressure.entry(&row.trial).or_default().push((row.trait_.clone(), row.pressure));
    }
    let groups = groups(network);
    let group_of: Map<&str, usize> = groups
        .iter()
        .enumerate()
        .flat_map(|(number, group)| group.trials.iter().map(move |trial| (trial.as_str(), number)))
        .collect();
    let dry_limits = dry_limits(network);
    let mut trials: Vec<TrialLook> = network
        .trials
        .iter()
        .map(|trial| {
            let own = means.get(trial.trial.as_str()).map_or(&[][..], Vec::as_slice);
            let error = error_of(trial, own, plot_errors.iter().find(|errors| errors.trial == trial.trial));
            let limit = dry_limits.get(trial.system.as_str());
            TrialLook {
                trial: trial.trial.clone(),
                site: trial.site.clone(),
                season: trial.season,
                system: trial.system.clone(),
                entries: own.len(),
                reps: trial.error.reps,
                mean: error.mean,
                cv: error.cv,
                error_ms: error.error_ms,
                sed: error.sed,
                error_from: error.from,
                water: trial.water,
                dry: trial.water.zip(limit).is_some_and(|(water, limit)| water <= *limit),
                pressure: pressure.remove(trial.trial.as_str()).unwrap_or_default(),
                group: group_of.get(trial.trial.as_str()).copied(),
                excluded: trial.excluded,
            }
        })
        .collect();
    crate::order::sort_by(&mut trials, |a, b| {
        let mean = |look: &TrialLook| look.mean.unwrap_or(f64::INFINITY);
        (&a.system, b.season).cmp(&(&b.system, a.season)).then(mean(a).total_cmp(&mean(b)))
    });
    let dry = network.systems().into_iter().filter_map(|system| dry_trials(system, &trials)).collect();
    Look { trials, groups, dry }
}

/// What a trial's report says of its error, in every form that is read.
struct ErrorLook {
    mean: Option<f64>,
    cv: Option<f64>,
    error_ms: Option<f64>,
    sed: Option<f64>,
    from: Option<ErrorSource>,
}

fn error_of(trial: &Trial, means: &[&Mean], from_plots: Option<&PlotErrors>) -> ErrorLook {
    if means.is_empty() {
        return ErrorLook {
            mean: None,
            cv: trial.error.cv,
            error_ms: trial.error.error_ms,
            sed: None,
            from: None,
        };
    }
    let mean = means.iter().map(|mean| mean.yield_).sum::<f64>() / means.len() as f64;
    if let Some(&PlotErrors { error_ms, cv, sed, .. }) = from_plots {
        return ErrorLook {
            mean: Some(mean),
            cv,
            error_ms,
            sed,
            from: error_ms.map(|_| ErrorSource::ErrorMs),
        };
    }
    // Over all pairs the average variance of a difference is twice that of a mean at the harmonic mean of the plots.
    let plots: Vec<f64> = means.iter().filter_map(|mean| mean.plots).collect();
    let harmonic = plots.len() as f64 / plots.iter().map(|plots| 1.0 / plots).sum::<f64>();
    let some = (!plots.is_empty()).then_some(harmonic);
    let each = if plots.len() == means.len() { some } else { trial.error.reps.or(some) };
    let stated = variances_of_mean(&trial.error, means.len(), mean, each);
    let Some(&(from, variance)) = stated.first() else {
        return ErrorLook { mean: Some(mean), cv: None, error_ms: None, sed: None, from: None };
    };
    // An LSD is of two means with the replicates stated, whatever was lost of others.
    let error_ms = match from {
        ErrorSource::Lsd => trial.error.reps.or(each),
        ErrorSource::ErrorMs | ErrorSource::Cv => each,
    }
    .map(|plots| variance * plots);
    let cv = error_ms.filter(|_| mean > 0.0).map(|ms| 100.0 * ms.sqrt() / mean);
    ErrorLook { mean: Some(mean), cv, error_ms, sed: Some((2.0 * variance).sqrt()), from: Some(from) }
}

/// Water of the driest third of each system's trials, its wettest.
fn dry_limits(network: &Network) -> Map<&str, f64> {
    let mut water: Map<&str, Vec<f64>> = Map::new();
    for trial in &network.trials {
        water.entry(&trial.system).or_default().extend(trial.water);
    }
    water
        .into_iter()
        .filter_map(|(system, mut amounts)| {
            leanyear_vectors::sort(&mut amounts);
            let third = amounts.len() / 3;
            (third > 0).then(|| (system, amounts[third - 1]))
        })
        .collect()
}

fn dry_trials(system: &str, trials: &[TrialLook]) -> Option<DryTrials> {
    let here: Vec<&TrialLook> =
        trials.iter().filter(|trial| trial.system == system && trial.excluded.is_none()).collect();
    let mut errors: Vec<f64> = here.iter().filter_map(|trial| trial.error_ms).collect();
    leanyear_vectors::sort(&mut errors);
    let middle = *errors.get(errors.len().checked_sub(1)? / 2)?;
    let high: Vec<&&TrialLook> = here.iter().filter(|t| t.cv.is_some_and(|cv| cv > CUSTOMARY_CV)).collect();
    let dry: Vec<&&&TrialLook> = high.iter().filter(|trial| trial.dry).collect();
    let ordinary = dry.iter().filter(|trial| trial.error_ms.is_some_and(|ms| ms <= middle)).count();
    Some(DryTrials {
        system: system.to_owned(),
        high_cv: high.len(),
        high_cv_dry: dry.len(),
        high_cv_dry_ordinary: ordinary,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::super::test_network::network;
    use super::*;
    use crate::pack::ErrorReport;

    /// Source: complete-block example after Gomez & Gomez 1984, pp. 301–303: five treatments in four blocks, EMS
    /// 0.16267, mean 4.13, CV 9.766 %, LSD(5 %) 0.6214 with t = 2.1788 on 12 df, so SED 0.28520.
    #[test]
    fn every_statement_of_a_trial_shows_the_same_error() {
        let yields = [2.625, 3.725, 4.775, 5.425, 4.1];
        let means: Vec<Mean> = yields
            .iter()
            .map(|y| Mean { trial: "T".into(), variety: format!("{y}"), yield_: *y, plots: Some(4.0) })
            .collect();
        let own: Vec<&Mean> = means.iter().collect();
        let mut trial = network().trials.remove(0);
        for error in [
            ErrorReport { reps: Some(4.0), error_ms: Some(0.16267), ..ErrorReport::default() },
            ErrorReport { error_ms: Some(0.16267), ..ErrorReport::default() },
            ErrorReport {
                reps: Some(4.0),
                lsd: Some(0.6214),
                lsd_level: Some(0.05),
                ..ErrorReport::default()
            },
            ErrorReport { reps: Some(4.0), cv: Some(9.766), ..ErrorReport::default() },
        ] {
            trial.error = error;
            let look = error_of(&trial, &own, None);
            assert!((look.mean.unwrap() - 4.13).abs() < 1e-9);
            assert!((look.cv.unwrap() - 9.766).abs() < 0.003, "{error:?}: {:?}", look.cv);
            assert!((look.error_ms.unwrap() - 0.16267).abs() < 1e-4, "{error:?}: {:?}", look.error_ms);
            assert!((look.sed.unwrap() - 0.28520).abs() < 1e-4, "{error:?}: {:?}", look.sed);
        }
    }

    /// Five treatments in four blocks of which one plot is lost: its error mean square is that of the table completed by
    /// the missing-plot formula on one degree of freedom less, and a difference with the treatment that lost it has the
    /// variance σ²·(2/r + t/(r(r−1)(t−1))). Yields: handbook example after Gomez & Gomez 1984, pp. 301–303; formulas:
    /// Yates 1933, Empire J. Exp. Agric. 1:129–142.
    #[test]
    fn a_trial_read_from_plots_with_one_lost_shows_its_own_error() {
        const YIELDS: [[f64; 4]; 5] = [
            [2.1, 2.8, 2.7, 2.9],
            [3.2, 3.4, 4.1, 4.2],
            [4.9, 4.6, 4.6, 5.0],
            [5.3, 5.2, 5.1, 6.1],
            [3.4, 4.6, 4.6, 3.8],
        ];
        let (lost_variety, lost_rep) = (1, 2);
        let (t, r) = (5.0, 4.0);
        let mut plots = "trial,variety,rep,yield\n".to_owned();
        let (mut block, mut treatment, mut all) = (0.0, 0.0, 0.0);
        for (variety, yields) in YIELDS.iter().enumerate() {
            for (rep, yield_) in yields.iter().enumerate() {
                let lost = (variety, rep) == (lost_variety, lost_rep);
                plots += &format!(
                    "T,V{variety},{rep},{}\n",
                    if lost { String::new() } else { yield_.to_string() }
                );
                if !lost {
                    all += yield_;
                    block += if rep == lost_rep { *yield_ } else { 0.0 };
                    treatment += if variety == lost_variety { *yield_ } else { 0.0 };
                }
            }
        }
        let mut completed = YIELDS;
        completed[lost_variety][lost_rep] = (t * treatment + r * block - all) / ((r - 1.0) * (t - 1.0));
        let rep_mean = |rep: usize| completed.iter().map(|yields| yields[rep]).sum::<f64>() / t;
        let mean_of = |yields: &[f64; 4]| yields.iter().sum::<f64>() / r;
        let mean = completed.iter().map(mean_of).sum::<f64>() / t;
        let mut squares = 0.0;
        for yields in &completed {
            for (rep, yield_) in yields.iter().enumerate() {
                squares += (yield_ - mean_of(yields) - rep_mean(rep) + mean).powi(2);
            }
        }
        let error_ms = squares / ((r - 1.0) * (t - 1.0) - 1.0);
        // Four of the ten pairs are with the treatment that lost a plot.
        let variance = error_ms * (0.6 * 2.0 / r + 0.4 * (2.0 / r + t / (r * (r - 1.0) * (t - 1.0))));

        let files = [
            ("network.json", r#"{"name": "Invented", "yield_unit": "t/ha", "currency": "$"}"#.to_owned()),
            ("trials.csv", "trial,site,season\nT,A,2024\n".to_owned()),
            ("plots.csv", plots),
        ];
        let bytes = files.into_iter().map(|(name, text)| (name.to_owned(), text.into_bytes())).collect();
        let reading = crate::pack::read(&bytes);
        let network = reading.network.unwrap_or_else(|| panic!("{:?}", reading.errors));
        let shown = look(&network, &reading.plot_errors).trials.remove(0);
        let near = |value: Option<f64>, expected: f64| {
            let value = value.unwrap();
            assert!((value / expected - 1.0).abs() < 1e-9, "{value} is not {expected}");
        };
        near(shown.error_ms, error_ms);
        near(shown.sed, variance.sqrt());
        near(shown.cv, 100.0 * error_ms.sqrt() / (all / 19.0));
        near(shown.mean, mean);
    }

    #[test]
    fn every_trial_is_shown_with_its_water_and_why_it_is_out() {
        let network = network();
        let look = look(&network, &[]);
        assert_eq!(look.trials.len(), network.trials.len());
        let out: Vec<&TrialLook> = look.trials.iter().filter(|trial| trial.group.is_none()).collect();
        assert_eq!(out.len(), 1);
        assert_eq!((out[0].trial.as_str(), out[0].excluded), ("A2020d", Some(Exclusion::Hail)));
        let dry = look.trials.iter().filter(|trial| trial.dry && trial.system == "dryland");
        let wet = look.trials.iter().filter(|trial| !trial.dry && trial.system == "dryland");
        let most = dry.clone().filter_map(|trial| trial.water).fold(0.0, f64::max);
        assert!(dry.count() >= 4 && wet.filter_map(|trial| trial.water).all(|water| water > most));
    }

    #[test]
    fn a_dry_trial_with_an_ordinary_error_is_told_from_a_bad_one() {
        let mut network = network();
        for trial in &mut network.trials {
            trial.error.error_ms = Some(if trial.trial == "B2024d" { 400.0 } else { 30.0 });
        }
        let found = look(&network, &[]).dry.remove(0);
        assert_eq!(found.system, "dryland");
        assert!(found.high_cv > found.high_cv_dry && found.high_cv_dry >= found.high_cv_dry_ordinary);
        assert!(found.high_cv_dry_ordinary > 0, "{found:?}");
    }
}
