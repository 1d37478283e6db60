//! The page of Leanyear: one state, messages, pure views.
//!
//! It computes no statistic: numbers come from the engine through [`derive`], words from the catalogue
//! in [`text`], and only [`platform`] touches the browser.

mod app;
mod derive;
mod draw;
mod entry;
mod number;
mod office;
mod platform;
mod qr;
#[cfg(test)]
mod sample;
mod state;
mod text;
mod update;
mod view;

use app::{App, AppProps, opening};
use derive::{Knowledge, Unreadable};
use leanyear_engine::pack::PackError;
use platform::Browser;
use std::rc::Rc;
use text::{Label, catalogue};
use wasm_bindgen::prelude::*;

/// Puts the page in place of the static table; where the data cannot be read, that table stays and a
/// sentence above it says so.
#[wasm_bindgen]
pub fn leanyear_start() {
    let Some(root) = Browser::mount_point() else { return };
    let broken = |label: Label| Browser::say_above(&root, catalogue("en").label(label));
    let knowledge = match Knowledge::read(&Browser::pack_text().unwrap_or_default()) {
        Ok(knowledge) => knowledge,
        Err(Unreadable::Pack(PackError::Newer { .. })) => return broken(Label::BrokenNewer),
        Err(_) => return broken(Label::Broken),
    };
    let Some(browser) = Browser::here(knowledge.fingerprint()) else { return broken(Label::Broken) };
    let opening = opening(&knowledge, &browser);
    let props = AppProps { knowledge: Rc::new(knowledge), browser, opening };
    yew::Renderer::<App>::with_root_and_props(root, props).render();
}

/// The words of the plain table that stands in the page until it runs, and of the shell's own screens:
/// the catalogue's text with `{…}` where values go, under the names of the page's assembly.
pub fn static_words(lang: &str) -> serde_json::Value {
    text::static_words(lang)
}

/// Does one job, given and answered as JSON; the entry of a worker.
#[wasm_bindgen]
pub fn leanyear_job(request: &str) -> String {
    derive::do_job(request, &mut platform::progress)
}
