//! Checks against the outside: reference fits live in R, laws that need a whole network, the command line.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod command_line;
mod laws;
mod odd_networks;
mod reference_fits;
