//! What preparing a network asks of the browser: files, drafts, long work, the page's own parts, downloads.

use super::Browser;
use super::sending::{call, settle, shell};
use crate::office::arrival::Dropped;
use crate::office::state::Kept;
use js_sys::{Array, Function, Reflect, Uint8Array};
use leanyear_engine::page::{MadeOf, SiteParts};
use wasm_bindgen::prelude::*;
use yew::Callback;

/// What a job says.
#[derive(Debug, Clone, PartialEq)]
pub enum Heard {
    /// So many percent are done.
    Progress(u8),
    /// Its answer; nothing where it gave none.
    Answer(Option<String>),
}

/// The texts that the page was made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnParts {
    /// Style sheet.
    pub style: String,
    /// The one script.
    pub script: String,
    /// The program, base64.
    pub wasm: String,
    /// The site text.
    pub site: String,
}

/// Tells whoever started this worker how far its job is; elsewhere nobody listens.
pub fn progress(percent: u8) {
    let method = shell().and_then(|shell| Reflect::get(&shell, &"progress".into()).ok());
    if let Some(method) = method.and_then(|method| method.dyn_into::<Function>().ok()) {
        _ = method.call1(&JsValue::UNDEFINED, &JsValue::from_str(&percent.to_string()));
    }
}

impl Browser {
    /// Reads what a file field or a drop holds (`target` or `dataTransfer` of its event) and hands it over.
    pub fn files_of(&self, source: &JsValue, done: Callback<Vec<Dropped>>) {
        let promise = shell().and_then(|shell| call(&shell, "filesOf", source));
        let Some(promise) = promise else { return };
        settle(promise, move |result| {
            let list = result.ok().and_then(|value| value.dyn_into::<Array>().ok()).unwrap_or_default();
            done.emit(list.iter().filter_map(|entry| dropped(&entry)).collect());
        });
    }

    /// Keeps a text on this device, unless another tab has kept its own since this one looked; tells how it went.
    pub fn keep_draft(&self, name: &str, text: &str, done: Callback<Kept>) {
        let kept = |value: Option<JsValue>| match value {
            Some(kept) if kept.is_truthy() => Kept::Stored,
            Some(_) => Kept::Elsewhere,
            None => Kept::Refused,
        };
        self.with_draft("keepDraft", &[name, text], done.reform(kept));
    }

    /// Forgets a kept text.
    pub fn forget_draft(&self, name: &str) {
        self.with_draft("forgetDraft", &[name], Callback::noop());
    }

    /// A kept text: `None` where this device keeps nothing at all, `Some(None)` where it has none.
    pub fn kept_draft(&self, name: &str, done: Callback<Option<Option<String>>>) {
        let done = done.reform(|value: Option<JsValue>| value.map(|value| value.as_string()));
        self.with_draft("keptDraft", &[name], done);
    }

    fn with_draft(&self, method: &str, texts: &[&str], done: Callback<Option<JsValue>>) {
        let Some(shell) = shell() else { return done.emit(None) };
        let method = Reflect::get(&shell, &method.into()).ok().and_then(|m| m.dyn_into::<Function>().ok());
        let texts: Array = texts.iter().map(|text| JsValue::from_str(text)).collect();
        let promise = method.and_then(|method| method.apply(&shell, &texts).ok());
        match promise.and_then(|promise| promise.dyn_into().ok()) {
            Some(promise) => settle(promise, move |result| done.emit(result.ok())),
            None => done.emit(None),
        }
    }

    /// Has a job done off the screen and tells how far it is; one that is stopped answers nothing.
    pub fn work(&self, request: &str, heard: Callback<Heard>) {
        let told = heard.reform(|percent: u8| Heard::Progress(percent));
        let listener = Closure::<dyn FnMut(String)>::new(move |text: String| {
            if let Ok(percent) = text.parse() {
                told.emit(percent);
            }
        });
        let method = shell().and_then(|shell| Reflect::get(&shell, &"job".into()).ok());
        let method = method.and_then(|method| method.dyn_into::<Function>().ok());
        let promise = method.and_then(|method| {
            method.call2(&JsValue::UNDEFINED, &JsValue::from_str(request), listener.as_ref()).ok()
        });
        match promise.and_then(|promise| promise.dyn_into().ok()) {
            Some(promise) => settle(promise, move |result| {
                heard.emit(Heard::Answer(result.ok().and_then(|answer| answer.as_string())));
                // It may be called until the job ends.
                drop(listener);
            }),
            None => heard.emit(Heard::Answer(None)),
        }
    }

    /// Today by this device's clock, ISO 8601; only ever a suggestion in a field.
    pub fn today(&self) -> String {
        let now = js_sys::Date::new_0();
        format!("{}-{:02}-{:02}", now.get_full_year(), now.get_month() + 1, now.get_date())
    }

    /// Stops every job.
    pub fn stop_work(&self) {
        let stop = shell().and_then(|shell| Reflect::get(&shell, &"cancel".into()).ok());
        if let Some(stop) = stop.and_then(|stop| stop.dyn_into::<Function>().ok()) {
            _ = stop.call0(&JsValue::UNDEFINED);
        }
    }

    /// The texts that this page was made of.
    pub fn own_parts(&self) -> Option<OwnParts> {
        let method = Reflect::get(&shell()?, &"ownParts".into()).ok()?.dyn_into::<Function>().ok()?;
        let texts: Array = method.call0(&JsValue::UNDEFINED).ok()?.dyn_into().ok()?;
        let text = |place: u32| texts.get(place).as_string();
        Some(OwnParts { style: text(0)?, script: text(1)?, wasm: text(2)?, site: text(3)? })
    }

    /// Whose programs this page is made of, as it carries it.
    pub fn made_of(&self) -> Option<MadeOf> {
        SiteParts::from_json(&self.own_parts()?.site).ok().map(|parts| parts.made_of)
    }

    /// Offers bytes as a file to be kept.
    pub fn save_bytes(&self, name: &str, kind: &str, bytes: &[u8]) {
        let method = shell().and_then(|shell| Reflect::get(&shell, &"save".into()).ok());
        if let Some(method) = method.and_then(|method| method.dyn_into::<Function>().ok()) {
            let bytes: JsValue = Uint8Array::from(bytes).into();
            _ = method.call3(&JsValue::UNDEFINED, &name.into(), &kind.into(), &bytes);
        }
    }
}

fn dropped(entry: &JsValue) -> Option<Dropped> {
    let entry: Array = entry.clone().dyn_into().ok()?;
    let bytes = entry.get(1).dyn_into::<Uint8Array>().ok().map(|bytes| bytes.to_vec());
    let size = entry.get(2).as_f64().unwrap_or_default() as usize;
    Some(Dropped { name: entry.get(0).as_string()?, bytes, size })
}
