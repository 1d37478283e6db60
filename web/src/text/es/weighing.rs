//! Spanish: varieties side by side, acres, what would change the answer.

use super::{Spanish, either, in_twenty, like_this, list, not_in, varieties, y, years_of_twenty};
use crate::text::decision::NAMED;
use crate::text::figure::{Units, of_twenty};
use crate::text::shared::{capitalised, percent};
use crate::text::{OddsWords, SettingWords, Short, WeighingWords};
use leanyear_engine::decide::Standing;
use leanyear_engine::decide::acres::{Holding, Second, Suggestion};
use leanyear_engine::decide::change::{Change, MoreWater};
use leanyear_engine::decide::compare::{Duel, ThreatLoss};
use leanyear_engine::decide::tipping::{Lever, TippingPoint};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::pack::{WaterUnit, YieldUnit};

/// An attack between 0 and 1 in words, and whether it lies between two of them.
fn attack(value: f64) -> (&'static str, bool) {
    match value {
        v if v < 0.08 => ("nada", false),
        v if v < 0.26 => ("apenas", false),
        v if v < 0.41 => ("leve", false),
        v if v < 0.59 => ("más que leve", true),
        v if v < 0.74 => ("moderado", false),
        v if v < 0.92 => ("más que moderado", true),
        _ => ("grave", false),
    }
}

impl Spanish {
    fn duel_of(&self, names: (&str, &str), duel: &Duel, what: &str, money: bool, units: &Units) -> String {
        let (a, b) = names;
        let wins = of_twenty(duel.a_wins + 0.5 * duel.ties);
        let per = |value: f64| self.amount(value, money, units);
        let nearly = |first: &str, second: &str, by: f64| {
            format!("{first} va adelante de {second} en más de 19 de 20 {what}, por {} en promedio.", per(by))
        };
        match wins {
            0 => nearly(b, a, duel.b_by),
            20 => nearly(a, b, duel.a_by),
            n => format!(
                "{a} va adelante en {n} de 20 {what}, por {} en promedio; {b} en {}, por {}.",
                per(duel.a_by),
                20 - n,
                per(duel.b_by)
            ),
        }
    }
}

impl WeighingWords for Spanish {
    fn duel(&self, names: (&str, &str), duel: &Duel, money: bool, units: &Units) -> String {
        self.duel_of(names, duel, "años así", money, units)
    }

    fn duel_five(&self, names: (&str, &str), duel: &Duel, money: bool, units: &Units) -> String {
        self.duel_of(names, duel, "series de cinco años", money, units)
    }

    fn duel_difference(&self, names: (&str, &str), duel: &Duel, money: bool, units: &Units) -> String {
        let (ahead, behind, sign) =
            if duel.difference < 0.0 { (names.1, names.0, -1.0) } else { (names.0, names.1, 1.0) };
        let (p, q) = (sign * duel.difference_80.0, sign * duel.difference_80.1);
        let side = |value: f64| {
            let word = if value < 0.0 { "menos" } else { "más" };
            format!("{} {word}", self.amount(value.abs(), money, units))
        };
        format!(
            "En los 20 juntos, {ahead} saca {} más que {behind}; 4 años de 5, entre {} y {}.",
            self.amount(sign * duel.difference, money, units),
            side(p.min(q)),
            side(p.max(q))
        )
    }

    fn lever(&self, lever: &Lever, label: &str) -> String {
        match lever {
            Lever::Water => "agua".into(),
            Lever::Price => "precio".into(),
            Lever::Cost => "gastos".into(),
            Lever::Disease(_) => label.to_owned(),
        }
    }

    fn lever_value(&self, lever: &Lever, value: f64, units: &Units) -> String {
        match lever {
            Lever::Water => format!("{}\u{a0}{}", units.water_number(value), units.water_unit()),
            Lever::Price => format!("{} {}", units.money(value), self.price_per(units.yield_unit)),
            Lever::Cost => format!("{} {}", units.money_rounded(value), self.area_per(units.yield_unit)),
            Lever::Disease(_) => attack(value).0.into(),
        }
    }

    fn tipping(&self, (a, b): (&str, &str), point: &TippingPoint, label: &str, units: &Units) -> String {
        let lever = capitalised(&self.lever(&point.lever, label));
        let pair = format!("{a} {} {b}", y(b));
        let value = |value: f64| self.lever_value(&point.lever, value, units);
        let (low, high) = (value(point.range.0), value(point.range.1));
        let Some(at) = point.at.filter(|_| point.counts()) else {
            return match point.at {
                None => format!("{lever}: {pair} no cambian de lugar entre {low} y {high}."),
                Some(_) => format!(
                    "{lever}: entre {low} y {high}, {pair} no tienen un cruce con el que se pueda contar."
                ),
            };
        };
        let (below, above) = if point.first_ahead_above { (b, a) } else { (a, b) };
        let range = point.set80.map_or(String::new(), |(low, high)| match (value(low), value(high)) {
            (low, high) if low == high => format!(" (4 posibilidades de 5: {low})"),
            (low, high) => format!(" (4 posibilidades de 5: de {low} a {high})"),
        });
        let (at_words, under, over) = match point.lever {
            Lever::Disease(_) => ("con un ataque", "Con menos ataque", "con más"),
            _ => ("en", "Por debajo", "por encima"),
        };
        format!(
            "{lever}: {pair} cambian de lugar {at_words} {}{range}. {under} va adelante {below}; {over}, {above}.",
            value(at)
        )
    }

    fn there(&self, lever: &Lever, label: &str, value: f64, units: &Units) -> String {
        let value = self.lever_value(lever, value, units);
        match lever {
            Lever::Water => format!("Con {value} de agua"),
            Lever::Price => format!("A {value}"),
            Lever::Cost => format!("Con gastos de {value}"),
            Lever::Disease(_) => format!("Con {label}: {value}"),
        }
    }

    fn amount(&self, value: f64, money: bool, units: &Units) -> String {
        match money {
            true => format!("{} {}", units.money_signed(value), self.area_per(units.yield_unit)),
            false => units.yield_difference(value),
        }
    }

    fn amounts(&self, money: bool, units: &Units) -> String {
        match money {
            true => {
                format!("después de gastos, {} {}", units.currency.trim(), self.area_per(units.yield_unit))
            }
            false => format!("rendimiento, {}", self.yield_unit(units.yield_unit)),
        }
    }

    fn moved_picture(&self, names: &[String], lever: &str, money: bool, units: &Units) -> (String, String) {
        (
            format!("{} según {lever}", list(names)),
            format!(
                "Una línea por variedad: lo que da en promedio, {}, según cambia {lever}. La línea vertical es donde usted lo puso.",
                self.amounts(money, units)
            ),
        )
    }

    fn threats_hold(&self, units: &Units) -> String {
        let unit = self.yield_unit(units.yield_unit);
        format!(
            "{unit} perdidos en promedio en años así; entre paréntesis, cuánto de su rendimiento si ataca fuerte"
        )
    }

    fn threat_takes(&self, loss: &ThreatLoss, units: &Units) -> String {
        let unknown = if loss.rated { "" } else { ", sin calificar" };
        format!("{} ({}\u{a0}%{unknown})", units.yield_fine(loss.lost.max(0.0)), percent(loss.severe).abs())
    }

    fn area_word(&self, units: &Units) -> &'static str {
        match units.yield_unit {
            YieldUnit::BushelPerAcre | YieldUnit::PoundPerAcre => "acres",
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => "hectáreas",
        }
    }

    fn share(&self, share: f64, units: &Units) -> String {
        format!("{}\u{a0}%", units.plain((share * 1000.0).round() / 10.0))
    }

    fn split(&self, holdings: &[(String, Holding)], units: &Units) -> String {
        let part =
            |(name, holding): &(String, Holding)| format!("{} de {name}", self.share(holding.share, units));
        list(&holdings.iter().map(part).collect::<Vec<_>>())
    }

    fn split_proven(&self, seasons: u32, water: WaterOutlook, needs: bool) -> String {
        let such = if like_this(water).is_some() { " y en años así" } else { "" };
        let meeting = if needs { ", que cumplen lo que deben" } else { "" };
        format!(
            "Solo se proponen variedades ensayadas aquí hace poco, en {} o más{such}{meeting}. Dele usted superficie a otra y también cuenta.",
            super::seasons(seasons)
        )
    }

    fn split_limits(&self, most: u8, least: f64, units: &Units) -> String {
        format!(
            "Con {} como mucho y no menos del {} de cada una, el mejor reparto para los 4 peores años de 20 es",
            varieties(u32::from(most)),
            self.share(least, units)
        )
    }

    fn split_worth(
        &self,
        s: &Suggestion,
        single: &str,
        on_average: &str,
        money: bool,
        units: &Units,
    ) -> Vec<String> {
        let per = |value: f64| self.amount(value, money, units);
        let share = format!("{}\u{a0}% de lo que suele sacar", units.fixed(100.0 * s.gain_share.max(0.0), 1));
        let first = match s.hardly_helps {
            // Where even all of it comes to nothing only costs differ.
            _ if s.farm.yield_.worst_fifth <= 0.0 => {
                "Aquí ningún reparto ayuda: en los 4 peores años de 20 no vale la pena cosechar nada, se siembre lo que se siembre; solo cambia la cuenta de la semilla.".into()
            }
            _ if s.farm.holdings.len() < 2 => format!(
                "Repartir casi no ayuda aquí: ningún reparto mejora los 4 peores años de 20 frente a {single} sola."
            ),
            true => format!(
                "Repartir casi no ayuda aquí: el promedio de los 4 peores años de 20 mejora solo en {}, un {share}.",
                per(s.gain)
            ),
            false => format!(
                "El promedio de los 4 peores años de 20 mejora en {} frente a {single} sola, un {share}.",
                per(s.gain)
            ),
        };
        let given_up = match s.average_given_up > 0.0 {
            true => {
                format!(
                    "En el año promedio se pierden {} frente a {on_average} sola.",
                    per(s.average_given_up)
                )
            }
            false if s.farm.holdings.len() < 2 => return vec![first],
            false => "En el año promedio no se pierde nada.".into(),
        };
        vec![first, given_up]
    }

    fn split_second(&self, second: &Second, name: &str, money: bool, units: &Units) -> String {
        let cost = |value: f64| match self.amount(value, money, units) {
            _ if value <= 0.0 => "nada".to_owned(),
            nothing if nothing == self.amount(0.0, money, units) => "casi nada".into(),
            amount => amount,
        };
        format!(
            "Una segunda protege de lo que ningún ensayo muestra. La que menos cuesta es {name}: con {} de ella se pierde {} en los 4 peores años de 20, y {} en el año promedio.",
            self.share(second.share, units),
            cost(second.worst_given_up),
            cost(second.average_given_up)
        )
    }

    fn all_of_one(&self, name: &str) -> String {
        format!("Todo con {name}")
    }

    fn threat_area(&self, share: f64, area: Option<f64>, units: &Units) -> String {
        let percent = format!("{}\u{a0}%", units.fixed(100.0 * share, 0));
        match area {
            Some(area) => {
                let areas = self.area_word(units);
                let areas = if area.round() == 1.0 { areas.trim_end_matches('s') } else { areas };
                format!("la cosecha de {} {areas} ({percent})", units.fixed(area, 0))
            }
            None => percent,
        }
    }

    fn not_tried(&self, names: &[String]) -> String {
        format!("Aquí ningún ensayo habla de {}: fuera de la cuenta.", list(names))
    }

    fn least_often(
        &self,
        names: &[String],
        tested: bool,
        marks: u8,
        short: Short,
        proven: bool,
        needs: bool,
    ) -> String {
        let of = match (proven, needs) {
            (false, false) => "Menos veces",
            (true, false) => "De las bien ensayadas, menos veces",
            (false, true) => "De las que cumplen lo que deben, menos veces",
            (true, true) => "De las bien ensayadas que cumplen lo que deben, menos veces",
        };
        let does = match (short, names.len()) {
            (Short::Money, 1) => "pierde dinero",
            (Short::Money, _) => "pierden dinero",
            (Short::Below(_), 1) => "se queda corta",
            (Short::Below(_), _) => "se quedan cortas",
        };
        let marks = u32::from(marks);
        let (who, each) = match names.len() {
            1 => (names[0].clone(), ""),
            2..=NAMED => (list(names), "cada una "),
            many if tested => (format!("{many} bien ensayadas"), "cada una "),
            many => (format!("{many} variedades, también nuevas"), "cada una "),
        };
        format!("{of} {does}: {who}, {each}en {}{}.", years_of_twenty(marks), not_in(marks))
    }

    fn of_proven(&self, leader: &str) -> String {
        format!("Las nuevas no entran en esta cuenta: pueden estar ya adelante de {leader}, o pasar antes.")
    }

    fn change(&self, change: &Change, leader: &str, ahead: &str, label: &str, units: &Units) -> String {
        let at = change.at.unwrap_or(change.now);
        let value = |value: f64| self.lever_value(&change.lever, value, units);
        let up = at > change.now;
        let or = if up { "o más" } else { "o menos" };
        let when = match &change.lever {
            Lever::Water => format!("Con {} de agua {or}, en vez de {}", value(at), value(change.now)),
            Lever::Price => format!("A {} {or}", value(at)),
            Lever::Cost => format!("Con gastos de {} {or}", value(at)),
            Lever::Disease(_) if up && attack(at).1 => format!("Con ataque {} de {label}", value(at)),
            Lever::Disease(_) if up => format!("Con ataque de {label}, {} o peor", value(at)),
            Lever::Disease(_) => format!("Con ataque de {label}, {} o menos", value(at)),
        };
        format!("{when}, {ahead} pasa adelante de {leader}.")
    }

    fn no_change(&self, leader: &str, levers: &[String]) -> String {
        format!(
            "Ningún cambio con el que se pueda contar, sea de {}, pone a otra adelante de {leader}.",
            either(levers)
        )
    }

    fn newcomer(&self, name: &str, chance: f64, standing: &Standing, needs: bool) -> String {
        let chance = match of_twenty(chance) {
            0 => "menos de 1 posibilidad de 20".into(),
            1 => "1 posibilidad de 20".into(),
            _ => in_twenty(chance).replacen(" de 20", " posibilidades de 20", 1),
        };
        format!(
            "De las nuevas, la que más merece una franja en su terreno es {name}: {chance} de ser la mejor de {} a la larga, con {} hasta ahora.",
            if needs { "las que cumplen lo que deben" } else { "todas" },
            self.tested(standing, WaterOutlook::Any)
        )
    }

    fn water_unknown(&self, system: &str) -> String {
        format!(
            "En {} nadie puede decirlo: se sabe muy poco del agua de sus ensayos, o ninguno tuvo más.",
            self.system(system)
        )
    }

    fn more_water(&self, more: &MoreWater, systems: bool, units: &Units) -> String {
        let (amount, adds) = match (units.water_of_data, units.water_unit) {
            (WaterUnit::Inch, WaterUnit::Inch) => ("Una pulgada más de agua".to_owned(), "suma"),
            _ => (
                format!(
                    "{}\u{a0}{} más de agua",
                    units.plain(units.water(more.more).round()),
                    units.water_unit()
                ),
                "suman",
            ),
        };
        let ground = match systems {
            true => format!(" en {}", self.system(&more.system)),
            false => String::new(),
        };
        let money = more.money.map_or(String::new(), |money| {
            format!(", que valen {} {}", units.money_signed(money), self.area_per(units.yield_unit))
        });
        let range = match more.adds_80 {
            (low, high) if units.yield_fine(low) == units.yield_fine(high) => String::new(),
            (low, high) => {
                format!(" (4 posibilidades de 5: de {} a {})", units.yield_fine(low), units.yield_fine(high))
            }
        };
        format!(
            "{amount}{ground} {adds} {}{range}{money}, contando desde {}\u{a0}{}.",
            units.yield_difference(more.adds),
            units.water_number(more.water),
            units.water_unit()
        )
    }
}
