//! Her word on one variety: a stance, a note, a name, a date.
//!
//! What is typed is state like all else, so that it outlives a reload; it reaches the files when it is written down.

use super::Bench;
use crate::office::update::Msg;
use crate::text::office::Desk;
use leanyear_engine::office::shortlist::{Line, Stance};
use leanyear_engine::pack::ShortlistEntry;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// Her word on a variety as the form opens with it.
pub(super) fn begun(bench: &Bench, system: &str, line: &Line) -> ShortlistEntry {
    line.word.clone().unwrap_or_else(|| ShortlistEntry {
        system: system.to_owned(),
        variety: line.variety.clone(),
        stance: String::new(),
        note: String::new(),
        by: last_signer(bench),
        date: bench.today.to_owned(),
    })
}

/// The form under a variety's row, with what is typed.
pub(super) fn word(bench: &Bench, entry: &ShortlistEntry) -> Html {
    let onsubmit = {
        let (send, entry) = (bench.send.clone(), entry.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let tidy = |text: &str| text.trim().to_owned();
            send.emit(Msg::SetWord(Box::new(ShortlistEntry {
                note: tidy(&entry.note),
                by: tidy(&entry.by),
                date: tidy(&entry.date),
                ..entry.clone()
            })));
        })
    };
    let onchange = {
        let (send, entry) = (bench.send.clone(), entry.clone());
        Callback::from(move |event: Event| {
            let stance = event.target_unchecked_into::<HtmlSelectElement>().value();
            send.emit(Msg::Word(Some(Box::new(ShortlistEntry { stance, ..entry.clone() }))));
        })
    };
    let name = bench.names().variety(&entry.variety);
    let option = |value: &'static str, words: &'static str| {
        html! { <option {value} selected={entry.stance == value}>{ words }</option> }
    };
    let text = |name: &'static str, label: Desk, value: &str, set: fn(&mut ShortlistEntry, String)| {
        let id = format!("word-{name}");
        let (send, entry) = (bench.send.clone(), entry.clone());
        let oninput = Callback::from(move |event: InputEvent| {
            let mut entry = entry.clone();
            set(&mut entry, event.target_unchecked_into::<HtmlInputElement>().value());
            send.emit(Msg::Word(Some(Box::new(entry))));
        });
        html! {
            <p class="field">
                <label for={id.clone()}>{ bench.say(label) }</label>
                <input {id} {name} type="text" maxlength="2000" value={value.to_owned()} {oninput} />
            </p>
        }
    };
    html! {
        <form class="form word-form" {onsubmit} aria-label={format!("{} {name}", bench.say(Desk::WordHeading))}>
            <h3>{ bench.say(Desk::WordHeading) }{ " " }{ name }</h3>
            <p class="field">
                <label for="word-stance">{ bench.say(Desk::Stands) }</label>
                <select id="word-stance" name="stance" {onchange}>
                    { option("", bench.say(Desk::WordNone)) }
                    { for [Stance::In, Stance::Follow, Stance::Out].map(|stance| option(stance.word(), bench.words.stands(stance))) }
                </select>
            </p>
            { text("note", Desk::WordNote, &entry.note, |entry, typed| entry.note = typed) }
            { text("by", Desk::WordBy, &entry.by, |entry, typed| entry.by = typed) }
            { text("date", Desk::WordDate, &entry.date, |entry, typed| entry.date = typed) }
            <p class="ways-on">
                <button class="line-button" type="submit">{ bench.say(Desk::WordSave) }</button>
                <button class="line-button" type="button" onclick={bench.tap(Msg::Word(None))}>{ bench.say(Desk::WordLeave) }</button>
            </p>
        </form>
    }
}

/// Who wrote the last word, who most likely writes this one.
fn last_signer(bench: &Bench) -> String {
    let entries = bench.network().map(|network| network.shortlist.as_slice()).unwrap_or_default();
    entries.last().map(|entry| entry.by.clone()).unwrap_or_default()
}
