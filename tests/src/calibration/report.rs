//! A study in words and tables: what held, where it did not, and every number as CSV.
//!
//! It computes nothing but verdicts.

use super::tally::{Pooled, PooledTenth, Tally, of, pool, tenths};
use super::{Outcome, Study};
use leanyear_engine::order::Set;
use std::fmt::Write;

/// Ranges whose coverage is judged: measure, words, share that should hold, tolerance.
pub const RANGES: [(&str, &str, f64); 16] = [
    ("deviation 80", "variety deviations in a trial, given its water", 0.80),
    ("deviation 95", "variety deviations in a trial, given its water", 0.95),
    ("deviation as it came 80", "the same, as the season came", 0.80),
    ("deviation as it came 95", "the same, as the season came", 0.95),
    ("difference 80", "lasting differences between two varieties", 0.80),
    ("difference 95", "lasting differences between two varieties", 0.95),
    ("trial yield 80", "whole yields of trials, given water", 0.80),
    ("trial yield 95", "whole yields of trials, given water", 0.95),
    ("field 80", "whole yields of a farmer's field, as it comes", 0.80),
    ("field 95", "whole yields of a farmer's field, as it comes", 0.95),
    ("field dry 80", "whole yields of a farmer's field, dry third", 0.80),
    ("field dry 95", "whole yields of a farmer's field, dry third", 0.95),
    ("field 80 as shown", "the same, as shown with its failed crops at 0: more by rights", 0.80),
    ("field dry 80 as shown", "the same in the dry third, as shown", 0.80),
    ("deviation 80, one season", "deviations of varieties tested one season", 0.80),
    ("deviation 80, three or more", "deviations of varieties tested three or more", 0.80),
];

/// Kinds of chances whose reliability is judged.
pub const CHANCES: [(&str, &str); 12] = [
    ("short, field", "falls short, farmer's field, as it comes"),
    ("short, field dry", "falls short, farmer's field, dry third"),
    ("short if harvested, field", "falls short if there is a harvest, farmer's field, as it comes"),
    ("short if harvested, field dry", "falls short if there is a harvest, farmer's field, dry third"),
    ("no harvest, field", "no harvest, farmer's field, as it comes"),
    ("no harvest, field dry", "no harvest, farmer's field, dry third"),
    ("pairs, field", "beats mine, farmer's field, as it comes"),
    ("pairs, field dry", "beats mine, farmer's field, dry third"),
    ("pairs, trial", "makes more in a trial, given its water"),
    ("pairs, trial as it came", "makes more in a trial, as the season came"),
    ("best, field", "is the best, farmer's field, as it comes"),
    ("best, field dry", "is the best, farmer's field, dry third"),
];

/// Points by which a chance in a tenth may miss.
const CHANCE_TOLERANCE: f64 = 0.03;

/// How far a range's coverage may be from what it says.
pub fn tolerance(share: f64) -> f64 {
    if share > 0.9 { 0.015 } else { 0.02 }
}

/// Whether a coverage is as it should be: inside its band, or not told from it by two standard errors.
pub fn verdict(pooled: &Pooled, share: f64) -> &'static str {
    let distance = (pooled.mean - share).abs();
    if distance <= tolerance(share) {
        "holds"
    } else if distance - tolerance(share) <= 2.0 * pooled.error {
        "holds within 2 SE"
    } else if pooled.mean < share {
        "TOO NARROW"
    } else {
        "TOO WIDE"
    }
}

/// Whether a tenth's chances come true within 3 points or 2 clustered standard errors.
pub fn reliable(tenth: &PooledTenth) -> bool {
    (tenth.came - tenth.said).abs() <= CHANCE_TOLERANCE.max(2.0 * tenth.error)
}

/// The study as Markdown.
pub fn markdown(study: &Study, outcome: &Outcome) -> String {
    let all = of(&outcome.tallies, None);
    let mut text = format!(
        "# Calibration where the truth is known\n\n{} simulated networks, seed {}; {} gave no forecast. Written by \
         `cargo run --release -p leanyear-tests --bin calibration`. Every network counts as one; standard errors (SE) are \
         clustered by network.\n",
        study.networks,
        study.seed,
        outcome.refused.len()
    );
    if study.substitutes != super::Substitutes::default() {
        let _ = writeln!(text, "\nExperiment: true values in place of estimates: {:?}.", study.substitutes);
    }
    for (index, why) in &outcome.refused {
        let _ = writeln!(text, "\nNetwork {index}: {why}");
    }
    text += "\n## Ranges\n\n| range | says | holds | SE | networks | verdict |\n|---|---|---|---|---|---|\n";
    for (measure, words, share) in RANGES {
        if let Some(p) = pool(&all, measure) {
            let judged = if measure.ends_with("as shown") { "" } else { verdict(&p, share) };
            let _ = writeln!(
                text,
                "| {words} | {:.0} % | {:.1} % | {:.1} | {} | {judged} |",
                100.0 * share,
                100.0 * p.mean,
                100.0 * p.error,
                p.networks
            );
        }
    }
    accuracy(&mut text, &all);
    chances(&mut text, &all);
    strata_table(&mut text, &outcome.tallies);
    diagnostics(&mut text, &all);
    text
}

fn accuracy(text: &mut String, all: &[&Tally]) {
    *text += "\n## Accuracy of variety deviations (percent of a system's mean yield)\n\n| forecast | RMSE | CRPS |\n|---|---|---|\n";
    for (words, square, crps) in [
        ("given the season's water", "square, given water", "crps, given water"),
        ("as the season came", "square, as it came", "crps, as it came"),
        ("table of raw means", "square, raw means", "crps, raw means"),
        ("truth known but for the season", "square, truth known", "crps, truth known"),
    ] {
        if let (Some(square), Some(crps)) = (pool(all, square), pool(all, crps)) {
            let _ =
                writeln!(text, "| {words} | {:.2} | {:.3} |", 100.0 * square.mean.sqrt(), 100.0 * crps.mean);
        }
    }
}

fn chances(text: &mut String, all: &[&Tally]) {
    for (kind, words) in CHANCES {
        let list = tenths(all, kind);
        let _ = write!(
            text,
            "\n## Chance: {words}\n\n| tenth | share of chances | said | came true | SE | networks | |\n|---|---|---|---|---|---|---|\n"
        );
        for (k, tenth) in list.iter().enumerate() {
            let Some(t) = tenth else { continue };
            let _ = writeln!(
                text,
                "| {}–{} % | {:.1} % | {:.1} % | {:.1} % | {:.1} | {} | {} |",
                10 * k,
                10 * (k + 1),
                100.0 * t.share,
                100.0 * t.said,
                100.0 * t.came,
                100.0 * t.error,
                t.networks,
                if reliable(t) { "" } else { "MISSES" }
            );
        }
    }
}

/// Names of all strata, in the order in which networks state them.
pub fn strata(tallies: &[Tally]) -> Vec<&'static str> {
    let names: Set<(usize, &'static str)> =
        tallies.iter().flat_map(|t| t.strata.iter().copied().enumerate()).collect();
    names.into_iter().map(|n| n.1).collect()
}

fn strata_table(text: &mut String, tallies: &[Tally]) {
    const SHOWN: [(&str, &str, f64); 9] = [
        ("deviation 80", "deviations 80", 0.80),
        ("deviation 95", "95", 0.95),
        ("difference 80", "lasting 80", 0.80),
        ("difference 95", "95", 0.95),
        ("trial yield 80", "trial yields 80", 0.80),
        ("field 80", "field 80", 0.80),
        ("field 95", "95", 0.95),
        ("field dry 80", "field dry 80", 0.80),
        ("field dry 95", "95", 0.95),
    ];
    *text += "\n## By kind of network\n\nCoverage in percent (SE); `!` where it misses.\n\n| networks | n |";
    SHOWN.iter().for_each(|s| *text += &format!(" {} |", s.1));
    *text += " chances of falling short: worst tenth |\n|---|---|";
    SHOWN.iter().for_each(|_| *text += "---|");
    *text += "---|\n";
    for name in strata(tallies) {
        let here = of(tallies, Some(name));
        let _ = write!(text, "| {name} | {} |", here.len());
        for (measure, _, share) in SHOWN {
            let cell = pool(&here, measure).map_or(String::new(), |p| {
                let sign = if verdict(&p, share).starts_with("TOO") { " !" } else { "" };
                format!("{:.1} ({:.1}){sign}", 100.0 * p.mean, 100.0 * p.error)
            });
            let _ = write!(text, " {cell} |");
        }
        let worst = tenths(&here, "short, field")
            .into_iter()
            .flatten()
            .filter(|t| !reliable(t))
            .max_by(|a, b| (a.came - a.said).abs().total_cmp(&(b.came - b.said).abs()));
        let cell = worst
            .map_or(String::new(), |t| format!("said {:.0} %, came {:.0} %", 100.0 * t.said, 100.0 * t.came));
        let _ = writeln!(text, " {cell} |");
    }
}

fn diagnostics(text: &mut String, all: &[&Tally]) {
    *text += "\n## Diagnostics\n\nLog ratios are of an estimated to its true variance; level sd are differences of standard \
              deviations (log scale); z squared should average 1; places should average ½; width is the 80 % range \
              over the true field's own, so an honest one is above 1.\n\n| measure | mean | SE |\n|---|---|---|\n";
    let names: Set<&str> = all.iter().flat_map(|t| t.cells.keys().copied()).collect();
    let shown = ["log", "level", "kappa", "z", "place", "width"];
    for name in names.into_iter().filter(|n| n.split([' ', ',']).any(|word| shown.contains(&word))) {
        if let Some(p) = pool(all, name) {
            let _ = writeln!(text, "| {name} | {:.3} | {:.3} |", p.mean, p.error);
        }
    }
}

/// The pooled numbers: stratum, measure, tenth, networks, share, said, value, SE. All of them over all networks; by
/// kind of network the ranges and the chances of falling short.
pub fn csv(outcome: &Outcome) -> String {
    let mut text = String::from("networks_of,measure,tenth,networks,share,said,value,se\n");
    let tallies = &outcome.tallies;
    for stratum in std::iter::once(None).chain(strata(tallies).into_iter().map(Some)) {
        let here = of(tallies, stratum);
        let name = stratum.unwrap_or("all");
        let measures: Set<&str> = match stratum {
            None => here.iter().flat_map(|t| t.cells.keys().copied()).collect(),
            Some(_) => RANGES.iter().map(|r| r.0).collect(),
        };
        for measure in measures {
            if let Some(p) = pool(&here, measure) {
                let _ = writeln!(text, "{name},\"{measure}\",,{},,,{:.5},{:.5}", p.networks, p.mean, p.error);
            }
        }
        let kinds: Set<&str> = match stratum {
            None => here.iter().flat_map(|t| t.chances.keys().copied()).collect(),
            Some(_) => Set::from([CHANCES[0].0]),
        };
        for kind in kinds {
            for (k, t) in tenths(&here, kind).into_iter().enumerate() {
                let Some(t) = t else { continue };
                let _ = writeln!(
                    text,
                    "{name},\"{kind}\",{},{},{:.4},{:.4},{:.4},{:.4}",
                    k + 1,
                    t.networks,
                    t.share,
                    t.said,
                    t.came,
                    t.error
                );
            }
        }
    }
    text
}
