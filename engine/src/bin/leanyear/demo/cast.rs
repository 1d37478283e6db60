//! The invented varieties: names, where they come from, when they came into the trials and left them.
//!
//! The names were made up for this network. The schedule is designed, not drawn: varieties come and go,
//! some after two seasons, some newcomers have only just arrived. Nothing here knows of yields.

use super::land::{FIRST_TRIAL_SEASON, System, TRIAL_SEASONS};
use super::random::{normal, rounded, uniform};

/// Systems a variety is entered in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entered {
    /// All three.
    Everywhere,
    /// Dryland only.
    Dryland,
    /// The two irrigated systems only.
    Irrigated,
}

/// An invented variety.
pub struct Member {
    /// Name.
    pub name: &'static str,
    /// Breeding programme: A and B are public, C to E private.
    pub programme: char,
    /// Year it first stood in any trial, here or elsewhere: breeding progress counts from it.
    pub bred: i32,
    /// First and last season in these trials.
    pub seasons: (i32, i32),
    /// Systems.
    pub entered: Entered,
}

const fn member(
    name: &'static str,
    programme: char,
    bred: i32,
    first: i32,
    last: i32,
    entered: Entered,
) -> Member {
    Member { name, programme, bred, seasons: (first, last), entered }
}

/// Checks, by place in [`CAST`]: present in every trial of every season.
pub const CHECKS: [usize; 3] = [0, 1, 2];

/// All varieties, in the order of their codes.
pub const CAST: [Member; 64] = {
    use Entered::{Dryland as D, Everywhere as E, Irrigated as I};
    [
        member("Pardovey", 'A', 2006, 2017, 2025, E),
        member("Brindollet", 'B', 2010, 2017, 2025, E),
        member("Ottivesk", 'C', 2013, 2017, 2025, E),
        member("Hollambry", 'A', 2004, 2017, 2025, E),
        member("Kordallay", 'B', 2005, 2017, 2017, D),
        member("Undovere", 'C', 2006, 2017, 2018, E),
        member("Fennadry", 'A', 2007, 2017, 2020, D),
        member("Wexallow", 'D', 2007, 2017, 2017, E),
        member("Quorrimel", 'B', 2008, 2017, 2022, E),
        member("Tamberoy", 'C', 2008, 2017, 2019, D),
        member("Lorrivast", 'A', 2009, 2017, 2018, E),
        member("Estravole", 'E', 2009, 2017, 2021, E),
        member("Cardimunt", 'A', 2010, 2017, 2023, D),
        member("Norrabin", 'D', 2010, 2017, 2019, E),
        member("Gantrivel", 'B', 2011, 2017, 2025, E),
        member("Wistavor", 'C', 2011, 2017, 2020, D),
        member("Jundavere", 'A', 2011, 2017, 2022, E),
        member("Sundravost", 'E', 2012, 2017, 2025, D),
        member("Mundrapel", 'D', 2012, 2017, 2019, I),
        member("Rellowan", 'B', 2012, 2017, 2024, E),
        member("Vorrabell", 'C', 2013, 2017, 2025, E),
        member("Idrasket", 'A', 2013, 2017, 2017, D),
        member("Tessivorn", 'D', 2013, 2017, 2021, E),
        member("Bramoven", 'B', 2014, 2017, 2025, E),
        member("Yorrimast", 'E', 2014, 2017, 2018, D),
        member("Lanstobel", 'C', 2014, 2017, 2025, I),
        member("Drusamer", 'A', 2014, 2017, 2022, E),
        member("Alvistrook", 'D', 2015, 2017, 2025, E),
        member("Skellamy", 'B', 2015, 2017, 2021, D),
        member("Prastimore", 'C', 2015, 2017, 2025, E),
        member("Gorvallin", 'E', 2016, 2017, 2025, E),
        member("Mistollow", 'A', 2016, 2017, 2019, D),
        member("Zerrimond", 'D', 2016, 2017, 2024, E),
        member("Chanterow", 'B', 2016, 2017, 2025, D),
        member("Pendrasco", 'C', 2017, 2017, 2020, E),
        member("Farrovend", 'A', 2017, 2017, 2025, E),
        member("Vembrastle", 'D', 2018, 2018, 2025, E),
        member("Rastivond", 'B', 2018, 2018, 2019, D),
        member("Quandasper", 'C', 2018, 2018, 2025, E),
        member("Imbrawell", 'E', 2019, 2019, 2020, D),
        member("Bellusame", 'A', 2019, 2019, 2025, E),
        member("Trundavel", 'D', 2019, 2019, 2021, I),
        member("Corrimask", 'B', 2019, 2019, 2025, E),
        member("Hadrowen", 'C', 2020, 2020, 2025, D),
        member("Nevastrick", 'A', 2020, 2020, 2025, E),
        member("Zarrupine", 'E', 2020, 2020, 2021, E),
        member("Kelvashor", 'B', 2021, 2021, 2025, E),
        member("Ordavine", 'D', 2021, 2021, 2022, D),
        member("Fostigam", 'C', 2021, 2021, 2025, E),
        member("Jorrimond", 'A', 2021, 2021, 2025, D),
        member("Vustrandle", 'D', 2022, 2022, 2025, E),
        member("Umbrasket", 'B', 2022, 2022, 2023, E),
        member("Lemmaroy", 'E', 2022, 2022, 2025, I),
        member("Elbrondy", 'C', 2022, 2022, 2025, D),
        member("Sorvadine", 'A', 2023, 2023, 2025, E),
        member("Yandroke", 'D', 2023, 2023, 2024, D),
        member("Mulvastry", 'B', 2023, 2023, 2025, E),
        member("Dorvaney", 'A', 2024, 2024, 2025, E),
        member("Hestogan", 'C', 2024, 2024, 2025, D),
        member("Nistrobel", 'E', 2024, 2024, 2025, E),
        member("Wandrimer", 'B', 2025, 2025, 2025, E),
        member("Ambrusket", 'D', 2025, 2025, 2025, D),
        member("Rovantick", 'C', 2025, 2025, 2025, E),
        member("Ostrimal", 'A', 2025, 2025, 2025, E),
    ]
};

/// Share of trials that a variety misses for want of seed or by mishap.
const MISSED: f64 = 0.05;
/// The same in its first season, when seed is short.
const MISSED_AT_FIRST: f64 = 0.22;

impl Member {
    /// Whether it was in these trials in a season.
    pub fn tested_in(&self, season: i32) -> bool {
        (self.seasons.0..=self.seasons.1).contains(&season)
    }

    /// Seasons in these trials.
    pub fn seasons_tested(&self) -> usize {
        (self.seasons.1 - self.seasons.0 + 1) as usize
    }

    /// Whether it has only one or two seasons and is still there.
    pub fn newcomer(&self) -> bool {
        self.seasons.0 >= FIRST_TRIAL_SEASON + TRIAL_SEASONS as i32 - 2
    }

    /// Whether it is entered in a system.
    pub fn entered_in(&self, system: System) -> bool {
        match self.entered {
            Entered::Everywhere => true,
            Entered::Dryland => system == System::Dryland,
            Entered::Irrigated => system != System::Dryland,
        }
    }

    /// Year of release: the year after it was first tested; none yet for this year's newcomers.
    pub fn released(&self) -> Option<i32> {
        (self.bred < 2025).then_some(self.bred + 1)
    }

    /// Where it comes from.
    pub fn origin(&self) -> String {
        let kind = if self.public() { "public" } else { "private" };
        format!("{kind} programme {}", self.programme)
    }

    fn public(&self) -> bool {
        matches!(self.programme, 'A' | 'B')
    }
}

/// Code of a variety.
pub fn code(variety: usize) -> String {
    format!("V{:02}", variety + 1)
}

/// Market class.
pub fn class(variety: usize) -> &'static str {
    if uniform("class", &[variety]) < 0.2 { "hard white winter" } else { "hard red winter" }
}

/// Seed cost, $ an acre; none before release.
pub fn seed_cost(variety: usize) -> Option<f64> {
    CAST[variety].released()?;
    let mean = if CAST[variety].public() { 14.5 } else { 22.0 };
    Some(rounded(mean + 1.8 * normal("seed cost", &[variety]).clamp(-1.5, 1.5), 0.5))
}

/// Whether seed may be kept.
pub fn keep_seed(variety: usize) -> &'static str {
    match CAST[variety].programme {
        _ if CAST[variety].released().is_none() => "",
        'A' => "yes",
        'B' if CAST[variety].bred < 2012 => "yes",
        'B' | 'C' => "ask",
        _ => "no",
    }
}

/// Herbicide trait, if any.
pub fn herbicide_trait(variety: usize) -> &'static str {
    match variety {
        31 | 38 | 50 => "group 1 tolerant",
        27 | 48 => "group 2 tolerant, two genes",
        _ => "",
    }
}

/// Varieties sown in a trial, by place in [`CAST`], in order.
pub fn entries(place: usize, season: i32, system: System) -> Vec<usize> {
    (0..CAST.len())
        .filter(|variety| {
            let member = &CAST[*variety];
            if !member.tested_in(season) || !member.entered_in(system) {
                return false;
            }
            let missed =
                if season == member.seasons.0 && member.bred == season { MISSED_AT_FIRST } else { MISSED };
            CHECKS.contains(variety)
                || uniform("sown", &[*variety, place, season as usize, system.index()]) >= missed
        })
        .collect()
}
