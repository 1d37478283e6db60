//! Spanish: counting, joining, dates and kinds of year; the sentences stand in the files below.
//!
//! Words of the field as growers on both sides of the ocean read them; the reader is «usted» or nobody. A
//! variety is feminine; labels of the data, whose gender nobody knows, never take an adjective.

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
use super::shared::{count, date_parts, joined};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::page::StaticWords;

/// Spanish, for growers, with the marks of a region.
#[derive(Debug)]
pub struct Spanish(pub Region);

/// The word for "and" before a name: `y`, but `e` before its own sound.
fn y(next: &str) -> &'static str {
    let next = next.to_lowercase();
    let next = next.strip_prefix('h').unwrap_or(&next);
    let glides = ["ia", "ie", "io", "iu"].iter().any(|start| next.starts_with(start));
    if next.starts_with(['i', 'í']) && !glides { "e" } else { "y" }
}

/// The word for "or" before a name: `o`, but `u` before its own sound.
fn o(next: &str) -> &'static str {
    let next = next.to_lowercase();
    if next.strip_prefix('h').unwrap_or(&next).starts_with(['o', 'ó', '8']) { "u" } else { "o" }
}

/// `A`, `A y B`, `A, B y C`.
fn list(names: &[String]) -> String {
    joined(names, names.last().map_or("y", |last| y(last)))
}

/// `A`, `A o B`, `A, B o C`.
fn either(names: &[String]) -> String {
    joined(names, names.last().map_or("o", |last| o(last)))
}

/// `, en 11 no` of so many of twenty; nothing at the open ends.
fn not_in(marks: u32) -> String {
    match marks {
        0 | 20.. => String::new(),
        n => format!(", en {} no", 20 - n),
    }
}

fn seasons(number: u32) -> String {
    count(number, "campaña", "campañas")
}

fn trials(number: u32) -> String {
    count(number, "ensayo", "ensayos")
}

fn varieties(number: u32) -> String {
    count(number, "variedad", "variedades")
}

/// `9 de 20 años`, with the ends kept open: twenty marks cannot tell never from seldom.
fn years_of_twenty(marks: u32) -> String {
    match marks {
        0 => "menos de 1 de 20 años".into(),
        20 => "más de 19 de 20 años".into(),
        n => format!("{n} de 20 años"),
    }
}

/// A chance as so many of twenty, with open ends.
fn in_twenty(chance: f64) -> String {
    match of_twenty(chance) {
        0 => "menos de 1 de 20".into(),
        20 => "más de 19 de 20".into(),
        n => format!("{n} de 20"),
    }
}

/// The trials of such years, as it follows their number.
fn like_this(water: WaterOutlook) -> Option<&'static str> {
    match water {
        WaterOutlook::Any | WaterOutlook::Thirds(..) => None,
        WaterOutlook::DriestFifth => Some("en años así de secos"),
        WaterOutlook::Dry => Some("en años secos"),
        WaterOutlook::Middle => Some("en años intermedios"),
        WaterOutlook::Wet => Some("en años húmedos"),
        WaterOutlook::Like(_) => Some("con esa agua"),
    }
}

/// `20 años secos`.
fn twenty_years(water: WaterOutlook) -> String {
    match water {
        WaterOutlook::Any => "20 años como vengan".into(),
        WaterOutlook::DriestFifth => "20 años muy secos".into(),
        WaterOutlook::Dry => "20 años secos".into(),
        WaterOutlook::Middle => "20 años intermedios".into(),
        WaterOutlook::Wet => "20 años húmedos".into(),
        WaterOutlook::Like(year) => format!("20 años con el agua de {year}"),
        WaterOutlook::Thirds(dry, _, wet) => format!("20 años cuyas probabilidades {}", lean(dry, wet)),
    }
}

fn lean(dry: u8, wet: u8) -> &'static str {
    match dry.cmp(&wet) {
        std::cmp::Ordering::Greater => "se inclinan a seco",
        std::cmp::Ordering::Less => "se inclinan a húmedo",
        std::cmp::Ordering::Equal => "no se inclinan a ningún lado",
    }
}

const MONTHS: [&str; 12] = [
    "enero",
    "febrero",
    "marzo",
    "abril",
    "mayo",
    "junio",
    "julio",
    "agosto",
    "septiembre",
    "octubre",
    "noviembre",
    "diciembre",
];

/// `28 de julio de 2025` for an ISO 8601 date; anything else as it stands.
fn date(iso: &str) -> String {
    match date_parts(iso) {
        Some((year, month, day)) => format!("{day} de {} de {year}", MONTHS[month]),
        None => iso.to_owned(),
    }
}

/// Names of production systems by the codes that networks use for them.
const SYSTEMS: [(&str, &str); 9] = [
    ("dryland", "secano"),
    ("rainfed", "secano"),
    ("fallow", "barbecho"),
    ("continuous", "cultivo continuo"),
    ("irrigated", "riego"),
    ("full-irrigation", "riego completo"),
    ("limited-irrigation", "riego limitado"),
    ("no-till", "siembra directa"),
    ("organic", "cultivo ecológico"),
];

impl super::Words for Spanish {
    fn plain_table(&self) -> StaticWords {
        plain_table::words(self)
    }
}
