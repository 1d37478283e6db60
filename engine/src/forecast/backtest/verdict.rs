//! Whether the ranges promised too much or too little, judged over the seasons of one production system, and by
//! how much the differences between varieties were missed, beside the table of raw means.
//!
//! A range that should hold four times in five is judged by |share held − 0.8| ≤ max(0.03, 2 standard errors),
//! the error clustered by season, since all results of a season share its surprises. Fewer than eight seasons
//! are reported and not judged: with so few, ranges known perfectly would look wrong too often. It knows counts
//! of results, not models.

use super::super::score::clustered_mean;
use super::ranges::TrialRange;
use crate::order::Map;

/// What the ranges promise: the share of results that they should hold.
const PROMISED: f64 = 0.8;
/// A share this close to what was promised is as good as it.
const TOLERANCE: f64 = 0.03;
/// Fewest seasons that are judged.
const MIN_SEASONS: usize = 8;
/// A season that held a smaller share than this is pointed out as a bad one.
const POOR_SEASON: f64 = 0.7;

/// How the ranges stand against their promise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// There is no season to check.
    Nothing,
    /// Too few seasons to judge.
    TooFewSeasons,
    /// Fewer results held than promised: the ranges are too narrow.
    TooNarrow,
    /// More results held than promised: the ranges are wider than they need be.
    TooWide,
    /// As many as promised, as far as these seasons can tell.
    AsPromised,
}

/// By how much varieties' differences from their trial's average were missed: root mean squared error, yield unit.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Missed {
    /// By the forecast.
    pub forecast: f64,
    /// By the table of raw means.
    pub raw_means: f64,
}

impl Missed {
    /// Over results with these counts and mean squared errors.
    fn over<'a>(ranges: impl Iterator<Item = &'a TrialRange>) -> Missed {
        let (mut n, mut forecast, mut raw) = (0.0, 0.0, 0.0);
        for range in ranges {
            let count = f64::from(range.n);
            n += count;
            forecast += count * range.error_ms;
            raw += count * range.error_ms_raw;
        }
        let n = f64::max(n, 1.0);
        Missed { forecast: (forecast / n).sqrt(), raw_means: (raw / n).sqrt() }
    }

    fn times(self, factor: f64) -> Missed {
        Missed { forecast: factor * self.forecast, raw_means: factor * self.raw_means }
    }
}

/// Results of one season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeasonRecord {
    /// Season.
    pub season: i32,
    /// Results inside their range.
    pub held: u32,
    /// Results.
    pub n: u32,
    /// Whether the season went badly for the ranges.
    pub poor: bool,
    /// By how much differences were missed.
    pub missed: Missed,
}

/// The track record of one system.
#[derive(Debug, Clone, PartialEq)]
pub struct TrackRecord {
    /// Season by season, oldest first.
    pub seasons: Vec<SeasonRecord>,
    /// Results inside their range.
    pub held: u32,
    /// Results.
    pub n: u32,
    /// Results that were promised to be inside.
    pub promised: u32,
    /// The verdict.
    pub verdict: Verdict,
    /// By how much differences were missed, over all seasons.
    pub missed: Missed,
}

impl TrackRecord {
    /// The same record with what was missed counted in another yield unit.
    pub fn in_unit(mut self, factor: f64) -> TrackRecord {
        self.missed = self.missed.times(factor);
        self.seasons.iter_mut().for_each(|season| season.missed = season.missed.times(factor));
        self
    }
}

/// The track record of `system`: ranges of whole yields, and differences between varieties.
pub fn track_record(ranges: &[TrialRange], system: &str) -> TrackRecord {
    let here = || ranges.iter().filter(|range| range.system == system && range.n > 0);
    let mut by_season: Map<i32, (u32, u32)> = Map::new();
    for range in here() {
        let slot = by_season.entry(range.season).or_default();
        *slot = (slot.0 + range.yields_held, slot.1 + range.n);
    }
    let (held, n) = by_season.values().fold((0, 0), |sum, season| (sum.0 + season.0, sum.1 + season.1));
    let seasons = by_season.iter().map(|(&season, &(held, n))| SeasonRecord {
        season,
        held,
        n,
        poor: f64::from(held) < POOR_SEASON * f64::from(n),
        missed: Missed::over(here().filter(|range| range.season == season)),
    });
    TrackRecord {
        seasons: seasons.collect(),
        missed: Missed::over(here()),
        held,
        n,
        promised: (PROMISED * f64::from(n)).round() as u32,
        verdict: verdict(&by_season),
    }
}

/// Judges results held and results by season.
fn verdict(by_season: &Map<i32, (u32, u32)>) -> Verdict {
    if by_season.is_empty() {
        return Verdict::Nothing;
    }
    if by_season.len() < MIN_SEASONS {
        return Verdict::TooFewSeasons;
    }
    let results = |(&season, &(held, n)): (&i32, &(u32, u32))| {
        (0..n).map(move |k| (season, f64::from(u8::from(k < held))))
    };
    let (share, error) = clustered_mean(&by_season.iter().flat_map(results).collect::<Vec<_>>());
    let tolerance = TOLERANCE.max(2.0 * error.unwrap_or(f64::INFINITY));
    match share - PROMISED {
        off if off < -tolerance => Verdict::TooNarrow,
        off if off > tolerance => Verdict::TooWide,
        _ => Verdict::AsPromised,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The record of seasons that each held so many of a hundred.
    fn of(held: &[u32]) -> TrackRecord {
        let range = |(k, held): (usize, &u32)| TrialRange {
            season: 2001 + k as i32,
            system: "dryland".to_owned(),
            n: 100,
            held: 0,
            yields_held: *held,
            error_ms: 4.0,
            error_ms_raw: 9.0,
        };
        track_record(&held.iter().enumerate().map(range).collect::<Vec<_>>(), "dryland")
    }

    #[test]
    fn steady_seasons_are_judged_by_three_points() {
        assert_eq!(of(&[80; 8]).verdict, Verdict::AsPromised);
        assert_eq!(of(&[76; 8]).verdict, Verdict::TooNarrow);
        assert_eq!(of(&[84; 8]).verdict, Verdict::TooWide);
        assert_eq!(of(&[78; 8]).verdict, Verdict::AsPromised);
    }

    #[test]
    fn seasons_that_differ_widely_settle_nothing() {
        // Mean .70; by hand the clustered error of 4 × .55 and 4 × .85 is √(8/7 · 8 · .15²)/8 ≈ .057,
        // so .10 below the promise is within two of them.
        assert_eq!(of(&[55, 85, 55, 85, 55, 85, 55, 85]).verdict, Verdict::AsPromised);
        assert_eq!(of(&[70; 8]).verdict, Verdict::TooNarrow);
    }

    #[test]
    fn what_was_missed_is_weighed_by_results_and_told_in_any_unit() {
        let range = |season, n, error_ms| TrialRange {
            season,
            system: "dryland".to_owned(),
            n,
            held: 0,
            yields_held: 0,
            error_ms,
            error_ms_raw: 2.0 * error_ms,
        };
        let record = track_record(&[range(2001, 30, 16.0), range(2002, 10, 64.0)], "dryland");
        // By hand: √((30·16 + 10·64)/40) = √28, and √56 by the table; season by season 4 and 8.
        assert!((record.missed.forecast - 28.0_f64.sqrt()).abs() < 1e-12);
        assert!((record.missed.raw_means - 56.0_f64.sqrt()).abs() < 1e-12);
        let doubled = record.in_unit(2.0);
        let seasons: Vec<f64> = doubled.seasons.iter().map(|season| season.missed.forecast).collect();
        assert_eq!(seasons, [8.0, 16.0]);
        assert!((doubled.missed.forecast - 2.0 * 28.0_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn too_few_seasons_are_reported_and_not_judged() {
        let record = of(&[40, 90, 69, 70]);
        assert_eq!(record.verdict, Verdict::TooFewSeasons);
        assert_eq!((record.held, record.n, record.promised), (269, 400, 320));
        let poor: Vec<bool> = record.seasons.iter().map(|season| season.poor).collect();
        assert_eq!(poor, [true, false, true, false]);
        assert_eq!(of(&[]).verdict, Verdict::Nothing);
        let other = TrialRange {
            season: 2001,
            system: "other".into(),
            n: 9,
            held: 9,
            yields_held: 9,
            error_ms: 1.0,
            error_ms_raw: 1.0,
        };
        assert_eq!(track_record(&[other], "dryland"), of(&[]));
    }
}
