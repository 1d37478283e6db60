//! Two to four varieties side by side, from the draws of the field.

use super::super::account::Account;
use super::super::compare::{Compared, Comparison, Duel, MOST_SIDE_BY_SIDE, Pair, ThreatLoss};
use super::super::law::mean;
use super::super::tipping::{Curves, Lever, TippingPoint, crossing};
use super::levers::{Field, Place};
use super::{Advisor, AdvisorError};
use crate::forecast::draws::Draws;
use crate::forecast::five_seasons::Year;
use crate::link::Settings;

impl Advisor {
    /// Varieties side by side under the settings: the first four asked for, each once.
    ///
    /// # Errors
    /// A variety without fitted trials.
    pub fn compare(
        &self,
        draws: &Draws,
        settings: &Settings,
        varieties: &[String],
    ) -> Result<Comparison, AdvisorError> {
        let mut blocks: Vec<usize> = Vec::new();
        for code in varieties.iter().take(MOST_SIDE_BY_SIDE) {
            let block = self.block(code)?;
            if !blocks.contains(&block) {
                blocks.push(block);
            }
        }
        let account = self.account(draws, settings);
        let (pairs, five) = self.pairs(draws, &account, &blocks);
        Ok(Comparison {
            in_money: account.money.is_some(),
            pairs,
            varieties: blocks
                .iter()
                .zip(five)
                .map(|(&block, five_seasons)| Compared {
                    variety: self.model.prepared.varieties[block].clone(),
                    five_seasons,
                    losses: self.threat_losses(draws, &account, block),
                })
                .collect(),
            tipping: self.tipping(Field { advisor: self, draws, settings }, &blocks),
        })
    }

    /// Two varieties against each other, without the search for where they change places; `None` where no chain of
    /// trials joins them.
    ///
    /// # Errors
    /// A variety without fitted trials.
    pub fn duel(
        &self,
        draws: &Draws,
        settings: &Settings,
        a: &str,
        b: &str,
    ) -> Result<Option<Pair>, AdvisorError> {
        let blocks = [self.block(a)?, self.block(b)?];
        Ok(self.pairs(draws, &self.account(draws, settings), &blocks).0.pop())
    }

    /// Every two of some varieties that trials join, and what each comes to a year over five seasons.
    fn pairs(&self, draws: &Draws, account: &Account, blocks: &[usize]) -> (Vec<Pair>, Vec<f64>) {
        let years = draws.five_seasons(&self.model, blocks);
        let prices = account.prices(draws.price_scores());
        let one: Vec<Vec<f64>> =
            blocks.iter().map(|&block| account.outcomes(block, draws.yields(block), &prices)).collect();
        let five: Vec<Vec<f64>> =
            blocks.iter().enumerate().map(|(k, &block)| averages(account, block, &years, k)).collect();
        let code = |k: usize| self.model.prepared.varieties[blocks[k]].clone();
        let pairs = self.pairs_of(blocks).map(|(a, b)| Pair {
            a: code(a),
            b: code(b),
            one_season: Duel::of(&one[a], &one[b]),
            five_seasons: Duel::of(&five[a], &five[b]),
        });
        (pairs.collect(), five.iter().map(|draws| mean(draws)).collect())
    }

    /// What each disease and pest takes from a variety in the season assumed: its grain if each were kept off.
    fn threat_losses(&self, draws: &Draws, account: &Account, block: usize) -> Vec<ThreatLoss> {
        let here = mean(&account.grain(block, draws.yields(block)));
        let code = &self.model.prepared.varieties[block];
        let losses = self.losses(block, code).into_iter().enumerate().map(|(d, loss)| {
            let mut protection = draws.assumed().protection.clone();
            protection[d] = 1.0;
            let without = account.grain(block, &draws.yields_with(&self.model, block, &protection));
            let lost = mean(&without) - here;
            ThreatLoss { trait_: loss.trait_, lost, severe: loss.severe, rated: loss.rated }
        });
        losses.collect()
    }

    /// Places of every two of some varieties (blocks) that trials join.
    fn pairs_of<'a>(&'a self, blocks: &'a [usize]) -> impl Iterator<Item = (usize, usize)> + 'a {
        let count = blocks.len();
        (0..count)
            .flat_map(move |a| (a + 1..count).map(move |b| (a, b)))
            .filter(|&(a, b)| self.are_joined(blocks[a], blocks[b]))
    }

    fn tipping(&self, field: Field<'_>, blocks: &[usize]) -> Vec<TippingPoint> {
        let code = |k: usize| self.model.prepared.varieties[blocks[k]].clone();
        let mut points = Vec::new();
        for lever in field.levers(false) {
            let Some((now, grid)) = field.grid(&lever) else { continue };
            let places: Vec<Place> = grid.iter().map(|value| field.place(&lever, *value)).collect();
            let expected: Vec<Vec<f64>> = blocks
                .iter()
                .map(|&block| places.iter().map(|p| field.outcomes(p, block).expected()).collect())
                .collect();
            let lasting: Vec<Vec<Vec<f64>>> = blocks
                .iter()
                .map(|&block| places.iter().map(|p| field.lasting(p, block)).collect())
                .collect();
            for (a, b) in self.pairs_of(blocks) {
                let curves = Curves {
                    grid: grid.clone(),
                    expected: less(&expected[a], &expected[b]),
                    lasting: lasting[a].iter().zip(&lasting[b]).map(|(x, y)| less(x, y)).collect(),
                };
                let found = crossing(&curves, now, |value| {
                    let place = field.place(&lever, value);
                    field.outcomes(&place, blocks[a]).expected()
                        - field.outcomes(&place, blocks[b]).expected()
                });
                points.push(TippingPoint {
                    a: code(a),
                    b: code(b),
                    lever: lever.clone(),
                    now,
                    range: (grid[0], grid[grid.len() - 1]),
                    at: found.at,
                    first_ahead_above: found.rises,
                    set80: found.set80,
                    crossing: found.share,
                });
            }
        }
        points
    }

    /// What one variety is expected to come to with a lever at a value: money per area, or yield where there is
    /// no money. Two varieties are level at their tipping point.
    ///
    /// # Errors
    /// A variety without fitted trials.
    pub fn expected_at(
        &self,
        draws: &Draws,
        settings: &Settings,
        variety: &str,
        lever: &Lever,
        value: f64,
    ) -> Result<f64, AdvisorError> {
        let field = Field { advisor: self, draws, settings };
        let block = self.block(variety)?;
        Ok(field.outcomes(&field.place(lever, value), block).expected())
    }
}

fn less(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(x, y)| x - y).collect()
}

/// Average outcome a year of the k-th variety of five years.
fn averages(account: &Account, block: usize, years: &[Year], k: usize) -> Vec<f64> {
    let mut sum = vec![0.0; years.first().map_or(0, |year| year.price_scores.len())];
    for year in years {
        let outcomes = account.outcomes(block, &year.yields[k], &account.prices(&year.price_scores));
        sum.iter_mut().zip(outcomes).for_each(|(total, x)| *total += x);
    }
    sum.iter_mut().for_each(|total| *total /= years.len() as f64);
    sum
}
