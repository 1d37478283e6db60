//! From the joint draws to the numbers of each variety: averages, ranges, chances, pairs, the best.
//!
//! Everything is read off the same draws, so that counts, pairs and the best agree by construction. It
//! knows no model: only yields by draw, money and standing.

use super::money::Money;
use super::table::{BreakEven, Standing, VarietyOdds};
use crate::link::Order;

/// Seasons shown for each variety.
pub const MARKS: usize = 20;
/// A variety stays in the group while its chance to be at least the leader is this much.
const GROUP_CHANCE: f64 = 0.10;

/// One variety as it enters: its draws, in the unit of the settings.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// Code.
    pub variety: String,
    /// Yield by draw.
    pub yields: Vec<f64>,
    /// The same in ascending order.
    pub sorted: Vec<f64>,
    /// Long-run difference by draw.
    pub long_run: Vec<f64>,
    /// Seed cost per area.
    pub seed_cost: f64,
    /// Whether that is the variety's own, not the average of the others.
    pub seed_cost_known: bool,
    /// How long tested.
    pub standing: Standing,
}

impl Candidate {
    /// Whether it may be named as the best: tested in this system, lately, and in such a season.
    fn nameable(&self) -> bool {
        self.standing.current() && self.standing.trials_like_this > 0
    }
}

/// What the odds are asked under.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// Money, if price and cost are known.
    pub money: Option<Money>,
    /// What decides "short".
    pub break_even: BreakEven,
    /// Standard normal number for the price of each draw.
    pub price_scores: &'a [f64],
    /// What comes first.
    pub order: Order,
    /// Code of the one I grow.
    pub mine: Option<&'a str>,
    /// Code of the check compared with.
    pub check: Option<&'a str>,
}

/// Odds of every candidate, in the order asked for.
pub fn odds(candidates: &[Candidate], question: &Question<'_>) -> Vec<VarietyOdds> {
    let outcomes: Vec<Vec<f64>> = candidates.iter().map(|c| outcome(c, question)).collect();
    let lasting: Vec<Vec<f64>> = candidates.iter().map(|c| lasting_value(c, question)).collect();
    let comparable: Vec<bool> = candidates.iter().map(|c| c.standing.current()).collect();
    let best = share_of_wins(&outcomes, &comparable);
    let best_longrun = share_of_wins(&lasting, &comparable);
    let group = group(candidates, &lasting);
    let place = |code: Option<&str>| candidates.iter().position(|c| Some(c.variety.as_str()) == code);
    let (mine, check) = (place(question.mine), place(question.check));
    let mut rows: Vec<VarietyOdds> = candidates
        .iter()
        .enumerate()
        .map(|(i, candidate)| {
            let against = |other: Option<usize>| {
                other.filter(|&j| j != i).map(|j| chance_to_beat(&outcomes[i], &outcomes[j]))
            };
            VarietyOdds {
                beats_check: against(check),
                beats_mine: against(mine),
                best: best[i],
                best_longrun: best_longrun[i],
                group: group[i],
                ..alone(candidate, &outcomes[i], question)
            }
        })
        .collect();
    sort(&mut rows, question.order);
    rows
}

/// Net of each draw, or its yield where there is no money.
fn outcome(candidate: &Candidate, question: &Question<'_>) -> Vec<f64> {
    match question.money {
        Some(money) => candidate
            .yields
            .iter()
            .zip(question.price_scores)
            .map(|(y, z)| money.net(*y, candidate.seed_cost, *z))
            .collect(),
        None => candidate.yields.clone(),
    }
}

/// Long-run difference less what the seed costs, in yield.
fn lasting_value(candidate: &Candidate, question: &Question<'_>) -> Vec<f64> {
    let seed = question
        .money
        .map(|m| (m.price - m.unit_cost, candidate.seed_cost))
        .filter(|(margin, _)| *margin > 0.0)
        .map_or(0.0, |(margin, seed)| seed / margin);
    candidate.long_run.iter().map(|x| x - seed).collect()
}

/// The numbers of one variety that need no other.
fn alone(candidate: &Candidate, outcome: &[f64], question: &Question<'_>) -> VarietyOdds {
    let count = outcome.len() as f64;
    let sorted = &candidate.sorted;
    let target = match (question.money, question.break_even) {
        (Some(_), _) => 0.0,
        (None, BreakEven::Target(target)) => target,
        (None, _) => f64::NEG_INFINITY,
    };
    let (mut short, mut missing) = (0.0, 0.0);
    for value in outcome.iter().filter(|v| **v < target) {
        short += 1.0;
        missing += target - value;
    }
    let chance_short = short / count;
    let seasons: Vec<f64> = (0..MARKS).map(|k| quantile(sorted, (k as f64 + 0.5) / MARKS as f64)).collect();
    let nets = question.money.map(|money| {
        let worst = if money.rises_with_yield() {
            let nets: Vec<f64> =
                sorted[..fifth_of(sorted)].iter().map(|y| money.net(*y, candidate.seed_cost, 0.0)).collect();
            worst_of(&nets, outcome.len())
        } else {
            let mut nets = outcome.to_vec();
            nets.sort_unstable_by(f64::total_cmp);
            worst_fifth(&nets)
        };
        (mean(outcome), worst)
    });
    VarietyOdds {
        variety: candidate.variety.clone(),
        expected: mean(&candidate.yields),
        low80: quantile(sorted, 0.1),
        high80: quantile(sorted, 0.9),
        failed_marks: seasons.iter().filter(|y| **y <= 0.0).count() as u8,
        marks_short: (0..MARKS).filter(|k| (*k as f64 + 0.5) / (MARKS as f64) < chance_short).count() as u8,
        seasons,
        break_even: own_break_even(candidate, question),
        chance_short,
        shortfall: if short > 0.0 { missing / short } else { 0.0 },
        net: nets.map(|n| n.0),
        worst_fifth: worst_fifth(sorted),
        worst_fifth_net: nets.map(|n| n.1),
        beats_check: None,
        beats_mine: None,
        seed_cost: candidate.seed_cost,
        seed_cost_known: candidate.seed_cost_known,
        best: 0.0,
        best_longrun: 0.0,
        group: false,
        standing: candidate.standing.clone(),
    }
}

/// The line between good and short for one variety: seed that costs more moves it up.
fn own_break_even(candidate: &Candidate, question: &Question<'_>) -> Option<f64> {
    let line = match question.money {
        Some(money) => Money { costs: money.costs + candidate.seed_cost, ..money }.break_even(),
        None => question.break_even,
    };
    match line {
        BreakEven::Yield(at) | BreakEven::Target(at) => Some(at),
        BreakEven::CostsMoreToHaul | BreakEven::NoSingleCrossing => None,
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Quantile of sorted values, linear between the points (k − ½)/N (Hyndman & Fan 1996, definition 5).
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let last = sorted.len() - 1;
    let place = (share * sorted.len() as f64 - 0.5).clamp(0.0, last as f64);
    let below = place.floor() as usize;
    let rest = place - below as f64;
    sorted[below] + rest * (sorted[(below + 1).min(last)] - sorted[below])
}

/// Mean of the lowest fifth of sorted values.
fn worst_fifth(sorted: &[f64]) -> f64 {
    worst_of(sorted, sorted.len())
}

/// Draws that the worst fifth reaches into.
fn fifth_of(sorted: &[f64]) -> usize {
    sorted.len().div_ceil(5)
}

/// Mean of the worst fifth of `count` draws, of which at least that fifth is given, ascending.
fn worst_of(sorted: &[f64], count: usize) -> f64 {
    let exact = count as f64 / 5.0;
    let whole = exact.floor() as usize;
    let part = exact - whole as f64;
    let next = sorted.get(whole).copied().unwrap_or_default();
    (sorted[..whole].iter().sum::<f64>() + part * next) / exact
}

/// P(a > b) + ½ P(a = b) over joint draws.
pub fn chance_to_beat(a: &[f64], b: &[f64]) -> f64 {
    let score: f64 = a
        .iter()
        .zip(b)
        .map(|(x, y)| match x.total_cmp(y) {
            std::cmp::Ordering::Greater => 1.0,
            std::cmp::Ordering::Equal => 0.5,
            std::cmp::Ordering::Less => 0.0,
        })
        .sum();
    score / a.len() as f64
}

/// Share of draws in which each is the greatest of those that take part; ties are shared.
fn share_of_wins(values: &[Vec<f64>], taking_part: &[bool]) -> Vec<f64> {
    let players: Vec<usize> = (0..values.len()).filter(|&i| taking_part[i]).collect();
    let draws = values.first().map_or(0, Vec::len);
    let mut wins = vec![0.0; values.len()];
    let mut top = vec![f64::NEG_INFINITY; draws];
    for &i in &players {
        top.iter_mut().zip(&values[i]).for_each(|(best, x)| *best = best.max(*x));
    }
    let mut tied = vec![0.0; draws];
    for &i in &players {
        let here = tied.iter_mut().zip(&top).zip(&values[i]);
        here.for_each(|((count, best), x)| *count += f64::from(u8::from(x == best)));
    }
    for &i in &players {
        let here = tied.iter().zip(&top).zip(&values[i]);
        let won: f64 = here.filter(|((_, best), x)| x == best).map(|((count, _), _)| 1.0 / count).sum();
        wins[i] = won / draws as f64;
    }
    wins
}

/// Who belongs to the group too close to call: chance of at least equalling the leader in the long run,
/// nothing redrawn.
fn group(candidates: &[Candidate], lasting: &[Vec<f64>]) -> Vec<bool> {
    let leader = (0..candidates.len())
        .filter(|&i| candidates[i].nameable())
        .max_by(|&a, &b| mean(&lasting[a]).total_cmp(&mean(&lasting[b])));
    let Some(leader) = leader else { return vec![false; candidates.len()] };
    (0..candidates.len())
        .map(|i| {
            let at_least = lasting[i].iter().zip(&lasting[leader]).filter(|(x, y)| x >= y).count();
            candidates[i].standing.current() && at_least as f64 >= GROUP_CHANCE * lasting[i].len() as f64
        })
        .collect()
}

fn sort(rows: &mut [VarietyOdds], order: Order) {
    let average = |row: &VarietyOdds| row.net.unwrap_or(row.expected);
    let worst = |row: &VarietyOdds| row.worst_fifth_net.unwrap_or(row.worst_fifth);
    rows.sort_by(|a, b| {
        let first = match order {
            Order::Net => average(b).total_cmp(&average(a)),
            Order::WorstFifth => worst(b).total_cmp(&worst(a)),
            Order::ChanceShort => a.chance_short.total_cmp(&b.chance_short),
        };
        first.then(average(b).total_cmp(&average(a))).then(a.variety.cmp(&b.variety))
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_of_a_known_sample() {
        let sorted: Vec<f64> = (1..=10).map(f64::from).collect();
        // Hyndman & Fan's definition 5 by hand: p·n + ½ = 1.5 and 5.5.
        assert!((quantile(&sorted, 0.1) - 1.5).abs() < 1e-12);
        assert!((quantile(&sorted, 0.5) - 5.5).abs() < 1e-12);
        assert_eq!(quantile(&sorted, 0.0), 1.0);
    }

    #[test]
    fn pairs_add_to_one_and_the_best_add_to_one() {
        let a = vec![1.0, 2.0, 0.0, 4.0];
        let b = vec![0.5, 2.0, 0.0, 5.0];
        assert!((chance_to_beat(&a, &b) + chance_to_beat(&b, &a) - 1.0).abs() < 1e-12);
        let wins = share_of_wins(&[a, b], &[true, true]);
        assert!((wins.iter().sum::<f64>() - 1.0).abs() < 1e-12 && (wins[0] - 0.5).abs() < 1e-12);
    }

    #[test]
    fn the_worst_fifth_takes_part_of_a_draw_where_it_must() {
        // Eight draws: the lowest 1.6 of them are 1 and six tenths of 2.
        let sorted: Vec<f64> = (1..=8).map(f64::from).collect();
        assert!((worst_fifth(&sorted) - (1.0 + 0.6 * 2.0) / 1.6).abs() < 1e-12);
    }
}
