//! The browser: address, history, memory, clipboard, worker, timers. No other file touches them.
//!
//! It knows no setting and no view: texts go in and come out. A browser that refuses something (storage
//! on a file, history too often) is no error; the page goes on without it.

mod office;
mod sending;

pub use office::{Heard, OwnParts, progress};

use crate::text::region::{Region, SAMPLE_DATE, SAMPLE_NUMBERS};
use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use js_sys::{Function, Reflect};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use web_sys::{Document, Element, HtmlDialogElement, HtmlElement, ScrollRestoration, Storage, Window};
use yew::Callback;

/// Quiet time after the last change before the address is written.
const WRITE_AFTER_MS: u32 = 400;
/// Least time between two writes: a browser refuses about a hundred in half a minute.
const WRITE_EVERY_MS: f64 = 1000.0;
/// The window width from which two columns fit.
const WIDE: &str = "(min-width: 1000px)";

/// How a change reaches the history.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entry {
    /// In place of the present entry, soon.
    Replace,
    /// As a new entry, now.
    Push,
}

/// The window and what the page remembers about it.
pub struct Browser {
    window: Window,
    document: Document,
    memory_key: String,
    /// What newer data of the same network find the last settings under.
    name_key: String,
    wanted: RefCell<String>,
    last_write_ms: Cell<f64>,
    timer: RefCell<Option<Timeout>>,
    /// Whether the present entry of the history was made for an open sheet.
    sheet_entry: Cell<bool>,
    /// Whether the next step back is our own doing.
    own_back: Cell<bool>,
    /// Whether the address led to what is shown, and nothing was kept since.
    arrived: Cell<bool>,
    list_scroll: Cell<f64>,
    listeners: RefCell<Vec<EventListener>>,
}

impl Browser {
    /// The browser around this page; `None` in a worker.
    pub fn here(fingerprint: &str, name: &str) -> Option<Rc<Self>> {
        let window = web_sys::window()?;
        let document = window.document()?;
        Some(Rc::new(Self {
            window,
            document,
            memory_key: format!("leanyear:{fingerprint}"),
            name_key: format!("leanyear:of {name}"),
            wanted: RefCell::default(),
            last_write_ms: Cell::new(f64::NEG_INFINITY),
            timer: RefCell::default(),
            sheet_entry: Cell::new(false),
            own_back: Cell::new(false),
            arrived: Cell::new(false),
            list_scroll: Cell::new(0.0),
            listeners: RefCell::default(),
        }))
    }

    /// The text of the page's pack, from the document.
    pub fn pack_text() -> Option<String> {
        web_sys::window()?.document()?.get_element_by_id("pack")?.text_content()
    }

    /// The element the page is mounted on.
    pub fn mount_point() -> Option<Element> {
        web_sys::window()?.document()?.get_element_by_id("app")
    }

    /// Says a sentence above what stands in an element, as loudly as the shell does.
    pub fn say_above(element: &Element, sentence: &str) {
        let line = element.owner_document().and_then(|document| document.create_element("p").ok());
        let Some(line) = line else { return };
        _ = line.set_attribute("class", "shell-notice");
        _ = line.set_attribute("role", "alert");
        line.set_text_content(Some(sentence));
        _ = element.insert_adjacent_element("afterbegin", &line);
    }

    /// The text after `#` in the address, if there is one.
    pub fn fragment(&self) -> Option<String> {
        let hash = self.window.location().hash().ok()?;
        let text = hash.trim_start_matches('#');
        (!text.is_empty()).then(|| text.to_owned())
    }

    /// The address without its fragment; `None` on a file, whose path is nobody's business.
    pub fn address(&self) -> Option<String> {
        let location = self.window.location();
        let web = location.protocol().ok().is_some_and(|p| p == "https:" || p == "http:");
        let href = location.href().ok()?;
        web.then(|| href.split('#').next().unwrap_or_default().to_owned())
    }

    fn storage(&self) -> Option<Storage> {
        self.window.local_storage().ok().flatten()
    }

    /// What was chosen the last time, with these data or with others of the same network, as the text of a link.
    pub fn remembered(&self) -> Option<String> {
        let storage = self.storage()?;
        let under = |key: &str| storage.get_item(key).ok().flatten();
        under(&self.memory_key).or_else(|| under(&self.name_key))
    }

    /// Forgets what was chosen.
    pub fn forget(&self) {
        if let Some(storage) = self.storage() {
            _ = storage.remove_item(&self.memory_key);
            _ = storage.remove_item(&self.name_key);
        }
    }

    /// Whether the night switch was on the last time.
    pub fn remembered_night(&self) -> bool {
        self.storage().and_then(|s| s.get_item("leanyear:night").ok().flatten()).is_some()
    }

    /// Turns the paper dark or light and remembers it.
    pub fn night(&self, night: bool) {
        if let Some(root) = self.document.document_element() {
            _ = root.class_list().toggle_with_force("night", night);
        }
        if let Some(storage) = self.storage() {
            _ = match night {
                true => storage.set_item("leanyear:night", "1"),
                false => storage.remove_item("leanyear:night"),
            };
        }
    }

    /// A word that was kept on this device under a name, whatever the network.
    pub fn kept_word(&self, name: &str) -> Option<String> {
        self.storage()?.get_item(&format!("leanyear:{name}")).ok().flatten()
    }

    /// Keeps a word on this device under a name.
    pub fn keep_word(&self, name: &str, word: &str) {
        if let Some(storage) = self.storage() {
            _ = storage.set_item(&format!("leanyear:{name}"), word);
        }
    }

    /// The languages that the browser asks for, best first.
    pub fn languages(&self) -> Vec<String> {
        let languages = self.window.navigator().languages();
        languages.iter().filter_map(|tag| tag.as_string()).collect()
    }

    /// How the browser's region writes numbers and dates; `None` where it does not say, or in marks of its own.
    pub fn region(&self) -> Option<Region> {
        let lang = self.window.navigator().language().map_or(JsValue::UNDEFINED, JsValue::from);
        let written = |value: JsValue, method: &str| {
            // Of the prototype: a bare number is no object to be looked into.
            let kind = js_sys::Object::get_prototype_of(&value);
            let method = Reflect::get(&kind, &method.into()).ok()?.dyn_into::<Function>().ok()?;
            method.call1(&value, &lang).ok()?.as_string()
        };
        let [small, large] = SAMPLE_NUMBERS.map(|number| written(number.into(), "toLocaleString"));
        let (year, month, day) = SAMPLE_DATE;
        let date = js_sys::Date::new_with_year_month_day(year, month - 1, day);
        let date = written(date.into(), "toLocaleDateString")?;
        Region::of_samples([&small?, &large?], &date)
    }

    /// Sets the language of the document.
    pub fn lang(&self, lang: &str) {
        if let Some(root) = self.document.document_element() {
            _ = root.set_attribute("lang", lang);
        }
    }

    /// Whether two columns fit.
    pub fn wide(&self) -> bool {
        self.window.match_media(WIDE).ok().flatten().is_some_and(|query| query.matches())
    }

    /// Reports a changed address and a changed width for as long as the page lives.
    pub fn listen(self: &Rc<Self>, on_address: Callback<String>, on_wide: Callback<bool>) {
        if let Ok(history) = self.window.history() {
            // The list is put back where it was by the page, which knows when its rows are there.
            _ = history.set_scroll_restoration(ScrollRestoration::Manual);
        }
        let mut listeners = self.listeners.borrow_mut();
        for event in ["popstate", "hashchange"] {
            let (browser, on_address) = (self.clone(), on_address.clone());
            listeners.push(EventListener::new(&self.window, event, move |event| {
                browser.address_changed(&event.type_(), &on_address);
            }));
        }
        if let Ok(Some(query)) = self.window.match_media(WIDE) {
            let browser = self.clone();
            listeners.push(EventListener::new(&query, "change", move |_| on_wide.emit(browser.wide())));
        }
    }

    /// A step in the history fires `popstate` and, if the fragment differs, `hashchange` after it: only
    /// the first is told on, unless somebody edits the address by hand in a browser that fires just the
    /// second.
    fn address_changed(self: &Rc<Self>, event: &str, on_address: &Callback<String>) {
        let fragment = self.fragment().unwrap_or_default();
        if event == "popstate" {
            let of_sheet = self.sheet_entry.replace(false);
            if self.own_back.replace(false) {
                self.write_soon();
                return;
            }
            // What was set in the sheet was written to the sheet's own entry: the one that is left behind it is behind
            // the page, which keeps what it shows.
            if of_sheet {
                on_address.emit(fragment);
                self.write_soon();
                return;
            }
        } else if fragment == *self.wanted.borrow() {
            return;
        }
        // With a change still to be written the address is behind the page, not ahead of it.
        if event != "popstate" && self.timer.borrow().is_some() {
            return;
        }
        *self.timer.borrow_mut() = None;
        *self.wanted.borrow_mut() = fragment.clone();
        self.arrived.set(true);
        on_address.emit(fragment);
        self.write_soon();
    }

    /// Keeps `link` in memory and brings it into the address.
    pub fn keep(self: &Rc<Self>, link: String, entry: Entry) {
        // A view that the address led to has its entry already.
        let entry = if self.arrived.replace(false) { Entry::Replace } else { entry };
        // What has not been written yet belongs to the entry that is left: the way back leads to it.
        if entry == Entry::Push && self.timer.borrow().is_some() && !self.sheet_entry.get() {
            self.write(Entry::Replace);
        }
        *self.wanted.borrow_mut() = link;
        match entry {
            Entry::Replace => self.write_soon(),
            Entry::Push => {
                let written =
                    self.write(if self.sheet_entry.replace(false) { Entry::Replace } else { entry });
                if !written {
                    self.write_soon();
                }
            }
        }
    }

    fn write_soon(self: &Rc<Self>) {
        let since = self.now() - self.last_write_ms.get();
        let rest = (WRITE_EVERY_MS - since).clamp(0.0, WRITE_EVERY_MS) as u32;
        let browser = self.clone();
        let timer = Timeout::new(rest.max(WRITE_AFTER_MS), move || {
            browser.write(Entry::Replace);
        });
        *self.timer.borrow_mut() = Some(timer);
    }

    fn write(&self, entry: Entry) -> bool {
        *self.timer.borrow_mut() = None;
        self.arrived.set(false);
        let link = self.wanted.borrow().clone();
        if let Some(storage) = self.storage() {
            _ = storage.set_item(&self.memory_key, &link);
            _ = storage.set_item(&self.name_key, &link);
        }
        // A step back or forward has brought the address along already; a new entry would cut the way on.
        if self.fragment().as_deref() == Some(link.as_str()) {
            return true;
        }
        self.last_write_ms.set(self.now());
        let Ok(history) = self.window.history() else { return false };
        let address = format!("#{link}");
        let state = JsValue::from_bool(self.sheet_entry.get());
        let done = match entry {
            Entry::Replace => history.replace_state_with_url(&state, "", Some(&address)),
            Entry::Push => history.push_state_with_url(&state, "", Some(&address)),
        };
        done.is_ok()
    }

    fn now(&self) -> f64 {
        self.window.performance().map_or(0.0, |clock| clock.now())
    }

    /// A sheet was opened: the way back shall close it.
    pub fn sheet_opened(&self) {
        let Ok(history) = self.window.history() else { return };
        if !self.sheet_entry.get() && history.push_state(&JsValue::TRUE, "").is_ok() {
            self.sheet_entry.set(true);
        }
    }

    /// A sheet was closed by a tap: its entry in the history goes too.
    pub fn sheet_closed(&self) {
        let Ok(history) = self.window.history() else { return };
        if self.sheet_entry.replace(false) {
            self.own_back.set(true);
            if history.back().is_err() {
                self.own_back.set(false);
            }
        }
    }

    /// Puts the dialog away.
    pub fn close_dialog(&self, dialog: &HtmlDialogElement) {
        if dialog.open() {
            dialog.close();
        }
    }

    /// Shows the dialog as a modal one, or starts it anew where another sheet has come into it; without the browser's
    /// help it is simply open.
    pub fn show_dialog(&self, dialog: &HtmlDialogElement) {
        if !dialog.open() && dialog.show_modal().is_err() {
            dialog.set_open(true);
        }
        dialog.set_scroll_top(0);
        self.focus_within(dialog);
    }

    /// Starts where the reader is likely to go on: the field of a sheet that asks for one, the choice in force, or
    /// its first button.
    fn focus_within(&self, dialog: &HtmlDialogElement) {
        let first = ["input:not([inputmode=numeric], .entry)", "[aria-pressed=true]", "button"];
        let target = first.iter().find_map(|selector| dialog.query_selector(selector).ok().flatten());
        if let Some(element) = target.and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
            _ = element.focus();
            if let Some(input) = element.dyn_ref::<web_sys::HtmlInputElement>() {
                input.select();
            }
        }
    }

    /// Remembers how far down the list stands, before another view takes its place: that may be too short for it.
    pub fn note_list(&self) {
        self.list_scroll.set(self.window.scroll_y().unwrap_or(0.0));
    }

    /// Brings what has this id into sight and puts the focus there.
    pub fn show(&self, id: &str) {
        if let Some(element) = self.document.get_element_by_id(id) {
            element.scroll_into_view();
            self.focus(id);
        }
    }

    /// Starts a view at its top.
    pub fn to_top(&self) {
        self.window.scroll_to_with_x_and_y(0.0, 0.0);
        self.focus("view-top");
    }

    /// Returns to the list where it was left, with the focus on what has this id.
    pub fn return_to_list(&self, id: &str) {
        self.window.scroll_to_with_x_and_y(0.0, self.list_scroll.get());
        self.focus(id);
    }

    fn focus(&self, id: &str) {
        let element = self.document.get_element_by_id(id);
        if let Some(element) = element.and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
            let options = web_sys::FocusOptions::new();
            options.set_prevent_scroll(true);
            _ = element.focus_with_options(&options);
        }
    }
}
