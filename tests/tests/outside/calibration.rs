//! The short form of the calibration study: a few simulated networks whose truth is known.
//!
//! The whole study is a program (`cargo run --release -p leanyear-tests --bin calibration`), its outcome stored in
//! `tests/reference/calibration.md`. Here sixty networks of it are judged by the same bands, widened by what
//! sixty networks leave to chance: two clustered standard errors for a range, three for a tenth of the chances,
//! of which there are many.

use leanyear_tests::calibration::substitute::Substitutes;
use leanyear_tests::calibration::tally::{Pooled, Tally, of, pool, tenths};
use leanyear_tests::calibration::{Outcome, Study, report, run};
use std::sync::OnceLock;

/// Fewest networks whose chances make a tenth worth judging: from fewer a clustered standard error is itself too vague
/// for the hundred tenths that are judged by it.
const JUDGED: usize = 25;

fn study(networks: u64, threads: usize) -> Study {
    Study { networks, seed: 7, threads, substitutes: Substitutes::default() }
}

fn outcome() -> &'static Outcome {
    static OUTCOME: OnceLock<Outcome> = OnceLock::new();
    OUTCOME.get_or_init(|| run(study(60, 2)))
}

fn everywhere(measure: &str) -> Pooled {
    pool(&of(&outcome().tallies, None), measure).unwrap()
}

/// Law: whoever knows the truth is right as often as he says; otherwise simulation and truth disagree and nothing
/// below means anything.
#[test]
fn the_truth_itself_is_calibrated() {
    let known = everywhere("truth known 80");
    assert!((known.mean - 0.8).abs() <= 3.0 * known.error, "{known:?}");
    assert!(known.error < 0.015, "{known:?}");
}

#[test]
fn ranges_hold_as_often_as_they_say() {
    assert_eq!(outcome().refused, []);
    let judged = report::RANGES.iter().filter(|r| !r.0.ends_with("as shown"));
    for (measure, words, share) in judged {
        let found = everywhere(measure);
        let verdict = report::verdict(&found, *share);
        assert!(verdict.starts_with("holds"), "{words}, {share}: {verdict}, {found:?}");
    }
}

#[test]
fn chances_come_true() {
    let all = of(&outcome().tallies, None);
    for (kind, words) in report::CHANCES {
        let list = tenths(&all, kind);
        for tenth in list.into_iter().flatten().filter(|t| t.networks >= JUDGED) {
            let distance = (tenth.came - tenth.said).abs();
            assert!(distance <= 0.03 + 3.0 * tenth.error, "{words}: {tenth:?}");
        }
    }
}

#[test]
fn forecasts_are_better_than_the_table_of_raw_means() {
    for score in ["square", "crps"] {
        let of = |what: &str| everywhere(&format!("{score}, {what}")).mean;
        assert!(of("given water") < 0.97 * of("raw means"), "{score}");
        assert!(of("truth known") < of("given water"), "{score}");
    }
}

/// Law: the number of threads changes the time alone.
#[test]
fn one_thread_finds_what_two_find() {
    let together = run(study(4, 2));
    assert_eq!(run(study(4, 1)).tallies, together.tallies);
    assert_eq!(outcome().tallies[..4], together.tallies[..]);
}

/// The judge itself: ranges a fifth too narrow (80 % ranges of a normal law then hold Φ(±1.025), 69.5 %) are called
/// so, and so are ranges a fifth too wide (87.6 %).
#[test]
fn a_law_of_the_wrong_width_is_caught() {
    for (held, called) in [(0.695, "TOO NARROW"), (0.876, "TOO WIDE"), (0.80, "holds")] {
        let tallies: Vec<Tally> = (0..60)
            .map(|k| {
                let mut tally = Tally::default();
                // The spread between networks that the study has, 10 points.
                tally.add("x", held + 0.1 * (f64::from(k % 3) - 1.0));
                tally
            })
            .collect();
        let found = pool(&of(&tallies, None), "x").unwrap();
        assert_eq!(report::verdict(&found, 0.8), called);
    }
}
