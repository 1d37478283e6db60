//! Acres split over varieties: the whole farm's law, beside one variety's and the split that helps most.
//!
//! A farm's outcome in a draw is the sum of its varieties' by their shares of the area: what the varieties share
//! (water, season, harvest, price) stays, what is each one's own averages out. The suggestion maximises the mean
//! of the worst fifth ([`super::split`]); its gain is counted against the best single variety by the same
//! measure, and below 2 % of the usual yield splitting hardly helps. It knows draws, not models.

use super::account::Account;
use super::law::{Law, marks, mean, worst_fifth_unsorted};
use super::split::{STEPS, Steps, best_split};
use serde::{Deserialize, Serialize};

/// Gain in the worst fifth, as a share of the usual yield, below which splitting hardly helps.
pub const HARDLY: f64 = 0.02;
/// Most varieties of a suggestion where the reader says nothing, and at all.
pub const MOST_VARIETIES: (usize, usize) = (3, 5);
/// Least share of one variety where the reader says nothing.
const LEAST_SHARE: f64 = 0.1;

/// A variety on the farm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Holding {
    /// Variety code.
    pub variety: String,
    /// Share of the area, 0–1; the shares of a farm add to 1.
    pub share: f64,
    /// Acres or hectares, where the area is known.
    pub area: Option<f64>,
}

/// Acres that one disease or pest could take when severe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ThreatShare {
    /// Trait code.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// Σ share × loss of a healthy yield under a severe attack: the share of the farm's crop, 0–1.
    pub share: f64,
    /// The same in acres or hectares, where the area is known.
    pub area: Option<f64>,
}

/// A farm of one or more varieties; everything per area.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Farm {
    /// Varieties, as they were given or largest first.
    pub holdings: Vec<Holding>,
    /// Law of the yield, yield unit.
    #[serde(rename = "yield")]
    pub yield_: Law,
    /// Law of what is left after costs; `None` without price and cost.
    pub net: Option<Law>,
    /// Chance that the net is below 0, or the yield below the target.
    pub chance_short: f64,
    /// Marks of the twenty that are short.
    pub marks_short: u8,
    /// What each threat could take, in the order of the table's losses.
    pub threats: Vec<ThreatShare>,
}

impl Farm {
    /// Average of the worst fifth: of the net, or of the yield where there is no money.
    pub fn worst_fifth(&self) -> f64 {
        self.net.as_ref().unwrap_or(&self.yield_).worst_fifth
    }

    /// Average of the net, or of the yield.
    pub fn expected(&self) -> f64 {
        self.net.as_ref().unwrap_or(&self.yield_).expected
    }
}

/// The split that helps most, and what it is worth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Suggestion {
    /// The farm so split.
    pub farm: Farm,
    /// What the average of its worst fifth gains over [`AcrePlan::single`]: money per area, or yield.
    pub gain: f64,
    /// That gain as a share of the usual yield (money turned to yield by what a unit leaves).
    pub gain_share: f64,
    /// Whether that is below 2 %: splitting hardly helps.
    pub hardly_helps: bool,
    /// What the average season gives up against the single variety that is best on average.
    pub average_given_up: f64,
    /// Code of that variety.
    pub best_on_average: String,
    /// What a second variety costs, where the split is one alone and the limits leave room for another.
    pub second: Option<Second>,
}

/// The second variety that costs least in the worst fifth, with the least share that the limits allow: whoever
/// wants two on the farm knows the price.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Second {
    /// Code.
    pub variety: String,
    /// Its share of the area, 0–1.
    pub share: f64,
    /// What the average of the worst fifth gives up: money per area, or yield.
    pub worst_given_up: f64,
    /// What the average season gives up.
    pub average_given_up: f64,
}

/// Acres: what the reader has, the best single variety, the suggestion.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AcrePlan {
    /// Acres or hectares in all; `None` where none are typed.
    pub area: Option<f64>,
    /// The reader's own split; `None` where none is typed.
    pub farm: Option<Farm>,
    /// Codes of the split that no trial here speaks for; they are left out of it.
    pub left_out: Vec<String>,
    /// The single variety whose worst fifth is best, of those that may be chosen; `None` where none may.
    pub single: Option<Farm>,
    /// The suggested split.
    pub suggestion: Option<Suggestion>,
    /// Most varieties and least share of each that the suggestion keeps to.
    pub limits: (u8, f64),
}

/// One variety as it enters.
#[derive(Debug, Clone)]
pub struct Grown {
    /// Code.
    pub variety: String,
    /// Grain by draw, yield unit.
    pub grain: Vec<f64>,
    /// Net by draw, or grain where there is no money.
    pub outcome: Vec<f64>,
    /// Share of a healthy yield that each threat takes when severe.
    pub severe: Vec<f64>,
    /// Whether a suggestion may choose it.
    pub may_choose: bool,
}

/// What the plan is asked under.
#[derive(Debug, Clone, Copy)]
pub struct AcreQuestion<'a> {
    /// The field's account.
    pub account: &'a Account,
    /// Codes of the threats.
    pub threats: &'a [String],
    /// Acres by variety, as the reader typed them.
    pub acres: &'a [(String, f64)],
    /// Most varieties, if the reader says.
    pub at_most: Option<u8>,
    /// Fewest acres of one variety, if the reader says.
    pub min_acres: Option<f64>,
}

/// The plan.
pub fn plan(grown: &[Grown], question: &AcreQuestion<'_>) -> AcrePlan {
    let place = |code: &str| grown.iter().position(|g| g.variety == code);
    let known: Vec<(usize, f64)> =
        question.acres.iter().filter_map(|(code, area)| Some((place(code)?, *area))).collect();
    let total: f64 = known.iter().map(|k| k.1).sum();
    let area = (total > 0.0).then_some(total);
    let farm = area.map(|total| {
        let shares: Vec<(usize, f64)> = known.iter().map(|(i, area)| (*i, area / total)).collect();
        farm(grown, &shares, area, question)
    });
    let (most, fewest) = limits(question, area);
    let chosen: Vec<usize> = (0..grown.len()).filter(|&i| grown[i].may_choose).collect();
    let outcomes: Vec<Vec<f64>> = chosen.iter().map(|&i| grown[i].outcome.clone()).collect();
    let alone = |i: usize| farm_of(grown, &[(i, STEPS)], area, question);
    let singles: Vec<(usize, f64, f64)> = chosen
        .iter()
        .map(|&i| {
            let law = Law::of(&grown[i].outcome);
            (i, law.worst_fifth, law.expected)
        })
        .collect();
    let best_by = |of: fn(&(usize, f64, f64)) -> f64| {
        singles.iter().copied().reduce(|a, b| if of(&b) > of(&a) { b } else { a })
    };
    let single = best_by(|s| s.1).map(|s| alone(s.0));
    let suggestion = single.as_ref().zip(best_by(|s| s.2)).map(|(single, on_average)| {
        let steps: Steps =
            best_split(&outcomes, most, fewest).into_iter().map(|(i, steps)| (chosen[i], steps)).collect();
        let farm = farm_of(grown, &steps, area, question);
        let gain = farm.worst_fifth() - single.worst_fifth();
        let usual = question.account.usual * question.account.margin();
        let gain_share = if usual > 0.0 { gain / usual } else { 0.0 };
        Suggestion {
            gain,
            gain_share,
            hardly_helps: gain_share < HARDLY,
            // To the last bit nothing where the split is that variety alone.
            average_given_up: if steps[..] == [(on_average.0, STEPS)] {
                0.0
            } else {
                on_average.2 - farm.expected()
            },
            best_on_average: grown[on_average.0].variety.clone(),
            second: second(grown, &chosen, &steps, (most, fewest)),
            farm,
        }
    });
    AcrePlan {
        area,
        farm,
        left_out: question.acres.iter().map(|a| &a.0).filter(|code| place(code).is_none()).cloned().collect(),
        single,
        suggestion,
        limits: (most as u8, fewest as f64 / STEPS as f64),
    }
}

/// The second variety beside one alone. The mean of the worst fifth is concave along the way from one variety to
/// another, so that where the first alone is best a second takes least with the least share.
fn second(
    grown: &[Grown],
    chosen: &[usize],
    steps: &[(usize, usize)],
    (most, fewest): (usize, usize),
) -> Option<Second> {
    let (&[(first, _)], true) = (steps, most > 1 && 2 * fewest <= STEPS) else { return None };
    let share = fewest as f64 / STEPS as f64;
    let worst = |draws: &[f64]| worst_fifth_unsorted(&mut draws.to_vec()).0;
    let alone = &grown[first].outcome;
    let others = chosen.iter().filter(|&&i| i != first).map(|&i| {
        (i, worst(&weighted([(alone.as_slice(), 1.0 - share), (&grown[i].outcome, share)].into_iter())))
    });
    let (best, left) = others.reduce(|a, b| if b.1 > a.1 { b } else { a })?;
    Some(Second {
        variety: grown[best].variety.clone(),
        share,
        worst_given_up: worst(alone) - left,
        average_given_up: share * (mean(alone) - mean(&grown[best].outcome)),
    })
}

/// Most varieties and fewest steps of one.
fn limits(question: &AcreQuestion<'_>, area: Option<f64>) -> (usize, usize) {
    let most = question.at_most.map_or(MOST_VARIETIES.0, usize::from).clamp(1, MOST_VARIETIES.1);
    let share = question.min_acres.zip(area).map_or(LEAST_SHARE, |(fewest, area)| fewest / area);
    // A share just above a step by rounding is that step.
    let steps = (share * STEPS as f64 - 1e-9).ceil();
    (most, (steps.max(1.0) as usize).min(STEPS))
}

fn farm_of(
    grown: &[Grown],
    steps: &[(usize, usize)],
    area: Option<f64>,
    question: &AcreQuestion<'_>,
) -> Farm {
    let shares: Vec<(usize, f64)> =
        steps.iter().map(|(i, count)| (*i, *count as f64 / STEPS as f64)).collect();
    farm(grown, &shares, area, question)
}

/// A farm with these shares of its area.
fn farm(grown: &[Grown], shares: &[(usize, f64)], area: Option<f64>, question: &AcreQuestion<'_>) -> Farm {
    let grain = weighted(shares.iter().map(|(i, share)| (grown[*i].grain.as_slice(), *share)));
    let outcome = weighted(shares.iter().map(|(i, share)| (grown[*i].outcome.as_slice(), *share)));
    let line = question.account.line();
    let short = outcome.iter().filter(|x| **x < line).count() as f64 / outcome.len() as f64;
    let threats = question.threats.iter().enumerate().map(|(d, code)| {
        let share: f64 = shares.iter().map(|(i, share)| share * grown[*i].severe[d]).sum();
        ThreatShare { trait_: code.clone(), share, area: area.map(|area| area * share) }
    });
    Farm {
        holdings: shares
            .iter()
            .map(|(i, share)| Holding {
                variety: grown[*i].variety.clone(),
                share: *share,
                area: area.map(|area| area * share),
            })
            .collect(),
        yield_: Law::of(&grain),
        net: question.account.money.map(|_| Law::of(&outcome)),
        chance_short: short,
        marks_short: marks(short),
        threats: threats.collect(),
    }
}

fn weighted<'a>(parts: impl Iterator<Item = (&'a [f64], f64)>) -> Vec<f64> {
    let mut sum: Vec<f64> = Vec::new();
    for (draws, share) in parts {
        sum.resize(draws.len(), 0.0);
        sum.iter_mut().zip(draws).for_each(|(total, x)| *total += share * x);
    }
    sum
}
