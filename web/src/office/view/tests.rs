//! The office rendered to text on the server, empty and full.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
