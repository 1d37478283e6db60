//! The row of each CSV file as its typed struct: which column is which field, and what each may hold.
//!
//! One function a file. A function returns `None` only after a fault of the row was named, or where a
//! required column is missing, which was named once for the file. Knows one row at a time.

use super::cells::{Bounds, Cells};
use super::tables::{
    ErrorReport, Exclusion, Mean, Plot, Pressure, Rating, ShortlistEntry, Site, Trait, TraitKind, Trial,
    Variety, WaterRecord,
};

/// The system of every trial where no file names one.
pub const ONE_SYSTEM: &str = "all";

const YES_NO: [(&str, bool); 2] = [("yes", true), ("no", false)];
const NOT_NEGATIVE: Bounds = Bounds::AtLeast(0.0);
const SHARE: Bounds = Bounds::Within(0.0, 1.0);

fn system(cells: &Cells<'_>) -> String {
    cells.optional_text("system").unwrap_or_else(|| ONE_SYSTEM.to_owned())
}

/// `trials.csv`.
pub(super) fn trial(cells: &mut Cells<'_>) -> Option<Trial> {
    let trial = cells.filled("trial");
    let site = cells.filled("site");
    let season = cells.filled_year("season");
    let water = cells.number("water", Bounds::Water);
    let error = ErrorReport {
        reps: cells.number("reps", Bounds::AtLeast(1.0)),
        error_ms: cells.number("error_ms", Bounds::AboveZero),
        lsd: cells.number("lsd", Bounds::AboveZero),
        lsd_level: cells.number("lsd_level", Bounds::Between(0.0, 1.0)),
        cv: cells.number("cv", Bounds::AboveZero),
    };
    let reasons = [
        ("drought", Exclusion::Drought),
        ("hail", Exclusion::Hail),
        ("stand", Exclusion::Stand),
        ("other", Exclusion::Other),
    ];
    let excluded = cells.word("excluded", &reasons);
    let (system, fallow) = (system(cells), cells.optional_text("fallow"));
    Some(Trial { trial: trial?, site: site?, season: season?, system, water, error, fallow, excluded })
}

/// `means.csv`.
pub(super) fn mean(cells: &mut Cells<'_>) -> Option<Mean> {
    let trial = cells.filled("trial");
    let variety = cells.filled("variety");
    let yield_ = cells.filled_number("yield", Bounds::Yield);
    let plots = cells.number("plots", Bounds::AtLeast(1.0));
    Some(Mean { trial: trial?, variety: variety?, yield_: yield_?, plots })
}

/// `plots.csv`; a blank yield is a lost plot, and a blank replicate one of a trial that has blocks alone.
pub(super) fn plot(cells: &mut Cells<'_>) -> Option<Plot> {
    let trial = cells.filled("trial");
    let block = cells.optional_text("block");
    // Without a column of replicates it is the block that is missing.
    let rep = match &block {
        Some(_) => Some(cells.text("rep")),
        None if cells.has("rep") => cells.filled("rep"),
        None => cells.filled("block"),
    };
    let variety = cells.filled("variety");
    let row = cells.number("row", Bounds::Finite);
    let col = cells.number("col", Bounds::Finite);
    let yield_ = cells.number("yield", Bounds::Yield);
    Some(Plot { trial: trial?, rep: rep?, block, row, col, variety: variety?, yield_ })
}

/// `varieties.csv`.
pub(super) fn variety(cells: &mut Cells<'_>) -> Option<Variety> {
    let variety = cells.filled("variety");
    let released = cells.year("released");
    let seed_cost = cells.number("seed_cost", NOT_NEGATIVE);
    let keep_seed = cells.word("keep_seed", &[("yes", "yes"), ("no", "no"), ("ask", "ask")]);
    Some(Variety {
        variety: variety?,
        name: cells.text("name"),
        released,
        origin: cells.text("origin"),
        class: cells.text("class"),
        seed_cost,
        keep_seed: keep_seed.unwrap_or_default().to_owned(),
        herbicide_trait: cells.text("herbicide_trait"),
        note: cells.text("note"),
        note_es: cells.text("note_es"),
    })
}

/// `sites.csv`.
pub(super) fn site(cells: &mut Cells<'_>) -> Option<Site> {
    let site = cells.filled("site");
    let latitude = cells.number("latitude", Bounds::Within(-90.0, 90.0));
    let longitude = cells.number("longitude", Bounds::Within(-180.0, 180.0));
    // From below the Dead Sea's shore to above the highest farmed land.
    let elevation_m = cells.number("elevation_m", Bounds::Within(-450.0, 6000.0));
    let (name, zone) = (cells.text("name"), cells.text("zone"));
    Some(Site { site: site?, name, zone, latitude, longitude, elevation_m })
}

/// `water.csv`.
pub(super) fn water(cells: &mut Cells<'_>) -> Option<WaterRecord> {
    let site = cells.filled("site");
    let season = cells.filled_year("season");
    let water = cells.filled_number("water", Bounds::Water);
    Some(WaterRecord { site: site?, season: season?, system: system(cells), water: water? })
}

/// `traits.csv`.
pub(super) fn trait_(cells: &mut Cells<'_>) -> Option<Trait> {
    let trait_ = cells.filled("trait");
    let kinds = [
        ("disease", TraitKind::Disease),
        ("pest", TraitKind::Pest),
        ("agronomic", TraitKind::Agronomic),
        ("quality", TraitKind::Quality),
        ("grazing", TraitKind::Grazing),
    ];
    let kind = cells.filled_word("kind", &kinds);
    let best = cells.number("best", Bounds::Finite);
    let worst = cells.number("worst", Bounds::Finite);
    let severe_loss = cells.number("severe_loss", SHARE);
    let severe_loss_sd = cells.number("severe_loss_sd", SHARE);
    let protectable = cells.word("protectable", &YES_NO).unwrap_or(false);
    let efficacy = cells.number("efficacy", SHARE);
    let spray_cost = cells.number("spray_cost", NOT_NEGATIVE);
    Some(Trait {
        trait_: trait_?,
        label: cells.text("label"),
        label_es: cells.text("label_es"),
        kind: kind?,
        best,
        worst,
        unit: cells.text("unit"),
        severe_loss,
        severe_loss_sd,
        vector: cells.text("vector"),
        protectable,
        efficacy,
        spray_cost,
        label_note: cells.text("label_note"),
        source: cells.text("source"),
    })
}

/// `ratings.csv`.
pub(super) fn rating(cells: &mut Cells<'_>) -> Option<Rating> {
    let variety = cells.filled("variety");
    let trait_ = cells.filled("trait");
    let value = cells.filled_number("value", Bounds::Finite);
    let seasons = cells.number("seasons", NOT_NEGATIVE);
    Some(Rating { variety: variety?, trait_: trait_?, value: value?, seasons })
}

/// `pressure.csv`.
pub(super) fn pressure(cells: &mut Cells<'_>) -> Option<Pressure> {
    let trial = cells.filled("trial");
    let trait_ = cells.filled("trait");
    let pressure = cells.filled_pressure("pressure");
    Some(Pressure { trial: trial?, trait_: trait_?, pressure: pressure? })
}

/// `shortlist.csv`.
pub(super) fn shortlist_entry(cells: &mut Cells<'_>) -> Option<ShortlistEntry> {
    let variety = cells.filled("variety");
    let stance = cells.filled_word("stance", &[("in", "in"), ("out", "out"), ("follow", "follow")]);
    Some(ShortlistEntry {
        system: system(cells),
        variety: variety?,
        stance: stance?.to_owned(),
        note: cells.text("note"),
        by: cells.text("by"),
        date: cells.text("date"),
    })
}
