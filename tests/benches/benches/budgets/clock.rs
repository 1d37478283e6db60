//! How long work takes.

use std::time::{Duration, Instant};

/// Seconds that `work` takes: of the processor where the system tells, else of the clock.
pub fn seconds(work: impl FnOnce()) -> f64 {
    let (start, before) = (Instant::now(), on_processor());
    work();
    let taken = before.zip(on_processor()).map(|(before, after)| after.saturating_sub(before));
    taken.unwrap_or_else(|| start.elapsed()).as_secs_f64()
}

/// Time that the first thread of this process has had the processor, by Linux' scheduler. Everything here
/// runs on that thread.
fn on_processor() -> Option<Duration> {
    let statistics = std::fs::read_to_string("/proc/self/schedstat").ok()?;
    Some(Duration::from_nanos(statistics.split(' ').next()?.parse().ok()?))
}
