//! From the joint draws to the numbers of each variety: averages, ranges, chances, pairs, the best.
//!
//! Everything is read off the same draws, so that counts, pairs and the best agree by construction. It
//! knows no model: only yields by draw, money and standing.

use super::law::{
    Law, fifth_of, marks, mean, quantile, seasons, worst_fifth, worst_fifth_unsorted, worst_of,
};
use super::money::{Money, VarietyTerms, worth};
use super::needs::NeedFailure;
use super::table::{BreakEven, NetLaw, Standing, VarietyOdds};
use crate::link::Order;
use leanyear_vectors as vectors;
use std::borrow::Cow;

/// A variety stays in the group while its chance to be at least the leader is this much.
const GROUP_CHANCE: f64 = 0.10;

/// One variety as it enters: its draws, in the unit of the settings.
#[derive(Debug, Clone)]
pub struct Candidate<'a> {
    /// Code.
    pub variety: String,
    /// Ungrazed yield by draw.
    pub yields: Cow<'a, [f64]>,
    /// The same in ascending order.
    pub sorted: Cow<'a, [f64]>,
    /// Long-run difference by draw.
    pub long_run: Cow<'a, [f64]>,
    /// Its own seed, docks and grazing.
    pub terms: VarietyTerms,
    /// Whether the seed cost is the variety's own, not the average of the others.
    pub seed_cost_known: bool,
    /// What it lacks of what is needed.
    pub fails: Vec<NeedFailure>,
    /// How long tested.
    pub standing: Standing,
    /// Number of the group of trials that it stood in: those of two groups met in no trial, not even through others.
    pub joined: usize,
}

impl Candidate<'_> {
    /// Whether it takes part in being the best: tested in this system, lately, with everything needed.
    fn takes_part(&self) -> bool {
        self.standing.current() && self.fails.is_empty()
    }

    /// Whether it takes part and was tested in such a season.
    fn tried(&self) -> bool {
        self.takes_part() && self.standing.trials_like_this > 0
    }

    /// Its average grain.
    fn mean_grain(&self) -> f64 {
        if self.terms.grazed.is_not() {
            return mean(&self.yields);
        }
        self.yields.iter().map(|y| self.terms.grazed.grain(*y)).sum::<f64>() / self.yields.len() as f64
    }

    /// Its grain in ascending order.
    fn sorted_grain(&self) -> Cow<'_, [f64]> {
        if self.terms.grazed.is_not() {
            return Cow::Borrowed(&self.sorted);
        }
        // More yield never makes less grain, so the order stays.
        Cow::Owned(self.sorted.iter().map(|y| self.terms.grazed.grain(*y)).collect())
    }
}

/// What the odds are asked under.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// Money, if price and cost are known.
    pub money: Option<Money>,
    /// What decides "short".
    pub break_even: BreakEven,
    /// Price of each draw; 1 where there is no money.
    pub prices: &'a [f64],
    /// What the reference set makes in the typical season, yield unit.
    pub level: f64,
    /// Whether the law of the net is wanted beside that of the yield.
    pub net_law: bool,
    /// What comes first.
    pub order: Order,
    /// Code of the one I grow.
    pub mine: Option<&'a str>,
    /// Code of the check compared with.
    pub check: Option<&'a str>,
}

/// Odds of every candidate, in the order asked for.
pub fn odds(candidates: &[Candidate<'_>], question: &Question<'_>) -> Vec<VarietyOdds> {
    let outcomes: Vec<Vec<f64>> = candidates.iter().map(|c| outcomes_of(c, question)).collect();
    let lasting: Vec<Vec<f64>> = candidates.iter().map(|c| lasting_value(c, question)).collect();
    let comparable: Vec<bool> = candidates.iter().map(Candidate::takes_part).collect();
    let best = share_of_wins(&outcomes, &comparable);
    let best_longrun = share_of_wins(&lasting, &comparable);
    let nameable = nameable(candidates);
    let group = group(candidates, &lasting, &nameable);
    let place = |code: Option<&str>| candidates.iter().position(|c| Some(c.variety.as_str()) == code);
    let (mine, check) = (place(question.mine), place(question.check));
    let mut rows: Vec<VarietyOdds> = candidates
        .iter()
        .enumerate()
        .map(|(i, candidate)| {
            let against = |other: Option<usize>| {
                let other = other.filter(|&j| j != i && candidates[j].joined == candidate.joined);
                other.map(|j| chance_to_beat(&outcomes[i], &outcomes[j]))
            };
            VarietyOdds {
                beats_check: against(check),
                beats_mine: against(mine),
                best: best[i],
                best_longrun: best_longrun[i],
                group: group[i],
                nameable: nameable[i],
                ..alone(candidate, &outcomes[i], question)
            }
        })
        .collect();
    sort(&mut rows, question.order);
    rows
}

/// Net of each draw, or its grain where there is no money.
fn outcomes_of(candidate: &Candidate<'_>, question: &Question<'_>) -> Vec<f64> {
    worth(question.money.as_ref(), &candidate.terms).outcomes(&candidate.yields, 1.0, question.prices)
}

/// Long-run grain less what seed and docks take of it, in yield; in money where each unit costs more than it
/// brings, so that more of it is worth less.
fn lasting_value(candidate: &Candidate<'_>, question: &Question<'_>) -> Vec<f64> {
    let own = &candidate.terms;
    let kept = 1.0 - own.grazed.lost();
    let (worth, seed) = match question.money.map(|m| m.price - m.unit_cost) {
        None => (kept, 0.0),
        Some(margin) if margin > 0.0 => (kept * (1.0 - own.dock / margin), own.seed / margin),
        Some(margin) => (kept * (margin - own.dock), own.seed),
    };
    vectors::on_line(&candidate.long_run, worth, worth * question.level - seed)
}

/// The numbers of one variety that need no other.
fn alone(candidate: &Candidate<'_>, outcome: &[f64], question: &Question<'_>) -> VarietyOdds {
    let count = outcome.len() as f64;
    let sorted = candidate.sorted_grain();
    let target = match (question.money, question.break_even) {
        (Some(_), _) => 0.0,
        (None, BreakEven::Target(target)) => target,
        (None, _) => f64::NEG_INFINITY,
    };
    let (short, missing) = vectors::below(outcome, target);
    let chance_short = short / count;
    let seasons = seasons(&sorted);
    let nets = question.money.map(|money| nets(candidate, outcome, &money, question.net_law));
    VarietyOdds {
        variety: candidate.variety.clone(),
        expected: candidate.mean_grain(),
        low80: quantile(&sorted, 0.1),
        high80: quantile(&sorted, 0.9),
        failed_marks: seasons.iter().filter(|y| **y <= 0.0).count() as u8,
        marks_short: marks(chance_short),
        seasons,
        break_even: own_break_even(candidate, question),
        chance_short,
        shortfall: if short > 0.0 { missing / short } else { 0.0 },
        net: nets.as_ref().map(|n| n.0),
        worst_fifth: worst_fifth(&sorted),
        worst_fifth_net: nets.as_ref().map(|n| n.1),
        net_law: nets.and_then(|n| n.2),
        beats_check: None,
        beats_mine: None,
        seed_cost: candidate.terms.seed,
        seed_cost_known: candidate.seed_cost_known,
        best: 0.0,
        best_longrun: 0.0,
        group: false,
        nameable: false,
        fails: candidate.fails.clone(),
        standing: candidate.standing.clone(),
    }
}

/// Average net, that of the worst fifth, and the law of the net where it is wanted.
fn nets(candidate: &Candidate<'_>, outcomes: &[f64], money: &Money, law: bool) -> (f64, f64, Option<NetLaw>) {
    let (sorted, own) = (&candidate.sorted, &candidate.terms);
    let (rising, worth) = (money.rises_with_yield(own), worth(Some(money), own));
    if rising && !law {
        // The worst yields are the worst nets: nothing to sort.
        let worst = &sorted[..fifth_of(sorted.len())];
        let worst: Vec<f64> = worst.iter().map(|y| worth.outcome(*y, money.price)).collect();
        return (mean(outcomes), worst_of(&worst, outcomes.len()), None);
    }
    if !law {
        return (mean(outcomes), worst_fifth_unsorted(&mut outcomes.to_vec()).0, None);
    }
    let nets = if rising {
        sorted.iter().map(|y| worth.outcome(*y, money.price)).collect()
    } else {
        let mut nets = outcomes.to_vec();
        leanyear_vectors::sort(&mut nets);
        nets
    };
    let Law { low80, high80, seasons, worst_fifth, .. } = Law::of_sorted(&nets);
    (mean(outcomes), worst_fifth, Some(NetLaw { low80, high80, seasons }))
}

/// The line between good and short for one variety: seed that costs more moves it up.
fn own_break_even(candidate: &Candidate<'_>, question: &Question<'_>) -> Option<f64> {
    let line = match question.money {
        Some(money) => money.break_even(&candidate.terms),
        None => question.break_even,
    };
    match line {
        BreakEven::Yield(at) | BreakEven::Target(at) => Some(at),
        BreakEven::CostsMoreToHaul | BreakEven::NoSingleCrossing => None,
    }
}

/// P(a > b) + ½ P(a = b) over joint draws.
pub fn chance_to_beat(a: &[f64], b: &[f64]) -> f64 {
    vectors::wins(a, b) / a.len() as f64
}

/// Share of draws in which each is the greatest of those that take part; ties are shared.
fn share_of_wins(values: &[Vec<f64>], taking_part: &[bool]) -> Vec<f64> {
    let players: Vec<usize> = (0..values.len()).filter(|&i| taking_part[i]).collect();
    let draws = values.first().map_or(0, Vec::len);
    let mut wins = vec![0.0; values.len()];
    let mut top = vec![f64::NEG_INFINITY; draws];
    for &i in &players {
        vectors::greatest(&mut top, &values[i]);
    }
    let mut tied = vec![0.0; draws];
    for &i in &players {
        vectors::tied(&mut tied, &top, &values[i]);
    }
    let shares: Vec<f64> = tied.iter().map(|count| 1.0 / count).collect();
    for &i in &players {
        wins[i] = vectors::share_won(&shares, &top, &values[i]) / draws as f64;
    }
    wins
}

/// Who may be named as the best. A newcomer is not ranked as if it were proven: it may be named only where no
/// proven variety may.
fn nameable(candidates: &[Candidate<'_>]) -> Vec<bool> {
    let proven = |c: &Candidate<'_>| c.tried() && c.standing.proven();
    let any_proven = candidates.iter().any(proven);
    candidates.iter().map(|c| if any_proven { proven(c) } else { c.tried() }).collect()
}

/// Who belongs to the group too close to call: chance of at least equalling the leader in the long run,
/// nothing redrawn. Trials that share no variety cannot tell their leaders apart, so each group of trials has its own.
fn group(candidates: &[Candidate<'_>], lasting: &[Vec<f64>], nameable: &[bool]) -> Vec<bool> {
    let leader = |joined: usize| {
        (0..candidates.len())
            .filter(|&i| nameable[i] && candidates[i].joined == joined)
            .map(|i| (mean(&lasting[i]), i))
            .max_by(|a, b| a.0.total_cmp(&b.0))
    };
    let groups = candidates.iter().map(|c| c.joined + 1).max().unwrap_or(0);
    let leaders: Vec<Option<usize>> = (0..groups).map(|joined| leader(joined).map(|found| found.1)).collect();
    let belongs = |i: usize| {
        leaders[candidates[i].joined].is_some_and(|leader| {
            let at_least = vectors::at_least(&lasting[i], &lasting[leader]);
            candidates[i].takes_part() && at_least as f64 >= GROUP_CHANCE * lasting[i].len() as f64
        })
    };
    (0..candidates.len()).map(belongs).collect()
}

/// Puts rows in the order asked for; nothing else of them depends on it.
pub fn sort(rows: &mut [VarietyOdds], order: Order) {
    let average = |row: &VarietyOdds| row.net.unwrap_or(row.expected);
    let worst = |row: &VarietyOdds| row.worst_fifth_net.unwrap_or(row.worst_fifth);
    crate::order::sort_by(rows, |a, b| {
        // Those that lack what is needed stand below those that have it.
        let lacking = a.fails.is_empty().cmp(&b.fails.is_empty()).reverse();
        let first = match order {
            Order::Net => average(b).total_cmp(&average(a)),
            Order::WorstFifth => worst(b).total_cmp(&worst(a)),
            Order::ChanceShort => a.chance_short.total_cmp(&b.chance_short),
        };
        lacking.then(first).then(average(b).total_cmp(&average(a))).then(a.variety.cmp(&b.variety))
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_add_to_one_and_the_best_add_to_one() {
        let a = vec![1.0, 2.0, 0.0, 4.0];
        let b = vec![0.5, 2.0, 0.0, 5.0];
        assert!((chance_to_beat(&a, &b) + chance_to_beat(&b, &a) - 1.0).abs() < 1e-12);
        let wins = share_of_wins(&[a, b], &[true, true]);
        assert!((wins.iter().sum::<f64>() - 1.0).abs() < 1e-12 && (wins[0] - 0.5).abs() < 1e-12);
    }
}
