//! The decision table as CSV (RFC 4180): decimal points, one row a variety, in the order of the list: the group
//! too close to call shares one place, and those that are never named as the best have none.
//!
//! A text that a spreadsheet would take for a formula gets an apostrophe before it; a number never does.

use super::super::Page;
use super::super::list::Sections;
use super::super::row::lacks;
use super::super::sentence::whole;
use crate::text::{Label, figure::Units};
use leanyear_engine::decide::VarietyOdds;

/// Tells a spreadsheet that the letters are UTF-8.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// The table; what is left after costs is in it only where money may go out.
pub fn table(page: &Page) -> String {
    let money = page.state.share_money;
    let units = page.units();
    let headings = page.words.table_headings(page.short(), money, &units);
    let settings = text(&whole(page, money));
    let mut out = String::from(BYTE_ORDER_MARK);
    push(&mut out, headings.iter().map(|heading| text(heading)));
    for (place, odds) in placed(page) {
        let mut cells = row(page, place, odds, &units);
        if money {
            cells.extend([
                optional(odds.break_even.map(|value| units.machine(value))),
                optional(odds.net.map(cents)),
                optional(odds.worst_fifth_net.map(cents)),
                cents(odds.seed_cost),
            ]);
        }
        let invented = page.network.info.invented.then(|| text(page.label(Label::Invented)));
        cells.extend([
            settings.clone(),
            optional(invented),
            text(&optional(page.words.state(&odds.standing))),
            text(page.her_word_in_short(&odds.variety).unwrap_or_default()),
        ]);
        push(&mut out, cells.into_iter());
    }
    out
}

/// The rows with their places: one place for the group, as for a tie; the next of those that follow; none below.
fn placed<'a>(page: &Page<'a>) -> Vec<(Option<usize>, &'a VarietyOdds)> {
    let sections = Sections::of(page.answer.table.varieties.iter());
    let group = sections.group.iter().map(|odds| (Some(1), *odds));
    let next = sections.group.len() + 1;
    let rest = sections.rest.iter().enumerate().map(|(k, odds)| (Some(next + k), *odds));
    group.chain(rest).chain(sections.below().map(|odds| (None, odds))).collect()
}

fn row(page: &Page, place: Option<usize>, odds: &VarietyOdds, units: &Units) -> Vec<String> {
    let chance = |chance: Option<f64>| optional(chance.map(|chance| format!("{chance:.2}")));
    let standing = &odds.standing;
    vec![
        optional(place.map(|place| place.to_string())),
        text(&odds.variety),
        text(page.network.variety_name(&odds.variety)),
        text(page.words.yes_no(odds.group)),
        units.machine(odds.expected),
        units.machine(odds.low80),
        units.machine(odds.high80),
        units.machine(odds.worst_fifth),
        odds.marks_short.to_string(),
        odds.failed_marks.to_string(),
        chance(odds.beats_mine),
        chance(odds.beats_check),
        standing.seasons.to_string(),
        standing.trials.to_string(),
        standing.trials_like_this.to_string(),
        optional(standing.last.map(|year| year.to_string())),
        text(&optional(lacks(page, odds))),
    ]
}

fn optional(cell: Option<String>) -> String {
    cell.unwrap_or_default()
}

fn cents(value: f64) -> String {
    let text = format!("{value:.2}");
    if text == "-0.00" { "0.00".into() } else { text }
}

/// A cell of text: guarded, quoted where it has to be.
fn text(cell: &str) -> String {
    let cell = cell.replace('\u{a0}', " ");
    let cell = match cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '|', '%']) {
        true => format!("'{cell}"),
        false => cell,
    };
    match cell.contains([',', '"', '\n', '\r', ';']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell,
    }
}

fn push(out: &mut String, cells: impl Iterator<Item = String>) {
    out.push_str(&cells.collect::<Vec<_>>().join(","));
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_spreadsheet_would_run_is_text() {
        for cell in ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "=HYPERLINK(\"x\")", "|cmd", "%x"] {
            let guarded = text(cell);
            assert!(guarded.trim_start_matches('"').starts_with('\''), "{guarded}");
        }
        assert_eq!(text("Ambra 5"), "Ambra 5");
        assert_eq!(text("a,b"), "\"a,b\"");
        assert_eq!(text("say \"so\""), "\"say \"\"so\"\"\"");
        assert_eq!(cents(-12.5), "-12.50");
        assert_eq!(cents(-0.001), "0.00");
    }
}
