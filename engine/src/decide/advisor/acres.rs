//! Acres split over varieties, from the draws of the field.

use super::super::acres::{AcrePlan, AcreQuestion, Grown, plan};
use super::super::needs::failures;
use super::super::standing::outlook_range;
use super::super::table::Standing;
use super::Advisor;
use crate::forecast::draws::Draws;
use crate::link::Settings;

impl Advisor {
    /// The reader's split, the best single variety and the split that helps most, under the settings. Chosen are
    /// those that are proven for such a season and have everything needed; others only where the reader has
    /// given them acres.
    pub fn acres(&self, draws: &Draws, settings: &Settings) -> AcrePlan {
        self.plan(draws, settings, true)
    }

    /// The reader's split alone: nothing is searched for, so that it can follow a finger.
    pub fn split(&self, draws: &Draws, settings: &Settings) -> AcrePlan {
        self.plan(draws, settings, false)
    }

    fn plan(&self, draws: &Draws, settings: &Settings, search: bool) -> AcrePlan {
        let network = &self.pack.network;
        let account = self.account(draws, settings);
        let codes = &self.model.prepared.varieties;
        let prices = account.prices(draws.price_scores());
        let (climate, weights) = draws.climate();
        let range = outlook_range(climate, weights, settings.water);
        let standings = self.tested.standings(draws.key().system, range);
        let fails = failures(network, &settings.need, codes.iter());
        let typed = |code: &String| settings.acres.iter().any(|(variety, _)| variety == code);
        let grown = codes.iter().enumerate().zip(fails).filter_map(|((block, code), fails)| {
            let proven = standings.get(block).is_some_and(Standing::proven);
            let may_choose = search && fails.is_empty() && (proven || typed(code));
            (may_choose || typed(code)).then(|| Grown {
                variety: code.clone(),
                grain: account.grain(block, draws.yields(block)),
                outcome: account.outcomes(block, draws.yields(block), &prices),
                severe: self.losses(block, code).into_iter().map(|loss| loss.severe).collect(),
                may_choose,
            })
        });
        let threats: Vec<String> = self.model.threats.iter().map(|t| t.code.clone()).collect();
        let question = AcreQuestion {
            account: &account,
            threats: &threats,
            acres: &settings.acres,
            at_most: settings.at_most,
            min_acres: settings.min_acres,
        };
        plan(&grown.collect::<Vec<Grown>>(), &question)
    }
}
