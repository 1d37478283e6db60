//! `network.json` as a form.

use super::{Bench, choice_of, typed};
use crate::office::form::{KEYS, Kind, number, value};
use crate::office::update::Msg;
use leanyear_engine::pack::columns::NETWORK_JSON;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The second step.
pub(super) fn form(bench: &Bench) -> Html {
    let text = bench.office.draft.files.get(NETWORK_JSON).map(String::as_str).unwrap_or_default();
    let (asked, others) = KEYS.split_at(10);
    let field = |(key, kind): &(&'static str, Kind)| field(bench, text, key, *kind);
    html! {
        <>
            <p>{ bench.say(crate::text::office::Desk::NameIntro) }</p>
            <div class="form">{ for asked.iter().map(field) }</div>
            <div class="form">{ for others.iter().map(field) }</div>
        </>
    }
}

fn field(bench: &Bench, text: &str, key: &'static str, kind: Kind) -> Html {
    let (label, hint) = bench.words.key_about(key);
    let kept = value(text, key);
    // What she types stands in its field, also after the page was closed on it.
    let typing = bench.office.typed.keys.get(key);
    let now = typing.cloned().unwrap_or_else(|| kept.clone());
    let send = bench.send.clone();
    let oninput = {
        let send = send.clone();
        Callback::from(move |event: InputEvent| {
            send.emit(Msg::Typing(key, event.target_unchecked_into::<HtmlInputElement>().value()));
        })
    };
    let set = Callback::from(move |typed: String| send.emit(Msg::Key(key, kind, typed)));
    let id = format!("key-{}", key.replace('.', "-"));
    let input = match kind {
        Kind::Word(words) => {
            let mut options = vec![(String::new(), String::new())];
            options.extend(words.iter().map(|word| ((*word).to_owned(), (*word).to_owned())));
            choice_of(Some(id.clone()), None, options, &now, set)
        }
        Kind::Flag => {
            let onchange = Callback::from(move |event: Event| {
                if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                    set.emit(input.checked().to_string());
                }
            });
            html! { <input type="checkbox" id={id.clone()} checked={now == "true"} {onchange} /> }
        }
        Kind::Number => {
            let number = number(text, key).filter(|_| typing.is_none());
            let shown = number.map_or(now, |number| bench.words.region().typed(number));
            html! { <input type="text" inputmode="decimal" id={id.clone()} value={shown} {oninput} onchange={typed(set)} /> }
        }
        Kind::Text | Kind::List => {
            html! { <input type="text" id={id.clone()} value={now} {oninput} onchange={typed(set)} /> }
        }
    };
    // A number that the file holds as a text is one that cannot be told.
    let odd = kind == Kind::Number && number(text, key).is_none() && !kept.is_empty() && typing.is_none();
    let fault = odd.then(|| bench.words.number_fault(&kept)).flatten();
    let asked = match kind {
        // A box is small: its words belong to what can be tapped.
        Kind::Flag => html! { <label class="flag" for={id}><span>{ label }</span>{ input }</label> },
        _ => html! { <><label for={id}>{ label }</label>{ input }</> },
    };
    html! {
        <p class="field">
            { asked }
            <span class="quiet">{ hint }</span>
            { for fault.map(|fault| html! { <span class="problem" role="status">{ fault }</span> }) }
        </p>
    }
}
