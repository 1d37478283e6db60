//! A short name for a network's data, by which a link tells whether it was made on the same data.
//!
//! Knows which fields are data and which are words; knows nothing of links.

use super::tables::{Network, Trial};
use sha2::{Digest, Sha256};

/// Eight hexadecimal digits of SHA-256 over what the odds are worked out from: the units; every trial (site,
/// season, system, water, reported error, excluded); every mean and plot; the zone of every site; water of past
/// seasons; each trait's kind, scale and loss; ratings; pressures.
///
/// Left out, because changing them changes no trial result and must break no link: names, labels, notes,
/// coordinates, origin, the shortlist, the list of checks, prices and costs, defaults, and everything fitted.
/// Rows are put in order and numbers to ten figures, so that a file sorted or formatted otherwise is the same
/// file, also where means are worked out from plots and their last bits follow the order of the plots. Blank
/// and zero differ.
pub fn fingerprint(network: &Network) -> String {
    let mut hash = Sha256::new();
    for table in tables(network) {
        hash.update((table.len() as u64).to_le_bytes());
        for row in table {
            hash.update(row);
        }
    }
    hash.finalize().iter().take(4).map(|byte| format!("{byte:02x}")).collect()
}

fn tables(network: &Network) -> Vec<Vec<Vec<u8>>> {
    let info = &network.info;
    let units =
        Row::new().text(info.yield_unit.symbol()).number(info.bushel_lb).text(info.water_unit.symbol());
    let means = network.means.iter().map(|mean| {
        Row::new().text(&mean.trial).text(&mean.variety).number(Some(mean.yield_)).number(mean.plots)
    });
    let plots = network.plots.iter().map(|plot| {
        let row = Row::new().text(&plot.trial).text(&plot.rep).optional_text(plot.block.as_deref());
        row.number(plot.row).number(plot.col).text(&plot.variety).number(plot.yield_)
    });
    let sites = network.sites.iter().map(|site| Row::new().text(&site.site).text(&site.zone));
    let water = network.water.iter().map(|record| {
        Row::new().text(&record.site).year(record.season).text(&record.system).number(Some(record.water))
    });
    let traits = network.traits.iter().map(|trait_| {
        let row = Row::new().text(&trait_.trait_).text(&format!("{:?}", trait_.kind));
        let row = row.number(trait_.best).number(trait_.worst);
        row.number(trait_.severe_loss).number(trait_.severe_loss_sd)
    });
    let ratings = network.ratings.iter().map(|rating| {
        let row = Row::new().text(&rating.variety).text(&rating.trait_);
        row.number(Some(rating.value)).number(rating.seasons)
    });
    let pressure = network.pressure.iter().map(|pressure| {
        let value = Some(f64::from(pressure.pressure));
        Row::new().text(&pressure.trial).text(&pressure.trait_).number(value)
    });
    vec![
        sorted([units]),
        sorted(network.trials.iter().map(trial_row)),
        sorted(means),
        sorted(plots),
        sorted(sites),
        sorted(water),
        sorted(traits),
        sorted(ratings),
        sorted(pressure),
    ]
}

fn trial_row(trial: &Trial) -> Row {
    let error = &trial.error;
    Row::new()
        .text(&trial.trial)
        .text(&trial.site)
        .year(trial.season)
        .text(&trial.system)
        .number(trial.water)
        .number(error.reps)
        .number(error.error_ms)
        .number(error.lsd)
        .number(error.lsd_level)
        .number(error.cv)
        .optional_text(trial.excluded.map(|reason| format!("{reason:?}")).as_deref())
}

fn sorted(rows: impl IntoIterator<Item = Row>) -> Vec<Vec<u8>> {
    let mut rows: Vec<Vec<u8>> = rows.into_iter().map(|row| row.0).collect();
    crate::order::sort_by(&mut rows, Ord::cmp);
    rows
}

/// A row's values, each with its length before it, so that no two rows run into the same bytes.
struct Row(Vec<u8>);

impl Row {
    fn new() -> Self {
        Row(Vec::new())
    }
    fn text(mut self, text: &str) -> Self {
        self.0.extend((text.len() as u64).to_le_bytes());
        self.0.extend(text.as_bytes());
        self
    }
    fn optional_text(mut self, text: Option<&str>) -> Self {
        self.0.push(u8::from(text.is_some()));
        self.text(text.unwrap_or_default())
    }
    fn number(self, number: Option<f64>) -> Self {
        self.optional_text(number.map(|number| format!("{number:.9e}")).as_deref())
    }
    fn year(self, year: i32) -> Self {
        self.text(&year.to_string())
    }
}

#[cfg(test)]
#[path = "fingerprint_tests.rs"]
mod tests;
