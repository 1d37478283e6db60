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
    /// Diseases assumed.
    Diseases,
}

/// What goes first when a code has no room: what changes the odds least comes first. The ground, the usual
/// yield, the unit and the year always stay.
pub const LEAVES_FIRST: [Part; 10] = [
    Part::SideBySide,
    Part::Acres,
    Part::Sprays,
    Part::Grazing,
    Part::Money,
    Part::Needs,
    Part::Order,
    Part::View,
    Part::Mine,
    Part::Diseases,
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
        let mut without = settings.clone();
        leave_out(Part::Money, &mut without, &self.defaults.in_unit(settings.unit));
        without
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
            leave_out(part, &mut settings, &defaults);
            if self.link(&settings) != link {
                left_out.push(part);
            }
        }
    }
}

/// Puts one part of the settings back to `d`, the defaults.
fn leave_out(part: Part, s: &mut Settings, d: &Settings) {
    match part {
        Part::SideBySide => s.with.clone_from(&d.with),
        Part::Acres => {
            s.acres.clone_from(&d.acres);
            (s.at_most, s.min_acres) = (d.at_most, d.min_acres);
        }
        Part::Sprays => s.sprays.clone_from(&d.sprays),
        Part::Grazing => {
            (s.graze, s.graze_days, s.gain, s.value, s.off) = (d.graze, d.graze_days, d.gain, d.value, d.off);
        }
        Part::Money => {
            s.currency.clone_from(&d.currency);
            (s.price, s.haul, s.volatility) = (d.price, d.haul, d.volatility);
            (s.cost, s.cash_only) = (d.cost, d.cash_only);
            (s.cover, s.guarantee_price, s.premium) = (d.cover, d.guarantee_price, d.premium);
            (s.gain, s.value) = (d.gain, d.value);
            s.sprays.clone_from(&d.sprays);
            s.docks.clone_from(&d.docks);
        }
        Part::Needs => s.need.clone_from(&d.need),
        Part::Order => (s.order, s.money_unit) = (d.order, d.money_unit),
        Part::View => {
            s.view = View::default();
            s.variety.clone_from(&d.variety);
        }
        Part::Mine => s.mine.clone_from(&d.mine),
        Part::Diseases => s.diseases.clone_from(&d.diseases),
    }
}
