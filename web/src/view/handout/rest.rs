//! The rest of what can be sown, on the printed page: a table in three columns, read downwards. Who still grows
//! one that is no longer tested names it in the sentence and has it on top.

use super::super::Page;
use crate::text::Label;
use leanyear_engine::decide::{StandingState, VarietyOdds};
use yew::prelude::*;

const COLUMNS: usize = 3;
/// Stands before the name of one that belongs to the group but found no place among its rows.
const CLOSE: &str = "\u{2248}\u{a0}";
/// Height that the sentence, the remarks, the table and whatever a row has beyond two lines share on paper, mm, and
/// what a line of each takes.
const ROOM_MM: f64 = 64.0;
const SENTENCE_MM: f64 = 5.1;
const REMARK_MM: f64 = 3.9;
const TABLE_MM: f64 = 3.7;
const ROW_MM: f64 = 3.7;
/// What a row of two lines takes with the space about it.
const WHOLE_ROW_MM: f64 = 8.2;
/// Letters in a line of the sentence and of a remark, at the least.
const SENTENCE_LETTERS: usize = 84;
const REMARK_LETTERS: usize = 60;
/// Letters in a line of the foot, the lines of it that are always there, and what a further one takes, mm.
const FOOT_LETTERS: usize = 84;
const FOOT_LINES: f64 = 10.0;
const FOOT_MM: f64 = 3.7;
/// What the foot is lower by where it has one code and not two.
const CODE_MM: f64 = 9.0;
/// Lines of the table that are there whatever the sentence says.
const FEWEST_LINES: f64 = 2.0;
/// Letters beside the two numbers in a line of the table: what stands there longer takes two lines.
const NAME_LETTERS: usize = 21;

/// How many lines the table may have under a sentence with its remarks, under rows of which so many lines are beyond
/// two each and so many are not there, and over the foot, which some languages make longer than others, with its codes; nothing
/// where not even the fewest fit.
pub(super) fn lines_left<'a>(
    sentence: &str,
    remarks: impl Iterator<Item = &'a String>,
    (wrapped, fewer): (usize, usize),
    (foot, codes): (&[String], usize),
) -> Option<usize> {
    let lines = |text: &str, letters: usize| text.chars().count().div_ceil(letters) as f64;
    let remarks: f64 = remarks.map(|words| lines(words, REMARK_LETTERS)).sum();
    let foot: f64 = foot.iter().map(|words| lines(words, FOOT_LETTERS)).sum();
    let room = ROOM_MM - FOOT_MM * (foot - FOOT_LINES).max(0.0) + if codes < 2 { CODE_MM } else { 0.0 };
    let room = room - ROW_MM * wrapped as f64 + WHOLE_ROW_MM * fewer as f64;
    let left = room - SENTENCE_MM * lines(sentence, SENTENCE_LETTERS) - REMARK_MM * remarks;
    let lines = (left / TABLE_MM).floor();
    (lines >= FEWEST_LINES).then_some(lines as usize)
}

/// Each column of the table: as many of `rest` as can stand in three columns of `most` lines, in equal numbers.
fn columns<'a>(page: &Page, rest: &'a [&'a VarietyOdds], most: usize) -> Vec<&'a [&'a VarietyOdds]> {
    let lines = |odds: &VarietyOdds| 1 + usize::from(name(page, odds).chars().count() > NAME_LETTERS);
    let in_columns = |shown: usize| rest[..shown].chunks(shown.div_ceil(COLUMNS).max(1)).collect::<Vec<_>>();
    let fits = |column: &&[&VarietyOdds]| column.iter().map(|odds| lines(odds)).sum::<usize>() <= most;
    let shown = (0..=rest.len().min(COLUMNS * most)).rev().find(|&shown| in_columns(shown).iter().all(fits));
    in_columns(shown.unwrap_or(0))
}

/// What stands beside the numbers: the name, its state, and how long tested.
fn name(page: &Page, odds: &VarietyOdds) -> String {
    let mut words = String::new();
    if odds.group {
        words.push_str(CLOSE);
    }
    words.push_str(page.network.variety_name(&odds.variety));
    if let Some(state) = page.words.paper_state(odds) {
        words.push_str(", ");
        words.push_str(&state);
    }
    words + &tested(odds)
}

/// Seasons and trials, in brackets.
fn tested(odds: &VarietyOdds) -> String {
    match odds.standing.trials {
        0 => String::new(),
        trials => format!(" ({},\u{a0}{trials})", odds.standing.seasons),
    }
}

/// The table, where anything is left: at most `most` lines of it.
pub(super) fn rest(page: &Page, rest: &[&VarietyOdds], most: usize) -> Html {
    if rest.is_empty() {
        return html! {};
    }
    let (rest, gone): (Vec<_>, Vec<_>) =
        rest.iter().copied().partition(|odds| odds.standing.state != StandingState::NoLongerTested);
    let columns = columns(page, &rest, most);
    let shown = columns.concat();
    let mut caption = page.words.paper_rest(page.short(), &page.units());
    if shown.iter().any(|odds| odds.group) {
        caption.push_str("; ");
        caption.push_str(CLOSE);
        caption.push_str(page.label(Label::HandoutClose));
    }
    html! {
        <section class="paper-rest">
            <p class="paper-caption" id="paper-rest">{caption}</p>
            <div>
                { for columns.iter().map(|column| html! {
                    <table aria-labelledby="paper-rest"><tbody>{ for column.iter().map(|odds| line(page, odds)) }</tbody></table>
                }) }
            </div>
            { for page.words.paper_left_off(rest.len() - shown.len(), gone.len()).map(|words| html! { <p>{words}</p> }) }
        </section>
    }
}

fn line(page: &Page, odds: &VarietyOdds) -> Html {
    html! {
        <tr>
            <th scope="row">
                { for odds.group.then_some(CLOSE) }
                { page.network.variety_name(&odds.variety) }
                { for page.words.paper_state(odds).map(|state| html! { <em>{", "}{state}</em> }) }
                <span class="paper-tested">{tested(odds)}</span>
            </th>
            <td>{ page.words.paper_years(odds.marks_short) }</td>
            <td>{ page.units().yield_number(odds.expected) }</td>
        </tr>
    }
}
