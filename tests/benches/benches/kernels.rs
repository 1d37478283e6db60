//! The parts of one pass, each alone, by `divan`: `cargo bench -p leanyear-benches --bench kernels`.

use divan::{Bencher, black_box};
use leanyear_benches::{Invented, LARGE, SMALL};
use leanyear_engine::mixed::arrow::{Likelihood, solve};
use leanyear_engine::mixed::derivatives::derivatives;
use leanyear_engine::mixed::network::{Prepared, Purpose};
use leanyear_engine::mixed::terms::Terms;
use leanyear_engine::mixed::variances::Variances;
use leanyear_tests::network_of;

fn main() {
    divan::main();
}

fn prepared(name: &str) -> Prepared {
    let invented: Invented = if name == "small" { SMALL } else { LARGE };
    let terms = Terms { water: true, site: true, season: true, ..Terms::default() };
    network_of(&invented.files())
        .ok()
        .and_then(|network| Prepared::new(&network, Some(terms), Purpose::Report).ok())
        .unwrap_or_else(|| unreachable!("an invented network can be read"))
}

fn variances() -> Variances {
    Variances {
        variety: 9.0,
        slope: 1.5,
        covariance: 1.8,
        site: 2.2,
        season: 3.2,
        residual: vec![16.0],
        ..Variances::default()
    }
}

/// The criterion and its solution.
#[divan::bench(args = ["small", "large"], max_time = 5)]
fn solution(bencher: Bencher, name: &str) {
    let (prepared, variances) = (prepared(name), variances());
    bencher.bench_local(|| black_box(solve(&prepared.design, &variances, Likelihood::Restricted)).is_ok());
}

/// Gradient and average information beside a solution.
#[divan::bench(args = ["small", "large"], max_time = 5)]
fn gradient(bencher: Bencher, name: &str) {
    let (prepared, variances) = (prepared(name), variances());
    if let Ok(solution) = solve(&prepared.design, &variances, Likelihood::Restricted) {
        bencher.bench_local(|| black_box(derivatives(&prepared.design, &solution, Likelihood::Restricted)));
    }
}
