//! Spanish: money, cattle, sprays, docks.

use super::{Spanish, count, in_twenty, list, not_in};
use crate::entry::Entry;
use crate::number::NumberProblem;
use crate::text::figure::{Units, of_twenty};
use crate::text::region::nothing;
use crate::text::{Cattle, FieldWorkWords, SettingWords, WeighingWords};
use leanyear_engine::decide::grazing::VarietyGrazing;
use leanyear_engine::decide::sprays::SprayWorth;
use leanyear_engine::decide::worked::WorkedLine;
use leanyear_engine::pack::YieldUnit;

impl Spanish {
    /// What gain is weighed in.
    fn gain_unit(&self, units: &Units) -> &'static str {
        match units.yield_unit {
            YieldUnit::BushelPerAcre | YieldUnit::PoundPerAcre => "lb",
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => "kg",
        }
    }

    /// A quantity in what the price is counted by.
    fn quantity(&self, value: f64, units: &Units) -> String {
        let (digits, unit) = match units.yield_unit {
            YieldUnit::BushelPerAcre => (1, "bu"),
            YieldUnit::PoundPerAcre => (1, "\u{d7}\u{a0}100\u{a0}lb"),
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => (2, "t"),
        };
        format!("{}\u{a0}{unit}", units.fixed(value, digits))
    }

    fn money_per(&self, per: &str, units: &Units) -> String {
        match units.currency.trim() {
            "" => per.to_owned(),
            currency => format!("{currency} {per}"),
        }
    }
}

fn days(number: f64, units: &Units) -> String {
    let number = units.plain(number.abs());
    format!("{number} {}", if number == "1" { "día" } else { "días" })
}

impl FieldWorkWords for Spanish {
    fn entry(&self, entry: &Entry, check: &str, units: &Units) -> (String, String) {
        let (price, area) = (self.price_per(units.yield_unit), self.area_per(units.yield_unit));
        let (a_unit, an_area) = (self.money_per(price, units), self.money_per(area, units));
        let gain = self.gain_unit(units);
        let areas = self.area_word(units);
        let (label, behind) = match entry {
            Entry::Key("volatility") => {
                ("puede moverse un", "% arriba o abajo, dos años de cada tres".to_owned())
            }
            Entry::Key("haul") => ("acarreo y cosecha", a_unit),
            Entry::Key("cover") => ("asegurado", "% de lo que suelo sacar".into()),
            Entry::Key("guarantee-price") => {
                ("pagan por lo que falte", format!("{a_unit}; en blanco: el precio"))
            }
            Entry::Key("premium") => ("prima", an_area),
            Entry::Key("graze-days") => ("días de pastoreo", "días".into()),
            Entry::Key("gain") => (
                "aumento de peso",
                format!("{gain} {area} al día: lo que gana una cabeza por las cabezas {area}"),
            ),
            Entry::Key("value") => ("vale", self.money_per(&format!("por {gain} de aumento"), units)),
            Entry::Key("off") => (
                "el ganado sale",
                format!(
                    "días después del primer tallo hueco de {check} (antes: \u{2212}); en blanco: con cada variedad a tiempo"
                ),
            ),
            Entry::Key("at-most") => ("como mucho", "variedades".into()),
            Entry::Key("min-acres") => ("de cada una al menos", areas.into()),
            Entry::SprayCost(_) => ("cuesta", an_area),
            Entry::SprayKeepsOff(_) => ("evita", "% del ataque".into()),
            Entry::DockBelow(..) => ("con menos de", String::new()),
            Entry::DockOff(..) => ("descontar", a_unit),
            Entry::AcresInAll => ("en total", areas.into()),
            Entry::Acres(_) | Entry::Key(_) => ("", areas.into()),
        };
        (label.to_owned(), behind)
    }

    fn entry_problem(&self, problem: NumberProblem, units: &Units) -> String {
        match problem {
            NumberProblem::Blank => "Escriba un número.".into(),
            NumberProblem::NotANumber => "Escriba solo cifras, por ejemplo 12.".into(),
            NumberProblem::Taken(limit) => format!("Ya hay un escalón en {}.", units.plain(limit)),
            NumberProblem::TwoReadings(a, b) => self.two_readings(a, b),
            NumberProblem::TooSmall(least) => format!("Escriba {} o más.", units.plain(least)),
            NumberProblem::TooLarge(greatest) => format!("Escriba {} o menos.", units.plain(greatest)),
        }
    }

    fn unused(&self, what: &str, text: &str, problem: &str) -> String {
        let colon = if what.ends_with('?') { "" } else { ":" };
        let typed = match text.trim() {
            "" => "un espacio vacío".to_owned(),
            text => format!("«{text}»"),
        };
        format!("{what}{colon} no se tomó {typed}. {problem} Sigue contando el número de antes.")
    }

    fn money_axis(&self, units: &Units) -> String {
        format!("lo que queda, {}", self.money_per(self.area_per(units.yield_unit), units))
    }

    fn money_axis_picture(&self, (low, high): (f64, f64), units: &Units) -> (String, String) {
        let ends = format!("De {} a {}", units.money_signed(low), units.money_signed(high));
        ("Eje de dinero".into(), format!("{ends} {}, después de gastos.", self.area_per(units.yield_unit)))
    }

    fn money_line(&self) -> &'static str {
        "equilibrio"
    }

    fn averages_money(&self, expected: f64, low: f64, high: f64, units: &Units) -> String {
        let does = if expected.round() < 0.0 { "pierde" } else { "deja" };
        format!(
            "{does} {} en promedio; 4 años de 5 entre {} y {}",
            units.money_rounded(expected),
            units.money_signed(low),
            units.money_signed(high)
        )
    }

    fn money_heading(&self, units: &Units) -> String {
        format!(
            "veinte cantidades después de gastos, {}, de la peor a la mejor",
            self.money_per(self.area_per(units.yield_unit), units)
        )
    }

    fn costs_option(&self, cash_only: bool) -> &'static str {
        match cash_only {
            true => "solo efectivo: lo que paga por este cultivo",
            false => "todo: también la tierra, las máquinas y su propio tiempo",
        }
    }

    fn seed_costs(&self, low: f64, high: f64, unknown: usize, units: &Units) -> String {
        let area = self.area_per(units.yield_unit);
        let unknown = match unknown {
            0 => String::new(),
            1 => " De 1 no se conoce; se cuenta el promedio de las otras.".into(),
            n => format!(" De {n} no se conoce; se cuenta el promedio de las otras."),
        };
        format!(
            "La semilla se suma variedad por variedad, de {} a {} {area}.{unknown}",
            units.money(low),
            units.money(high)
        )
    }

    fn worked(&self, line: &WorkedLine, label: &str, units: &Units) -> (String, String) {
        let price_per = self.price_per(units.yield_unit);
        let quantity = |value: f64| self.quantity(value, units);
        let words = match line {
            WorkedLine::GrainGrazed { ungrazed, lost } => {
                format!("de {} el ganado se lleva {}", quantity(*ungrazed), quantity(*lost))
            }
            WorkedLine::Grain { quantity: sold, price, .. } => {
                format!("{} vendidos a {} {price_per}", quantity(*sold), units.money(*price))
            }
            WorkedLine::Hauling { quantity: hauled, unit_cost, .. } => {
                format!("acarreo y cosecha: {} a {}", quantity(*hauled), units.money(*unit_cost))
            }
            WorkedLine::Dock { value, off, .. } => {
                let amount = units.money(off.abs());
                let does = if *off < 0.0 { "se pagan de más" } else { "se descuentan" };
                match value {
                    Some(value) => format!("{label} {}: {does} {amount} {price_per}", units.plain(*value)),
                    None => {
                        format!("{label}, sin dato: {does} {amount} {price_per}, el promedio de las otras")
                    }
                }
            }
            WorkedLine::Indemnity { guarantee, price, .. } => format!(
                "seguro hasta {} a {}, lo que paga en promedio",
                quantity(*guarantee),
                units.money(*price)
            ),
            WorkedLine::Grazing { days: grazed, gain, value, .. } => format!(
                "ganado: {} \u{d7} {} {} \u{d7} {}",
                days(*grazed, units),
                units.plain(*gain),
                self.gain_unit(units),
                units.money(*value)
            ),
            WorkedLine::Costs { cash_only: true, .. } => "gastos en efectivo".into(),
            WorkedLine::Costs { cash_only: false, .. } => "gastos".into(),
            WorkedLine::Premium { .. } => "prima del seguro".into(),
            WorkedLine::Sprays { .. } => "tratamientos".into(),
            WorkedLine::Seed { known: true, .. } => "semilla".into(),
            WorkedLine::Seed { known: false, .. } => {
                "semilla (precio sin conocer: el promedio de las otras)".into()
            }
            WorkedLine::Left { .. } => "queda, en promedio".into(),
            WorkedLine::BreakEvenYield { quantity: None, costs, .. } if *costs <= 0.0 => {
                "no hace falta grano para pagarlo todo".into()
            }
            WorkedLine::BreakEvenYield { quantity: None, .. } => {
                "ningún rendimiento por sí solo lo paga todo".into()
            }
            WorkedLine::BreakEvenYield { costs, margin, quantity: Some(at) } => {
                let divides = *margin > 0.0 && (costs / margin - at).abs() < 0.005 * at.abs().max(0.1);
                match divides {
                    true => format!(
                        "punto de equilibrio: {} \u{f7} {} {price_per} = {}",
                        units.money(*costs),
                        units.money(*margin),
                        quantity(*at)
                    ),
                    false => format!("punto de equilibrio: {}", quantity(*at)),
                }
            }
            WorkedLine::BreakEvenPrice { costs, quantity: sold, price } => format!(
                "precio que lo paga: {} \u{f7} {} = {} {price_per}",
                units.money(*costs),
                quantity(*sold),
                units.money(*price)
            ),
        };
        let amount = match line {
            WorkedLine::Left { amount } => units.money_signed(*amount),
            WorkedLine::GrainGrazed { .. }
            | WorkedLine::BreakEvenYield { .. }
            | WorkedLine::BreakEvenPrice { .. } => String::new(),
            other => units.money_signed(other.amount()),
        };
        (words, amount)
    }

    fn grazed(&self, cattle: Option<&Cattle>) -> String {
        let Some(Cattle { days, off }) = cattle else { return "sin pastoreo".into() };
        let count = |n: f64| format!("{} {}", self.0.plain(n), if n == 1.0 { "día" } else { "días" });
        let days = days.map_or(String::new(), |days| format!(" de {}", count(days)));
        let off = off.as_ref().map_or(String::new(), |(day, name)| {
            let when = match day {
                0.0 => "hasta el".to_owned(),
                late if *late > 0.0 => format!("hasta {} después del", count(*late)),
                early => format!("hasta {} antes del", count(-early)),
            };
            format!(", {when} primer tallo hueco de {name}")
        });
        format!("con pastoreo{days}{off}")
    }

    fn graze_option(&self, graze: bool) -> &'static str {
        match graze {
            true => "con pastoreo, y después a grano",
            false => "sin pastoreo",
        }
    }

    fn graze_income(&self, income: Option<f64>, units: &Units) -> String {
        match income {
            Some(income) => {
                format!("El ganado deja {} {}.", units.money(income), self.area_per(units.yield_unit))
            }
            None => "Escriba días, aumento y cuánto vale, y se cuenta lo que deja el ganado. Lo que se lleva del grano ya está contado.".into(),
        }
    }

    fn graze_rule(&self, spared: f64, units: &Units) -> String {
        format!(
            "Se cuenta según lo publicado: el ganado que sale a tiempo se lleva el 7 % del grano, y nada donde el cultivo no da más de {}; cada día después del primer tallo hueco se lleva otro 5 %.",
            units.yield_amount(spared)
        )
    }

    fn off_by(&self, day: Option<f64>, check: &str) -> String {
        let Some(day) = day else { return "no se sabe".into() };
        let number = |n: f64| count(n as u32, "día", "días");
        match day.round() {
            0.0 => format!("el mismo día que {check}"),
            late if late > 0.0 => format!("{} después que {check}", number(late)),
            early => format!("{} antes que {check}", number(-early)),
        }
    }

    fn off_by_sentence(&self, day: Option<f64>, name: &str, check: &str) -> String {
        match day {
            _ if name == check => {
                "El ganado debe salir con su primer tallo hueco; los días de todas las otras se cuentan desde ahí.".into()
            }
            None => {
                "No se conoce su día de primer tallo hueco, así que nadie puede decir cuándo sacar el ganado; se cuenta un día promedio.".into()
            }
            Some(_) => {
                format!("El ganado debe salir con su primer tallo hueco: {}.", self.off_by(day, check))
            }
        }
    }

    fn cattle(&self, g: &VarietyGrazing, units: &Units) -> Vec<String> {
        let area = self.area_per(units.yield_unit);
        let late = match g.days_past > 0.0 {
            true => format!("Si se queda {} más, el ganado", days(g.days_past.round(), units)),
            false => "Si sale a tiempo, el ganado".into(),
        };
        let money = |money| format!(", {} {area}", units.money_signed(money));
        let mut lines = vec![
            format!("{late} se lleva {} de grano en años así.", units.yield_difference(g.grain_lost)),
            format!(
                "Una semana tarde se lleva {} más{}.",
                units.yield_difference(g.week_late),
                g.week_late_money.map_or(String::new(), money)
            ),
        ];
        if let Some(day) = &g.keep_on {
            lines.push(format!(
                "Un día más deja {} de aumento y se lleva {} de grano: {}.",
                units.money(day.brings),
                units.money(day.costs),
                if day.pays() { "conviene" } else { "no conviene" }
            ));
        }
        lines.push(match g.recovers_poorly {
            Some(true) => "Rebrota mal después del pastoreo.".into(),
            Some(false) => "Rebrota bien después del pastoreo.".into(),
            None => "No se sabe cómo rebrota después del pastoreo.".into(),
        });
        lines
    }

    fn week_late(&self, g: &VarietyGrazing, units: &Units) -> String {
        match g.week_late_money {
            Some(money) => units.money_signed(money),
            None => units.yield_difference(g.week_late),
        }
    }

    fn recovers(&self, poorly: Option<bool>) -> &'static str {
        match poorly {
            Some(true) => "mal",
            Some(false) => "bien",
            None => "no se sabe",
        }
    }

    fn spray(&self, w: &SprayWorth, label: &str, units: &Units) -> String {
        let area = self.area_per(units.yield_unit);
        let saves = match nothing(&units.yield_fine(w.gain_yield)) {
            true => "no salva casi nada".to_owned(),
            false => format!("salva {} en promedio", units.yield_difference(w.gain_yield)),
        };
        let cost = w.cost.map_or(" (no se sabe cuánto cuesta)".into(), |cost| {
            format!(", a {} {area},", units.money(cost))
        });
        let Some((pays, gain)) = w.pays.zip(w.gain) else {
            return format!("El tratamiento contra {label}{cost} {saves}.");
        };
        let verdict = match gain < 0.0 {
            true => format!("y cuesta {} {area} más de lo que deja", units.money_rounded(gain)),
            false => format!("y deja {} {area} después de pagarlo", units.money_rounded(gain)),
        };
        let needs = w
            .break_even
            .map_or(String::new(), |at| format!(" Hacen falta {} para pagarlo.", units.yield_difference(at)));
        format!(
            "El tratamiento contra {label}{cost} se paga en {} años así en esta variedad{}; {saves} {verdict}.{needs}",
            in_twenty(pays),
            not_in(of_twenty(pays))
        )
    }

    fn sprays_idle(&self, labels: &[String]) -> String {
        let each = if labels.len() > 1 { ", cada uno," } else { "" };
        let (treatment, pays) = match labels.len() {
            0 | 1 => ("El tratamiento", "se paga"),
            _ => ("Los tratamientos", "se pagan"),
        };
        format!(
            "{treatment} contra {}{each} {pays} en menos de 1 de 20 años así en esta variedad.",
            list(labels)
        )
    }

    fn spray_option(&self, sprayed: bool) -> &'static str {
        match sprayed {
            true => "con tratamiento",
            false => "sin tratamiento",
        }
    }

    fn no_spray(&self) -> &'static str {
        "Ningún tratamiento protege de esto."
    }

    fn docks_heading(&self, label: &str, unit: &str) -> String {
        match unit {
            "" => label.to_owned(),
            unit => format!("{label}, {unit}"),
        }
    }
}
