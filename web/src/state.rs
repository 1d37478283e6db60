//! What the page is at one moment: settings, what is open, what is being typed.
//!
//! Nothing that could be worked out from the settings is kept here, and nothing here knows a browser.

use crate::entry::Entry;
use crate::number::{NumberProblem, Quantity, limits, read};
use crate::text::Language;
use leanyear_engine::decide::tipping::Lever;
use leanyear_engine::forecast::backtest::TrialRange;
use leanyear_engine::link::{LinkNotice, Settings, View, WaterOutlook};
use leanyear_engine::order::Map;
use leanyear_engine::pack::WaterUnit;

/// A small sheet that asks for one thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// Production system.
    System,
    /// Site or zone.
    Site,
    /// Usual yield.
    Usual,
    /// The variety grown now.
    Mine,
    /// The year assumed.
    Water,
    /// Diseases assumed.
    Diseases,
    /// Price of grain.
    Price,
    /// Cost per area.
    Cost,
    /// What comes first.
    Order,
    /// A variety to look at.
    Find,
    /// Ratings that a variety must have.
    Needs,
    /// Units of yield and water.
    Units,
    /// Cattle on the crop.
    Grazing,
    /// What quality takes off the price.
    Docks,
    /// Varieties to stand side by side.
    Beside,
    /// A variety to be given acres.
    Sown,
}

impl Sheet {
    /// The quantity typed in this sheet, if one is.
    pub fn quantity(self) -> Option<Quantity> {
        match self {
            Sheet::Usual => Some(Quantity::Usual),
            Sheet::Price => Some(Quantity::Price),
            Sheet::Cost => Some(Quantity::Cost),
            Sheet::System
            | Sheet::Site
            | Sheet::Mine
            | Sheet::Water
            | Sheet::Diseases
            | Sheet::Order
            | Sheet::Find
            | Sheet::Needs
            | Sheet::Units
            | Sheet::Grazing
            | Sheet::Docks
            | Sheet::Beside
            | Sheet::Sown => None,
        }
    }
}

/// How far the track record has come.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum Track {
    /// Not asked for.
    #[default]
    Unasked,
    /// Being worked out.
    Running,
    /// There.
    Done(Vec<TrialRange>),
    /// It could not be worked out.
    Failed,
}

/// A number among several, as it was typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// Which number.
    pub entry: Entry,
    /// The text.
    pub text: String,
    /// The number in force before anything was typed.
    pub before: Option<f64>,
}

/// A text that could not be used: the number from before counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Unused {
    /// The text.
    pub text: String,
    /// What stood in its way.
    pub problem: NumberProblem,
    /// The number that it was typed for.
    pub meant: Meant,
}

/// A number that is typed.
#[derive(Debug, Clone, PartialEq)]
pub enum Meant {
    /// The one of this sheet.
    Sheet(Sheet, Quantity),
    /// One among several.
    Entry(Entry),
}

/// What became of the last attempt to send or copy something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sent {
    /// It is on the clipboard.
    Copied,
    /// The browser refused; the text has to be copied by hand.
    Refused,
    /// What was typed is forgotten on this device.
    Forgotten,
}

/// What a hosted page knows of its own copy on this device; a page from a file knows nothing of the kind.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Hosted {
    /// This device keeps the page for where there is no signal.
    pub kept: bool,
    /// Newer data came and wait to be taken.
    pub newer: bool,
}

/// The page at one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// What was chosen, always valid.
    pub settings: Settings,
    /// The sheet that is open.
    pub sheet: Option<Sheet>,
    /// Text as typed in a number sheet, valid or not.
    pub draft: String,
    /// The number that was in force when its sheet was opened.
    pub opened_with: Option<f64>,
    /// Shares of dry and of wet years as typed, in years of a hundred.
    pub thirds: (String, String),
    /// Numbers among several as they were typed: the last, valid or not, and others that cannot be used yet.
    pub typed: Vec<Draft>,
    /// What was typed and could not be used when its sheet was put away.
    pub unused: Vec<Unused>,
    /// The year that was assumed when its sheet was opened.
    pub opened_with_water: WaterOutlook,
    /// Text as typed in a search field.
    pub search: String,
    /// Whether a reader chose the variety in detail; else the first row stands beside the list.
    pub looked: bool,
    /// Whether the rows beyond the first group are unfolded.
    pub all_shown: bool,
    /// Whether what would change the answer is unfolded.
    pub change_shown: bool,
    /// What is moved side by side, and where it was dragged to; `None` there while it stands where it is.
    pub lever: Option<(Lever, Option<f64>)>,
    /// Light ink on dark paper.
    pub night: bool,
    /// The language that the page speaks.
    pub language: Language,
    /// Whether the window is wide enough for two columns.
    pub wide: bool,
    /// What was wrong with the link that opened this page.
    pub notices: Vec<LinkNotice>,
    /// The track record.
    pub track: Track,
    /// Its copy on this device.
    pub hosted: Hosted,
    /// The unit that water is shown in, where a reader wants another than that of the data.
    pub water_unit: Option<WaterUnit>,
    /// The view that was left for sending: what is sent opens there.
    pub sent_from: View,
    /// Whether price and cost go into the link that is sent.
    pub share_money: bool,
    /// What became of the last attempt to send.
    pub sent: Option<Sent>,
    /// The usual yield belongs to the ground: it is kept for each system that was looked at.
    pub usual_by_system: Map<String, Option<f64>>,
}

impl State {
    /// The page as it opens on `settings`.
    pub fn opening(settings: Settings) -> Self {
        Self {
            looked: settings.view == View::Variety,
            sent_from: View::default(),
            settings,
            sheet: None,
            draft: String::new(),
            opened_with: None,
            thirds: Default::default(),
            typed: Vec::new(),
            unused: Vec::new(),
            opened_with_water: WaterOutlook::default(),
            search: String::new(),
            all_shown: false,
            change_shown: false,
            lever: None,
            night: false,
            language: Language::default(),
            wide: false,
            notices: Vec::new(),
            track: Track::Unasked,
            hosted: Hosted::default(),
            water_unit: None,
            share_money: false,
            sent: None,
            usual_by_system: Map::new(),
        }
    }

    /// The view that a link to this page opens: never that for sending itself, but the one before it.
    pub fn linked_view(&self) -> View {
        match self.settings.view {
            View::Share => self.sent_from,
            view => view,
        }
    }

    /// What stands in the way of the number being typed, if a number is being typed.
    pub fn draft_problem(&self) -> Option<NumberProblem> {
        let quantity = self.sheet?.quantity()?;
        let (least, greatest) = limits(quantity, self.settings.unit);
        match read(&self.draft, least, greatest) {
            Ok(_) => None,
            // A sheet for a number that was never given opens blank: that is not yet a mistake.
            Err(NumberProblem::Blank) if self.given(quantity).is_none() => None,
            Err(problem) => Some(problem),
        }
    }

    /// What stands in the way of a number among several, if it is the one being typed.
    pub fn entry_problem(&self, entry: &Entry) -> Option<NumberProblem> {
        entry.read(&self.draft_of(entry)?.text, &self.settings).err()
    }

    /// A number among several as it is being typed.
    pub fn draft_of(&self, entry: &Entry) -> Option<&Draft> {
        self.typed.iter().find(|draft| draft.entry == *entry)
    }

    /// The number in force for a quantity.
    pub fn given(&self, quantity: Quantity) -> Option<f64> {
        match quantity {
            Quantity::Usual => self.settings.usual,
            Quantity::Price => self.settings.price,
            Quantity::Cost => self.settings.cost,
        }
    }
}
