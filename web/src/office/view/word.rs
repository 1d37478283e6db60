//! Her word on one variety: a stance, a note, a name, a date.
//!
//! The fields are read when the word is written down, so that nothing half typed reaches the files.

use super::Bench;
use crate::office::update::Msg;
use crate::text::office::Desk;
use leanyear_engine::office::shortlist::{Line, Stance};
use leanyear_engine::pack::ShortlistEntry;
use web_sys::{HtmlFormElement, HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// The form under a variety's row.
pub(super) fn word(bench: &Bench, system: &str, line: &Line) -> Html {
    let entry = line.word.clone().unwrap_or_else(|| ShortlistEntry {
        system: system.to_owned(),
        variety: line.variety.clone(),
        stance: String::new(),
        note: String::new(),
        by: last_signer(bench),
        date: bench.today.to_owned(),
    });
    let (send, blank) = (bench.send.clone(), entry.clone());
    let onsubmit = Callback::from(move |event: SubmitEvent| {
        event.prevent_default();
        let Some(form) = event.target_dyn_into::<HtmlFormElement>() else { return };
        send.emit(Msg::SetWord(Box::new(ShortlistEntry {
            stance: chosen(&form),
            note: field(&form, "note"),
            by: field(&form, "by"),
            date: field(&form, "date"),
            ..blank.clone()
        })));
    });
    let name = bench.names().variety(&line.variety);
    let option = |value: &'static str, words: &'static str| {
        html! { <option {value} selected={entry.stance == value}>{ words }</option> }
    };
    let text = |name: &'static str, label: Desk, value: &str| {
        let id = format!("word-{name}");
        html! {
            <p class="field">
                <label for={id.clone()}>{ bench.say(label) }</label>
                <input {id} {name} type="text" maxlength="2000" value={value.to_owned()} />
            </p>
        }
    };
    html! {
        <form class="form word-form" {onsubmit} aria-label={format!("{} {name}", bench.say(Desk::WordHeading))}>
            <h4>{ bench.say(Desk::WordHeading) }{ " " }{ name }</h4>
            <p class="field">
                <label for="word-stance">{ bench.say(Desk::Stands) }</label>
                <select id="word-stance" name="stance">
                    { option("", bench.say(Desk::WordNone)) }
                    { for [Stance::In, Stance::Follow, Stance::Out].map(|stance| option(stance.word(), bench.words.stands(stance))) }
                </select>
            </p>
            { text("note", Desk::WordNote, &entry.note) }
            { text("by", Desk::WordBy, &entry.by) }
            { text("date", Desk::WordDate, &entry.date) }
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

fn chosen(form: &HtmlFormElement) -> String {
    let select = form.query_selector("select").ok().flatten();
    let select = select.and_then(|element| wasm_bindgen::JsCast::dyn_into::<HtmlSelectElement>(element).ok());
    select.map(|select| select.value()).unwrap_or_default()
}

fn field(form: &HtmlFormElement, name: &str) -> String {
    let input = form.query_selector(&format!("[name={name}]")).ok().flatten();
    let input = input.and_then(|element| wasm_bindgen::JsCast::dyn_into::<HtmlInputElement>(element).ok());
    input.map(|input| input.value().trim().to_owned()).unwrap_or_default()
}
