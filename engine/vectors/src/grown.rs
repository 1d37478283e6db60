//! What a variety makes in each draw of a season.

/// A season's draws and a variety's, N each.
#[derive(Debug, Clone, Copy)]
pub struct Grown<'a> {
    /// Level m of the season, share of the system's mean yield.
    pub level: &'a [f64],
    /// Share of it that diseases take from the variety.
    pub lost: &'a [f64],
    /// What variety differences are multiplied by, m^κ.
    pub grown: &'a [f64],
    /// Standardised water that slopes act on.
    pub reach: &'a [f64],
    /// Standard deviation of the variety's own departure, shares.
    pub spread: &'a [f64],
    /// Whether there is a harvest.
    pub harvested: &'a [bool],
    /// The variety's difference from the reference set at mean water, shares.
    pub difference: &'a [f64],
    /// Its slope on standardised water.
    pub slope: &'a [f64],
    /// Standard normal numbers of its own departure.
    pub departure: &'a [f64],
}

impl Grown<'_> {
    /// level·(1 − lost) + grown·(difference + slope·reach) + spread·departure, cut at 0, and 0 where there is no
    /// harvest; times `scale`.
    pub fn yields(&self, scale: f64) -> Vec<f64> {
        let count = self.level.len();
        let [level, lost, grown, reach, spread, difference, slope, departure] = [
            self.level,
            self.lost,
            self.grown,
            self.reach,
            self.spread,
            self.difference,
            self.slope,
            self.departure,
        ]
        // One length for all: the loop need not ask again.
        .map(|values| &values[..count]);
        let harvested = &self.harvested[..count];
        (0..count)
            .map(|n| {
                let effect = difference[n] + slope[n] * reach[n];
                let share = level[n] * (1.0 - lost[n]) + grown[n] * effect + spread[n] * departure[n];
                if harvested[n] && share > 0.0 { share * scale } else { 0.0 }
            })
            .collect()
    }
}
