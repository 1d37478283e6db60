//! The forecast: from a fitted network to joint draws of what every variety makes in one field.
//!
//! [`model`] fits (or rebuilds) the mixed model, the level model and the chance of no harvest; [`field`]
//! joins their uncertainty into one normal law for a field; [`departures`] holds what differs from season to
//! season, [`tail`] how heavy its tail is; [`draws`] turns it and an outlook into one matrix of joint draws,
//! from which every number of the decision comes; [`season_draws`] holds one season of them and answers what
//! if, [`five_seasons`] five in a row; [`random`] gives the fixed numbers behind the draws; [`backtest`]
//! predicts past seasons without them, scored by [`score`].

pub mod backtest;
mod belongs;
pub mod departures;
pub mod draws;
pub mod field;
pub mod five_seasons;
pub mod form;
pub mod losses;
pub mod model;
pub mod pressure;
pub mod random;
pub mod score;
pub mod season_draws;
pub mod tail;
