//! Spanish: what is wrong with a file, and what would be right.

use super::super::list;
use crate::text::region::Region;
use crate::text::shared::count;
use leanyear_engine::pack::join::Unjoinable;
use leanyear_engine::pack::{Ability, Code, ErrorSource, Foreign, JsonType, PackError, Problem, ProblemKind};

/// Where a problem is, within its file.
pub(super) fn place(problem: &Problem) -> String {
    match (problem.row, &problem.column) {
        (Some(row), Some(column)) => format!("fila {row}, {column}"),
        (Some(row), None) => format!("fila {row}"),
        (None, Some(column)) => column.clone(),
        (None, None) => "todo el archivo".into(),
    }
}

pub(super) fn pack(error: &PackError, region: &Region) -> String {
    match error {
        PackError::Unreadable { line, column } => {
            format!("no es una red de esta página, o está dañada (línea {line}, carácter {column}).")
        }
        PackError::Newer { found } => {
            format!(
                "la hizo una página más nueva (versión {found}). Ábrala allí, o consiga una página más nueva."
            )
        }
        PackError::UnknownVersion => "no lleva ninguna versión que esta página conozca.".into(),
        PackError::BadMark { .. } => "no dice de qué datos es.".into(),
        PackError::Unlawful(problem) => format!(
            "la cambiaron a mano o está dañada. De {}, {}: {}",
            problem.file,
            place(problem),
            kind(&problem.kind, region)
        ),
    }
}

fn foreign(is: Foreign) -> &'static str {
    match is {
        Foreign::Zip => "un archivo zip o el formato propio de una planilla de cálculo",
        Foreign::OldSpreadsheet => "el formato propio de una planilla de cálculo vieja",
        Foreign::Pdf => "un PDF",
        Foreign::Picture => "una imagen",
        Foreign::WebPage => "una página web, y ninguna con una red adentro",
        Foreign::Binary => "algo que no es texto",
    }
}

fn ability(ability: Ability) -> &'static str {
    match ability {
        Ability::Varieties => "las variedades van con sus códigos, sin notas ni precio de semilla",
        Ability::Sites => "los sitios van con sus códigos, sin zonas",
        Ability::Climate => "las campañas de los ensayos hacen de clima, y puede faltar una peor",
        Ability::Traits => "no se muestra ninguna característica de enfermedad, caña, calidad ni pastoreo",
        Ability::Ratings => "no se muestran calificaciones y no se puede suponer ninguna enfermedad",
        Ability::Pressure => "lo que quitan las enfermedades no se puede aprender de los ensayos",
        Ability::Shortlist => "no se muestran sus recomendaciones; puede escribirlas más abajo",
    }
}

fn code(code: Code) -> &'static str {
    match code {
        Code::Trial => "ensayo",
        Code::Variety => "variedad",
        Code::Site => "sitio",
        Code::Trait => "característica",
        Code::System => "sistema",
    }
}

fn source(source: ErrorSource) -> &'static str {
    match source {
        ErrorSource::ErrorMs => "error_ms",
        ErrorSource::Lsd => "lsd",
        ErrorSource::Cv => "cv",
    }
}

fn json_type(expected: JsonType) -> &'static str {
    match expected {
        JsonType::Object => "un grupo de valores",
        JsonType::Text => "un texto",
        JsonType::FilledText => "un texto que no esté vacío",
        JsonType::Flag => "sí o no",
        JsonType::Number => "un número",
        JsonType::Whole => "un número entero",
        JsonType::TextList => "una lista de códigos",
    }
}

fn range(low: Option<f64>, high: Option<f64>, region: &Region) -> String {
    match (low.map(|low| region.plain(low)), high.map(|high| region.plain(high))) {
        (Some(low), Some(high)) => format!("no está entre {low} y {high}"),
        (Some(low), None) => format!("no es {low} o más"),
        (None, Some(high)) => format!("no es {high} o menos"),
        (None, None) => "no es ningún número".into(),
    }
}

/// Why two files are not joined.
pub(super) fn unjoinable(why: Unjoinable) -> String {
    match why {
        Unjoinable::NoTable => {
            "uno de los dos no se puede separar en filas, o habría más de las que se leen".into()
        }
        Unjoinable::MarksDiffer => {
            "uno de los dos tiene coma decimal y el otro punto decimal. Guarde los dos de una manera".into()
        }
        Unjoinable::Ragged(row) => {
            format!("su fila {row} tiene otras celdas que su encabezado. Póngalas debajo de sus columnas")
        }
    }
}

/// What is wrong and what would be right.
pub(super) fn kind(kind: &ProblemKind, region: &Region) -> String {
    use ProblemKind as P;
    match kind {
        P::FileMissing => "Este archivo hace falta. Agréguelo.".into(),
        P::YieldsMissing => {
            "No hay rendimientos. Agregue means.csv, o plots.csv con parcelas sueltas.".into()
        }
        P::FileAbsent { ability: lost } => format!("No está: {}.", ability(*lost)),
        P::FileUnknown => "Ninguna red tiene un archivo con este nombre; no se lee.".into(),
        P::FileNeeded { needed } => format!("No sirve sin {needed}. Agregue ese archivo."),
        P::FileTooLarge { limit, .. } => {
            format!("Es mayor que los {} MB que se leen. Divídalo.", limit >> 20)
        }
        P::TooManyColumns { limit } => format!("Tiene más de {limit} columnas. Deje las que se usan."),
        P::TooManyCells { limit } => format!("Tiene más de {limit} celdas. Acórtelo."),
        P::CellTooLong { limit } => format!(
            "Una celda pasa de {} kB. Acórtela, o busque unas comillas que nunca se cierran.",
            limit >> 10
        ),
        P::NotUtf8 => "Sus letras no se pueden leer. Guárdelo como «CSV UTF-8».".into(),
        P::NotText { is } => format!(
            "Esto es {}, diga lo que diga su nombre. {} guarde cada hoja como «CSV UTF-8».",
            foreign(*is),
            match is {
                Foreign::Zip =>
                    "Descomprima el archivo y suelte los que lleva adentro; si es una planilla de cálculo,",
                _ => "Ábralo en una planilla de cálculo y",
            }
        ),
        P::QuoteNotClosed => "Una celda abre comillas que nunca se cierran. Ciérrelas.".into(),
        P::TextAfterQuote => {
            "Hay texto después de cerrar comillas. Duplique las comillas dentro de la celda.".into()
        }
        P::HeaderMissing => "El archivo está vacío. Su primera fila nombra las columnas.".into(),
        P::RowsMissing => "No hay filas debajo del encabezado. Agréguelas.".into(),
        P::ColumnMissing => {
            "Esta columna hace falta. Agréguela, o dele este nombre a una de las columnas del archivo.".into()
        }
        P::ColumnTwice => "Esta columna está dos veces. Quite una o cámbiele el nombre.".into(),
        P::ColumnUnknown => "Esta columna no se usa; no se lee.".into(),
        P::ColumnUnnamed { position } => format!("La columna {position} no tiene nombre; no se lee."),
        P::RowRagged { expected, found } => {
            format!("{found} celdas donde el encabezado tiene {expected}. Póngalas bajo sus columnas.")
        }
        P::Blank => "Vacía. Complétela, o quite la fila.".into(),
        P::NotANumber { text } => {
            format!("«{text}» no es un número. Escriba cifras, o déjelo en blanco si no se sabe.")
        }
        P::TwoReadings { text, value, other, .. } => format!(
            "{text} se lee como {} y no como {}. Diga arriba cuál es.",
            region.plain(*value),
            region.plain(*other)
        ),
        P::NotFinite { text } => {
            format!("«{text}» no es un número que se pueda usar. Corríjalo, o déjelo en blanco.")
        }
        P::BelowZero { text, unit } => {
            format!("{text} es menor que 0 {unit}. Corríjalo, o quite la fila.")
        }
        P::OutOfRange { text, low, high } => format!("{text} {}. Corríjalo.", range(*low, *high, region)),
        P::NotBetween { text, low, high } => {
            format!("{text} {}. Corríjalo.", range(Some(*low), Some(*high), region))
        }
        P::NotAboveZero { text } => {
            format!("{text} no es mayor que 0. Corríjalo, o déjelo en blanco si no se sabe.")
        }
        P::NotAYear { text, low, high } => {
            format!("«{text}» no es un año de {low} a {high}. Escriba el año de cosecha con cuatro cifras.")
        }
        P::NotAPressure { text } => format!(
            "«{text}» no es 0 (nada), 1 (leve), 2 (moderado) ni 3 (grave). Quite la fila si no se anotó."
        ),
        P::WordUnknown { text, allowed } => format!("«{text}» no es uno de estos: {}.", allowed.join(", ")),
        P::Duplicate { key, first_row } => {
            format!("{key} ya está en la fila {first_row}. Quite uno de los dos.")
        }
        P::CodesUnchecked { waiting } => {
            format!(
                "Los códigos de {} se revisan cuando este archivo se pueda leer hasta el final.",
                list(waiting)
            )
        }
        P::CodeUnknown { code: of, text, listed_in } => {
            format!("{} «{text}» no está en {listed_in}. Corrija el código, o agréguelo allí.", code(*of))
        }
        P::RatingOffScale { trait_, value, best, worst } => {
            let [value, best, worst] = [*value, *best, *worst].map(|number| region.plain(number));
            format!(
                "{value} está fuera de la escala de {trait_}, {best} lo mejor y {worst} lo peor. Corríjalo."
            )
        }
        P::ScaleFlat { value } => {
            format!("Lo mejor y lo peor son {}. Dé los dos extremos de la escala.", region.plain(*value))
        }
        P::TraitLikeLinkKey { text } => format!(
            "Una característica no se puede llamar «{text}»: los enlaces usan esa palabra. Cámbiele el nombre."
        ),
        P::SystemBlank => "Vacía, aunque otras filas nombran un sistema. Complétela.".into(),
        P::SystemMixed { with, without } => {
            format!("{with} nombra sistemas y {without} no. Nómbrelos en los dos o en ninguno.")
        }
        P::SystemWithoutTrials { system, rows } => {
            format!("No hubo ensayos en el sistema «{system}»; sus {rows} filas no se usan.")
        }
        // What concerns one trial, and what concerns `network.json`.
        P::TrialWithoutYields { trial } => format!(
            "El ensayo {trial} no tiene rendimientos. Agréguelos, o diga en «excluded» por qué no los hay."
        ),
        P::TrialOnlyInPlots { trial } => {
            format!("El ensayo {trial} no está en means.csv; sus medias se calculan con sus parcelas.")
        }
        P::VarietiesDiffer { trial, varieties } => format!(
            "El ensayo {trial} tiene {} en uno solo de means.csv y plots.csv. Corrija uno de los dos.",
            list(varieties)
        ),
        P::MeansDiffer { trial, variety, stated, from_plots, differing } => format!(
            "{variety} en el ensayo {trial}: aquí figura {} y sus parcelas dan {} (promedios del ensayo que difieren: {differing}). Se usan los promedios que figuran. Si las parcelas están bien, saque el ensayo de means.csv.",
            region.plain(*stated),
            region.plain(*from_plots)
        ),
        P::VarietyLost { trial, variety } => {
            format!("Todas las parcelas de {variety} en el ensayo {trial} están vacías; ahí no tiene media.")
        }
        P::TrialLost { trial } => format!(
            "Ninguna parcela del ensayo {trial} tiene rendimiento. Complételas, o diga en «excluded» por qué no lo hay."
        ),
        P::PlotsNotConnected { trial, first, other } => format!(
            "Las repeticiones {first} y {other} del ensayo {trial} no comparten ninguna variedad, ni a través de otras. Dele a una de ellas otro código de ensayo."
        ),
        P::TrialTooLarge { trial, varieties, reps, .. } => format!(
            "El ensayo {trial} tiene {varieties} variedades en {reps} repeticiones, más de las que se analizan. Revise los códigos."
        ),
        P::BlankAmongPlots { trial } => {
            format!("Vacía, aunque otras parcelas del ensayo {trial} la tienen. Complétela.")
        }
        P::BlocksLeftOut { trial } => format!(
            "Los bloques del ensayo {trial} no se distinguen de sus variedades o del error de parcela; se analiza sin ellos."
        ),
        P::VarietiesApart { trial, first, other } => format!(
            "Ninguna cadena de bloques une a {first} con {other} en el ensayo {trial}: su diferencia descansa en promedios de bloques enteros y se conoce peor."
        ),
        P::PlotOutlying(values) => format!(
            "Parcela de {} en el ensayo {}: {} queda {} {} de lo que las otras parcelas hacen prever ({} de sus desviaciones estándar; el azar da una tan lejos en {} de 100 ensayos así). Revísela; no se quitó nada.",
            values.variety,
            values.trial,
            region.plain(values.yield_),
            region.fixed(values.residual.abs(), 3),
            if values.residual < 0.0 { "por debajo" } else { "por encima" },
            region.fixed(values.studentised.abs(), 1),
            if values.p_value < 0.01 {
                "menos de 1".into()
            } else {
                format!("{:.0}", 100.0 * values.p_value)
            }
        ),
        P::UnlikeOthers { value, usual } => format!(
            "{} está lejos de los demás; el del medio es {}. Revise su unidad y su coma decimal.",
            region.plain(*value),
            region.plain(*usual)
        ),
        P::UnlikeUnit { middle, unit } => format!(
            "El rendimiento del medio es {} {unit}, lo que ningún grano rinde. Revise arriba la unidad de los rendimientos, y el signo decimal.",
            region.plain(*middle)
        ),
        P::CodesAlike { code: of, text, other, rows } => format!(
            "El código de {} «{text}» ({}) difiere de «{other}» solo en mayúsculas o espacios, y cuenta como otro. Si son uno, escríbalos igual en todas partes.",
            code(*of),
            count(*rows as u32, "fila", "filas")
        ),
        P::ErrorPooled { system, trials, first } => format!(
            "Ensayos del sistema «{system}» que no dicen el error de sus medias: {trials}, el primero es {first}. Toman el de los otros ensayos del sistema, en conjunto. Agregue error_ms, lsd o cv donde se sepa."
        ),
        P::TrialsApart { trials, trial, variety } => format!(
            "Ensayos que no comparten ninguna variedad con los demás, ni directamente ni a través de otras: {trials}, el primero es {trial}. Sus variedades, como {variety}, no se pueden comparar con las demás por ensayos. Siembre un testigo común, o haga de ellos una red aparte."
        ),
        P::ErrorSourcesDiffer { first, second, percent } => format!(
            "{} y {} difieren en {percent:.0} % en la varianza de una media; se usa {}. Revise los dos.",
            source(*first),
            source(*second),
            source(*first)
        ),
        P::LsdWithoutLevel => "Sin lsd_level no se usa la DMS. Agréguelo, por ejemplo 0.05.".into(),
        P::BushelUnknown => {
            "Sin el peso de un bushel, los rendimientos no se pueden mostrar en peso. Agréguelo.".into()
        }
        P::JsonSyntax { position, .. } => {
            format!(
                "Esto no es JSON en el carácter {position}. Corríjalo, o complete el formulario de arriba."
            )
        }
        P::KeyMissing => "Esto hace falta. Complételo arriba.".into(),
        P::KeyTwice => "Esto está dos veces. Quite uno.".into(),
        P::KeyUnknown => "Esto no se usa; no se lee.".into(),
        P::WrongType { expected } => format!("Esto debe ser {}. Corríjalo.", json_type(*expected)),
    }
}
