//! The one door from settings to answers: a pack made ready, asked for draws, tables and details.
//!
//! Draws are the costly part and depend on the field and the outlook alone; tables read money and order
//! off them. Everything leaves in the unit of the settings. It writes no sentence.

use super::money::{Money, TARGET_SHARE};
use super::odds::{Candidate, Question, odds, quantile};
use super::standing::{outlook_range, standings};
use super::table::{
    BreakEven, FieldSummary, Missing, OddsTable, OutlookSummary, ResponsePoint, Standing, StandingState,
    TrialRecord, VarietyDetail, VarietyLoss,
};
use super::units::{WHEAT_BUSHEL_LB, area_factor, factor};
use crate::decide::ClimateSource;
use crate::forecast::draws::{Assumed, Draws, FieldKey};
use crate::forecast::model::{ForecastModel, ModelError, SLOPE_REACH};
use crate::forecast::random::DRAWS;
use crate::link::Settings;
use crate::pack::{Exclusion, Network, Pack};
use crate::season::climate::Climate;
use std::collections::BTreeMap;
use thiserror::Error;

/// Points of a variety's response to water.
const RESPONSE_POINTS: usize = 25;

/// Half-width of the normal law's 80 % range, in standard deviations: its 90th percentile.
const NORMAL_80: f64 = 1.281_551_565_544_600_4;

/// Why an answer cannot be given.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum AdvisorError {
    /// The pack's models.
    #[error("{0}")]
    Model(#[from] ModelError),
    /// A system without fitted trials.
    #[error("`{0}` is no production system of this network's fitted trials")]
    UnknownSystem(String),
    /// A variety without fitted trials.
    #[error("`{0}` has no fitted trial in this network")]
    UnknownVariety(String),
}

/// A pack with its models solved.
#[derive(Debug, Clone)]
pub struct Advisor {
    pack: Pack,
    model: ForecastModel,
}

impl Advisor {
    /// Solves the models of a pack once; nothing is searched for.
    ///
    /// # Errors
    /// Parameters that do not belong to the pack's data.
    pub fn new(pack: Pack) -> Result<Advisor, AdvisorError> {
        let model = ForecastModel::rebuild(&pack.network, &pack.fitted)?;
        Ok(Advisor { pack, model })
    }

    /// The pack.
    pub fn pack(&self) -> &Pack {
        &self.pack
    }

    /// The solved models.
    pub fn model(&self) -> &ForecastModel {
        &self.model
    }

    /// Draws for the field and outlook of the settings.
    ///
    /// # Errors
    /// A system without fitted trials.
    pub fn draws(&self, settings: &Settings) -> Result<Draws, AdvisorError> {
        self.draw(settings, DRAWS, None)
    }

    /// Draws for the settings, sparing what `previous` has already drawn for the same field.
    ///
    /// # Errors
    /// A system without fitted trials.
    pub fn redraw(&self, previous: &Draws, settings: &Settings) -> Result<Draws, AdvisorError> {
        self.draw(settings, DRAWS, Some(previous))
    }

    /// As [`Advisor::draws`] with another number of draws, to see how far the number matters.
    ///
    /// # Errors
    /// A system without fitted trials.
    pub fn draws_of(&self, settings: &Settings, count: usize) -> Result<Draws, AdvisorError> {
        self.draw(settings, count, None)
    }

    fn draw(
        &self,
        settings: &Settings,
        count: usize,
        previous: Option<&Draws>,
    ) -> Result<Draws, AdvisorError> {
        let key = self.field_key(settings)?;
        let (site, zone) = (settings.site.as_deref(), settings.zone.as_deref());
        let climate = Climate::of(&self.pack.network, &settings.system, site, zone);
        let assumed = self.assumed(settings);
        Ok(Draws::new(&self.model, key, climate, settings.water, assumed, count, previous))
    }

    /// Whether draws answer for these settings too: same field, same outlook.
    pub fn serves(&self, draws: &Draws, settings: &Settings) -> bool {
        let (site, zone) = (settings.site.as_deref(), settings.zone.as_deref());
        self.field_key(settings).is_ok_and(|key| &key == draws.key())
            && settings.water == draws.outlook()
            && self.assumed(settings) == *draws.assumed()
            && *draws.climate().0 == Climate::of(&self.pack.network, &settings.system, site, zone)
    }

    /// What the settings assume of each threat: its pressure, and what a spray keeps off where one protects.
    fn assumed(&self, settings: &Settings) -> Assumed {
        let traits = &self.pack.network.traits;
        let protectable = |code: &str| traits.iter().any(|t| t.protectable && t.trait_ == code);
        let sprayed = |code: &str| settings.sprays.get(code).filter(|_| protectable(code));
        let threats = self.model.threats.iter();
        Assumed {
            pressure: threats.clone().map(|t| settings.diseases.get(&t.code).map(|p| p.share())).collect(),
            protection: threats.map(|t| sprayed(&t.code).map_or(0.0, |spray| spray.efficacy)).collect(),
        }
    }

    fn field_key(&self, settings: &Settings) -> Result<FieldKey, AdvisorError> {
        let system = self
            .model
            .prepared
            .systems
            .iter()
            .position(|s| *s == settings.system)
            .ok_or_else(|| AdvisorError::UnknownSystem(settings.system.clone()))?;
        let site =
            settings.site.as_ref().and_then(|code| self.model.prepared.sites.iter().position(|s| s == code));
        let usual = settings.usual.map(|usual| usual / self.unit_factor(settings));
        Ok(FieldKey { system, site, usual })
    }

    /// From the network's yield unit to that of the settings.
    fn unit_factor(&self, settings: &Settings) -> f64 {
        let info = &self.pack.network.info;
        factor(info.yield_unit, settings.unit, info.bushel_lb.unwrap_or(WHEAT_BUSHEL_LB))
    }

    /// The decision table of the settings, read off their draws.
    ///
    /// # Errors
    /// A system without fitted trials.
    pub fn table(&self, draws: &Draws, settings: &Settings) -> Result<OddsTable, AdvisorError> {
        let system = self.field_key(settings)?.system;
        let units = self.unit_factor(settings);
        let usual = draws.usual() * units;
        let money = Money::new(settings, usual);
        let break_even = money.map_or(BreakEven::Target(spoken(TARGET_SHARE * usual)), |m| m.break_even());
        let (climate, weights) = draws.climate();
        let range = outlook_range(climate, weights, settings.water);
        let candidates = self.candidates(draws, settings, range, units);
        let info = &self.pack.network.info;
        let check = info.checks.iter().find(|c| candidates.iter().any(|v| v.variety == **c));
        let varieties = odds(
            &candidates,
            &Question {
                money,
                break_even,
                price_scores: draws.price_scores(),
                order: settings.order,
                mine: settings.mine.as_deref(),
                check: check.map(String::as_str),
            },
        );
        let field = FieldSummary {
            usual,
            usual_given: settings.usual.is_some(),
            reference_set: self
                .model
                .reference
                .iter()
                .map(|&b| self.model.prepared.varieties[b].clone())
                .collect(),
            trials: self.model.prepared.trials.len() as u32,
            seasons: (
                self.model.prepared.seasons.first().copied().unwrap_or_default(),
                self.model.prepared.seasons.last().copied().unwrap_or_default(),
            ),
            water_slope: self.model.fitted.terms.water && self.model.prepared.water[system].is_some(),
        };
        Ok(OddsTable {
            settings: settings.clone(),
            outlook: self.outlook(draws, system),
            losses: self.model.fitted.form.losses.clone(),
            missing: self.missing(draws, system, money.is_some(), field.water_slope),
            field,
            break_even,
            varieties,
        })
    }

    fn candidates(
        &self,
        draws: &Draws,
        settings: &Settings,
        range: Option<(f64, f64)>,
        units: f64,
    ) -> Vec<Candidate> {
        let network = &self.pack.network;
        let standings = standings(network, &settings.system, range);
        let area = area_factor(network.info.yield_unit, settings.unit);
        let seed: BTreeMap<&str, f64> =
            network.varieties.iter().filter_map(|v| Some((v.variety.as_str(), v.seed_cost?))).collect();
        // A seed cost nobody knows is no advantage: the average of the others stands in.
        let average_seed = seed.values().sum::<f64>() / seed.len().max(1) as f64;
        let scaled = |values: &[f64]| values.iter().map(|x| x * units).collect::<Vec<f64>>();
        let codes = self.model.prepared.varieties.iter().enumerate();
        codes
            .map(|(block, code)| Candidate {
                variety: code.clone(),
                yields: scaled(draws.yields(block)),
                sorted: scaled(draws.sorted_yields(block)),
                long_run: scaled(draws.long_run(block)),
                seed_cost: seed.get(code.as_str()).copied().unwrap_or(average_seed) * area,
                seed_cost_known: seed.contains_key(code.as_str()),
                standing: standings.get(code).cloned().unwrap_or(Standing {
                    state: StandingState::New,
                    seasons: 0,
                    trials: 0,
                    trials_like_this: 0,
                    last: None,
                }),
            })
            .collect()
    }

    fn outlook(&self, draws: &Draws, system: usize) -> OutlookSummary {
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

    fn missing(&self, draws: &Draws, system: usize, money: bool, water_slope: bool) -> Vec<Missing> {
        let network = &self.pack.network;
        let source = draws.climate().0.source;
        let lost = network.trials.iter().any(|t| t.excluded == Some(Exclusion::Drought));
        let named = network.varieties.iter().any(|v| !v.name.is_empty() && v.name != v.variety);
        let sites_named = network.sites.iter().any(|s| !s.name.is_empty() && s.name != s.site);
        [
            (Missing::Water, source == ClimateSource::None),
            (
                Missing::LongClimate,
                matches!(source, ClimateSource::TrialSeasons | ClimateSource::NetworkSeasons),
            ),
            (Missing::WaterSlope, source != ClimateSource::None && !water_slope),
            (Missing::Ratings, network.ratings.is_empty()),
            (Missing::Pressure, network.pressure.is_empty()),
            (Missing::DiseaseLosses, !network.ratings.is_empty() && self.model.threats.is_empty()),
            (Missing::ErrorVariances, !self.model.prepared.errors_known[system]),
            (Missing::DroughtLosses, !lost),
            (Missing::Money, !money),
            (Missing::SiteNames, !sites_named),
            (Missing::VarietyNames, !named),
        ]
        .into_iter()
        .filter_map(|(what, absent)| absent.then_some(what))
        .collect()
    }

    /// One variety in detail: its response to water, its long-run difference, every trial it stood in.
    ///
    /// # Errors
    /// A system or a variety without fitted trials.
    pub fn detail(
        &self,
        draws: &Draws,
        settings: &Settings,
        variety: &str,
    ) -> Result<VarietyDetail, AdvisorError> {
        let key = self.field_key(settings)?;
        let block = self
            .model
            .prepared
            .block(variety)
            .map_err(|_| AdvisorError::UnknownVariety(variety.to_owned()))?;
        let units = self.unit_factor(settings);
        let (climate, weights) = draws.climate();
        let reached: f64 = climate
            .seasons
            .iter()
            .zip(weights)
            .map(|(s, w)| w * self.model.slope_water(key.system, self.model.standard_water(key.system, s.1)))
            .sum();
        let scale = self.model.prepared.scale[key.system] * units;
        let (difference, error) = draws.law().difference(block, reached);
        Ok(VarietyDetail {
            variety: variety.to_owned(),
            response: self.response(draws, key.system, block, units),
            difference: (difference * scale, error * scale),
            difference_80: (
                (difference - NORMAL_80 * error) * scale,
                (difference + NORMAL_80 * error) * scale,
            ),
            trials: trial_records(&self.pack.network, variety, units),
            losses: self.losses(block, variety),
        })
    }

    /// What a severe attack of each threat takes from one variety.
    fn losses(&self, block: usize, variety: &str) -> Vec<VarietyLoss> {
        let ratings = &self.pack.network.ratings;
        let threats = self.model.threats.iter().zip(&self.model.fitted.form.losses);
        threats
            .map(|(threat, loss)| VarietyLoss {
                trait_: threat.code.clone(),
                severe: loss.estimate.clamp(0.0, 1.0) * threat.susceptibility[block],
                rated: ratings.iter().any(|r| r.variety == variety && r.trait_ == threat.code),
            })
            .collect()
    }

    fn response(&self, draws: &Draws, system: usize, block: usize, units: f64) -> Vec<ResponsePoint> {
        let climate = draws.climate().0;
        let (Some(scale), Some(driest), Some(wettest)) =
            (self.model.prepared.water[system], climate.seasons.first(), climate.seasons.last())
        else {
            return Vec::new();
        };
        (0..RESPONSE_POINTS)
            .map(|k| {
                let water = driest.1 + (wettest.1 - driest.1) * k as f64 / (RESPONSE_POINTS - 1) as f64;
                let mut yields = draws.at_water(&self.model, block, scale.standard(water));
                yields.sort_by(f64::total_cmp);
                ResponsePoint {
                    water,
                    median: quantile(&yields, 0.5) * units,
                    low80: quantile(&yields, 0.1) * units,
                    high80: quantile(&yields, 0.9) * units,
                }
            })
            .collect()
    }
}

/// A target as people say it: two significant figures.
fn spoken(target: f64) -> f64 {
    if target <= 0.0 {
        return 0.0;
    }
    let unit = 10f64.powf(target.log10().floor() - 1.0);
    (target / unit).round() * unit
}

/// Every trial of a variety, newest first.
fn trial_records(network: &Network, variety: &str, units: f64) -> Vec<TrialRecord> {
    let mut sums: BTreeMap<&str, (f64, u32)> = BTreeMap::new();
    for mean in &network.means {
        let slot = sums.entry(&mean.trial).or_default();
        slot.0 += mean.yield_;
        slot.1 += 1;
    }
    let trials: BTreeMap<&str, &crate::pack::Trial> =
        network.trials.iter().map(|t| (t.trial.as_str(), t)).collect();
    let mut records: Vec<TrialRecord> = network
        .means
        .iter()
        .filter(|m| m.variety == variety)
        .filter_map(|m| {
            let trial = trials.get(m.trial.as_str())?;
            let (sum, count) = sums[m.trial.as_str()];
            Some(TrialRecord {
                trial: trial.trial.clone(),
                site: trial.site.clone(),
                season: trial.season,
                system: trial.system.clone(),
                water: trial.water,
                yield_: m.yield_ * units,
                deviation: (m.yield_ - sum / f64::from(count)) * units,
                varieties: count,
                excluded: trial.excluded,
            })
        })
        .collect();
    records.sort_by(|a, b| b.season.cmp(&a.season).then(a.trial.cmp(&b.trial)));
    records
}
