//! shim
pub mod error_variance;
