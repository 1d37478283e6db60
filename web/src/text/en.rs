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
use super::region::Region;
use super::shared::{date_parts, joined};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::page::StaticWords;

/// English, for growers, with the marks of a region.
#[derive(Debug)]
pub struct English(pub Region);

/// `A`, `A and B`, `A, B and C`.
fn list(names: &[String]) -> String {
    joined(names, "and")
}

/// `A`, `A or B`, `A, B or C`.
fn either(names: &[String]) -> String {
    joined(names, "or")
}

/// `9 of 20 years`, with the ends kept open: twenty marks cannot tell never from seldom.
fn years_of_twenty(marks: u32) -> String {
    match marks {
        0 => "fewer than 1 in 20 years".into(),
        20 => "more than 19 in 20 years".into(),
        n => format!("{n} of 20 years"),
    }
}

/// A chance as so many of twenty, with open ends.
fn in_twenty(chance: f64) -> String {
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
fn like_this(water: WaterOutlook) -> Option<&'static str> {
    match water {
        WaterOutlook::Any | WaterOutlook::Thirds(..) => None,
        WaterOutlook::DriestFifth => Some("that dry"),
        WaterOutlook::Dry => Some("dry"),
        WaterOutlook::Middle => Some("middling"),
        WaterOutlook::Wet => Some("wet"),
        WaterOutlook::Like(_) => Some("with that much water"),
    }
}

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

impl English {
    /// `28 July 2025`, or `July 28, 2025` where the month comes first, for an ISO 8601 date; anything else as it
    /// stands.
    fn date(&self, iso: &str) -> String {
        match date_parts(iso) {
            Some((year, month, day)) if self.0.month_first() => format!("{} {day}, {year}", MONTHS[month]),
            Some((year, month, day)) => format!("{day} {} {year}", MONTHS[month]),
            None => iso.to_owned(),
        }
    }
}

fn lean(dry: u8, wet: u8) -> &'static str {
    match dry.cmp(&wet) {
        std::cmp::Ordering::Greater => "lean dry",
        std::cmp::Ordering::Less => "lean wet",
        std::cmp::Ordering::Equal => "lean neither way",
    }
}

impl super::Words for English {
    fn plain_table(&self) -> StaticWords {
        plain_table::words(self)
    }
}
