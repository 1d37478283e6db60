//! Stand-in for the advisor: plausible tables from the means, no model.
use super::table::*;
use crate::link::{Order, Settings, WaterOutlook};
use crate::pack::{Network, Pack};
use statrs::distribution::{ContinuousCDF, Normal};

/// Why odds cannot be given.
#[derive(Debug, thiserror::Error)]
pub enum AdvisorError {
    /// No such system.
    #[error("no fitted trial in system {0}")]
    NoTrials(String),
}

/// Answers for one pack.
pub struct Advisor {
    pack: Pack,
}

/// Draws for a field and outlook.
pub struct Draws {
    key: Settings,
}

impl Draws {
    /// Whether these draws serve other settings.
    pub fn serves(&self, settings: &Settings) -> bool {
        let k = &self.key;
        k.system == settings.system
            && k.site == settings.site
            && k.usual == settings.usual
            && k.water == settings.water
            && k.mine == settings.mine
    }
}

fn hash(text: &str) -> f64 {
    let mut h: u64 = 1469598103934665603;
    for b in text.bytes() {
        h = (h ^ u64::from(b)).wrapping_mul(1099511628211);
    }
    ((h >> 20) % 1000) as f64 / 1000.0
}

impl Advisor {
    /// Makes one.
    pub fn new(pack: Pack) -> Result<Self, AdvisorError> {
        Ok(Self { pack })
    }
    /// The pack.
    pub fn pack(&self) -> &Pack {
        &self.pack
    }
    fn network(&self) -> &Network {
        &self.pack.network
    }
    /// Draws.
    pub fn draws(&self, settings: &Settings) -> Result<Draws, AdvisorError> {
        Ok(Draws { key: settings.clone() })
    }

    fn climate(&self, s: &Settings) -> Vec<(i32, f64)> {
        let mut rows: Vec<(i32, f64)> = self
            .network()
            .water
            .iter()
            .filter(|w| w.system == s.system && s.site.as_ref().is_none_or(|x| *x == w.site))
            .map(|w| (w.season, w.water))
            .collect();
        rows.sort_by(|a, b| a.1.total_cmp(&b.1));
        rows
    }

    /// The season assumed, without any draw.
    pub fn outlook(&self, s: &Settings) -> Result<OutlookSummary, AdvisorError> {
        let rows = self.climate(s);
        let n = rows.len();
        let part = |a: f64, b: f64| {
            rows[(a * n as f64).round() as usize..(b * n as f64).round() as usize].to_vec()
        };
        let inside = match s.water {
            WaterOutlook::Any | WaterOutlook::Thirds(..) => rows.clone(),
            WaterOutlook::DriestFifth => part(0.0, 0.2),
            WaterOutlook::Dry => part(0.0, 1.0 / 3.0),
            WaterOutlook::Middle => part(1.0 / 3.0, 2.0 / 3.0),
            WaterOutlook::Wet => part(2.0 / 3.0, 1.0),
            WaterOutlook::Like(y) => rows.iter().copied().filter(|r| r.0 == y).collect(),
        };
        let m = inside.len().max(1) as f64;
        let lean = match s.water {
            WaterOutlook::Thirds(d, _, w) => 1.0 + (f64::from(w) - f64::from(d)) / 400.0,
            _ => 1.0,
        };
        let dry = matches!(s.water, WaterOutlook::DriestFifth | WaterOutlook::Dry);
        Ok(OutlookSummary {
            source: if n > 0 { ClimateSource::LongRecord } else { ClimateSource::None },
            seasons_in_record: n as u32,
            seasons_like_this: inside.len() as u32,
            water_mean: (n > 0).then(|| lean * inside.iter().map(|r| r.1).sum::<f64>() / m),
            water_range: inside.first().zip(inside.last()).map(|(a, b)| (a.1, b.1)),
            record_years: rows.iter().map(|r| r.0).min().zip(rows.iter().map(|r| r.0).max()),
            drier_than_harvested: s.water == WaterOutlook::DriestFifth,
            chance_no_harvest: if dry { 0.08 } else { 0.03 },
        })
    }

    fn level(&self, s: &Settings) -> (f64, f64, f64) {
        let n = self.network();
        let mut sum = (0.0, 0.0);
        for t in n.trials.iter().filter(|t| t.system == s.system && t.excluded.is_none()) {
            let ys: Vec<f64> = n.means.iter().filter(|m| m.trial == t.trial).map(|m| m.yield_).collect();
            sum.0 += ys.iter().sum::<f64>() / ys.len().max(1) as f64;
            sum.1 += 1.0;
        }
        let base = s.usual.unwrap_or(sum.0 / f64::max(sum.1, 1.0));
        let all = self.climate(s);
        let mean = all.iter().map(|r| r.1).sum::<f64>() / all.len().max(1) as f64;
        (base, mean, base / mean.max(1.0))
    }

    /// The table.
    pub fn table(&self, _draws: &Draws, s: &Settings) -> Result<OddsTable, AdvisorError> {
        let n = self.network();
        let outlook = self.outlook(s)?;
        let (base, wmean, slope) = self.level(s);
        let w = outlook.water_mean.unwrap_or(wmean);
        let spread = if matches!(s.water, WaterOutlook::Any | WaterOutlook::Thirds(..)) { 0.30 } else { 0.2 };
        let normal = Normal::standard();
        let be = match (s.price, s.cost) {
            (Some(p), Some(c)) => BreakEven::Yield(c / p),
            _ => BreakEven::Target(base * 0.7),
        };
        let line = match be {
            BreakEven::Yield(y) | BreakEven::Target(y) => y,
            _ => 0.0,
        };
        let last_season = n.trials.iter().map(|t| t.season).max().unwrap_or(0);
        let law = |code: &str| {
            let trials = self.trials_of(code);
            let fitted: Vec<&TrialRecord> =
                trials.iter().filter(|t| t.system == s.system && t.excluded.is_none()).collect();
            let k = fitted.len() as f64;
            let d = fitted.iter().map(|t| t.deviation).sum::<f64>() / (k + 3.0);
            let b = (hash(code) - 0.5) * 0.5 * slope;
            let mean = (base + slope * 1.05 * (w - wmean) + d + b * (w - wmean)).max(1.0);
            let sd = base * spread * (1.0 + 0.6 / (k + 1.0));
            (fitted.iter().map(|t| (*t).clone()).collect::<Vec<_>>(), mean, sd)
        };
        let mine = s.mine.as_ref().map(|m| law(m));
        let mut rows: Vec<VarietyOdds> = Vec::new();
        for v in &n.varieties {
            let (fitted, mean, sd) = law(&v.variety);
            if fitted.is_empty() {
                continue;
            }
            let failed = (outlook.chance_no_harvest * 20.0).round() as u8;
            let seasons: Vec<f64> = (0..20)
                .map(|k| {
                    if k < usize::from(failed) {
                        0.0
                    } else {
                        (mean + sd * normal.inverse_cdf((k as f64 + 0.5) / 20.0)).max(0.0)
                    }
                })
                .collect();
            let short = seasons.iter().filter(|y| **y < line).count() as u8;
            let mut years: Vec<i32> = fitted.iter().map(|t| t.season).collect();
            years.sort_unstable();
            years.dedup();
            let last = years.last().copied();
            let like = fitted
                .iter()
                .filter(|t| {
                    t.water.zip(outlook.water_range).is_some_and(|(w, (a, b))| w >= a - 0.01 && w <= b + 0.01)
                })
                .count() as u32;
            let money = s.price.zip(s.cost);
            let wf = seasons[..4].iter().sum::<f64>() / 4.0;
            let expected = seasons.iter().sum::<f64>() / 20.0;
            rows.push(VarietyOdds {
                variety: v.variety.clone(),
                expected,
                low80: (seasons[1] + seasons[2]) / 2.0,
                high80: (seasons[17] + seasons[18]) / 2.0,
                failed_marks: failed,
                chance_short: f64::from(short) / 20.0,
                marks_short: short,
                shortfall: 30.0,
                net: money.map(|(p, c)| p * expected - c),
                worst_fifth: wf,
                worst_fifth_net: money.map(|(p, c)| p * wf - c),
                beats_check: Some(0.5),
                beats_mine: mine
                    .as_ref()
                    .filter(|_| s.mine.as_ref() != Some(&v.variety))
                    .map(|m| normal.cdf((mean - m.1) / (0.5 * sd))),
                best: 0.0,
                best_longrun: 0.0,
                group: false,
                standing: Standing {
                    state: if last.is_none_or(|l| l + 2 <= last_season) {
                        StandingState::NoLongerTested
                    } else if years.len() < 3 {
                        StandingState::New
                    } else {
                        StandingState::WellTested
                    },
                    seasons: years.len() as u32,
                    trials: fitted.len() as u32,
                    trials_like_this: like,
                    last,
                },
                seasons,
            });
        }
        let key = |v: &VarietyOdds| match s.order {
            Order::Net => -v.expected,
            Order::WorstFifth => -v.worst_fifth,
            Order::ChanceShort => f64::from(v.marks_short) * 100.0 - v.worst_fifth,
        };
        rows.sort_by(|a, b| key(a).total_cmp(&key(b)));
        let count = rows.iter().filter(|r| r.expected > rows[0].expected - base * 0.035).count();
        rows.iter_mut().take(count).for_each(|r| r.group = true);
        let mut missing = vec![Missing::DiseaseLosses, Missing::DroughtLosses];
        if s.price.is_none() || s.cost.is_none() {
            missing.push(Missing::Money);
        }
        Ok(OddsTable {
            settings: s.clone(),
            field: FieldSummary {
                usual: base,
                usual_given: s.usual.is_some(),
                reference_set: n.info.checks.clone(),
                trials: n.trials.iter().filter(|t| t.excluded.is_none()).count() as u32,
                seasons: (n.trials.iter().map(|t| t.season).min().unwrap_or(0), last_season),
                water_slope: true,
            },
            outlook,
            break_even: be,
            varieties: rows,
            missing,
        })
    }

    fn trials_of(&self, code: &str) -> Vec<TrialRecord> {
        let n = self.network();
        let mut out: Vec<TrialRecord> = n
            .means
            .iter()
            .filter(|m| m.variety == code)
            .filter_map(|m| {
                let t = n.trials.iter().find(|t| t.trial == m.trial)?;
                let ys: Vec<f64> = n.means.iter().filter(|x| x.trial == t.trial).map(|x| x.yield_).collect();
                Some(TrialRecord {
                    trial: t.trial.clone(),
                    site: t.site.clone(),
                    season: t.season,
                    system: t.system.clone(),
                    water: t.water,
                    yield_: m.yield_,
                    deviation: m.yield_ - ys.iter().sum::<f64>() / ys.len() as f64,
                    varieties: ys.len() as u32,
                    excluded: t.excluded,
                })
            })
            .collect();
        out.sort_by_key(|t| (-t.season, t.site.clone()));
        out
    }

    /// One variety.
    pub fn detail(&self, _draws: &Draws, s: &Settings, variety: &str) -> Result<VarietyDetail, AdvisorError> {
        let (base, wmean, slope) = self.level(s);
        let trials = self.trials_of(variety);
        let climate = self.climate(s);
        let (lo, hi) =
            climate.first().zip(climate.last()).map_or((0.0, 1.0), |(a, b)| (a.1, b.1));
        let own: Vec<f64> = trials.iter().filter(|t| t.system == s.system).map(|t| t.deviation).collect();
        let d = own.iter().sum::<f64>() / (own.len() as f64 + 3.0);
        let b = (hash(variety) - 0.5) * 0.5 * slope;
        let response = (0..=24)
            .map(|i| {
                let w = lo + (hi - lo) * f64::from(i) / 24.0;
                let m = (base + slope * (w - wmean) + d + b * (w - wmean)).max(0.5);
                ResponsePoint { water: w, median: m, low80: (m - 0.22 * base).max(0.0), high80: m + 0.24 * base }
            })
            .collect();
        let se = 0.05 * base * (1.0 + 3.0 / (own.len() as f64 + 1.0));
        Ok(VarietyDetail {
            variety: variety.to_owned(),
            response,
            difference: (d, se),
            difference_80: (d - 1.28 * se, d + 1.28 * se),
            trials,
        })
    }
}
