//! Whose programs the page is made of, and the terms on which they gave them; folded until asked for.

use super::Page;
use crate::text::Label;
use leanyear_engine::page::Borrowed;
use yew::prelude::*;

/// The list; nothing where the page does not carry it.
pub(super) fn made_of(page: &Page) -> Html {
    let Some(made_of) = page.surroundings.made_of.as_deref().filter(|made_of| !made_of.parts.is_empty())
    else {
        return Html::default();
    };
    html! {
        <details class="made-of">
            <summary>{ page.label(Label::MadeOfHeading) }</summary>
            <p>{ page.label(Label::MadeOfIntro) }</p>
            <ul lang="en">{ for made_of.parts.iter().map(part) }</ul>
            { for made_of.terms.iter().enumerate().map(|(place, text)| terms(place, text)) }
        </details>
    }
}

fn part(part: &Borrowed) -> Html {
    let marks: Vec<String> = part.terms.iter().map(|place| mark(*place)).collect();
    html! {
        <li>
            { format!("{} {} \u{b7} {} {}", part.name, part.version, part.licence, marks.join(" ")) }
            { for part.holders.iter().map(|holder| html! { <span class="quiet">{ holder }</span> }) }
        </li>
    }
}

/// What leads from a program to its terms.
fn mark(place: usize) -> String {
    format!("[{}]", place + 1)
}

fn terms(place: usize, text: &str) -> Html {
    let mut paragraphs: Vec<String> = text.split("\n\n").map(str::to_owned).collect();
    if let Some(first) = paragraphs.first_mut() {
        *first = format!("{} {first}", mark(place));
    }
    html! { <div class="terms" lang="en">{ for paragraphs.into_iter().map(|text| html! { <p>{ text }</p> }) }</div> }
}
