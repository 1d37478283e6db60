//! Spanish: the field sentence, its sheets, units.

use super::{SYSTEMS, Spanish, count, labels, twenty_years};
use crate::derive::NeedCount;
use crate::number::{NumberProblem, Quantity};
use crate::state::Sheet;
use crate::text::figure::Units;
use crate::text::region::Region;
use crate::text::shared::percent;
use crate::text::{Field, Label, Need, Piece, SettingWords, Short};
use leanyear_engine::decide::{ClimateSource, OutlookSummary};
use leanyear_engine::forecast::form::FittedLoss;
use leanyear_engine::link::{Order, Pressures, WaterOutlook};
use leanyear_engine::pack::{TraitKind, WaterUnit, YieldUnit};
use leanyear_engine::season::climate::BaseRate;

impl Spanish {
    /// A number that can be read in two ways.
    pub(super) fn two_readings(&self, a: f64, b: f64) -> String {
        format!("Se puede leer de dos maneras: escriba {} o {}.", self.0.typed(a), self.0.typed(b))
    }
}

impl SettingWords for Spanish {
    fn lang(&self) -> &'static str {
        "es"
    }

    fn region(&self) -> &Region {
        &self.0
    }

    fn label(&self, label: Label) -> &'static str {
        labels::label(label)
    }

    fn yield_unit(&self, unit: YieldUnit) -> &'static str {
        unit.symbol()
    }

    fn water_unit(&self, unit: WaterUnit) -> &'static str {
        match unit {
            WaterUnit::Millimetre => "mm",
            WaterUnit::Inch => "pulg",
        }
    }

    fn system(&self, code: &str) -> String {
        let known = SYSTEMS.iter().find(|(known, _)| *known == code);
        known.map_or_else(|| code.replace(['-', '_'], " "), |(_, name)| (*name).to_owned())
    }

    fn price_per(&self, unit: YieldUnit) -> &'static str {
        match unit {
            YieldUnit::BushelPerAcre => "por bushel",
            YieldUnit::PoundPerAcre => "por 100 libras",
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => "por tonelada",
        }
    }

    fn area_per(&self, unit: YieldUnit) -> &'static str {
        match unit {
            YieldUnit::BushelPerAcre | YieldUnit::PoundPerAcre => "por acre",
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => "por hectárea",
        }
    }

    fn sentence(&self, field: &Field, units: &Units) -> Vec<Piece> {
        self.field_sentence(field, units)
    }

    fn years_line(&self, water: WaterOutlook) -> String {
        let years = twenty_years(water);
        format!("{years}, igual de probables: ni pasados ni pronosticados.")
    }

    fn key_short(&self, short: Short, units: &Units) -> String {
        match short {
            Short::Money => "pierde dinero".into(),
            Short::Below(target) => format!("menos de {}", units.yield_amount(target)),
        }
    }

    fn key_fine(&self, short: Short, units: &Units) -> String {
        match short {
            Short::Money => "se paga".into(),
            Short::Below(target) => format!("{} o más", units.yield_amount(target)),
        }
    }

    fn sheet_title(&self, sheet: Sheet, units: &Units) -> String {
        match sheet {
            Sheet::System => "¿Cómo se trabaja el terreno?".into(),
            Sheet::Site => "¿Qué sitio de ensayo queda más cerca?".into(),
            Sheet::Usual => "¿Cuánto suele sacar ahí?".into(),
            Sheet::Mine => "¿Qué variedad siembra hoy?".into(),
            Sheet::Water => "Suponga que el año sale…".into(),
            Sheet::Diseases => "Suponga que enfermedades y plagas atacan…".into(),
            Sheet::Price => format!("¿Cuánto le pagan {}?", self.price_per(units.yield_unit)),
            Sheet::Cost => format!("¿Cuánto gasta {}?", self.area_per(units.yield_unit)),
            Sheet::Order => "Muestre primero la que…".into(),
            Sheet::Find => "Buscar una variedad".into(),
            Sheet::Needs => "Debe…".into(),
            Sheet::Units => "Contar en…".into(),
            Sheet::Grazing => "¿La pastorea el ganado?".into(),
            Sheet::Docks => "¿Cuánto le descuentan por la calidad?".into(),
            Sheet::Beside => "Poner lado a lado".into(),
            Sheet::Sown => "Dar superficie a…".into(),
        }
    }

    fn sheet_hint(&self, sheet: Sheet, seed_apart: bool, units: &Units) -> String {
        match sheet {
            Sheet::System => {
                "Lo que una variedad hizo en otro sistema cuenta menos, y nunca como ensayo en este.".into()
            }
            Sheet::Site => {
                "De él salen el registro de agua de los años y los ensayos locales, que son los que más cuentan."
                    .into()
            }
            Sheet::Usual => {
                "Su promedio en este terreno en las últimas diez cosechas, con las perdidas contadas como 0.".into()
            }
            Sheet::Mine => "Queda arriba de la lista, y todas las demás se comparan con ella.".into(),
            Sheet::Water => {
                "Agua es la que el cultivo pudo usar: la guardada en el suelo, la lluvia y el riego.".into()
            }
            Sheet::Diseases => {
                "Si se dejan como vengan, cada año trae lo que trajeron las campañas con agua parecida en estos ensayos."
                    .into()
            }
            Sheet::Price => "Lo que cuenta con recibir donde entrega el grano, ya con los descuentos.".into(),
            Sheet::Cost => format!(
                "Todo lo que gasta {} en este cultivo, rinda lo que rinda: {}fertilizante, tratamientos, combustible, labores contratadas, seguro; también el arriendo y su propio tiempo si el cultivo tiene que pagarlos.{}",
                self.area_per(units.yield_unit),
                if seed_apart { "" } else { "semilla, " },
                if seed_apart { " La semilla no: su precio se suma variedad por variedad." } else { "" }
            ),
            Sheet::Needs => {
                "Toque todo lo que debe cumplir. La variedad que no cumple baja de una raya, con el motivo; ninguna desaparece.".into()
            }
            Sheet::Docks => format!(
                "Vacío hasta que lo llene con la tabla de descuentos de quien le compra: por debajo de cada límite, tanto menos {} (si pagan más: \u{2212}). Cuenta el límite más bajo que el grano no alcanza. Una variedad sin calificar cuenta como el promedio de las otras.",
                self.price_per(units.yield_unit)
            ),
            Sheet::Beside => "De dos a cuatro.".into(),
            Sheet::Order | Sheet::Find | Sheet::Units | Sheet::Grazing | Sheet::Sown => String::new(),
        }
    }

    fn number_problem(&self, quantity: Quantity, problem: NumberProblem, units: &Units) -> String {
        let (example, unit) = match (quantity, units.yield_unit) {
            (Quantity::Usual, YieldUnit::BushelPerAcre) => (32.0, self.yield_unit(units.yield_unit)),
            (Quantity::Usual, YieldUnit::TonnePerHectare) => (2.1, self.yield_unit(units.yield_unit)),
            (Quantity::Usual, _) => (2100.0, self.yield_unit(units.yield_unit)),
            (Quantity::Price, unit) => {
                (if unit == YieldUnit::BushelPerAcre { 5.8 } else { 210.0 }, self.price_per(unit))
            }
            (Quantity::Cost, unit) => (165.0, self.area_per(unit)),
        };
        match problem {
            NumberProblem::Blank => "Escriba un número, o elija la línea de abajo.".into(),
            NumberProblem::NotANumber | NumberProblem::Taken(_) => {
                format!("Escriba solo cifras, por ejemplo {} ({unit}).", units.plain(example))
            }
            NumberProblem::TwoReadings(a, b) => self.two_readings(a, b),
            NumberProblem::TooSmall(least) => format!("Escriba {} o más ({unit}).", units.plain(least)),
            NumberProblem::TooLarge(greatest) => {
                format!("Escriba {} o menos ({unit}).", units.plain(greatest))
            }
        }
    }

    fn pressure(&self, pressure: Option<Pressures>) -> &'static str {
        match pressure {
            None => "como venga",
            Some(Pressures::None) => "nada",
            Some(Pressures::Light) => "leve",
            Some(Pressures::Moderate) => "moderado",
            Some(Pressures::Severe) => "grave",
        }
    }

    fn takes(&self, loss: &FittedLoss) -> String {
        let takes = format!(
            "Un ataque grave le quita cerca del {} % a una variedad sin resistencia",
            percent(loss.estimate)
        );
        match loss.learnt {
            true => format!("{takes} (según estos ensayos; publicado: {} %).", percent(loss.published.0)),
            false => format!("{takes} (según lo publicado: hay muy pocos ensayos aquí para saberlo)."),
        }
    }

    fn disease_caution(&self) -> &'static str {
        "Las calificaciones pueden fallar ante una raza nueva, y algunas resistencias en un otoño cálido tras una siembra temprana. Antes de aplicar nada: siga la etiqueta, respete los plazos hasta la cosecha y el pastoreo, y consulte a un asesor autorizado."
    }

    fn water_option(&self, water: WaterOutlook) -> String {
        match water {
            WaterOutlook::Any => "como venga: todos los años por igual".into(),
            WaterOutlook::DriestFifth => "muy seco: el quinto más seco".into(),
            WaterOutlook::Dry => "seco: el tercio más seco".into(),
            WaterOutlook::Middle => "intermedio: el tercio del medio".into(),
            WaterOutlook::Wet => "húmedo: el tercio más húmedo".into(),
            WaterOutlook::Like(year) => format!("como {year}"),
            WaterOutlook::Thirds(dry, middle, wet) => {
                let leaning = match dry.cmp(&wet) {
                    std::cmp::Ordering::Equal => "sin inclinarse",
                    std::cmp::Ordering::Greater => "se inclina a seco",
                    std::cmp::Ordering::Less => "se inclina a húmedo",
                };
                format!("{leaning}: {dry} seco, {middle} intermedio, {wet} húmedo")
            }
        }
    }

    fn base_rate(&self, water: WaterOutlook, rate: &BaseRate, units: &Units) -> Option<String> {
        let (low, high) = rate.water_range?;
        let (low, high, unit) = (units.water_number(low), units.water_number(high), units.water_unit());
        let range = match low == high {
            true => format!("{low}\u{a0}{unit}"),
            false => format!("de\u{a0}{low}\u{a0}a\u{a0}{high}\u{a0}{unit}"),
        };
        let (inside, all) = (rate.seasons_like_this, rate.seasons_in_record);
        let were = |how: &str| format!("{inside} de {all} años aquí fueron {how}");
        let rate = match water {
            WaterOutlook::Any | WaterOutlook::Thirds(..) => {
                format!("{} en el registro de aquí", count(all, "año", "años"))
            }
            WaterOutlook::DriestFifth | WaterOutlook::Dry => were("así de secos"),
            WaterOutlook::Middle => were("así"),
            WaterOutlook::Wet => were("así de húmedos"),
            WaterOutlook::Like(_) => format!("1 de {all} años aquí"),
        };
        Some(format!("{rate}: {range}"))
    }

    fn climate(&self, outlook: &OutlookSummary) -> String {
        let years =
            outlook.record_years.map_or(String::new(), |(first, last)| format!(", de {first} a {last}"));
        let seasons = super::seasons(outlook.seasons_in_record);
        let short = "Es un registro corto; puede faltarle un año peor.";
        match outlook.source {
            ClimateSource::LongRecord => {
                format!("Los años salen del registro largo de agua: {seasons}{years}.")
            }
            ClimateSource::TrialSeasons => {
                format!("Solo se conocen los años de los propios ensayos: {seasons}{years}. {short}")
            }
            ClimateSource::NetworkSeasons => format!(
                "No hay registro de agua de este sitio: lo suplen los años de los ensayos de alrededor, {seasons}{years}. {short}"
            ),
            ClimateSource::None => {
                "En estos ensayos no se anotó el agua, así que solo se pueden mostrar años como vengan."
                    .into()
            }
        }
    }

    fn thirds_rate(&self, thirds: &[BaseRate; 3], units: &Units) -> Option<String> {
        let [dry, middle, wet] = thirds;
        let part = |rate: &BaseRate, kind: &str| {
            let (low, high) = rate.water_range?;
            let (low, high) = (units.water_number(low), units.water_number(high));
            Some(format!(
                "{} {kind} (de\u{a0}{low}\u{a0}a\u{a0}{high}\u{a0}{})",
                rate.seasons_like_this,
                units.water_unit()
            ))
        };
        Some(format!(
            "De {} años aquí, {}, {} y {}.",
            dry.seasons_in_record,
            part(dry, "fueron secos")?,
            part(middle, "intermedios")?,
            part(wet, "húmedos")?
        ))
    }

    fn thirds_left(&self, read: Result<Option<u8>, NumberProblem>) -> String {
        match read {
            Ok(None) => "Escriba los dos; el resto queda intermedio.".into(),
            Ok(Some(middle)) => format!("Quedan {middle} intermedios."),
            Err(NumberProblem::TooLarge(_)) => "Juntos pueden sumar 100 como mucho.".into(),
            Err(_) => "Escriba números enteros de 0 a 100.".into(),
        }
    }

    fn usual_of_trials(&self, usual: f64, units: &Units) -> String {
        format!("Según los ensayos, cerca de {}.", units.yield_amount(usual))
    }

    fn yield_unit_option(&self, unit: YieldUnit) -> String {
        let name = match unit {
            YieldUnit::BushelPerAcre => "bushels por acre",
            YieldUnit::TonnePerHectare => "toneladas por hectárea",
            YieldUnit::KilogramPerHectare => "kilos por hectárea",
            YieldUnit::PoundPerAcre => "libras por acre",
        };
        format!("{name} ({}), precio {}", self.yield_unit(unit), self.price_per(unit))
    }

    fn water_unit_option(&self, unit: WaterUnit) -> &'static str {
        match unit {
            WaterUnit::Millimetre => "milímetros",
            WaterUnit::Inch => "pulgadas",
        }
    }

    fn kind_heading(&self, kind: TraitKind) -> &'static str {
        match kind {
            TraitKind::Disease => "Enfermedades",
            TraitKind::Pest => "Plagas",
            TraitKind::Agronomic => "En el campo",
            TraitKind::Quality => "En el grano",
            TraitKind::Grazing => "Con el ganado",
        }
    }

    fn need(&self, need: &Need) -> String {
        let label = &need.label;
        match need.kind {
            _ if !need.scaled => format!("estar en la mitad más tardía o más alta en {label}"),
            TraitKind::Disease | TraitKind::Pest => format!("tener resistencia a {label}"),
            TraitKind::Agronomic | TraitKind::Quality | TraitKind::Grazing => {
                format!("sacar buena nota en {label}")
            }
        }
    }

    fn need_count(&self, count: &NeedCount, units: &Units) -> String {
        let passes = count.passes.map_or(String::new(), |(value, higher)| {
            format!(", con {} o {}", units.plain(value), if higher { "más" } else { "menos" })
        });
        let unknown = match count.unknown {
            0 => String::new(),
            unknown => format!("; {unknown} sin calificar"),
        };
        let does = if count.have == 1 { "cumple" } else { "cumplen" };
        format!("{does} {} de {}{passes}{unknown}", count.have, count.all)
    }

    fn past_year(&self, year: i32, water: f64, units: &Units) -> String {
        format!("{year}: {} {}", units.water_number(water), units.water_unit())
    }

    fn zone_option(&self, zone: &str) -> String {
        format!("en otra parte de {zone}")
    }

    fn no_zone(&self) -> &'static str {
        "Sitios"
    }

    fn order_option(&self, order: Order, money: bool) -> &'static str {
        match (order, money) {
            (Order::Net, true) => "deja más ganancia",
            (Order::Net, false) => "rinde más en promedio",
            (Order::WorstFifth, _) => "sale mejor en años malos",
            (Order::ChanceShort, true) => "menos veces pierde dinero",
            (Order::ChanceShort, false) => "menos veces queda corta",
        }
    }
}
