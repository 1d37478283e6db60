//! Spanish: one variety in detail, where the numbers come from, links and sending.

use super::{Spanish, date, labels, list, trials};
use crate::state::Sent;
use crate::text::figure::Units;
use crate::text::region::nothing;
use crate::text::shared::{beside_scale, few, filled, percent};
use crate::text::{DetailWords, Difference, OddsWords, SettingWords};
use leanyear_engine::decide::{FieldSummary, Missing, Standing, StandingState, VarietyLoss};
use leanyear_engine::forecast::backtest::{Missed, SeasonRecord, TrackRecord, Verdict};
use leanyear_engine::link::{LinkNotice, WaterOutlook};
use leanyear_engine::pack::{Exclusion, NetworkInfo, ONE_SYSTEM};

impl DetailWords for Spanish {
    fn evidence(&self, standing: &Standing, water: WaterOutlook, system: Option<&str>) -> String {
        let place = system.map_or(String::new(), |code| format!(" en {}", self.system(code)));
        if standing.trials == 0 {
            return format!("Nunca ensayada{place}: {}.", self.tested(standing, water));
        }
        let state = match standing.state {
            StandingState::WellTested => "Bien ensayada",
            StandingState::New => "Nueva",
            StandingState::NoLongerTested => "Ya no se ensaya",
        };
        let last = standing.last.map_or(String::new(), |year| format!("; la última vez en {year}"));
        format!("{state}{place}: {}{last}.", self.tested(standing, water))
    }

    fn seed(&self, cost: f64, known: bool, units: &Units) -> Option<String> {
        let amount = format!("{} {}", units.money(cost), self.area_per(units.yield_unit));
        let words = match known {
            true => format!("la semilla se cuenta a {amount}"),
            false => {
                format!("no se conoce el precio de su semilla: se cuentan {amount}, el promedio de las otras")
            }
        };
        (cost > 0.0).then_some(words)
    }

    fn difference(&self, difference: &Difference, units: &Units) -> String {
        let amount = |value: f64| {
            let text = units.yield_difference(value.abs());
            let word = if value < 0.0 { "menos" } else { "más" };
            (!nothing(&units.yield_fine(value.abs()))).then(|| format!("{text} {word}"))
        };
        let mut against = few(&difference.against, |n| format!("{n} más"));
        against.extend(difference.itself.then(|| "ella misma".to_owned()));
        let against = list(&against);
        let sure = match (difference.low > 0.0, difference.high < 0.0) {
            (true, _) => "Así que muy probablemente es mejor.",
            (_, true) => "Así que muy probablemente es peor.",
            _ => "Así que los ensayos no pueden decir cuál es mejor.",
        };
        let value = amount(difference.value).unwrap_or_else(|| "lo mismo".into());
        let years = if difference.assumed { "años así" } else { "años" };
        let end = |value: f64| amount(value).unwrap_or_else(|| "nada".into());
        format!(
            "A lo largo de muchos {years}, en este terreno rinde {value} que el promedio de {against}. Hay 4 posibilidades de 5 de que la verdad esté entre {} y {}. {sure}",
            end(difference.low),
            end(difference.high)
        )
    }

    fn deviation(&self, value: f64, units: &Units) -> String {
        let text = units.yield_fine(value.abs());
        match (value < 0.0, nothing(&text)) {
            (_, true) => "igual".into(),
            (true, _) => format!("{text} peor"),
            (false, _) => format!("{text} mejor"),
        }
    }

    fn exclusion(&self, exclusion: Exclusion) -> &'static str {
        match exclusion {
            Exclusion::Drought => "perdido por sequía",
            Exclusion::Hail => "granizo",
            Exclusion::Stand => "mala nascencia",
            Exclusion::Other => "dejado aparte",
        }
    }

    fn scale(&self, best: Option<f64>, worst: Option<f64>, unit: &str, units: &Units) -> String {
        let percent = if unit == "%" { "\u{a0}%" } else { "" };
        match (best, worst) {
            (Some(best), Some(worst)) => {
                let of = beside_scale(unit).map_or(String::new(), |unit| format!(" ({unit})"));
                format!(
                    "{}{percent} lo mejor, {}{percent} lo peor{of}",
                    units.plain(best),
                    units.plain(worst)
                )
            }
            _ => unit.to_owned(),
        }
    }

    fn would_take(&self, loss: &VarietyLoss) -> String {
        let percent = percent(loss.severe);
        match (loss.rated, percent < 1.0) {
            (true, true) => "casi nada".into(),
            (true, false) => format!("cerca del {percent} %"),
            (false, _) => {
                format!("no se conoce su resistencia; se cuenta el {percent} %, como la variedad promedio")
            }
        }
    }

    fn can_fail(&self, vector: &str) -> String {
        format!(
            "Lo transmite: {vector}. La resistencia puede fallar en un otoño cálido tras una siembra temprana."
        )
    }

    fn rating_word(&self, place: f64) -> &'static str {
        match place {
            p if p <= 0.2 => "muy bien",
            p if p <= 0.4 => "bien",
            p if p <= 0.6 => "regular",
            p if p <= 0.8 => "flojo",
            _ => "muy flojo",
        }
    }

    fn numbers_heading(&self, units: &Units) -> String {
        format!("veinte rendimientos en {}, del peor al mejor", self.yield_unit(units.yield_unit))
    }

    fn seasons(&self, number: u32) -> String {
        super::seasons(number)
    }

    fn stance(&self, stance: &str, system: &str) -> String {
        // A network without systems has one ground and no name for it.
        let ground = |before: &str| match system {
            ONE_SYSTEM => String::new(),
            several => format!(" {before} {}", self.system(several)),
        };
        match stance {
            "in" => format!("En la lista corta del asesor{}", ground("para")),
            "out" => format!("Fuera de la lista corta del asesor{}", ground("para")),
            _ => format!("El asesor la sigue de cerca{}", ground("en")),
        }
    }

    fn stance_in_short(&self, stance: &str) -> &'static str {
        match stance {
            "in" => "en la lista del asesor",
            "out" => "fuera de la lista del asesor",
            _ => "seguida por el asesor",
        }
    }

    fn about(&self, released: Option<i32>, origin: &str, class: &str) -> String {
        let released = released.map(|year| format!("lanzada en {year}"));
        filled([class.to_owned(), origin.to_owned(), released.unwrap_or_default()])
    }

    fn signed(&self, by: &str, on: &str) -> String {
        filled([by.to_owned(), date(on)])
    }

    fn source(&self, field: &FieldSummary, info: &NetworkInfo) -> Vec<String> {
        let (first, last) = field.seasons;
        let data = match info.data_date.as_str() {
            "" => String::new(),
            day => format!("; datos del {}", date(day)),
        };
        let of = if info.crop.is_empty() { &info.name } else { &info.crop };
        let years = if first == last { format!("de {first}") } else { format!("de {first} a {last}") };
        let mut lines = vec![format!("{} de {of}, {years}{data}.", trials(field.trials))];
        if !info.contact.is_empty() {
            lines.push(format!("Pregunte a: {}.", info.contact.trim_end_matches('.')));
        }
        lines.extend(self.paid_for(info));
        lines
    }

    fn paid_for(&self, info: &NetworkInfo) -> Option<String> {
        let by = info.funded_by.trim_end_matches('.');
        (!by.is_empty()).then(|| format!("Pagado por: {by}."))
    }

    fn missing(&self, missing: &Missing) -> &'static str {
        labels::missing(missing)
    }

    fn cautions(&self) -> Vec<&'static str> {
        labels::CAUTIONS.to_vec()
    }

    fn track(&self, record: &TrackRecord) -> Vec<String> {
        let TrackRecord { held, n, promised, verdict, .. } = record;
        let verdict = match verdict {
            Verdict::Nothing => return vec!["Todavía hay muy pocas campañas para comprobarlo.".into()],
            Verdict::TooFewSeasons => "Son muy pocas campañas para juzgar los márgenes.",
            Verdict::TooNarrow => "Menos de lo prometido: tome los márgenes por demasiado angostos.",
            Verdict::TooWide => "Más de lo prometido: los márgenes son más anchos de lo necesario.",
            Verdict::AsPromised => "Más o menos lo prometido, hasta donde estas campañas pueden decir.",
        };
        vec![
            "Cada campaña se calculó solo con las anteriores, diciéndole nada más lo que se anotó de su agua y sus enfermedades.".into(),
            format!(
                "El margen que debería cumplirse 4 veces de 5 se cumplió en {held} de {n} resultados; se prometieron {promised}. {verdict}"
            ),
        ]
    }

    fn not_rated(&self, labels: &[String]) -> String {
        format!("Sin calificar, así que no se sabe: {}.", list(labels))
    }

    fn track_missed(&self, missed: &Missed, units: &Units) -> String {
        format!(
            "Cuánto sacaba o perdía una variedad se erró, por lo general, por {}; una tabla de promedios simples lo erró por {}.",
            units.yield_difference(missed.forecast),
            units.yield_difference(missed.raw_means)
        )
    }

    fn track_season_missed(&self, missed: &Missed, units: &Units) -> String {
        format!(
            "errada por {}, con promedios simples {}",
            units.yield_difference(missed.forecast),
            units.yield_fine(missed.raw_means)
        )
    }

    fn track_picture(&self, season: i32, held: u8, all: u8) -> (String, String) {
        (
            format!("{season}: resultados dentro y fuera de su margen"),
            format!(
                "De {all} marcas, {held} son resultados dentro del margen y {} son resultados fuera de él.",
                all - held
            ),
        )
    }

    fn track_columns(&self, units: &Units) -> [String; 5] {
        let unit = self.yield_unit(units.yield_unit);
        [
            "campaña".into(),
            "dentro".into(),
            "resultados".into(),
            format!("errada por, {unit}"),
            "con promedios simples".into(),
        ]
    }

    fn track_season(&self, season: &SeasonRecord) -> String {
        let tail = if season.poor { ": una mala campaña para estos márgenes" } else { "" };
        format!("{} de {}{tail}", season.held, season.n)
    }

    fn notice(&self, notice: &LinkNotice) -> String {
        labels::notice(notice)
    }

    fn sent(&self, sent: Sent) -> &'static str {
        match sent {
            Sent::Copied => "Copiado.",
            Sent::Refused => {
                "Este navegador no deja copiar: mantenga el dedo sobre el texto y cópielo a mano."
            }
            Sent::Forgotten => "Olvidado en este aparato.",
        }
    }
}
