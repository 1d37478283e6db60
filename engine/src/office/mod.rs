//! What an agronomist looks at before she hands a network out: its trials on one screen, what the fit says of
//! them, her shortlists by stated rules, what changed since last year, and the tables of her printed report.
//!
//! [`look`] needs no fit; [`outlying`], [`shares`], [`residuals`] and [`influence`] read one that is solved;
//! [`shortlist`], [`compare`] and [`report`] ask the decision. Her word stands beside the numbers here and enters
//! none of them. It knows no file and no screen, and writes no sentence.

pub mod compare;
mod diseases;
pub mod influence;
pub mod look;
pub mod outlying;
pub mod report;
pub mod residuals;
pub mod shares;
pub mod shortlist;
#[cfg(test)]
pub(crate) mod test_network;
