//! Dropping and choosing files, and what became of them.

use super::{Bench, choice};
use crate::office::Act;
use crate::office::arrival::Found;
use crate::office::state::{Arrival, Fate, Kept};
use crate::office::update::Msg;
use crate::text::office::{ArrivalWord, Desk};
use leanyear_engine::pack::columns::{TABLES, file_names};
use wasm_bindgen::JsValue;
use yew::prelude::*;

/// The first step.
pub(super) fn files(bench: &Bench) -> Html {
    let office = bench.office;
    let read = bench.act.clone();
    let ondrop = Callback::from(move |event: DragEvent| {
        event.prevent_default();
        if let Some(data) = event.data_transfer() {
            read.emit(Act::Read(JsValue::from(data)));
        }
    });
    let ondragover = Callback::from(|event: DragEvent| event.prevent_default());
    let read = bench.act.clone();
    let onchange = Callback::from(move |event: Event| {
        if let Some(target) = event.target() {
            read.emit(Act::Read(JsValue::from(target)));
        }
    });
    let kept = match office.kept {
        Kept::Unknown => None,
        Kept::Stored => (!office.is_empty()).then_some(Desk::Kept),
        Kept::Refused => Some(Desk::NotKept),
        Kept::Elsewhere => Some(Desk::KeptElsewhere),
    };
    html! {
        <>
            <div class="drop" {ondrop} {ondragover}>
                <label class="line-button choose">
                    { bench.say(Desk::FilesChoose) }
                    <input type="file" multiple=true {onchange} />
                </label>
                <p class="hint">{ bench.say(Desk::FilesDrop) }</p>
            </div>
            { arrivals(bench) }
            { taken(bench) }
            { for kept.map(|label| html! { <p class="hint" role="status">{ bench.say(label) }</p> }) }
            <p class="ways-on">
                { bench.button(Desk::Templates, bench.ask(Act::Templates)) }
                { bench.button(Desk::OpenThis, bench.ask(Act::OpenThis)) }
                { for office.draft.last.is_some().then(|| bench.button(Desk::OpenLast, bench.ask(Act::OpenLast))) }
                { for (!office.is_empty()).then(|| bench.button(Desk::Clear, bench.ask(Act::Clear))) }
            </p>
            { for (!office.is_empty()).then(|| html! { <p class="hint">{ bench.say(Desk::ClearHint) }</p> }) }
            { explained(bench) }
        </>
    }
}

fn arrivals(bench: &Bench) -> Html {
    let odd = |arrival: &&Arrival| match &arrival.found {
        Found::File { by_columns, letters, .. } => {
            *by_columns || *letters != leanyear_engine::pack::Letters::Utf8 || arrival.fate != Fate::Taken
        }
        _ => true,
    };
    let odd: Vec<&Arrival> = bench.office.arrivals.iter().filter(odd).collect();
    html! {
        <div role="status">
            <ul class="plain">
                { for odd.into_iter().map(|arrival| html! { <li>{ arrival_line(bench, arrival) }</li> }) }
            </ul>
        </div>
    }
}

fn arrival_line(bench: &Bench, arrival: &Arrival) -> Html {
    let name = arrival.name.clone();
    let word = match &arrival.found {
        Found::File { file, letters, by_columns, .. } => {
            ArrivalWord::File { file, by_columns: *by_columns, letters: *letters, fate: &arrival.fate }
        }
        Found::Pack(_) => ArrivalWord::Pack,
        Found::Unknown(_) => ArrivalWord::Unknown,
        Found::Refused(kind) => ArrivalWord::Refused(kind),
        Found::BadPack(error) => ArrivalWord::BadPack(error),
    };
    let said = bench.words.arrival(&name, word);
    let place = matches!(arrival.found, Found::Unknown(_)).then(|| {
        let send = bench.send.clone();
        let send = Callback::from(move |chosen: String| {
            if let Some(file) = file_names().find(|file| *file == chosen) {
                send.emit(Msg::Place(name.clone(), file));
            }
        });
        let mut options = vec![(String::new(), bench.say(Desk::NotUsed).to_owned())];
        options.extend(TABLES.iter().map(|table| (table.file.to_owned(), table.file.to_owned())));
        choice(bench.say(Desk::WhichFile).to_owned(), options, "", send)
    });
    html! { <>{ said }{ " " }{ for place }{ ways(bench, arrival) }</> }
}

/// What can be done with a file that waits.
fn ways(bench: &Bench, arrival: &Arrival) -> Html {
    let Fate::Waits(unjoinable) = arrival.fate else { return html! {} };
    let way =
        |label: Desk, join: bool| bench.button(label, bench.tap(Msg::Decide(arrival.name.clone(), join)));
    html! {
        <p class="ways-on">
            { for unjoinable.is_none().then(|| way(Desk::JoinRows, true)) }
            { way(Desk::UseInstead, false) }
        </p>
    }
}

/// The files that are there, with the rows that are used.
fn taken(bench: &Bench) -> Html {
    let rows = bench.office.shown_read().map(|read| read.rows.as_slice()).unwrap_or_default();
    let files = file_names().filter(|file| bench.office.draft.files.contains_key(*file));
    html! {
        <ul class="plain files">
            { for files.map(|file| {
                let counted = rows.iter().find(|rows| rows.file == file);
                let counted = counted.map(|rows| bench.words.rows_used(rows.used, rows.all));
                html! {
                    <li key={file}>
                        <span class="file-name">{ file }</span>
                        <span class="quiet">{ counted.into_iter().chain(from(bench, file)).collect::<Vec<_>>().join(", ") }</span>
                        <button class="word" aria-label={format!("{} {file}", bench.say(Desk::Remove))}
                            onclick={bench.tap(Msg::Remove(file.to_owned()))}>{ bench.say(Desk::Remove) }</button>
                    </li>
                }
            }) }
        </ul>
    }
}

/// The files that a file of the network was put together from, unless it is the one of its name.
fn from(bench: &Bench, file: &str) -> Option<String> {
    let sources = bench.office.draft.came_in(file);
    sources.iter().any(|name| !name.eq_ignore_ascii_case(file)).then(|| bench.words.came_in(&sources))
}

fn explained(bench: &Bench) -> Html {
    html! {
        <details>
            <summary>{ bench.say(Desk::Explain) }</summary>
            { for TABLES.iter().map(|table| html! {
                <>
                    <h3>{ table.file }</h3>
                    <p class="hint">{ bench.words.file_about(table.file) }</p>
                    <dl class="columns-list">
                        { for table.columns.iter().map(|column| html! {
                            <>
                                <dt>{ column.name }</dt>
                                <dd>
                                    { bench.words.column_about(table.file, column.name) }
                                    { for column.required.then(|| html! { <em>{ " (" }{ bench.say(Desk::Needed) }{ ")" }</em> }) }
                                </dd>
                            </>
                        }) }
                    </dl>
                </>
            }) }
        </details>
    }
}
