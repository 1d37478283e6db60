//! The rest of the varieties on the printed page, as a table of three columns read downwards.

use super::super::Page;
use leanyear_engine::decide::VarietyOdds;
use yew::prelude::*;

const COLUMNS: usize = 3;
/// Lines of the table that there is always room for.
const MOST_LINES: usize = 18;

/// The table, where anything is left.
pub(super) fn rest(page: &Page, rest: &[&VarietyOdds]) -> Html {
    if rest.is_empty() {
        return html! {};
    }
    let shown = &rest[..rest.len().min(COLUMNS * MOST_LINES)];
    let lines = shown.len().div_ceil(COLUMNS);
    html! {
        <>
            <table class="paper-rest">
                <caption>{ page.words.paper_rest(page.short(), &page.units()) }</caption>
                <tbody>
                    { for (0..lines).map(|line| html! {
                        <tr>{ for (0..COLUMNS).filter_map(|column| shown.get(column * lines + line)).map(|odds| cells(page, odds)) }</tr>
                    }) }
                </tbody>
            </table>
            { for (rest.len() > shown.len()).then(|| html! { <p>{ page.words.paper_more(rest.len() - shown.len()) }</p> }) }
        </>
    }
}

fn cells(page: &Page, odds: &VarietyOdds) -> Html {
    let state = page.words.paper_state(&odds.standing);
    html! {
        <>
            <th scope="row">
                { page.network.variety_name(&odds.variety) }
                { for state.map(|state| html! { <em>{", "}{state}</em> }) }
            </th>
            <td>{ page.words.paper_years(odds.marks_short) }</td>
            <td>{ page.units().yield_number(odds.expected) }</td>
        </>
    }
}
