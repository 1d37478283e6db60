//! Two files of one kind as one: the rows of the second behind those of the first, each cell under its column.
//!
//! A trial book is often a file a season. Text in, text out; it judges no value, and refuses where a cell could change
//! its meaning on the way.

use super::columns;
use super::csv_text::{LIMITS, rows};
use super::dialect::{MarksCensus, unspaced};
use super::edit::{Taken, take};
use super::quoting;
use thiserror::Error;

/// Two files as one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joined {
    /// The text.
    pub text: String,
    /// Row in it of the second file's first row below the header.
    pub first_row: usize,
    /// Rows with a value that came from the second file.
    pub rows: usize,
}

/// Why two files are not joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum Unjoinable {
    /// One of them is no table.
    #[error("one of the files cannot be split into rows")]
    NoTable,
    /// One has decimal commas, the other decimal points.
    #[error("one of the files has decimal commas and the other decimal points; save both one way")]
    MarksDiffer,
    /// A row of the second has other cells than its header.
    #[error("row {0} has other cells than the header; put them under their columns")]
    Ragged(usize),
}

/// Puts the rows of `more` behind those of `text`, both of the network's `file`. A column that only one of them has is
/// blank in the rows of the other.
///
/// # Errors
/// [`Unjoinable`], with neither text changed.
pub fn joined(file: &str, text: &str, more: &str) -> Result<Joined, Unjoinable> {
    let table = columns::table(file).ok_or(Unjoinable::NoTable)?;
    let first = take(file, text).ok_or(Unjoinable::NoTable)?;
    let second = take(file, more).ok_or(Unjoinable::NoTable)?;
    // A quote that is never closed would swallow the rows behind it.
    if !whole(text, &first) || !whole(more, &second) {
        return Err(Unjoinable::NoTable);
    }
    let (Some(mut header), Some(other)) = (first.names(table), second.names(table)) else {
        return Err(Unjoinable::NoTable);
    };
    let marks = |taken: &Taken<'_>, names: &[String]| {
        let mut census = MarksCensus::default();
        let is_number = |name: &String| table.column(name).is_some_and(|column| column.number);
        for (row, .., cells) in taken.rows.iter().filter(|(row, ..)| *row > taken.header) {
            let numbers = names.iter().zip(cells).filter(|(name, _)| is_number(name));
            numbers.for_each(|(name, cell)| census.count(*row, name, &unspaced(cell)));
        }
        census.marked().then(|| census.decide(taken.separator).0)
    };
    if let (Some(a), Some(b)) = (marks(&first, &header), marks(&second, &other))
        && a != b
    {
        return Err(Unjoinable::MarksDiffer);
    }
    let width = header.len();
    while header.last().is_some_and(String::is_empty) {
        header.pop();
    }
    let mut places = Vec::with_capacity(other.len());
    for name in &other {
        let place = header.iter().position(|known| known == name).filter(|_| !name.is_empty());
        places.push(place.or_else(|| {
            (!name.is_empty()).then(|| {
                header.push(name.clone());
                header.len() - 1
            })
        }));
    }
    // A blank name between others keeps its place; behind them new names took it.
    let widened = header.len() > width;
    let mut out = first.rewritten(|number, cells| {
        if !widened || number < first.header || cells.iter().all(String::is_empty) {
            return None;
        }
        if number == first.header {
            return Some(Some(header.clone()));
        }
        let mut cells = cells.to_vec();
        cells.resize(cells.len().max(header.len()), String::new());
        Some(Some(cells))
    });
    if !out.ends_with('\n') {
        out.push_str(first.line_end);
    }
    let first_row = first.rows.last().map_or(0, |(number, ..)| *number) + 1;
    let mut added = 0;
    for (number, .., cells) in second.rows.iter().filter(|(number, ..)| *number > second.header) {
        if cells.iter().all(String::is_empty) {
            continue;
        }
        let surplus = cells.get(other.len()..).is_some_and(|more| more.iter().any(|cell| !cell.is_empty()));
        if cells.len() < other.len() || surplus {
            return Err(Unjoinable::Ragged(*number));
        }
        let mut row = vec![String::new(); header.len().max(width)];
        for (cell, place) in cells.iter().zip(&places) {
            if let Some(place) = *place {
                row[place].clone_from(cell);
            }
        }
        out.push_str(&quoting::row(&row, char::from(first.separator.byte()), first.line_end));
        added += 1;
    }
    whole(&out, &first).then_some(Joined { text: out, first_row, rows: added }).ok_or(Unjoinable::NoTable)
}

/// Whether a text is split into rows without a fault, within the limits of reading.
fn whole(text: &str, taken: &Taken<'_>) -> bool {
    rows(text.as_bytes(), taken.separator.byte(), LIMITS)
        .is_ok_and(|split| split.rows.iter().all(|row| row.faults.is_empty()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn rows_stand_behind_each_other_under_their_columns() {
        let first = "\u{feff}trial;variety;yield\r\nT1;\"V;1\";41,3\r\n\r\nT1;V2;'=x";
        let second = "Variety,Yield,Plots,trial\n=V3,\"38,1\",4,T2\n,,,\nV4,40,3,T2\n";
        let found = joined("means.csv", first, second).unwrap();
        assert_eq!(
            found.text,
            concat!(
                "\u{feff}trial;variety;yield;plots\r\nT1;\"V;1\";\"41,3\";\r\n\r\nT1;V2;'=x;\r\n",
                "T2;'=V3;\"38,1\";4\r\nT2;V4;40;3\r\n"
            )
        );
        assert_eq!((found.first_row, found.rows), (5, 2));
        assert_eq!(super::super::edit::row("means.csv", &found.text, 5).unwrap().cells[1], "=V3");
    }

    #[test]
    fn what_could_change_its_meaning_is_refused() {
        let means = |rows: &str| joined("means.csv", "trial,variety,yield\nT1,V1,41.3\n", rows).unwrap_err();
        assert_eq!(means("trial;variety;yield\nT2;V1;38,1\n"), Unjoinable::MarksDiffer);
        assert_eq!(means("trial,variety,yield\nT2,V1\n"), Unjoinable::Ragged(2));
        assert_eq!(means("trial,variety,yield\n\nT2,V1,38.1,wet\n"), Unjoinable::Ragged(3));
        assert_eq!(means("trial,variety,yield\n\"T2,V1,38.1\n"), Unjoinable::NoTable);
        assert_eq!(means("PK\u{3}\u{4}"), Unjoinable::NoTable);
    }
}
