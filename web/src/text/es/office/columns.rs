//! Spanish: what each file, column and key is for.

pub(super) fn file(file: &str) -> &'static str {
    match file {
        "trials.csv" => "una fila por ensayo; hace falta",
        "means.csv" => "una fila por variedad y ensayo; hace falta este o plots.csv",
        "plots.csv" => "una fila por parcela, en lugar de las medias o junto a ellas",
        "varieties.csv" => "nombres, origen, precio de la semilla y sus notas",
        "sites.csv" => "nombres y zonas de los sitios",
        "water.csv" => {
            "agua de campañas pasadas, treinta o más si las tiene: el clima del que salen los años"
        }
        "traits.csv" => "enfermedades, plagas, caña, calidad y pastoreo, con sus escalas",
        "ratings.csv" => "una fila por variedad y característica",
        "pressure.csv" => {
            "con qué fuerza atacó una enfermedad o plaga en un ensayo; deje fuera lo que no se anotó"
        }
        "shortlist.csv" => "sus recomendaciones; también se pueden escribir aquí",
        "network.json" => "nombre, unidades y valores de inicio; lo escribe el formulario",
        _ => "",
    }
}

pub(super) fn column(file: &str, column: &str) -> &'static str {
    match (file, column) {
        (_, "trial") => "código del ensayo, igual en todos los archivos",
        (_, "site") => "código del sitio",
        ("sites.csv", "name") | ("varieties.csv", "name") => "nombre como lo conocen los productores",
        ("ratings.csv", "seasons") => "campañas detrás de la calificación",
        (_, "season") => "año de cosecha, cuatro cifras",
        (_, "system") => "sistema de producción, por ejemplo secano; sin la columna si hay uno solo",
        ("trials.csv", "water") => {
            "agua que el cultivo pudo usar: guardada, lluvia y riego, en la unidad de la red"
        }
        ("trials.csv", "reps") => "repeticiones",
        ("trials.csv", "error_ms") => {
            "cuadrado medio del error de una parcela, unidad de rendimiento al cuadrado"
        }
        ("trials.csv", "lsd") => "diferencia mínima significativa, unidad de rendimiento",
        ("trials.csv", "lsd_level") => "nivel de esa diferencia: 0.05 o 0.1",
        ("trials.csv", "cv") => "coeficiente de variación, por ciento",
        ("trials.csv", "fallow") => "yes si antes hubo barbecho",
        ("trials.csv", "excluded") => {
            "por qué no cuenta el ensayo: drought (sequía), hail (granizo), stand (nascencia) u other (otro); en blanco si cuenta"
        }
        (_, "variety") => "código de la variedad, igual en todos los archivos",
        (_, "yield") => "rendimiento en la unidad de la red; en blanco si se perdió la parcela",
        ("means.csv", "plots") => "parcelas detrás de la media",
        ("plots.csv", "rep") => "repetición",
        ("plots.csv", "block") => "bloque incompleto dentro de la repetición, si los hay",
        ("plots.csv", "row") => "fila de la parcela en el campo",
        ("plots.csv", "col") => "columna de la parcela en el campo",
        ("varieties.csv", "released") => "año de lanzamiento",
        ("varieties.csv", "origin") => "quién la obtuvo",
        ("varieties.csv", "class") => "clase comercial",
        ("varieties.csv", "seed_cost") => "precio de la semilla por acre o hectárea",
        ("varieties.csv", "keep_seed") => "si se puede guardar semilla: yes, no o ask (preguntar)",
        ("varieties.csv", "herbicide_trait") => "resistencia a herbicida, si la hay",
        ("varieties.csv", "note") => "su nota para los productores",
        ("varieties.csv", "note_es") => "la misma en español",
        ("sites.csv", "zone") => "zona, por ejemplo alta o baja",
        ("sites.csv", "latitude") => "grados norte",
        ("sites.csv", "longitude") => "grados este, negativos al oeste",
        ("sites.csv", "elevation_m") => "metros sobre el mar",
        ("water.csv", "water") => "agua de esa campaña, como en trials.csv",
        (_, "trait") => "código de la característica, igual en todos los archivos",
        ("traits.csv", "label") => "nombre de la característica",
        ("traits.csv", "label_es") => "el mismo en español",
        ("traits.csv", "kind") => {
            "disease (enfermedad), pest (plaga), agronomic (campo), quality (calidad) o grazing (pastoreo)"
        }
        ("traits.csv", "best") => "el mejor valor de la escala",
        ("traits.csv", "worst") => "el peor valor de la escala",
        ("traits.csv", "unit") => "unidad de la calificación",
        ("traits.csv", "severe_loss") => {
            "parte del rendimiento que una variedad susceptible pierde en un ataque grave, de 0 a 1"
        }
        ("traits.csv", "severe_loss_sd") => "cuán incierta es esa parte; en blanco toma la mitad de ella",
        ("traits.csv", "vector") => "quién la transmite, si la resistencia puede fallar en un otoño cálido",
        ("traits.csv", "protectable") => "si un tratamiento protege: yes o no",
        ("traits.csv", "efficacy") => "parte de la pérdida que evita un tratamiento, de 0 a 1",
        ("traits.csv", "spray_cost") => "precio de un tratamiento por acre o hectárea",
        ("traits.csv", "label_note") => "lo que dice la etiqueta",
        ("traits.csv", "source") => "de dónde salen las cifras",
        ("ratings.csv", "value") => "la calificación, en la escala de la característica",
        ("pressure.csv", "pressure") => {
            "0 nada, 1 leve, 2 moderado, 3 grave; deje fuera la fila si no se anotó"
        }
        ("shortlist.csv", "stance") => "in (en la lista), out (fuera) o follow (por seguir)",
        ("shortlist.csv", "note") => "su nota para los productores",
        ("shortlist.csv", "by") => "quién lo dice",
        ("shortlist.csv", "date") => "cuándo, por ejemplo 2025-07-28",
        _ => "",
    }
}

/// Label and hint of a key of `network.json`.
pub(super) fn key(key: &str) -> (&'static str, &'static str) {
    match key {
        "name" => ("nombre de la red", "hace falta; es el título de la página"),
        "crop" => ("cultivo", "por ejemplo trigo de invierno"),
        "yield_unit" => ("unidad de rendimiento", "hace falta; la de todos los rendimientos de los archivos"),
        "bushel_lb" => ("libras de un bushel", "trigo 60, cebada 48, avena 32, centeno 56"),
        "water_unit" => ("unidad de agua", "la de todas las cantidades de agua de los archivos"),
        "checks" => ("testigos", "códigos entre comas"),
        "currency" => ("moneda", "por ejemplo $"),
        "defaults.price" => ("precio del grano", "por bushel, o por 100 lb con lb/ac; si no, por tonelada"),
        "defaults.cost" => ("gastos", "por acre, o por hectárea con t/ha y kg/ha"),
        "defaults.system" => ("sistema con que se abre", "como en trials.csv; en blanco, el primero"),
        "data_date" => ("fecha de los datos", "por ejemplo 2025-07-28"),
        "contact" => ("a quién preguntar", ""),
        "funded_by" => ("quién pagó los ensayos", ""),
        "home_url" => ("dirección en la web", "donde va a estar la página, si va a estar"),
        "seasons_to_prove" => ("campañas para que una variedad esté bien ensayada", "3 si queda en blanco"),
        "lapse_after" => ("campañas sin ensayo para contarla como ya no ensayada", "2 si queda en blanco"),
        "invented" => ("los datos son inventados", "entonces todas las vistas lo dicen"),
        _ => ("", ""),
    }
}
