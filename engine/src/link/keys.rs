//! The table of link keys: each key's name, its range, and the setting it stands for, in the order written.
//!
//! Everything else here follows this table: encoding, decoding, the validity of settings, and which words no
//! trait may be called by. Knows no network.

use super::settings::Settings;
use super::words;
use crate::pack::YIELD_UNITS;

/// Most money in one amount, any currency.
const MOST_MONEY: f64 = 1e8;
/// Most acres or hectares.
const MOST_AREA: f64 = 1e6;
/// Least and most cost of a spray.
pub(super) const SPRAY_COST: (f64, f64) = (0.0, MOST_MONEY);
/// Least and most efficacy of a spray.
pub(super) const EFFICACY: (f64, f64) = (0.0, 1.0);
/// Least and most limit of a dock's step.
pub(super) const DOCK_LIMIT: (f64, f64) = (-1e6, 1e6);
/// Least and most that a dock's step takes off a unit of grain.
pub(super) const DOCK_OFF: (f64, f64) = (-MOST_MONEY, MOST_MONEY);
/// Fewest and most acres or hectares of one variety in a split.
pub(super) const ACRES: (f64, f64) = (0.01, MOST_AREA);
/// What the key of a spray begins with.
pub(super) const SPRAY: &str = "spray-";
/// What the key of a dock schedule begins with.
pub(super) const DOCK: &str = "dock-";

/// What the code under a key names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CodeOf {
    /// A production system.
    System,
    /// A site.
    Site,
    /// A zone.
    Zone,
    /// A variety.
    Variety,
    /// A trait.
    Trait,
}

/// What a key holds, and how it reaches the settings.
#[derive(Debug, Clone, Copy)]
pub enum Holds {
    /// The version of the syntax.
    Version,
    /// The fingerprint of the pack.
    Pack,
    /// A number; an empty text means none.
    Number {
        /// Least, included.
        low: f64,
        /// Most, included.
        high: f64,
        /// Whether it must be whole.
        whole: bool,
        /// Reads the setting.
        get: fn(&Settings) -> Option<f64>,
        /// Writes the setting.
        set: fn(&mut Settings, Option<f64>),
    },
    /// A code; an empty text means none, except for the system.
    Code {
        /// What it names.
        of: CodeOf,
        /// Reads the setting.
        get: fn(&Settings) -> Option<&str>,
        /// Writes the setting.
        set: fn(&mut Settings, Option<String>),
    },
    /// Codes separated by commas.
    Codes {
        /// What they name.
        of: CodeOf,
        /// Most that are kept.
        most: usize,
        /// The setting.
        get: fn(&mut Settings) -> &mut Vec<String>,
    },
    /// One of a few words.
    Word {
        /// Reads the setting.
        get: fn(&Settings) -> String,
        /// Writes the setting; false if the word is none of its own.
        set: fn(&mut Settings, &str) -> bool,
    },
    /// A pressure for each disease or pest; the key is the trait's code.
    Diseases,
    /// Cost and efficacy of a spray; the key is `spray-` and the trait's code.
    Sprays,
    /// Limits and what is taken off below them, separated by commas; the key is `dock-` and the trait's code.
    Docks {
        /// Most steps that are kept.
        most: usize,
    },
    /// Variety and area, separated by commas.
    Acres {
        /// Most that are kept.
        most: usize,
    },
}

/// A row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// The key as it is written.
    pub key: &'static str,
    /// What it is, in words.
    pub name: &'static str,
    /// What it holds.
    pub holds: Holds,
}

const fn number(
    key: &'static str,
    name: &'static str,
    (low, high): (f64, f64),
    get: fn(&Settings) -> Option<f64>,
    set: fn(&mut Settings, Option<f64>),
) -> Key {
    Key { key, name, holds: Holds::Number { low, high, whole: false, get, set } }
}

const fn code(
    key: &'static str,
    name: &'static str,
    of: CodeOf,
    get: fn(&Settings) -> Option<&str>,
    set: fn(&mut Settings, Option<String>),
) -> Key {
    Key { key, name, holds: Holds::Code { of, get, set } }
}

const fn word(
    key: &'static str,
    name: &'static str,
    get: fn(&Settings) -> String,
    set: fn(&mut Settings, &str) -> bool,
) -> Key {
    Key { key, name, holds: Holds::Word { get, set } }
}

const MONEY: (f64, f64) = (0.0, MOST_MONEY);

/// Every key in the order in which a link is written.
pub const KEYS: &[Key] = &[
    Key { key: "v", name: "version", holds: Holds::Version },
    Key { key: "pack", name: "data", holds: Holds::Pack },
    code("system", "system", CodeOf::System, |s| Some(&s.system), |s, v| s.system = v.unwrap_or_default()),
    code("site", "site", CodeOf::Site, |s| s.site.as_deref(), |s, v| s.site = v),
    code("zone", "zone", CodeOf::Zone, |s| s.zone.as_deref(), |s, v| s.zone = v),
    number("usual", "usual yield", (0.01, 1e5), |s| s.usual, |s, v| s.usual = v),
    word(
        "unit",
        "unit",
        |s| s.unit.symbol().to_owned(),
        |s, text| put(&mut s.unit, words::value_of(&YIELD_UNITS, text)),
    ),
    code("mine", "the one I grow", CodeOf::Variety, |s| s.mine.as_deref(), |s, v| s.mine = v),
    word(
        "water",
        "the year",
        |s| words::write_water(s.water),
        |s, text| put(&mut s.water, words::read_water(text)),
    ),
    Key { key: "", name: "disease", holds: Holds::Diseases },
    word(
        "currency",
        "currency",
        |s| s.currency.clone().unwrap_or_default(),
        |s, text| words::put_currency(&mut s.currency, text),
    ),
    number("price", "price", MONEY, |s| s.price, |s, v| s.price = v),
    number("haul", "hauling", MONEY, |s| s.haul, |s, v| s.haul = v),
    number("volatility", "swing of the price", (0.0, 200.0), |s| s.volatility, |s, v| s.volatility = v),
    number("cost", "cost", MONEY, |s| s.cost, |s, v| s.cost = v),
    word(
        "costs",
        "what the cost holds",
        |s| words::word_of(&COSTS, s.cash_only).to_owned(),
        |s, text| put(&mut s.cash_only, words::value_of(&COSTS, text)),
    ),
    number("cover", "insured share of the usual yield", (0.0, 100.0), |s| s.cover, |s, v| s.cover = v),
    number("guarantee-price", "insured price", MONEY, |s| s.guarantee_price, |s, v| s.guarantee_price = v),
    number("premium", "premium", MONEY, |s| s.premium, |s, v| s.premium = v),
    word(
        "graze",
        "grazing",
        |s| yes_no(s.graze),
        |s, text| put(&mut s.graze, words::value_of(&YES_NO, text)),
    ),
    number("graze-days", "days of grazing", (0.0, 366.0), |s| s.graze_days, |s, v| s.graze_days = v),
    number("gain", "gain a day", (0.0, 1e4), |s| s.gain, |s, v| s.gain = v),
    number("value", "value of gain", MONEY, |s| s.value, |s, v| s.value = v),
    number("off", "days past first hollow stem", (-120.0, 120.0), |s| s.off, |s, v| s.off = v),
    Key { key: SPRAY, name: "spray", holds: Holds::Sprays },
    Key { key: DOCK, name: "docks", holds: Holds::Docks { most: 24 } },
    Key {
        key: "need",
        name: "needed traits",
        holds: Holds::Codes { of: CodeOf::Trait, most: 20, get: |s| &mut s.need },
    },
    Key {
        key: "at-most",
        name: "most varieties",
        holds: Holds::Number {
            low: 1.0,
            high: 20.0,
            whole: true,
            get: |s| s.at_most.map(f64::from),
            // Within its range the number is a whole one below 256.
            set: |s, v| s.at_most = v.map(|v| v as u8),
        },
    },
    number(
        "min-acres",
        "fewest acres of one variety",
        (0.0, MOST_AREA),
        |s| s.min_acres,
        |s, v| s.min_acres = v,
    ),
    word(
        "money-unit",
        "axis",
        |s| words::word_of(&AXES, s.money_unit).to_owned(),
        |s, text| put(&mut s.money_unit, words::value_of(&AXES, text)),
    ),
    word(
        "order",
        "order",
        |s| words::word_of(&words::ORDERS, s.order).to_owned(),
        |s, text| put(&mut s.order, words::value_of(&words::ORDERS, text)),
    ),
    word(
        "view",
        "view",
        |s| words::word_of(&words::VIEWS, s.view).to_owned(),
        |s, text| put(&mut s.view, words::value_of(&words::VIEWS, text)),
    ),
    code("variety", "variety", CodeOf::Variety, |s| s.variety.as_deref(), |s, v| s.variety = v),
    Key {
        key: "with",
        name: "side by side",
        holds: Holds::Codes { of: CodeOf::Variety, most: 4, get: |s| &mut s.with },
    },
    Key { key: "acres", name: "acres", holds: Holds::Acres { most: 20 } },
];

const YES_NO: [(&str, bool); 2] = [("no", false), ("yes", true)];
const COSTS: [(&str, bool); 2] = [("everything", false), ("cash", true)];
const AXES: [(&str, bool); 2] = [("yield", false), ("money", true)];

fn yes_no(value: bool) -> String {
    words::word_of(&YES_NO, value).to_owned()
}

fn put<T>(setting: &mut T, value: Option<T>) -> bool {
    value.map(|value| *setting = value).is_some()
}

/// The row of a key; `None` for unknown keys and for those made of trait codes: diseases, sprays and docks.
pub fn find(key: &str) -> Option<&'static Key> {
    let made_of_codes =
        |row: &Key| matches!(row.holds, Holds::Diseases | Holds::Sprays | Holds::Docks { .. });
    KEYS.iter().find(|row| row.key == key && !made_of_codes(row))
}

/// Least and most of a key that holds a number; anything for other keys.
pub(crate) fn range(key: &str) -> (f64, f64) {
    match find(key).map(|row| row.holds) {
        Some(Holds::Number { low, high, .. }) => (low, high),
        _ => (f64::NEG_INFINITY, f64::INFINITY),
    }
}

/// Most steps of a dock schedule.
pub(super) fn most_dock_steps() -> usize {
    KEYS.iter()
        .find_map(|row| match row.holds {
            Holds::Docks { most } => Some(most),
            _ => None,
        })
        .unwrap_or_default()
}

/// Whether a link has a key of this name, so that no trait may bear it.
pub fn is_key(name: &str) -> bool {
    find(name).is_some() || name.starts_with(SPRAY) || name.starts_with(DOCK)
}

/// Whether a text can be the fingerprint of a pack: eight hexadecimal digits, small letters.
pub(crate) fn is_fingerprint(text: &str) -> bool {
    text.len() == 8 && text.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
}
