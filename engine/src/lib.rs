//! Leanyear's engine: a network of variety trials goes in, honest odds for one field come out.
//!
//! One way through: tables ([`pack`]) → trial means ([`trial`]) → mixed model ([`mixed`]) → level and
//! outlook ([`season`]) → joint draws ([`forecast`]) → decision ([`decide`]). The engine knows no clock,
//! file, thread, browser or global state, and gives the same answer on every machine. It writes no
//! sentence for the page: it returns values, and the page's catalogue finds the words.

pub mod decide;
pub mod forecast;
pub mod json;
pub mod link;
pub mod mixed;
pub mod office;
pub mod order;
pub mod pack;
pub mod page;
pub mod season;
pub mod stability;
pub mod trial;
