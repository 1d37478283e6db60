//! Shortlists by stated rules, and her word beside them.
//!
//! The rules look at evidence in the system asked for (seasons and trials there, seasons since the last), at
//! ceilings for ratings, and at one order of the odds; how many may stand on the list is stated too. A variety
//! that only lacks evidence and ranks high enough is one to follow. Varieties that no chain of trials joins are never
//! placed against each other: each group of them has its own list. Her word (in, out, follow) is carried along and
//! decides what is handed out; it changes no number and no rank.

use crate::decide::{Advisor, AdvisorError, OddsTable, VarietyOdds};
use crate::link::{Order, Settings, WaterOutlook};
use crate::pack::{Network, ShortlistEntry};
use crate::page::settings_for;
use serde::{Deserialize, Serialize};

/// Where a variety stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stance {
    /// On the list.
    In,
    /// Too new, worth watching.
    Follow,
    /// Off the list.
    Out,
}

impl Stance {
    /// The stance that a word of `shortlist.csv` means.
    pub fn of(word: &str) -> Option<Stance> {
        match word {
            "in" => Some(Stance::In),
            "follow" => Some(Stance::Follow),
            "out" => Some(Stance::Out),
            _ => None,
        }
    }

    /// The word of `shortlist.csv`.
    pub fn word(self) -> &'static str {
        match self {
            Stance::In => "in",
            Stance::Follow => "follow",
            Stance::Out => "out",
        }
    }
}

/// The poorest rating of a trait that the list allows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Ceiling {
    /// Trait code.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// The poorest value allowed, on the trait's own scale.
    pub poorest: f64,
}

/// The rules of a shortlist.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Rules {
    /// Fewest seasons in the system.
    pub seasons: u32,
    /// Fewest trials in the system.
    pub trials: u32,
    /// Most seasons since its last trial in the system; 0 asks for the latest season itself.
    pub since_last: u32,
    /// Ceilings for ratings; a variety without the rating is not held to it.
    pub ceilings: Vec<Ceiling>,
    /// What comes first.
    pub order: Order,
    /// The season assumed.
    pub water: WaterOutlook,
    /// Most varieties on the list.
    pub most: usize,
}

impl Rules {
    /// What a network's list starts from: its own seasons to prove, twice as many trials, last season or the one
    /// before, no ceiling, eight varieties by what they leave.
    pub fn of(network: &Network) -> Rules {
        Rules {
            seasons: network.info.seasons_to_prove,
            trials: 2 * network.info.seasons_to_prove,
            since_last: network.info.lapse_after.saturating_sub(1),
            ceilings: Vec::new(),
            order: Order::Net,
            water: WaterOutlook::Any,
            most: 8,
        }
    }
}

/// Why the rules put a variety where it stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reason {
    /// Enough evidence, no ceiling passed, and this place among those that may stand on the list.
    Ranked {
        /// Place among those, from 1.
        place: usize,
    },
    /// The same, but the list is full before it.
    BelowTheList {
        /// Place among those that may stand on the list, from 1.
        place: usize,
        /// Most varieties on the list.
        most: usize,
    },
    /// Too few seasons in the system.
    TooFewSeasons {
        /// Seasons it has.
        has: u32,
        /// Seasons asked for.
        needs: u32,
    },
    /// Too few trials in the system.
    TooFewTrials {
        /// Trials it has.
        has: u32,
        /// Trials asked for.
        needs: u32,
    },
    /// Never tested in this system.
    NeverHere,
    /// Not tested lately.
    NotLately {
        /// Its last season in the system.
        last: i32,
    },
    /// No chain of trials joins it to most of the others; keeps nothing off the list.
    TestedApart,
    /// A rating poorer than allowed.
    RatedTooPoor {
        /// Trait code.
        #[serde(rename = "trait")]
        trait_: String,
        /// Its rating.
        value: f64,
        /// The poorest allowed.
        poorest: f64,
    },
}

/// A variety on or off a list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Line {
    /// Code.
    pub variety: String,
    /// Its odds under the rules' season.
    pub odds: VarietyOdds,
    /// Its place in the rules' order, from 1, among all varieties that trials join to it.
    pub rank: usize,
    /// Which varieties these are: groups count from 0, in the order of their best.
    pub group: usize,
    /// Where the rules put it.
    pub by_rules: Stance,
    /// Why, every reason.
    pub reasons: Vec<Reason>,
    /// Her word, if she gave one.
    pub word: Option<ShortlistEntry>,
    /// Where it stands in what is handed out: her word, else the rules.
    pub stance: Stance,
}

/// The settings that a system's list is worked out under.
pub fn settings_of(advisor: &Advisor, system: &str, rules: &Rules) -> Settings {
    Settings { water: rules.water, order: rules.order, mine: None, ..settings_for(advisor, system) }
}

/// The shortlist of a system, `In` first, then `Follow`, then `Out`, each in the rules' order.
///
/// # Errors
/// A system without fitted trials.
pub fn shortlist(advisor: &Advisor, system: &str, rules: &Rules) -> Result<Vec<Line>, AdvisorError> {
    let settings = settings_of(advisor, system, rules);
    let table = advisor.table(&advisor.draws(&settings)?, &settings)?;
    Ok(listed(advisor, system, rules, table))
}

/// How many varieties that trials join to one another have been placed so far.
#[derive(Default)]
struct Placed {
    /// A block of the forecast that tells the group; none for a variety that was never in a trial.
    block: Option<usize>,
    /// In the order of the odds.
    all: usize,
    /// Without a fault.
    ranked: usize,
    /// To follow.
    followed: usize,
}

fn listed(advisor: &Advisor, system: &str, rules: &Rules, table: OddsTable) -> Vec<Line> {
    let network = &advisor.pack().network;
    let fitted = network.trials.iter().filter(|t| t.excluded.is_none() && t.system == system);
    let latest = fitted.map(|t| t.season).max().unwrap_or_default();
    let mut lines = Vec::with_capacity(table.varieties.len());
    // Varieties that no trial joins are not in one order, so each group has places and a list of its own.
    let mut groups: Vec<Placed> = Vec::new();
    let blocks = &advisor.model().prepared.varieties;
    for odds in table.varieties {
        let block = blocks.iter().position(|code| *code == odds.variety);
        let joined = |group: &Placed| match group.block.zip(block) {
            Some((a, b)) => advisor.are_joined(a, b),
            None => group.block == block,
        };
        let at = groups.iter().position(joined).unwrap_or_else(|| {
            groups.push(Placed { block, ..Placed::default() });
            groups.len() - 1
        });
        let Placed { all, ranked, followed, .. } = &mut groups[at];
        *all += 1;
        let mut reasons = faults(network, rules, latest, &odds);
        let lacks_evidence = reasons
            .iter()
            .all(|why| matches!(why, Reason::TooFewSeasons { .. } | Reason::TooFewTrials { .. }));
        let by_rules = if reasons.is_empty() {
            *ranked += 1;
            let (place, most) = (*ranked, rules.most);
            let fits = place <= most;
            reasons.push(if fits { Reason::Ranked { place } } else { Reason::BelowTheList { place, most } });
            if fits { Stance::In } else { Stance::Out }
        } else if lacks_evidence && *ranked < rules.most && *followed < rules.most {
            *followed += 1;
            Stance::Follow
        } else {
            Stance::Out
        };
        if odds.standing.apart {
            reasons.push(Reason::TestedApart);
        }
        let word =
            network.shortlist.iter().find(|e| e.system == system && e.variety == odds.variety).cloned();
        let stance = word.as_ref().and_then(|entry| Stance::of(&entry.stance)).unwrap_or(by_rules);
        let variety = odds.variety.clone();
        lines.push(Line { variety, odds, rank: *all, group: at, by_rules, reasons, word, stance });
    }
    crate::order::sort_by_key(&mut lines, |line| {
        (line.stance, line.odds.standing.apart, line.group, line.rank)
    });
    lines
}

/// What keeps a variety off the list, whatever its rank.
fn faults(network: &Network, rules: &Rules, latest: i32, odds: &VarietyOdds) -> Vec<Reason> {
    let standing = &odds.standing;
    let mut faults = Vec::new();
    match standing.last {
        None => return vec![Reason::NeverHere],
        Some(last) if latest - last > rules.since_last as i32 => faults.push(Reason::NotLately { last }),
        Some(_) => {}
    }
    if standing.seasons < rules.seasons {
        faults.push(Reason::TooFewSeasons { has: standing.seasons, needs: rules.seasons });
    }
    if standing.trials < rules.trials {
        faults.push(Reason::TooFewTrials { has: standing.trials, needs: rules.trials });
    }
    for ceiling in &rules.ceilings {
        let trait_ = network.traits.iter().find(|trait_| trait_.trait_ == ceiling.trait_);
        let value = network
            .ratings
            .iter()
            .find(|rating| rating.variety == odds.variety && rating.trait_ == ceiling.trait_)
            .map(|rating| rating.value);
        let ends = trait_.and_then(|trait_| trait_.best.zip(trait_.worst));
        if let (Some(value), Some((best, worst))) = (value, ends) {
            let poorer = if worst > best { value > ceiling.poorest } else { value < ceiling.poorest };
            if poorer {
                let (trait_, poorest) = (ceiling.trait_.clone(), ceiling.poorest);
                faults.push(Reason::RatedTooPoor { trait_, value, poorest });
            }
        }
    }
    faults
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::test_network::{network, network_apart};
    use super::*;
    use crate::pack::Pack;

    fn list(rules: impl Fn(&mut Rules)) -> Vec<Line> {
        let advisor = Advisor::new(Pack::new(network()).unwrap()).unwrap();
        let mut own = Rules::of(&advisor.pack().network);
        rules(&mut own);
        shortlist(&advisor, "dryland", &own).unwrap()
    }

    fn line<'a>(lines: &'a [Line], variety: &str) -> &'a Line {
        lines.iter().find(|line| line.variety == variety).unwrap()
    }

    #[test]
    fn her_word_decides_the_list_and_no_number() {
        let lines = list(|_| {});
        assert_eq!(lines.len(), 8);
        let (best, trusted) = (line(&lines, "V1"), line(&lines, "V4"));
        assert_eq!((best.by_rules, best.stance, best.rank), (Stance::In, Stance::Out, 1));
        assert_eq!(best.word.as_ref().unwrap().note, "lodges");
        assert_eq!(trusted.stance, Stance::In);
        let mut silent = network();
        silent.shortlist.clear();
        let advisor = Advisor::new(Pack::new(silent).unwrap()).unwrap();
        let rules = Rules::of(&advisor.pack().network);
        for other in shortlist(&advisor, "dryland", &rules).unwrap() {
            let own = line(&lines, &other.variety);
            assert_eq!((&own.odds, own.rank, own.by_rules), (&other.odds, other.rank, other.by_rules));
        }
    }

    /// Site A lost a trial to hail, so its varieties are the smaller group and stand behind.
    #[test]
    fn varieties_that_no_trial_joins_have_places_and_lists_of_their_own() {
        let advisor = Advisor::new(Pack::new(network_apart()).unwrap()).unwrap();
        let rules = Rules { most: 2, trials: 3, ..Rules::of(&advisor.pack().network) };
        let lines = shortlist(&advisor, "dryland", &rules).unwrap();
        for (site, apart) in [("V", false), ("A", true)] {
            let own: Vec<&Line> = lines.iter().filter(|line| line.variety.starts_with(site)).collect();
            assert_eq!(own.len(), 8);
            assert!(own.iter().all(|line| line.group == own[0].group && line.odds.standing.apart == apart));
            let mut ranks: Vec<usize> = own.iter().map(|line| line.rank).collect();
            ranks.sort_unstable();
            assert_eq!(ranks, [1, 2, 3, 4, 5, 6, 7, 8]);
            let on: Vec<&&Line> = own.iter().filter(|line| line.by_rules == Stance::In).collect();
            assert_eq!(on.len(), 2, "each group has a list of its own");
            for (place, line) in (1..).zip(on) {
                let mut why = vec![Reason::Ranked { place }];
                why.extend(apart.then_some(Reason::TestedApart));
                assert_eq!(line.reasons, why);
            }
        }
        let on: Vec<bool> = lines
            .iter()
            .take_while(|line| line.stance == Stance::In)
            .map(|line| line.odds.standing.apart)
            .collect();
        assert_eq!(on, [false, false, true, true]);
    }

    #[test]
    fn every_rule_has_its_reason() {
        let lines = list(|_| {});
        let newcomer = line(&lines, "V7");
        assert_eq!(newcomer.reasons[0], Reason::TooFewSeasons { has: 1, needs: 3 });
        assert_eq!(newcomer.reasons[1], Reason::TooFewTrials { has: 2, needs: 6 });
        let short = list(|rules| rules.most = 2);
        let fourth = line(&short, "V4");
        assert!(matches!(fourth.reasons[..], [Reason::BelowTheList { most: 2, .. }]), "{fourth:?}");
        let strict =
            list(|rules| rules.ceilings = vec![Ceiling { trait_: "leaf-rust".into(), poorest: 5.0 }]);
        let poor = line(&strict, "V2");
        assert_eq!(poor.by_rules, Stance::Out);
        let why = Reason::RatedTooPoor { trait_: "leaf-rust".into(), value: 9.0, poorest: 5.0 };
        assert!(poor.reasons.contains(&why));
        assert_eq!(line(&strict, "V3").by_rules, Stance::In);
        assert_eq!(line(&strict, "V5").by_rules, Stance::In, "no rating is no fault");
    }
}
