//! What changes a fingerprint and what does not.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::fingerprint;
use crate::order::Map;
use crate::pack::read;
use crate::pack::test_folder::{PLOTS_HEADER, edited, plots_of_two_trials, whole, with};

#[test]
fn the_fingerprint_is_of_the_data_alone() {
    let print = |files: &Map<String, Vec<u8>>| fingerprint(&read(files).network.unwrap());
    let expected = print(&whole());
    assert_eq!(expected.len(), 8);
    assert!(expected.bytes().all(|b| b.is_ascii_hexdigit() && !b.is_ascii_uppercase()));
    for same in [
        edited("means.csv", "2.1", "2.100"),
        edited("means.csv", "T1,A,2.1,4\nT1,B,2.4,4\n", "T1,B,2.4,4\nT1,A,2.1,4\n"),
        edited("network.json", "Invented", "Renamed"),
        edited("network.json", "210", "220"),
        edited("varieties.csv", "Old", "New"),
        edited("shortlist.csv", "B,in", "B,out"),
    ] {
        assert_eq!(print(&same), expected);
    }
    for other in [
        edited("means.csv", "2.1", "2.2"),
        edited("means.csv", "2.1,4", "2.1,"),
        edited("trials.csv", "210", "211"),
        edited("trials.csv", "hail", ""),
        edited("water.csv", "150", "151"),
        edited("ratings.csv", "rust,7", "rust,6"),
        edited("pressure.csv", "rust,3", "rust,2"),
        edited("network.json", "t/ha", "kg/ha"),
    ] {
        assert_ne!(print(&other), expected);
    }
    let sorted = with("plots.csv", &plots_of_two_trials());
    let text = plots_of_two_trials();
    let mut rows: Vec<&str> = text.lines().skip(1).collect();
    rows.reverse();
    let mut reversed = with("plots.csv", &format!("{PLOTS_HEADER}{}", rows.join("\n")));
    let mut sorted = sorted;
    sorted.remove("means.csv");
    reversed.remove("means.csv");
    assert_eq!(print(&sorted), print(&reversed));
}
