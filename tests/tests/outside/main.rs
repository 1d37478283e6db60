//! Checks against the outside: reference fits live in R, laws that need a whole network, the command line.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod acres;
mod calibration;
mod command_line;
mod compare;
mod decisions;
mod distributions;
mod fits;
mod fixed;
mod laws;
mod odd_networks;
mod odds_laws;
mod scripts;
mod stability;
mod stage_one;
mod worked_examples;
