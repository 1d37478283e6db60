//! English: counting, dates and kinds of year; the sentences stand in the files below.

mod detail;
mod field_work;
mod labels;
mod odds;
mod office;
mod plain_table;
mod sending;
mod sentence;
mod settings;
mod weighing;

use super::figure::of_twenty;
use leanyear_engine::link::WaterOutlook;
pub(super) use plain_table::static_words;

/// English, for growers.
#[derive(Debug)]
pub struct English;

/// `1 season`, `2 seasons`.
pub(super) fn count(number: u32, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `A`, `A and B`, `A, B and C`.
pub(super) fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `A`, `A or B`, `A, B or C`.
pub(super) fn either(names: &[String]) -> String {
    match names {
        [] | [_] => list(names),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// `9 of 20 years`, with the ends kept open: twenty marks cannot tell never from seldom.
pub(super) fn years_of_twenty(marks: u32) -> String {
    match marks {
        0 => "fewer than 1 in 20 years".into(),
        20 => "more than 19 in 20 years".into(),
        n => format!("{n} of 20 years"),
    }
}

/// A chance as so many of twenty, with open ends.
pub(super) fn in_twenty(chance: f64) -> String {
    match of_twenty(chance) {
        0 => "fewer than 1 in 20".into(),
        20 => "more than 19 in 20".into(),
        n => format!("{n} of 20"),
    }
}

/// `, not in 11` of so many of twenty; nothing at the open ends.
pub(super) fn not_in(marks: u32) -> String {
    match marks {
        0 | 20.. => String::new(),
        n => format!(", not in {}", 20 - n),
    }
}

/// The assumed year as it ends "such a year": dry, wet, this dry.
pub(super) fn like_this(water: WaterOutlook) -> Option<&'static str> {
    match water {
        WaterOutlook::Any | WaterOutlook::Thirds(..) => None,
        WaterOutlook::DriestFifth => Some("that dry"),
        WaterOutlook::Dry => Some("dry"),
        WaterOutlook::Middle => Some("middling"),
        WaterOutlook::Wet => Some("wet"),
        WaterOutlook::Like(_) => Some("with that much water"),
    }
}

/// `28 July 2025` for an ISO 8601 date; anything else as it stands.
pub(super) fn date(iso: &str) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let parts: Vec<&str> = iso.split('-').collect();
    let [year, month, day] = parts[..] else { return iso.to_owned() };
    let name = month.parse::<usize>().ok().and_then(|month| MONTHS.get(month.wrapping_sub(1)));
    match (name, day.parse::<u8>()) {
        (Some(name), Ok(day)) => format!("{day} {name} {year}"),
        _ => iso.to_owned(),
    }
}

pub(super) fn lean(dry: u8, wet: u8) -> &'static str {
    match dry.cmp(&wet) {
        std::cmp::Ordering::Greater => "lean dry",
        std::cmp::Ordering::Less => "lean wet",
        std::cmp::Ordering::Equal => "lean neither way",
    }
}

impl super::Words for English {}
