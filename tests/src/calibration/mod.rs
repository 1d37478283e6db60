//! Calibration where the truth is known: simulated networks, the forecasts made from them, and whether these
//! hold as often as they say.
//!
//! [`world`] is what is true, [`network`] what an agronomist sees of it, [`score`] and [`fields`] what the
//! engine says and what came, [`tally`] and [`report`] what that adds up to. Everything is fixed by one seed.
//! The engine is used by its public door only; [`substitute`] replaces estimates by the truth to find what
//! costs coverage.

mod draw_world;
pub mod fields;
pub mod network;
pub mod random;
pub mod report;
pub mod score;
pub mod substitute;
pub mod tally;
pub mod world;

use self::substitute::Substitutes;
use self::tally::Tally;
use std::sync::atomic::{AtomicU64, Ordering};

/// What to run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Study {
    /// Networks simulated.
    pub networks: u64,
    /// Seed of everything.
    pub seed: u64,
    /// Threads.
    pub threads: usize,
    /// Estimates replaced by the truth.
    pub substitutes: Substitutes,
}

/// What came of a study.
#[derive(Debug, Clone, Default)]
pub struct Outcome {
    /// One tally a network, in the order of networks.
    pub tallies: Vec<Tally>,
    /// Networks without a forecast, and why.
    pub refused: Vec<(u64, String)>,
}

/// Runs a study; the outcome does not depend on the number of threads.
pub fn run(study: Study) -> Outcome {
    let next = AtomicU64::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            if index >= study.networks {
                return done;
            }
            done.push((index, score::score_network(study.seed, index, study.substitutes)));
        }
    };
    let mut results: Vec<(u64, Result<Tally, String>)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..study.threads.max(1)).map(|_| scope.spawn(work)).collect();
        workers
            .into_iter()
            .flat_map(|w| w.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    });
    results.sort_by_key(|r| r.0);
    let mut outcome = Outcome::default();
    for (index, result) in results {
        match result {
            Ok(tally) => outcome.tallies.push(tally),
            Err(why) => outcome.refused.push((index, why)),
        }
    }
    outcome
}

/// Index of a variety of the truth from its code.
fn variety_of(code: &str) -> usize {
    code[1..].parse().unwrap_or_default()
}

/// Index of a site of the truth from its code.
fn site_of(code: &str) -> usize {
    code[1..].parse().unwrap_or_default()
}

/// Index of a system of the truth from its code.
fn system_of(code: &str) -> usize {
    world::SYSTEMS.iter().position(|s| *s == code).unwrap_or_default()
}
