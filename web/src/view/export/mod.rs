//! What is shown as text of other kinds: a spreadsheet's table, plain words, a picture's file.
//!
//! Each is a pure function of the page and holds no number that the page does not show.

pub mod csv;
pub mod picture;
pub mod text;
