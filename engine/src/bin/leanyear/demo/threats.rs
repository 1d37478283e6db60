//! Diseases and pests of the invented network: what they cost, how they are scored, when they came.
//!
//! Losses, efficacies and spray costs follow published figures, named in each `source`; how hard each
//! threat hit is invented. Pressure is drawn once per trial and threat from a season, a zone, a water
//! and a system part; about one score in seven was never taken. Nothing here knows of yields.

use super::cast::CAST;
use super::land::{FIRST_TRIAL_SEASON, PLACES, System, TRIAL_SEASONS};
use super::random::{normal, rounded, uniform};
use super::truth::{DROUGHT_HARDY, OLD_FAVOURITE, RUST_PRONE, WET_YEAR_LEADER};

/// A disease or pest.
pub struct Threat {
    /// Code.
    pub code: &'static str,
    /// Label in English.
    pub label: &'static str,
    /// Label in Spanish.
    pub label_es: &'static str,
    /// `disease` or `pest`.
    pub kind: &'static str,
    /// Rating of the best, rating of the worst, step of the scale.
    pub scale: [f64; 3],
    /// What the rating counts.
    pub unit: &'static str,
    /// Share of yield lost by a fully susceptible variety in a severe attack, and its sd.
    pub severe_loss: [f64; 2],
    /// What carries it, where the resistance can fail in a warm autumn.
    pub vector: &'static str,
    /// Share of the loss a treatment prevents and its cost, $ an acre; none where nothing protects.
    pub treatment: Option<[f64; 2]>,
    /// Caution.
    pub label_note: &'static str,
    /// Where the figures come from.
    pub source: &'static str,
    /// Pressure by trial season, before zone, water and system.
    season: [f64; TRIAL_SEASONS],
    /// Added by zone.
    zone: [f64; 3],
    /// Added per standard deviation of the season's water.
    wet: f64,
    /// Added under irrigation.
    irrigated: f64,
    /// How much resistance breeding has gained, latent units a year.
    progress: f64,
}

const LABEL: &str = "The label is the law: rate, growth stage, pre-harvest and grazing intervals. \
                     Ask a locally licensed adviser.";
const NO_CURE: &str =
    "No treatment cures it. Destroy volunteer wheat two weeks before sowing and do not sow early.";

/// All threats, in the order of the file.
pub const THREATS: [Threat; 9] = [
    Threat {
        code: "leaf-rust",
        label: "leaf rust",
        label_es: "roya de la hoja",
        kind: "disease",
        scale: [1.0, 9.0, 1.0],
        unit: "1 best to 9 worst",
        severe_loss: [0.30, 0.08],
        vector: "",
        treatment: Some([0.80, 18.0]),
        label_note: LABEL,
        source: "public extension table: 30-35 % lost at 65-100 % of the flag leaf at flowering; \
                 treatment 10-25 $/ac",
        season: [0.4, -0.2, 0.6, 0.3, 0.2, -0.6, 0.2, 0.5, -0.8],
        zone: [-0.5, 0.0, 0.5],
        wet: 0.25,
        irrigated: 0.1,
        progress: 0.05,
    },
    Threat {
        code: "stripe-rust",
        label: "stripe rust",
        label_es: "roya amarilla",
        kind: "disease",
        scale: [9.0, 1.0, 1.0],
        unit: "9 best to 1 worst",
        severe_loss: [0.50, 0.10],
        vector: "",
        treatment: Some([0.80, 18.0]),
        label_note: LABEL,
        source: "Sharma-Poudyal & Chen 2011: severe = 40-60 % lost by a susceptible check; treatment 10-25 $/ac",
        season: [0.1, -0.3, 0.9, 0.4, 0.0, -0.9, 0.1, 0.6, -1.0],
        zone: [0.4, 0.1, -0.4],
        wet: 0.2,
        irrigated: 0.0,
        progress: 0.06,
    },
    Threat {
        code: "stem-rust",
        label: "stem rust",
        label_es: "roya del tallo",
        kind: "disease",
        scale: [0.0, 100.0, 10.0],
        unit: "% of the stem",
        severe_loss: [0.60, 0.12],
        vector: "",
        treatment: Some([0.75, 18.0]),
        label_note: LABEL,
        source: "Suneson 1954: 6.7-9.2 % lost per 10 % severity; treatment 10-25 $/ac",
        season: [-1.2, -1.4, 0.0, -0.9, -1.0, -2.0, -1.2, 0.2, -2.0],
        zone: [-0.4, 0.0, 0.3],
        wet: 0.2,
        irrigated: 0.2,
        progress: 0.03,
    },
    Threat {
        code: "wheat-streak",
        label: "wheat streak mosaic",
        label_es: "mosaico estriado del trigo",
        kind: "disease",
        scale: [1.0, 9.0, 1.0],
        unit: "1 best to 9 worst",
        severe_loss: [0.70, 0.15],
        vector: "wheat curl mite",
        treatment: None,
        label_note: NO_CURE,
        source: "public extension: severe fields 70 % to total; regional mean 1.3-1.7 %, 5.6 % in a bad year",
        season: [0.5, 0.0, -0.6, -0.5, 0.3, 0.1, 1.1, -0.4, 0.1],
        zone: [0.0, 0.2, -0.3],
        wet: -0.1,
        irrigated: -0.2,
        progress: 0.04,
    },
    Threat {
        code: "yellow-dwarf",
        label: "barley yellow dwarf",
        label_es: "enanismo amarillo",
        kind: "disease",
        scale: [9.0, 1.0, 1.0],
        unit: "9 best to 1 worst",
        severe_loss: [0.49, 0.14],
        vector: "",
        treatment: Some([0.45, 9.0]),
        label_note: "Seed treatment against aphids, early sowings only. The label is the law. \
                     Ask a locally licensed adviser.",
        source: "public extension: loss 25-86 %, mean 49 %; efficacy and cost of the seed treatment assumed",
        season: [-0.1, -0.5, 0.2, 0.9, -0.1, -0.8, -0.2, 0.3, -0.6],
        zone: [-0.3, 0.0, 0.3],
        wet: 0.1,
        irrigated: 0.2,
        progress: 0.02,
    },
    Threat {
        code: "crown-rot",
        label: "crown and root rot",
        label_es: "pudrición de corona y raíz",
        kind: "disease",
        scale: [0.0, 60.0, 5.0],
        unit: "% white heads",
        severe_loss: [0.35, 0.10],
        vector: "",
        treatment: None,
        label_note: "No treatment in the crop is reliable. Rotate out of wheat; worst when it is dry.",
        source: "published survey: mean 9.5 %, to 35 %, worst in the driest seasons",
        season: [0.2, 0.7, -0.6, 0.0, 0.3, 1.1, 0.4, -0.1, 1.2],
        zone: [0.1, 0.0, 0.0],
        wet: -0.35,
        irrigated: -0.9,
        progress: 0.02,
    },
    Threat {
        code: "hessian-fly",
        label: "Hessian fly",
        label_es: "mosca de Hesse",
        kind: "pest",
        scale: [0.0, 40.0, 2.0],
        unit: "% of tillers infested",
        severe_loss: [0.25, 0.10],
        vector: "",
        treatment: None,
        label_note: "Sow after the fly-free date; destroy volunteer wheat.",
        source: "Buntin 1999: damage above 5-8 % of tillers in autumn; the severe loss assumed",
        season: [-0.2, -0.4, 0.3, 0.5, 0.9, -0.1, -0.2, 0.2, 0.0],
        zone: [-0.7, 0.0, 0.6],
        wet: 0.15,
        irrigated: 0.0,
        progress: 0.03,
    },
    Threat {
        code: "greenbug",
        label: "greenbug",
        label_es: "pulgón verde",
        kind: "pest",
        scale: [1.0, 9.0, 1.0],
        unit: "1 best to 9 worst",
        severe_loss: [0.20, 0.08],
        vector: "",
        treatment: Some([0.85, 11.0]),
        label_note: "Count before you spray, and spare the beneficial insects. The label is the law. \
                     Ask a locally licensed adviser.",
        source: "Kindler and others 2002: 0.51 kg/ha a greenbug-day, 1.17 in severe drought; \
                 the severe loss and efficacy assumed",
        season: [0.0, 0.8, -0.5, 0.0, 0.1, 0.9, 0.3, -0.1, 0.6],
        zone: [-0.3, 0.1, 0.3],
        wet: -0.15,
        irrigated: -0.2,
        progress: 0.01,
    },
    Threat {
        code: "sawfly",
        label: "wheat stem sawfly",
        label_es: "mosca sierra del tallo",
        kind: "pest",
        scale: [25.0, 5.0, 1.0],
        unit: "stem solidness",
        severe_loss: [0.25, 0.07],
        vector: "",
        treatment: None,
        label_note: "No spray protects. Solid stems, early harvest, fallow away from last year's stubble.",
        source: "published trials: 10-30 % lost in an infested stem",
        season: [0.4, 0.6, 0.2, 0.3, 0.5, 0.6, 0.5, 0.3, 0.5],
        zone: [0.7, -0.3, -1.2],
        wet: -0.1,
        irrigated: -0.8,
        progress: 0.0,
    },
];

/// Spread of pressure between trials of one season, zone and system.
const PRESSURE_NOISE: f64 = 0.6;
/// Added to every pressure: most trials see little of most threats.
const PRESSURE_SHIFT: f64 = -0.3;
/// Share of scores never taken.
const NOT_SCORED: f64 = 0.15;
/// Susceptibilities that are designed: (variety, place in [`THREATS`], susceptibility).
const DESIGNED: [(usize, usize, f64); 12] = [
    (RUST_PRONE, 0, 0.25),
    (RUST_PRONE, 1, 0.97),
    (DROUGHT_HARDY, 0, 0.35),
    (DROUGHT_HARDY, 1, 0.30),
    (DROUGHT_HARDY, 4, 0.30),
    (DROUGHT_HARDY, 3, 0.25),
    (DROUGHT_HARDY, 5, 0.15),
    (DROUGHT_HARDY, 7, 0.20),
    (OLD_FAVOURITE, 0, 0.40),
    (OLD_FAVOURITE, 1, 0.60),
    (OLD_FAVOURITE, 5, 0.30),
    (WET_YEAR_LEADER, 5, 0.75),
];

impl Threat {
    /// The rating that stands for a susceptibility between 0 and 1, on the threat's own scale.
    pub fn rating(&self, susceptibility: f64) -> f64 {
        let [best, worst, step] = self.scale;
        rounded(best + (worst - best) * susceptibility, step)
    }
}

/// True susceptibility, 0 immune to 1 fully susceptible.
pub fn susceptibility(variety: usize, threat: usize) -> f64 {
    if let Some((_, _, known)) = DESIGNED.iter().find(|(v, t, _)| (*v, *t) == (variety, threat)) {
        return *known;
    }
    let bred_late = f64::from(CAST[variety].bred - 2014);
    let latent =
        -0.7 - THREATS[threat].progress * bred_late + 1.05 * normal("susceptibility", &[variety, threat]);
    1.0 / (1.0 + (-latent).exp())
}

/// True pressure in a trial, 0 none to 3 severe, given the season's water in standard deviations.
pub fn pressure(threat: usize, place: usize, season: i32, system: System, water_sds: f64) -> u8 {
    let t = &THREATS[threat];
    let irrigated = if system == System::Dryland { 0.0 } else { t.irrigated };
    let at = [threat, place, season as usize, system.index()];
    let latent = PRESSURE_SHIFT
        + t.season[(season - FIRST_TRIAL_SEASON) as usize]
        + t.zone[PLACES[place].zone]
        + t.wet * water_sds.clamp(-2.0, 2.0)
        + irrigated
        + PRESSURE_NOISE * normal("pressure", &at);
    latent.round().clamp(0.0, 3.0) as u8
}

/// Whether the pressure was scored.
pub fn scored(threat: usize, place: usize, season: i32, system: System) -> bool {
    uniform("scored", &[threat, place, season as usize, system.index()]) >= NOT_SCORED
}

/// Share of the healthy yield that a variety loses to all threats together.
pub fn loss(variety: usize, pressures: &[u8]) -> f64 {
    let lost: f64 = pressures
        .iter()
        .enumerate()
        .map(|(threat, p)| {
            THREATS[threat].severe_loss[0] * susceptibility(variety, threat) * f64::from(*p) / 3.0
        })
        .sum();
    lost.min(0.9)
}
