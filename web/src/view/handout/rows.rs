//! The drawn rows of the printed page: strip on the left, two lines of words on the right.

use super::super::Page;
use super::super::pick::Pick;
use super::super::row::strip;
use crate::draw::axis::Frame;
use crate::draw::{at, marks};
use crate::text::Label;
use leanyear_engine::decide::VarietyOdds;
use yew::prelude::*;

/// Those grown now and the check, the group too close to call, then the next ones.
pub(super) fn rows(page: &Page, frame: &Frame, picked: &Pick) -> Html {
    let (group, next): (Vec<_>, Vec<_>) = picked.best.iter().copied().partition(|odds| odds.group);
    let (all, shown) = picked.group(page);
    let first = picked.mine.into_iter().map(|odds| (odds, Some(Label::HandoutYours)));
    let first = first.chain(picked.check.map(|odds| (odds, Some(Label::HandoutCheck))));
    let heading = |words: String, line: Option<String>| {
        html! { <h3>{words}{ for line.map(|line| html! { <span class="paper-line">{" "}{line}</span> }) }</h3> }
    };
    html! {
        <>
            <ul class="paper-rows">{ for first.map(|(odds, tag)| row(page, frame, odds, tag)) }</ul>
            { for (!group.is_empty()).then(|| html! { <>
                { heading(page.words.group_heading(all, shown), Some(page.words.group_line(all))) }
                <ul class="paper-rows">{ for group.iter().map(|odds| row(page, frame, odds, None)) }</ul>
            </> }) }
            { for (!next.is_empty()).then(|| html! { <>
                { heading(page.label(Label::HandoutNext).to_owned(), None) }
                <ul class="paper-rows">{ for next.iter().map(|odds| row(page, frame, odds, None)) }</ul>
            </> }) }
        </>
    }
}

fn row(page: &Page, frame: &Frame, odds: &VarietyOdds, tag: Option<Label>) -> Html {
    let (units, words) = (page.units(), page.words);
    let name = page.network.variety_name(&odds.variety);
    let marks = marks::marks(&odds.seasons, odds.failed_marks, odds.marks_short, &frame.scale);
    let picture = words.marks_picture(name, &odds.seasons, &units);
    let line = odds.break_even.map(|value| at(frame.scale.place(value)));
    let tags: Vec<String> =
        tag.map(|tag| page.label(tag).to_owned()).into_iter().chain(words.paper_state(odds)).collect();
    let tested = words.paper_tested(&odds.standing, page.state.settings.water);
    html! {
        <li key={odds.variety.clone()}>
            { strip(&marks, &picture, frame.width, line.as_deref()) }
            <p>
                <strong>{ name }</strong>
                { for (!tags.is_empty()).then(|| html! { <em>{" ("}{ tags.join(", ") }{")"}</em> }) }
                {" "}<strong>{ words.odds(page.short(), odds.marks_short, &units) }</strong>
                <br />
                { words.paper_averages(odds, &units) }{" \u{b7} "}{ tested }
            </p>
        </li>
    }
}
