//! What fills the slots of a page: from a network's answers to title, static table and pack.
//!
//! It asks the decision the questions that the static table answers and words nothing itself.

use super::static_table::{StaticSystem, static_table};
use super::{PageError, StaticWords};
use crate::decide::{Advisor, ClimateSource, OddsTable};
use crate::link::{Settings, WaterOutlook};

/// The system of a network that names none; it needs no heading.
const ONE_SYSTEM: &str = "all";

/// What fills a page's three slots, in the order that [`super::Shell::fill`] takes them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PageContent {
    /// Title, plain text.
    pub title: String,
    /// Static table, HTML.
    pub static_table: String,
    /// Pack, JSON.
    pub pack_json: String,
}

/// The content of a network's page, its static table in `words`.
///
/// # Errors
/// [`PageError::Answer`] if the network cannot answer, [`PageError::Pack`] if it cannot be written.
pub fn page_content(advisor: &Advisor, words: &StaticWords) -> Result<PageContent, PageError> {
    let pack = advisor.pack();
    let network = &pack.network;
    let systems = network.systems().into_iter().map(|system| static_system(advisor, system));
    Ok(PageContent {
        title: network.info.name.clone(),
        static_table: static_table(&systems.collect::<Result<Vec<_>, _>>()?, words, network),
        pack_json: pack.to_json().map_err(|error| PageError::Pack { reason: error.to_string() })?,
    })
}

fn static_system(advisor: &Advisor, system: &str) -> Result<StaticSystem, PageError> {
    let settings = settings_for(advisor, system);
    let as_it_comes = answer(advisor, &settings, WaterOutlook::Any)?;
    let known = as_it_comes.outlook.source != ClimateSource::None;
    let dry = |outlook| known.then(|| answer(advisor, &settings, outlook)).transpose();
    Ok(StaticSystem {
        name: if system == ONE_SYSTEM { String::new() } else { system.to_owned() },
        dry_third: dry(WaterOutlook::Dry)?,
        driest_fifth: dry(WaterOutlook::DriestFifth)?,
        as_it_comes,
    })
}

/// The network's defaults; its usual yield and cost are those of its default system and mean nothing in
/// another, where the trials speak for the usual yield and short means short of a yield.
pub fn settings_for(advisor: &Advisor, system: &str) -> Settings {
    let pack = advisor.pack();
    let mut settings = Settings::defaults_for(&pack.network, &pack.fingerprint);
    if settings.system != system {
        settings.system = system.to_owned();
        settings.usual = None;
        settings.cost = None;
    }
    settings
}

fn answer(advisor: &Advisor, settings: &Settings, water: WaterOutlook) -> Result<OddsTable, PageError> {
    let settings = Settings { water, ..settings.clone() };
    Ok(advisor.table(&advisor.draws(&settings)?, &settings)?)
}
