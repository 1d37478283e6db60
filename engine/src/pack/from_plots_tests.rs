//! Folders with plots: what is worked out from them, and what they must agree with.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use crate::order::Map;
use crate::pack::test_folder::{PLOTS_HEADER, errors, lines, plots_of_two_trials, warning, whole, with};
use crate::pack::{read, write};
use crate::trial::{self, PlotYield};

#[test]
fn plots_alone_give_means_and_error_mean_squares() {
    let mut files = with("plots.csv", &plots_of_two_trials());
    files.remove("means.csv");
    let reading = read(&files);
    assert_eq!(lines(&reading.errors), [""; 0]);
    let network = reading.network.unwrap();
    assert_eq!(network.means.len(), 5);
    let b = &network.means[1];
    assert_eq!((b.trial.as_str(), b.variety.as_str(), b.plots), ("T1", "B", Some(3.0)));
    let expected = (1.4 + 1.9 + 1.9) / 3.0;
    assert!((b.yield_ - expected).abs() < 1e-9);
    // T1 states its error mean square, T2 only an LSD: only the blank is filled.
    assert_eq!(network.trials[0].error.error_ms, Some(0.16));
    // Differences B − A in T2 are 0.4, 0.6, 0.4: half their variance, 1/75 / 2, is the error mean square.
    assert!((network.trials[1].error.error_ms.unwrap() - 1.0 / 150.0).abs() < 1e-11);
    assert_eq!(network.trials[1].error.reps, Some(4.0));
    let warned = lines(&reading.warnings);
    assert!(warned.iter().any(|line| line.contains("`T3` has no yields")), "{warned:#?}");
    assert!(
        warned.iter().any(|line| line.starts_with("trials.csv row 3: error_ms and lsd differ by")),
        "{warned:#?}"
    );
}

#[test]
fn stated_means_win_over_plots_and_must_name_the_same_varieties() {
    let both = with("plots.csv", &plots_of_two_trials());
    let network = read(&both).network.unwrap();
    assert_eq!(network.means, read(&whole()).network.unwrap().means);
    assert_eq!(network.plots.len(), 15);
    errors(
        &with("plots.csv", &plots_of_two_trials().replace("T2,1,,1,0,A,1\n", "T2,1,,1,0,C,1\n")),
        &["plots.csv row 11: trial `T2` has C in one of means.csv and plots.csv only"],
    );
    let mut only_new = with("plots.csv", &plots_of_two_trials());
    let means =
        String::from_utf8(only_new["means.csv"].clone()).unwrap().replace("T2,A,1.6,\nT2,B,1.5,\n", "");
    only_new.insert("means.csv".to_owned(), means.into_bytes());
    warning(&only_new, "plots.csv row 11: trial `T2` is not in means.csv; its means are worked out");
    let means = read(&only_new).network.unwrap().means;
    assert_eq!((means.len(), means[6].trial.as_str()), (8, "T2"));
}

/// Once saved, a network's plots still say what its means are: a plot corrected in `plots.csv` moves its trial, and
/// where the means are stated and do not move, that is said.
#[test]
fn a_plot_corrected_after_saving_counts() {
    let mut files = with("plots.csv", &plots_of_two_trials());
    files.remove("means.csv");
    let written = write::files(&read(&files).network.unwrap()).unwrap();
    assert!(!written.contains_key("means.csv") && written["plots.csv"].contains("T2,1,,1,1,B,1.4\r\n"));
    assert!(written["trials.csv"].contains("T2,S2,2020,dryland,180,4,,0.62,"), "{}", written["trials.csv"]);
    let mut files: Map<String, Vec<u8>> =
        written.into_iter().map(|(name, text)| (name.to_owned(), text.into_bytes())).collect();
    let corrected = plots_of_two_trials().replace("T2,1,,1,1,B,1.4", "T2,1,,1,1,B,0.7");
    files.insert("plots.csv".to_owned(), corrected.clone().into_bytes());
    let network = read(&files).network.unwrap();
    assert!((network.means[4].yield_ - (0.7 + 1.9 + 1.9) / 3.0).abs() < 1e-9, "{:?}", network.means[4]);
    warning(
        &with("plots.csv", &corrected),
        "means.csv row 5, column `yield`: `A` in trial `T2`: 1.6 is stated and the plots give 1.267 (means of the trial that \
         differ: 1)",
    );
}

#[test]
fn plots_are_held_to_their_field() {
    let text = plots_of_two_trials();
    let mut files = with("plots.csv", &text.replace("T1,1,,1,1,B", "T1,1,,1,0,B"));
    errors(&files, &["plots.csv row 3: trial `T1`, row `1`, col `0` is already in row 2"]);
    let apart = format!("{PLOTS_HEADER}T1,1,,,,A,1\nT1,1,,,,B,2\nT1,2,,,,C,2\n");
    files.insert("plots.csv".to_owned(), apart.into_bytes());
    errors(&files, &["plots.csv row 2: replicates `1` and `2` of trial `T1` have no variety in common"]);
    files.remove("means.csv");
    files.insert(
        "plots.csv".to_owned(),
        format!("{PLOTS_HEADER}T1,1,,,,A,1\nT1,1,,,,B,\nT2,1,,,,C,\n").into_bytes(),
    );
    warning(&files, "plots.csv row 3: every plot of `B` in trial `T1` is blank");
    warning(&files, "plots.csv row 4: no plot of trial `T2` has a yield");
}

/// Four varieties, two to a block, every pair together once: a balanced lattice of three replicates.
const LATTICE: [[[&str; 2]; 2]; 3] =
    [[["A", "B"], ["C", "D"]], [["A", "C"], ["B", "D"]], [["A", "D"], ["B", "C"]]];

/// The lattice as trial `T1`, alone in its folder. Invented yields.
fn lattice() -> (Map<String, Vec<u8>>, String) {
    let yields = [2.95, 3.1, 2.6, 2.3, 2.0, 2.55, 3.15, 2.9, 2.1, 2.4, 3.2, 3.65];
    let mut text = PLOTS_HEADER.to_owned();
    for (at, yield_) in yields.iter().enumerate() {
        let (rep, block, plot) = (at / 4, at / 2 % 2, at % 2);
        text += &format!("T1,{},{},,,{},{yield_}\n", rep + 1, block + 1, LATTICE[rep][block][plot]);
    }
    let mut files = with("plots.csv", &text);
    files.insert("trials.csv".to_owned(), b"trial,site,season,system\nT1,S1,2020,dryland\n".to_vec());
    files.insert("varieties.csv".to_owned(), b"variety\nA\nB\nC\nD\n".to_vec());
    for file in ["means.csv", "ratings.csv", "pressure.csv", "shortlist.csv", "water.csv"] {
        files.remove(file);
    }
    let info = br#"{"name": "Invented", "yield_unit": "t/ha"}"#;
    files.insert("network.json".to_owned(), info.to_vec());
    (files, text)
}

#[test]
fn incomplete_blocks_give_adjusted_means_and_their_error() {
    let (mut files, text) = lattice();
    let reading = read(&files);
    assert_eq!(lines(&reading.errors), [""; 0]);
    let network = reading.network.unwrap();
    let plots: Vec<PlotYield<'_>> = network
        .plots
        .iter()
        .map(|plot| PlotYield {
            variety: &plot.variety,
            rep: &plot.rep,
            block: plot.block.as_deref(),
            yield_: plot.yield_.unwrap(),
        })
        .collect();
    let analysis = trial::analyse(&plots).unwrap();
    let sed = analysis.sed.unwrap().average;
    assert!(analysis.blocks.unwrap().variance > 0.0);
    let report = network.trials[0].error;
    assert_eq!(report.reps, Some(3.0));
    // What a mean's error variance is taken to be: half the average variance of a difference.
    assert!((report.error_ms.unwrap() / 3.0 - sed * sed / 2.0).abs() < 1e-9);
    for (mean, adjusted) in network.means.iter().zip(&analysis.means) {
        assert!((mean.yield_ - adjusted.mean).abs() < 1e-9 && mean.plots == Some(3.0));
    }
    let raw = (2.95 + 2.0 + 2.1) / 3.0;
    assert!((network.means[0].yield_ - raw).abs() > 0.01, "the means are adjusted for their blocks");
    // Blocks numbered through the trial, and no column of replicates: the same blocks, without replicates.
    let through = text.replace("T1,2,1,", "T1,2,3,").replace("T1,2,2,", "T1,2,4,");
    let through = through.replace("T1,3,1,", "T1,3,5,").replace("T1,3,2,", "T1,3,6,");
    files.insert("plots.csv".to_owned(), through.clone().into_bytes());
    assert_eq!(read(&files).network.unwrap().means, network.means);
    let bare: String = through.lines().map(|line| without_cell(line, 1) + "\n").collect();
    files.insert("plots.csv".to_owned(), bare.into_bytes());
    let without_reps = read(&files).network.unwrap();
    assert_eq!((without_reps.plots[0].rep.as_str(), without_reps.trials[0].error.reps), ("", Some(3.0)));
}

fn without_cell(line: &str, at: usize) -> String {
    let cells = line.split(',').enumerate().filter(|(place, _)| *place != at);
    cells.map(|(_, cell)| cell).collect::<Vec<_>>().join(",")
}

#[test]
fn faults_of_blocks_are_named() {
    let (mut files, text) = lattice();
    let mut put = |text: String| {
        files.insert("plots.csv".to_owned(), text.into_bytes());
        files.clone()
    };
    errors(
        &put(text.replace("T1,2,1,,,C", "T1,2,,,,C")),
        &["plots.csv row 7, column `block`: blank, though other plots of trial `T1` have one"],
    );
    errors(
        &put(text.replace("T1,2,1,,,C", "T1,,1,,,C")),
        &["plots.csv row 7, column `rep`: blank, though other plots of trial `T1` have one"],
    );
    errors(&put(text.replace("T1,2,1,,,C", "T1,,,,,C")), &["plots.csv row 7, column `rep`: blank"]);
    let bare: String = text.lines().map(|line| without_cell(&without_cell(line, 2), 1) + "\n").collect();
    errors(&put(bare), &["plots.csv, column `rep`: the column is not there"]);
    let own_block = |(at, line): (usize, &str)| {
        let cells: Vec<&str> = line.split(',').collect();
        if at == 0 {
            format!("{line}\n")
        } else {
            format!("T1,{},{at},,,{},{}\n", cells[1], cells[5], cells[6])
        }
    };
    let single: String = text.lines().enumerate().map(own_block).collect();
    warning(&put(single), "plots.csv row 2: the blocks of trial `T1` cannot be told from its varieties");
    // The first replicate's pairs throughout: A and B never meet C and D.
    let mut apart = PLOTS_HEADER.to_owned();
    for at in 0..12 {
        let variety = LATTICE[0][at / 2 % 2][at % 2];
        let yield_ = [2.1, 2.6, 1.4, 1.9, 2.3, 2.7, 2.8, 2.0, 2.2, 2.7, 3.0, 2.1][at];
        apart += &format!("T1,{},{},,,{variety},{yield_}\n", at / 4 + 1, at / 2 % 2 + 1);
    }
    warning(&put(apart), "plots.csv row 2: no chain of blocks joins `A` and `C` of trial `T1`");
}

#[test]
fn an_outlying_plot_is_named_with_its_row_and_kept() {
    let rows = (0..24).map(|at| {
        let (variety, rep) = (["A", "B", "C", "D", "E", "F"][at % 6], at / 6);
        let yield_ = 3.0 + 0.2 * (at % 6) as f64 + 0.1 * [1.0, -2.0, 0.5, 1.5, -0.7][at % 5];
        (variety, rep, if at == 9 { 33.6 } else { yield_ })
    });
    let text: String = rows.map(|(variety, rep, y)| format!("T1,{rep},,,,{variety},{y}\n")).collect();
    let (mut files, _) = lattice();
    files.insert("varieties.csv".to_owned(), b"variety\nA\nB\nC\nD\nE\nF\n".to_vec());
    // A lost plot and a blank line above it: the row is the spreadsheet's.
    files.insert("plots.csv".to_owned(), format!("{PLOTS_HEADER}T1,0,,,,A,\n\n{text}").into_bytes());
    let reading = read(&files);
    let named: Vec<_> = reading.warnings.iter().filter(|warning| warning.file == "plots.csv").collect();
    assert_eq!(named.len(), 1, "{named:#?}");
    assert_eq!((named[0].row, named[0].column.as_deref()), (Some(13), Some("yield")));
    let line = named[0].to_string();
    let start = "plots.csv row 13, column `yield`: 33.6 of `D` in replicate `1` of trial `T1` is ";
    assert!(line.starts_with(start) && line.ends_with("check it, nothing was removed"), "{line}");
    assert!(line.contains(" above what is fitted to it (studentised residual "), "{line}");
    let mean = &reading.network.unwrap().means[3];
    assert!(mean.variety == "D" && mean.yield_ > 10.0 && mean.plots == Some(4.0), "{mean:?}");
}
