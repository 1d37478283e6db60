//! What the invented agronomist wrote: the network's own description, notes on varieties, her shortlist.
//!
//! Plain text that matches the simulated characters; no number of a forecast is quoted in it.

use super::land::System;

/// `network.json`.
pub const NETWORK: &str = r#"{
  "name": "Varrasend upland winter wheat (invented)",
  "crop": "winter wheat",
  "invented": true,
  "yield_unit": "bu/ac",
  "bushel_lb": 60,
  "water_unit": "in",
  "currency": "$",
  "home_url": "",
  "data_date": "2025-07-28",
  "contact": "nobody: this network is invented (trials@varrasend.invalid)",
  "funded_by": "nobody: no such trials were ever sown or paid for",
  "lang": "en",
  "seasons_to_prove": 3,
  "lapse_after": 2,
  "plot_error_share": 0.5,
  "checks": ["V01", "V02", "V03"],
  "defaults": {
    "price": 5.80,
    "cost": 165,
    "system": "dryland",
    "site": "S03"
  },
  "notes": "Invented from a seeded simulation to show the page at work. Places, varieties, yields, ratings and notes describe nothing real. Do not choose seed by them."
}
"#;

/// A note on a variety.
pub struct Note {
    /// Name.
    pub name: &'static str,
    /// In English.
    pub english: &'static str,
    /// In Spanish.
    pub spanish: &'static str,
}

const fn note(name: &'static str, english: &'static str, spanish: &'static str) -> Note {
    Note { name, english, spanish }
}

/// Notes, in the order of the varieties.
pub const NOTES: [Note; 18] = [
    note(
        "Pardovey",
        "The first check and our yardstick since the beginning. Holds up when it is dry, gives away too much when it is not. Stem rust would find it.",
        "El primer testigo y nuestra vara de medir desde el principio. Aguanta en seco y regala rendimiento cuando llueve. La roya del tallo lo encontraría.",
    ),
    note(
        "Brindollet",
        "Second check. Plain and predictable; watch Hessian fly after an early sowing.",
        "Segundo testigo. Sencillo y previsible; cuidado con la mosca de Hesse si se siembra temprano.",
    ),
    note(
        "Ottivesk",
        "Third check. Late to first hollow stem and a good pasture wheat, but the test weight is light.",
        "Tercer testigo. Tarda en llegar al primer tallo hueco y da buen pasto, pero el peso hectolítrico es bajo.",
    ),
    note(
        "Hollambry",
        "Everyone's old favourite, and the millers like it. It has been slipping since 2021; compare it with what you could grow before you buy seed again.",
        "El favorito de siempre, y a los molineros les gusta. Viene perdiendo desde 2021; compárelo antes de volver a comprar semilla.",
    ),
    note(
        "Sundravost",
        "Steady when it stays dry and comes up through a hot seedbed. You pay for it in a wet year.",
        "Firme cuando no llueve y nace bien en suelo caliente. El precio es que rinde menos en los años húmedos.",
    ),
    note(
        "Vorrabell",
        "Worth its water under the pivots. Light test weight.",
        "Aprovecha el agua bajo riego. Peso hectolítrico bajo.",
    ),
    note(
        "Bramoven",
        "The grazing wheat: late to first hollow stem, plenty of forage, comes back well. Root rot is its weak side.",
        "El trigo para pastoreo: tarda en llegar al primer tallo hueco, da forraje y rebrota bien. Su punto débil es la pudrición de raíz.",
    ),
    note(
        "Alvistrook",
        "Tops the list when rain comes and falls down it when it does not. Not for the thin ground of the High Varrasend on its own.",
        "Encabeza la lista cuando llueve y se hunde cuando no. No lo siembre solo en los suelos delgados de High Varrasend.",
    ),
    note(
        "Prastimore",
        "Better in dry years than in wet ones, and early to first hollow stem: cattle must come off early.",
        "Mejor en años secos que en húmedos, y temprano al primer tallo hueco: hay que sacar pronto el ganado.",
    ),
    note(
        "Gorvallin",
        "A fine wheat in a clean year. Stripe rust takes it apart: budget a spray or leave it.",
        "Buen trigo en un año sano. La roya amarilla lo destroza: cuente con un tratamiento o déjelo.",
    ),
    note(
        "Chanterow",
        "The earliest we test. Escapes late heat, suffers late frost; leaf rust is a problem.",
        "El más temprano del ensayo. Escapa del calor tardío y sufre las heladas tardías; la roya de la hoja es un problema.",
    ),
    note(
        "Quandasper",
        "Quietly near the top in most years, dry ones too. Seed is dear.",
        "Sin ruido, cerca de los primeros casi todos los años, también en los secos. La semilla es cara.",
    ),
    note(
        "Corrimask",
        "Made for full irrigation: short, stiff straw. Do not lend its irrigated results to dryland.",
        "Hecho para riego completo: paja corta y firme. No traslade sus resultados de riego al secano.",
    ),
    note(
        "Nevastrick",
        "The best we have tested long enough to say so. Protein runs low, and the stems are only half solid: not for sawfly ground.",
        "El mejor de los que llevan tiempo suficiente en ensayo. Proteína baja y tallos medio huecos: no para campos con mosca sierra.",
    ),
    note(
        "Umbrasket",
        "Looked like the coming one in 2022. It was one good year; the breeder withdrew it.",
        "En 2022 parecía el que venía. Fue un solo año bueno; el mejorador lo retiró.",
    ),
    note(
        "Lemmaroy",
        "Irrigated only, and good for four seasons now.",
        "Solo para riego; ya lleva cuatro campañas buenas.",
    ),
    note(
        "Dorvaney",
        "Two seasons, both promising, one of them as dry as any. Try a field, not the farm.",
        "Dos campañas, ambas prometedoras, una de ellas de las más secas. Pruebe un lote, no toda la finca.",
    ),
    note(
        "Hestogan",
        "Two seasons and few trials. So far it leads; I have seen leaders of eight trials before. Take leaf rust into account.",
        "Dos campañas y pocos ensayos. Por ahora va primero; ya he visto otros primeros de ocho ensayos. Tenga en cuenta la roya de la hoja.",
    ),
];

/// A line of the shortlist.
pub struct Word {
    /// System.
    pub system: System,
    /// Name of the variety.
    pub name: &'static str,
    /// `in`, `out` or `follow`.
    pub stance: &'static str,
    /// Note.
    pub note: &'static str,
    /// Date.
    pub date: &'static str,
}

const fn word(
    system: System,
    name: &'static str,
    stance: &'static str,
    note: &'static str,
    date: &'static str,
) -> Word {
    Word { system, name, stance, note, date }
}

/// The shortlist, by system.
pub const SHORTLIST: [Word; 22] = [
    word(System::Dryland, "Nevastrick", "in", "Six seasons, holds up dry and wet.", "2025-07-21"),
    word(System::Dryland, "Quandasper", "in", "Eight seasons near the top.", "2025-07-21"),
    word(
        System::Dryland,
        "Sundravost",
        "in",
        "For those who cannot stand another bad dry year.",
        "2025-07-21",
    ),
    word(System::Dryland, "Bramoven", "in", "For wheat that is grazed first.", "2025-07-21"),
    word(System::Dryland, "Alvistrook", "follow", "Only beside a steadier one; not alone.", "2025-07-21"),
    word(System::Dryland, "Dorvaney", "follow", "Two seasons; not yet.", "2025-07-21"),
    word(System::Dryland, "Hestogan", "follow", "Eight trials; not yet.", "2025-07-21"),
    word(System::Dryland, "Hollambry", "out", "Overtaken, and slipping.", "2024-07-22"),
    word(System::Dryland, "Gantrivel", "out", "Below the checks when it is dry.", "2024-07-22"),
    word(System::Dryland, "Jorrimond", "out", "Poor in both dry seasons.", "2025-07-21"),
    word(System::Limited, "Nevastrick", "in", "As on dryland.", "2025-07-23"),
    word(System::Limited, "Alvistrook", "in", "Enough water, and it shows what it can.", "2025-07-23"),
    word(System::Limited, "Vorrabell", "in", "Nine seasons.", "2025-07-23"),
    word(System::Limited, "Lemmaroy", "in", "Four seasons.", "2025-07-23"),
    word(System::Limited, "Dorvaney", "follow", "Six trials; not yet.", "2025-07-23"),
    word(System::Limited, "Fostigam", "out", "Never paid for its water.", "2024-07-22"),
    word(System::Full, "Corrimask", "in", "Stands up, and pays for full water.", "2025-07-23"),
    word(System::Full, "Bellusame", "in", "Seven seasons, good straw.", "2025-07-23"),
    word(System::Full, "Alvistrook", "in", "Reliable under full water.", "2025-07-23"),
    word(System::Full, "Nistrobel", "follow", "Five trials only, but what trials.", "2025-07-23"),
    word(System::Full, "Gorvallin", "follow", "With a spray against stripe rust, not without.", "2025-07-23"),
    word(System::Full, "Gantrivel", "out", "Left behind.", "2024-07-22"),
];
