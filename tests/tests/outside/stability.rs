//! Stability numbers and adjusted means: constructed tables with printed values, and open data in R, live.

use crate::scripts::{json as answer, run};
use leanyear_engine::stability::{
    Cell, CompleteTable, StabilityError, additive_means, chance_above, chance_below, ecovalence,
    joint_regression, reliability, stability_variance, standard_deviations, superiority,
};
use leanyear_tests::reference::{Reference, Tolerance, hold};
use serde_json::{Value, json};

/// Rounding of two programs that add the same numbers.
const ROUNDING: f64 = 1e-9;

/// A constructed table, t/ha: C has the highest mean and the most failures, B the least risk.
fn set_g() -> CompleteTable {
    CompleteTable::new(&[
        vec![1.0, 2.0, 3.0, 4.0, 5.0],
        vec![1.6, 2.2, 3.0, 3.6, 4.1],
        vec![0.4, 1.6, 3.2, 4.6, 5.7],
        vec![1.4, 1.8, 2.8, 3.8, 4.7],
    ])
    .unwrap()
}

/// Source: constructed, computed with R and printed to the figures given; the formulas as cited in the
/// engine, those of the ecovalence and the stability variance from memory.
#[test]
fn a_constructed_table_has_its_printed_numbers() {
    let document = json!({
        "environment means": [1.1, 1.9, 3.0, 4.0, 4.875],
        "slope": [1.034021, 0.663274, 1.409590, 0.893115],
        "deviation mean square": [0.007233, 0.004779, 0.005614, 0.025294],
        "ecovalence": [0.0325, 1.0725, 1.5825, 0.1825],
        "stability variance": [-0.10333, 0.41667, 0.67167, -0.02833],
        "superiority": [0.129, 0.360, 0.180, 0.200],
        "standard deviation": [1.581139, 1.014889, 2.154066, 1.371131],
        "chance below 1.5": [0.1714, 0.0839, 0.2288, 0.1536],
    });
    let table = set_g();
    let lines = joint_regression(&table).unwrap();
    let slopes: Vec<f64> = lines.iter().map(|l| l.slope).collect();
    let deviations: Vec<f64> = lines.iter().map(|l| l.deviation_ms).collect();
    hold(&document, |r| {
        for (at, ours, decimals) in [
            ("/environment means", &table.environment_means(), 9),
            ("/slope", &slopes, 6),
            ("/deviation mean square", &deviations, 6),
            ("/ecovalence", &ecovalence(&table), 9),
            ("/stability variance", &stability_variance(&table).unwrap(), 5),
            ("/superiority", &superiority(&table), 9),
            ("/standard deviation", &standard_deviations(&table), 6),
            ("/chance below 1.5", &chance_below(&table, 1.5), 4),
        ] {
            r.meet_list(at, ours, Tolerance::printed(decimals));
        }
    })
    .unwrap();
}

/// Source: z of the reliability index as printed with it (Annicchiarico 1992; from memory), to three
/// decimals.
#[test]
fn the_reliability_index_takes_off_the_printed_multiple() {
    // Mean 0 and standard deviation 1: the index is −z.
    let table = CompleteTable::new(&[vec![-1.0, 0.0, 1.0], vec![1.0, 2.0, 3.0]]).unwrap();
    let document = json!({"0.70": 0.524, "0.75": 0.674, "0.80": 0.842, "0.90": 1.282, "0.95": 1.645});
    hold(&document, |r| {
        for share in ["0.70", "0.75", "0.80", "0.90", "0.95"] {
            let index = reliability(&table, share.parse().unwrap()).unwrap()[0];
            r.meet(&format!("/{share}"), -index, Tolerance::printed(3));
        }
    })
    .unwrap();
}

/// Source: constructed: A in three environments, B and C in two; raw means 3.000, 2.900 and 3.700.
#[test]
fn an_unbalanced_table_has_its_printed_means() {
    let cells: Vec<Cell> =
        [(0, 0, 3.0), (0, 1, 2.0), (0, 2, 4.0), (1, 0, 3.4), (1, 1, 2.4), (2, 1, 2.6), (2, 2, 4.8)]
            .map(|(variety, environment, yield_)| Cell { variety, environment, yield_ })
            .into();
    let means = additive_means(&cells, 3, 3).unwrap();
    let document =
        json!({"varieties": [3.0, 3.426667, 3.693333], "environments": [3.36, 2.333333, 4.426667]});
    hold(&document, |r| {
        r.meet_list("/varieties", &means.varieties, Tolerance::printed(6));
        r.meet_list("/environments", &means.environments, Tolerance::printed(6));
    })
    .unwrap();
}

fn complete(r: &mut Reference<'_>, at: &str) -> Option<()> {
    let rows: Vec<Vec<f64>> = r.input(&format!("{at}/rows"))?;
    let level: f64 = r.input(&format!("{at}/level"))?;
    let share: f64 = r.input(&format!("{at}/share"))?;
    let check: usize = r.input(&format!("{at}/check"))?;
    let table = CompleteTable::new(&rows).ok()?;
    let lines = joint_regression(&table).ok()?;
    // Against itself a check has ½ by definition, which R leaves out.
    let mut above = chance_above(&table, check).ok()?;
    above.remove(check);
    for (name, ours) in [
        ("variety_means", table.variety_means()),
        ("environment_means", table.environment_means()),
        ("slope", lines.iter().map(|l| l.slope).collect()),
        ("deviation_ms", lines.iter().map(|l| l.deviation_ms).collect()),
        ("ecovalence", ecovalence(&table)),
        ("stability_variance", stability_variance(&table).ok()?),
        ("superiority", superiority(&table)),
        ("sd", standard_deviations(&table)),
        ("below", chance_below(&table, level)),
        ("above", above),
        ("reliable", reliability(&table, share).ok()?),
        ("reliable_percent", reliability(&table.in_percent().ok()?, share).ok()?),
    ] {
        r.meet_list(&format!("{at}/{name}"), &ours, Tolerance::share(ROUNDING).at_least(ROUNDING));
    }
    Some(())
}

fn cells(r: &mut Reference<'_>, at: &str) -> Option<Vec<Cell>> {
    let variety: Vec<usize> = r.input(&format!("{at}/variety"))?;
    let environment: Vec<usize> = r.input(&format!("{at}/environment"))?;
    let yields: Vec<f64> = r.input(&format!("{at}/yield"))?;
    let places = variety.into_iter().zip(environment).zip(yields);
    Some(places.map(|((variety, environment), yield_)| Cell { variety, environment, yield_ }).collect())
}

fn size(cells: &[Cell]) -> (usize, usize) {
    let after = |of: fn(&Cell) -> usize| cells.iter().map(of).max().map_or(0, |last| last + 1);
    (after(|cell| cell.variety), after(|cell| cell.environment))
}

fn additive(r: &mut Reference<'_>, at: &str) -> Option<()> {
    let cells = cells(r, at)?;
    let (varieties, environments) = size(&cells);
    let means = additive_means(&cells, varieties, environments).ok()?;
    r.meet_list(&format!("{at}/varieties"), &means.varieties, Tolerance::share(ROUNDING));
    r.meet_list(&format!("{at}/environments"), &means.environments, Tolerance::share(ROUNDING));
    Some(())
}

/// Source: R's `lm`, `pnorm` and `qnorm`, live: barley, immer and penicillin whole, three more data sets with
/// gaps.
#[test]
fn stability_numbers_agree_with_least_squares_in_r() {
    let answers = run("stability.R");
    let document: Value = answer(answers.path(), "expected.json");
    for table in document["complete"].as_array().unwrap() {
        hold(&json!({ "t": table }), |r| assert!(complete(r, "/t").is_some()))
            .unwrap_or_else(|error| panic!("{}: {error}", table["name"]));
    }
    for table in document["additive"].as_array().unwrap() {
        hold(&json!({ "t": table }), |r| assert!(additive(r, "/t").is_some()))
            .unwrap_or_else(|error| panic!("{}: {error}", table["name"]));
    }
    assert!(document["apart"].get("varieties").is_none(), "R finds no estimate for them");
    let refused = hold(&document["apart"], |r| {
        let cells = cells(r, "").unwrap();
        let (varieties, environments) = size(&cells);
        let error = additive_means(&cells, varieties, environments).unwrap_err();
        assert!(matches!(error, StabilityError::Disconnected { .. }), "{error}");
    });
    assert_eq!(refused, Err("nothing is compared".to_owned()));
}
