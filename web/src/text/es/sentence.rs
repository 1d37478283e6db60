//! The field sentence in Spanish: the settings as one sentence whose brackets can be tapped.

use super::{Spanish, lean, y};
use crate::derive::NAMED_LEANS;
use crate::state::Sheet;
use crate::text::figure::Units;
use crate::text::{Field, FieldWorkWords, Piece, Place, SettingWords};
use leanyear_engine::link::{Pressures, WaterOutlook};

fn text(words: &str) -> Piece {
    Piece::Text(words.to_owned())
}

/// The words before the bracket of the year assumed, and those inside it.
fn outlook_words(water: WaterOutlook) -> (&'static str, String) {
    let turns_out = ", si el año sale ";
    match water {
        WaterOutlook::Any => (turns_out, "como venga".into()),
        WaterOutlook::DriestFifth => (turns_out, "muy seco".into()),
        WaterOutlook::Dry => (turns_out, "seco".into()),
        WaterOutlook::Middle => (turns_out, "intermedio".into()),
        WaterOutlook::Wet => (turns_out, "húmedo".into()),
        WaterOutlook::Like(year) => (turns_out, format!("como {year}")),
        WaterOutlook::Thirds(dry, _, wet) if NAMED_LEANS.contains(&water) => {
            (", si las probabilidades del año ", lean(dry, wet).into())
        }
        WaterOutlook::Thirds(dry, middle, wet) => (
            ", si las probabilidades del año son ",
            format!("{dry}\u{a0}% seco, {middle}\u{a0}% intermedio, {wet}\u{a0}% húmedo"),
        ),
    }
}

/// Brackets with commas between them and the word for "and" before the last, so that a line can break there.
fn in_a_row(sheet: Sheet, brackets: Vec<String>) -> Vec<Piece> {
    let last = brackets.len().saturating_sub(1);
    let mut out = Vec::new();
    for (place, words) in brackets.into_iter().enumerate() {
        match place {
            0 => {}
            _ if place == last => out.push(Piece::Text(format!(" {} ", y(&words)))),
            _ => out.push(text(", ")),
        }
        out.push(Piece::Ask(sheet, words));
    }
    out
}

/// Diseases that are assumed otherwise than as they come; their labels keep the case of the data.
fn disease_pieces(diseases: &[(String, Pressures)]) -> Vec<Piece> {
    if diseases.is_empty() {
        return vec![text("enfermedades "), Piece::Ask(Sheet::Diseases, "como vengan".into())];
    }
    let brackets = diseases.iter().map(|(label, pressure)| match pressure {
        Pressures::None => format!("nada de {label}"),
        Pressures::Light => format!("ataque leve de {label}"),
        Pressures::Moderate => format!("ataque moderado de {label}"),
        Pressures::Severe => format!("ataque grave de {label}"),
    });
    in_a_row(Sheet::Diseases, brackets.collect())
}

impl Spanish {
    /// The settings as one sentence, in pieces.
    pub(super) fn field_sentence(&self, field: &Field, units: &Units) -> Vec<Piece> {
        let mut out = Vec::new();
        if let Some(system) = &field.system {
            out.push(text("En "));
            out.push(Piece::Ask(Sheet::System, self.system(system)));
        }
        let (before, place) = match (&field.place, out.is_empty()) {
            (Place::Site(name), false) => (" cerca de ", name.clone()),
            (Place::Site(name), true) => ("Cerca de ", name.clone()),
            (Place::Zone(name), false) => (" en la zona ", name.clone()),
            (Place::Zone(name), true) => ("En la zona ", name.clone()),
            (Place::Elsewhere, false) => (" ", "lejos de los ensayos".into()),
            (Place::Elsewhere, true) => ("En terreno ", "lejos de los ensayos".into()),
        };
        out.push(text(before));
        out.push(Piece::Ask(Sheet::Site, place));
        out.push(text(", donde suelo sacar "));
        out.push(Piece::Ask(
            Sheet::Usual,
            match field.usual_given {
                true => units.yield_given(field.usual),
                false => format!("unos {}", units.yield_amount(field.usual)),
            },
        ));
        // Only where it can be tapped does an unnamed variety ask for its name.
        if let Some(mine) = field.mine.clone().or_else(|| field.asks.then(|| "(diga cuál)".into())) {
            out.push(text(" y siembro "));
            out.push(Piece::Ask(Sheet::Mine, mine));
        }
        if field.water_known {
            let (before, bracket) = outlook_words(field.water);
            out.push(text(before));
            out.push(Piece::Ask(Sheet::Water, bracket));
        }
        if let Some(diseases) = &field.diseases {
            out.push(text(if field.water_known { " con " } else { ", con " }));
            out.extend(disease_pieces(diseases));
        }
        if field.money_told {
            out.extend(self.money_pieces(field, units));
        }
        if field.grazing.is_some() || field.asks {
            out.push(text(", "));
            out.push(Piece::Ask(Sheet::Grazing, self.grazed(field.grazing.as_ref())));
        }
        if let Some(order) = field.order {
            out.push(text(", muestre primero la que "));
            let known = field.price.is_some() && field.cost.is_some();
            out.push(Piece::Ask(Sheet::Order, self.order_option(order, known).to_owned()));
        }
        if !field.needs.is_empty() {
            out.push(text("; debe "));
            out.extend(in_a_row(Sheet::Needs, field.needs.iter().map(|need| self.need(need)).collect()));
        } else if field.needs_told && field.asks {
            out.push(text(", "));
            out.push(Piece::Ask(Sheet::Needs, "sin exigir calificaciones".into()));
        }
        out.push(text("."));
        out
    }

    /// Price and cost; where one is not known, nothing is said of what it would be counted by.
    fn money_pieces(&self, field: &Field, units: &Units) -> Vec<Piece> {
        let unit = units.yield_unit;
        let mut out = vec![text(", con el grano ")];
        match field.price {
            Some(price) => {
                out.push(text(if field.swings { "a unos " } else { "a " }));
                out.push(Piece::Ask(Sheet::Price, units.money(price)));
                out.push(Piece::Text(format!(" {}", self.price_per(unit))));
            }
            None => out.push(Piece::Ask(Sheet::Price, "sin precio".into())),
        }
        out.push(text(" y "));
        match field.cost {
            Some(cost) => {
                out.push(text("gastos de "));
                out.push(Piece::Ask(Sheet::Cost, units.money(cost)));
                let cash = if field.cash_only { " en efectivo" } else { "" };
                out.push(Piece::Text(format!(" {}{cash}", self.area_per(unit))));
            }
            None => out.push(Piece::Ask(Sheet::Cost, "gastos sin decir".into())),
        }
        out
    }
}
