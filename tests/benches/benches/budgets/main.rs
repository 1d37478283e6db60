//! One table of what a fit and an answer cost, each beside its budget: `cargo bench -p leanyear-benches`.
//!
//! Ratios are of times taken in the same run, times are medians, everything runs on one thread. Times are
//! of the processor where the system tells them (Linux), so that other work on the machine counts little. The table
//! is for reading: a budget that is not met is marked, and nothing fails. A word after `--` (`small`,
//! `large`, `wasm`) leaves out the other parts.

mod clock;
mod peak;
mod wasm_build;

use clock::seconds;
use faer::linalg::solvers::Llt;
use faer::{Mat, Side};
use leanyear_benches::{Invented, LARGE, SMALL};
use leanyear_engine::mixed::network::{Prepared, Purpose};
use leanyear_engine::mixed::report::fit;
use leanyear_engine::mixed::terms::Terms;
use leanyear_engine::order::{Map, Set};
use leanyear_engine::pack::{Network, Pack};
use leanyear_tests::{Scratch, network_of, root};
use std::path::Path;
use std::process::Command;

type Failure = Box<dyn std::error::Error>;

const TERMS: &str = "variety*water + variety:site + variety:season";
const RUNS: usize = 9;

fn main() -> Result<(), Failure> {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|a| a != "--bench").collect();
    if let [mode, folder] = &arguments[..]
        && mode == peak::MODE
    {
        return peak::measure(Path::new(folder));
    }
    let wanted = |part: &str| arguments.is_empty() || arguments.iter().any(|a| a == part);
    faer::set_global_parallelism(faer::Par::Seq);
    if wanted("small") || wanted("wasm") {
        small(wanted("small"), wanted("wasm"))?;
    }
    if wanted("large") {
        large()?;
    }
    Ok(())
}

fn line(what: &str, value: String, verdict: &str) {
    println!("  {what:<46} {value:>12}  {verdict}");
}

/// A figure beside its budget.
fn budget(what: &str, value: f64, unit: &str, least: bool, limit: f64) {
    let met = if least { value >= limit } else { value <= limit };
    let sign = if least { "≥" } else { "≤" };
    let verdict = format!("{sign} {limit} {unit}{}", if met { "" } else { "  NOT MET" });
    line(what, format!("{value:.3} {unit}"), &verdict);
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// Writes the files of an invented network into `folder`, and reads them.
fn written(invented: &Invented, folder: &Path) -> Result<Network, Failure> {
    let files = invented.files();
    for (name, bytes) in &files {
        std::fs::write(folder.join(name), bytes)?;
    }
    Ok(network_of(&files)?)
}

fn title(invented: &Invented) {
    let Invented { varieties, means, .. } = invented;
    println!("\n{varieties} varieties × {} trials, {means} means, {TERMS}", invented.trials());
}

/// What a program prints as JSON.
fn answer(command: &mut Command) -> Result<serde_json::Value, Failure> {
    let output = command.output()?;
    if !output.status.success() {
        return Err(format!("{command:?}: {}", String::from_utf8_lossy(&output.stderr)).into());
    }
    Ok(serde_json::from_slice(&output.stdout)?)
}

fn number(answer: &serde_json::Value, name: &str) -> Result<f64, Failure> {
    answer[name].as_f64().ok_or_else(|| format!("no {name} in {answer}").into())
}

/// 60 × 150: native, `lme4`, wasm; and the numbers of a decision in wasm.
fn small(with_lme4: bool, with_wasm: bool) -> Result<(), Failure> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = Scratch::new("bench-small")?;
    let network = written(&SMALL, folder.path())?;
    let terms = Terms::parse(TERMS)?;
    title(&SMALL);
    let report = fit(&network, Some(terms), None)?;
    let native = median(
        (0..RUNS).map(|_| seconds(|| _ = std::hint::black_box(fit(&network, Some(terms), None)))).collect(),
    );
    line("native, one thread", format!("{:.2} ms", 1e3 * native), &format!("{} passes", report.iterations));
    if with_lme4 {
        let script = here.join("lme4.R");
        let lme4 = answer(Command::new("Rscript").arg("--vanilla").arg(script).arg(folder.path()).arg("5"))?;
        let (time, reml) = (number(&lme4, "seconds")?, number(&lme4, "reml")?);
        line(
            &format!("lme4 {}", lme4["version"].as_str().unwrap_or("?")),
            format!("{:.2} ms", 1e3 * time),
            "",
        );
        budget("times faster than lme4", time / native, "×", true, 60.0);
        println!("  criterion {:.6}, lme4 {reml:.6}", report.reml);
        let apart = (report.reml - reml).abs() / reml.abs() * 1e6;
        budget("criteria apart, millionths", apart, "", false, 1.0);
    }
    if with_wasm {
        let pack = folder.path().join("pack.json");
        let demo = with_varieties(leanyear_tests::network(&root().join("data/demo"))?, 36);
        std::fs::write(&pack, Pack::new(demo)?.to_json()?)?;
        let module = wasm_build::build(&root(), folder.path())?;
        let runs = RUNS.to_string();
        let mut node = Command::new("node");
        node.arg(here.join("wasm.mjs")).arg(module).arg(folder.path()).args([TERMS]).arg(pack).arg(runs);
        let wasm = answer(&mut node)?;
        line("wasm", format!("{:.2} ms", number(&wasm, "fit")?), "in node, profile of the page");
        budget("times slower than native", 1e-3 * number(&wasm, "fit")? / native, "×", false, 2.5);
        let apart = (report.reml - number(&wasm, "reml")?).abs() / report.reml.abs() * 1e9;
        budget("criteria apart, billionths", apart, "", false, 1.0);
        println!("\ndemo, {} varieties, in wasm", wasm["varieties"]);
        budget("another kind of year: draws and table", number(&wasm, "redraw")?, "ms", false, 16.0);
        budget("another price: the table", number(&wasm, "table")?, "ms", false, 4.0);
    }
    Ok(())
}

/// The network with the varieties that have the most means.
fn with_varieties(mut network: Network, count: usize) -> Network {
    let mut means: Map<String, usize> = Map::new();
    network.means.iter().for_each(|mean| *means.entry(mean.variety.clone()).or_default() += 1);
    let mut kept: Vec<(usize, String)> = means.into_iter().map(|(code, n)| (n, code)).collect();
    kept.sort_by(|a, b| b.cmp(a));
    let kept: Set<String> = kept.into_iter().take(count).map(|(_, code)| code).collect();
    network.means.retain(|mean| kept.contains(&mean.variety));
    network
}

/// 500 × 1,500 in a process of its own, beside one dense factor of the same border.
fn large() -> Result<(), Failure> {
    let folder = Scratch::new("bench-large")?;
    let network = written(&LARGE, folder.path())?;
    title(&LARGE);
    let runs: Vec<serde_json::Value> = (0..3)
        .map(|_| answer(Command::new(std::env::current_exe()?).arg(peak::MODE).arg(folder.path())))
        .collect::<Result<_, _>>()?;
    let of = |name: &str| runs.iter().map(|run| number(run, name)).collect::<Result<Vec<_>, _>>();
    let (time, passes) = (median(of("seconds")?), median(of("passes")?));
    budget("native, one thread, from tables to answer", time, "s", false, 2.5);
    budget("peak memory of the whole process", median(of("peak_mib")?), "MiB", false, 256.0);
    line("passes", format!("{passes}"), "");
    let order = LARGE.trials();
    let matrix = Mat::<f64>::from_fn(order, order, |i, j| {
        1.0 / (1.0 + i.abs_diff(j) as f64) + if i == j { 2.0 } else { 0.0 }
    });
    let dense = median((0..5).map(|_| seconds(|| _ = Llt::new(matrix.as_ref(), Side::Lower))).collect());
    line(&format!("one dense factor of order {order}"), format!("{:.1} ms", 1e3 * dense), "faer");
    line("the fit in such factors", format!("{:.1}", time / dense), "");
    let operations = operations(&network)?;
    line("operations of a pass, J³ + Σ(8n² + 4q³)", format!("{:.2} G", operations / 1e9), "");
    let rate = operations * passes / time / 1e9;
    line("operations a second by that count", format!("{rate:.2} G"), "");
    let dense_rate = (order as f64).powi(3) / 3.0 / dense / 1e9;
    line("of the dense factor, J³/3", format!("{dense_rate:.2} G"), "");
    Ok(())
}

/// J³ + Σ(8·n² + 4·q³), the count of multiplications and additions of a pass with its gradient.
fn operations(network: &Network) -> Result<f64, Failure> {
    let design = Prepared::new(network, Some(Terms::parse(TERMS)?), Purpose::Report)?.design;
    let blocks: f64 = design
        .blocks
        .iter()
        .map(|b| 8.0 * (b.rows as f64).powi(2) + 4.0 * (b.effects.len() as f64).powi(3))
        .sum();
    Ok((design.border() as f64).powi(3) + blocks)
}
