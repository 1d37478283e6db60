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
use leanyear_engine::order::Map;
use leanyear_engine::pack::PackError;
use leanyear_engine::page::StaticWords;
use platform::Browser;
use std::rc::Rc;
use text::{Label, Language, catalogue};
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
    let Some(browser) = Browser::here(knowledge.fingerprint(), &knowledge.network().info.name) else {
        return broken(Label::Broken);
    };
    let opening = opening(&knowledge, &browser);
    let props = AppProps { knowledge: Rc::new(knowledge), browser, opening };
    yew::Renderer::<App>::with_root_and_props(root, props).render();
}

/// The words of the plain table that stands in the page until it runs, and of the shell's own screens, by
/// language.
pub fn plain_tables() -> Map<String, StaticWords> {
    Language::ALL.map(|language| (language.tag().to_owned(), catalogue(language.tag()).plain_table())).into()
}

/// Does one job, given and answered as JSON; the entry of a worker.
#[wasm_bindgen]
pub fn leanyear_job(request: &str) -> String {
    derive::do_job(request, &mut platform::progress)
}
