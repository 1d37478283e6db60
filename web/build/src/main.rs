//! Builds the page, writes it and serves it.

fn main() {}
