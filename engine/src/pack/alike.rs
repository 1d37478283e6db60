//! Codes that differ in capitals or spaces alone: two to a computer, one to whoever reads the list.
//!
//! Nothing is joined, since the codes may be two; each is named where it stands first. Knows raw cells of the
//! columns that hold codes, not what they stand for.

use super::columns::{TABLES, Table};
use super::cross::Folder;
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::terms::Code;
use std::collections::BTreeMap;

/// Where a code stands.
struct Seen {
    file: &'static str,
    row: usize,
    column: &'static str,
    /// Rows of that file.
    rows: usize,
}

/// Warns of each code that resembles a commoner one.
pub(super) fn name_alike(folder: &Folder, problems: &mut Problems) {
    for code in [Code::Trial, Code::Variety, Code::Site, Code::System, Code::Trait] {
        let mut seen: BTreeMap<&str, Seen> = BTreeMap::new();
        for table in &TABLES {
            let Some(raw) = folder.tables.get(table.file) else { continue };
            for column in columns_of(table, code) {
                let mut here: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
                for (row, text) in raw.values(column) {
                    here.entry(text).or_insert((row.row, 0)).1 += 1;
                }
                for (text, (row, rows)) in here {
                    let place = Seen { file: table.file, row, column, rows };
                    let slot = seen.entry(text).or_insert_with(|| Seen { rows: 0, ..place });
                    if rows > slot.rows {
                        *slot = Seen { file: table.file, row, column, rows };
                    }
                }
            }
        }
        let mut alike: BTreeMap<String, Vec<(&str, Seen)>> = BTreeMap::new();
        for (text, place) in seen {
            alike.entry(folded(text)).or_default().push((text, place));
        }
        for mut group in alike.into_values().filter(|group| group.len() > 1) {
            crate::order::sort_by_key(&mut group, |(text, place)| (std::cmp::Reverse(place.rows), *text));
            let other = group[0].0.to_owned();
            for (text, Seen { file, row, column, rows }) in group.drain(1..) {
                let kind =
                    ProblemKind::CodesAlike { code, text: text.to_owned(), other: other.clone(), rows };
                problems.warn(Place::cell(file, row, column), kind);
            }
        }
    }
}

/// Columns of a table that hold codes of this sort, where they are listed or named.
fn columns_of(table: &'static Table, code: Code) -> impl Iterator<Item = &'static str> {
    let own = match code {
        Code::Trial => "trial",
        Code::Variety => "variety",
        Code::Site => "site",
        Code::System => "system",
        Code::Trait => "trait",
    };
    table.columns.iter().map(|column| column.name).filter(move |name| *name == own)
}

/// A code without capitals and spaces.
fn folded(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace()).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use crate::pack::test_folder::{edited, lines, warning, whole};

    #[test]
    fn codes_alike_but_for_capitals_or_spaces_are_named_at_the_rarer() {
        let files = edited("means.csv", "T1,A,", "T1,a,");
        let found = lines(&crate::pack::read(&files).warnings);
        assert!(
            found.iter().any(|line| line.contains("variety `a` (1 rows) differs from `A`")),
            "{found:#?}"
        );
        assert!(
            !lines(&crate::pack::read(&whole()).warnings).iter().any(|line| line.contains("differs from"))
        );
    }

    #[test]
    fn yields_of_another_unit_are_asked_about() {
        warning(
            &edited("network.json", "\"t/ha\"", "\"kg/ha\""),
            "means.csv, column `yield`: the middle yield is",
        );
    }
}
