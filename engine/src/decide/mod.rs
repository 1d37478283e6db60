//! From joint draws to a decision: odds, money, comparison, standing.
//!
//! [`advisor`] is the door; [`table`] is what comes out of it.

pub mod advisor;
pub mod money;
pub mod odds;
pub mod standing;
pub mod table;
pub mod units;

pub use advisor::{Advisor, AdvisorError};
pub use table::{
    BreakEven, ClimateSource, FieldSummary, Missing, OddsTable, OutlookSummary, ResponsePoint, Standing,
    StandingState, TrialRecord, VarietyDetail, VarietyLoss, VarietyOdds,
};
