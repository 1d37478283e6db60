//! What the benchmarks measure, native and in wasm alike: invented networks of any size, and two entries.
//!
//! It holds no clock: whoever calls it has one.

mod invented;
mod wasm;

pub use invented::{Invented, LARGE, SMALL};
pub use wasm::{Decision, Fit};
