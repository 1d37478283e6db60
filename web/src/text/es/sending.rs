//! Spanish: codes for a camera, tables, pictures, the printed sheet.

use super::{Spanish, count, date, like_this, list, trials, twenty_years, varieties};
use crate::derive::Part;
use crate::text::figure::Units;
use crate::text::shared::with_more;
use crate::text::{CodeHead, CodeTags, OddsWords, SendWords, SettingWords, Short, TableRow};
use leanyear_engine::decide::{Standing, StandingState, VarietyOdds};
use leanyear_engine::link::WaterOutlook;

impl Spanish {
    fn parts(&self, parts: &[Part]) -> Vec<String> {
        parts.iter().map(|part| self.part(*part).to_owned()).collect()
    }

    /// What a bad year does, for many varieties.
    fn they_fall_short(&self, short: Short, units: &Units) -> String {
        match short {
            Short::Money => "pierden dinero".to_owned(),
            Short::Below(target) => format!("no llegan a {}", units.yield_amount(target)),
        }
    }
}

impl SendWords for Spanish {
    fn part(&self, part: Part) -> &'static str {
        match part {
            Part::Acres => "el reparto de superficie",
            Part::SideBySide => "las variedades lado a lado",
            Part::Sprays => "los tratamientos",
            Part::Grazing => "el pastoreo",
            Part::Money => "precio y gastos",
            Part::Needs => "lo que debe cumplir",
            Part::Order => "lo que va primero",
            Part::Mine => "la variedad que siembra hoy",
            Part::Diseases => "las enfermedades",
            Part::View => "la vista abierta",
        }
    }

    fn left_out(&self, parts: &[Part], order: &[Part]) -> String {
        format!(
            "Para que quepa, este código deja afuera {}. Lo que se quita primero: {}.",
            list(&self.parts(parts)),
            self.parts(order).join(", ")
        )
    }

    fn paper_home(&self, left_out: &[Part]) -> Option<String> {
        let words = self.parts(left_out);
        (!words.is_empty())
            .then(|| format!("El código para su propio teléfono deja afuera {}.", list(&words)))
    }

    fn code_picture(&self, text: bool) -> (&'static str, &'static str) {
        match text {
            false => (
                "Código del enlace",
                "Un código cuadrado que lee la cámara de un teléfono: lleva el enlace que se ve arriba.",
            ),
            true => (
                "Código del texto simple",
                "Un código cuadrado que lee la cámara de un teléfono: lleva el texto que se ve al lado.",
            ),
        }
    }

    fn code_head(&self, head: &CodeHead, units: &Units) -> String {
        let system = head.system.map_or(String::new(), |code| format!(", {}", self.system(code)));
        let place = head.place.map_or(String::new(), |place| {
            format!(", {} {place}", if head.in_zone { "en la zona" } else { "cerca de" })
        });
        let money = match (head.short, head.money) {
            (Short::Below(_), _) => String::new(),
            (Short::Money, Some((price, cost))) => format!(
                " a {} {}, con {} {}",
                units.money(price),
                self.price_per(units.yield_unit),
                units.money(cost),
                self.area_per(units.yield_unit)
            ),
            (Short::Money, None) => " en mi cuenta".to_owned(),
        };
        let short = self.they_fall_short(head.short, units);
        let beside = match head.beside {
            [] => String::new(),
            beside => format!(" ({})", beside.join(", ")),
        };
        format!(
            "{}{system}{place}. De {}{beside}, en cuántos {short}{money}: ",
            head.network,
            twenty_years(head.water)
        )
    }

    fn code_item(&self, name: &str, tags: CodeTags, marks_short: u8) -> String {
        let tags = tags.told([
            "la suya",
            "nueva",
            self.apart_in_short(),
            "fuera de la lista del asesor",
            "le falta algo que debe tener",
        ]);
        match marks_short {
            0 => format!("{name}{tags} menos de 1"),
            20.. => format!("{name}{tags} más de 19"),
            marks => format!("{name}{tags} {marks}"),
        }
    }

    fn code_tail(&self, head: &CodeHead) -> String {
        let data = match (head.invented, head.date.is_empty()) {
            (true, _) => " Datos inventados.".to_owned(),
            (false, false) => format!(" Datos del {}.", date(head.date)),
            (false, true) => String::new(),
        };
        format!(".{data} Sin garantía.")
    }

    fn text_row(&self, place: usize, row: &TableRow, short: Short, units: &Units) -> String {
        let odds = row.odds;
        let mine = if row.mine { " (la suya)" } else { "" };
        let state = self.state(&odds.standing).map_or(String::new(), |state| format!("{state}; "));
        let place = if place == 0 { "-".to_owned() } else { format!("{place}.") };
        format!(
            "{place} {}{mine}: {}; {} {}; {state}{}",
            row.name,
            self.odds(short, odds.marks_short, units),
            self.averages(odds.expected, odds.low80, odds.high80, units),
            self.yield_unit(units.yield_unit),
            self.tested(&odds.standing, row.water)
        ) + &row.adviser.map_or(String::new(), |adviser| format!("; {adviser}"))
    }

    fn table_headings(&self, short: Short, money: bool, units: &Units) -> Vec<String> {
        let unit = self.yield_unit(units.yield_unit);
        let area = self.area_per(units.yield_unit);
        let bad = match short {
            Short::Money => "años de 20 que pierden dinero".to_owned(),
            Short::Below(target) => format!("años de 20 con menos de {} {unit}", units.machine(target)),
        };
        let mut out: Vec<String> = [
            "lugar",
            "código",
            "nombre",
            "muy parejas para decidir",
            &format!("promedio ({unit})"),
            &format!("4 años de 5 por encima ({unit})"),
            &format!("4 años de 5 por debajo ({unit})"),
            &format!("promedio de los 4 peores años de 20 ({unit})"),
            &bad,
            "años de 20 que no vale la pena cosechar",
            "posibilidad de ganarle a la suya",
            "posibilidad de ganarle al testigo",
            "campañas ensayada",
            "ensayos",
            "ensayos en años así",
            "último ensayo",
            "le falta",
        ]
        .map(str::to_owned)
        .into();
        if money {
            let left = |what: &str| format!("{what} ({} {area})", units.currency).replace("( ", "(");
            out.extend([
                format!("equilibrio ({unit})"),
                left("después de gastos"),
                left("después de gastos en los 4 peores años"),
                left("semilla"),
            ]);
        }
        out.extend(["lo elegido", "nota", "estado", "asesor"].map(str::to_owned));
        out
    }

    fn yes_no(&self, yes: bool) -> &'static str {
        if yes { "sí" } else { "no" }
    }

    fn list_picture(&self, rows: usize, units: &Units) -> (String, String) {
        let rows = varieties(u32::try_from(rows).unwrap_or(u32::MAX));
        (
            format!("Veinte años de {rows}"),
            format!(
                "Una fila para cada una: los rendimientos de veinte años en {}; las cruces se quedan cortas, los puntos no, las rayas inclinadas no valió la pena cosecharlas.",
                self.yield_unit(units.yield_unit)
            ),
        )
    }

    fn paper_averages(&self, odds: &VarietyOdds, units: &Units) -> String {
        let n = |value| units.yield_number(value);
        format!("promedio {}, 4 años de 5 de {} a {}", n(odds.expected), n(odds.low80), n(odds.high80))
    }

    fn paper_tested(&self, standing: &Standing, water: WaterOutlook) -> String {
        if standing.trials == 0 {
            return "calculada con otros sistemas".into();
        }
        // A line of paper is short: a campaign is a cycle there, and the kind of year stands on top of the sheet.
        let all = format!("{}, {}", count(standing.seasons, "ciclo", "ciclos"), trials(standing.trials));
        match (like_this(water), standing.trials_like_this) {
            (None, _) => all,
            (Some(_), 0) => format!("{all}, ninguno así"),
            (Some(_), n) => format!("{all}, {n} así"),
        }
    }

    fn paper_state(&self, odds: &VarietyOdds) -> Option<String> {
        let state = match (odds.standing.state, odds.standing.last) {
            _ if !odds.fails.is_empty() => Some("le falta".into()),
            (_, None) => Some("no aquí".into()),
            (StandingState::WellTested, _) => None,
            (StandingState::New, _) => Some("nueva".into()),
            (StandingState::NoLongerTested, Some(year)) => Some(format!("hasta {year}")),
        };
        with_more(state, odds.standing.apart.then_some(self.apart_in_short()))
    }

    fn paper_rest(&self, short: Short, units: &Units) -> String {
        format!(
            "Las otras en orden (ciclos, ensayos): años de 20 en que {} y en que no; promedio, {}",
            self.they_fall_short(short, units),
            self.yield_unit(units.yield_unit)
        )
    }

    fn paper_years(&self, marks_short: u8) -> String {
        match marks_short {
            0 => "<1, >19".into(),
            20.. => ">19, <1".into(),
            marks => format!("{marks}, {}", 20 - marks),
        }
    }

    fn paper_left_off(&self, more: usize, no_longer_tested: usize) -> Option<String> {
        let more = (more > 0).then(|| format!("{more} más por falta de lugar"));
        let gone = match no_longer_tested {
            0 => None,
            1 => Some("1 que ya no se ensaya".to_owned()),
            many => Some(format!("{many} que ya no se ensayan")),
        };
        let parts: Vec<String> = more.into_iter().chain(gone).collect();
        (!parts.is_empty()).then(|| format!("No están en esta hoja: {}.", list(&parts)))
    }

    fn paper_method(&self, usual_given: bool) -> String {
        let level = if usual_given {
            "al nivel del rendimiento usual de arriba"
        } else {
            "al nivel que los ensayos dan a este terreno"
        };
        format!(
            "Cómo se calcula: las diferencias entre variedades salen de todos sus ensayos, {level}, en 20 años con el agua y las enfermedades de arriba. Con pocos ensayos, queda cerca del promedio."
        )
    }
}
