//! What changed since last year's pack, and what part of it the newer data and the newer model have.
//!
//! Three tables of one system under the same rules: last year's pack as it stands, last year's data fitted today,
//! and this year's. The first step is the model's part, the second the data's. Places count the varieties that are
//! in all of them, or newcomers above would make an old variety fall that did not change.

use super::shortlist::{Line, Rules, Stance, shortlist};
use crate::decide::{Advisor, AdvisorError, StandingState};
use crate::order::{Map, Set};
use crate::pack::{Network, Pack};
use serde::{Deserialize, Serialize};

/// A variety in one of the three tables.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Position {
    /// Place in the rules' order from 1, among the varieties of both years; of all for one that is not in both.
    pub rank: usize,
    /// Marks short of twenty.
    pub marks_short: u8,
    /// Whether short is of money; else it is of a yield.
    pub of_money: bool,
    /// Average, yield unit.
    pub expected: f64,
    /// How well tested.
    pub state: StandingState,
    /// Where the rules put it.
    pub by_rules: Stance,
}

/// How one variety moved.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// Code.
    pub variety: String,
    /// In last year's pack as it stands; `None` for a newcomer.
    pub then: Option<Position>,
    /// Last year's data fitted today.
    pub refitted: Option<Position>,
    /// This year; `None` for one that is gone from the data.
    pub now: Option<Position>,
    /// Trials of the system in which it stood and which last year's pack did not have.
    pub new_trials: u32,
    /// Of those, trials in the driest third of the system's.
    pub new_dry_trials: u32,
}

/// What changed in one system, in this year's order; those that are gone come last.
///
/// # Errors
/// A pack that cannot be solved, or a system without fitted trials.
pub fn changes(now: &Advisor, last: &Pack, system: &str, rules: &Rules) -> Result<Vec<Change>, AdvisorError> {
    let today = shortlist(now, system, rules)?;
    let network = &now.pack().network;
    if !last.network.systems().contains(&system) {
        return Ok(Vec::new());
    }
    let then = shortlist(&Advisor::new(last.clone())?, system, rules)?;
    let refitted = shortlist(&Advisor::new(Pack::new(last.network.clone())?)?, system, rules)?;
    let codes = |lines: &'_ [Line]| -> Set<String> { lines.iter().map(|l| l.variety.clone()).collect() };
    let both: Set<String> = {
        let ranked = codes(&today);
        codes(&then).into_iter().filter(|code| ranked.contains(code)).collect()
    };
    let order: Map<String, usize> = today.iter().map(|l| (l.variety.clone(), l.rank)).collect();
    let [then, refitted, today] = [&then, &refitted, &today].map(|lines| positions(lines, &both));
    let fresh = new_trials(network, &last.network, system);
    let codes: Set<&str> = then.keys().chain(today.keys()).copied().collect();
    let mut changes: Vec<Change> = codes
        .into_iter()
        .map(|code| {
            let stood = network.means.iter().filter(|mean| mean.variety == code);
            let new: Vec<bool> = stood.filter_map(|mean| fresh.get(mean.trial.as_str()).copied()).collect();
            Change {
                variety: code.to_owned(),
                then: then.get(code).copied(),
                refitted: refitted.get(code).copied(),
                now: today.get(code).copied(),
                new_trials: new.len() as u32,
                new_dry_trials: new.iter().filter(|dry| **dry).count() as u32,
            }
        })
        .collect();
    crate::order::sort_by_key(&mut changes, |change| {
        order.get(&change.variety).copied().unwrap_or(usize::MAX)
    });
    Ok(changes)
}

fn positions<'l>(lines: &'l [Line], both: &Set<String>) -> Map<&'l str, Position> {
    let known: Vec<&Line> = lines.iter().filter(|l| both.contains(&l.variety)).collect();
    let position = |line: &Line| Position {
        rank: match both.contains(&line.variety) {
            true => known.iter().filter(|l| l.group == line.group && l.rank <= line.rank).count(),
            false => line.rank,
        },
        marks_short: line.odds.marks_short,
        of_money: line.odds.net.is_some(),
        expected: line.odds.expected,
        state: line.odds.standing.state,
        by_rules: line.by_rules,
    };
    lines.iter().map(|line| (line.variety.as_str(), position(line))).collect()
}

/// Fitted trials of the system that last year's pack did not have, and whether each is dry.
fn new_trials<'n>(network: &'n Network, last: &Network, system: &str) -> Map<&'n str, bool> {
    let known: Set<&str> = last.trials.iter().map(|trial| trial.trial.as_str()).collect();
    let look = super::look::look(network, &[]);
    let dry: Set<String> = look.trials.into_iter().filter(|t| t.dry).map(|t| t.trial).collect();
    let here = network.trials.iter().filter(|t| t.system == system && t.excluded.is_none());
    here.filter(|t| !known.contains(t.trial.as_str()))
        .map(|t| (t.trial.as_str(), dry.contains(&t.trial)))
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::test_network::network;
    use super::*;

    /// The network without its last season.
    fn last_year() -> Network {
        let mut network = network();
        network.trials.retain(|trial| trial.season < 2024);
        let left: Set<String> = network.trials.iter().map(|trial| trial.trial.clone()).collect();
        network.means.retain(|mean| left.contains(&mean.trial));
        network
    }

    #[test]
    fn nothing_changes_where_nothing_changed() {
        let pack = Pack::new(network()).unwrap();
        let advisor = Advisor::new(pack.clone()).unwrap();
        let rules = Rules::of(&pack.network);
        for change in changes(&advisor, &pack, "dryland", &rules).unwrap() {
            assert_eq!(change.then, change.now);
            assert_eq!(change.refitted, change.now);
            assert_eq!(change.new_trials, 0);
        }
    }

    #[test]
    fn a_newcomer_and_new_trials_are_told_and_the_models_part_is_apart() {
        let mut old = Pack::new(last_year()).unwrap();
        // As if last year's release had thought varieties far more alike in a season.
        old.fitted.variances.season *= 40.0;
        let advisor = Advisor::new(Pack::new(network()).unwrap()).unwrap();
        let rules = Rules::of(&old.network);
        let found = changes(&advisor, &old, "dryland", &rules).unwrap();
        let newcomer = found.iter().find(|change| change.variety == "V7").unwrap();
        assert!(newcomer.then.is_none() && newcomer.now.is_some());
        assert_eq!(newcomer.new_trials, 2);
        let known = found.iter().find(|change| change.variety == "V2").unwrap();
        assert_ne!(known.then.unwrap().expected, known.refitted.unwrap().expected);
        let known: Vec<usize> =
            found.iter().filter(|c| c.then.is_some()).map(|c| c.now.unwrap().rank).collect();
        assert_eq!(
            known,
            (1..=known.len()).collect::<Vec<_>>(),
            "places among those of both years, in order"
        );
    }

    /// A newcomer at the head of the list makes nobody fall.
    #[test]
    fn a_variety_does_not_fall_because_others_came_in() {
        let full = network();
        let advisor = Advisor::new(Pack::new(full.clone()).unwrap()).unwrap();
        let rules = Rules::of(&full);
        let list = shortlist(&advisor, "dryland", &rules).unwrap();
        let best = list.iter().find(|line| line.rank == 1).unwrap().variety.clone();
        let mut without = full.clone();
        without.means.retain(|mean| mean.variety != best);
        without.info.checks.retain(|check| *check != best);
        let found = changes(&advisor, &Pack::new(without).unwrap(), "dryland", &rules).unwrap();
        assert_eq!((found[0].variety.as_str(), found[0].then), (best.as_str(), None));
        assert_eq!(found[0].now.unwrap().rank, 1);
        let moved =
            |c: &&Change| c.then.is_some_and(|then| c.now.is_some_and(|now| now.rank > then.rank + 1));
        assert_eq!(found.iter().find(moved), None);
        assert_eq!(found[1].now.unwrap().rank, 1);
    }
}
