//! Worked examples of the trade: published or exact numbers, each with its source, by the engine's public functions.
//!
//! Stability numbers and adjusted means stand in `stability`, a trial's analysis in `stage_one`.

use crate::laws;
use leanyear_engine::decide::BreakEven;
use leanyear_engine::decide::units::{HA_PER_ACRE, KG_PER_LB, area_factor, factor, kg_per_ha};
use leanyear_engine::forecast::score::phi;
use leanyear_engine::link::Settings;
use leanyear_engine::pack::{ErrorReport, YieldUnit};
use leanyear_engine::trial::{t_two_sided, variance_of_mean};
use leanyear_tests::reference::{Tolerance, hold};
use serde_json::json;

/// Pounds in a bushel.
const WHEAT: f64 = 60.0;
const BARLEY: f64 = 48.0;
const OATS: f64 = 32.0;

/// Source: exact arithmetic from 1 lb = 0.45359237 kg (international yard and pound agreement, 1959) and 1 ac =
/// 0.40468564224 ha; bushels of 60, 48 and 32 lb. A loss of 83 kg/ha a day past first hollow stem is 1.2342 bu/ac of
/// wheat (Redmon et al. 1996, Agron. J.).
#[test]
fn units_are_exact() {
    use YieldUnit::{BushelPerAcre, KilogramPerHectare, PoundPerAcre, TonnePerHectare};
    let document = json!({
        "kg in a lb": 0.45359237,
        "ha in an ac": 0.40468564224,
        "kg/ha in a bu/ac": {"wheat": 67.2510694, "barley": 53.8008555, "oats": 35.8672370},
        "bu/ac of wheat in a t/ha": 14.8696520,
        "bu in a t": {"wheat": 36.7437104, "barley": 45.9296380, "oats": 68.8944569},
        "kg/ha in a lb/ac": 1.12085116,
        "bu/ac of wheat in 83 kg/ha": 1.2342,
        "ac in a ha": 2.4710538147,
    });
    // A tonne a hectare, on the acres of a hectare.
    let bushels = |pounds| factor(TonnePerHectare, BushelPerAcre, pounds) / HA_PER_ACRE;
    hold(&document, |r| {
        r.meet("/kg in a lb", KG_PER_LB, Tolerance::within(1e-15));
        r.meet("/ha in an ac", HA_PER_ACRE, Tolerance::within(1e-15));
        for (crop, pounds) in [("wheat", WHEAT), ("barley", BARLEY), ("oats", OATS)] {
            let of_bushel = kg_per_ha(BushelPerAcre, pounds);
            r.meet(&format!("/kg~1ha in a bu~1ac/{crop}"), of_bushel, Tolerance::printed(7));
            r.meet(&format!("/bu in a t/{crop}"), bushels(pounds), Tolerance::printed(7));
        }
        let of_tonne = factor(TonnePerHectare, BushelPerAcre, WHEAT);
        r.meet("/bu~1ac of wheat in a t~1ha", of_tonne, Tolerance::printed(7));
        r.meet("/kg~1ha in a lb~1ac", kg_per_ha(PoundPerAcre, WHEAT), Tolerance::printed(8));
        let lost = 83.0 * factor(KilogramPerHectare, BushelPerAcre, WHEAT);
        r.meet("/bu~1ac of wheat in 83 kg~1ha", lost, Tolerance::printed(4));
        r.meet("/ac in a ha", area_factor(BushelPerAcre, TonnePerHectare), Tolerance::printed(10));
    })
    .unwrap();
}

/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, critical values of Student's t, two-sided, to three
/// decimals; the last of the row of 5 % is the normal law's.
#[test]
fn students_t_is_that_of_the_published_table() {
    let document = json!({
        "0.05": {"4": 2.776, "8": 2.306, "10": 2.228, "12": 2.179, "15": 2.131, "20": 2.086, "21": 2.080, "30": 2.042,
                 "60": 2.000, "1e9": 1.960},
        "0.1": {"10": 1.812, "20": 1.725, "30": 1.697},
    });
    hold(&document, |r| {
        for (level, row) in document.as_object().unwrap() {
            for freedom in row.as_object().unwrap().keys() {
                let t = t_two_sided(level.parse().unwrap(), freedom.parse().unwrap()).unwrap();
                r.meet(&format!("/{level}/{freedom}"), t, Tolerance::printed(3));
            }
        }
    })
    .unwrap();
}

/// Source: the standardised precipitation index is normal by construction, so its classes have these chances: exact.
#[test]
fn dry_spells_are_as_rare_as_the_normal_law_says() {
    let document = json!({"-1": 0.1587, "-1.5": 0.0668, "-2": 0.0228});
    hold(&document, |r| {
        for index in ["-1", "-1.5", "-2"] {
            r.meet(&format!("/{index}"), phi(index.parse().unwrap()), Tolerance::printed(4));
        }
    })
    .unwrap();
}

/// Source: complete-block example after Gomez & Gomez 1984, pp. 301–303: four blocks of five treatments, mean 4.13
/// t/ha, LSD(5 %) 0.6214, LSD(1 %) 0.8713, CV 9.766 %; each tells the error mean square, 0.16267.
#[test]
fn an_lsd_and_a_cv_tell_the_error_mean_square() {
    let report = ErrorReport { reps: Some(4.0), ..ErrorReport::default() };
    let lsd = |lsd, level| ErrorReport { lsd: Some(lsd), lsd_level: Some(level), ..report };
    let document = json!({"LSD 5 %": 0.16267, "LSD 1 %": 0.16267, "CV": 0.16267});
    hold(&document, |r| {
        for (at, report) in [
            ("/LSD 5 %", lsd(0.6214, 0.05)),
            ("/LSD 1 %", lsd(0.8713, 0.01)),
            ("/CV", ErrorReport { cv: Some(9.766), ..report }),
        ] {
            let error_ms = 4.0 * variance_of_mean(&report, 5, 4.13, None).unwrap();
            // The LSDs rest on a t of three decimals: 1.4e-4 of them, squared.
            r.meet(at, error_ms, Tolerance::share(4e-4));
        }
    })
    .unwrap();
}

/// Source: public extension enterprise budgets: 283.47 and 352.27 $/ac at 6.612 $/bu less 1.11 for hauling and
/// harvest break even at 51.52 and 64.03 bu/ac; a fungicide and its application of 26 $ at 4.50 and of 40 $ at 3.50
/// pay with 5.78 and 11.43 bu/ac.
#[test]
fn break_even_yields_are_those_of_public_budgets() {
    let document = json!({"283.47": 51.52, "352.27": 64.03, "26": 5.78, "40": 11.43});
    hold(&document, |r| {
        for (cost, price, haul) in
            [("283.47", 6.612, 1.11), ("352.27", 6.612, 1.11), ("26", 4.5, 0.0), ("40", 3.5, 0.0)]
        {
            let settings = Settings {
                unit: YieldUnit::BushelPerAcre,
                price: Some(price),
                haul: Some(haul),
                cost: cost.parse().ok(),
                ..laws::settings()
            };
            let BreakEven::Yield(ours) = laws::table(&settings).break_even else {
                panic!("a plain budget has one break-even")
            };
            r.meet(&format!("/{cost}"), ours, Tolerance::printed(2));
        }
    })
    .unwrap();
}
