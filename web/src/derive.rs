//! What follows from the settings: the only place that asks the engine.
//!
//! Answers are kept for the last settings, so that a change of price or order reuses the draws and a
//! change of view reuses everything. It knows no browser and writes no sentence.

mod extras;
mod job;
mod outgoing;

pub use extras::{Ask, Curve, Extras, Moved};
pub use job::{do_job, track_record_answer, track_record_request};
pub use outgoing::{LEAVES_FIRST, LinkCode, Part};

use leanyear_engine::decide::needs::{NeedFailure, NeedReason, failures};
use leanyear_engine::decide::{Advisor, AdvisorError, OddsTable, VarietyDetail};
use leanyear_engine::forecast::draws::Draws;
use leanyear_engine::link::{
    Codes, LinkDefaults, LinkNotice, Settings, View, WaterOutlook, decode, encode, held_to_record,
};
use leanyear_engine::pack::{Network, Pack, PackError};
use leanyear_engine::season::climate::{BaseRate, Climate};
use std::cell::RefCell;
use std::rc::Rc;

/// Why the page has no network to speak of.
#[derive(Debug, thiserror::Error)]
pub enum Unreadable {
    /// The document inside the page.
    #[error(transparent)]
    Pack(#[from] PackError),
    /// What was fitted from it.
    #[error(transparent)]
    Advisor(#[from] AdvisorError),
}

/// Everything a view may show of the engine's answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The decision table.
    pub table: Rc<OddsTable>,
    /// The variety looked at.
    pub detail: Option<Rc<VarietyDetail>>,
    /// The years that can be assumed, when their sheet is open.
    pub years: Rc<Years>,
    /// How many varieties have each trait that can be asked for, when its sheet is open.
    pub needs: Rc<Vec<NeedCount>>,
    /// The link to these settings, as it goes out: without money unless that is wished.
    pub link: String,
    /// The same as a code for a camera, where one is wanted.
    pub code: Option<Rc<LinkCode>>,
    /// Cattle, sprays, side by side, acres: what of it is on the screen.
    pub extras: Rc<Extras>,
}

/// What is wanted beside the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Price and cost in the outgoing link.
    pub money_in_link: bool,
    /// The view that the outgoing link opens.
    pub link_view: View,
    /// The code of that link: the address it goes on, and the largest version that can be read.
    pub code: Option<(Rc<str>, u8)>,
    /// The years that can be assumed, with how often they were.
    pub years: bool,
    /// How many varieties have each trait that can be asked for.
    pub needs: bool,
    /// The variety looked at; a phone that shows the list has no use for it.
    pub detail: bool,
    /// Whether a reader chose that variety.
    pub chosen: bool,
    /// What is wanted beside all that.
    pub ask: Ask,
}

/// The years that can be assumed here.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Years {
    /// Kinds of year, each with how often it was.
    pub kinds: Vec<(WaterOutlook, BaseRate)>,
    /// Single years with their water, newest first; empty where a year has no one water.
    pub single: Vec<(i32, f64)>,
}

/// How many varieties of a table have a trait.
#[derive(Debug, Clone, PartialEq)]
pub struct NeedCount {
    /// Trait code.
    pub trait_: String,
    /// Varieties that have it.
    pub have: usize,
    /// Varieties that are not rated for it.
    pub unknown: usize,
    /// Varieties in all.
    pub all: usize,
    /// The value that passes, and whether values above it do, where the engine has named one.
    pub passes: Option<(f64, bool)>,
}

/// The kinds of year that can be assumed.
const KINDS_OF_YEAR: [WaterOutlook; 8] = [
    WaterOutlook::Any,
    WaterOutlook::DriestFifth,
    WaterOutlook::Dry,
    WaterOutlook::Middle,
    WaterOutlook::Wet,
    NAMED_LEANS[0],
    NAMED_LEANS[1],
    NAMED_LEANS[2],
];

/// Leanings that have a name: to the dry, neither way, to the wet.
pub const NAMED_LEANS: [WaterOutlook; 3] =
    [WaterOutlook::Thirds(50, 30, 20), WaterOutlook::Thirds(33, 34, 33), WaterOutlook::Thirds(20, 30, 50)];

/// A network with its engine and the last answers.
pub struct Knowledge {
    advisor: Advisor,
    codes: Codes,
    defaults: LinkDefaults,
    draws: RefCell<Option<Rc<Draws>>>,
    table: RefCell<Option<(Settings, Rc<OddsTable>)>>,
    detail: RefCell<Option<(Settings, Rc<VarietyDetail>)>>,
    kept: extras::Kept,
}

impl Knowledge {
    /// Reads the pack inside the page.
    ///
    /// # Errors
    /// [`Unreadable`] where it is damaged, newer than this page, or without a trial that counts.
    pub fn read(pack: &str) -> Result<Self, Unreadable> {
        let pack = Pack::of_page(pack)?;
        let codes = Codes::of(&pack.network);
        let defaults = LinkDefaults::of(&pack.network, &pack.fingerprint);
        let advisor = Advisor::new(pack)?;
        Ok(Self {
            advisor,
            codes,
            defaults,
            draws: RefCell::default(),
            table: RefCell::default(),
            detail: RefCell::default(),
            kept: extras::Kept::default(),
        })
    }

    /// The network's tables.
    pub fn network(&self) -> &Network {
        &self.advisor.pack().network
    }

    /// The fingerprint that memory and links are kept by.
    pub fn fingerprint(&self) -> &str {
        &self.advisor.pack().fingerprint
    }

    /// What the page opens with.
    pub fn defaults(&self) -> &Settings {
        self.defaults.settings()
    }

    /// Settings from the text of a link, with what could not be used.
    pub fn open(&self, link: &str) -> (Settings, Vec<LinkNotice>) {
        let decoded = decode(link, &self.defaults, &self.codes);
        // From here on they are settings for these data, whatever data they were made with.
        let settings = Settings { pack: self.defaults().pack.clone(), ..decoded.settings };
        let (settings, notice) = self.held(settings);
        (settings, decoded.notices.into_iter().chain(notice).collect())
    }

    /// Settings held to the seasons on record where they are for, with a notice where that changes them.
    pub fn held(&self, settings: Settings) -> (Settings, Option<LinkNotice>) {
        held_to_record(settings, self.network())
    }

    /// The text of a link to these settings.
    pub fn link(&self, settings: &Settings) -> String {
        encode(settings, &self.defaults)
    }

    /// The answer to these settings.
    ///
    /// # Errors
    /// [`AdvisorError`] where no trial answers the settings.
    pub fn answer(&self, settings: &Settings, wanted: &Wanted) -> Result<Answer, AdvisorError> {
        let asked = asked(settings);
        let draws = self.draws(&asked)?;
        let table = self.table(&draws, &asked)?;
        let looked_at = settings
            .variety
            .clone()
            // The default is not a reader's choice: beside the list stands its first row then.
            .filter(|_| wanted.chosen || settings.variety != self.defaults().variety)
            .filter(|code| table.varieties.iter().any(|row| row.variety == *code))
            .or_else(|| table.varieties.first().map(|row| row.variety.clone()));
        let detail = match looked_at.filter(|_| wanted.detail) {
            Some(code) => Some(self.detail(&draws, &asked, &code)?),
            None => None,
        };
        let code = detail.as_ref().map(|detail| detail.variety.as_str());
        let extras = Rc::new(self.extras(&draws, settings, &table, &wanted.ask, code)?);
        let years = if wanted.years { self.years(&asked) } else { Years::default() };
        let needs = if wanted.needs { self.needs(&table) } else { Vec::new() };
        let outgoing = if wanted.money_in_link { settings.clone() } else { self.without_money(settings) };
        let outgoing = Settings { view: wanted.link_view, ..outgoing };
        let code =
            wanted.code.as_ref().map(|(base, most)| Rc::new(self.link_code(outgoing.clone(), base, *most)));
        Ok(Answer {
            table,
            detail,
            years: Rc::new(years),
            needs: Rc::new(needs),
            link: self.link(&outgoing),
            code,
            extras,
        })
    }

    fn draws(&self, asked: &Settings) -> Result<Rc<Draws>, AdvisorError> {
        let kept = self.draws.borrow().clone();
        let draws = match kept {
            Some(draws) if self.advisor.serves(&draws, asked) => return Ok(draws),
            Some(draws) => Rc::new(self.advisor.redraw(&draws, asked)?),
            None => Rc::new(self.advisor.draws(asked)?),
        };
        *self.draws.borrow_mut() = Some(draws.clone());
        Ok(draws)
    }

    fn table(&self, draws: &Draws, asked: &Settings) -> Result<Rc<OddsTable>, AdvisorError> {
        let kept = self.table.borrow().clone().filter(|(settings, _)| {
            // Rows are put in another order without asking anything of them again.
            *settings == Settings { order: settings.order, ..asked.clone() }
        });
        let table = match kept {
            Some((settings, table)) if settings.order == asked.order => return Ok(table),
            Some((_, table)) => Rc::new(self.advisor.reordered(&table, asked.order)),
            None => Rc::new(self.advisor.table(draws, asked)?),
        };
        *self.table.borrow_mut() = Some((asked.clone(), table.clone()));
        Ok(table)
    }

    fn detail(&self, draws: &Draws, asked: &Settings, code: &str) -> Result<Rc<VarietyDetail>, AdvisorError> {
        let key = Settings { variety: Some(code.to_owned()), ..asked.clone() };
        let kept = self.detail.borrow().clone().filter(|(settings, _)| *settings == key);
        if let Some((_, detail)) = kept {
            return Ok(detail);
        }
        let detail = Rc::new(self.advisor.detail(draws, asked, code)?);
        *self.detail.borrow_mut() = Some((key, detail.clone()));
        Ok(detail)
    }

    /// Traits that some variety is rated for; one that nobody is rated for would fail them all.
    fn needs(&self, table: &OddsTable) -> Vec<NeedCount> {
        let all = table.varieties.len();
        let rated = self.network().traits.iter().filter(|t| !self.network().ratings_of(&t.trait_).is_empty());
        rated
            .map(|t| {
                let asked = [t.trait_.clone()];
                let failing =
                    failures(self.network(), &asked, table.varieties.iter().map(|row| &row.variety));
                let failing: Vec<&NeedFailure> = failing.iter().flatten().collect();
                let unknown = failing.iter().filter(|failure| failure.reason == NeedReason::Unknown).count();
                NeedCount {
                    trait_: t.trait_.clone(),
                    have: all - failing.len(),
                    unknown,
                    all,
                    passes: failing.first().and_then(|first| Some((first.needed?, first.higher_is_better))),
                }
            })
            .collect()
    }

    fn years(&self, asked: &Settings) -> Years {
        let (site, zone) = (asked.site.as_deref(), asked.zone.as_deref());
        let climate = Climate::of(self.network(), &asked.system, site, zone);
        let kinds = KINDS_OF_YEAR.map(|water| (water, climate.base_rate(&climate.weights(water))));
        let mut single = climate.seasons.clone();
        leanyear_engine::order::sort_by_key(&mut single, |(year, _)| -year);
        let distinct = climate.years().map_or(0, |years| years.2);
        if distinct != single.len() {
            single.clear();
        }
        Years { kinds: kinds.to_vec(), single }
    }
}

/// The part of the settings that the engine's numbers depend on.
fn asked(settings: &Settings) -> Settings {
    Settings {
        view: View::default(),
        variety: None,
        with: Vec::new(),
        acres: Vec::new(),
        at_most: None,
        min_acres: None,
        ..settings.clone()
    }
}
