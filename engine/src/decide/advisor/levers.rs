//! The field with one thing changed: what varieties are expected to come to there, and what of it lasts.

use super::super::account::Account;
use super::super::change::Outcomes;
use super::super::tipping::Lever;
use super::Advisor;
use crate::forecast::draws::Draws;
use crate::forecast::season_draws::MetSeason;
use crate::link::{Order, Settings};

/// Points looked at between the least and the most of a lever.
const WATERS: usize = 13;
const PRICES: usize = 5;
const PRESSURES: usize = 5;
/// Least and most price or cost looked at, as shares of the one that stands.
const MONEY_RANGE: (f64, f64) = (0.5, 2.0);

/// A field whose levers can be moved.
#[derive(Debug, Clone, Copy)]
pub(super) struct Field<'a> {
    pub advisor: &'a Advisor,
    pub draws: &'a Draws,
    pub settings: &'a Settings,
}

/// A lever at one place.
#[derive(Debug, Clone)]
pub(super) struct Place {
    account: Account,
    /// Price of each draw.
    prices: Vec<f64>,
    /// Seasons as drawn.
    drawn: MetSeason,
    /// What each draw has in common with itself in all seasons.
    lasting: MetSeason,
    /// Whether failures stand apart from the draws.
    failures_apart: bool,
}

/// Weight of the average beside a chance: equal counts go to the better average, as in the list, and no count is
/// overturned.
const TIE: f64 = 1e-9;

impl Place {
    /// What a list in this order puts a variety's place by; more is better.
    pub fn merit(&self, field: Field<'_>, block: usize, order: Order) -> f64 {
        let outcomes = field.outcomes(self, block);
        let merit = outcomes.merit(order, self.account.line());
        match order {
            Order::ChanceShort => merit + TIE * outcomes.expected(),
            Order::Net | Order::WorstFifth => merit,
        }
    }
}

impl Field<'_> {
    /// The levers that mean something here; cost only where it can change an order.
    pub fn levers(&self, with_cost: bool) -> Vec<Lever> {
        let advisor = self.advisor;
        let system = self.draws.key().system;
        let watered =
            advisor.model.prepared.water[system].is_some() && self.draws.climate().0.seasons.len() > 1;
        let mut levers = Vec::new();
        if watered {
            levers.push(Lever::Water);
        }
        if advisor.account(self.draws, self.settings).money.is_some() {
            levers.push(Lever::Price);
            if with_cost {
                levers.push(Lever::Cost);
            }
        }
        levers.extend(advisor.model.threats.iter().map(|t| Lever::Disease(t.code.clone())));
        levers
    }

    /// Where the lever stands, and the points to look at, ascending; `None` where it has no range.
    pub fn grid(&self, lever: &Lever) -> Option<(f64, Vec<f64>)> {
        let (now, low, high, points) = match lever {
            Lever::Water => {
                let (climate, weights) = self.draws.climate();
                let now = climate.seasons.iter().zip(weights).map(|(s, w)| s.1 * w).sum();
                (now, climate.seasons.first()?.1, climate.seasons.last()?.1, WATERS)
            }
            Lever::Price => {
                let now = self.settings.price?;
                (now, MONEY_RANGE.0 * now, MONEY_RANGE.1 * now, PRICES)
            }
            Lever::Cost => {
                let now = self.settings.cost?;
                (now, MONEY_RANGE.0 * now, MONEY_RANGE.1 * now, WATERS)
            }
            Lever::Disease(code) => {
                let threat = self.threat(code)?;
                (*self.draws.season().mean_pressures().get(threat)?, 0.0, 1.0, PRESSURES)
            }
        };
        let step = (high - low) / (points - 1) as f64;
        (step > 0.0).then(|| (now, (0..points).map(|k| low + step * k as f64).collect()))
    }

    /// The field with a lever at a value.
    pub fn place(&self, lever: &Lever, value: f64) -> Place {
        let (advisor, draws) = (self.advisor, self.draws);
        let account = |settings: &Settings| advisor.account(draws, settings);
        let plain = || (draws.season().clone(), draws.season().typical());
        let (account, (drawn, lasting)) = match lever {
            Lever::Water => {
                let water = advisor.model.standard_water(draws.key().system, value);
                let seasons =
                    (draws.season_at(&advisor.model, water), draws.typical_season_at(&advisor.model, water));
                (account(self.settings), seasons)
            }
            Lever::Price => (account(&Settings { price: Some(value), ..self.settings.clone() }), plain()),
            Lever::Cost => (account(&Settings { cost: Some(value), ..self.settings.clone() }), plain()),
            Lever::Disease(code) => {
                let threat = self.threat(code).unwrap_or(usize::MAX);
                let (drawn, lasting) = plain();
                let seasons = (drawn.with_pressure(threat, value), lasting.with_pressure(threat, value));
                (account(self.settings), seasons)
            }
        };
        let met = |season| draws.met(season, &draws.assumed().protection);
        let (drawn, lasting) = (met(drawn), met(lasting));
        let prices = account.prices(draws.price_scores());
        Place { account, prices, drawn, lasting, failures_apart: *lever == Lever::Water }
    }

    /// What a variety (block) comes to at a place.
    pub fn outcomes(&self, place: &Place, block: usize) -> Outcomes {
        let yields = self.draws.yields_in(&self.advisor.model, &place.drawn, block);
        Outcomes {
            draws: place.account.outcomes(block, &yields, &place.prices),
            failing: if place.failures_apart { place.drawn.season.chance_no_harvest } else { 0.0 },
            at_nothing: place.account.outcome(block, 0.0, place.account.mean_price()),
        }
    }

    /// What of that lasts, draw by draw: departures averaged out, the price at its mean.
    pub fn lasting(&self, place: &Place, block: usize) -> Vec<f64> {
        let yields = self.draws.yields_in(&self.advisor.model, &place.lasting, block);
        let (account, price) = (&place.account, place.account.mean_price());
        let failing = place.lasting.season.chance_no_harvest;
        let nothing = failing * account.outcome(block, 0.0, price);
        let harvested = |y: &f64| (1.0 - failing) * account.outcome(block, y * account.units, price);
        yields.iter().map(|y| harvested(y) + nothing).collect()
    }

    fn threat(&self, code: &str) -> Option<usize> {
        self.advisor.model.threats.iter().position(|t| t.code == code)
    }
}
