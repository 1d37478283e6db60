//! What of the settings goes out, and what stays behind so that a camera can read the code.

use super::Knowledge;
use crate::qr::{Symbol, symbol};
use leanyear_engine::link::{Settings, View};

/// A part of the settings that a code can do without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Varieties side by side.
    SideBySide,
    /// Acres by variety, and what a split must keep to.
    Acres,
    /// Sprays.
    Sprays,
    /// Grazing.
    Grazing,
    /// Everything about money.
    Money,
    /// Traits that a variety must have.
    Needs,
    /// What comes first.
    Order,
    /// The view, and the variety looked at.
    View,
    /// The variety grown now.
    Mine,
}

/// What goes first when a code has no room: what changes the odds least comes first. The ground, the usual
/// yield, the unit, the year and the diseases always stay.
pub const LEAVES_FIRST: [Part; 9] = [
    Part::SideBySide,
    Part::Acres,
    Part::Sprays,
    Part::Grazing,
    Part::Money,
    Part::Needs,
    Part::Order,
    Part::View,
    Part::Mine,
];

/// A link as a code for a camera.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LinkCode {
    /// The code; `None` where even the shortest link is too long for it.
    pub symbol: Option<Symbol>,
    /// What the code leaves out, in the order of [`LEAVES_FIRST`].
    pub left_out: Vec<Part>,
}

impl Knowledge {
    /// The settings with everything about money put back to what every reader's page opens with.
    pub(super) fn without_money(&self, settings: &Settings) -> Settings {
        without(Part::Money, settings, &self.defaults.in_unit(settings.unit))
    }

    /// The code of the link to `settings` on the address `base`, of version `most` at the most.
    pub(super) fn link_code(&self, mut settings: Settings, base: &str, most: u8) -> LinkCode {
        let defaults = self.defaults.in_unit(settings.unit);
        let mut parts = LEAVES_FIRST.into_iter();
        let mut left_out = Vec::new();
        loop {
            let link = self.link(&settings);
            let found = symbol(&format!("{base}#{link}"), most);
            let (None, Some(part)) = (&found, parts.next()) else {
                return LinkCode { symbol: found, left_out };
            };
            settings = without(part, &settings, &defaults);
            if self.link(&settings) != link {
                left_out.push(part);
            }
        }
    }
}

/// The settings with one part put back to `d`, the defaults.
fn without(part: Part, settings: &Settings, d: &Settings) -> Settings {
    let s = settings.clone();
    match part {
        Part::SideBySide => Settings { with: d.with.clone(), ..s },
        Part::Acres => Settings { acres: d.acres.clone(), at_most: d.at_most, min_acres: d.min_acres, ..s },
        Part::Sprays => Settings { sprays: d.sprays.clone(), ..s },
        Part::Grazing => Settings {
            graze: d.graze,
            graze_days: d.graze_days,
            gain: d.gain,
            value: d.value,
            off: d.off,
            ..s
        },
        Part::Money => Settings {
            price: d.price,
            cost: d.cost,
            cash_only: d.cash_only,
            haul: d.haul,
            volatility: d.volatility,
            cover: d.cover,
            guarantee_price: d.guarantee_price,
            premium: d.premium,
            gain: d.gain,
            value: d.value,
            sprays: d.sprays.clone(),
            docks: d.docks.clone(),
            ..s
        },
        Part::Needs => Settings { need: d.need.clone(), ..s },
        Part::Order => Settings { order: d.order, money_unit: d.money_unit, ..s },
        Part::View => Settings { view: View::default(), variety: d.variety.clone(), ..s },
        Part::Mine => Settings { mine: d.mine.clone(), ..s },
    }
}
