//! Spanish: the words of the plain table that stands in the page for viewers that run no scripts, and of
//! the screens that the shell shows when the page itself cannot. `{…}` are places for values.

use super::{SYSTEMS, Spanish};
use crate::text::{DetailWords, OddsWords, SettingWords};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::page::{ShellWords, StaticWords};

pub(super) fn words(spanish: &Spanish) -> StaticWords {
    StaticWords {
        lang: spanish.lang().into(),
        decimal_sign: spanish.0.decimal().into(),
        invented: "Datos inventados: ninguna variedad, ningún lugar ni ensayo de aquí existe; no siembre por ellos.".into(),
        working_page: "Esta es la tabla simple. La página completa, donde se pone el propio terreno, el precio y el tipo de año, se abre cuando este archivo se abre en el navegador de un teléfono o una computadora.".into(),
        working_page_at: "Esta es la tabla simple. La página completa, donde se pone el propio terreno, el precio y el tipo de año, se abre cuando este archivo se abre en el navegador de un teléfono o una computadora, o en {address}".into(),
        ground: "Para terreno donde se suelen sacar {usual} {unit}.".into(),
        ground_near: "Para terreno cerca de {site} donde se suelen sacar {usual} {unit}.".into(),
        money: "Grano a {price}, gastos de {cost}.".into(),
        per_bushel: "{money} por bushel".into(),
        per_hundred_pounds: "{money} por 100 libras".into(),
        per_tonne: "{money} por tonelada".into(),
        per_acre: "{money} por acre".into(),
        per_hectare: "{money} por hectárea".into(),
        systems: SYSTEMS.map(|(code, name)| (code.to_owned(), name.to_owned())).into(),
        caption: "Promedio en {unit}, y cuántas veces se queda corta en 20 años así, igual de probables: ni pasados ni pronosticados.".into(),
        as_it_comes: "El año como venga".into(),
        dry_third: "Si sale seco (el tercio más seco)".into(),
        driest_fifth: "Si sale muy seco (el quinto más seco)".into(),
        loses_money: "pierde dinero en {count} de 20".into(),
        loses_money_none: "pierde dinero en menos de 1 de 20".into(),
        falls_short: "no llega a {target} {unit} en {count} de 20".into(),
        falls_short_none: "no llega a {target} {unit} en menos de 1 de 20".into(),
        well_tested: "bien ensayada: {seasons}, {trials}".into(),
        new: "nueva: {seasons}, {trials}".into(),
        season_one: spanish.seasons(1),
        season_many: "{count} campañas".into(),
        trial_one: "1 ensayo".into(),
        trial_many: "{count} ensayos".into(),
        tested_apart: "Ensayada aparte: no coincidió con las demás en ningún ensayo, así que cuál es mejor nunca se midió.".into(),
        never_this_dry: spanish.never_tested(WaterOutlook::Dry).into(),
        drier_than_harvested: spanish.drier_than_harvested().into(),
        too_close: "A la larga, muy parejas para decidir: {varieties}.".into(),
        left_out_one: "Queda afuera 1 variedad, que ya no se ensaya o nunca se ensayó en un terreno así.".into(),
        left_out_many: "Quedan afuera {count} variedades, que ya no se ensayan o nunca se ensayaron en un terreno así.".into(),
        data_date: "Datos del {date}.".into(),
        contact: "Pregunte a: {contact}.".into(),
        funded_by: "Pagado por: {funded_by}.".into(),
        cautions: spanish.cautions().into_iter().map(str::to_owned).collect(),
        shell: ShellWords {
            too_old: "Este navegador es demasiado viejo para la página completa. La tabla simple de abajo está entera; un navegador más nuevo abre el resto.".into(),
            failed: "La página dejó de funcionar. No se pierde nada de lo que guardó; abajo está la tabla simple.".into(),
            failed_twice: "La página volvió a dejar de funcionar, así que aquí está la tabla simple.".into(),
            open_again: "Abrir otra vez como estaba".into(),
            start_over: "Empezar de nuevo".into(),
            last_link: "Lo último que eligió, como enlace:".into(),
        },
    }
}
