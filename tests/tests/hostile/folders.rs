//! Folders: a sound one damaged by chance. Reading never panics, counts every row, and says what is wrong; what it
//! still lets through can be fitted and asked.

use super::interrogate::ask;
use super::small::{Files, sound};
use leanyear_engine::decide::Advisor;
use leanyear_engine::pack::{Pack, Reading, read};
use leanyear_tests::hostile::{cases, within};
use proptest::prelude::*;

/// What a cell, or a piece of `network.json`, may become.
const TOKENS: &[&str] = &[
    "",
    " ",
    "0",
    "-1",
    "1e999",
    "NaN",
    "nan",
    "inf",
    "1e300",
    "-1e300",
    "1e-300",
    "99999999999999999999",
    "1,5",
    "1.234",
    "1 234",
    "\u{2212}3",
    "0x1F",
    "½",
    "\"",
    "\"\"",
    "'",
    "'=1+1",
    "=cmd()",
    "@x",
    "\u{0}",
    "\u{feff}",
    "\u{202e}",
    "ñ",
    ";",
    "\t",
    "\n",
    "\r",
    "\r\n",
    ",",
    ",,,,,,,,",
    "sep=;",
    "T0",
    "T1",
    "V0",
    "V9",
    "S0",
    "dryland",
    "all",
    "drought",
    "price",
    "2019",
    "999999",
    "null",
    "true",
    "[]",
    "{}",
    "[[[[[[[[",
    "{\"a\":",
    "\\u0000",
    "}",
    "</script>",
];

fn token() -> impl Strategy<Value = Vec<u8>> {
    prop_oneof![
        6 => prop::sample::select(TOKENS.to_vec()).prop_map(|token| token.as_bytes().to_vec()),
        2 => prop::collection::vec(any::<u8>(), 0..12),
        1 => (1..2000_usize, prop::sample::select(vec![b'9', b'"', b'[', b',', b'a', 0xFF])).prop_map(|(n, byte)| vec![byte; n]),
    ]
}

/// One act of damage: which file, where, how much goes, what comes.
#[derive(Debug, Clone)]
enum Damage {
    Bytes(usize, usize, usize, Vec<u8>),
    Cell(usize, usize, usize, Vec<u8>),
    RowTwice(usize, usize),
    Row(usize, usize),
    File(usize),
}

fn damage() -> impl Strategy<Value = Damage> {
    prop_oneof![
        3 => (any::<usize>(), any::<usize>(), 0..30_usize, token()).prop_map(|(f, at, n, new)| Damage::Bytes(f, at, n, new)),
        6 => (any::<usize>(), any::<usize>(), any::<usize>(), token()).prop_map(|(f, r, c, new)| Damage::Cell(f, r, c, new)),
        1 => (any::<usize>(), any::<usize>()).prop_map(|(f, r)| Damage::RowTwice(f, r)),
        1 => (any::<usize>(), any::<usize>()).prop_map(|(f, r)| Damage::Row(f, r)),
        1 => any::<usize>().prop_map(Damage::File),
    ]
}

fn lines(bytes: &[u8]) -> Vec<Vec<u8>> {
    bytes.split(|byte| *byte == b'\n').map(<[u8]>::to_vec).collect()
}

fn damaged(files: &mut Files, damage: &Damage) {
    let names: Vec<String> = files.keys().cloned().collect();
    if names.is_empty() {
        return;
    }
    let (Damage::Bytes(file, ..)
    | Damage::Cell(file, ..)
    | Damage::RowTwice(file, _)
    | Damage::Row(file, _)
    | Damage::File(file)) = damage;
    let name = &names[file % names.len()];
    let mut bytes = files[name].clone();
    match damage {
        Damage::Bytes(_, at, count, new) => {
            let start = at % (bytes.len() + 1);
            let end = (start + count).min(bytes.len());
            bytes.splice(start..end, new.iter().copied());
        }
        Damage::Cell(_, row, column, new) => {
            let mut rows = lines(&bytes);
            let count = rows.len();
            let mut cells: Vec<Vec<u8>> =
                rows[row % count].split(|byte| *byte == b',').map(<[u8]>::to_vec).collect();
            let width = cells.len();
            cells[column % width].clone_from(new);
            rows[row % count] = cells.join(&b',');
            bytes = rows.join(&b'\n');
        }
        Damage::RowTwice(_, row) => {
            let mut rows = lines(&bytes);
            let again = rows[row % rows.len()].clone();
            rows.push(again);
            bytes = rows.join(&b'\n');
        }
        Damage::Row(_, row) => {
            let mut rows = lines(&bytes);
            let count = rows.len();
            rows.remove(row % count);
            bytes = rows.join(&b'\n');
        }
        Damage::File(_) => {
            files.remove(name);
            return;
        }
    }
    files.insert(name.clone(), bytes);
}

fn counted(reading: &Reading) {
    for table in &reading.rows {
        assert_eq!(table.used + table.reported, table.all, "{table:?}");
    }
    assert_eq!(reading.network.is_some(), reading.errors.is_empty());
    for problem in reading.errors.iter().chain(&reading.warnings) {
        assert!(problem.to_string().split_whitespace().count() >= 5, "{problem}");
    }
}

/// Reads, and asks what can be asked.
fn used(files: &Files) -> Result<(), String> {
    let reading = read(files);
    counted(&reading);
    let Some(network) = reading.network else { return Ok(()) };
    let Ok(pack) = Pack::new(network) else { return Ok(()) };
    let text = pack.to_json().map_err(|error| error.to_string())?;
    let again = Pack::from_json(&text).map_err(|error| format!("its own pack is refused: {error}"))?;
    ask(&Advisor::new(again).map_err(|error| error.to_string())?, "water=dry&price=200&cost=300")
}

proptest! {
    #![proptest_config(cases(250))]

    #[test]
    fn a_damaged_folder_is_read_in_full(acts in prop::collection::vec(damage(), 1..5)) {
        let mut files = sound();
        acts.iter().for_each(|act| damaged(&mut files, act));
        let what = format!("{acts:?}");
        let result = within(30, &what, move || used(&files));
        prop_assert!(result.is_ok(), "{result:?}");
    }

    #[test]
    fn any_bytes_under_any_name_are_judged(name in prop::sample::select(leanyear_engine::pack::columns::file_names().collect::<Vec<_>>()), bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let mut files = sound();
        files.insert(name.to_owned(), bytes);
        counted(&read(&files));
    }
}
