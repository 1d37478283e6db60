//! Cattle on the crop: what they bring, what they take from the grain, and when they should be off.
//!
//! Income = days × gain (lb or kg a head and day, times head per area) × value of gain. Grain lost, as a share
//! of the ungrazed yield y:
//!
//! - 7 % where cattle leave by first hollow stem, none of it up to 1,100 kg/ha: grazed to the right date grain
//!   fell by 7 %, and rose where the ungrazed yield was below 1,100 kg/ha (Edwards et al. 2011, Crop Sci.
//!   51:2181–2185). We credit no rise. Above 1,100 the grain stays level until 93 % of y exceeds it, so that
//!   more yield never means less grain.
//! - 5 % for each day past it (extension; the same source counts it as 1.25 bu/ac, and Redmon et al. 1996,
//!   Agron. J., measured 83 kg/ha a day). The share is used and not the weight, because 83 kg/ha is taken from
//!   crops of some 1,700 kg/ha and would be too much for a dry year's.
//!
//! Together they take the whole crop at the most: that is grazing it out. Varieties differ in their day of first
//! hollow stem, counted from the first check's. It knows no price of grain.

use super::units::kg_per_ha;
use crate::link::Settings;
use crate::pack::{Network, TraitKind};
use leanyear_vectors::Grain;
use serde::{Deserialize, Serialize};

/// Trait that holds the day of first hollow stem, counted from the first check's.
pub const FIRST_HOLLOW_STEM: &str = "first-hollow-stem";
/// What the code of the trait about recovering from grazing holds.
const RECOVERY: &str = "recovery";
/// Share of the grain that grazing to the right date takes.
pub const RIGHT_DATE_LOSS: f64 = 0.07;
/// Share of the grain that each day past first hollow stem takes.
pub const LATE_LOSS_A_DAY: f64 = 0.05;
/// Ungrazed yield up to which grazing to the right date takes nothing, kg/ha.
pub const SPARED_KG_PER_HA: f64 = 1100.0;

/// What grazing does to a variety's grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grazed {
    /// Share lost to grazing to the right date, 0–1, above [`Grazed::spared`].
    right_date: f64,
    /// Share lost to the days past first hollow stem, 0–1.
    late: f64,
    /// Yield up to which the first is not lost, yield unit.
    spared: f64,
}

impl Grazed {
    /// No cattle.
    pub const NOT: Grazed = Grazed { right_date: 0.0, late: 0.0, spared: 0.0 };

    /// Cattle that stay this many days past the variety's first hollow stem (0 or less: off in time); `spared`
    /// is 1,100 kg/ha in the yield unit.
    pub fn days_past(days: f64, spared: f64) -> Grazed {
        let late = (LATE_LOSS_A_DAY * days.max(0.0)).min(1.0);
        Grazed { right_date: RIGHT_DATE_LOSS.min(1.0 - late), late, spared }
    }

    /// Share of an ordinary crop (above [`SPARED_KG_PER_HA`]) that is lost, 0–1.
    pub fn lost(&self) -> f64 {
        self.right_date + self.late
    }

    /// Whether anything is lost.
    pub fn is_not(&self) -> bool {
        self.lost() == 0.0
    }

    /// Grain cut where the crop would have made `yield_` ungrazed, same unit.
    pub fn grain(&self, yield_: f64) -> f64 {
        self.lines().of(yield_)
    }

    /// The straight lines of [`Grazed::grain`].
    pub fn lines(&self) -> Grain {
        Grain { kept: 1.0 - self.lost(), kept_of_spared: 1.0 - self.late, spared: self.spared }
    }

    /// Yields at which the grain turns from one straight line to the next.
    pub fn kinks(&self) -> [f64; 2] {
        let kept = 1.0 - self.lost();
        let resumes = if kept > 0.0 { (1.0 - self.late) * self.spared / kept } else { self.spared };
        [self.spared, resumes]
    }
}

/// Grazing income per area: days × gain × value; 0 where any is unknown or nothing is grazed.
pub fn income(settings: &Settings) -> f64 {
    let product = || Some(settings.graze_days? * settings.gain? * settings.value?);
    if settings.graze { product().unwrap_or(0.0) } else { 0.0 }
}

/// Ungrazed yield up to which grazing in time takes nothing, in the unit of the settings.
pub fn spared(settings: &Settings, bushel_lb: f64) -> f64 {
    SPARED_KG_PER_HA / kg_per_ha(settings.unit, bushel_lb)
}

/// Day of first hollow stem of each variety of a list, from the first check's; `None` where it is not rated.
pub fn hollow_stem_days<'a>(
    network: &Network,
    varieties: impl Iterator<Item = &'a String>,
) -> Vec<Option<f64>> {
    let days = network.ratings_of(FIRST_HOLLOW_STEM);
    varieties.map(|variety| days.get(variety.as_str()).copied()).collect()
}

/// What grazing does to each variety, given its day of first hollow stem. `off` counts from the first check's;
/// without it cattle leave each variety in time. A variety without a day has the average one.
pub fn grazed(settings: &Settings, days: &[Option<f64>], spared: f64) -> Vec<Grazed> {
    // Cattle that were on for no day ate nothing.
    if !settings.graze || settings.graze_days == Some(0.0) {
        return vec![Grazed::NOT; days.len()];
    }
    let known: Vec<f64> = days.iter().flatten().copied().collect();
    let average = known.iter().sum::<f64>() / known.len().max(1) as f64;
    let past = |day: &Option<f64>| settings.off.map_or(0.0, |off| off - day.unwrap_or(average));
    days.iter().map(|day| Grazed::days_past(past(day), spared)).collect()
}

/// The trait about recovering from grazing, if the network rates one on a scale.
pub fn recovery_trait(network: &Network) -> Option<&crate::pack::Trait> {
    network.traits.iter().find(|t| {
        t.kind == TraitKind::Grazing && t.trait_.contains(RECOVERY) && t.best.is_some() && t.worst.is_some()
    })
}

/// Whether to keep cattle on past first hollow stem.
///
/// Source: extension: only if head per area × gain × value of gain a day exceeds the yield lost a day × its
/// price.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct KeepOn {
    /// Gain a day is worth this, per area.
    pub brings: f64,
    /// Grain lost a day, yield unit.
    pub grain_lost: f64,
    /// What that grain is worth after hauling, per area.
    pub costs: f64,
}

impl KeepOn {
    /// Weighs a day: `gain` times head per area, its value, the ungrazed yield, and what a unit of grain leaves
    /// after hauling.
    pub fn a_day(gain: f64, value: f64, yield_: f64, margin: f64) -> KeepOn {
        let grain_lost = LATE_LOSS_A_DAY * yield_;
        KeepOn { brings: gain * value, grain_lost, costs: grain_lost * margin }
    }

    /// Whether another day brings more than it costs.
    pub fn pays(&self) -> bool {
        self.brings > self.costs
    }
}

/// Grazing one variety.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct VarietyGrazing {
    /// Code.
    pub variety: String,
    /// Day that cattle should be off: its first hollow stem, days from the first check's; `None` where it is
    /// not rated (the average of the others is then counted with).
    pub off_by: Option<f64>,
    /// Days that cattle stay past that as the settings have it; 0 in time or without cattle.
    pub days_past: f64,
    /// Share of an ordinary crop that is lost, 0–1.
    pub lost: f64,
    /// Grain lost on average in the assumed season, yield unit.
    pub grain_lost: f64,
    /// Grain lost on average by a week past its day, beyond what leaving in time costs, yield unit.
    pub week_late: f64,
    /// What that week costs per area; `None` without price and cost.
    pub week_late_money: Option<f64>,
    /// Whether another day past its day would pay; `None` without price, gain and value.
    pub keep_on: Option<KeepOn>,
    /// Its rating for recovering from grazing, on the trait's own scale.
    pub recovery: Option<f64>,
    /// Whether that lies in the worse half of the scale; `None` where it is not rated.
    pub recovers_poorly: Option<bool>,
}

/// Grazing, variety by variety in the order of the table asked with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Grazing {
    /// Income per area as the settings have it; `None` where days, gain or value is unknown.
    pub income: Option<f64>,
    /// Ungrazed yield up to which leaving in time is counted as costing no grain, yield unit.
    pub spared: f64,
    /// Code of the trait that says how varieties recover, if any.
    pub recovery_trait: Option<String>,
    /// Code of the check from whose first hollow stem days are counted.
    pub counted_from: Option<String>,
    /// Varieties.
    pub varieties: Vec<VarietyGrazing>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decide::units::factor;
    use crate::pack::YieldUnit;
    use proptest::prelude::*;

    /// Source: Edwards et al. 2011: grazed to the right date −7 %, no loss below 1,100 kg/ha; extension: 5 % a
    /// day past first hollow stem.
    #[test]
    fn grain_is_lost_as_published() {
        let in_time = Grazed::days_past(0.0, 1100.0);
        assert!((in_time.grain(3000.0) - 2790.0).abs() < 1e-9);
        assert!((in_time.grain(1000.0) - 1000.0).abs() < 1e-9);
        let week_late = Grazed::days_past(7.0, 1100.0);
        assert!((week_late.grain(3000.0) - 3000.0 * (1.0 - 0.07 - 0.35)).abs() < 1e-9);
        assert!((week_late.grain(1000.0) - 650.0).abs() < 1e-9);
        assert_eq!(Grazed::days_past(40.0, 1100.0).grain(3000.0), 0.0);
        assert_eq!(Grazed::days_past(-9.0, 1100.0), in_time);
    }

    /// Source: 83 kg/ha a day is 1.2342 bu/ac (Redmon et al. 1996, exact arithmetic); 5 % a day is that much of
    /// a crop of 1,660 kg/ha.
    #[test]
    fn the_share_and_the_weight_agree_on_an_ordinary_dryland_crop() {
        let bushels = factor(YieldUnit::KilogramPerHectare, YieldUnit::BushelPerAcre, 60.0) * 83.0;
        assert!((bushels - 1.2342).abs() < 5e-5, "{bushels}");
        assert!((LATE_LOSS_A_DAY * 1660.0 - 83.0).abs() < 1e-9);
    }

    /// Source: extension, the rule as it stands in [`KeepOn`]; value of gain 105 $ on 50 lb = 2.10 $/lb; 1.25
    /// bu a day is 5 % of 25 bu. Half a head an acre at 2 lb a day brings 2.10, the grain at 5.50 costs 6.875.
    #[test]
    fn another_day_pays_only_where_gain_is_worth_more_than_grain() {
        let value = (1273.0 - 1168.0) / 50.0;
        assert!((value - 2.1f64).abs() < 1e-9);
        let day = KeepOn::a_day(0.5 * 2.0, value, 25.0, 5.5);
        assert!((day.grain_lost - 1.25).abs() < 1e-12 && (day.costs - 6.875).abs() < 1e-9);
        assert!((day.brings - 2.1).abs() < 1e-9 && !day.pays());
        assert!(KeepOn::a_day(2.0 * 2.0, value, 25.0, 5.5).pays());
    }

    proptest! {
        /// Laws: more yield never makes less grain, cattle never make more than the ungrazed crop, and a later
        /// day never makes more; between its kinks the grain is straight.
        #[test]
        fn grain_rises_with_yield_and_falls_with_days(days in -10.0f64..40.0, y in 0.0f64..6000.0, more in 0.0f64..500.0) {
            let (here, later) = (Grazed::days_past(days, 1100.0), Grazed::days_past(days + 1.0, 1100.0));
            prop_assert!(here.grain(y + more) >= here.grain(y) - 1e-9);
            prop_assert!(here.grain(y) <= y + 1e-9 && later.grain(y) <= here.grain(y) + 1e-9);
            let [a, b] = here.kinks();
            prop_assert!(a <= b + 1e-9 && (here.grain(a) - here.grain(b)).abs() < 1e-6);
        }
    }
}
