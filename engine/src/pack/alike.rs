//! Codes that differ in capitals or spaces alone: two to a computer, one to whoever reads the list.
//!
//! Nothing is joined, since the codes may be two; each is named where it stands first. Knows raw cells of the
//! columns that hold codes, not what they stand for.

use super::columns::{TABLES, Table};
use super::cross::Folder;
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::terms::Code;
use crate::order::Set;

/// Where a code stands most often.
struct Seen<'a> {
    text: &'a str,
    place: Place<'static>,
    /// Rows of that file.
    rows: usize,
}

/// Warns of each code that resembles a commoner one.
pub(super) fn name_alike(folder: &Folder, problems: &mut Problems) {
    for code in [Code::Trial, Code::Variety, Code::Site, Code::System, Code::Trait] {
        let own = column_of(code);
        let has = |table: &&'static Table| table.columns.iter().any(|column| column.name == own);
        let raws: Vec<_> =
            TABLES.iter().filter(has).filter_map(|table| folder.tables.get(table.file)).collect();
        let mut codes: Set<&str> = Set::new();
        for raw in &raws {
            codes.extend(raw.values(own).map(|(_, text)| text));
        }
        let mut alike: Vec<(String, &str)> = codes.iter().map(|text| (folded(text), *text)).collect();
        crate::order::sort_by(&mut alike, |a, b| a.cmp(b));
        for group in alike.chunk_by(|a, b| a.0 == b.0).filter(|group| group.len() > 1) {
            let seen = |text: &'_ str| {
                let in_file = raws.iter().filter_map(|raw| {
                    let first = raw.values(own).find(|(_, own)| *own == text)?.0.row;
                    let rows = raw.values(own).filter(|(_, own)| *own == text).count();
                    Some((rows, Place::cell(raw.table.file, first, own)))
                });
                in_file.max_by_key(|(rows, _)| *rows)
            };
            let mut group: Vec<Seen<'_>> = group
                .iter()
                .filter_map(|(_, text)| seen(text).map(|(rows, place)| Seen { text, place, rows }))
                .collect();
            crate::order::sort_by(&mut group, |a, b| b.rows.cmp(&a.rows).then(a.text.cmp(b.text)));
            let Some((other, rarer)) = group.split_first() else { continue };
            for Seen { text, place, rows } in rarer {
                let (text, other, rows) = ((*text).to_owned(), other.text.to_owned(), *rows);
                problems.warn(*place, ProblemKind::CodesAlike { code, text, other, rows });
            }
        }
    }
}

/// The column that holds codes of this sort, wherever they are listed or named.
fn column_of(code: Code) -> &'static str {
    match code {
        Code::Trial => "trial",
        Code::Variety => "variety",
        Code::Site => "site",
        Code::System => "system",
        Code::Trait => "trait",
    }
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
