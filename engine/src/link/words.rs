//! How each choice among few is written in a link.
//!
//! Knows words only; which key holds which choice is in the table of keys.

use super::settings::{Order, Pressures, View, WaterOutlook};
use crate::pack::{FIRST_YEAR, LAST_YEAR};

/// What is printed for a disease that comes as it comes.
pub(super) const AS_IT_COMES: &str = "any";

/// Words of pressures.
pub(super) const PRESSURES: [(&str, Pressures); 4] = [
    ("none", Pressures::None),
    ("light", Pressures::Light),
    ("moderate", Pressures::Moderate),
    ("severe", Pressures::Severe),
];

/// Words of orders.
pub(super) const ORDERS: [(&str, Order); 3] =
    [("net", Order::Net), ("worst-fifth", Order::WorstFifth), ("chance-short", Order::ChanceShort)];

/// Words of views.
pub(super) const VIEWS: [(&str, View); 8] = [
    ("odds", View::Odds),
    ("variety", View::Variety),
    ("compare", View::Compare),
    ("acres", View::Acres),
    ("track-record", View::TrackRecord),
    ("prepare", View::Prepare),
    ("handout", View::Handout),
    ("share", View::Share),
];

const WATERS: [(&str, WaterOutlook); 5] = [
    (AS_IT_COMES, WaterOutlook::Any),
    ("driest-fifth", WaterOutlook::DriestFifth),
    ("dry", WaterOutlook::Dry),
    ("middle", WaterOutlook::Middle),
    ("wet", WaterOutlook::Wet),
];

/// The value that a word stands for.
pub(super) fn value_of<T: Copy>(words: &[(&str, T)], text: &str) -> Option<T> {
    words.iter().find(|(word, _)| *word == text).map(|(_, value)| *value)
}

/// The word of a value.
pub(super) fn word_of<T: Copy + PartialEq>(words: &[(&'static str, T)], value: T) -> &'static str {
    words.iter().find(|(_, other)| *other == value).map_or("", |(word, _)| word)
}

/// Whether an outlook is one that a link can hold: a four-digit season, or thirds that add to 100.
pub(super) fn water_is_valid(water: WaterOutlook) -> bool {
    match water {
        WaterOutlook::Like(season) => (FIRST_YEAR..=LAST_YEAR).contains(&season),
        WaterOutlook::Thirds(dry, middle, wet) => u32::from(dry) + u32::from(middle) + u32::from(wet) == 100,
        _ => true,
    }
}

/// `dry`, `like-2022`, `50-30-20`.
pub(super) fn write_water(water: WaterOutlook) -> String {
    match water {
        WaterOutlook::Like(season) => format!("like-{season}"),
        WaterOutlook::Thirds(dry, middle, wet) => format!("{dry}-{middle}-{wet}"),
        other => word_of(&WATERS, other).to_owned(),
    }
}

/// Reads what [`write_water`] writes.
pub(super) fn read_water(text: &str) -> Option<WaterOutlook> {
    let water = if let Some(season) = text.strip_prefix("like-") {
        WaterOutlook::Like(season.parse().ok()?)
    } else if let Some(word) = value_of(&WATERS, text) {
        word
    } else {
        let thirds: Vec<u8> = text.split('-').map(|part| part.parse().ok()).collect::<Option<_>>()?;
        let &[dry, middle, wet] = thirds.as_slice() else { return None };
        WaterOutlook::Thirds(dry, middle, wet)
    };
    Some(water).filter(|water| water_is_valid(*water))
}

/// Most letters of a currency sign.
const MOST_CURRENCY: usize = 4;

/// A currency sign as it can be kept: letters, points, blanks between them and signs of money (those of Unicode's
/// category Sc, from memory), cut to four; `None` where nothing is left. Marks without a width, or that turn the
/// direction of what follows, would make another number of the one beside them.
pub fn currency_sign(text: &str) -> Option<String> {
    let plain: String =
        text.trim().chars().filter(|c| c.is_alphabetic() || ". ".contains(*c) || is_money(*c)).collect();
    let sign: String = plain.trim().chars().take(MOST_CURRENCY).collect();
    Some(sign.trim().to_owned()).filter(|sign| !sign.is_empty())
}

fn is_money(sign: char) -> bool {
    matches!(
        sign,
        '$' | '\u{a2}'..='\u{a5}' | '\u{58f}' | '\u{60b}' | '\u{9f2}' | '\u{9f3}' | '\u{9fb}' | '\u{af1}' | '\u{bf9}' | '\u{e3f}'
            | '\u{17db}' | '\u{20a0}'..='\u{20cf}' | '\u{fdfc}' | '\u{fe69}' | '\u{ff04}' | '\u{ffe0}' | '\u{ffe1}' | '\u{ffe5}' | '\u{ffe6}'
    )
}

/// Takes a currency sign over; false where the text is none.
pub(super) fn put_currency(setting: &mut Option<String>, text: &str) -> bool {
    let sign = currency_sign(text);
    if !text.is_empty() && sign.as_deref() != Some(text) {
        return false;
    }
    *setting = sign;
    true
}
