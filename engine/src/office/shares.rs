//! Where the differences between varieties come from, system by system: the variances of a fit as shares.

use crate::forecast::model::ForecastModel;
use serde::{Deserialize, Serialize};

/// A source of differences between varieties.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Source {
    /// The variety everywhere, in a season of middling water.
    Variety,
    /// Its own response to water, for one standard deviation of it.
    Water,
    /// Variety by site.
    Site,
    /// Variety by season.
    Season,
    /// Variety by system.
    System,
    /// Variety by trial; with the plots' error in it where that is not known.
    Trial,
    /// Error of a mean, where it is known.
    PlotError,
}

impl Source {
    /// The model's term that a prior keeps where the trials cannot tell it.
    fn term(self) -> Option<&'static str> {
        match self {
            Source::Site => Some("variety:site"),
            Source::Season => Some("variety:season"),
            Source::System => Some("variety:system"),
            Source::Variety | Source::Water | Source::Trial | Source::PlotError => None,
        }
    }
}

/// One source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// What.
    pub source: Source,
    /// Standard deviation, yield unit.
    pub sd: f64,
    /// Share of the sum of all variances, 0–1.
    pub share: f64,
    /// Whether the trials cannot tell it, so that its variance is the usual one and not estimated.
    pub assumed: bool,
}

/// The sources of one system; their shares add to 1.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Shares {
    /// Production system.
    pub system: String,
    /// Mean yield of its fitted trials, yield unit.
    pub mean: f64,
    /// Whether the error of means is known apart.
    pub error_known: bool,
    /// The sources that are in the model.
    pub parts: Vec<Part>,
}

/// The shares of every system of a fitted model.
pub fn shares(model: &ForecastModel) -> Vec<Shares> {
    let prepared = &model.prepared;
    let (terms, variances) = (model.fitted.terms, &model.fitted.variances);
    let of_system = |(system, name): (usize, &String)| {
        let known: Vec<f64> =
            prepared.design.rows.iter().filter(|r| r.system == system).map(|r| r.known_variance).collect();
        let error_known = prepared.errors_known[system];
        let slope = terms.water && prepared.water[system].is_some();
        let error = known.iter().sum::<f64>() / known.len().max(1) as f64;
        let all = [
            (Source::Variety, true, variances.variety),
            (Source::Water, slope, variances.slope),
            (Source::Site, terms.site, variances.site),
            (Source::Season, terms.season, variances.season),
            (Source::System, terms.system, variances.system),
            (Source::Trial, true, variances.residual[system]),
            (Source::PlotError, error_known, error),
        ];
        let sum: f64 = all.iter().filter(|(_, there, _)| *there).map(|(.., variance)| variance).sum();
        let scale = prepared.scale[system];
        let parts = all.into_iter().filter(|(_, there, _)| *there).map(|(source, _, variance)| Part {
            source,
            sd: scale * variance.max(0.0).sqrt(),
            share: if sum > 0.0 { variance / sum } else { 0.0 },
            assumed: source.term().is_some_and(|term| model.fitted.dropped.iter().any(|d| d.term == term)),
        });
        Shares { system: name.clone(), mean: scale, error_known, parts: parts.collect() }
    };
    prepared.systems.iter().enumerate().map(of_system).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::test_network::network;
    use super::*;

    #[test]
    fn what_the_trials_cannot_tell_is_marked_as_assumed() {
        let mut network = network();
        let assumed = |network: &crate::pack::Network| {
            let all = shares(&ForecastModel::fit(network).unwrap());
            all[0].parts.iter().filter(|part| part.assumed).map(|part| part.source).collect::<Vec<_>>()
        };
        assert_eq!(assumed(&network), []);
        network.trials.iter_mut().for_each(|trial| trial.season = 2024);
        assert_eq!(assumed(&network), [Source::Season]);
    }

    #[test]
    fn shares_add_to_one_and_follow_the_variances() {
        let model = ForecastModel::fit(&network()).unwrap();
        for shares in shares(&model) {
            let sum: f64 = shares.parts.iter().map(|part| part.share).sum();
            assert!((sum - 1.0).abs() < 1e-12, "{shares:?}");
            let own = &shares.parts[0];
            assert_eq!(own.source, Source::Variety);
            // Varieties were made to differ by the same bushels in both systems, far more than by anything else:
            // as shares of a system's yield that is variety and variety by system together.
            let of =
                |source: Source| shares.parts.iter().find(|p| p.source == source).map_or(0.0, |p| p.share);
            assert!(of(Source::Variety) + of(Source::System) > 0.5, "{shares:?}");
            for part in &shares.parts {
                let ratio = (part.sd / own.sd).powi(2);
                assert!((ratio - part.share / own.share).abs() < 1e-9);
            }
            assert!(shares.error_known);
        }
    }
}
