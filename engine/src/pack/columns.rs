//! Which files a network folder has, which columns each has, and which of these are codes of another file.
//!
//! The one list that reading, checking and the page's help share. Knows no values.

use super::terms::{Ability, Code};

/// The description of a network, beside the tables.
pub const NETWORK_JSON: &str = "network.json";
/// Trials.
pub const TRIALS: &str = "trials.csv";
/// Means of varieties in trials.
pub const MEANS: &str = "means.csv";
/// Single plots.
pub const PLOTS: &str = "plots.csv";
/// Varieties.
pub const VARIETIES: &str = "varieties.csv";
/// Sites.
pub const SITES: &str = "sites.csv";
/// Water of past seasons.
pub const WATER: &str = "water.csv";
/// Traits.
pub const TRAITS: &str = "traits.csv";
/// Ratings of varieties for traits.
pub const RATINGS: &str = "ratings.csv";
/// Pressure of diseases and pests in trials.
pub const PRESSURE: &str = "pressure.csv";
/// The agronomist's word.
pub const SHORTLIST: &str = "shortlist.csv";

/// One column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its name in the header row.
    pub name: &'static str,
    /// Whether the file is useless without it.
    pub required: bool,
    /// Whether it holds numbers that may have a fraction.
    pub number: bool,
}

/// One file of a network folder.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// File name.
    pub file: &'static str,
    /// Columns in the order in which they are written.
    pub columns: &'static [Column],
    /// Columns that together may be there only once.
    pub key: &'static [&'static str],
    /// Columns that hold a code listed elsewhere.
    pub references: &'static [(&'static str, Code)],
    /// What is lost without the file; `None` where its absence is judged apart.
    pub ability: Option<Ability>,
}

impl Table {
    /// The column that a header names.
    pub fn column(&self, name: &str) -> Option<&'static Column> {
        let name = plain_name(name);
        self.columns.iter().find(|column| column.name == name)
    }
}

const fn needed(name: &'static str) -> Column {
    Column { name, required: true, number: false }
}

const fn optional(name: &'static str) -> Column {
    Column { name, required: false, number: false }
}

const fn number(column: Column) -> Column {
    Column { number: true, ..column }
}

/// The name of a column as a table has it: whatever capitals it is written in, and with space between its words.
fn plain_name(name: &str) -> String {
    name.trim().to_ascii_lowercase().replace(' ', "_")
}

/// Every table of a folder, in the order in which problems are listed.
pub const TABLES: [Table; 10] = [
    Table {
        file: TRIALS,
        columns: &[
            needed("trial"),
            needed("site"),
            needed("season"),
            optional("system"),
            number(optional("water")),
            number(optional("reps")),
            number(optional("error_ms")),
            number(optional("lsd")),
            number(optional("lsd_level")),
            number(optional("cv")),
            optional("fallow"),
            optional("excluded"),
        ],
        key: &["trial"],
        references: &[("site", Code::Site)],
        ability: None,
    },
    Table {
        file: MEANS,
        columns: &[needed("trial"), needed("variety"), number(needed("yield")), number(optional("plots"))],
        key: &["trial", "variety"],
        references: &[("trial", Code::Trial), ("variety", Code::Variety)],
        ability: None,
    },
    Table {
        file: PLOTS,
        columns: &[
            needed("trial"),
            // Blank, or not there, in a trial that has blocks alone.
            optional("rep"),
            optional("block"),
            number(optional("row")),
            number(optional("col")),
            needed("variety"),
            number(needed("yield")),
        ],
        // A check may stand twice in a replicate; a place in the field holds one plot.
        key: &["trial", "row", "col"],
        references: &[("trial", Code::Trial), ("variety", Code::Variety)],
        ability: None,
    },
    Table {
        file: VARIETIES,
        columns: &[
            needed("variety"),
            optional("name"),
            optional("released"),
            optional("origin"),
            optional("class"),
            number(optional("seed_cost")),
            optional("keep_seed"),
            optional("herbicide_trait"),
            optional("note"),
            optional("note_es"),
        ],
        key: &["variety"],
        references: &[],
        ability: Some(Ability::Varieties),
    },
    Table {
        file: SITES,
        columns: &[
            needed("site"),
            optional("name"),
            optional("zone"),
            number(optional("latitude")),
            number(optional("longitude")),
            number(optional("elevation_m")),
        ],
        key: &["site"],
        references: &[],
        ability: Some(Ability::Sites),
    },
    Table {
        file: WATER,
        columns: &[needed("site"), needed("season"), optional("system"), number(needed("water"))],
        key: &["site", "season", "system"],
        references: &[("site", Code::Site)],
        ability: Some(Ability::Climate),
    },
    Table {
        file: TRAITS,
        columns: &[
            needed("trait"),
            optional("label"),
            optional("label_es"),
            needed("kind"),
            number(optional("best")),
            number(optional("worst")),
            optional("unit"),
            number(optional("severe_loss")),
            number(optional("severe_loss_sd")),
            optional("vector"),
            optional("protectable"),
            number(optional("efficacy")),
            number(optional("spray_cost")),
            optional("label_note"),
            optional("source"),
        ],
        key: &["trait"],
        references: &[],
        ability: Some(Ability::Traits),
    },
    Table {
        file: RATINGS,
        columns: &[needed("variety"), needed("trait"), number(needed("value")), number(optional("seasons"))],
        key: &["variety", "trait"],
        references: &[("variety", Code::Variety), ("trait", Code::Trait)],
        ability: Some(Ability::Ratings),
    },
    Table {
        file: PRESSURE,
        columns: &[needed("trial"), needed("trait"), needed("pressure")],
        key: &["trial", "trait"],
        references: &[("trial", Code::Trial), ("trait", Code::Trait)],
        ability: Some(Ability::Pressure),
    },
    Table {
        file: SHORTLIST,
        columns: &[
            optional("system"),
            needed("variety"),
            needed("stance"),
            optional("note"),
            optional("by"),
            optional("date"),
        ],
        key: &["system", "variety"],
        references: &[("system", Code::System), ("variety", Code::Variety)],
        ability: Some(Ability::Shortlist),
    },
];

/// The table that a file holds, by its name.
pub fn table(file: &str) -> Option<&'static Table> {
    TABLES.iter().find(|table| table.file == file)
}

/// Every file name of a network folder, `network.json` first.
pub fn file_names() -> impl Iterator<Item = &'static str> {
    std::iter::once(NETWORK_JSON).chain(TABLES.iter().map(|table| table.file))
}
