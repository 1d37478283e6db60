//! What is written is read back as the same network, also where texts look like formulas or end elements.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::super::test_folder::{edited, plots_of_two_trials, whole, with};
use super::super::{Reading, read};
use super::*;
use proptest::prelude::*;

#[track_caller]
fn read_network(files: &Map<String, Vec<u8>>) -> Network {
    let Reading { network, errors, .. } = read(files);
    network.unwrap_or_else(|| panic!("{errors:?}"))
}

#[track_caller]
fn comes_back(network: &Network) {
    let written: Map<String, Vec<u8>> = files(network)
        .unwrap()
        .into_iter()
        .map(|(name, text)| (name.to_owned(), text.into_bytes()))
        .collect();
    assert_eq!(&read_network(&written), network);
}

#[test]
fn a_folder_comes_back() {
    comes_back(&read_network(&whole()));
    comes_back(&read_network(&with("plots.csv", &plots_of_two_trials())));
}

#[test]
fn a_folder_without_optional_files_comes_back() {
    let mut files = with("plots.csv", &plots_of_two_trials());
    for name in [
        "varieties.csv",
        "sites.csv",
        "means.csv",
        "water.csv",
        "shortlist.csv",
        "ratings.csv",
        "pressure.csv",
    ] {
        files.remove(name);
    }
    files.insert("trials.csv".into(), b"trial,site,season\nT1,S1,2020\nT2,S1,2021\n".to_vec());
    let text = String::from_utf8(files["network.json"].clone()).unwrap();
    files.insert("network.json".into(), text.replace(", \"system\": \"dryland\"", "").into_bytes());
    comes_back(&read_network(&files));
}

#[test]
fn settings_are_written_without_the_last_bits_of_a_calculation() {
    let network = read_network(&edited("network.json", "210", "352.00000000000006"));
    assert_eq!(network.info.defaults.price, Some(352.0));
    assert!(files(&network).unwrap()["network.json"].contains("\"price\": 352.0"));
    comes_back(&network);
}

#[test]
fn templates_have_every_column_and_are_recognised() {
    for (name, text) in templates() {
        assert_eq!(text.lines().count(), 1);
        assert_eq!(super::super::edit::recognised(&text), Some(name));
    }
}

proptest! {
    #[test]
    fn any_name_and_number_comes_back(
        texts in prop::collection::vec("[-=+@',;\"<>/a-c\u{e9}\n ]{0,8}", 6),
        yields in prop::collection::vec(0.0f64..9e4, 8),
    ) {
        let mut network = read_network(&whole());
        let text = |k: usize| texts[k].trim().to_owned();
        network.varieties[0].name = text(0);
        network.varieties[1].note = text(1);
        network.sites[0].zone = text(2);
        network.shortlist[0].note = text(3);
        network.traits[0].source = text(4);
        network.info.notes = text(5);
        for (mean, value) in network.means.iter_mut().zip(yields) {
            mean.yield_ = value;
        }
        comes_back(&network);
    }
}
