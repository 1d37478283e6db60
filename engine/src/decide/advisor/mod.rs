//! The one door from settings to answers: a pack made ready, asked for draws, tables and details.
//!
//! Draws are the costly part and depend on the field and the outlook alone; tables read money and order
//! off them. Everything leaves in the unit of the settings. Each answer has a file here: [`table`](Advisor::table)
//! in this one, the others in theirs. It writes no sentence.

mod acres;
mod change;
mod compare;
mod details;
mod field_work;
mod levers;
mod parts;

use super::account::Account;
use super::odds::{Question, odds, sort};
use super::standing::{Tested, outlook_range};
use super::table::OddsTable;
use super::units::{WHEAT_BUSHEL_LB, factor};
use crate::forecast::draws::{Assumed, Draws, FieldKey};
use crate::forecast::model::{ForecastModel, ModelError};
use crate::forecast::random::DRAWS;
use crate::link::{Order, Settings};
use crate::pack::Pack;
use crate::season::climate::Climate;
use thiserror::Error;

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
    tested: Tested,
}

impl Advisor {
    /// Solves the models of a pack once; nothing is searched for.
    ///
    /// # Errors
    /// Parameters that do not belong to the pack's data.
    pub fn new(pack: Pack) -> Result<Advisor, AdvisorError> {
        let model = ForecastModel::rebuild(&pack.network, &pack.fitted)?;
        let tested = Tested::of(&pack.network, &model.prepared);
        Ok(Advisor { pack, model, tested })
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
        let sprayed = |code: &str| settings.sprays.get(code).filter(|_| self.pack.network.protects(code));
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

    /// Whether a chain of trials joins two varieties (blocks), so that more than the model's prior compares them.
    pub(crate) fn are_joined(&self, a: usize, b: usize) -> bool {
        self.tested.joined(a) == self.tested.joined(b)
    }

    /// Block of a variety.
    fn block(&self, variety: &str) -> Result<usize, AdvisorError> {
        self.model.prepared.block(variety).map_err(|_| AdvisorError::UnknownVariety(variety.to_owned()))
    }

    /// What yields are worth under the settings, variety by variety in the order of the model's blocks.
    pub fn account(&self, draws: &Draws, settings: &Settings) -> Account {
        Account::new(&self.pack.network, settings, &self.model.prepared.varieties, draws.usual())
    }

    /// A table of the same settings but for the order.
    pub fn reordered(&self, table: &OddsTable, order: Order) -> OddsTable {
        let mut table = table.clone();
        table.settings.order = order;
        sort(&mut table.varieties, order);
        table
    }

    /// The decision table of the settings, read off their draws.
    ///
    /// # Errors
    /// A system without fitted trials.
    pub fn table(&self, draws: &Draws, settings: &Settings) -> Result<OddsTable, AdvisorError> {
        let system = self.field_key(settings)?.system;
        let account = self.account(draws, settings);
        let (climate, weights) = draws.climate();
        let range = outlook_range(climate, weights, settings.water);
        let standings = self.tested.standings(system, range);
        let candidates = self.candidates(draws, settings, standings, &account);
        let info = &self.pack.network.info;
        let check = info.checks.iter().find(|c| candidates.iter().any(|v| v.variety == **c));
        let varieties = odds(
            &candidates,
            &Question {
                money: account.money,
                break_even: account.break_even,
                prices: &account.prices(draws.price_scores()),
                level: draws.season().mean_level() * self.model.prepared.scale[system] * account.units,
                net_law: settings.money_unit,
                order: settings.order,
                mine: settings.mine.as_deref(),
                check: check.map(String::as_str),
            },
        );
        let field = self.field(settings, system, &account);
        Ok(OddsTable {
            settings: settings.clone(),
            outlook: self.outlook(draws, system),
            losses: self.model.fitted.form.losses.clone(),
            missing: self.missing(draws, system, account.money.is_some(), field.water_slope),
            field,
            break_even: account.break_even,
            varieties,
        })
    }
}
