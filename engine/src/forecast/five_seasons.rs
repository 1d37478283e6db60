//! Five seasons in a row on one field: what lasts is drawn once, what a season brings is drawn five times.
//!
//! Once in each draw: the differences and slopes of varieties, the field's level and its response to water,
//! the losses to diseases. Anew each year, from numbers of its own: water, diseases, harvest or none, the
//! season's and the field's departure from the level, each variety's own departure, the price. The first year
//! is that of the draws, under the outlook assumed; the others come as they come. Protection is as assumed in
//! all five. It knows no money.

use super::draws::Draws;
use super::losses::shares_lost;
use super::model::ForecastModel;
use super::season_draws::{Own, SeasonDraws, own_departure, price_scores};
use crate::link::WaterOutlook;

/// Seasons looked ahead.
pub const YEARS: u64 = 5;

/// One year of the five.
#[derive(Debug, Clone, PartialEq)]
pub struct Year {
    /// Yields of each variety asked for, N draws each, network unit.
    pub yields: Vec<Vec<f64>>,
    /// Standard normal number for the price of each draw.
    pub price_scores: Vec<f64>,
}

impl Draws {
    /// Five years of the varieties (blocks) asked for, draw by draw on the same field.
    pub fn five_seasons(&self, model: &ForecastModel, blocks: &[usize]) -> Vec<Year> {
        (0..YEARS).map(|year| self.year(model, blocks, year)).collect()
    }

    fn year(&self, model: &ForecastModel, blocks: &[usize], year: u64) -> Year {
        let price_scores = price_scores(&self.points, year);
        if year == 0 {
            let yields = blocks.iter().map(|&block| self.yields(block).to_vec()).collect();
            return Year { yields, price_scores };
        }
        let (field, count) = (&self.field, self.count());
        let weights = field.place.climate.weights(WaterOutlook::Any);
        let as_they_come = vec![None; model.threats.len()];
        let season = SeasonDraws::drawn(model, field, &self.points, &weights, &as_they_come, year);
        let hits = season.strikes(field, &self.assumed.protection);
        let scale = model.prepared.scale[field.key.system];
        let yields = blocks
            .iter()
            .map(|&block| {
                let departure = own_departure(&self.points, block, year);
                let own = Own { departure: &departure, ..field.own(block) };
                let lost = shares_lost(&model.threats, &field.place.unrated, block, &hits, count);
                season.yields(own, &lost, scale)
            })
            .collect();
        Year { yields, price_scores }
    }
}
