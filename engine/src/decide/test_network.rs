//! A small invented network for the decision's own tests.

#![allow(clippy::unwrap_used)]
use crate::pack::{Network, Trait, TraitKind, read, test_folder};

/// Three varieties, a few trials.
pub fn network() -> Network {
    read(&test_folder::whole()).network.unwrap()
}

/// A trait with or without a scale of best and worst.
pub fn a_trait(code: &str, kind: TraitKind, scale: Option<(f64, f64)>) -> Trait {
    Trait {
        trait_: code.to_owned(),
        label: code.to_owned(),
        label_es: String::new(),
        kind,
        best: scale.map(|s| s.0),
        worst: scale.map(|s| s.1),
        unit: String::new(),
        severe_loss: None,
        severe_loss_sd: None,
        vector: String::new(),
        protectable: false,
        efficacy: None,
        spray_cost: None,
        label_note: String::new(),
        source: String::new(),
    }
}
