//! One variety in the list: name, the sentence, twenty marks, the average, how long tested.
//!
//! [`RowText`] is everything a row shows; a row whose text did not change is not drawn again.

use super::Page;
use super::row_id;
use super::sentence::trait_label;
use crate::draw::axis::Frame;
use crate::draw::{at, marks};
use crate::text::figure::Units;
use crate::update::Msg;
use leanyear_engine::decide::{StandingState, VarietyOdds};
use leanyear_engine::link::View;
use yew::prelude::*;

/// Everything that a row shows.
#[derive(Debug, Clone, PartialEq)]
pub struct RowText {
    /// Variety code.
    pub code: String,
    /// Name.
    pub name: String,
    /// That it is new, where it is.
    pub new: Option<String>,
    /// That it is no longer tested, or never was in this system, where that is so.
    pub lapsed: Option<String>,
    /// What it lacks of what it must have.
    pub lacks: Option<String>,
    /// The agronomist's word beside the numbers: in few words for a phone, and with her note.
    pub word: Option<(&'static str, String)>,
    /// The bold sentence.
    pub odds: String,
    /// Average and range.
    pub averages: String,
    /// How long tested.
    pub tested: String,
    /// Never tested in such a year.
    pub never: Option<&'static str>,
    /// How often it beats the one grown now.
    pub beats: Option<String>,
    /// The picture.
    pub marks: marks::Marks,
    /// Its title and description.
    pub picture: (String, String),
    /// Width of the picture, user units.
    pub width: f64,
    /// Place of the line between good and short.
    pub line: Option<String>,
    /// Whether the detail beside the list is about this variety.
    pub looked_at: bool,
}

/// The row of a variety.
pub fn row_text(page: &Page, frame: &Frame, odds: &VarietyOdds) -> RowText {
    let units = page.units();
    let words = page.words;
    let water = page.state.settings.water;
    let name = page.network.variety_name(&odds.variety).to_owned();
    let never = never_tried(page, odds);
    let state = words.state(&odds.standing);
    let is_new = odds.standing.current() && odds.standing.state == StandingState::New;
    let open = page.state.wide && matches!(page.state.settings.view, View::Odds | View::Variety);
    RowText {
        code: odds.variety.clone(),
        new: state.clone().filter(|_| is_new),
        lapsed: state.filter(|_| !is_new),
        lacks: lacks(page, odds),
        word: word(page, &odds.variety),
        odds: words.odds(page.short(), odds.marks_short, &units),
        averages: averages(page, odds),
        tested: words.tested(&odds.standing, water),
        never: never.then(|| words.never_tested(water)),
        beats: odds.beats_mine.map(|chance| words.beats_mine(chance)),
        marks: marks::marks(twenty(odds), odds.failed_marks, odds.marks_short, &frame.scale),
        picture: match odds.net_law {
            Some(_) => (words.marks_picture(&name, &[], &units).0, described(page, odds)),
            None => words.marks_picture(&name, &odds.seasons, &units),
        },
        width: frame.width,
        line: match odds.net_law {
            Some(_) => Some(at(frame.scale.place(0.0))),
            None => odds.break_even.map(|value| at(frame.scale.place(value))),
        },
        looked_at: open && page.answer.detail.as_ref().is_some_and(|d| d.variety == odds.variety),
        name,
    }
}

/// The twenty that the axis counts: yields, or what is left after costs.
pub fn twenty(odds: &VarietyOdds) -> &[f64] {
    odds.net_law.as_ref().map_or(&odds.seasons, |law| &law.seasons)
}

/// The same as numbers, poorest first.
pub fn twenty_numbers(odds: &VarietyOdds, units: &Units) -> String {
    let number = |value: &f64| match odds.net_law {
        Some(_) => units.fixed(*value, 0),
        None => units.yield_number(*value),
    };
    twenty(odds).iter().map(number).collect::<Vec<_>>().join(" ")
}

/// What these numbers are.
pub fn twenty_heading(page: &Page, odds: Option<&VarietyOdds>) -> String {
    match odds.and_then(|odds| odds.net_law.as_ref()) {
        Some(_) => page.words.money_heading(&page.units()),
        None => page.words.numbers_heading(&page.units()),
    }
}

fn described(page: &Page, odds: &VarietyOdds) -> String {
    let mut out = super::detail::capital(&twenty_heading(page, Some(odds)));
    out.push_str(": ");
    out.push_str(&twenty_numbers(odds, &page.units()));
    out.push('.');
    out
}

/// Average and range of what the axis counts.
pub fn averages(page: &Page, odds: &VarietyOdds) -> String {
    let units = page.units();
    match (&odds.net_law, odds.net) {
        (Some(law), Some(net)) => page.words.averages_money(net, law.low80, law.high80, &units),
        _ => page.words.averages(odds.expected, odds.low80, odds.high80, &units),
    }
}

/// The agronomist's word on it in this system, with her note.
fn word(page: &Page, code: &str) -> Option<(&'static str, String)> {
    let entry = page.her_word(code)?;
    let stance = page.words.stance(&entry.stance, &entry.system);
    let full = if entry.note.is_empty() { stance } else { format!("{stance}: {}", entry.note) };
    Some((page.words.stance_in_short(&entry.stance), full))
}

/// What it lacks of what it must have, in words.
pub fn lacks(page: &Page, odds: &VarietyOdds) -> Option<String> {
    let failures: Vec<_> =
        odds.fails.iter().map(|failure| (trait_label(page, &failure.trait_), failure.clone())).collect();
    (!failures.is_empty()).then(|| page.words.lacks(&failures, &page.units()))
}

/// Whether it was tested in this system, but never in a year like the one assumed.
pub fn never_tried(page: &Page, odds: &VarietyOdds) -> bool {
    odds.standing.trials > 0 && odds.standing.trials_like_this == 0 && assumes_a_kind_of_year(page)
}

/// Whether the year assumed leaves some trials outside it.
pub fn assumes_a_kind_of_year(page: &Page) -> bool {
    use leanyear_engine::link::WaterOutlook::{Any, Thirds};
    !matches!(page.state.settings.water, Any | Thirds(..))
}

/// Properties of [`Row`].
#[derive(Debug, Clone, PartialEq, Properties)]
pub struct RowProps {
    /// What it shows.
    pub text: RowText,
    /// Where messages go.
    pub send: Callback<Msg>,
}

/// A row of the list; the whole of it opens the detail.
#[component]
pub fn Row(props: &RowProps) -> Html {
    let RowProps { text, send } = props;
    let onclick = {
        let (send, code) = (send.clone(), text.code.clone());
        Callback::from(move |_: MouseEvent| send.emit(Msg::Look(code.clone())))
    };
    html! {
        <li class={classes!("row", text.looked_at.then_some("looked-at"))} {onclick}>
            <p class="name">
                <button id={row_id(&text.code)} aria-current={text.looked_at.then_some("true")}>
                    { &text.name }
                </button>
                { for text.new.iter().map(|new| html! { <span class="state">{new}</span> }) }
                { for text.beats.iter().map(|words| html! { <span class="beats">{words}</span> }) }
            </p>
            { for text.lacks.iter().map(|lacks| html! { <p class="lacks">{lacks}</p> }) }
            { strip(&text.marks, &text.picture, text.width, text.line.as_deref()) }
            <p class="odds">{ &text.odds }</p>
            <p>{ &text.averages }</p>
            { tested(text) }
            { for text.word.iter().map(|(_, word)| html! { <p class="adviser">{word}</p> }) }
        </li>
    }
}

/// How long tested, with what has to be said of one that is no longer tested or never was in such a year.
pub fn tested(text: &RowText) -> Html {
    html! {
        <p class="quiet">
            { for text.lapsed.iter().map(|lapsed| html! { <><span class="state">{lapsed}</span>{" \u{b7} "}</> }) }
            { text.never.map_or(html! { {&text.tested} }, |never| html! { <>{&text.tested}{": "}<em>{never}</em></> }) }
            { for text.word.iter().map(|(short, _)| html! { <span class="adviser-short">{" \u{b7} "}{*short}</span> }) }
        </p>
    }
}

/// The same of any variety as plain words, where it stands among others by its name alone.
pub fn tested_words(page: &Page, odds: &VarietyOdds) -> String {
    let water = page.state.settings.water;
    let tested = page.words.tested(&odds.standing, water);
    let never = never_tried(page, odds).then(|| page.words.never_tested(water));
    let mut out = page.words.state(&odds.standing).map_or(String::new(), |state| state + " \u{b7} ");
    out.push_str(&tested);
    if let Some(never) = never {
        out.push_str(": ");
        out.push_str(never);
    }
    if let Some(word) = page.her_word_in_short(&odds.variety) {
        out.push_str(" \u{b7} ");
        out.push_str(word);
    }
    out
}

/// A variety's name over how long it was tested, as the head of a row of a table.
pub fn name_cell(page: &Page, code: &str) -> Html {
    let tested = page.odds(code).map(|odds| tested_words(page, odds));
    html! {
        <th scope="row">
            { page.network.variety_name(code) }
            { for tested.map(|words| html! { <><br /><span class="quiet">{words}</span></> }) }
        </th>
    }
}

/// The strip of twenty marks. Two paths and no more: a list draws many of these.
pub fn strip(marks: &marks::Marks, picture: &(String, String), width: f64, line: Option<&str>) -> Html {
    html! {
        <svg class="marks" viewBox={format!("0 0 {width} {}", marks::HEIGHT)} role="img" aria-label={picture.0.clone()}>
            <title>{ &picture.0 }</title>
            <desc>{ &picture.1 }</desc>
            { for line.map(|x| html! { <path class="line" d={format!("M{x} 0V{}", marks::HEIGHT)} /> }) }
            <path class="fine" d={marks.fine.clone()} />
            <path class="short" d={marks.short.clone()} />
        </svg>
    }
}
