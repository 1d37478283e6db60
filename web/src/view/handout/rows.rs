//! The drawn rows of the printed page: strip on the left, two lines of words on the right.

use super::super::Page;
use super::super::pick::Pick;
use super::super::row::strip;
use crate::draw::axis::Frame;
use crate::draw::{at, marks};
use crate::text::Label;
use leanyear_engine::decide::VarietyOdds;
use yew::prelude::*;

/// Letters in the first line of a row, which is bold, and in the second.
const FIRST_LETTERS: usize = 52;
const SECOND_LETTERS: usize = 70;

/// How many lines all rows together have beyond two each.
pub(super) fn wrapped(page: &Page, picked: &Pick) -> usize {
    let beyond = |text: String, letters: usize| text.chars().count().div_ceil(letters) - 1;
    let beyond = |(odds, tag): (&VarietyOdds, Option<Label>)| {
        let words = Words::of(page, odds, tag);
        let first = format!("{} {} {}", words.name, words.tags, words.odds);
        beyond(first, FIRST_LETTERS) + beyond(words.second, SECOND_LETTERS)
    };
    first(picked).chain(picked.best.iter().map(|odds| (*odds, None))).map(beyond).sum()
}

/// Those grown now, and the check, each with what it is.
fn first<'a>(picked: &Pick<'a>) -> impl Iterator<Item = (&'a VarietyOdds, Option<Label>)> {
    let mine = picked.mine.into_iter().map(|odds| (odds, Some(Label::HandoutYours)));
    mine.chain(picked.check.map(|odds| (odds, Some(Label::HandoutCheck))))
}

/// What a row says of its variety.
struct Words<'a> {
    name: &'a str,
    /// What it is in brackets, or nothing.
    tags: String,
    odds: String,
    second: String,
}

impl<'a> Words<'a> {
    fn of(page: &Page<'a>, odds: &'a VarietyOdds, tag: Option<Label>) -> Self {
        let (units, words) = (page.units(), page.words);
        let tags: Vec<String> =
            tag.map(|tag| page.label(tag).to_owned()).into_iter().chain(words.paper_state(odds)).collect();
        let tested = words.paper_tested(&odds.standing, page.state.settings.water);
        let adviser = page
            .her_word_in_short(&odds.variety)
            .map_or(String::new(), |adviser| format!(" \u{b7} {adviser}"));
        Words {
            name: page.network.variety_name(&odds.variety),
            tags: if tags.is_empty() { String::new() } else { format!("({})", tags.join(", ")) },
            odds: words.odds(page.short(), odds.marks_short, &units),
            second: format!("{} \u{b7} {tested}{adviser}", words.paper_averages(odds, &units)),
        }
    }
}

/// Those grown now and the check, the group too close to call, then the next ones.
pub(super) fn rows(page: &Page, frame: &Frame, picked: &Pick) -> Html {
    let (group, next): (Vec<_>, Vec<_>) = picked.best.iter().copied().partition(|odds| odds.group);
    let (all, shown) = picked.group(page);
    let first = first(picked);
    let heading = |words: String, line: Option<String>| {
        html! { <h3>{words}{ for line.map(|line| html! { <span class="paper-line">{" "}{line}</span> }) }</h3> }
    };
    html! {
        <>
            <ul class="paper-rows">{ for first.map(|(odds, tag)| row(page, frame, odds, tag)) }</ul>
            { for (!group.is_empty()).then(|| html! { <>
                { heading(page.words.group_heading(all, shown), Some(page.words.group_line(all, page.asks_needs()))) }
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
    let words = Words::of(page, odds, tag);
    let marks = marks::marks(&odds.seasons, odds.failed_marks, odds.marks_short, &frame.scale);
    let picture = page.words.marks_picture(words.name, &odds.seasons, &page.units());
    let line = odds.break_even.map(|value| at(frame.scale.place(value)));
    html! {
        <li key={odds.variety.clone()}>
            { strip(&marks, &picture, frame.width, line.as_deref()) }
            <p>
                <strong>{ words.name }</strong>
                {" "}{ for (!words.tags.is_empty()).then(|| html! { <><em>{ words.tags }</em>{" "}</> }) }
                <strong>{ words.odds }</strong>
                <br />
                { words.second }
            </p>
        </li>
    }
}
