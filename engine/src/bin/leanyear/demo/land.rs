//! The invented upland: its zones, sites and production systems, and the water of 45 seasons.
//!
//! Water is what the crop could use, inches: stored + rain + irrigation. On dryland it is log-normal
//! about the site's mean, with a shared part by season, one by zone and season and one by site and
//! season; irrigation replaces part of what the sky gives and so raises the level and narrows the
//! spread. Nothing here knows of varieties or yields. The places are nowhere: no coordinates.

use super::random::{normal, rounded};

/// First and last harvest year of the water record.
pub const WATER_SEASONS: std::ops::RangeInclusive<i32> = 1981..=2025;
/// First harvest year with trials.
pub const FIRST_TRIAL_SEASON: i32 = 2017;
/// Harvest years with trials.
pub const TRIAL_SEASONS: usize = 9;

/// Standard deviation of log dryland water over seasons: 27 % of the mean, near enough.
const LOG_WATER_SD: f64 = 0.26;
/// Shares of that variance by season, by zone and season, by site and season.
const WATER_SHARES: [f64; 3] = [0.62, 0.19, 0.19];
/// The common wetness of the trial seasons, standard deviations: 2022 dry, 2025 the driest in memory.
const TRIAL_SEASON_WETNESS: [f64; TRIAL_SEASONS] = [0.3, -0.9, 1.5, 0.5, -0.2, -2.0, -0.5, 0.8, -2.6];
/// No earlier season of the record was as dry as 2022 all over the upland.
const DRIEST_EARLIER_WETNESS: f64 = -1.5;

/// Production systems, in the order in which the files name them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// Stored water and rain only.
    Dryland,
    /// Some 10 inches pumped, not enough for the crop's whole need.
    Limited,
    /// Watered to its need.
    Full,
}

impl System {
    /// All three, in order.
    pub const ALL: [System; 3] = [System::Dryland, System::Limited, System::Full];

    /// As the files name it.
    pub fn code(self) -> &'static str {
        match self {
            System::Dryland => "dryland",
            System::Limited => "limited-irrigation",
            System::Full => "full-irrigation",
        }
    }

    /// The end of a trial's code.
    pub fn suffix(self) -> &'static str {
        match self {
            System::Dryland => "dry",
            System::Limited => "lim",
            System::Full => "full",
        }
    }

    /// Place in [`System::ALL`].
    pub fn index(self) -> usize {
        self as usize
    }

    /// (inches pumped when the sky gives nothing, share of the sky's water that still counts).
    fn irrigation(self) -> (f64, f64) {
        match self {
            System::Dryland => (0.0, 1.0),
            System::Limited => (9.4, 0.72),
            System::Full => (19.8, 0.45),
        }
    }
}

/// An invented place with trials.
pub struct Place {
    /// Code.
    pub code: &'static str,
    /// Name.
    pub name: &'static str,
    /// Place in [`ZONES`].
    pub zone: usize,
    /// Metres above sea level.
    pub elevation_m: u32,
    /// Mean dryland water, inches.
    pub mean_water: f64,
    /// Whether dryland wheat follows a fallow year there.
    pub fallow: bool,
    /// Systems grown, with the first harvest year of each.
    pub systems: &'static [(System, i32)],
}

/// Zones, from the high and dry west to the lower, milder east.
pub const ZONES: [&str; 3] = ["High Varrasend", "Middle Varrasend", "Low Varrasend"];

const fn place(
    code: &'static str,
    name: &'static str,
    zone: usize,
    elevation_m: u32,
    mean_water: f64,
    fallow: bool,
    systems: &'static [(System, i32)],
) -> Place {
    Place { code, name, zone, elevation_m, mean_water, fallow, systems }
}

/// All places, in the order of their codes.
pub const PLACES: [Place; 9] = {
    use System::{Dryland, Full, Limited};
    [
        place("S01", "Tollasket", 0, 1340, 11.6, true, &[(Dryland, 2017)]),
        place("S02", "Quennastead", 0, 1285, 12.3, true, &[(Dryland, 2017), (Full, 2017)]),
        place("S03", "Ossavelt", 1, 1120, 13.2, true, &[(Dryland, 2017)]),
        place("S04", "Pellastrow", 1, 1075, 13.8, true, &[(Dryland, 2017)]),
        place("S05", "Grummadry", 1, 1040, 13.5, false, &[(Dryland, 2017), (Limited, 2017)]),
        place("S06", "Immervold", 2, 905, 15.1, false, &[(Dryland, 2017)]),
        place("S07", "Harnassel", 2, 860, 15.8, false, &[(Dryland, 2019)]),
        place("S08", "Ludravick", 0, 1210, 12.0, false, &[(Limited, 2017), (Full, 2017)]),
        place("S09", "Fandelock", 2, 930, 14.4, false, &[(Limited, 2018), (Full, 2017)]),
    ]
};

/// Trials that were planned and never sown: (site code, harvest year, system).
pub const NOT_SOWN: [(&str, i32, System); 3] =
    [("S04", 2020, System::Dryland), ("S09", 2021, System::Full), ("S08", 2018, System::Limited)];

fn season_wetness(season: i32) -> f64 {
    if season >= FIRST_TRIAL_SEASON {
        return TRIAL_SEASON_WETNESS[(season - FIRST_TRIAL_SEASON) as usize];
    }
    normal("season wetness", &[season as usize]).max(DRIEST_EARLIER_WETNESS)
}

/// Water the crop could use at a place in a season and system, inches to one decimal.
pub fn water(place: usize, season: i32, system: System) -> f64 {
    let [by_season, by_zone, by_site] = WATER_SHARES.map(f64::sqrt);
    let year = season as usize;
    let zone = PLACES[place].zone;
    let wetness = by_season * season_wetness(season)
        + by_zone * normal("zone wetness", &[zone, year])
        + by_site * normal("site wetness", &[place, year]);
    let sky = PLACES[place].mean_water * (LOG_WATER_SD * wetness - LOG_WATER_SD * LOG_WATER_SD / 2.0).exp();
    let (pumped, counted) = system.irrigation();
    rounded(pumped + counted * sky, 0.1)
}
