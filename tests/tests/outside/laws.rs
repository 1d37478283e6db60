//! Laws of the fit and of the odds that need a whole network.

use leanyear_engine::decide::{Advisor, BreakEven, OddsTable, VarietyOdds};
use leanyear_engine::link::{Pressures, Settings, WaterOutlook};
use leanyear_engine::mixed::report::{FitReport, fit};
use leanyear_engine::mixed::terms::Terms;
use leanyear_engine::pack::{Mean, Network, Pack};
use leanyear_tests::{agree, network, root};
use proptest::prelude::*;
use std::sync::OnceLock;

pub fn demo() -> &'static Advisor {
    static DEMO: OnceLock<Advisor> = OnceLock::new();
    DEMO.get_or_init(|| {
        Advisor::new(Pack::new(network(&root().join("data/demo")).unwrap()).unwrap()).unwrap()
    })
}

pub fn settings() -> Settings {
    let pack = demo().pack();
    Settings::defaults_for(&pack.network, &pack.fingerprint)
}

pub fn table(settings: &Settings) -> OddsTable {
    demo().table(&demo().draws(settings).unwrap(), settings).unwrap()
}

/// One system of the demo, small enough to be refitted many times.
fn dryland() -> Network {
    let mut network = demo().pack().network.clone();
    network.trials.retain(|t| t.system == "dryland" && t.season >= 2021);
    let kept: Vec<String> = network.trials.iter().map(|t| t.trial.clone()).collect();
    network.means.retain(|m| kept.contains(&m.trial));
    network.trials.iter_mut().for_each(|t| t.error = Default::default());
    network.means.iter_mut().for_each(|m| m.plots = None);
    network
}

fn fitted(network: &Network) -> FitReport {
    fit(network, Some(Terms::parse("variety*water + variety:site + variety:season").unwrap()), None).unwrap()
}

fn same_effects(a: &FitReport, b: &FitReport, factor: f64, tolerance: f64) {
    for (x, y) in a.effects.iter().zip(&b.effects) {
        assert_eq!(x.variety, y.variety);
        agree(&x.variety, y.effect, factor * x.effect, tolerance, factor).unwrap();
        agree(&x.variety, y.se, factor * x.se, tolerance, factor).unwrap();
    }
}

#[test]
fn a_shift_of_a_trial_changes_no_variety() {
    let plain = dryland();
    let mut shifted = plain.clone();
    let first = plain.trials[0].trial.clone();
    shifted.means.iter_mut().filter(|m| m.trial == first).for_each(|m| m.yield_ += 17.0);
    let (a, b) = (fitted(&plain), fitted(&shifted));
    agree("criterion", b.reml, a.reml, 1e-9, a.reml).unwrap();
    same_effects(&a, &b, 1.0, 1e-5);
}

#[test]
fn a_change_of_unit_scales_variances_and_moves_the_criterion_by_its_logarithm() {
    let plain = dryland();
    let mut scaled = plain.clone();
    scaled.means.iter_mut().for_each(|m| m.yield_ *= 3.0);
    let (a, b) = (fitted(&plain), fitted(&scaled));
    let fitted_trial = |code: &str| plain.trials.iter().any(|t| t.trial == code && t.excluded.is_none());
    let rows = plain.means.iter().filter(|m| fitted_trial(&m.trial)).count() as f64;
    let trials = plain.trials.iter().filter(|t| t.excluded.is_none()).count() as f64;
    let moved = a.reml + 2.0 * (rows - trials) * 3f64.ln();
    agree("criterion", b.reml, moved, 1e-8, moved).unwrap();
    agree("residual", b.variance.residual["dryland"], 9.0 * a.variance.residual["dryland"], 1e-5, 9.0)
        .unwrap();
    same_effects(&a, &b, 3.0, 1e-5);
}

#[test]
fn the_order_of_rows_changes_nothing() {
    let plain = dryland();
    let mut turned = plain.clone();
    turned.means.reverse();
    turned.trials.rotate_left(5);
    turned.varieties.reverse();
    let (a, mut b) = (fitted(&plain), fitted(&turned));
    b.effects.reverse();
    agree("criterion", b.reml, a.reml, 1e-10, a.reml).unwrap();
    same_effects(&a, &b, 1.0, 1e-9);
}

#[test]
fn the_same_fit_twice_is_the_same_to_the_bit() {
    let plain = dryland();
    assert_eq!(fitted(&plain), fitted(&plain));
}

#[test]
fn a_variety_against_itself_has_no_error() {
    let network = dryland();
    let terms = Terms::parse("variety*water + variety:site + variety:season").unwrap();
    let difference = fit(&network, Some(terms), Some(("V04", "V04"))).unwrap().difference.unwrap();
    assert_eq!((difference.value, difference.se), (0.0, 0.0));
}

/// Source: two-way analysis of variance of balanced data (Searle, Casella & McCulloch 1992, Variance
/// Components, ch. 4): residual = MSE, variety = (MSV − MSE)/J, BLUP = deviation × J·σ²v/(J·σ²v + σ²e).
#[test]
fn balanced_data_agree_with_the_analysis_of_variance() {
    let (varieties, trials) = (7usize, 5usize);
    let mut plain = dryland();
    let template = plain.trials[0].clone();
    plain.trials = (0..trials)
        .map(|j| {
            let mut t = template.clone();
            (t.trial, t.site, t.season, t.excluded) =
                (format!("T{j}"), format!("S{j}"), 2000 + j as i32, None);
            t
        })
        .collect();
    let value = |i: usize, j: usize| 30.0 + 2.0 * i as f64 + 3.0 * j as f64 + ((i * 5 + j * 3) % 7) as f64;
    plain.means = (0..varieties * trials)
        .map(|k| Mean {
            trial: format!("T{}", k % trials),
            variety: format!("V{}", k / trials),
            yield_: value(k / trials, k % trials),
            plots: None,
        })
        .collect();
    let report = fit(&plain, Some(Terms::parse("variety").unwrap()), None).unwrap();
    let (v, t) = (varieties as f64, trials as f64);
    let grand = (0..varieties * trials).map(|k| value(k / trials, k % trials)).sum::<f64>() / (v * t);
    let row = |i: usize| (0..trials).map(|j| value(i, j)).sum::<f64>() / t;
    let column = |j: usize| (0..varieties).map(|i| value(i, j)).sum::<f64>() / v;
    let ms_variety = t * (0..varieties).map(|i| (row(i) - grand).powi(2)).sum::<f64>() / (v - 1.0);
    let ms_error = (0..varieties * trials)
        .map(|k| (value(k / trials, k % trials) - row(k / trials) - column(k % trials) + grand).powi(2))
        .sum::<f64>()
        / ((v - 1.0) * (t - 1.0));
    let variety = (ms_variety - ms_error) / t;
    agree("residual", report.variance.residual["dryland"], ms_error, 1e-6, ms_error).unwrap();
    agree("variety", report.variance.variety.unwrap(), variety, 1e-6, variety).unwrap();
    for (i, effect) in report.effects.iter().enumerate() {
        let shrunk = (row(i) - grand) * t * variety / (t * variety + ms_error);
        agree(&effect.variety, effect.effect, shrunk, 1e-6, variety.sqrt()).unwrap();
    }
}

#[test]
fn a_pack_read_back_gives_the_same_odds_to_the_bit() {
    let again = Advisor::new(Pack::from_json(&demo().pack().to_json().unwrap()).unwrap()).unwrap();
    let settings = Settings { water: WaterOutlook::Dry, ..settings() };
    let other = again.table(&again.draws(&settings).unwrap(), &settings).unwrap();
    assert_eq!(table(&settings), other);
}

#[test]
fn draws_reused_for_another_season_or_usual_yield_are_those_drawn_anew() {
    let dry = Settings { water: WaterOutlook::DriestFifth, ..settings() };
    let usual = Settings { usual: Some(27.5), ..settings() };
    let first = demo().draws(&settings()).unwrap();
    for other in [dry, usual.clone(), Settings { site: None, ..usual }] {
        let reused = demo().redraw(&first, &other).unwrap();
        assert_eq!(demo().table(&reused, &other).unwrap(), table(&other));
        assert!(!demo().serves(&first, &other) && demo().serves(&reused, &other));
    }
}

#[test]
fn the_marks_are_the_quantiles_of_the_law_they_stand_for() {
    let table = table(&settings());
    let BreakEven::Yield(_) = table.break_even else { panic!("the demo has price and cost") };
    for row in &table.varieties {
        let line = row.break_even.unwrap();
        let below = row.seasons.iter().filter(|y| **y < line).count() as u8;
        assert!(below.abs_diff(row.marks_short) <= 1, "{}: {below} and {}", row.variety, row.marks_short);
        assert!(row.seasons.windows(2).all(|w| w[0] <= w[1]) && row.seasons.len() == 20);
    }
}

#[test]
fn a_usual_yield_is_what_the_reference_set_makes_as_it_comes() {
    let usual = Settings { usual: Some(28.0), ..settings() };
    let table = table(&usual);
    let reference: Vec<f64> = table
        .varieties
        .iter()
        .filter(|v| table.field.reference_set.contains(&v.variety))
        .map(|v| v.expected)
        .collect();
    let mean = reference.iter().sum::<f64>() / reference.len() as f64;
    // The expected disease of a season stands for its draws, and yields are cut at 0: 4 % allows for both.
    agree("usual yield", mean, 28.0, 0.04, 28.0).unwrap();
}

#[test]
fn a_severe_disease_takes_in_proportion_to_susceptibility() {
    let assumed = |pressure| {
        let diseases = [("stripe-rust".to_owned(), pressure)].into();
        let mut rows = table(&Settings { diseases, ..settings() }).varieties;
        rows.sort_by(|a, b| a.variety.cmp(&b.variety));
        rows
    };
    let (none, severe) = (assumed(Pressures::None), assumed(Pressures::Severe));
    let threat = demo().model().threats.iter().find(|t| t.code == "stripe-rust").unwrap();
    let loss = table(&settings()).losses.iter().find(|l| l.trait_ == "stripe-rust").unwrap().estimate;
    for (block, code) in demo().model().prepared.varieties.iter().enumerate() {
        let at = |rows: &[VarietyOdds]| rows.iter().find(|v| v.variety == *code).unwrap().expected;
        let taken = (at(&none) - at(&severe)) / at(&none);
        // Other diseases and the cut at 0 leave it a little off the plain product.
        let want = loss * threat.susceptibility[block];
        assert!((taken - want).abs() < 0.1, "{code}: {taken} taken, loss × susceptibility {want}");
    }
}

#[test]
fn without_scored_pressures_losses_stay_as_published() {
    let mut network = demo().pack().network.clone();
    network.pressure.clear();
    let advisor = Advisor::new(Pack::new(network).unwrap()).unwrap();
    let losses = &advisor.model().fitted.form.losses;
    assert!(losses.len() >= 6 && losses.iter().all(|l| !l.learnt && l.estimate == l.published.0));
    assert!(table(&settings()).losses.iter().all(|l| l.learnt), "the demo scores them all");
}

#[test]
fn a_wetter_year_makes_more_on_dryland() {
    let mean = |water| {
        let rows = table(&Settings { water, ..settings() }).varieties;
        rows.iter().map(|v| v.expected).sum::<f64>() / rows.len() as f64
    };
    let (dry, any, wet) = (mean(WaterOutlook::Dry), mean(WaterOutlook::Any), mean(WaterOutlook::Wet));
    assert!(dry < any && any < wet, "{dry} {any} {wet}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    #[test]
    fn losing_is_rarer_at_a_higher_price_and_commoner_at_a_higher_cost(
        price in 2.0f64..9.0, cost in 60.0f64..260.0, more in 0.01f64..3.0,
    ) {
        let base = Settings { price: Some(price), cost: Some(cost), ..settings() };
        let draws = demo().draws(&base).unwrap();
        let rows = |s: &Settings| {
            let mut rows = demo().table(&draws, s).unwrap().varieties;
            rows.sort_by(|a, b| a.variety.cmp(&b.variety));
            rows
        };
        let here = rows(&base);
        let dearer = rows(&Settings { price: Some(price + more), ..base.clone() });
        let costlier = rows(&Settings { cost: Some(cost + 10.0 * more), ..base.clone() });
        for ((a, b), c) in here.iter().zip(&dearer).zip(&costlier) {
            prop_assert!(b.chance_short <= a.chance_short && a.chance_short <= c.chance_short);
            prop_assert!(b.net.unwrap() >= a.net.unwrap() && c.net.unwrap() < a.net.unwrap());
        }
        let best: f64 = here.iter().map(|v| v.best).sum();
        prop_assert!((best - 1.0).abs() < 1e-9);
    }

    #[test]
    fn beating_and_being_beaten_add_to_one(pick in 3usize..30) {
        let code = demo().model().prepared.varieties[pick].clone();
        let with_mine = |mine: &str, of: &str| {
            let rows = table(&Settings { mine: Some(mine.to_owned()), ..settings() }).varieties;
            rows.into_iter().find(|v| v.variety == of).unwrap().beats_mine
        };
        let check = demo().model().prepared.varieties[0].clone();
        let sum = with_mine(&code, &check).unwrap() + with_mine(&check, &code).unwrap();
        prop_assert!((sum - 1.0).abs() < 1e-12);
        prop_assert_eq!(with_mine(&code, &code), None);
    }
}
