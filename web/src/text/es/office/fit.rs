//! Spanish: what a fit found.

use super::super::{Spanish, count, list, varieties};
use crate::text::SettingWords;
use crate::text::figure::Units;
use crate::text::office::Names;
use crate::text::region::Region;
use crate::text::shared::capitalised;
use leanyear_engine::forecast::form::FittedForm;
use leanyear_engine::mixed::network::{Dropped, FitError, SLOPE_OF, Why};
use leanyear_engine::mixed::optimise::OptimiseError;
use leanyear_engine::office::influence::Influence;
use leanyear_engine::office::outlying::OutlyingMean;
use leanyear_engine::office::residuals::Spread;
use leanyear_engine::office::shares::{Part, Shares, Source};

fn on_ground(words: &Spanish, system: &str, several: bool) -> String {
    if several { format!("En {}, ", words.system(system)) } else { String::new() }
}

fn percent(share: f64) -> String {
    match (100.0 * share).round() {
        p if p < 1.0 => "menos del 1 %".into(),
        p => format!("{p} %"),
    }
}

fn source(source: Source, error_known: bool) -> &'static str {
    match source {
        Source::Variety => "la variedad misma",
        Source::Water => "su propia respuesta al agua",
        Source::Site => "cómo le va el sitio",
        Source::Season => "cómo le va la campaña",
        Source::System => "cómo le va el sistema",
        Source::Trial if error_known => "cómo le va ese ensayo",
        Source::Trial => "ese ensayo y el error de parcela juntos",
        Source::PlotError => "error de parcela",
    }
}

/// The engine's reasons in Spanish; one that is not among them stands as it came.
pub(super) fn failed(why: &str) -> String {
    let known = [
        (FitError::NoRows, "no queda ningún ensayo con promedios; mire si están todos excluidos"),
        (
            FitError::OneTrial,
            "hay un solo ensayo ajustado; hacen falta al menos dos para distinguir la variedad de la suerte",
        ),
        (
            FitError::OneVariety,
            "hay una sola variedad en los ensayos; hacen falta al menos dos para comparar",
        ),
        (
            FitError::Optimise(OptimiseError::NoVariation),
            "todos los rendimientos son iguales dentro de sus ensayos, y así no se puede estimar ninguna varianza",
        ),
        (
            FitError::Optimise(OptimiseError::NoFreedom),
            "no hay más promedios que ensayos, y así no se puede estimar ninguna varianza",
        ),
    ];
    let own = known.iter().find(|(error, _)| error.to_string() == why).map(|(_, words)| *words);
    let reason = if why.is_empty() { String::new() } else { format!(": {}", own.unwrap_or(why)) };
    format!("Estos ensayos no se pudieron ajustar{reason}.")
}

fn assumed(part: &Part) -> &'static str {
    if part.assumed { ", supuesto" } else { "" }
}

pub(super) fn part(part: &Part, error_known: bool) -> String {
    format!("{}: {}{}", source(part.source, error_known), percent(part.share), assumed(part))
}

pub(super) fn shares(words: &Spanish, shares: &Shares, several: bool, units: &Units) -> String {
    let mut parts: Vec<&Part> = shares.parts.iter().collect();
    leanyear_engine::order::sort_by(&mut parts, |a, b| b.share.total_cmp(&a.share));
    let said: Vec<String> = parts
        .iter()
        .map(|part| {
            let name = source(part.source, shares.error_known);
            format!("{name} ({}{})", percent(part.share), assumed(part))
        })
        .collect();
    let own = shares.parts.iter().find(|part| part.source == Source::Variety);
    let sd = own.map_or(String::new(), |part| {
        format!(
            " Entre las variedades mismas, la desviación estándar es {}.",
            units.yield_difference(part.sd)
        )
    });
    let lead = on_ground(words, &shares.system, several);
    capitalised(&format!(
        "{lead}lo que hace distintas dos medias de un mismo ensayo se reparte así: {}.{sd}",
        list(&said)
    ))
}

pub(super) fn outlying(mean: &OutlyingMean, names: &Names, units: &Units) -> String {
    let side = if mean.standardised < 0.0 { "por debajo" } else { "por encima" };
    let chance = match mean.p_value {
        p if p < 0.001 => "menos de 1 de cada 1000".into(),
        p => format!("{:.0} de cada 1000", 1000.0 * p),
    };
    let others = match mean.other_trials {
        1 => "su otro ensayo".to_owned(),
        n => format!("sus otros {n} ensayos"),
    };
    format!(
        "{} en el ensayo {} rindió {}; {others} y {} de al lado hacen prever {}. Son {} desviaciones estándar {side}; el azar da una tan lejos en {chance} redes así. Revísela: un error al anotar, una parcela inundada o comida, un código cambiado. No se quitó nada.",
        names.variety(&mean.variety),
        mean.trial,
        units.yield_difference(mean.yield_),
        varieties(mean.other_varieties as u32),
        units.yield_difference(mean.foretold),
        units.fixed(mean.standardised.abs(), 1),
    )
}

const OWN_RESPONSE: &str = "La respuesta de cada variedad al agua";

fn term(term: &str) -> &str {
    match term {
        "water" | "variety*water" => OWN_RESPONSE,
        "variety:site" => "Cómo le va a cada variedad el sitio",
        "variety:season" => "Cómo le va a cada variedad la campaña",
        "variety:system" => "Cómo le va a cada variedad el sistema",
        "variety" => "La variedad misma",
        "entry" => "La tendencia según el año de ingreso",
        other => other,
    }
}

fn why(why: Why) -> &'static str {
    match why {
        Why::OneLevel => "hay uno solo",
        Why::NeverRepeated => {
            "ninguna variedad tiene dos ensayos en uno, así que no se distingue de lo demás"
        }
        Why::OneLevelEach => "cada variedad estuvo en uno solo, así que no se distingue de la variedad misma",
        Why::SameGrouping => "agrupa los ensayos igual que otro término",
        Why::TooLittleWater => {
            "menos de cinco ensayos tienen el agua conocida, o varía menos de una décima de su media. Un año seco baja a todas por igual"
        }
        Why::NoDisease => "ninguna enfermedad ni plaga tiene pérdida grave, escala y variedades calificadas",
        Why::TooLittlePressure => "se vio con menos de dos intensidades, o en menos de cuatro ensayos",
        Why::Collinear => "los ensayos ya lo dicen",
        Why::NothingLeft => "los demás términos no le dejan nada",
    }
}

pub(super) fn left_out(
    words: &Spanish,
    dropped: &[Dropped],
    form: &FittedForm,
    names: &Names,
) -> Vec<String> {
    let line = |drop: &Dropped| match drop.term.starts_with("variety:") {
        true => format!(
            "{}: aquí no se puede estimar, {}. Se supone lo usual en ensayos.",
            term(&drop.term),
            why(drop.why)
        ),
        false => match drop.term.strip_prefix(SLOPE_OF) {
            Some(system) => {
                format!("{}, en {}: queda afuera, {}.", OWN_RESPONSE, words.system(system), why(drop.why))
            }
            None => format!("{}: queda afuera, {}.", term(&drop.term), why(drop.why)),
        },
    };
    let mut lines: Vec<String> = dropped.iter().map(line).collect();
    let wider = match form.kappa {
        0.0 => "igual de amplias en los ensayos malos y en los buenos",
        k if k < 1.0 => "más amplias en los ensayos mejores, según la raíz cuadrada del nivel",
        _ => "más amplias en los ensayos mejores, en proporción al nivel",
    };
    lines.push(format!("Las diferencias entre variedades se toman {wider}, como prefieren los datos."));
    for loss in &form.losses {
        let name = names.trait_(&loss.trait_);
        let (published, estimate) = (100.0 * loss.published.0, 100.0 * loss.estimate);
        lines.push(match loss.learnt {
            true => format!("Lo que quita un ataque grave de {name}: {published:.0} % según lo publicado, {estimate:.0} % después de sus ensayos."),
            false => format!("Lo que quita un ataque grave de {name} se supone según lo publicado, {published:.0} %: sus ensayos la vieron muy poco para decirlo."),
        });
    }
    lines
}

pub(super) fn spread(region: &Region, name: &str, spread: &Spread) -> String {
    format!(
        "{name}: {} en {}, la más lejana {} {}",
        region.fixed(spread.mean_square, 1),
        count(spread.n as u32, "media", "medias"),
        region.fixed(spread.largest.abs(), 1),
        if spread.largest < 0.0 { "por debajo" } else { "por encima" }
    )
}

pub(super) fn influence(
    words: &Spanish,
    influence: &Influence,
    several: bool,
    names: &Names,
    units: &Units,
) -> String {
    let head = list(&names.varieties(&influence.head));
    let missing = |from: &[String], other: &[String]| {
        let codes: Vec<String> = from.iter().filter(|code| !other.contains(code)).cloned().collect();
        names.varieties(&codes)
    };
    let gone = missing(&influence.head, &influence.head_without);
    let come = missing(&influence.head_without, &influence.head);
    let change = match gone.is_empty() {
        true => "quedan las mismas cinco".to_owned(),
        false => format!("en lugar de {} entraría {}", list(&gone), list(&come)),
    };
    capitalised(&format!(
        "{}las cinco medias ajustadas más altas son las de {head}. Dependen sobre todo del ensayo {}: sin él {change}, y una de las cinco se movería {}.",
        on_ground(words, &influence.system, several),
        influence.trial,
        units.yield_difference(influence.largest_move)
    ))
}
