//! Folders with plots: what is worked out from them, and what they must agree with.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use crate::pack::read;
use crate::pack::test_folder::{PLOTS_HEADER, errors, lines, plots_of_two_trials, warning, whole, with};

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
    assert!((b.yield_ - expected).abs() < 1e-12);
    // T1 states its error mean square, T2 only an LSD: only the blank is filled.
    assert_eq!(network.trials[0].error.error_ms, Some(0.16));
    // Differences B − A in T2 are 0.4, 0.6, 0.4: half their variance, 1/75 / 2, is the error mean square.
    assert!((network.trials[1].error.error_ms.unwrap() - 1.0 / 150.0).abs() < 1e-12);
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

#[test]
fn plots_are_held_to_their_field() {
    let text = plots_of_two_trials();
    let mut files = with("plots.csv", &text.replace("T1,1,,1,1,B", "T1,1,,1,0,B"));
    errors(&files, &["plots.csv row 3: trial `T1`, row `1`, col `0` is already in row 2"]);
    warning(
        &with("plots.csv", &text.replace("T1,1,,1,1,B", "T1,1,b1,1,1,B")),
        "plots.csv, column `block`: blocks",
    );
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
