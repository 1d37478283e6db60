//! Spanish: short fixed words, missing abilities, cautions.

use crate::text::Label;
use leanyear_engine::decide::Missing;
use leanyear_engine::link::LinkNotice;

/// The cautions, shown under every list.
pub(super) const CAUTIONS: [&str; 4] = [
    "Son probabilidades, no una garantía: a su lote le irá mejor o peor.",
    "Vienen de terreno de ensayo, parcelas chicas y bien cuidadas; el suyo es distinto.",
    "Siga la etiqueta de cada producto y las reglas del lugar donde siembra.",
    "Antes de una decisión grande, hable con un asesor autorizado que conozca su terreno.",
];

pub(super) fn label(label: Label) -> &'static str {
    use Label::*;
    match label {
        Done => "Listo",
        Yours => "La suya",
        ShowFewer => "mostrar menos",
        FindVariety => "buscar una variedad",
        FindHint => "Escriba parte de un nombre",
        NothingFound => "Aquí no se ensayó ninguna variedad con ese nombre.",
        BackToList => "Volver a todas las variedades",
        Night => "noche",
        Light => "día",
        Share => "enviar",
        Numbers => "los números",
        Variety => "variedad",
        Season => "año",
        Site => "sitio",
        Water => "agua",
        AgainstTrial => "frente al promedio de ese ensayo",
        NotCounted => "Ensayos que no cuentan",
        Reason => "por qué",
        Trait => "característica",
        Rating => "calificación",
        Scale => "escala",
        Low => "extremo malo",
        High => "extremo bueno",
        Middle => "medio",
        Response => "Qué hace con el agua",
        NoResponse => "En estos ensayos no se anotó el agua, así que este dibujo no se puede hacer.",
        Ungrazed => "Sin ganado: lo que se lleva del grano no está en esto.",
        InsuredAbovePrice => {
            "El seguro paga el grano más que el mercado. Las primeras se eligen solo por lo que rinden, así que otras pueden dejar más."
        }
        HandoutMoney => "incluir precio y gastos también en el código para el teléfono",
        ResponseFlat => {
            "El agua de los ensayos de este sistema es muy pareja o se conoce muy poco, así que este dibujo no se puede hacer."
        }
        EveryTrial => "Todos los ensayos en que estuvo",
        Ratings => "Enfermedades, caña, grano",
        Losses => "Lo que quitarían enfermedades y plagas",
        LossesIntro => "De su rendimiento, cada una por separado, si atacara fuerte y no se hiciera nada:",
        LongRun => "¿Es mejor a la larga?",
        WhereFrom => "De dónde sale esto",
        TrackHeading => "¿Cuántas veces acertó?",
        TrackIntro => "La página puede ponerse a prueba con las campañas que ya pasaron.",
        TrackButton => "comprobarlo ahora",
        TrackRunning => "Repasando las campañas pasadas…",
        TrackFailed => {
            "La comprobación no se pudo terminar en este aparato. Pruebe otra vez, o en uno más nuevo."
        }
        TrackInside => "dentro de su margen",
        TrackOutside => "fuera de él",
        TrackPromised => "se prometieron 16 de 20",
        PutAway => "quitar",
        NewerData => "Hay datos de ensayos más nuevos.",
        TakeNewer => "usarlos",
        KeptHere => "Este aparato guarda la página: se abre sin señal.",
        UnitsCurrency => "Signo de moneda",
        UnitsCurrencyHint => "Solo cambia el signo: escriba precio y costo en su propia moneda.",
        NoVarietyYet => "ninguna de estas",
        NoPlace => "cerca de ninguno de estos",
        LeaveToTrials => "que lo digan los ensayos",
        WithoutIt => "dejarlo afuera",
        LikeAYear => "como un año que recuerda",
        LeansHeading => "o solo inclinado a un lado",
        ShareHeading => "Enviar esto",
        ShareLink => "El enlace lleva lo que usted eligió, nada más.",
        ShareFromFile => {
            "Esta página se abrió desde un archivo, así que no tiene dirección que enviar. Envíe el archivo, y con él esta línea, para ponerla al final de su dirección:"
        }
        ShareFromFileHome => {
            "Esta página se abrió desde un archivo; el enlace lleva a su dirección en la web."
        }
        ShareMoney => "incluir también precio y gastos",
        ShareMoneyHint => "No van, salvo que marque esto.",
        ShareCopy => "copiar",
        ShareSend => "enviar…",
        ShareSentence => "O como una frase",
        PrivacyHeading => "Lo que se queda aquí",
        Privacy => "Nada de lo que escribe sale de este teléfono, salvo que usted lo envíe.",
        Forget => "olvidar lo que elegí en este aparato",
        MadeOfHeading => "Quién hizo las partes de esta página",
        MadeOfIntro => {
            "La página está hecha con estos programas, que sus autores regalan en las condiciones de abajo. El número detrás de cada uno lleva a las suyas."
        }
        Invented => "Datos inventados: no sirven para elegir variedad.",
        NoAnswer => "Ningún ensayo responde a esto. Elija otro sistema u otro sitio.",
        BrokenNewer => {
            "Los datos de los ensayos de esta página los hizo una página más nueva que esta. Abra la más nueva."
        }
        Broken => {
            "Los datos de los ensayos de esta página no se pueden leer. Abra una copia nueva de la página."
        }
        Stale => "Se sigue mostrando el último número que servía.",
        MarksHeading => "Veinte años",
        Units => "unidades",
        UnitsYield => "Rendimiento, y con él precio, gastos y superficie",
        UnitsWater => "Agua",
        OtherUnits => "contar en otras unidades",
        ShareCodes => "O muéstrelo a otro teléfono",
        ShareCodeLink => "El enlace, para un teléfono con señal:",
        ShareCodeText => "Texto simple, para un teléfono sin señal:",
        ShareNoAddress => {
            "Esta página no tiene dirección en la web, así que no hay enlace que una cámara pueda abrir. El texto simple funciona en todas partes:"
        }
        ShareCodeTooLong => "El enlace es demasiado largo para un código. Envíe la línea de arriba.",
        SaveHeading => "O guárdelo como archivo",
        SaveIntro => "Un archivo lleva precio y gastos solo si lo marcó más arriba.",
        SaveTable => "tabla para una planilla de cálculo (CSV)",
        SaveSvg => "dibujo para imprimir o agrandar (SVG)",
        SavePng => "dibujo para un mensaje (PNG)",
        CopyTable => "copiar la tabla como texto",
        HandoutOpen => "una hoja para imprimir",
        HandoutHeading => "Una hoja para imprimir",
        HandoutPrint => "imprimirla",
        HandoutIntro => {
            "Una hoja A4 o carta. Muestra la frase tal como está, con precio y gastos; sus códigos los llevan solo si marca esto."
        }
        HandoutYours => "la suya",
        HandoutCheck => "testigo",
        HandoutClose => "también muy parejas para decidir",
        HandoutNext => "Las que siguen",
        HandoutHome => "Lo mismo en su propio teléfono",
        HandoutText => "Lo mismo como texto, sin señal",
        ThirdsHeading => "o como lo da un pronóstico, en años de cada cien",
        ThirdsDry => "secos",
        ThirdsWet => "húmedos",
        OfHundred => "de 100",
        AxisMoney => "dinero en el eje",
        AxisYield => "rendimiento en el eje",
        CostsHeading => "Qué incluye",
        MoreOnPrice => "Si puede moverse, y cuánto cuesta vender",
        InsuranceHeading => "Seguro de rendimiento, si lo tiene",
        HaulHeading => "Por cada unidad",
        DocksOpen => "descuentos por calidad del grano",
        DocksNone => {
            "En estos ensayos no se calificó la calidad del grano, así que no hay nada que descontar."
        }
        DocksUnknown => "sin calificar",
        HowWorked => "cómo se calcula esto",
        Amount => "cantidad",
        AverageYear => "en promedio de los 20 años",
        CattleHeading => "¿Se puede pastorear, y hasta cuándo?",
        CattleCaution => {
            "El primer tallo hueco cambia con el lote y el año: búsquelo en plantas sin pastorear. Respete los plazos de pastoreo de cada etiqueta, y antes de soltar el ganado pregunte a un veterinario por empaste, hipomagnesemia y nitratos."
        }
        OffBy => "sacar el ganado",
        WeekLate => "una semana tarde cuesta",
        Recovers => "rebrota",
        SpraysHeading => "¿Se pagaría un tratamiento?",
        CompareHeading => "Lado a lado",
        CompareWith => "compararla con…",
        CompareOpen => "dos lado a lado",
        ChooseOthers => "elegir otras",
        ChooseTwo => "Elija de dos a cuatro variedades.",
        AgainstMine => "¿Es mejor que la que siembro?",
        FiveYears => {
            "Series de cinco años: primero un año así, después cuatro como vengan; las cantidades son por año."
        }
        WhoWins => "Cuál va adelante, y por cuánto",
        TurnHeading => "Qué lo daría vuelta",
        TurnIntro => "Elija qué cambia y después arrastre.",
        LossesBeside => "Lo que pierde cada una por enfermedades y plagas",
        AcresOpen => "repartir mi superficie",
        AcresHeading => "Repartir la superficie",
        AcresYours => "Su reparto",
        AcresSuggested => "El reparto que más ayuda",
        AcresUse => "partir de este reparto",
        AcresAdd => "agregar una variedad",
        AcresNone => {
            "No se propone ninguna: aquí ninguna variedad tiene todo eso y lo que usted pide. Elija por su cuenta."
        }
        AcresWhole => "Toda la finca, 20 años así",
        TargetFrom => {
            "Sin precio ni gastos, quedarse corta es dar menos de dos tercios de lo que suele sacar."
        }
        AndMore => "y más",
        Must => "debe",
        AcresThreats => "Lo que una enfermedad o plaga podría llevarse, si ataca fuerte",
        TakeOut => "sacar",
        ChangeOpen => "¿qué cambiaría esto?",
        ChangeFold => "cerrar",
        ChangeHeading => "Qué cambiaría esto",
        ChangeNobody => {
            "Aquí ninguna variedad se puede nombrar como la mejor, así que no se puede decir nada."
        }
        WaterSpent => "¿Se aprovecha mejor el agua aquí?",
        NewcomerHeading => "Una nueva que merece una franja",
    }
}

pub(super) fn missing(missing: &Missing) -> &'static str {
    match missing {
        Missing::LongClimate => {
            "Con los datos no vino un registro largo de agua de este terreno: los años salen solo de las campañas de ensayo, y puede faltar una peor."
        }
        Missing::Water => "No se anotó el agua: la página no puede suponer un año seco ni uno húmedo.",
        Missing::Ratings => {
            "Con los datos no vinieron calificaciones de enfermedades: no se puede suponer ninguna enfermedad."
        }
        Missing::Pressure => "No se anotó con qué fuerza atacaron las enfermedades en cada ensayo.",
        Missing::DiseaseLosses => {
            "Aquí no se sabe cuánto quitan las enfermedades: están en estos números solo como estuvieron en los ensayos."
        }
        Missing::ErrorVariances => {
            "Los ensayos no informaron su propio error: una parte fija de la dispersión se toma como error de parcela."
        }
        Missing::DroughtLosses => {
            "No se informó ningún ensayo perdido por sequía: la posibilidad de un cultivo que no vale la pena cosechar es una estimación prudente."
        }
        Missing::Money => "Sin precio y gastos, quedarse corta es de rendimiento, no de dinero.",
        Missing::SiteNames => "Con los datos no vino una lista de sitios: van con sus códigos.",
        Missing::VarietyNames => "Con los datos no vino una lista de variedades: van con sus códigos.",
        Missing::WaterSpread => {
            "El agua de los ensayos de este sistema es muy pareja o se conoce muy poco: un año seco o húmedo no cambia aquí ningún número."
        }
        Missing::WaterSlope => {
            "En este sistema los ensayos no muestran qué variedades van mejor o peor en seco: todas se mueven juntas con el agua."
        }
        Missing::AssumedSite => {
            "Estos ensayos no pueden mostrar cuánto cambian las variedades de un lugar a otro: se supone lo usual en ensayos."
        }
        Missing::AssumedSeason => {
            "Estos ensayos no pueden mostrar cuánto cambian las variedades de una campaña a otra: se supone lo usual en ensayos."
        }
        Missing::AssumedSystem => {
            "Estos ensayos no pueden mostrar cuánto cambian las variedades de un sistema a otro: se supone lo usual en ensayos."
        }
    }
}

pub(super) fn notice(notice: &LinkNotice) -> String {
    let left_out = |key: &str, why: &str| format!("En el enlace, «{key}» {why}; en su lugar queda lo usual.");
    match notice {
        LinkNotice::OtherPack { .. } => {
            "El enlace se hizo con otros datos de ensayos: lo elegido es de quien lo envió, los números pueden ser otros.".into()
        }
        LinkNotice::VersionUnknown { .. } => {
            "El enlace lo hizo una página más nueva y no se usó nada de él. Abra una copia más nueva de esta página.".into()
        }
        LinkNotice::TooLong { .. } => "El enlace es demasiado largo; se dejó afuera el final.".into(),
        LinkNotice::TooManyKeys { .. } => "El enlace lleva demasiadas cosas; se dejaron afuera las últimas.".into(),
        LinkNotice::KeyTwice { key } => format!("En el enlace, «{key}» está dos veces; se usó la primera."),
        LinkNotice::KeyUnknown { key } => {
            format!("Esta página no conoce «{key}» del enlace; se dejó afuera.")
        }
        LinkNotice::Unreadable { key } => left_out(key, "no se puede leer"),
        LinkNotice::ValueMissing { key } => left_out(key, "está vacío"),
        LinkNotice::NotANumber { key, text } | LinkNotice::NotFinite { key, text } => {
            left_out(key, &format!("es «{text}», que no es un número"))
        }
        LinkNotice::NotWhole { key, text } => left_out(key, &format!("es {text}, que no es un número entero")),
        LinkNotice::OutOfRange { key, text, low, high } => {
            left_out(key, &format!("es {text}, que no está entre {low} y {high}"))
        }
        LinkNotice::WordUnknown { key, text } => left_out(key, &format!("es «{text}», que no puede ser")),
        LinkNotice::CodeUnknown { key, text } => {
            left_out(key, &format!("es «{text}», que no está en estos ensayos"))
        }
        LinkNotice::YearUnknown { year } => {
            format!("De {year} no hay agua registrada para este terreno: los años se toman como vengan.")
        }
        LinkNotice::KeptDamaged => {
            "Lo que esta página había guardado de lo que usted eligió no se pudo leer entero: revise la oración una vez más.".into()
        }
        LinkNotice::WaterUnknown => {
            "No hay agua registrada para este terreno: los años se toman como vengan.".into()
        }
        LinkNotice::CodeTwice { key, text } => {
            format!("En el enlace, «{text}» está dos veces en «{key}»; cuenta una.")
        }
        LinkNotice::ListTooLong { key, .. } => {
            format!("En el enlace, «{key}» nombra demasiados; se dejaron afuera los últimos.")
        }
    }
}
