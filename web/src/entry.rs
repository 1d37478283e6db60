//! Numbers that stand several to a sheet: where each belongs in the settings, its limits, how it is read.
//!
//! A number that has a key of its own in links takes its limits from there, so that what can be typed can be
//! sent. It knows no sentence and no network.

use crate::number::{NumberProblem, read};
use leanyear_engine::link::keys::{Holds, find};
use leanyear_engine::link::{DockStep, Settings};

/// A number that can be typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entry {
    /// The number under this key of a link.
    Key(&'static str),
    /// Cost of the spray against this trait.
    SprayCost(String),
    /// What that spray keeps off, percent.
    SprayKeepsOff(String),
    /// Limit of a step of this trait's docks.
    DockBelow(String, usize),
    /// What that step takes off.
    DockOff(String, usize),
    /// Acres or hectares of this variety; the others take the rest.
    Acres(String),
    /// Acres or hectares of all of them together.
    AcresInAll,
}

/// Most money, limit or area that can be typed.
const MOST: f64 = 1e6;
/// Fewest acres or hectares of one variety, of the whole.
pub const LEAST_SHARE: f64 = 0.01;

impl Entry {
    /// Least and greatest that can be typed, and whether it must be whole.
    fn limits(&self, settings: &Settings) -> (f64, f64, bool) {
        match self {
            Entry::Key(key) => match find(key).map(|row| row.holds) {
                Some(Holds::Number { low, high, whole, .. }) => (low, high, whole),
                _ => (0.0, MOST, false),
            },
            Entry::SprayKeepsOff(_) => (0.0, 100.0, false),
            Entry::DockOff(..) => (-MOST, MOST, false),
            Entry::Acres(_) => {
                let all = in_all(settings);
                let others = settings.acres.len().saturating_sub(1) as f64;
                (all * LEAST_SHARE, all * (1.0 - LEAST_SHARE * others), false)
            }
            Entry::AcresInAll => (1.0, MOST / 10.0, false),
            Entry::SprayCost(_) | Entry::DockBelow(..) => (0.0, MOST, false),
        }
    }

    /// The number in force.
    pub fn get(&self, settings: &Settings) -> Option<f64> {
        let step = |code: &str, place: usize| settings.docks.get(code)?.get(place);
        match self {
            Entry::Key(key) => match find(key)?.holds {
                Holds::Number { get, .. } => get(settings),
                _ => None,
            },
            Entry::SprayCost(code) => settings.sprays.get(code).map(|spray| spray.cost),
            Entry::SprayKeepsOff(code) => settings.sprays.get(code).map(|spray| 100.0 * spray.efficacy),
            Entry::DockBelow(code, place) => step(code, *place).map(|step| step.below),
            Entry::DockOff(code, place) => step(code, *place).map(|step| step.off),
            Entry::Acres(code) => settings.acres.iter().find(|(c, _)| c == code).map(|(_, area)| *area),
            Entry::AcresInAll => Some(in_all(settings)).filter(|all| *all > 0.0),
        }
    }

    /// Puts a number in force; without one it is left out where that is possible.
    pub fn set(&self, settings: &mut Settings, value: Option<f64>) {
        match (self, value) {
            (Entry::Key(key), _) => {
                if let Some(Holds::Number { set, .. }) = find(key).map(|row| row.holds) {
                    set(settings, value);
                }
            }
            (Entry::SprayCost(code), Some(cost)) => {
                if let Some(spray) = settings.sprays.get_mut(code) {
                    spray.cost = cost;
                }
            }
            (Entry::SprayKeepsOff(code), Some(percent)) => {
                if let Some(spray) = settings.sprays.get_mut(code) {
                    spray.efficacy = percent / 100.0;
                }
            }
            (Entry::DockBelow(code, place) | Entry::DockOff(code, place), value) => {
                self.set_step(settings, code, *place, value);
            }
            (Entry::Acres(code), Some(area)) => give(&mut settings.acres, code, area),
            (Entry::AcresInAll, Some(all)) => scale_to(&mut settings.acres, all),
            (Entry::SprayCost(_) | Entry::SprayKeepsOff(_) | Entry::Acres(_) | Entry::AcresInAll, None) => {}
        }
    }

    /// A step without its limit is no step; a limit behind the last one begins a new step.
    fn set_step(&self, settings: &mut Settings, code: &str, place: usize, value: Option<f64>) {
        let steps = settings.docks.entry(code.to_owned()).or_default();
        match (self, value) {
            (Entry::DockOff(..), value) => {
                if let Some(step) = steps.get_mut(place) {
                    step.off = value.unwrap_or(0.0);
                }
            }
            (_, Some(below)) => match steps.get_mut(place) {
                Some(step) => step.below = below,
                None => steps.push(DockStep { below, off: 0.0 }),
            },
            (_, None) if place < steps.len() => _ = steps.remove(place),
            (_, None) => {}
        }
        if steps.is_empty() {
            settings.docks.remove(code);
        }
    }

    /// Whether it stands among the steps that another limit may add or take away.
    pub fn moves_with(&self, other: &Entry) -> bool {
        match (self, other) {
            (Entry::DockBelow(code, _) | Entry::DockOff(code, _), Entry::DockBelow(limit, _)) => {
                code == limit
            }
            _ => false,
        }
    }

    /// Whether another step of the docks has this limit: two of them would be one.
    fn is_taken(&self, value: f64, settings: &Settings) -> bool {
        let Entry::DockBelow(code, own) = self else { return false };
        let mut steps = settings.docks.get(code).into_iter().flatten().enumerate();
        steps.any(|(place, step)| place != *own && step.below == value)
    }

    /// Whether it may be left blank.
    fn may_be_blank(&self) -> bool {
        matches!(self, Entry::Key(_) | Entry::DockBelow(..) | Entry::DockOff(..))
    }

    /// Reads typed text; nothing where it is blank and may be.
    ///
    /// # Errors
    /// A [`NumberProblem`] that says what stands in the way.
    pub fn read(&self, text: &str, settings: &Settings) -> Result<Option<f64>, NumberProblem> {
        let (low, high, whole) = self.limits(settings);
        let text = text.trim();
        let (sign, digits) = match text.strip_prefix(['-', '\u{2212}']).filter(|_| low < 0.0) {
            Some(digits) => (-1.0, digits),
            None => (1.0, text),
        };
        // Either side of nothing has its own greatest; the least matters only to what has no sign.
        let most = if sign < 0.0 { -low } else { high };
        match read(digits, low.max(0.0), most) {
            Ok(value) if whole && value.fract() != 0.0 => Err(NumberProblem::NotANumber),
            Ok(value) if self.is_taken(sign * value, settings) => Err(NumberProblem::Taken(sign * value)),
            Ok(value) => Ok(Some(sign * value)),
            Err(NumberProblem::Blank) if self.may_be_blank() => Ok(None),
            Err(problem) => Err(problem),
        }
    }
}

/// All acres or hectares together.
pub fn in_all(settings: &Settings) -> f64 {
    settings.acres.iter().map(|(_, area)| area).sum()
}

/// Gives one variety an area; the others keep their proportions and take the rest, so that the whole stays.
pub fn give(acres: &mut [(String, f64)], code: &str, area: f64) {
    let all: f64 = acres.iter().map(|(_, area)| area).sum();
    let others = acres.len().saturating_sub(1);
    let least = all * LEAST_SHARE;
    let area = if others == 0 { all } else { area.clamp(least, all - least * others as f64) };
    let spare = all - area - least * others as f64;
    let over = |own: f64| (own - least).max(0.0);
    let above: f64 = acres.iter().filter(|(c, _)| c != code).map(|(_, own)| over(*own)).sum();
    for (other, own) in acres.iter_mut() {
        let part = if above > all * 1e-6 { over(*own) / above } else { 1.0 / others.max(1) as f64 };
        *own = if other == code { area } else { least + spare * part };
    }
    round_off(acres, code, all);
}

/// Rounds all but one variety to a thousandth of the whole, and lets the last of them take what that leaves.
fn round_off(acres: &mut [(String, f64)], but: &str, all: f64) {
    let step = all / 1000.0;
    let mut rest = all;
    let last = acres.iter().rposition(|(code, _)| code != but);
    for (code, area) in acres.iter_mut() {
        if code != but {
            *area = clean((*area / step).round() * step);
        }
        rest -= *area;
    }
    if let Some(last) = last {
        acres[last].1 = clean(acres[last].1 + rest);
    }
}

/// The same shares of another whole.
fn scale_to(acres: &mut [(String, f64)], all: f64) {
    let before: f64 = acres.iter().map(|(_, area)| area).sum();
    acres.iter_mut().for_each(|(_, area)| *area = clean(*area * all / before));
    round_off(acres, "", all);
}

/// Takes a variety in with an equal share of the whole; `all` is the whole where nothing is split yet.
pub fn take_in(acres: &mut Vec<(String, f64)>, code: String, all: f64) {
    let whole: f64 = acres.iter().map(|(_, area)| area).sum();
    let whole = if whole > 0.0 { whole } else { all };
    if acres.is_empty() {
        acres.push((code, whole));
        return;
    }
    let share = 1.0 / (acres.len() + 1) as f64;
    acres.iter_mut().for_each(|(_, area)| *area *= 1.0 - share);
    acres.push((code, clean(whole * share)));
    let last = acres.last().map(|(code, _)| code.clone()).unwrap_or_default();
    round_off(acres, &last, whole);
}

/// Takes a variety out; the others grow to the whole.
pub fn take_out(acres: &mut Vec<(String, f64)>, code: &str) {
    let whole: f64 = acres.iter().map(|(_, area)| area).sum();
    acres.retain(|(other, _)| other != code);
    if !acres.is_empty() {
        scale_to(acres, whole);
    }
}

/// A thousandth is finer than any drill.
fn clean(area: f64) -> f64 {
    (area * 1000.0).round() / 1000.0
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use leanyear_engine::pack::YieldUnit;
    use proptest::prelude::*;

    fn settings() -> Settings {
        Settings::bare("dryland", YieldUnit::BushelPerAcre)
    }

    #[test]
    fn a_step_of_docks_does_not_take_the_place_of_another() {
        let mut settings = settings();
        let steps = [58.0, 57.0].map(|below| DockStep { below, off: 0.1 });
        settings.docks.insert("test-weight".into(), steps.to_vec());
        let second = Entry::DockBelow("test-weight".into(), 1);
        assert_eq!(second.read("58", &settings), Err(NumberProblem::Taken(58.0)));
        assert_eq!(second.read("57", &settings), Ok(Some(57.0)));
        assert_eq!(second.read("56.5", &settings), Ok(Some(56.5)));
    }

    #[test]
    fn a_number_with_a_key_is_read_within_the_limits_of_links() {
        let mut settings = settings();
        let off = Entry::Key("off");
        assert_eq!(off.read("-6", &settings), Ok(Some(-6.0)));
        assert_eq!(off.read("\u{2212}200", &settings), Err(NumberProblem::TooLarge(120.0)));
        assert_eq!(Entry::Key("haul").read("-1", &settings), Err(NumberProblem::NotANumber));
        assert_eq!(Entry::Key("at-most").read("2.5", &settings), Err(NumberProblem::NotANumber));
        assert_eq!(off.read(" ", &settings), Ok(None));
        off.set(&mut settings, Some(-6.0));
        assert_eq!((settings.off, off.get(&settings)), (Some(-6.0), Some(-6.0)));
    }

    #[test]
    fn a_dock_begins_with_its_limit_and_ends_without_one() {
        let mut settings = settings();
        let code = || "test-weight".to_owned();
        Entry::DockBelow(code(), 0).set(&mut settings, Some(58.0));
        Entry::DockOff(code(), 0).set(&mut settings, Some(0.05));
        Entry::DockBelow(code(), 1).set(&mut settings, Some(57.5));
        assert_eq!(settings.docks["test-weight"][0], DockStep { below: 58.0, off: 0.05 });
        Entry::DockBelow(code(), 0).set(&mut settings, None);
        Entry::DockBelow(code(), 0).set(&mut settings, None);
        assert!(settings.docks.is_empty());
    }

    #[test]
    fn typed_acres_leave_the_others_their_proportions() {
        let mut acres = vec![("A".to_owned(), 60.0), ("B".to_owned(), 30.0), ("C".to_owned(), 10.0)];
        give(&mut acres, "A", 20.0);
        let areas: Vec<f64> = acres.iter().map(|(_, area)| *area).collect();
        assert_eq!(areas[0], 20.0);
        assert!((areas[1] / areas[2] - 3.0).abs() < 0.2, "{areas:?}");
    }

    proptest! {
        /// Law: whatever is typed, dragged, taken in or out, the areas add to the whole and none is nothing.
        #[test]
        fn acres_always_add_up(moves in proptest::collection::vec((0usize..5, 0.0f64..400.0, 0u8..4), 1..30)) {
            let mut acres = vec![("V0".to_owned(), 160.0)];
            let mut whole = 160.0;
            for (which, area, what) in moves {
                let code = format!("V{which}");
                let has = acres.iter().any(|(c, _)| *c == code);
                match what {
                    0 if !has => take_in(&mut acres, code, 100.0),
                    1 if has && acres.len() > 1 => take_out(&mut acres, &code),
                    2 if area >= 1.0 => {
                        scale_to(&mut acres, area);
                        whole = area;
                    }
                    _ if has => give(&mut acres, &code, area),
                    _ => {}
                }
                let sum: f64 = acres.iter().map(|(_, area)| area).sum();
                prop_assert!((sum - whole).abs() < 0.01 * acres.len() as f64, "{acres:?} for {whole}");
                prop_assert!(acres.iter().all(|(_, area)| *area > 0.0), "{acres:?}");
            }
        }
    }
}
