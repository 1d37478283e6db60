//! The settings of a page, and their form as a link.
//!
//! [`Settings`] is everything a reader chose; the codec beside it turns settings into the text after
//! `#` and back. A link is hostile until decoded. Nothing here knows a network's numbers, only its codes.

pub mod settings;

pub use settings::{Order, Pressures, Settings, Spray, View, WaterOutlook};

/// Whether a link has a key of this name, so that no trait may bear it.
pub fn is_key(name: &str) -> bool {
    const KEYS: [&str; 35] = [
        "v",
        "pack",
        "system",
        "site",
        "zone",
        "usual",
        "unit",
        "mine",
        "water",
        "price",
        "haul",
        "volatility",
        "cost",
        "cover",
        "guarantee-price",
        "premium",
        "graze",
        "graze-days",
        "gain",
        "value",
        "off",
        "spray",
        "need",
        "at-most",
        "min-acres",
        "money-unit",
        "order",
        "view",
        "variety",
        "with",
        "acres",
        "any",
        "all",
        "lang",
        "night",
    ];
    KEYS.contains(&name) || name.starts_with("spray-")
}
