//! From joint draws to a decision: odds, money, comparison, standing.

pub mod advisor;
pub mod table;
pub mod track;

pub use advisor::{Advisor, AdvisorError, Draws};
pub use track::{TrackRecord, TrackSeason, track_record};
pub use table::{
    BreakEven, ClimateSource, FieldSummary, Missing, OddsTable, OutlookSummary, ResponsePoint, Standing,
    StandingState, TrialRecord, VarietyDetail, VarietyOdds,
};
