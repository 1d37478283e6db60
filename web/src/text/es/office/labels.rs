//! Spanish: the short fixed words of the office, and its technical words explained.

use crate::text::office::{Desk, Term};

/// The way from last year's spreadsheets to a page.
pub(super) const GUIDE: [&str; 7] = [
    "Guarde cada hoja como «CSV UTF-8»: una fila por ensayo (trials.csv), y una fila por variedad y ensayo (means.csv) o una fila por parcela (plots.csv). Los archivos en blanco muestran los nombres de las columnas; cualquier otro archivo agrega algo y puede esperar. Un archivo por campaña también sirve: se juntan.",
    "Suelte los archivos abajo. Dele a la red un nombre y una unidad de rendimiento.",
    "Corrija lo que aparece en la lista: cada problema tiene su fila, y la fila se puede cambiar ahí mismo.",
    "Mire los ensayos. Deje afuera los que arruinó el granizo o una mala nascencia; los secos no son los malos.",
    "Ajuste: un segundo o unos pocos.",
    "Lea las listas cortas, y escriba su palabra donde no coincida con las reglas.",
    "Guarde la página, ábrala y repártala: como archivo, o como site.zip para un servidor web.",
];

/// One plain sentence for a technical word.
pub(super) fn term(term: Term) -> &'static str {
    match term {
        Term::Cv => {
            "CV, el coeficiente de variación: la dispersión de las parcelas en por ciento de la media del ensayo; sube donde los rendimientos son bajos, aunque el ensayo no sea peor."
        }
        Term::ErrorMeanSquare => {
            "Cuadrado medio del error: cuánto se dispersan las parcelas de una misma variedad dentro de un ensayo, al cuadrado; casi no depende del rendimiento."
        }
        Term::Sed => {
            "EED, el error estándar de una diferencia: cuánto se apartan dos medias del ensayo por puro azar."
        }
        Term::Water => {
            "Agua: la que el cultivo pudo usar, guardada, de lluvia y de riego; en cursiva donde el ensayo está en el tercio más seco de su sistema."
        }
        Term::Group => {
            "Grupo: los ensayos que comparten variedades, directamente o a través de otras, se pueden comparar; otro número quiere decir que no."
        }
        Term::Outlying => {
            "Una media que se aparta es la que, según todo lo demás de la red, debió ser muy distinta."
        }
        Term::Variance => {
            "Varianza: cuánto varía algo, como parte de todo lo que hace distintas dos medias de un mismo ensayo."
        }
        Term::Residual => {
            "Un residuo es lo que el ajuste no explica, en unidades de lo que debería ser: los cuadrados promedian cerca de 1 donde todo está bien, 2 o más merece una mirada."
        }
        Term::Influence => {
            "Se deja afuera un ensayo por vez, con las varianzas del ajuste entero, para ver cuánto depende de él la cabeza de la lista."
        }
        Term::Fit => {
            "El ajuste averigua cuánto de las diferencias es variedad, agua, sitio, campaña y azar, y con eso cuánto vale cada variedad."
        }
        Term::Blup => "BLUP: una media acercada al promedio, tanto más cuantos menos ensayos la respaldan.",
        Term::Lsd => "DMS: dos medias más cercanas que esto no se distinguen, con 95 % de confianza.",
    }
}

pub(super) fn desk(label: Desk) -> &'static str {
    files(label).or_else(|| looks(label)).or_else(|| lists(label)).unwrap_or_default()
}

fn files(label: Desk) -> Option<&'static str> {
    use Desk as D;
    Some(match label {
        D::Open => "Para agrónomos: ponga sus propios ensayos en esta página",
        D::Title => "Su propia red",
        D::Intro => {
            "De sus archivos a una página para repartir. Nada sale de esta computadora; no hay que instalar nada."
        }
        D::GuideHeading => "De las planillas del año pasado a una página en diez minutos",
        D::GuideDemo => "Para verla trabajar primero, empiece con la red de esta página.",
        D::Hosts => {
            "Para site.zip sirve cualquier servidor web que entregue archivos simples por https: descomprímalo en una carpeta. Después pruébelo como un productor: ábralo una vez en un teléfono, pase a modo avión, ciérrelo y ábralo otra vez."
        }
        D::Back => "Volver a todas las variedades",
        D::FilesHeading => "1. Archivos",
        D::FilesChoose => "elegir archivos",
        D::FilesDrop => {
            "o suelte archivos o una carpeta en cualquier parte de aquí: CSV como los escribe una planilla, cualquiera de ellos, en cualquier orden. La página o el paquete de datos del año pasado pueden venir con ellos."
        }
        D::JoinRows => "poner sus filas detrás de las que hay",
        D::UseInstead => "usarlo en su lugar",
        D::Templates => "guardar archivos en blanco con cada columna explicada",
        D::OpenThis => "empezar con la red de esta página",
        D::OpenLast => "empezar con la red del año pasado",
        D::Clear => "quitar todo esto",
        D::ClearHint => "Olvida los archivos, respuestas y reglas, aquí y en este aparato.",
        D::Kept => {
            "Guardado en este aparato hasta que lo quite. En un archivo abierto desde una carpeta, otras páginas de esta computadora podrían leerlo."
        }
        D::KeptElsewhere => {
            "Sin guardar en este aparato: otra pestaña guardó su red desde entonces. Guarde los archivos aquí, o vuelva a cargar esta página para seguir con la de la otra pestaña."
        }
        D::NotKept => {
            "Sin guardar en este aparato: este navegador no guarda nada aquí. Guarde los archivos antes de cerrar la página."
        }
        D::Remove => "sacar",
        D::NameHeading => "2. La red",
        D::NameIntro => "Lo que la página dice de sí misma. Nombre y unidad de rendimiento hacen falta.",
        D::WhichFile => "Es",
        D::NotUsed => "no se usa",
        D::Explain => "Para qué es cada archivo y cada columna",
        D::Needed => "hace falta",
        D::ProblemsHeading => "3. Por corregir",
        D::NoProblems => "Nada por corregir.",
        D::Reading => "Leyendo…",
        D::ReadFailed => {
            "Los archivos no se pudieron leer en este aparato. Pruebe con menos, o con otro navegador."
        }
        D::Jump => "corregirlo",
        D::FixHeading => "Cambie lo que está mal; el resto del archivo queda como está.",
        D::FixDone => "volver a ponerla",
        D::FixRemove => "quitar esta fila",
        D::FixLeave => "dejarla como estaba",
        D::WarningsHeading => "Conviene saberlo; no detiene nada",
        D::NotesHeading => "Cómo están escritos sus archivos",
        _ => return None,
    })
}

fn looks(label: Desk) -> Option<&'static str> {
    use Desk as D;
    Some(match label {
        D::LookHeading => "4. Mirar los ensayos",
        D::LookIntro => {
            "Deje afuera un ensayo solo por lo que le pasó, nunca solo por sus números. Lo que deje afuera aparece en la página con su motivo."
        }
        D::Trial => "ensayo",
        D::Entries => "entradas",
        D::Mean => "media",
        D::Cv => "CV %",
        D::ErrorMs => "cuadrado medio del error",
        D::Sed => "EED",
        D::Water => "agua",
        D::Disease => "enfermedad",
        D::Group => "grupo",
        D::Counts => "cuenta",
        D::CountsYes => "sí",
        D::ExcludeDrought => "no: perdido por sequía",
        D::ExcludeHail => "no: granizo",
        D::ExcludeStand => "no: mala nascencia",
        D::ExcludeOther => "no: otro motivo",
        D::Words => "Qué quieren decir las palabras",
        D::FitHeading => "5. Ajustar",
        D::FitIntro => "Tarda un segundo o unos pocos, fuera de la pantalla; mientras tanto puede seguir.",
        D::FitButton => "ajustar",
        D::FitAgain => "ajustar otra vez",
        D::Fitting => "Ajustando…",
        D::Stop => "parar",
        D::Stopped => "Parado. No se cambió nada.",
        D::Stale => "Los archivos cambiaron después de este ajuste.",
        D::SharesHeading => "De dónde vienen las diferencias",
        D::SharesPicture => "Partes de la varianza de una diferencia entre dos medias",
        D::LeftOutHeading => "Lo que quedó afuera o se supuso",
        D::OutlyingHeading => "Medias que se apartan",
        D::NoOutlying => "Ninguna media se aparta de las demás.",
        D::ResidualsHeading => "Lo que el ajuste deja sin explicar",
        D::ResidualTrials => "Ensayos",
        D::ResidualVarieties => "Variedades",
        D::InfluenceHeading => "De qué depende la cabeza de la lista",
        D::InfluenceRunning => "Dejando afuera un ensayo tras otro…",
        D::InfluenceTooLarge => "Hay demasiados ensayos para dejarlos afuera aquí de a uno.",
        D::MovedHeading => "Qué se movió desde el ajuste anterior",
        D::NothingMoved => "Ninguna variedad cambió de lugar.",
        D::MovedLater => "Ajuste una vez, y lo que mueve un ensayo se dice aquí enseguida.",
        D::TrackHeading => "Cuántas veces acertó",
        D::TrackButton => "calcular las campañas pasadas con las anteriores",
        D::TrackRunning => "Repasando las campañas pasadas…",
        D::TrackFailed => "Hay muy pocas campañas para comprobarlo, o se paró la comprobación.",
        _ => return None,
    })
}

fn lists(label: Desk) -> Option<&'static str> {
    use Desk as D;
    Some(match label {
        D::ListHeading => "6. Listas cortas",
        D::Sideways => "La tabla sigue a la derecha: deslícela.",
        D::ListIntro => {
            "Las reglas deciden dónde queda una variedad; su palabra, donde la da, decide lo que se reparte. Se muestra al lado de los números y no cambia ninguno."
        }
        D::Variety => "variedad",
        D::Place => "lugar",
        D::Average => "promedio",
        D::Years => "de 20 años, corta en",
        D::Stands => "queda",
        D::Why => "por qué",
        D::YourWord => "su palabra",
        D::WordHeading => "Su palabra sobre",
        D::WordNote => "nota para los productores",
        D::WordBy => "de",
        D::WordDate => "fecha",
        D::WordWrite => "escribir",
        D::WordChange => "cambiar",
        D::WordNone => "que lo digan las reglas",
        D::WordSave => "anotarla",
        D::WordLeave => "dejarla como estaba",
        D::RulesHeading => "Cambiar las reglas",
        D::RuleSeasons => "mínimo de campañas en este sistema",
        D::RuleTrials => "mínimo de ensayos en este sistema",
        D::RuleSince => "máximo de campañas desde su último ensayo",
        D::RuleMost => "máximo de variedades en la lista",
        D::RuleOrder => "primero va la que",
        D::RuleWater => "para el año",
        D::RuleCeiling => "la peor calificación que se admite",
        D::RuleNoCeiling => "cualquiera",
        D::ChangesHeading => "Desde el año pasado",
        D::ChangesIntro => {
            "Suelte la página o el paquete de datos del año pasado entre los archivos para ver qué cambió, y qué parte es obra del modelo más nuevo."
        }
        D::ChangesRunning => "Ajustando los datos del año pasado con el modelo de hoy…",
        D::OffHeading => "Las de fuera de la lista",
        D::ChangesFailed => {
            "Los datos del año pasado no dieron respuesta: se cambiaron a mano, están dañados, o se detuvo."
        }
        D::ChangesNone => "No cambió nada.",
        D::ReportHeading => "Informe impreso",
        D::ReportButton => "armar el informe",
        D::ReportPrint => "imprimirlo",
        D::ReportRunning => "Armándolo…",
        D::Adjusted => "media ajustada",
        D::SeasonsTrials => "ensayada",
        D::MethodHeading => "Método",
        D::LeftOutTrials => "Ensayos dejados afuera",
        D::SaveHeading => "7. Guardar",
        D::SaveIntro => {
            "La página se hace con las partes de esta misma página y su red adentro. Se abre en cualquier lado, y puede preparar la siguiente."
        }
        D::SavePage => "guardar la página",
        D::SaveSite => "guardar site.zip para un servidor web",
        D::SavePack => "guardar el paquete de datos para el año que viene",
        D::SaveFolder => "guardar los archivos como están ahora",
        D::Saving => "Armándolo…",
        D::SaveFirst => "Ajuste primero; después se puede guardar la página.",
        _ => return None,
    })
}
