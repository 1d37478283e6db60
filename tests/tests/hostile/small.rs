//! Small folders whose cells lie at the edges of what reading lets through, read, fitted and asked.

use super::interrogate::ask_all;
use leanyear_engine::order::Map;
use leanyear_engine::pack::read;
use leanyear_tests::hostile::{cases, within};
use proptest::prelude::*;
use std::fmt::Write;

pub type Files = Map<String, Vec<u8>>;

/// A number of a column, now and then at its edge: text as a cell has it, or blank.
fn cell(
    usual: impl Strategy<Value = f64> + 'static,
    edges: &'static [&'static str],
) -> BoxedStrategy<String> {
    prop_oneof![
        6 => usual.prop_map(|x| format!("{x:.3}")),
        1 => prop::sample::select(edges.to_vec()).prop_map(str::to_owned),
    ]
    .boxed()
}

/// As [`cell`], and blank as often as not.
fn maybe(
    usual: impl Strategy<Value = f64> + 'static,
    edges: &'static [&'static str],
) -> BoxedStrategy<String> {
    prop_oneof![1 => Just(String::new()), 1 => cell(usual, edges)].boxed()
}

const SITES: usize = 3;
const SEASONS: usize = 4;
const VARIETIES: usize = 5;
const TRIALS: usize = SITES * SEASONS;

#[derive(Debug, Clone)]
struct Numbers {
    yields: Vec<String>,
    present: Vec<bool>,
    plots: Vec<String>,
    water: Vec<String>,
    reps: Vec<String>,
    error_ms: Vec<String>,
    lsd: Vec<String>,
    lsd_level: Vec<String>,
    cv: Vec<String>,
    ratings: Vec<String>,
    losses: Vec<String>,
    scale: (String, String),
    pressure: Vec<u8>,
    excluded: Vec<usize>,
    systems: bool,
    /// Which optional columns stand in `trials.csv` at all.
    states: [bool; 4],
    past: Vec<String>,
}

fn numbers() -> impl Strategy<Value = Numbers> {
    const YIELD: &[&str] = &["0", "100000", "1e-300", "1e-9", "3.0000001", "99999.9"];
    const WATER: &[&str] = &["0", "100000", "1e-300", "250.0000001"];
    const COUNT: &[&str] = &["1", "1.0000000001", "1e12", "1000000000", "1e9", "2.5"];
    const SQUARE: &[&str] = &["1e-9", "1e12", "1e-8", "1e6"];
    const LEVEL: &[&str] = &["1e-300", "0.9999999999999999", "0.5", "1e-17", "0.999"];
    const RATING: &[&str] = &["1", "9", "5"];
    const SHARE: &[&str] = &["0", "1", "1e-300", "1e-9", "0.999999999"];
    fn many<S: Strategy>(one: S, count: usize) -> impl Strategy<Value = Vec<S::Value>> {
        prop::collection::vec(one, count)
    }
    let counts = (many(maybe(2.0..5.0, COUNT), TRIALS * VARIETIES), many(maybe(2.0..5.0, COUNT), TRIALS));
    let means = (
        many(cell(2.0..4.0, YIELD), TRIALS * VARIETIES),
        many(prop::bool::weighted(0.85), TRIALS * VARIETIES),
        counts,
    );
    let error = (
        many(maybe(0.05..0.4, SQUARE), TRIALS),
        many(maybe(0.3..0.9, SQUARE), TRIALS),
        many(maybe(0.01..0.2, LEVEL), TRIALS),
        many(maybe(4.0..20.0, SQUARE), TRIALS),
    );
    let disease = (
        many(cell(1.0..9.0, RATING), 2 * VARIETIES),
        many(cell(0.1..0.6, SHARE), 4),
        prop::sample::select(vec![
            ("9", "1"),
            ("1", "9"),
            ("-1e12", "1e12"),
            ("1", "9.000000001"),
            ("0", "1e-9"),
        ]),
        many(0..4_u8, 2 * TRIALS),
    );
    let rest =
        (many(0..12_usize, TRIALS), any::<bool>(), any::<[bool; 4]>(), many(cell(150.0..420.0, WATER), 40));
    (means, error, disease, rest, many(maybe(150.0..420.0, WATER), TRIALS)).prop_map(
        |((yields, present, (plots, reps)), (error_ms, lsd, lsd_level, cv), disease, rest, water)| {
            let (ratings, losses, (best, worst), pressure) = disease;
            let (excluded, systems, states, past) = rest;
            let scale = (best.to_owned(), worst.to_owned());
            Numbers {
                yields,
                present,
                plots,
                water,
                reps,
                error_ms,
                lsd,
                lsd_level,
                cv,
                ratings,
                losses,
                scale,
                pressure,
                excluded,
                systems,
                states,
                past,
            }
        },
    )
}

/// The files of a folder that holds these numbers; what is off its scale or blank together is left out.
fn files(n: &Numbers) -> Files {
    let mut trials = "trial,site,season,system,water,reps,error_ms,lsd,lsd_level,cv,excluded\n".to_owned();
    let mut means = "trial,variety,yield,plots\n".to_owned();
    let mut pressure = "trial,trait,pressure\n".to_owned();
    for j in 0..TRIALS {
        let (site, season) = (j / SEASONS, 2018 + j % SEASONS);
        let system = if n.systems && j % 3 == 0 { "irrigated" } else { "dryland" };
        let stated = |on: usize, text: &str| if n.states[on] { text.to_owned() } else { String::new() };
        // The first two trials stay, so that there is something to fit.
        let excluded = match n.excluded[j] {
            0 if j > 1 => "drought",
            1 if j > 1 => "hail",
            _ => "",
        };
        writeln!(
            trials,
            "T{j},S{site},{season},{system},{},{},{},{},{},{},{excluded}",
            n.water[j],
            stated(0, &n.reps[j]),
            stated(1, &n.error_ms[j]),
            stated(2, &n.lsd[j]),
            stated(2, &n.lsd_level[j]),
            stated(3, &n.cv[j])
        )
        .unwrap();
        for v in 0..VARIETIES {
            let at = j * VARIETIES + v;
            if n.present[at] {
                writeln!(means, "T{j},V{v},{},{}", n.yields[at], stated(0, &n.plots[at])).unwrap();
            }
        }
        for (d, trait_) in ["rust", "spot"].into_iter().enumerate() {
            writeln!(pressure, "T{j},{trait_},{}", n.pressure[2 * j + d]).unwrap();
        }
    }
    let (best, worst) = &n.scale;
    let traits = format!(
        "trait,kind,best,worst,severe_loss,severe_loss_sd,protectable,efficacy,spray_cost\n\
         rust,disease,{best},{worst},{},{},yes,0.7,15\nspot,disease,{best},{worst},{},{},yes,1,0\n",
        n.losses[0], n.losses[1], n.losses[2], n.losses[3]
    );
    let (low, high) = (best.parse::<f64>().unwrap(), worst.parse::<f64>().unwrap());
    let within = |text: &str| (low.min(high)..=low.max(high)).contains(&text.parse::<f64>().unwrap());
    let mut ratings = "variety,trait,value\n".to_owned();
    for (k, value) in n.ratings.iter().enumerate().filter(|(_, value)| within(value)) {
        writeln!(ratings, "V{},{},{value}", k / 2, ["rust", "spot"][k % 2]).unwrap();
    }
    let mut water = "site,season,system,water\n".to_owned();
    for (k, value) in n.past.iter().enumerate() {
        writeln!(water, "S0,{},dryland,{value}", 1970 + k).unwrap();
    }
    let info = r#"{"name": "edge", "yield_unit": "t/ha", "checks": ["V0"], "defaults": {"price": 210, "cost": 380}}"#;
    [
        ("network.json", info.to_owned()),
        ("trials.csv", trials),
        ("means.csv", means),
        ("traits.csv", traits),
        ("ratings.csv", ratings),
        ("pressure.csv", pressure),
        ("water.csv", water),
    ]
    .map(|(name, text)| (name.to_owned(), text.into_bytes()))
    .into()
}

/// A small folder as it should be, for whoever wants to damage one.
pub fn sound() -> Files {
    let wave = |k: usize| f64::from((k * 7919 % 101) as u32) / 101.0;
    let text = |count: usize, low: f64, span: f64| {
        (0..count).map(|k| format!("{:.3}", low + span * wave(k))).collect()
    };
    files(&Numbers {
        yields: text(TRIALS * VARIETIES, 2.0, 2.0),
        present: vec![true; TRIALS * VARIETIES],
        plots: vec!["3".to_owned(); TRIALS * VARIETIES],
        water: text(TRIALS, 150.0, 250.0),
        reps: vec!["3".to_owned(); TRIALS],
        error_ms: text(TRIALS, 0.1, 0.2),
        lsd: vec![String::new(); TRIALS],
        lsd_level: vec![String::new(); TRIALS],
        cv: vec![String::new(); TRIALS],
        ratings: text(2 * VARIETIES, 1.0, 8.0),
        losses: ["0.3", "0.1", "0.2", "0.1"].map(str::to_owned).to_vec(),
        scale: ("9".to_owned(), "1".to_owned()),
        pressure: (0..2 * TRIALS).map(|k| (k % 4) as u8).collect(),
        excluded: (0..TRIALS).collect(),
        systems: true,
        states: [true; 4],
        past: text(40, 150.0, 250.0),
    })
}

#[test]
fn a_sound_folder_answers_everything() {
    let network = read(&sound()).network.expect("the folder that others are made from reads");
    assert_eq!(ask_all(network).unwrap(), Vec::<String>::new());
}

proptest! {
    #![proptest_config(cases(60))]

    /// What reading lets through is fitted and asked in bounded time, and answers in finite numbers or in a sentence.
    #[test]
    fn numbers_at_their_edges_give_finite_answers(numbers in numbers()) {
        let files = files(&numbers);
        let reading = read(&files);
        prop_assert!(reading.network.is_some() || !reading.errors.is_empty());
        prop_assert!(reading.errors.is_empty(), "the strategy is to stay inside: {:?}", reading.errors.first());
        let Some(network) = reading.network else { return Ok(()) };
        let what = format!("{numbers:?}");
        let sentences = within(60, &what, move || ask_all(network));
        match sentences {
            Ok(sentences) => prop_assert!(sentences.iter().all(|s| s.split_whitespace().count() >= 5), "{sentences:?}"),
            Err(lost) => prop_assert!(false, "{lost}"),
        }
    }
}
