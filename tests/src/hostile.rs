//! What every test with hostile input needs: how many cases, how long one may take, and whether a number got lost.
//!
//! Environment: `LEANYEAR_FUZZ=40` tries forty times as many cases, other ones each time.

#![allow(clippy::panic, reason = "a test fails by it")]

use proptest::test_runner::{Config, RngSeed};
use std::fmt::Debug;
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

/// Stack of a thread of work: that of the page's program.
const STACK_BYTES: usize = 1 << 20;

/// So many cases, always the same ones; as many times more as `LEANYEAR_FUZZ` says, and then other ones.
pub fn cases(count: u32) -> Config {
    let times = std::env::var("LEANYEAR_FUZZ").ok().and_then(|times| times.parse().ok());
    Config {
        cases: count * times.unwrap_or(1),
        rng_seed: if times.is_some() { RngSeed::Random } else { RngSeed::Fixed(u64::from(count)) },
        failure_persistence: None,
        // A case costs a fit; a shorter one that fails too is not worth minutes.
        max_shrink_iters: 60,
        ..Config::default()
    }
}

/// What work gives, on a thread with the page's stack; panics with `what` where it takes longer than `seconds`.
///
/// # Panics
/// Where the work panics or does not end.
pub fn within<T: Send + 'static>(seconds: u64, what: &str, work: impl FnOnce() -> T + Send + 'static) -> T {
    let (done, heard) = mpsc::channel();
    let worker = thread::Builder::new().stack_size(STACK_BYTES).spawn(move || {
        // Whoever waited may have given up.
        _ = done.send(work());
    });
    let worker = worker.unwrap_or_else(|error| panic!("no thread: {error}"));
    match heard.recv_timeout(Duration::from_secs(seconds)) {
        Ok(value) => value,
        Err(mpsc::RecvTimeoutError::Timeout) => panic!("no end after {seconds} s: {what}"),
        Err(mpsc::RecvTimeoutError::Disconnected) => match worker.join() {
            Err(cause) => panic!("{}: {what}", words_of(&cause)),
            Ok(()) => panic!("nothing was said: {what}"),
        },
    }
}

fn words_of(cause: &Box<dyn std::any::Any + Send>) -> String {
    let text = cause.downcast_ref::<String>().cloned();
    text.or_else(|| cause.downcast_ref::<&str>().map(|text| (*text).to_owned())).unwrap_or_default()
}

/// The first number that is none, or has no end, among everything that a value holds; JSON would make null of it.
///
/// # Errors
/// That number with what stands around it.
pub fn finite(value: &impl Debug) -> Result<(), String> {
    let text = format!("{value:?}");
    let is_word = |at: usize, length: usize| {
        let letter = |place: Option<usize>| {
            place
                .and_then(|p| text.as_bytes().get(p))
                .is_some_and(|b| b.is_ascii_alphanumeric() || *b == b'_')
        };
        !letter(at.checked_sub(1)) && !letter(Some(at + length))
    };
    for lost in ["NaN", "inf"] {
        if let Some((at, _)) = text.match_indices(lost).find(|(at, found)| is_word(*at, found.len())) {
            let from = text.floor_char_boundary(at.saturating_sub(300));
            let to = text.ceil_char_boundary((at + 60).min(text.len()));
            return Err(text[from..to].to_owned());
        }
    }
    Ok(())
}
