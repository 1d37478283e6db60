//! What a variety must have: which of the needed traits each one lacks, and why.
//!
//! A variety has a trait when its rating lies in the better half of the trait's scale, between best and worst,
//! the middle included. A trait without a best and a worst counts days or inches, and more of it is asked for
//! (later heading, later first hollow stem): there the middle of the rated varieties, or later, passes. No
//! rating is no proof: unknown fails, and says so. It knows ratings, not odds.

use crate::order::Map;
use crate::pack::Network;
use serde::{Deserialize, Serialize};

/// What a trait must be at the least.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Rule {
    needed: f64,
    higher_is_better: bool,
}

/// One needed trait that a variety has not, or is not known to have.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NeedFailure {
    /// Trait code.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// Why it fails.
    pub reason: NeedReason,
    /// The value that would pass, on the trait's own scale; absent where nothing is rated at all.
    pub needed: Option<f64>,
    /// Whether values above that pass, or values below.
    pub higher_is_better: bool,
}

/// Why a need is not met.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NeedReason {
    /// Not rated.
    Unknown,
    /// Rated this, which is worse than needed.
    Worse(f64),
}

/// The failures of each variety of a list, in its order; empty for one that has everything needed. Needs that
/// are no trait of the network are passed over.
pub fn failures<'a>(
    network: &Network,
    need: &[String],
    varieties: impl Iterator<Item = &'a String>,
) -> Vec<Vec<NeedFailure>> {
    let needs: Vec<(Option<Rule>, &str, Map<&str, f64>)> = need
        .iter()
        .filter(|code| network.traits.iter().any(|t| t.trait_ == **code))
        .map(|code| {
            let ratings = network.ratings_of(code);
            (rule(network, code, &ratings), code.as_str(), ratings)
        })
        .collect();
    varieties
        .map(|variety| {
            let failing = needs.iter().filter_map(|(rule, code, ratings)| {
                let value = ratings.get(variety.as_str()).copied();
                let reason = match (rule, value) {
                    (Some(rule), Some(value)) if passes(rule, value) => return None,
                    (Some(_), Some(value)) => NeedReason::Worse(value),
                    (_, None) | (None, _) => NeedReason::Unknown,
                };
                Some(NeedFailure {
                    trait_: (*code).to_owned(),
                    reason,
                    needed: rule.as_ref().map(|rule| rule.needed),
                    higher_is_better: rule.as_ref().is_none_or(|rule| rule.higher_is_better),
                })
            });
            failing.collect()
        })
        .collect()
}

fn passes(rule: &Rule, value: f64) -> bool {
    if rule.higher_is_better { value >= rule.needed } else { value <= rule.needed }
}

fn rule(network: &Network, code: &str, ratings: &Map<&str, f64>) -> Option<Rule> {
    let about = network.traits.iter().find(|t| t.trait_ == code)?;
    if let (Some(best), Some(worst)) = (about.best, about.worst) {
        let needed = 0.5 * (best + worst);
        return Some(Rule { needed, higher_is_better: best > worst });
    }
    let mut values: Vec<f64> = ratings.values().copied().collect();
    leanyear_vectors::sort(&mut values);
    let middle = (*values.get(values.len().saturating_sub(1) / 2)? + *values.get(values.len() / 2)?) / 2.0;
    Some(Rule { needed: middle, higher_is_better: true })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::pack::{Rating, TraitKind};

    fn network() -> Network {
        let mut network = crate::decide::test_network::network();
        let rating = |variety: &str, trait_: &str, value| Rating {
            variety: variety.to_owned(),
            trait_: trait_.to_owned(),
            value,
            seasons: None,
        };
        network.ratings = vec![
            rating("A", "straw", 5.0),
            rating("B", "straw", 5.1),
            rating("A", "rust", 4.9),
            rating("B", "rust", 9.0),
            rating("A", "heading", -2.0),
            rating("B", "heading", 3.0),
        ];
        network.traits = vec![
            crate::decide::test_network::a_trait("straw", TraitKind::Agronomic, Some((1.0, 9.0))),
            crate::decide::test_network::a_trait("rust", TraitKind::Disease, Some((9.0, 1.0))),
            crate::decide::test_network::a_trait("heading", TraitKind::Agronomic, None),
        ];
        network
    }

    fn check(need: &[&str], variety: &str, want: &[(&str, NeedReason, f64)]) {
        let need: Vec<String> = need.iter().map(|code| (*code).to_owned()).collect();
        let got = failures(&network(), &need, [variety.to_owned()].iter()).remove(0);
        let got: Vec<_> = got.iter().map(|f| (f.trait_.as_str(), f.reason, f.needed.unwrap())).collect();
        assert_eq!(got, want, "{variety}");
    }

    #[test]
    fn the_middle_of_the_scale_passes_and_beyond_it_fails_whichever_way_the_scale_runs() {
        check(&["straw", "rust"], "A", &[("rust", NeedReason::Worse(4.9), 5.0)]);
        check(&["straw", "rust"], "B", &[("straw", NeedReason::Worse(5.1), 5.0)]);
    }

    #[test]
    fn without_a_rating_it_fails_and_says_so() {
        let unknown = |code| (code, NeedReason::Unknown, 5.0);
        check(&["straw", "rust"], "C", &[unknown("straw"), unknown("rust")]);
    }

    #[test]
    fn without_a_scale_later_than_the_middle_passes() {
        check(&["heading"], "A", &[("heading", NeedReason::Worse(-2.0), 0.5)]);
        check(&["heading"], "B", &[]);
    }

    #[test]
    fn nothing_needed_and_needs_from_elsewhere_fail_nobody() {
        check(&[], "A", &[]);
        check(&["no-such-trait"], "A", &[]);
    }
}
