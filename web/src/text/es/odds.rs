//! Spanish: the list, its rows and its pictures.

use super::{Spanish, in_twenty, like_this, list, seasons, trials, years_of_twenty};
use crate::text::figure::Units;
use crate::text::shared::{few, with_more};
use crate::text::{Counted, OddsWords, SettingWords, Short};
use leanyear_engine::decide::needs::{NeedFailure, NeedReason};
use leanyear_engine::decide::{Standing, StandingState};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::pack::YieldUnit;

impl OddsWords for Spanish {
    fn odds(&self, short: Short, marks_short: u8, units: &Units) -> String {
        let verb = match short {
            Short::Money => "pierde dinero en".to_owned(),
            Short::Below(target) => format!("no llega a {} en", units.yield_amount(target)),
        };
        let years = years_of_twenty(u32::from(marks_short));
        match (marks_short, short) {
            (0 | 20.., _) => format!("{verb} {years}"),
            (n, Short::Money) => format!("{verb} {years}, en {} no", 20 - n),
            (n, Short::Below(_)) => format!("{verb} {years}, en {} sí", 20 - n),
        }
    }

    fn averages(&self, expected: f64, low: f64, high: f64, units: &Units) -> String {
        format!(
            "promedio {}; 4 años de 5 entre {} y {}",
            units.yield_number(expected),
            units.yield_number(low),
            units.yield_number(high)
        )
    }

    fn tested(&self, standing: &Standing, water: WaterOutlook) -> String {
        if standing.trials == 0 {
            return "calculada con sus ensayos en otros sistemas".into();
        }
        let all = format!("{}, {}", seasons(standing.seasons), trials(standing.trials));
        match like_this(water) {
            Some(like) if standing.trials_like_this > 0 => {
                format!("{all}, {} de ellos {like}", standing.trials_like_this)
            }
            _ => all,
        }
    }

    fn state(&self, standing: &Standing) -> Option<String> {
        let state = match (standing.state, standing.last) {
            (_, None) => Some("nunca ensayada en un terreno así".into()),
            (StandingState::WellTested, _) => None,
            (StandingState::New, _) => Some("nueva".into()),
            (StandingState::NoLongerTested, Some(year)) => {
                Some(format!("ya no se ensaya, la última vez en {year}"))
            }
        };
        with_more(state, standing.apart.then_some(self.apart_in_short()))
    }

    fn apart_in_short(&self) -> &'static str {
        "ensayada aparte"
    }

    fn tested_apart(&self, count: usize) -> String {
        let who = match count {
            1 => "Una variedad, marcada «ensayada aparte», no coincidió".to_owned(),
            n => format!("{n} variedades, marcadas «ensayada aparte», no coincidieron"),
        };
        format!(
            "{who} con las demás en ningún ensayo, ni siquiera por medio de una tercera. Cuáles son mejores nunca se midió."
        )
    }

    fn never_met(&self, one: &str, others: &[String]) -> String {
        format!(
            "{one} no coincidió con {} en ningún ensayo, ni siquiera por medio de otras variedades: cuál es mejor nunca se midió.",
            list(&few(others, |n| format!("{n} más")))
        )
    }

    fn lacks(&self, failures: &[(String, NeedFailure)], units: &Units) -> String {
        let one = |(label, failure): &(String, NeedFailure)| match (failure.reason, failure.needed) {
            (NeedReason::Unknown, _) => format!("sin calificar en {label}"),
            (NeedReason::Worse(value), None) => format!("{label}: {}", units.plain(value)),
            (NeedReason::Worse(value), Some(needed)) => format!(
                "{label}: {}, no {} o {}",
                units.plain(value),
                units.plain(needed),
                if failure.higher_is_better { "más" } else { "menos" }
            ),
        };
        failures.iter().map(one).collect::<Vec<_>>().join("; ")
    }

    fn lacking_heading(&self, count: usize) -> String {
        match count {
            1 => "Una que no cumple lo que debe".into(),
            n => format!("{n} que no cumplen lo que deben"),
        }
    }

    fn lacking_line(&self) -> &'static str {
        "El motivo está debajo de cada nombre. Sin calificar es que no se sabe, así que no cuenta como buena."
    }

    fn lacking_below(&self, count: usize) -> String {
        match count {
            1 => "Una no cumple lo que debe y está más abajo, con el motivo.".into(),
            n => format!("{n} no cumplen lo que deben y están más abajo, con los motivos."),
        }
    }

    fn never_tested(&self, water: WaterOutlook) -> &'static str {
        match water {
            WaterOutlook::DriestFifth | WaterOutlook::Dry => {
                "nunca ensayada en un año tan seco: calculada con sus otros años"
            }
            WaterOutlook::Wet => "nunca ensayada en un año tan húmedo: calculada con sus otros años",
            _ => "nunca ensayada en un año así: calculada con sus otros años",
        }
    }

    fn beats_mine(&self, chance: f64) -> String {
        format!("le gana a la suya en {}", in_twenty(chance))
    }

    fn beats_check(&self, chance: f64) -> String {
        format!("le gana al testigo en {}", in_twenty(chance))
    }

    fn worst_fifth(&self, yield_: Option<f64>, net: Option<f64>, units: &Units) -> String {
        let left = net.map(|net| {
            let amount = format!("{} {}", units.money_rounded(net), self.area_per(units.yield_unit));
            match net < 0.0 {
                true => format!("una pérdida de {amount}"),
                false => format!("quedan {amount} después de gastos"),
            }
        });
        let told: Vec<String> = yield_.map(|y| units.yield_amount(y)).into_iter().chain(left).collect();
        format!("promedio de los 4 peores años de 20: {}", told.join(", "))
    }

    fn left(&self, net: f64, units: &Units) -> String {
        let does = if net < 0.0 { "pierde" } else { "deja" };
        let amount = format!("{} {}", units.money_rounded(net), self.area_per(units.yield_unit));
        let after = if net < 0.0 { "" } else { " después de gastos" };
        format!("en los 20 años juntos {does} {amount} y año{after}")
    }

    fn not_cut(&self, marks: u8) -> Option<String> {
        (marks > 0).then(|| format!("no paga cosecharla en {marks} de 20"))
    }

    fn key_not_cut(&self) -> &'static str {
        "no paga cosecharla"
    }

    fn counted(&self, what: &Counted) -> String {
        match what {
            Counted::Hauling => "el acarreo".into(),
            Counted::Swing => "un precio que varía".into(),
            Counted::Insurance => "el seguro".into(),
            Counted::Sprays(against) => format!("el tratamiento contra {}", against.join(", ")),
            Counted::Docks => "los descuentos".into(),
        }
    }

    fn also_counted(&self, counted: &[String]) -> String {
        format!("También se cuenta: {}.", counted.join("; "))
    }

    fn group_heading(&self, group: usize, shown: usize) -> String {
        match (group, group > shown) {
            (0, _) => "Ninguna que poner primero".into(),
            (1, _) => "Primera, y separada de las demás".into(),
            (_, false) => "Muy parejas para decidir".into(),
            (_, true) => format!("Muy parejas para decidir: las primeras {shown} de {group}"),
        }
    }

    fn group_line(&self, group: usize, needs: bool) -> String {
        match group {
            0 if needs => "Ninguna de las ensayadas aquí cumple todo lo que debe.".into(),
            0 => "Ninguna está bastante ensayada aquí.".into(),
            1 if needs => "Los ensayos la distinguen de todas las demás que cumplen lo que deben.".into(),
            1 => "Los ensayos la distinguen de todas las demás.".into(),
            n => format!("Los ensayos no distinguen entre estas {n}."),
        }
    }

    fn show_rest(&self, rest: usize) -> String {
        match rest {
            1 => "mostrar la que falta".into(),
            n => format!("mostrar las otras {n}"),
        }
    }

    fn rest_heading(&self, rest: usize) -> String {
        match rest {
            1 => "La otra".into(),
            n => format!("Las otras {n}, en el mismo orden"),
        }
    }

    fn untried_heading(&self, system: Option<&str>) -> String {
        let ground = system.map_or("aquí".into(), |code| format!("en {}", self.system(code)));
        format!("Nunca ensayadas {ground}")
    }

    fn untried_line(&self) -> &'static str {
        "Calculadas con sus ensayos en otros sistemas: nunca se nombran como la mejor."
    }

    fn lapsed_heading(&self) -> &'static str {
        "Ya no se ensayan"
    }

    fn lapsed_line(&self) -> &'static str {
        "Calculadas con años más viejos, para quien todavía siembra una: nunca se nombran como la mejor."
    }

    fn line_label(&self, short: Short, (low, high): (f64, f64), units: &Units) -> String {
        let (low, high) = (units.yield_fine(low), units.yield_fine(high));
        match short {
            Short::Money if low == high => format!("equilibrio {low}"),
            Short::Money => format!("equilibrio {low} a {high}, por semilla"),
            Short::Below(target) => format!("corta con menos de {}", units.yield_number(target)),
        }
    }

    fn costs_more_to_haul(&self, unit: YieldUnit) -> String {
        let unit = self.price_per(unit);
        format!("A este precio no queda nada {unit} después del acarreo: el grano solo pierde dinero.")
    }

    fn no_single_line(&self) -> &'static str {
        "Con estas condiciones no hay un solo rendimiento de equilibrio; las marcas muestran igual cada pérdida."
    }

    fn drier_than_harvested(&self) -> &'static str {
        "Una parte de esto es más seca que cualquier ensayo que se cosechó. Ahí el nivel baja y el orden queda como en los ensayos más secos."
    }

    fn marks_picture(&self, name: &str, seasons: &[f64], units: &Units) -> (String, String) {
        let numbers: Vec<String> = seasons.iter().map(|y| units.yield_number(*y)).collect();
        (
            format!("{name}: veinte años"),
            format!(
                "Rendimientos en {}, del peor al mejor: {}.",
                self.yield_unit(units.yield_unit),
                self.0.listed(&numbers)
            ),
        )
    }

    fn axis_picture(
        &self,
        greatest: f64,
        line: Option<(Short, (f64, f64))>,
        units: &Units,
    ) -> (String, String) {
        let line =
            line.map_or(String::new(), |(short, ends)| format!(" {}.", self.line_label(short, ends, units)));
        ("Eje de rendimiento".into(), format!("De 0 a {}.{line}", units.yield_amount(greatest)))
    }

    fn response_picture(&self, name: &str, number: usize, units: &Units) -> (String, String) {
        (
            format!("{name}: rendimiento según el agua"),
            format!(
                "Línea del medio: el rendimiento con el que contar para cada cantidad de agua, en {}. Sombreado: 4 años de 5. Marcas: {}.",
                self.yield_unit(units.yield_unit),
                trials(u32::try_from(number).unwrap_or(u32::MAX))
            ),
        )
    }

    fn water_axis(&self, units: &Units) -> String {
        format!("agua para el cultivo, {}", units.water_unit())
    }

    fn outlook_band(&self, water: WaterOutlook) -> String {
        match water {
            WaterOutlook::Any | WaterOutlook::Thirds(..) => "todos los años registrados".into(),
            WaterOutlook::DriestFifth => "años muy secos".into(),
            WaterOutlook::Dry => "años secos".into(),
            WaterOutlook::Middle => "años intermedios".into(),
            WaterOutlook::Wet => "años húmedos".into(),
            WaterOutlook::Like(year) => format!("{year}"),
        }
    }
}
