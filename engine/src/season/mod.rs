//! The season: the water a field gets, the level of yield that follows, and the crops that are lost.
//!
//! [`climate`] ranks a site's seasons by water and weighs them for an outlook; [`level`] is the model of
//! trial levels by water, site and season; [`no_harvest`] is the chance that a crop is not worth
//! cutting. None of them knows one variety from another.

pub mod climate;
pub mod level;
pub mod no_harvest;
