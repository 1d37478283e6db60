//! Sums over networks: shares and means with standard errors clustered by network, and reliability in tenths.
//!
//! Every network counts as one, however many cells it scores: within it each cell weighs 1/cells. The mean is
//! a ratio Σ s_g / Σ n_g of network sums, its standard error √(G/(G − 1)·Σ_g (s_g − m·n_g)²)/Σ n_g (Liang & Zeger
//! 1986, Biometrika 73:13–22, for a ratio). It knows numbers and names only.

use leanyear_engine::order::Map;

/// Tenths of the scale of chances.
pub const TENTHS: usize = 10;

/// Cells of one measure in one network: how many, and their sum.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Cells {
    /// How many.
    pub count: f64,
    /// Their sum.
    pub sum: f64,
}

/// One tenth of one kind of chance in one network.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Tenth {
    /// Chances that fell here.
    pub count: f64,
    /// Their sum.
    pub said: f64,
    /// Sum of what came true.
    pub came: f64,
}

/// What one network gave.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tally {
    /// Groups of networks that this one belongs to.
    pub strata: Vec<&'static str>,
    /// Cells by measure.
    pub cells: Map<&'static str, Cells>,
    /// Tenths by kind of chance.
    pub chances: Map<&'static str, [Tenth; TENTHS]>,
}

impl Tally {
    /// Adds a value to a measure.
    pub fn add(&mut self, measure: &'static str, value: f64) {
        let cells = self.cells.entry(measure).or_default();
        cells.count += 1.0;
        cells.sum += value;
    }

    /// Adds whether something held.
    pub fn hold(&mut self, measure: &'static str, held: bool) {
        self.add(measure, f64::from(u8::from(held)));
    }

    /// Adds a chance that was said and the share that came true.
    pub fn chance(&mut self, kind: &'static str, said: f64, came: f64) {
        let place = ((said * TENTHS as f64) as usize).min(TENTHS - 1);
        let tenth = &mut self.chances.entry(kind).or_default()[place];
        tenth.count += 1.0;
        tenth.said += said;
        tenth.came += came;
    }
}

/// A mean over networks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pooled {
    /// Networks that have such cells.
    pub networks: usize,
    /// Mean, every network counting as one.
    pub mean: f64,
    /// Standard error clustered by network; not a number below two networks.
    pub error: f64,
}

/// A tenth pooled over networks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PooledTenth {
    /// Networks with a chance in it.
    pub networks: usize,
    /// Share of all chances that fell here.
    pub share: f64,
    /// Mean chance said.
    pub said: f64,
    /// Share that came true.
    pub came: f64,
    /// Standard error of the difference, clustered by network.
    pub error: f64,
}

/// Ratio of sums over networks, with its clustered error.
fn ratio(pairs: &[(f64, f64)]) -> (f64, f64) {
    let (weight, sum) = pairs.iter().fold((0.0, 0.0), |(w, s), (a, b)| (w + a, s + b));
    let mean = sum / weight;
    let groups = pairs.len() as f64;
    let squares: f64 = pairs.iter().map(|(w, s)| (s - mean * w).powi(2)).sum();
    (mean, (groups / (groups - 1.0) * squares).sqrt() / weight)
}

/// Networks of a stratum; all of them where it is `None`.
pub fn of<'a>(tallies: &'a [Tally], stratum: Option<&str>) -> Vec<&'a Tally> {
    tallies.iter().filter(|t| stratum.is_none_or(|name| t.strata.contains(&name))).collect()
}

/// Pools one measure.
pub fn pool(tallies: &[&Tally], measure: &str) -> Option<Pooled> {
    let pairs: Vec<(f64, f64)> = tallies
        .iter()
        .filter_map(|t| t.cells.get(measure))
        .filter(|c| c.count > 0.0)
        .map(|c| (1.0, c.sum / c.count))
        .collect();
    let (mean, error) = ratio(&pairs);
    (!pairs.is_empty()).then_some(Pooled { networks: pairs.len(), mean, error })
}

/// Pools one kind of chance, tenth by tenth.
pub fn tenths(tallies: &[&Tally], kind: &str) -> Vec<Option<PooledTenth>> {
    let lists: Vec<(&[Tenth; TENTHS], f64)> = tallies
        .iter()
        .filter_map(|t| t.chances.get(kind))
        .map(|list| (list, list.iter().map(|t| t.count).sum()))
        .collect();
    (0..TENTHS)
        .map(|k| {
            let here: Vec<(f64, f64, f64)> = lists
                .iter()
                .map(|(list, total)| (&list[k], total))
                .filter(|(t, _)| t.count > 0.0)
                .map(|(t, total)| (t.count / total, t.said / total, t.came / total))
                .collect();
            let share: f64 = here.iter().map(|h| h.0).sum::<f64>() / lists.len() as f64;
            let (said, _) = ratio(&here.iter().map(|h| (h.0, h.1)).collect::<Vec<_>>());
            let (came, _) = ratio(&here.iter().map(|h| (h.0, h.2)).collect::<Vec<_>>());
            let (_, error) = ratio(&here.iter().map(|h| (h.0, h.2 - h.1)).collect::<Vec<_>>());
            (!here.is_empty()).then_some(PooledTenth { networks: here.len(), share, said, came, error })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tally(values: &[f64]) -> Tally {
        let mut tally = Tally::default();
        values.iter().for_each(|v| tally.add("x", *v));
        tally
    }

    /// Law: with one cell a network this is the ordinary mean and standard error, √(Σ(x − x̄)²/(n(n − 1))).
    #[test]
    fn single_cells_give_the_ordinary_standard_error() {
        let tallies: Vec<Tally> = [1.0, 2.0, 4.0, 9.0].iter().map(|x| tally(&[*x])).collect();
        let pooled = pool(&of(&tallies, None), "x").unwrap_or(Pooled { networks: 0, mean: 0.0, error: 0.0 });
        assert_eq!(pooled.networks, 4);
        assert!((pooled.mean - 4.0).abs() < 1e-12);
        assert!((pooled.error - (38.0f64 / 12.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn a_network_with_many_cells_counts_as_one() {
        let tallies = [tally(&[1.0; 50]), tally(&[0.0])];
        let pooled = pool(&of(&tallies, None), "x");
        assert!(pooled.is_some_and(|p| (p.mean - 0.5).abs() < 1e-12));
        assert_eq!(pool(&of(&tallies, None), "y"), None);
    }

    #[test]
    fn a_chance_of_one_falls_into_the_last_tenth() {
        let mut tally = Tally::default();
        tally.chance("short", 1.0, 1.0);
        tally.chance("short", 0.05, 0.2);
        let tallies = [tally];
        let pooled = tenths(&of(&tallies, None), "short");
        assert!(pooled[9].is_some_and(|t| t.came == 1.0 && (t.share - 0.5).abs() < 1e-12));
        assert!(pooled[0].is_some_and(|t| (t.came - 0.2).abs() < 1e-12));
        assert_eq!(pooled[5], None);
    }
}
