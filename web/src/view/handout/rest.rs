//! The rest of what can be sown, on the printed page: a table in three columns, read downwards. Who still grows
//! one that is no longer tested names it in the sentence and has it on top.

use super::super::Page;
use crate::text::Label;
use leanyear_engine::decide::{StandingState, VarietyOdds};
use yew::prelude::*;

const COLUMNS: usize = 3;
/// Stands before the name of one that belongs to the group but found no place among its rows.
const CLOSE: &str = "\u{2248}\u{a0}";
/// Height that the sentence, the remarks and the table share on paper, mm, and what a line of each takes.
const ROOM_MM: f64 = 57.5;
const SENTENCE_MM: f64 = 5.1;
const REMARK_MM: f64 = 3.9;
const TABLE_MM: f64 = 3.7;
/// Letters in a line of the sentence and of a remark, at the least.
const SENTENCE_LETTERS: usize = 84;
const REMARK_LETTERS: usize = 60;
/// Letters in a line of the foot, the lines of it that are always there, and what a further one takes, mm.
const FOOT_LETTERS: usize = 84;
const FOOT_LINES: f64 = 10.0;
const FOOT_MM: f64 = 3.7;
/// Lines of the table that are there whatever the sentence says.
const FEWEST_LINES: f64 = 2.0;

/// How many lines the table may have under a sentence, with its remarks and what the foot has to add, and over the
/// foot, which some languages make longer than others.
pub(super) fn lines_left<'a>(
    sentence: &str,
    remarks: impl Iterator<Item = &'a String>,
    foot: &[String],
) -> usize {
    let lines = |text: &str, letters: usize| text.chars().count().div_ceil(letters) as f64;
    let remarks: f64 = remarks.map(|words| lines(words, REMARK_LETTERS)).sum();
    let foot: f64 = foot.iter().map(|words| lines(words, FOOT_LETTERS)).sum();
    let room = ROOM_MM - FOOT_MM * (foot - FOOT_LINES).max(0.0);
    let left = room - SENTENCE_MM * lines(sentence, SENTENCE_LETTERS) - REMARK_MM * remarks;
    (left / TABLE_MM).floor().max(FEWEST_LINES) as usize
}

/// The table, where anything is left: at most `most` lines of it.
pub(super) fn rest(page: &Page, rest: &[&VarietyOdds], most: usize) -> Html {
    if rest.is_empty() {
        return html! {};
    }
    let (rest, gone): (Vec<_>, Vec<_>) =
        rest.iter().copied().partition(|odds| odds.standing.state != StandingState::NoLongerTested);
    let shown = &rest[..rest.len().min(COLUMNS * most)];
    let lines = shown.len().div_ceil(COLUMNS).max(1);
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
                { for shown.chunks(lines).map(|column| html! {
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
                { for (odds.standing.trials > 0).then(|| html! {
                    <span class="paper-tested">{format!(" ({},\u{a0}{})", odds.standing.seasons, odds.standing.trials)}</span>
                }) }
            </th>
            <td>{ page.words.paper_years(odds.marks_short) }</td>
            <td>{ page.units().yield_number(odds.expected) }</td>
        </tr>
    }
}
