//! Which trials and varieties hang together: two trials do if they share a variety, directly or through others.
//!
//! Between two groups nothing but the model's prior compares varieties, so a second group has to be seen, and is
//! named when a folder is read. Counts fitted trials only; knows no yield.

use super::columns::MEANS;
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::tables::Network;
use crate::order::Map;
use serde::{Deserialize, Serialize};

/// Trials and varieties that can be compared with each other.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Group {
    /// Trial codes, in the order of the network.
    pub trials: Vec<String>,
    /// Variety codes, in alphabetical order.
    pub varieties: Vec<String>,
}

/// The groups of a network's fitted trials, the one with most trials first. A trial without yields is in none.
pub fn groups(network: &Network) -> Vec<Group> {
    let fitted = network.trials.iter().filter(|trial| trial.excluded.is_none());
    let places: Map<&str, usize> = fitted.clone().map(|t| t.trial.as_str()).zip(0..).collect();
    let mut parents: Vec<usize> = (0..places.len()).collect();
    let mut first_trial: Map<&str, usize> = Map::new();
    for mean in &network.means {
        let Some(&place) = places.get(mean.trial.as_str()) else { continue };
        let first = *first_trial.entry(&mean.variety).or_insert(place);
        let (a, b) = (root(&mut parents, first), root(&mut parents, place));
        parents[a.max(b)] = a.min(b);
    }
    let mut groups: Map<usize, Group> = Map::new();
    for (place, trial) in fitted.enumerate() {
        let group = root(&mut parents, place);
        let slot = groups.entry(group).or_insert_with(|| Group { trials: Vec::new(), varieties: Vec::new() });
        slot.trials.push(trial.trial.clone());
    }
    for (variety, place) in first_trial {
        let group = root(&mut parents, place);
        if let Some(group) = groups.get_mut(&group) {
            group.varieties.push(variety.to_owned());
        }
    }
    let mut groups: Vec<Group> = groups.into_values().filter(|group| !group.varieties.is_empty()).collect();
    crate::order::sort_by_key(&mut groups, |group| std::cmp::Reverse(group.trials.len()));
    groups
}

/// Warns once of all fitted trials that no chain of common varieties joins to the largest group.
pub(super) fn name_trials_apart(network: &Network, problems: &mut Problems) {
    let groups = groups(network);
    let Some((_, apart)) = groups.split_first() else { return };
    let Some((trial, variety)) = apart
        .first()
        .and_then(|group| Some((group.trials.first()?.clone(), group.varieties.first()?.clone())))
    else {
        return;
    };
    let trials = apart.iter().map(|group| group.trials.len()).sum();
    problems.warn(Place::column(MEANS, "variety"), ProblemKind::TrialsApart { trials, trial, variety });
}

/// The least trial that a trial is joined to, with the way there shortened.
fn root(parents: &mut [usize], mut place: usize) -> usize {
    while parents[place] != place {
        parents[place] = parents[parents[place]];
        place = parents[place];
    }
    place
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::office::test_network::network;
    use crate::pack::{read, write};

    #[test]
    fn trials_without_a_common_variety_are_apart() {
        let mut network = network();
        // Other files would have to name the varieties made up below.
        network.varieties.clear();
        network.ratings.clear();
        network.shortlist.clear();
        network.info.checks.clear();
        assert_eq!(groups(&network).len(), 1);
        // A trial that nobody has harvested yet is apart from nothing.
        let mut sown = network.trials[0].clone();
        sown.trial = "sown".to_owned();
        network.trials.push(sown);
        assert_eq!(groups(&network).len(), 1);
        network.trials.pop();
        let apart: Vec<String> =
            network.trials.iter().filter(|t| t.season == 2024).map(|t| t.trial.clone()).collect();
        for mean in network.means.iter_mut().filter(|mean| apart.contains(&mean.trial)) {
            mean.variety = format!("other {}", mean.variety);
        }
        let found = groups(&network);
        assert_eq!(found.len(), 2);
        assert_eq!(found[1].trials, apart);
        assert!(found[1].varieties.iter().all(|variety| variety.starts_with("other")));
        let trials: usize = found.iter().map(|group| group.trials.len()).sum();
        assert_eq!(trials, network.trials.iter().filter(|t| t.excluded.is_none()).count());
        let warned = |network: &Network| -> Vec<ProblemKind> {
            let bytes = |(name, text): (&str, String)| (name.to_owned(), text.into_bytes());
            let warnings = read(&write::files(network).unwrap().into_iter().map(bytes).collect()).warnings;
            let apart = |kind: &ProblemKind| matches!(kind, ProblemKind::TrialsApart { .. });
            warnings.into_iter().map(|problem| problem.kind).filter(apart).collect()
        };
        let trial = apart[0].clone();
        let variety = found[1].varieties[0].clone();
        assert_eq!(warned(&network), [ProblemKind::TrialsApart { trials: apart.len(), trial, variety }]);
        // One common variety joins them again.
        let mean = network.means.iter_mut().find(|mean| apart.contains(&mean.trial)).unwrap();
        mean.variety = mean.variety.replace("other ", "");
        assert_eq!(groups(&network).len(), 1);
        assert_eq!(warned(&network), []);
    }
}
