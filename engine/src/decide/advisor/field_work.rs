//! What can be done on the field: sprays, cattle, and how the money is worked out.

use super::super::account::Account;
use super::super::grazing::{Grazed, Grazing, KeepOn, VarietyGrazing, income, recovery_trait, spared};
use super::super::law::mean;
use super::super::sprays::{SprayWorth, Spraying, WithAndWithout, worth};
use super::super::units::{WHEAT_BUSHEL_LB, area_factor};
use super::super::worked::{WorkedLine, worked};
use super::{Advisor, AdvisorError};
use crate::forecast::draws::Draws;
use crate::link::Settings;
use crate::pack::Trait;

/// Days that "a week late" means.
const WEEK: f64 = 7.0;

impl Advisor {
    /// What each spray that protects is worth on one variety under the settings, in the order of the model's
    /// threats. The reader's cost and efficacy where the settings have them, the network's otherwise.
    ///
    /// # Errors
    /// A variety without fitted trials.
    pub fn sprays(
        &self,
        draws: &Draws,
        settings: &Settings,
        variety: &str,
    ) -> Result<Vec<SprayWorth>, AdvisorError> {
        let block = self.block(variety)?;
        let account = self.account(draws, settings);
        let area = area_factor(self.pack.network.info.yield_unit, settings.unit);
        let sprays = self.model.threats.iter().enumerate().filter_map(|(d, threat)| {
            let about = self.pack.network.traits.iter().find(|t| t.trait_ == threat.code)?;
            let spraying = spraying(about, settings, area)?;
            let mut protection = draws.assumed().protection.clone();
            protection[d] = spraying.efficacy;
            let with = draws.yields_with(&self.model, block, &protection);
            protection[d] = 0.0;
            let without = draws.yields_with(&self.model, block, &protection);
            let prices = &account.prices(draws.price_scores());
            let pair = WithAndWithout { block, with: &with, without: &without, prices };
            Some(worth(&account, pair, spraying))
        });
        Ok(sprays.collect())
    }

    /// How what is left after costs is worked out for one variety; empty without price and cost.
    ///
    /// # Errors
    /// A variety without fitted trials.
    pub fn worked(
        &self,
        draws: &Draws,
        settings: &Settings,
        variety: &str,
    ) -> Result<Vec<WorkedLine>, AdvisorError> {
        let block = self.block(variety)?;
        let account = self.account(draws, settings);
        Ok(worked(settings, &account, block, draws.yields(block), &account.prices(draws.price_scores())))
    }

    /// Grazing under the settings, every variety in the order of the model's blocks. Asked without cattle it
    /// says what cattle off in time would cost.
    pub fn grazing(&self, draws: &Draws, settings: &Settings) -> Grazing {
        let network = &self.pack.network;
        let off = settings.off.filter(|_| settings.graze);
        let grazed = Settings { graze: true, off, ..settings.clone() };
        let account = self.account(draws, &grazed);
        let spared = spared(settings, network.info.bushel_lb.unwrap_or(WHEAT_BUSHEL_LB));
        let recovery = recovery_trait(network);
        let known: Vec<f64> = account.hollow_stem.iter().flatten().copied().collect();
        let average = if known.is_empty() { 0.0 } else { mean(&known) };
        let codes = self.model.prepared.varieties.iter().enumerate();
        let varieties = codes.map(|(block, code)| {
            let off_by = account.hollow_stem[block];
            let days_past = off.map_or(0.0, |off| (off - off_by.unwrap_or(average)).max(0.0));
            let rated = recovery.and_then(|t| network.ratings_of(&t.trait_).get(code.as_str()).copied());
            VarietyGrazing {
                variety: code.clone(),
                off_by,
                days_past,
                recovery: rated,
                recovers_poorly: recovery.zip(rated).and_then(|(about, value)| poor(about, value)),
                ..grazed_variety(&grazed, &account, block, draws.yields(block), spared)
            }
        });
        let all_known = [settings.graze_days, settings.gain, settings.value].iter().all(Option::is_some);
        Grazing {
            income: all_known.then(|| income(&grazed)),
            spared,
            recovery_trait: recovery.map(|t| t.trait_.clone()),
            counted_from: network.info.checks.first().cloned(),
            varieties: varieties.collect(),
        }
    }
}

/// The spray against a disease or pest; `None` where none protects.
fn spraying<'a>(about: &'a Trait, settings: &Settings, area: f64) -> Option<Spraying<'a>> {
    let own = settings.sprays.get(&about.trait_);
    Some(Spraying {
        trait_: &about.trait_,
        cost: own.map(|spray| spray.cost).or(about.spray_cost.map(|cost| cost * area)),
        efficacy: own.map(|spray| spray.efficacy).or(about.efficacy).filter(|_| about.protectable)?,
        sprayed: own.is_some(),
    })
}

/// What cattle take from one variety, now and a week past its day.
fn grazed_variety(
    settings: &Settings,
    account: &Account,
    block: usize,
    yields: &[f64],
    spared: f64,
) -> VarietyGrazing {
    let own = &account.terms[block];
    let ungrazed = mean(yields) * account.units;
    let grain = |grazed: Grazed| {
        yields.iter().map(|y| grazed.grain(y * account.units)).sum::<f64>() / yields.len() as f64
    };
    let week_late = grain(Grazed::days_past(0.0, spared)) - grain(Grazed::days_past(WEEK, spared));
    let margin = account.margin() - own.dock;
    let day = settings.gain.zip(settings.value).filter(|_| account.money.is_some());
    VarietyGrazing {
        variety: String::new(),
        off_by: None,
        days_past: 0.0,
        lost: own.grazed.lost(),
        grain_lost: ungrazed - grain(own.grazed),
        week_late,
        week_late_money: account.money.map(|_| week_late * margin),
        keep_on: day.map(|(gain, value)| KeepOn::a_day(gain, value, ungrazed, margin)),
        recovery: None,
        recovers_poorly: None,
    }
}

/// Whether a rating lies in the worse half of its scale.
fn poor(about: &Trait, value: f64) -> Option<bool> {
    let (best, worst) = about.best.zip(about.worst)?;
    Some((value - best) / (worst - best) > 0.5)
}
