//! Settings as a link can hold them: every number in its range, every list without repeats.
//!
//! Knows the table of keys; knows no network, so a normalised code may still be unknown to one.

use super::keys::{self, ACRES, DOCK_LIMIT, DOCK_OFF, EFFICACY, Holds, KEYS, SPRAY_COST};
use super::settings::{DockStep, Settings};
use super::words;
use crate::order::Set;
use crate::pack::ONE_SYSTEM;

/// Whether a number is finite and in a range, ends included.
pub(super) fn within(value: f64, (low, high): (f64, f64)) -> bool {
    value >= low && value <= high
}

impl Settings {
    /// The nearest settings that a link can hold. A number out of its range becomes none; a spray, dock step, disease or
    /// area that cannot be is left out, as are repeats and what a list holds too many of; a zone beside a site
    /// is dropped; needed traits are sorted; an outlook that cannot be becomes *as it comes*.
    #[must_use]
    pub fn normalised(mut self) -> Settings {
        for key in KEYS {
            self.normalise(&key.holds);
        }
        if self.system.is_empty() {
            self.system = ONE_SYSTEM.to_owned();
        }
        if self.site.is_some() {
            self.zone = None;
        }
        if !words::water_is_valid(self.water) {
            self.water = super::WaterOutlook::default();
        }
        self.currency = self.currency.as_deref().and_then(words::currency_sign);
        // The order of side by side and of acres is the reader's; that of needed traits means nothing.
        crate::order::sort_by(&mut self.need, Ord::cmp);
        self
    }

    fn normalise(&mut self, holds: &Holds) {
        match *holds {
            Holds::Version | Holds::Word { .. } => {}
            Holds::Pack => self.pack = self.pack.take().filter(|pack| keys::is_fingerprint(pack)),
            Holds::Number { low, high, whole, get, set } => {
                let fits = |value: &f64| within(*value, (low, high)) && !(whole && value.fract() != 0.0);
                let value = get(self).filter(fits).map(positive_zero);
                set(self, value);
            }
            Holds::Code { get, set, .. } => {
                let code = get(self).filter(|code| !code.is_empty()).map(str::to_owned);
                set(self, code);
            }
            Holds::Codes { most, get, .. } => {
                let mut seen = Set::new();
                let codes = get(self);
                codes.retain(|code| !code.is_empty() && seen.insert(code.clone()));
                codes.truncate(most);
            }
            Holds::Diseases => self.diseases.retain(|trait_, _| is_trait(trait_)),
            Holds::Sprays => {
                let fits =
                    |spray: &super::Spray| within(spray.cost, SPRAY_COST) && within(spray.efficacy, EFFICACY);
                self.sprays.retain(|trait_, spray| is_trait(trait_) && fits(spray));
                for spray in self.sprays.values_mut() {
                    spray.cost = positive_zero(spray.cost);
                    spray.efficacy = positive_zero(spray.efficacy);
                }
            }
            Holds::Docks { most } => {
                for steps in self.docks.values_mut() {
                    normalise_steps(steps, most);
                }
                self.docks.retain(|trait_, steps| is_trait(trait_) && !steps.is_empty());
            }
            Holds::Acres { most } => {
                let mut seen = Set::new();
                self.acres.retain(|(variety, area)| {
                    !variety.is_empty() && within(*area, ACRES) && seen.insert(variety.clone())
                });
                self.acres.truncate(most);
            }
        }
    }
}

/// Steps that can be, ascending, one to a limit.
fn normalise_steps(steps: &mut Vec<DockStep>, most: usize) {
    steps.retain(|step| within(step.below, DOCK_LIMIT) && within(step.off, DOCK_OFF));
    for step in steps.iter_mut() {
        step.below = positive_zero(step.below);
        step.off = positive_zero(step.off);
    }
    let mut seen = Vec::new();
    steps.retain(|step| {
        let new = !seen.contains(&step.below);
        seen.push(step.below);
        new
    });
    steps.truncate(most);
    crate::order::sort_by(steps, |a, b| a.below.total_cmp(&b.below));
}

fn is_trait(code: &str) -> bool {
    !code.is_empty() && !keys::is_key(code)
}

/// A negative zero would print unlike zero.
fn positive_zero(value: f64) -> f64 {
    if value == 0.0 { 0.0 } else { value }
}
