//! One fit in a process of its own, so that its peak memory is that of the fit and of reading its files.

use super::clock::seconds;
use super::{Failure, TERMS};
use leanyear_engine::mixed::report::fit;
use leanyear_engine::mixed::terms::Terms;
use leanyear_tests::network;
use std::path::Path;

/// The word that makes this program do nothing but that.
pub const MODE: &str = "one-fit";

/// Fits the network in `folder` and prints {"seconds", "passes", "peak_mib"}.
pub fn measure(folder: &Path) -> Result<(), Failure> {
    let network = network(folder)?;
    let terms = Terms::parse(TERMS)?;
    let mut answer = None;
    let seconds = seconds(|| answer = Some(fit(&network, Some(terms), None)));
    let report = answer.ok_or("nothing was fitted")??;
    let (passes, peak_mib) = (report.iterations, peak_mib().unwrap_or(f64::NAN));
    println!("{}", serde_json::json!({ "seconds": seconds, "passes": passes, "peak_mib": peak_mib }));
    Ok(())
}

/// Largest resident memory of this process so far, MiB; only Linux tells.
fn peak_mib() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.trim().strip_suffix("kB")?.trim().parse::<f64>().ok()? / 1024.0)
}
