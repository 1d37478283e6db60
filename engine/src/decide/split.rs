//! The split of acres that makes the worst fifth of seasons best.
//!
//! Maximises the mean of the worst fifth of Σ share_i·outcome_i (conditional value at risk, Rockafellar & Uryasev
//! 2000, J. Risk 2:21–41) over shares in steps of 5 %, with at most n varieties and a least share each. The mean
//! of the worst fifth is concave in the shares and the draws in the tail give a supergradient, so that moving k
//! steps from one variety to another gains at most k/20 × the difference of their means over the tail: moves are
//! tried from the most promising down, and those whose bound is no gain are never tried. Several starts guard
//! against a start that no single move leads out of. It knows outcomes by draw, not varieties.

use super::law::worst_fifth_unsorted;

/// Steps that a whole farm is split into.
pub const STEPS: usize = 20;
/// Single varieties that the search starts from.
const STARTS: usize = 3;
/// Moves that are tried beyond the first that gains, so that a better one near by is not missed.
const TRIES: usize = 24;
/// A gain below this share of the spread of outcomes is none.
const NO_GAIN: f64 = 1e-9;

/// Steps of each variety; those not listed have none.
pub type Steps = Vec<(usize, usize)>;

/// The split, given the outcomes of each variety by draw, the most varieties and the fewest steps of one.
/// Empty only where there is nothing to choose from.
pub fn best_split(outcomes: &[Vec<f64>], most: usize, fewest: usize) -> Steps {
    let fewest = fewest.clamp(1, STEPS);
    let mut singles: Vec<(f64, usize)> =
        outcomes.iter().enumerate().map(|(i, draws)| (Tail::of(draws.clone()).mean, i)).collect();
    crate::order::sort_by(&mut singles, |a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let starts = singles.iter().take(STARTS).map(|&(_, i)| climb(outcomes, vec![(i, STEPS)], most, fewest));
    let best = starts.fold(None, |best: Option<(f64, Steps)>, (value, steps)| match best {
        Some((before, kept)) if before >= value => Some((before, kept)),
        _ => Some((value, steps)),
    });
    best.map(|(_, mut steps)| {
        crate::order::sort_by(&mut steps, |a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
        steps
    })
    .unwrap_or_default()
}

/// Draws of a split.
pub fn draws_of(outcomes: &[Vec<f64>], steps: &[(usize, usize)]) -> Vec<f64> {
    let mut sum = vec![0.0; outcomes.first().map_or(0, Vec::len)];
    for &(i, count) in steps {
        let share = count as f64 / STEPS as f64;
        sum.iter_mut().zip(&outcomes[i]).for_each(|(total, x)| *total += share * x);
    }
    sum
}

/// The worst fifth of some draws.
struct Tail {
    mean: f64,
    /// Value at the fifth.
    edge: f64,
    draws: Vec<f64>,
    scratch: Vec<f64>,
}

impl Tail {
    fn of(draws: Vec<f64>) -> Tail {
        let mut scratch = draws.clone();
        let (mean, edge) = worst_fifth_unsorted(&mut scratch);
        Tail { mean, edge, draws, scratch }
    }

    /// Mean of the worst fifth after moving `share` from one variety to another.
    fn moved(&mut self, from: &[f64], to: &[f64], share: f64) -> f64 {
        let pairs = from.iter().zip(to);
        self.scratch.clear();
        self.scratch.extend(self.draws.iter().zip(pairs).map(|(x, (from, to))| x + share * (to - from)));
        worst_fifth_unsorted(&mut self.scratch).0
    }

    /// Mean of another variety's outcomes over the tail: its part of the supergradient. Draws that tie at the
    /// edge share what the tail has left for them.
    fn mean_over(&self, outcomes: &[f64]) -> f64 {
        let exact = self.draws.len() as f64 / 5.0;
        let (mut below, mut sum, mut at_edge, mut edge_sum) = (0.0, 0.0, 0.0, 0.0);
        for (x, outcome) in self.draws.iter().zip(outcomes) {
            if *x < self.edge {
                below += 1.0;
                sum += outcome;
            } else if *x == self.edge {
                at_edge += 1.0;
                edge_sum += outcome;
            }
        }
        (sum + (exact - below) * edge_sum / f64::max(at_edge, 1.0)) / exact
    }
}

/// A move of steps from one variety to another, with the most it can gain.
struct Move {
    from: usize,
    to: usize,
    steps: usize,
    bound: f64,
}

/// Moves while a move gains; the split and the mean of its worst fifth.
fn climb(outcomes: &[Vec<f64>], mut steps: Steps, most: usize, fewest: usize) -> (f64, Steps) {
    loop {
        let mut tail = Tail::of(draws_of(outcomes, &steps));
        let least = NO_GAIN * (1.0 + tail.mean.abs());
        let gradient: Vec<f64> = outcomes.iter().map(|draws| tail.mean_over(draws)).collect();
        let mut best: Option<(f64, Move)> = None;
        let mut left = TRIES;
        for candidate in moves(&steps, &gradient, most, fewest, least) {
            let gained = best.as_ref().map_or(least, |(gain, _)| *gain);
            if candidate.bound <= gained || left == 0 {
                break;
            }
            let share = candidate.steps as f64 / STEPS as f64;
            let gain = tail.moved(&outcomes[candidate.from], &outcomes[candidate.to], share) - tail.mean;
            if gain > gained {
                best = Some((gain, candidate));
            }
            left -= usize::from(best.is_some());
        }
        match best {
            Some((_, step)) => apply(&mut steps, &step),
            None => return (tail.mean, steps),
        }
    }
}

/// Moves that the limits allow and whose bound is a gain, the most promising first.
fn moves(steps: &[(usize, usize)], gradient: &[f64], most: usize, fewest: usize, least: f64) -> Vec<Move> {
    let mut moves = Vec::new();
    for &(from, held) in steps {
        for (to, slope) in gradient.iter().enumerate().filter(|(to, _)| *to != from) {
            let there = steps.iter().find(|(i, _)| *i == to).map_or(0, |(_, count)| *count);
            for count in 1..=held {
                let (stays, comes) = (held - count, there + count);
                let varieties = steps.len() + usize::from(there == 0) - usize::from(stays == 0);
                let allowed = (stays == 0 || stays >= fewest) && comes >= fewest && varieties <= most.max(1);
                let bound = count as f64 / STEPS as f64 * (slope - gradient[from]);
                if allowed && bound > least {
                    moves.push(Move { from, to, steps: count, bound });
                }
            }
        }
    }
    crate::order::sort_by(&mut moves, |a, b| b.bound.total_cmp(&a.bound));
    moves
}

fn apply(steps: &mut Steps, step: &Move) {
    steps.iter_mut().filter(|(i, _)| *i == step.from).for_each(|(_, count)| *count -= step.steps);
    match steps.iter_mut().find(|(i, _)| *i == step.to) {
        Some((_, count)) => *count += step.steps,
        None => steps.push((step.to, step.steps)),
    }
    steps.retain(|(_, count)| *count > 0);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decide::law::Law;
    use crate::forecast::random::Points;

    /// Outcomes of varieties with a shared season and their own departures; the means rise with the number.
    fn outcomes(varieties: usize, draws: usize, own: f64) -> Vec<Vec<f64>> {
        let points = Points::new(draws);
        let season = points.normal(0);
        (0..varieties as u64)
            .map(|i| {
                let departure = points.normal(100 + i);
                let mean = 30.0 + (i as f64 * 0.4).sin();
                (0..draws).map(|n| mean + 4.0 * season[n] + own * departure[n]).collect()
            })
            .collect()
    }

    fn value(outcomes: &[Vec<f64>], steps: &[(usize, usize)]) -> f64 {
        Law::of(&draws_of(outcomes, steps)).worst_fifth
    }

    /// Every split of the steps over the varieties within the limits.
    fn every_split(varieties: usize, most: usize, fewest: usize) -> Vec<Steps> {
        fn extend(
            from: usize,
            left: usize,
            so_far: &Steps,
            limits: (usize, usize, usize),
            all: &mut Vec<Steps>,
        ) {
            let (varieties, most, fewest) = limits;
            if left == 0 {
                all.push(so_far.clone());
                return;
            }
            if so_far.len() == most {
                return;
            }
            for i in from..varieties {
                for count in fewest..=left {
                    let mut next = so_far.clone();
                    next.push((i, count));
                    extend(i + 1, left - count, &next, limits, all);
                }
            }
        }
        let mut all = Vec::new();
        extend(0, STEPS, &Vec::new(), (varieties, most, fewest), &mut all);
        all
    }

    /// Against every split there is: within a thousandth of what the best of them gains over one variety.
    #[test]
    fn it_finds_what_trying_every_split_finds() {
        for (varieties, most, fewest, own) in [(5, 3, 2, 3.0), (6, 2, 4, 5.0), (4, 4, 1, 1.0), (5, 1, 1, 3.0)]
        {
            let outcomes = outcomes(varieties, 256, own);
            let found = best_split(&outcomes, most, fewest);
            let all = every_split(varieties, most, fewest);
            let best = all.iter().map(|s| value(&outcomes, s)).fold(f64::NEG_INFINITY, f64::max);
            let single =
                (0..varieties).map(|i| value(&outcomes, &[(i, STEPS)])).fold(f64::NEG_INFINITY, f64::max);
            let got = value(&outcomes, &found);
            assert!(found.iter().map(|s| s.1).sum::<usize>() == STEPS && found.len() <= most);
            assert!(found.iter().all(|s| s.1 >= fewest));
            assert!(
                best - got <= 1e-3 * (best - single) + 1e-9,
                "{varieties}, {most}: {got} for {best}, one {single}"
            );
        }
    }

    #[test]
    fn nothing_to_choose_from_is_no_split() {
        assert_eq!(best_split(&[], 3, 2), Vec::new());
    }
}
