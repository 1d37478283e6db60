//! From joint draws to a decision: odds, money, comparison, standing.

pub mod table;

pub use table::{
    BreakEven, ClimateSource, FieldSummary, Missing, OddsTable, OutlookSummary, ResponsePoint, Standing,
    StandingState, TrialRecord, VarietyDetail, VarietyOdds,
};
