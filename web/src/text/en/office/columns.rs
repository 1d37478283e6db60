//! English: what each file, column and key is for.

pub(super) fn file(file: &str) -> &'static str {
    match file {
        "trials.csv" => "one row a trial; needed",
        "means.csv" => "one row a variety and trial; this or plots.csv is needed",
        "plots.csv" => "one row a plot, instead of means or beside them",
        "varieties.csv" => "names, origin, seed cost and your notes",
        "sites.csv" => "names and zones of the sites",
        "water.csv" => {
            "water of past seasons, thirty or more if you have them: the climate that years are drawn from"
        }
        "traits.csv" => "diseases, pests, straw, quality and grazing traits with their scales",
        "ratings.csv" => "one row a variety and trait",
        "pressure.csv" => "how hard a disease or pest hit a trial; leave out what was not noted",
        "shortlist.csv" => "your recommendations; they can also be written here",
        "network.json" => "name, units and defaults; the form writes it",
        _ => "",
    }
}

pub(super) fn column(file: &str, column: &str) -> &'static str {
    match (file, column) {
        (_, "trial") => "code of the trial, the same in every file",
        (_, "site") => "code of the site",
        ("sites.csv", "name") | ("varieties.csv", "name") => "name as growers know it",
        ("ratings.csv", "seasons") => "seasons behind the rating",
        (_, "season") => "year of harvest, four digits",
        (_, "system") => "production system, for example dryland; leave the column out if there is one",
        ("trials.csv", "water") => {
            "water the crop could use: stored, rain and irrigation, in the network\u{2019}s unit"
        }
        ("trials.csv", "reps") => "replicates",
        ("trials.csv", "error_ms") => "error mean square of a plot, yield unit squared",
        ("trials.csv", "lsd") => "least significant difference, yield unit",
        ("trials.csv", "lsd_level") => "level of that LSD: 0.05 or 0.1",
        ("trials.csv", "cv") => "coefficient of variation, percent",
        ("trials.csv", "fallow") => "yes if the ground was fallow before",
        ("trials.csv", "excluded") => {
            "why the trial does not count: drought, hail, stand or other; blank if it does"
        }
        (_, "variety") => "code of the variety, the same in every file",
        (_, "yield") => "yield in the network\u{2019}s unit; blank for a lost plot",
        ("means.csv", "plots") => "plots behind the mean",
        ("plots.csv", "rep") => "replicate",
        ("plots.csv", "block") => "incomplete block within the replicate, if there are any",
        ("plots.csv", "row") => "row of the plot in the field",
        ("plots.csv", "col") => "column of the plot in the field",
        ("varieties.csv", "released") => "year of release",
        ("varieties.csv", "origin") => "who bred it",
        ("varieties.csv", "class") => "market class",
        ("varieties.csv", "seed_cost") => "seed cost per acre or hectare",
        ("varieties.csv", "keep_seed") => "whether seed may be kept: yes, no or ask",
        ("varieties.csv", "herbicide_trait") => "herbicide trait, if any",
        ("varieties.csv", "note") => "your note for growers",
        ("varieties.csv", "note_es") => "the same in Spanish",
        ("sites.csv", "zone") => "zone, for example upper or lower",
        ("sites.csv", "latitude") => "degrees north",
        ("sites.csv", "longitude") => "degrees east, west negative",
        ("sites.csv", "elevation_m") => "metres above the sea",
        ("water.csv", "water") => "water of that season, as in trials.csv",
        (_, "trait") => "code of the trait, the same in every file",
        ("traits.csv", "label") => "name of the trait",
        ("traits.csv", "label_es") => "the same in Spanish",
        ("traits.csv", "kind") => "disease, pest, agronomic, quality or grazing",
        ("traits.csv", "best") => "the best value of the scale",
        ("traits.csv", "worst") => "the worst value of the scale",
        ("traits.csv", "unit") => "unit of the rating",
        ("traits.csv", "severe_loss") => {
            "share of yield that a susceptible variety loses in a severe attack, 0 to 1"
        }
        ("traits.csv", "severe_loss_sd") => "how uncertain that share is; blank takes half of it",
        ("traits.csv", "vector") => "what carries it, if resistance can fail in a warm autumn",
        ("traits.csv", "protectable") => "whether a spray protects: yes or no",
        ("traits.csv", "efficacy") => "share of the loss that a spray prevents, 0 to 1",
        ("traits.csv", "spray_cost") => "cost of a spray per acre or hectare",
        ("traits.csv", "label_note") => "what the label says",
        ("traits.csv", "source") => "where the figures come from",
        ("ratings.csv", "value") => "the rating, on the trait\u{2019}s scale",
        ("pressure.csv", "pressure") => {
            "0 none, 1 light, 2 moderate, 3 severe; leave the row out if it was not noted"
        }
        ("shortlist.csv", "stance") => "in, out or follow",
        ("shortlist.csv", "note") => "your note for growers",
        ("shortlist.csv", "by") => "who says so",
        ("shortlist.csv", "date") => "when, for example 2025-07-28",
        _ => "",
    }
}

/// Label and hint of a key of `network.json`.
pub(super) fn key(key: &str) -> (&'static str, &'static str) {
    match key {
        "name" => ("name of the network", "needed; the page\u{2019}s title"),
        "crop" => ("crop", "for example winter wheat"),
        "yield_unit" => ("unit of yield", "needed; of every yield in the files"),
        "bushel_lb" => ("pounds in a bushel", "wheat 60, barley 48, oats 32, rye 56"),
        "water_unit" => ("unit of water", "of every amount of water in the files"),
        "checks" => ("checks", "codes between commas"),
        "currency" => ("currency", "for example $"),
        "defaults.price" => ("price of grain", "a bushel, or 100 lb with lb/ac, else a tonne"),
        "defaults.cost" => ("cost", "an acre, or a hectare with t/ha and kg/ha"),
        "defaults.system" => ("system it opens with", "as in trials.csv; blank for the first"),
        "data_date" => ("date of the data", "for example 2025-07-28"),
        "contact" => ("whom to ask", ""),
        "funded_by" => ("who paid for the trials", ""),
        "home_url" => ("address on the web", "where the page will live, if anywhere"),
        "seasons_to_prove" => ("seasons before a variety is well tested", "3 if blank"),
        "lapse_after" => ("seasons without a trial before it counts as no longer tested", "2 if blank"),
        "invented" => ("the data are invented", "every view then says so"),
        _ => ("", ""),
    }
}
