//! Spanish: shortlists, what changed since last year, the printed report.

use super::super::{Spanish, count, list, seasons, trials, varieties, years_of_twenty};
use crate::text::SettingWords;
use crate::text::figure::Units;
use crate::text::office::{Names, OfficeWords};
use crate::text::region::Region;
use crate::text::shared::few;
use leanyear_engine::decide::StandingState;
use leanyear_engine::link::{Order, WaterOutlook};
use leanyear_engine::office::compare::{Change, Position};
use leanyear_engine::office::report::Report;
use leanyear_engine::office::shortlist::{Reason, Rules};

fn order(order: Order) -> &'static str {
    match order {
        Order::Net => "lo que queda después de gastos (el rendimiento, donde no se da precio)",
        Order::WorstFifth => "el promedio de los 4 peores años de 20",
        Order::ChanceShort => "las menos veces que se pierde dinero",
    }
}

pub(super) fn rules(words: &Spanish, rules: &Rules) -> String {
    let since = match rules.since_last {
        0 => "en la última campaña".to_owned(),
        1 => "en la última campaña o la anterior".to_owned(),
        n => format!("en las últimas {} campañas", n + 1),
    };
    let ceilings = match rules.ceilings.len() {
        0 => String::new(),
        n => format!(", sin calificación que pase de {}", count(n as u32, "tope", "topes")),
    };
    let year = match rules.water {
        WaterOutlook::Any => "el año como venga".to_owned(),
        other => format!("el año {}", words.water_option(other)),
    };
    format!(
        "En la lista: como mucho {} con {} y {} en este sistema, ensayadas {since}{ceilings}; primero por {}, para {year}.",
        varieties(rules.most as u32),
        seasons(rules.seasons),
        trials(rules.trials),
        order(rules.order)
    )
}

pub(super) fn reason(region: &Region, reason: &Reason, names: &Names) -> String {
    match reason {
        Reason::Ranked { place } => format!("la {place}.ª de las bastante ensayadas"),
        Reason::BelowTheList { place, most } => {
            format!("la {place}.ª de las bastante ensayadas; en la lista caben {most}")
        }
        Reason::TooFewSeasons { has, needs } => format!("{} aquí, se piden {needs}", seasons(*has)),
        Reason::TooFewTrials { has, needs } => format!("{} aquí, se piden {needs}", trials(*has)),
        Reason::NeverHere => "nunca ensayada en este sistema".into(),
        Reason::NotLately { last } => format!("el último ensayo fue en {last}"),
        Reason::TestedApart => "ensayada aparte: no coincidió con las demás en ningún ensayo".into(),
        Reason::RatedTooPoor { trait_, value, poorest } => format!(
            "{}: calificación {}, y {} es lo peor que se admite",
            names.trait_(trait_),
            region.plain(*value),
            region.plain(*poorest)
        ),
    }
}

pub(super) fn change(change: &Change, names: &Names, units: &Units) -> Option<String> {
    let name = names.variety(&change.variety);
    let Some(now) = change.now else { return Some(format!("{name}: ya no está en los datos.")) };
    let Some(then) = change.then else {
        return Some(format!(
            "{name}: nueva en la lista, {}; la {}.ª de todas.",
            trials(change.new_trials),
            now.rank
        ));
    };
    let moved = then.rank != now.rank || then.marks_short != now.marks_short || then.state != now.state;
    moved.then(|| {
        let way = match now.rank.cmp(&then.rank) {
            std::cmp::Ordering::Less => format!("subió del {} al {}", then.rank, now.rank),
            std::cmp::Ordering::Greater => format!("bajó del {} al {}", then.rank, now.rank),
            std::cmp::Ordering::Equal => format!("sigue la {}.ª", now.rank),
        };
        format!("{name}: {way}{}{}{}.", because(change), odds(then, now), model(change, then, now, units))
    })
}

fn because(change: &Change) -> String {
    let new = count(change.new_trials, "ensayo nuevo", "ensayos nuevos");
    match (change.new_trials, change.new_dry_trials) {
        (0, _) => "; ningún ensayo nuevo propio".into(),
        (_, 0) => format!("; {new}, ninguno seco"),
        (_, dry) => format!("; {new}, {dry} de ellos en seco"),
    }
}

fn odds(then: Position, now: Position) -> String {
    let state = match (then.state == now.state, now.state) {
        (true, _) => "",
        (_, StandingState::WellTested) => "; ahora bien ensayada",
        (_, StandingState::New) => "; ahora cuenta como nueva",
        (_, StandingState::NoLongerTested) => "; ya no se ensaya",
    };
    let years = |position: Position| years_of_twenty(u32::from(position.marks_short));
    let short = |position: Position| if position.of_money { "pierde dinero" } else { "se queda corta" };
    let now_is = format!("{} en {}", short(now), years(now));
    if then.of_money != now.of_money {
        // What it was short of was something else: the two counts are not of one thing.
        return format!("; ahora {now_is}{state}");
    }
    match then.marks_short == now.marks_short {
        true => format!("; {now_is}, como antes{state}"),
        false => format!("; ahora {now_is}, antes en {}{state}", years(then)),
    }
}

/// The part that a newer model has, where it is not nothing.
fn model(change: &Change, then: Position, now: Position, units: &Units) -> String {
    let Some(refitted) = change.refitted else { return String::new() };
    let by_model = refitted.rank as i64 - then.rank as i64;
    let all = now.rank as i64 - then.rank as i64;
    let shift = refitted.expected - then.expected;
    match (by_model, all) {
        (0, _) if shift.abs() < 1e-9 => String::new(),
        (0, _) => {
            let sign = if shift < 0.0 { "\u{2212}" } else { "+" };
            format!(
                "; de su promedio, {sign}{} es obra del modelo más nuevo",
                units.yield_difference(shift.abs())
            )
        }
        (part, whole) if part == whole => {
            "; todo es obra del modelo más nuevo, con los datos del año pasado solos".into()
        }
        (part, _) => format!(
            "; el modelo más nuevo solo, con los datos del año pasado, la {} {}",
            if part < 0 { "sube" } else { "baja" },
            count(part.unsigned_abs() as u32, "lugar", "lugares")
        ),
    }
}

pub(super) fn method(words: &Spanish, report: &Report, names: &Names) -> String {
    let error = match report.error_known {
        true => "el cuadrado medio del error de cada ensayo, acercado al promedio",
        false => "una sola varianza residual, ya que los ensayos no informan su propio error",
    };
    let rules = words.rules(&report.rules);
    let (losses, diseased) = match report.losses_known {
        true => (
            "; lo que quitan las enfermedades, según lo publicado y lo que enseñan los ensayos",
            " y las enfermedades que tuvieron estos ensayos",
        ),
        false => ("", ""),
    };
    let own = match report.water_known {
        true => "variedades, su respuesta al agua y cómo les va",
        false => "variedades y cómo les va",
    };
    let suit = if report.systems > 1 { "cada sitio, campaña y sistema" } else { "cada sitio y campaña" };
    let trend = if report.trend_known { "; una tendencia por año de liberación" } else { "" };
    let trial = match (report.systems > 1, report.water_known) {
        (true, true) => "el ensayo promedio de este sistema, con agua intermedia",
        (true, false) => "el ensayo promedio de este sistema",
        (false, true) => "el ensayo promedio, con agua intermedia",
        (false, false) => "el ensayo promedio",
    };
    let met = match report.all_joined {
        true => {
            "variedades que no coincidieron en ningún ensayo se comparan por medio de aquellas con las que ambas coincidieron"
        }
        false => {
            "variedades que no coincidieron en ningún ensayo se comparan por medio de aquellas con las que ambas coincidieron, y las marcadas «ensayada aparte» no se comparan con las demás"
        }
    };
    format!(
        "Las medias ajustadas son las mejores predicciones lineales insesgadas (BLUP) de un modelo mixto sobre todos los ensayos y campañas: ensayos fijos; {own} {suit}, aleatorios{trend}{losses}; varianzas por máxima verosimilitud restringida con previas débiles según proporciones publicadas, y {error}. Están al nivel de {} en {trial}{diseased}, así que {met}; una variedad con pocos ensayos se acerca al promedio. Los años en que se queda corta son de 20 como pueden venir, con el precio, los gastos y el rendimiento usual de la red. {rules} Las recomendaciones son del agrónomo y no entran en ningún número.",
        list(&few(&names.varieties(&report.reference), |n| format!("{n} más")))
    )
}
