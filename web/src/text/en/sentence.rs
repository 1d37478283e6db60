//! The field sentence in English: the settings as one sentence whose brackets can be tapped.

use super::{English, lean};
use crate::derive::NAMED_LEANS;
use crate::state::Sheet;
use crate::text::figure::Units;
use crate::text::{Field, FieldWorkWords, Piece, Place, SettingWords};
use leanyear_engine::link::{Pressures, WaterOutlook};

/// The words before the bracket of the year assumed, and those inside it.
fn outlook_words(water: WaterOutlook) -> (&'static str, String) {
    let turns_out = ", if the year turns out ";
    match water {
        WaterOutlook::Any => (turns_out, "as it may".into()),
        WaterOutlook::DriestFifth => (turns_out, "very dry".into()),
        WaterOutlook::Dry => (turns_out, "dry".into()),
        WaterOutlook::Middle => (turns_out, "middling".into()),
        WaterOutlook::Wet => (turns_out, "wet".into()),
        WaterOutlook::Like(year) => (turns_out, format!("like {year}")),
        WaterOutlook::Thirds(dry, _, wet) if NAMED_LEANS.contains(&water) => {
            (", if the odds for the year ", lean(dry, wet).into())
        }
        WaterOutlook::Thirds(dry, middle, wet) => (
            ", if the odds for the year are ",
            format!("{dry}\u{a0}% dry, {middle}\u{a0}% middling, {wet}\u{a0}% wet"),
        ),
    }
}

/// Diseases that are assumed otherwise than as they come, a bracket each so that a line can break between
/// them; their labels keep the case of the data, which may hold a proper name.
fn disease_pieces(diseases: &[(String, Pressures)]) -> Vec<Piece> {
    let ask = |words: String| Piece::Ask(Sheet::Diseases, words);
    if diseases.is_empty() {
        return vec![Piece::Text("diseases ".into()), ask("as they come".into())];
    }
    let mut out = Vec::new();
    for (place, (label, pressure)) in diseases.iter().enumerate() {
        match diseases.len() - place {
            _ if place == 0 => {}
            1 => out.push(Piece::Text(" and ".into())),
            _ => out.push(Piece::Text(", ".into())),
        }
        out.push(ask(match pressure {
            Pressures::None => format!("no {label}"),
            Pressures::Light => format!("light {label}"),
            Pressures::Moderate => format!("moderate {label}"),
            Pressures::Severe => format!("severe {label}"),
        }));
    }
    out
}

impl English {
    /// The settings as one sentence, in pieces.
    pub(super) fn field_sentence(&self, field: &Field, units: &Units) -> Vec<Piece> {
        let text = |words: &str| Piece::Text(words.to_owned());
        let mut out = vec![text("On ")];
        if let Some(system) = &field.system {
            out.push(Piece::Ask(Sheet::System, self.system(system)));
            out.push(text(" "));
        }
        let place = match &field.place {
            Place::Site(name) => {
                out.push(text("ground near "));
                name.clone()
            }
            Place::Zone(name) => {
                out.push(text("ground in "));
                name.clone()
            }
            Place::Elsewhere => {
                out.push(text("ground "));
                "near no trial site".into()
            }
        };
        out.push(Piece::Ask(Sheet::Site, place));
        out.push(text(", where I usually make "));
        out.push(Piece::Ask(
            Sheet::Usual,
            match field.usual_given {
                true => units.yield_given(field.usual),
                false => format!("about {}", units.yield_amount(field.usual)),
            },
        ));
        // Only where it can be tapped does an unnamed variety ask for its name.
        if let Some(mine) = field.mine.clone().or_else(|| field.asks.then(|| "(name it)".into())) {
            out.push(text(" and grow "));
            out.push(Piece::Ask(Sheet::Mine, mine));
        }
        if field.water_known {
            let (before, bracket) = outlook_words(field.water);
            out.push(text(before));
            out.push(Piece::Ask(Sheet::Water, bracket));
        }
        // On the screen what is left as it comes is asked for in the last line; on paper it is said.
        let told = |diseases: &&Vec<(String, Pressures)>| !(field.asks && diseases.is_empty());
        if let Some(diseases) = field.diseases.as_ref().filter(told) {
            out.push(text(if field.water_known { " with " } else { ", with " }));
            out.extend(disease_pieces(diseases));
        }
        if field.money_told {
            out.extend(self.money_pieces(field, units));
        }
        if field.grazing.is_some() {
            out.push(text(", "));
            out.push(Piece::Ask(Sheet::Grazing, self.grazed(field.grazing.as_ref())));
        }
        if let Some(order) = field.order {
            out.push(text(", show first the one that "));
            let known = field.price.is_some() && field.cost.is_some();
            out.push(Piece::Ask(Sheet::Order, self.order_option(order, known).to_owned()));
        }
        out.extend(self.need_pieces(field));
        out.extend(self.more_pieces(field));
        out.push(text("."));
        out
    }

    /// What can be asked for besides and is not, in one line: the sentence stays short on a phone.
    fn more_pieces(&self, field: &Field) -> Vec<Piece> {
        let offered = [
            (Sheet::Diseases, "diseases", field.diseases.as_ref().is_some_and(Vec::is_empty)),
            (Sheet::Grazing, "cattle", field.grazing.is_none()),
            (Sheet::Needs, "needs", field.needs_told && field.needs.is_empty()),
        ];
        let mut out = Vec::new();
        for (sheet, words, _) in offered.into_iter().filter(|(.., open)| *open && field.asks) {
            out.push(Piece::Text(if out.is_empty() { ". Add ".into() } else { ", ".into() }));
            out.push(Piece::Ask(sheet, words.to_owned()));
        }
        out
    }

    /// What it must do, a bracket each so that a line can break between them.
    fn need_pieces(&self, field: &Field) -> Vec<Piece> {
        let ask = |words: String| Piece::Ask(Sheet::Needs, words);
        let text = |words: &str| Piece::Text(words.to_owned());
        if field.needs.is_empty() {
            return Vec::new();
        }
        let mut out = vec![text(", and it must ")];
        for (place, need) in field.needs.iter().enumerate() {
            match field.needs.len() - place {
                _ if place == 0 => {}
                1 => out.push(text(" and ")),
                _ => out.push(text(", ")),
            }
            out.push(ask(self.need(need)));
        }
        out
    }

    /// Price and cost; where one is not known, nothing is said of what it would be counted by.
    fn money_pieces(&self, field: &Field, units: &Units) -> Vec<Piece> {
        let unit = units.yield_unit;
        let bracket = |sheet, value: Option<f64>, none: &str, per: &str| match value {
            Some(value) => vec![Piece::Ask(sheet, units.money(value)), Piece::Text(format!(" {per}"))],
            None => vec![Piece::Ask(sheet, none.to_owned())],
        };
        let mut out = vec![Piece::Text(", at ".into())];
        let about = if field.swings { "about " } else { "" };
        out.push(Piece::Text(about.into()));
        out.extend(bracket(Sheet::Price, field.price, "no price", self.price_per(unit)));
        out.push(Piece::Text(" and ".into()));
        out.extend(bracket(Sheet::Cost, field.cost, "no cost", self.area_per(unit)));
        if field.cash_only && field.cost.is_some() {
            out.push(Piece::Text(" in cash".into()));
        }
        out
    }
}
