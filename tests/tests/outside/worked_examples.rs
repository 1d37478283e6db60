//! Worked examples of the trade: published or exact numbers, each with its source, by the engine's public
//! functions.
//!
//! Stability numbers and adjusted means stand in `stability`, a trial's analysis in `stage_one`.

use leanyear_engine::decide::BreakEven;
use leanyear_engine::decide::docks::taken_off;
use leanyear_engine::decide::grazing::{Grazed, KeepOn};
use leanyear_engine::decide::money::{Money, VarietyTerms};
use leanyear_engine::decide::sprays::break_even_gain;
use leanyear_engine::decide::units::{HA_PER_ACRE, KG_PER_LB, area_factor, factor, kg_per_ha};
use leanyear_engine::forecast::score::phi;
use leanyear_engine::link::{DockStep, Settings};
use leanyear_engine::pack::{ErrorReport, YieldUnit};
use leanyear_engine::trial::{t_two_sided, variance_of_mean};
use leanyear_tests::reference::{Tolerance, hold};
use serde_json::json;

/// Pounds in a bushel.
const WHEAT: f64 = 60.0;
const BARLEY: f64 = 48.0;
const OATS: f64 = 32.0;

/// Source: exact arithmetic from 1 lb = 0.45359237 kg (international yard and pound agreement, 1959) and 1 ac
/// = 0.40468564224 ha; bushels of 60, 48 and 32 lb. A loss of 83 kg/ha a day past first hollow stem is 1.2342
/// bu/ac of wheat (Redmon et al. 1996, Agron. J.).
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

/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, critical values of Student's t, two-sided, to
/// three decimals; the last of the row of 5 % is the normal law's.
#[test]
fn students_t_is_that_of_the_published_table() {
    let document = json!({
        "0.05": {"4": 2.776, "8": 2.306, "10": 2.228, "12": 2.179, "15": 2.131, "20": 2.086,
                 "21": 2.080, "30": 2.042, "60": 2.000, "1e9": 1.960},
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

/// Source: the standardised precipitation index is normal by construction, so its classes have these chances:
/// exact.
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

/// Source: complete-block example after Gomez & Gomez 1984, pp. 301–303: four blocks of five treatments, mean
/// 4.13 t/ha, LSD(5 %) 0.6214, LSD(1 %) 0.8713, CV 9.766 %; each tells the error mean square, 0.16267.
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

/// Settings in bushels an acre with a price and a cost.
fn priced(price: f64, cost: f64) -> Settings {
    let bare = Settings::bare("dryland", YieldUnit::BushelPerAcre);
    Settings { price: Some(price), cost: Some(cost), ..bare }
}

/// Sources: public extension enterprise budgets: 283.47 and 352.27 $/ac at 6.612 $/bu less 1.11 for hauling
/// and harvest break even at 51.52 and 64.03 bu/ac; 325.10 $/ac over 45 bu is 7.22 $/bu, so that at this
/// price 45 bu leave nothing; a fungicide and its application of 26 $ at 4.50 and of 40 $ at 3.50 pay with
/// 5.78 and 11.43 bu/ac.
#[test]
fn break_even_yields_are_those_of_public_budgets() {
    let of = |price, haul, cost| {
        let money = Money::new(&Settings { haul: Some(haul), ..priced(price, cost) }, 30.0, 0.0).unwrap();
        match money.break_even(&VarietyTerms::PLAIN) {
            BreakEven::Yield(at) => at,
            other => panic!("a plain budget has one break-even, not {other:?}"),
        }
    };
    let document = json!({"variable": 51.52, "all": 64.03, "at 7.22": 45.0, "26 $": 5.78, "40 $": 11.43});
    hold(&document, |r| {
        r.meet("/variable", of(6.612, 1.11, 283.47), Tolerance::printed(2));
        r.meet("/all", of(6.612, 1.11, 352.27), Tolerance::printed(2));
        // The price is printed to the cent: 0.005 of 7.22, of 45 bu.
        r.meet("/at 7.22", of(7.22, 0.0, 325.10), Tolerance::share(0.005 / 7.22));
        for (at, cost, price) in [("/26 $", 26.0, 4.5), ("/40 $", 40.0, 3.5)] {
            r.meet(at, break_even_gain(cost, price).unwrap(), Tolerance::printed(2));
        }
    })
    .unwrap();
}

/// Sources: a public extension dryland budget, 2016: 18 bu at 5.50 $, grazing income 34, variable costs
/// 141.49, all 211.74 $/ac, so by its arithmetic −78.74 is left, and −8.49 after cash costs; a guarantee as
/// extension explains it: 100 bu × 80 % = 80, and constructed after it 40 × 65 % = 26, made 15, 11 short ×
/// 5.50 = 60.50 $/ac; cattle from 1,168 to 1,273 $ on 50 lb, 2.10 $/lb.
#[test]
fn a_budget_a_guarantee_and_the_value_of_gain_are_as_printed() {
    let document = json!({
        "left": -78.74, "left after cash costs": -8.49, "guarantee": {"100": 80.0, "40": 26.0},
        "indemnity": 60.50, "value of gain": 2.10,
    });
    let money = |settings: &Settings, usual| Money::new(settings, usual, 0.0).unwrap();
    let grazed = |cost| {
        let income =
            Settings { graze_days: Some(34.0), gain: Some(1.0), value: Some(1.0), ..priced(5.5, cost) };
        money(&Settings { graze: true, ..income }, 30.0)
    };
    let covered = |cover, usual| money(&Settings { cover: Some(cover), ..priced(5.5, 100.0) }, usual);
    hold(&document, |r| {
        let exact = Tolerance::within(1e-9);
        r.meet("/left", grazed(211.74).net(18.0, &VarietyTerms::PLAIN), exact);
        r.meet("/left after cash costs", grazed(141.49).net(18.0, &VarietyTerms::PLAIN), exact);
        r.meet("/guarantee/100", covered(80.0, 100.0).guarantee, exact);
        r.meet("/guarantee/40", covered(65.0, 40.0).guarantee, exact);
        r.meet("/indemnity", covered(65.0, 40.0).indemnity(15.0), exact);
        r.meet("/value of gain", KeepOn::a_day(1.0, (1273.0 - 1168.0) / 50.0, 25.0, 5.5).brings, exact);
    })
    .unwrap();
}

/// Sources: one published test weight schedule, 2012: base 58 lb, 5 ¢ a half pound to 56, 8 ¢ to 53, 10 ¢ to
/// 48, added up by hand; a federal hard winter wheat protein scale, September 2021, ¢/bu.
#[test]
fn docks_and_premiums_are_those_of_published_schedules() {
    let document = json!({
        "test weight": {"58.0": 0.0, "57.5": 5.0, "56.0": 20.0, "55.5": 28.0, "53.0": 68.0, "52.5": 78.0,
                        "48.0": 168.0},
        "protein": {"10.9": -3.0, "11.0": 0.0, "11.4": 10.0, "12.0": 25.0, "12.4": 44.0, "12.8": 64.0},
    });
    // A step for each started half pound below the base.
    let mut off = 0.0;
    let test_weight: Vec<DockStep> = (0..20)
        .map(|k| {
            let below = 58.0 - 0.5 * f64::from(k);
            off += if below > 56.0 {
                5.0
            } else if below > 53.0 {
                8.0
            } else {
                10.0
            };
            DockStep { below, off }
        })
        .collect();
    let scale = [(11.0, 3.0), (11.4, 0.0), (12.0, -10.0), (12.4, -25.0), (12.8, -44.0), (99.0, -64.0)];
    let protein = scale.map(|(below, off)| DockStep { below, off });
    hold(&document, |r| {
        for (name, steps, sign) in [("test weight", &test_weight[..], 1.0), ("protein", &protein[..], -1.0)] {
            for value in document[name].as_object().unwrap().keys() {
                let off = sign * taken_off(steps, value.parse().unwrap());
                r.meet(&format!("/{name}/{value}"), off, Tolerance::within(1e-9));
            }
        }
    })
    .unwrap();
}

/// Sources: grazed to the right date −7 %, nothing where the ungrazed yield is below 1,100 kg/ha (Edwards et
/// al. 2011, Crop Sci. 51:2181–2185); past first hollow stem 1.25 bu or 5 % a day (extension), of 25 bu.
#[test]
fn cattle_take_what_was_published() {
    let document = json!({"in time": 2790.0, "below 1,100": 1000.0, "a day": 1.25});
    hold(&document, |r| {
        let in_time = Grazed::days_past(0.0, 1100.0);
        r.meet("/in time", in_time.grain(3000.0), Tolerance::within(1e-6));
        r.meet("/below 1,100", in_time.grain(1000.0), Tolerance::within(1e-6));
        r.meet("/a day", KeepOn::a_day(1.0, 1.0, 25.0, 1.0).grain_lost, Tolerance::within(1e-9));
    })
    .unwrap();
}
