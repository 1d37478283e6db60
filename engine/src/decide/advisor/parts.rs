//! The parts of the decision table: candidates, the field, the season, what is missing.

use super::super::account::Account;
use super::super::needs::failures;
use super::super::odds::Candidate;
use super::super::table::{ClimateSource, FieldSummary, Missing, OutlookSummary, Standing};
use super::Advisor;
use crate::forecast::draws::Draws;
use crate::forecast::model::SLOPE_REACH;
use crate::link::Settings;
use crate::pack::Exclusion;
use std::borrow::Cow;

impl Advisor {
    pub(super) fn candidates<'a>(
        &self,
        draws: &'a Draws,
        settings: &Settings,
        standings: Vec<Standing>,
        account: &Account,
    ) -> Vec<Candidate<'a>> {
        let network = &self.pack.network;
        let codes = &self.model.prepared.varieties;
        let fails = failures(network, &settings.need, codes.iter());
        let scaled = |values: &'a [f64]| match account.units == 1.0 {
            true => Cow::Borrowed(values),
            false => Cow::Owned(leanyear_vectors::scaled(values, account.units)),
        };
        codes
            .iter()
            .zip(fails)
            .zip(standings)
            .enumerate()
            .map(|(block, ((code, fails), standing))| Candidate {
                variety: code.clone(),
                yields: scaled(draws.yields(block)),
                sorted: scaled(draws.sorted_yields(block)),
                long_run: scaled(draws.long_run(block)),
                terms: account.terms[block],
                seed_cost_known: account.seed_known[block],
                fails,
                standing,
                joined: self.tested.joined(block),
            })
            .collect()
    }

    pub(super) fn field(&self, settings: &Settings, system: usize, account: &Account) -> FieldSummary {
        let prepared = &self.model.prepared;
        FieldSummary {
            usual: account.usual,
            usual_given: settings.usual.is_some(),
            reference_set: self.model.reference.iter().map(|&b| prepared.varieties[b].clone()).collect(),
            trials: prepared.trials.len() as u32,
            seasons: (
                prepared.seasons.first().copied().unwrap_or_default(),
                prepared.seasons.last().copied().unwrap_or_default(),
            ),
            water_slope: self.model.fitted.terms.water && prepared.water[system].is_some(),
        }
    }

    pub(super) fn outlook(&self, draws: &Draws, system: usize) -> OutlookSummary {
        let (climate, weights) = draws.climate();
        let rate = climate.base_rate(weights);
        let driest = self.model.harvested[system].0 - SLOPE_REACH;
        OutlookSummary {
            source: climate.source,
            seasons_in_record: rate.seasons_in_record,
            seasons_like_this: rate.seasons_like_this,
            water_mean: (!climate.seasons.is_empty())
                .then(|| climate.seasons.iter().zip(weights).map(|(s, w)| s.1 * w).sum()),
            water_range: rate.water_range,
            record_years: climate.years().map(|y| (y.0, y.1)),
            drier_than_harvested: self.model.prepared.water[system].is_some()
                && rate.water_range.is_some_and(|r| self.model.standard_water(system, r.0) < driest),
            chance_no_harvest: draws.chance_no_harvest(),
        }
    }

    pub(super) fn missing(
        &self,
        draws: &Draws,
        system: usize,
        money: bool,
        water_slope: bool,
    ) -> Vec<Missing> {
        let network = &self.pack.network;
        let source = draws.climate().0.source;
        let lost = network.trials.iter().any(|t| t.excluded == Some(Exclusion::Drought));
        let named = network.varieties.iter().any(|v| !v.name.is_empty() && v.name != v.variety);
        let sites_named = network.sites.iter().any(|s| !s.name.is_empty() && s.name != s.site);
        let spread = self.model.prepared.water[system].is_some();
        let assumed = |term: &str| self.model.fitted.dropped.iter().any(|d| d.term == term);
        [
            (Missing::Water, source == ClimateSource::None),
            (
                Missing::LongClimate,
                matches!(source, ClimateSource::TrialSeasons | ClimateSource::NetworkSeasons),
            ),
            (Missing::WaterSlope, source != ClimateSource::None && spread && !water_slope),
            (Missing::WaterSpread, source != ClimateSource::None && !spread),
            (Missing::Ratings, network.ratings.is_empty()),
            (Missing::Pressure, network.pressure.is_empty()),
            (Missing::DiseaseLosses, !network.ratings.is_empty() && self.model.threats.is_empty()),
            (Missing::ErrorVariances, !self.model.prepared.errors_known[system]),
            (Missing::DroughtLosses, !lost),
            (Missing::Money, !money),
            (Missing::AssumedSite, assumed("variety:site")),
            (Missing::AssumedSeason, assumed("variety:season")),
            (Missing::AssumedSystem, assumed("variety:system")),
            (Missing::SiteNames, !sites_named),
            (Missing::VarietyNames, !named),
        ]
        .into_iter()
        .filter_map(|(what, absent)| absent.then_some(what))
        .collect()
    }
}
