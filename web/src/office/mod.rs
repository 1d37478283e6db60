//! Her own network, from CSV files to a page she can hand out: a part of the page with a state of its own.
//!
//! [`state`] and [`update`] are pure; [`job`] is what a worker does; [`arrival`] sorts what is dropped; [`form`]
//! reads and writes `network.json` by keys; [`product`] makes what is saved; [`view`] shows. This file alone ties
//! them to the browser.

pub mod arrival;
pub mod form;
mod intake;
pub mod job;
pub mod product;
mod running;
pub mod state;
pub mod update;
pub mod view;

use crate::derive::Knowledge;
use crate::platform::{Browser, Heard};
use crate::text::{Catalogue, Language};
use arrival::{Dropped, sort};
use job::Step;
use state::{Arrival, Draft, Fate, Kept, Office, Saving, Typed};
use std::rc::Rc;
use update::Msg;
use view::Bench;
use wasm_bindgen::JsValue;
use yew::prelude::*;

/// The name that the draft is kept under on this device.
const DRAFT: &str = "network";
/// The same for what is typed and not yet taken.
const TYPED: &str = "typed";

/// Something only the browser can do.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// Read what this file field or drop holds.
    Read(JsValue),
    /// Save the blank files.
    Templates,
    /// Start from the network in this page.
    OpenThis,
    /// Start from last year's network.
    OpenLast,
    /// Put everything away, here and on this device.
    Clear,
    /// Go to what has this id.
    Show(&'static str),
    /// Print the reports.
    Print,
    /// Speak this language from now on, on this device.
    Speak(Language),
}

/// What the office is given.
#[derive(Clone, Properties)]
pub struct OfficeProps {
    /// The network in the page, to start from.
    pub knowledge: Rc<Knowledge>,
    /// The browser.
    pub browser: Rc<Browser>,
    /// The language.
    pub words: Words,
    /// Called to go back to the list.
    pub back: Callback<()>,
    /// Called to speak another language.
    pub speak: Callback<Language>,
}

/// A language as a property: compared by its tag, since its marks never change.
#[derive(Clone, Copy)]
pub struct Words(pub Catalogue);

impl PartialEq for Words {
    fn eq(&self, other: &Self) -> bool {
        self.0.lang() == other.0.lang()
    }
}

impl PartialEq for OfficeProps {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.knowledge, &other.knowledge) && self.words == other.words && self.back == other.back
    }
}

/// The office.
#[component]
pub fn OfficePage(props: &OfficeProps) -> Html {
    let OfficeProps { knowledge, browser, words, back, speak } = props;
    let office = use_reducer_eq(Office::default);
    let send = use_memo((), |()| {
        let dispatcher = office.dispatcher();
        Callback::from(move |msg| dispatcher.dispatch(msg))
    });
    let latest = use_mut_ref(Office::default);
    *latest.borrow_mut() = (*office).clone();
    use_kept(browser, &office, &send);
    use_typed(browser, &office, &send);
    use_jobs(browser, &office, &send);
    let act = {
        let (knowledge, browser, send, words) =
            (knowledge.clone(), browser.clone(), (*send).clone(), words.0);
        let (latest, speak) = (latest.clone(), speak.clone());
        Callback::from(move |act| match act {
            Act::Read(source) => browser.files_of(&source, send.reform(arrived)),
            Act::Templates => {
                let file = product::templates(words);
                browser.save_bytes(file.name, file.kind, &file.bytes);
            }
            Act::OpenThis => send.emit(Msg::Open(Box::new(knowledge.network().clone()))),
            Act::OpenLast => {
                if let Some(network) = update::last_network(&latest.borrow()) {
                    send.emit(Msg::Open(Box::new(network)));
                }
            }
            Act::Clear => {
                browser.stop_work();
                browser.forget_draft(DRAFT);
                browser.forget_draft(TYPED);
                send.emit(Msg::Clear);
            }
            Act::Show(id) => browser.show(id),
            Act::Print => browser.print(),
            Act::Speak(language) => speak.emit(language),
        })
    };
    let today = use_memo((), |()| browser.today());
    view::bench(&Bench { office: &office, words: words.0, send: &send, act: &act, back, today: &today })
}

fn arrived(dropped: Vec<Dropped>) -> Msg {
    let arrivals = dropped.iter().map(|file| Arrival {
        name: file.name.clone(),
        found: sort(file),
        fate: Fate::default(),
    });
    Msg::Arrived(arrivals.collect())
}

/// Finds the work of an earlier visit, and keeps this one's.
#[hook]
fn use_kept(browser: &Rc<Browser>, office: &UseReducerHandle<Office>, send: &Callback<Msg>) {
    use_effect_with((), {
        let (browser, send) = (browser.clone(), send.clone());
        move |()| {
            let (keeping, kept_in) = (send.clone(), browser.clone());
            browser.kept_draft(
                DRAFT,
                Callback::from(move |kept: Option<Option<String>>| {
                    keeping.emit(Msg::Kept(if kept.is_some() { Kept::Stored } else { Kept::Refused }));
                    let draft =
                        kept.flatten().and_then(|text| leanyear_engine::json::read::<Draft>(&text).ok());
                    keeping.emit(Msg::Remembered(draft.map(Box::new)));
                    let resuming = keeping.clone();
                    kept_in.kept_draft(
                        TYPED,
                        Callback::from(move |kept: Option<Option<String>>| {
                            let typed = kept
                                .flatten()
                                .and_then(|text| leanyear_engine::json::read::<Typed>(&text).ok());
                            resuming.emit(Msg::Resume(Box::new(typed.unwrap_or_default())));
                        }),
                    );
                }),
            );
        }
    });
    use_effect_with(office.draft.clone(), {
        let (browser, send) = (browser.clone(), send.clone());
        move |draft: &Rc<Draft>| {
            let empty = **draft == Draft::default();
            if let Ok(text) = serde_json::to_string(&**draft)
                && !empty
            {
                browser.keep_draft(DRAFT, &text, send.reform(Msg::Kept));
            }
        }
    });
}

/// Keeps what is typed and not yet taken, once that of an earlier visit has been looked for.
#[hook]
fn use_typed(browser: &Rc<Browser>, office: &UseReducerHandle<Office>, send: &Callback<Msg>) {
    use_effect_with((office.typed.clone(), office.resumed), {
        let (browser, send) = (browser.clone(), send.clone());
        move |(typed, resumed): &(Rc<Typed>, bool)| {
            if !resumed {
                return;
            }
            match serde_json::to_string(&**typed) {
                Ok(text) if **typed != Typed::default() => {
                    browser.keep_draft(TYPED, &text, send.reform(Msg::Kept));
                }
                _ => browser.forget_draft(TYPED),
            }
        }
    });
}

/// Runs the job that the state asks for, in place of any other.
#[hook]
fn use_jobs(browser: &Rc<Browser>, office: &UseReducerHandle<Office>, send: &Callback<Msg>) {
    use_effect_with(office.job, {
        let (browser, send, office) = (browser.clone(), send.clone(), office.clone());
        move |job: &Option<(Step, u64)>| {
            browser.stop_work();
            let Some((step, ticket)) = *job else { return };
            let Ok(request) = serde_json::to_string(&office.work(step)) else { return };
            let saving = office.saving.clone();
            let own = browser.clone();
            let heard = Callback::from(move |heard: Heard| match heard {
                Heard::Progress(percent) => send.emit(Msg::Progress(ticket, percent)),
                Heard::Answer(answer) => {
                    if let (Saving::Running(what), Some(answer)) = (&saving, &answer) {
                        send.emit(Msg::Saved(save(&own, *what, answer)));
                    }
                    send.emit(Msg::Answered(ticket, step, answer));
                }
            });
            browser.work(&request, heard);
        }
    });
}

/// Makes what is saved and hands it to the browser.
fn save(browser: &Browser, what: state::Product, answer: &str) -> Saving {
    let Some(parts) = browser.own_parts() else { return Saving::Failed(String::new()) };
    match product::product(what, answer, &parts) {
        Ok(file) => {
            browser.save_bytes(file.name, file.kind, &file.bytes);
            Saving::Saved(what)
        }
        Err(error) => Saving::Failed(error.to_string()),
    }
}
