//! What is asked of the engine beside the table: cattle, sprays, how money is worked out, two against each
//! other, side by side, acres, what would change the answer.
//!
//! Only what is on the screen is asked for; what takes long is kept while a finger moves something that does
//! not change it.

use super::{Knowledge, asked};
use leanyear_engine::decide::acres::AcrePlan;
use leanyear_engine::decide::change::WhatWouldChange;
use leanyear_engine::decide::compare::{Comparison, Pair};
use leanyear_engine::decide::grazing::Grazing;
use leanyear_engine::decide::sprays::SprayWorth;
use leanyear_engine::decide::tipping::{Lever, TippingPoint};
use leanyear_engine::decide::worked::WorkedLine;
use leanyear_engine::decide::{AdvisorError, OddsTable};
use leanyear_engine::forecast::draws::Draws;
use leanyear_engine::link::Settings;
use std::cell::RefCell;
use std::rc::Rc;

/// Points of a curve over what is moved.
const POINTS: u32 = 16;

/// What is wanted beside the table.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ask {
    /// Cattle.
    pub grazing: bool,
    /// Varieties side by side.
    pub side_by_side: bool,
    /// What is moved there, and to where.
    pub lever: Option<(Lever, Option<f64>)>,
    /// Acres.
    pub acres: bool,
    /// What would change the answer.
    pub change: bool,
}

/// What came of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Extras {
    /// Cattle, every variety.
    pub grazing: Option<Rc<Grazing>>,
    /// Sprays on the variety looked at.
    pub sprays: Vec<SprayWorth>,
    /// How the money of the variety looked at is worked out.
    pub worked: Vec<WorkedLine>,
    /// The variety looked at against the one grown now, where trials join the two.
    pub against_mine: Option<Pair>,
    /// Varieties side by side.
    pub comparison: Option<Rc<Comparison>>,
    /// What they come to as one thing is moved.
    pub moved: Option<Moved>,
    /// The reader's acres, and the split suggested.
    pub acres: Option<(Rc<AcrePlan>, Rc<AcrePlan>)>,
    /// What would change the answer.
    pub change: Option<Rc<WhatWouldChange>>,
}

/// Varieties side by side as one thing is moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// What is moved.
    pub lever: Lever,
    /// Least and most.
    pub range: (f64, f64),
    /// Where it stands in the settings.
    pub now: f64,
    /// Where it was dragged to.
    pub at: f64,
    /// What each variety comes to there.
    pub there: Vec<f64>,
    /// The same over the whole range.
    pub curves: Rc<Vec<Curve>>,
}

/// What varieties come to where one thing is moved to: the place, then each variety's average.
pub type Curve = (f64, Vec<f64>);

type Cell<K, V> = RefCell<Option<(K, Rc<V>)>>;

/// The last answers that took long, with what they were asked under.
#[derive(Default)]
pub struct Kept {
    comparison: Cell<Settings, Comparison>,
    curves: Cell<(Settings, Lever), Vec<Curve>>,
    suggestion: Cell<Settings, AcrePlan>,
    change: Cell<Settings, WhatWouldChange>,
}

fn kept<K: PartialEq, V>(
    cell: &Cell<K, V>,
    key: K,
    make: impl FnOnce() -> Result<V, AdvisorError>,
) -> Result<Rc<V>, AdvisorError> {
    if let Some((_, value)) = cell.borrow().as_ref().filter(|(before, _)| *before == key) {
        return Ok(value.clone());
    }
    let value = Rc::new(make()?);
    *cell.borrow_mut() = Some((key, value.clone()));
    Ok(value)
}

impl Knowledge {
    /// What is wanted beside the table; `looked_at` is the variety in detail, where there is one.
    pub(super) fn extras(
        &self,
        draws: &Draws,
        settings: &Settings,
        table: &OddsTable,
        ask: &Ask,
        looked_at: Option<&str>,
    ) -> Result<Extras, AdvisorError> {
        let asked = asked(settings);
        let mut out = Extras::default();
        if ask.grazing || looked_at.is_some() {
            out.grazing = Some(Rc::new(self.advisor.grazing(draws, &asked)));
        }
        if let Some(code) = looked_at {
            out.sprays = self.advisor.sprays(draws, &asked, code)?;
            out.worked = self.advisor.worked(draws, &asked, code)?;
            let known =
                |mine: &&str| *mine != code && table.varieties.iter().any(|row| row.variety == **mine);
            if let Some(mine) = asked.mine.as_deref().filter(known) {
                out.against_mine = self.advisor.duel(draws, &asked, code, mine)?;
            }
        }
        if ask.side_by_side {
            let known = |code: &&String| table.varieties.iter().any(|row| row.variety == **code);
            let with = settings.with.iter().filter(known).cloned().collect();
            self.side_by_side(draws, Settings { with, ..asked.clone() }, ask, &mut out)?;
        }
        if ask.acres {
            let (acres, at_most, min_acres) = (settings.acres.clone(), settings.at_most, settings.min_acres);
            let farm = Settings { acres, at_most, min_acres, ..asked.clone() };
            out.acres = Some(self.acres(draws, &farm)?);
        }
        if ask.change {
            let make = || self.advisor.what_would_change(draws, &asked, table);
            out.change = Some(kept(&self.kept.change, asked.clone(), make)?);
        }
        Ok(out)
    }

    fn side_by_side(
        &self,
        draws: &Draws,
        key: Settings,
        ask: &Ask,
        out: &mut Extras,
    ) -> Result<(), AdvisorError> {
        let make = || self.advisor.compare(draws, &key, &key.with);
        let comparison = kept(&self.kept.comparison, key.clone(), make)?;
        let points: &[TippingPoint] = &comparison.tipping;
        let wished = ask.lever.as_ref().and_then(|(lever, _)| points.iter().find(|p| p.lever == *lever));
        // Where nothing was chosen yet: the first that turns the order round, else the first.
        let first = || points.iter().find(|p| p.counts()).or(points.first());
        if let Some(point) = wished.or_else(first) {
            let at = ask.lever.as_ref().filter(|(lever, _)| *lever == point.lever).and_then(|(_, at)| *at);
            out.moved = Some(self.moved(draws, &key, point, at)?);
        }
        out.comparison = Some(comparison);
        Ok(())
    }

    fn moved(
        &self,
        draws: &Draws,
        key: &Settings,
        point: &TippingPoint,
        at: Option<f64>,
    ) -> Result<Moved, AdvisorError> {
        let TippingPoint { lever, range: (low, high), now, .. } = point;
        let all = |value: f64| -> Result<Vec<f64>, AdvisorError> {
            key.with.iter().map(|code| self.advisor.expected_at(draws, key, code, lever, value)).collect()
        };
        let curves = kept(&self.kept.curves, (key.clone(), lever.clone()), || {
            (0..=POINTS)
                .map(|k| {
                    let value = low + (high - low) * f64::from(k) / f64::from(POINTS);
                    Ok((value, all(value)?))
                })
                .collect()
        })?;
        let at = at.unwrap_or(*now).clamp(*low, *high);
        let there = all(at)?;
        Ok(Moved { lever: lever.clone(), range: (*low, *high), now: *now, at, there, curves })
    }

    /// The reader's split, and the suggestion: that hangs on the acres in all and on whom the reader has given
    /// any, not on how they are split.
    fn acres(&self, draws: &Draws, asked: &Settings) -> Result<(Rc<AcrePlan>, Rc<AcrePlan>), AdvisorError> {
        let tested = |code: &str| self.advisor.model().prepared.block(code).is_ok();
        let counted = || asked.acres.iter().filter(|(code, _)| tested(code));
        let all: f64 = counted().map(|(_, area)| area).sum();
        let mut sown: Vec<(String, f64)> = counted().map(|(code, _)| (code.clone(), 0.0)).collect();
        sown.sort_by(|a, b| a.0.cmp(&b.0));
        if let Some((_, area)) = sown.first_mut() {
            *area = all;
        }
        let key = Settings { acres: sown, ..asked.clone() };
        let suggested = kept(&self.kept.suggestion, key.clone(), || Ok(self.advisor.acres(draws, &key)))?;
        Ok((Rc::new(self.advisor.split(draws, asked)), suggested))
    }
}
