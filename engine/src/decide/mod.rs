//! From joint draws to a decision: odds, money, cattle, sprays, comparison, acres, standing.
//!
//! [`advisor`] is the door; [`table`] is what comes out of it first. [`account`] turns yields into grain and
//! money for all of them.

pub mod account;
pub mod acres;
pub mod advisor;
pub mod change;
pub mod compare;
pub mod docks;
pub mod grazing;
pub mod law;
pub mod money;
pub mod needs;
pub mod odds;
pub mod split;
pub mod sprays;
pub mod standing;
pub mod table;
#[cfg(test)]
pub(crate) mod test_network;
pub mod tipping;
pub mod units;
pub mod worked;

pub use advisor::{Advisor, AdvisorError};
pub use table::{
    BreakEven, ClimateSource, FieldSummary, LongRun, Missing, NetLaw, OddsTable, OutlookSummary,
    ResponsePoint, Standing, StandingState, TrialRecord, VarietyDetail, VarietyLoss, VarietyOdds,
};
