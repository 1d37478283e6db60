//! What yields are worth: grain left by cattle, sold at the price of each draw, less what it costs.

/// Outcomes are told apart to one of so many parts of a unit of money or yield. Below it lies only the rounding of the
/// machine: without this, two varieties that a guarantee pays the same would be ranked by their last bits, and
/// differently from one machine to the next.
const TOLD_APART: f64 = 1e6;

/// The straight lines by which an ungrazed yield becomes grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grain {
    /// Share kept of an ordinary crop.
    pub kept: f64,
    /// Share kept of a crop up to `spared`, at least.
    pub kept_of_spared: f64,
    /// Yield up to which that is so.
    pub spared: f64,
}

impl Grain {
    /// Grain of an ungrazed yield.
    #[inline(always)]
    pub fn of(&self, yield_: f64) -> f64 {
        let spared = self.kept_of_spared * if yield_ < self.spared { yield_ } else { self.spared };
        let kept = self.kept * yield_;
        if kept > spared { kept } else { spared }
    }
}

/// The straight lines by which an ungrazed yield becomes money.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth {
    /// Its grain.
    pub grain: Grain,
    /// Taken off the price of a unit of grain.
    pub off: f64,
    /// Yield that is guaranteed.
    pub guarantee: f64,
    /// Paid for a unit short of it.
    pub guarantee_price: f64,
    /// Costs per area.
    pub costs: f64,
}

impl Worth {
    /// Left of an ungrazed yield at a price.
    #[inline(always)]
    pub fn net(&self, yield_: f64, price: f64) -> f64 {
        let missing = self.guarantee - yield_;
        let indemnity = if missing > 0.0 { missing * self.guarantee_price } else { 0.0 };
        (price - self.off) * self.grain.of(yield_) + indemnity - self.costs
    }

    /// The same, equal payments made equal.
    #[inline(always)]
    pub fn outcome(&self, yield_: f64, price: f64) -> f64 {
        (self.net(yield_, price) * TOLD_APART).round_ties_even() / TOLD_APART
    }

    /// Outcomes of yields times `units`, each at its price.
    pub fn outcomes(&self, yields: &[f64], units: f64, prices: &[f64]) -> Vec<f64> {
        yields.iter().zip(prices).map(|(y, price)| self.outcome(y * units, *price)).collect()
    }
}
