//! Links, packs and folders that mean harm: no panic, no end that does not come, no number that is none.
//!
//! Each of these ends in a sentence or in finite answers. The count of cases is fixed; `LEANYEAR_FUZZ=40 cargo test
//! -p leanyear-tests --release --test hostile` is the long form.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod folders;
mod interrogate;
mod large;
mod links;
mod packs;
mod small;
