//! A field for one number among several, with its words, its unit and what is wrong with it.

use super::Page;
use crate::entry::Entry;
use crate::text::Label;
use crate::update::Msg;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The field with what stands in while it is blank.
pub(super) fn entry_or(page: &Page, asked: Entry, stands_in: String) -> Html {
    let (words, behind) = page.words.entry(&asked, "", &page.units());
    shown(page, asked, html! { <span>{words}</span> }, &behind, Some(stands_in))
}

/// The field; `label` where the words are a name and not the catalogue's.
pub(super) fn entry(page: &Page, entry: Entry, label: Option<String>) -> Html {
    let units = page.units();
    let check = page.network.info.checks.first().map_or("", |code| page.network.variety_name(code));
    let (words, behind) = page.words.entry(&entry, check, &units);
    let label = label.unwrap_or(words);
    field(page, entry, html! { <span>{label}</span> }, &behind)
}

/// The field between the words before it and those behind it.
pub(super) fn field(page: &Page, entry: Entry, before: Html, behind: &str) -> Html {
    shown(page, entry, before, behind, None)
}

fn shown(page: &Page, entry: Entry, before: Html, behind: &str, placeholder: Option<String>) -> Html {
    let units = page.units();
    let problem = page.state.entry_problem(&entry);
    let typed = page.state.draft_of(&entry).map(|draft| draft.text.clone());
    let value =
        typed.unwrap_or_else(|| entry.get(&page.state.settings).map_or(String::new(), |v| units.typed(v)));
    let oninput = {
        let send = page.send.clone();
        Callback::from(move |event: InputEvent| {
            let text = event.target_unchecked_into::<HtmlInputElement>().value();
            send.emit(Msg::Enter(entry.clone(), text));
        })
    };
    html! {
        // With keys, so that the field stays itself, and in focus, when a problem comes up behind it.
        <div class="number">
            <label key="field" class="typed several">
                {before}
                <input class="entry" type="text" inputmode="decimal" autocomplete="off" size="7"
                    aria-invalid={problem.is_some().to_string()} {placeholder} {value} {oninput} />
                <span class="quiet">{ behind.to_owned() }</span>
            </label>
            { for problem.map(|problem| html! {
                <p key="problem" class="problem" role="status">
                    { page.words.entry_problem(problem, &units) }{" "}{ page.label(Label::Stale) }
                </p>
            }) }
        </div>
    }
}
