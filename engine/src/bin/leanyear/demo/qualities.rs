//! Agronomic, grain and grazing traits of the invented varieties, and which ratings exist at all.
//!
//! Earliness ties first hollow stem to heading, and high yield costs some protein; the rest is drawn.
//! Days are counted from the first check, which therefore scores 0. Nothing here enters a yield.

use super::cast::{CAST, CHECKS, Entered};
use super::random::{normal, rounded, uniform};
use super::threats::{THREATS, susceptibility};
use super::truth::{
    CHARACTERS, DEVIATION_SD, DROUGHT_HARDY, EARLY_TYPE, GRAZING_TYPE, IRRIGATED_LEADER, OLD_FAVOURITE,
    Truth, WET_YEAR_LEADER,
};

/// A trait that is neither disease nor pest.
pub struct Quality {
    /// Code.
    pub code: &'static str,
    /// Label in English.
    pub label: &'static str,
    /// Label in Spanish.
    pub label_es: &'static str,
    /// `agronomic`, `quality` or `grazing`.
    pub kind: &'static str,
    /// Rating of the best and of the worst; none where neither end is better.
    pub ends: Option<[f64; 2]>,
    /// What the rating counts.
    pub unit: &'static str,
    /// Mean, standard deviation and step of the ratings.
    law: [f64; 3],
    /// Least and greatest possible rating.
    limits: [f64; 2],
}

const UNTIL_WORST: &str = "1 best to 9 worst";
const FROM_BEST: &str = "9 best to 1 worst";

/// All such traits, in the order of the file.
pub const QUALITIES: [Quality; 11] = [
    Quality {
        code: "first-hollow-stem",
        label: "first hollow stem",
        label_es: "primer tallo hueco",
        kind: "grazing",
        ends: None,
        unit: "days from the first check",
        law: [1.0, 5.0, 1.0],
        limits: [-14.0, 16.0],
    },
    Quality {
        code: "forage",
        label: "forage by first hollow stem",
        label_es: "forraje hasta el primer tallo hueco",
        kind: "grazing",
        ends: Some([2600.0, 1200.0]),
        unit: "lb dry matter/ac",
        law: [1900.0, 260.0, 50.0],
        limits: [1200.0, 2600.0],
    },
    Quality {
        code: "grazing-recovery",
        label: "recovery after grazing",
        label_es: "recuperación tras el pastoreo",
        kind: "grazing",
        ends: Some([9.0, 1.0]),
        unit: FROM_BEST,
        law: [5.4, 1.5, 1.0],
        limits: [1.0, 9.0],
    },
    Quality {
        code: "heading",
        label: "heading date",
        label_es: "fecha de espigado",
        kind: "agronomic",
        ends: None,
        unit: "days from the first check",
        law: [0.8, 2.4, 0.5],
        limits: [-7.0, 8.0],
    },
    Quality {
        code: "height",
        label: "plant height",
        label_es: "altura de la planta",
        kind: "agronomic",
        ends: None,
        unit: "in",
        law: [31.0, 2.2, 0.5],
        limits: [25.0, 38.0],
    },
    Quality {
        code: "straw",
        label: "straw strength",
        label_es: "resistencia al vuelco",
        kind: "agronomic",
        ends: Some([1.0, 9.0]),
        unit: UNTIL_WORST,
        law: [4.2, 1.7, 1.0],
        limits: [1.0, 9.0],
    },
    Quality {
        code: "stress-emergence",
        label: "emergence from hot or deep seedbeds",
        label_es: "emergencia en suelo caliente o siembra profunda",
        kind: "agronomic",
        ends: Some([9.0, 1.0]),
        unit: FROM_BEST,
        law: [5.3, 1.8, 1.0],
        limits: [1.0, 9.0],
    },
    Quality {
        code: "winter-hardiness",
        label: "winter hardiness",
        label_es: "resistencia al invierno",
        kind: "agronomic",
        ends: Some([1.0, 9.0]),
        unit: UNTIL_WORST,
        law: [3.8, 1.3, 1.0],
        limits: [1.0, 9.0],
    },
    Quality {
        code: "test-weight",
        label: "test weight",
        label_es: "peso hectolítrico",
        kind: "quality",
        ends: Some([63.0, 56.0]),
        unit: "lb/bu",
        law: [59.6, 1.1, 0.1],
        limits: [56.0, 63.0],
    },
    Quality {
        code: "protein",
        label: "grain protein",
        label_es: "proteína del grano",
        kind: "quality",
        ends: Some([14.5, 10.0]),
        unit: "% at 12 % moisture",
        law: [12.2, 0.55, 0.1],
        limits: [10.0, 14.5],
    },
    Quality {
        code: "baking",
        label: "baking quality",
        label_es: "calidad panadera",
        kind: "quality",
        ends: Some([9.0, 1.0]),
        unit: FROM_BEST,
        law: [5.6, 1.6, 1.0],
        limits: [1.0, 9.0],
    },
];

/// Standardised ratings that a variety's character asks for: (variety, trait, value).
const DESIGNED: [(usize, &str, f64); 14] = [
    (DROUGHT_HARDY, "stress-emergence", 1.8),
    (DROUGHT_HARDY, "straw", 0.6),
    (DROUGHT_HARDY, "test-weight", 0.9),
    (WET_YEAR_LEADER, "heading", 1.6),
    (WET_YEAR_LEADER, "test-weight", -0.8),
    (IRRIGATED_LEADER, "straw", -1.7),
    (IRRIGATED_LEADER, "height", -1.6),
    (OLD_FAVOURITE, "baking", 1.4),
    (OLD_FAVOURITE, "forage", 1.1),
    (GRAZING_TYPE, "first-hollow-stem", 2.0),
    (GRAZING_TYPE, "forage", 1.6),
    (GRAZING_TYPE, "grazing-recovery", 1.8),
    (EARLY_TYPE, "first-hollow-stem", -1.9),
    (EARLY_TYPE, "heading", -1.8),
];

fn standardised(variety: usize, trait_: usize, truth: &Truth) -> f64 {
    let code = QUALITIES[trait_].code;
    if let Some((_, _, known)) = DESIGNED.iter().find(|(v, t, _)| (*v, *t) == (variety, code)) {
        return *known;
    }
    let own = normal("quality", &[variety, trait_]);
    match code {
        "first-hollow-stem" => 0.7 * normal("earliness", &[variety]) + 0.7 * own,
        "heading" => 0.85 * normal("earliness", &[variety]) + 0.5 * own,
        "protein" => 0.85 * own - 0.4 * truth.variety[variety] / DEVIATION_SD,
        _ => own,
    }
}

fn value(variety: usize, trait_: usize, truth: &Truth) -> f64 {
    let Quality { law: [mean, sd, step], limits: [least, greatest], unit, .. } = &QUALITIES[trait_];
    if variety == CHECKS[0] && *unit == "days from the first check" {
        return 0.0;
    }
    rounded((mean + sd * standardised(variety, trait_, truth)).clamp(*least, *greatest), *step)
}

/// Chance that a rating exists: newcomers have few.
fn chance_rated(variety: usize) -> f64 {
    match CAST[variety].seasons_tested() {
        1 if CAST[variety].newcomer() => 0.3,
        2 if CAST[variety].newcomer() => 0.65,
        1 => 0.75,
        _ => 0.95,
    }
}

/// A rating as the file shows it.
pub struct Rated {
    /// Place in the cast.
    pub variety: usize,
    /// Trait code.
    pub code: &'static str,
    /// Value on the trait's scale.
    pub value: f64,
    /// Seasons behind it.
    pub seasons: usize,
}

/// All ratings that exist, by variety, threats first.
pub fn ratings(truth: &Truth) -> Vec<Rated> {
    let mut ratings = Vec::new();
    for (variety, member) in CAST.iter().enumerate() {
        let most = member.seasons_tested();
        let mut rate = |trait_: usize, code, value| {
            let certain = CHECKS.contains(&variety) || CHARACTERS.contains(&variety);
            let grazed = matches!(code, "first-hollow-stem" | "forage" | "grazing-recovery");
            if (grazed && member.entered == Entered::Irrigated)
                || (!certain && uniform("rated", &[variety, trait_]) >= chance_rated(variety))
            {
                return;
            }
            let seen = (most as f64 * (0.4 + 0.6 * uniform("seasons rated", &[variety, trait_]))).ceil();
            ratings.push(Rated { variety, code, value, seasons: (seen as usize).clamp(1, most) });
        };
        for (index, threat) in THREATS.iter().enumerate() {
            rate(index, threat.code, threat.rating(susceptibility(variety, index)));
        }
        for (index, quality) in QUALITIES.iter().enumerate() {
            rate(THREATS.len() + index, quality.code, value(variety, index, truth));
        }
    }
    ratings
}
