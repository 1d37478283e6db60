//! Spanish: the office, for an agronomist.

mod columns;
mod fit;
mod labels;
mod lists;
mod problems;

use super::{Spanish, count, date, list, seasons, trials, varieties};
use crate::number::NumberProblem;
use crate::office::state::{Fate, Product};
use crate::text::SettingWords;
use crate::text::figure::Units;
use crate::text::office::{ArrivalWord, Desk, Names, OfficeWords, Term};
use leanyear_engine::forecast::form::FittedForm;
use leanyear_engine::mixed::network::Dropped;
use leanyear_engine::office::compare::Change;
use leanyear_engine::office::influence::Influence;
use leanyear_engine::office::look::DryTrials;
use leanyear_engine::office::outlying::OutlyingMean;
use leanyear_engine::office::report::Report;
use leanyear_engine::office::residuals::Spread;
use leanyear_engine::office::shares::{Part, Shares};
use leanyear_engine::office::shortlist::{Reason, Rules, Stance};
use leanyear_engine::pack::groups::Group;
use leanyear_engine::pack::{
    ErrorSource, FileNote, Letters, NetworkInfo, NumberMarks, Problem, ProblemKind, Question, Separator,
    TwoReadings,
};

impl OfficeWords for Spanish {
    fn desk(&self, label: Desk) -> &'static str {
        labels::desk(label)
    }

    fn guide(&self) -> Vec<&'static str> {
        labels::GUIDE.to_vec()
    }

    fn term(&self, term: Term) -> &'static str {
        labels::term(term)
    }

    fn file_about(&self, file: &str) -> &'static str {
        columns::file(file)
    }

    fn column_about(&self, file: &str, column: &str) -> &'static str {
        columns::column(file, column)
    }

    fn key_about(&self, key: &str) -> (&'static str, &'static str) {
        columns::key(key)
    }

    fn arrival(&self, name: &str, word: ArrivalWord) -> String {
        match word {
            ArrivalWord::File { file, by_columns, letters, fate } => {
                let letters = match letters {
                    Letters::Utf8 => "",
                    Letters::Utf16 => " Sus letras están en UTF-16.",
                    Letters::Windows1252 => {
                        " Sus letras son las de programas viejos de Windows: revise los nombres con acentos."
                    }
                };
                match (fate, by_columns) {
                    (Fate::Taken, true) => format!("{name} se toma como {file}, por sus columnas.{letters}"),
                    (Fate::Taken, false) => format!("{name} se toma.{letters}"),
                    (Fate::InPlaceOf(before), _) => {
                        format!("{name} se toma como {file}, en lugar de {}.{letters}", list(before))
                    }
                    (Fate::Joined { rows, first_row }, _) => format!(
                        "{name}: sus {} quedan en {file} detrás de las que había, desde la fila {first_row}.{letters}",
                        count(*rows as u32, "fila", "filas")
                    ),
                    (Fate::Waits(None), _) => {
                        format!("{name} sería {file}, que ya está. Todavía no se usa; diga cómo:")
                    }
                    (Fate::Waits(Some(why)), _) => format!(
                        "{name} sería {file}, que ya está. Todavía no se usa, y sus filas no se pueden poner detrás de las otras: {}.",
                        problems::unjoinable(*why)
                    ),
                }
            }
            ArrivalWord::Pack => {
                format!("{name} lleva una red entera. Queda al lado de la suya como la del año pasado.")
            }
            ArrivalWord::Unknown => {
                format!("{name}: sus columnas no son las de ningún archivo. Diga qué es:")
            }
            ArrivalWord::Refused(kind) => format!("{name} no se usa: {}", problems::kind(kind, &self.0)),
            ArrivalWord::BadPack(error) => format!("{name} no se usa: {}", problems::pack(error, &self.0)),
        }
    }

    fn came_in(&self, sources: &[String]) -> String {
        format!("de {}", list(sources))
    }

    fn number_fault(&self, text: &str) -> Option<String> {
        let fault = crate::number::read(text, 0.0, f64::INFINITY).err()?;
        Some(match fault {
            NumberProblem::TwoReadings(one, other) => format!(
                "{text} se puede leer como {} y como {}. Escriba {} o {}.",
                self.0.plain(one),
                self.0.plain(other),
                self.0.typed(one),
                self.0.typed(other)
            ),
            _ => format!("«{text}» no es un número. Escriba cifras con un solo signo decimal."),
        })
    }

    fn rule_refused(&self, text: &str, (least, greatest): (f64, f64), whole: bool) -> String {
        let kind = if whole { "un número entero" } else { "un número" };
        let [least, greatest] = [least, greatest].map(|end| self.0.plain(end));
        format!("«{text}» no es {kind} de {least} a {greatest}; la regla queda como estaba.")
    }

    fn places_apart(&self) -> &'static str {
        "Las variedades que ningún ensayo une se ordenan aparte: cada grupo tiene sus puestos y su lista."
    }

    fn file_note(&self, note: &FileNote, letters: Letters) -> Option<String> {
        let mut parts: Vec<String> = Vec::new();
        match note.separator {
            Separator::Comma => {}
            Separator::Semicolon => parts.push("punto y coma entre celdas".into()),
            Separator::Tab => parts.push("tabuladores entre celdas".into()),
        }
        if note.marks == NumberMarks::Comma {
            parts.push("coma decimal".into());
        }
        match letters {
            Letters::Utf8 => {}
            Letters::Utf16 => parts.push("letras en UTF-16".into()),
            Letters::Windows1252 => parts.push("letras de programas viejos de Windows".into()),
        }
        if note.blank_rows > 0 {
            parts.push(format!("{} sin ningún valor", count(note.blank_rows as u32, "fila", "filas")));
        }
        if note.blank_columns > 0 {
            parts.push(format!(
                "{} sin ningún valor",
                count(note.blank_columns as u32, "columna", "columnas")
            ));
        }
        if note.guarded > 0 {
            let cells = count(note.guarded as u32, "celda", "celdas");
            parts.push(format!("{cells} que podrían ser fórmulas, leídas como texto"));
        }
        if note.renamed > 0 {
            let names = count(note.renamed as u32, "nombre de columna", "nombres de columnas");
            parts.push(format!("{names} escritos de otra manera, tomados por los que son"));
        }
        for (mark, cells) in &note.missing {
            let cells = count(*cells as u32, "celda", "celdas");
            parts.push(format!("{cells} con \u{ab}{mark}\u{bb}, leídas como vacías"));
        }
        (!parts.is_empty()).then(|| format!("{}: {}.", note.file, parts.join(", ")))
    }

    fn rows_used(&self, used: usize, all: usize) -> String {
        let rows = count(all as u32, "fila", "filas");
        if used == all { rows } else { format!("{used} de {rows}") }
    }

    fn question(&self, question: &Question) -> String {
        format!(
            "{}: en {} un número se puede leer de dos maneras. ¿Cuál es?",
            question.file,
            count(question.cells as u32, "celda", "celdas")
        )
    }

    fn reading(&self, marks: NumberMarks, example: &TwoReadings) -> String {
        let value = match marks {
            NumberMarks::Point => example.point,
            NumberMarks::Comma => example.comma,
        };
        let words = if value >= 1000.0 { "mil y más" } else { "una fracción decimal" };
        format!("{} en la fila {} es {}, {words}", example.text, example.row, self.0.typed(value))
    }

    fn problem_place(&self, problem: &Problem) -> String {
        problems::place(problem)
    }

    fn problem(&self, kind: &ProblemKind) -> String {
        problems::kind(kind, &self.0)
    }

    fn problem_count(&self, errors: usize) -> String {
        let things = count(errors as u32, "cosa", "cosas");
        format!("{things} por corregir antes de poder ajustar nada.")
    }

    fn more_problems(&self, more: usize) -> String {
        format!("y {more} más en este archivo")
    }

    fn fix_row(&self, file: &str, row: usize) -> String {
        format!("{file}, fila {row}")
    }

    fn groups(&self, groups: &[Group], names: &Names) -> Vec<String> {
        let Some((first, others)) = groups.split_first() else { return Vec::new() };
        let size = |group: &Group| {
            format!("{} y {}", trials(group.trials.len() as u32), varieties(group.varieties.len() as u32))
        };
        if others.is_empty() {
            return vec![format!(
                "Todo está conectado, {}: dos variedades cualesquiera se pueden comparar, directamente o a través de otras.",
                size(first)
            )];
        }
        let mut lines = vec![format!("Están conectados {}. Aparte de ellos quedan:", size(first))];
        for (number, group) in (2..).zip(others) {
            let few: Vec<String> = names.varieties(&group.varieties).into_iter().take(6).collect();
            let some: Vec<String> = group.trials.iter().take(4).cloned().collect();
            lines.push(format!(
                "Grupo {number}: {} ({}{}) con {}{}. Ninguna de sus variedades estuvo en un ensayo con las demás, así que solo el azar las compara; siembre un testigo en ambos.",
                size(group),
                some.join(", "),
                if group.trials.len() > 4 { ", …" } else { "" },
                list(&few),
                if group.varieties.len() > 6 { " y otras" } else { "" }
            ));
        }
        lines
    }

    fn dry(&self, dry: &DryTrials, several: bool) -> Option<String> {
        let place = if several { format!(" en {}", self.system(&dry.system)) } else { String::new() };
        (dry.high_cv > 0).then(|| {
            let of = match (dry.high_cv, dry.high_cv_dry) {
                (1, 1) => format!("El único ensayo{place} con CV mayor de 15 está en el tercio más seco."),
                (1, _) => format!("Un ensayo{place} tiene CV mayor de 15; no es de los secos."),
                (all, some) => format!(
                    "{all} ensayos{place} tienen CV mayor de 15, {} en el tercio más seco.",
                    if some == 0 { "ninguno".to_owned() } else { some.to_string() }
                ),
            };
            match dry.high_cv_dry_ordinary {
                0 => of,
                n => format!(
                    "{of} En {n} de estos el cuadrado medio del error no es mayor que en el ensayo del medio: el CV es alto porque el rendimiento es bajo, no porque el ensayo sea malo."
                ),
            }
        })
    }

    fn error_from(&self, source: ErrorSource) -> &'static str {
        match source {
            ErrorSource::ErrorMs => "",
            ErrorSource::Lsd => "de la DMS",
            ErrorSource::Cv => "del CV",
        }
    }

    fn pressure_word(&self, pressure: u8) -> &'static str {
        match pressure {
            0 => "nada",
            1 => "leve",
            2 => "moderado",
            _ => "grave",
        }
    }

    fn outlying(&self, mean: &OutlyingMean, names: &Names, units: &Units) -> String {
        fit::outlying(mean, names, units)
    }

    fn fitted(&self, varieties_: usize, trials_: usize, means: usize) -> String {
        format!(
            "Ajustado: {} en {}, {}.",
            varieties(varieties_ as u32),
            trials(trials_ as u32),
            count(means as u32, "media", "medias")
        )
    }

    fn shares(&self, shares: &Shares, several: bool, units: &Units) -> String {
        fit::shares(self, shares, several, units)
    }

    fn share_part(&self, part: &Part, error_known: bool) -> String {
        fit::part(part, error_known)
    }

    fn fit_left_out(&self, dropped: &[Dropped], form: &FittedForm, names: &Names) -> Vec<String> {
        fit::left_out(self, dropped, form, names)
    }

    fn spread(&self, name: &str, spread: &Spread) -> String {
        fit::spread(&self.0, name, spread)
    }

    fn influence(&self, influence: &Influence, several: bool, names: &Names, units: &Units) -> String {
        fit::influence(self, influence, several, names, units)
    }

    fn fit_failed(&self, why: &str) -> String {
        fit::failed(why)
    }

    fn moved(&self, name: &str, before: usize, now: usize) -> String {
        let way = if now < before { "sube" } else { "baja" };
        format!("{name}: {way} del {before} al {now}")
    }

    fn rules(&self, rules: &Rules) -> String {
        lists::rules(self, rules)
    }

    fn stands(&self, stance: Stance) -> &'static str {
        match stance {
            Stance::In => "en la lista",
            Stance::Follow => "por seguir",
            Stance::Out => "fuera de la lista",
        }
    }

    fn reason(&self, reason: &Reason, names: &Names) -> String {
        lists::reason(&self.0, reason, names)
    }

    fn word_taken(&self, name: &str, stance: Stance, given: bool) -> String {
        let by = if given { "por su palabra" } else { "por las reglas" };
        format!("{name} queda ahora {}, {by}.", self.stands(stance))
    }

    fn word_differs(&self, word: Stance, rules: Stance) -> Option<String> {
        (word != rules).then(|| format!("Con las reglas solas estaría {}.", self.stands(rules)))
    }

    fn since_last_year(&self, change: &Change, names: &Names, units: &Units) -> Option<String> {
        lists::change(change, names, units)
    }

    fn last_year(&self, name: &str) -> String {
        format!("Red del año pasado: {name}. Los puestos se cuentan entre las variedades de los dos años.")
    }

    fn report_title(&self, info: &NetworkInfo, system: Option<&str>) -> String {
        match system {
            Some(system) => format!("{}: {}", info.name, self.system(system)),
            None => info.name.clone(),
        }
    }

    fn report_line(&self, report: &Report, info: &NetworkInfo) -> String {
        let years = report.seasons.map_or(String::new(), |(first, last)| match first == last {
            true => format!(", {first}"),
            false => format!(", de {first} a {last}"),
        });
        let mut line = format!("{}{years}.", trials(report.trials as u32));
        if !info.data_date.is_empty() {
            line += &format!(" Datos del {}.", date(&info.data_date));
        }
        if !info.contact.is_empty() {
            line += &format!(" Pregunte a: {}.", info.contact.trim_end_matches('.'));
        }
        line
    }

    fn report_lsd(&self, report: &Report, units: &Units) -> Option<String> {
        let (lsd, sed) = report.lsd.zip(report.sed)?;
        Some(format!(
            "DMS (5 %) {}, EED {}, ambas en promedio de todos los pares que los ensayos unen: dos medias más cercanas que la DMS no difieren significativamente. La página de los productores pide más antes de descartar una variedad: allí está muy pareja para decidir mientras su posibilidad de ser al menos tan buena como la mejor sea de 1 en 10, por lo que queda después de gastos a lo largo de los años.",
            units.yield_difference(lsd),
            units.yield_difference(sed)
        ))
    }

    fn report_method(&self, report: &Report, names: &Names) -> String {
        lists::method(self, report, names)
    }

    fn seasons_trials(&self, number: u32, of_trials: u32) -> String {
        format!("{}, {}", seasons(number), trials(of_trials))
    }

    fn saved(&self, product: Product) -> &'static str {
        match product {
            Product::Page => {
                "leanyear.html se entregó al navegador: búsquelo entre sus descargas, ábralo y mírelo."
            }
            Product::Site => {
                "site.zip se entregó al navegador: descomprímalo donde su servidor web tiene los archivos."
            }
            Product::Pack => {
                "network.pack.json se entregó al navegador. Guárdelo: el año que viene muestra qué cambió."
            }
            Product::Folder => "network.zip se entregó al navegador: los archivos tal como están ahora.",
        }
    }

    fn save_failed(&self, why: &str) -> String {
        match why.is_empty() {
            true => "No se pudo armar en este aparato.".into(),
            false => format!("No se pudo armar. El motivo, en inglés: {why}."),
        }
    }

    fn percent(&self, percent: u8) -> String {
        format!("{percent} %")
    }
}
