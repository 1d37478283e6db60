//! What leaves the page: the clipboard, the device's way of sending, files, the printer, work for a worker.

use super::Browser;
use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use js_sys::{Array, Function, Promise, Reflect};
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use yew::Callback;

impl Browser {
    /// Puts a text on the clipboard and tells whether that worked.
    pub fn copy(&self, text: String, done: Callback<bool>) {
        let navigator: JsValue = self.window.navigator().into();
        // Absent outside secure contexts, where the typed binding would throw.
        let clipboard = Reflect::get(&navigator, &"clipboard".into()).ok();
        let promise = clipboard.and_then(|c| call(&c, "writeText", &text.into()));
        match promise {
            Some(promise) => settle(promise, move |result| done.emit(result.is_ok())),
            None => done.emit(false),
        }
    }

    /// Whether the device has its own way of sending.
    pub fn can_send(&self) -> bool {
        let navigator: JsValue = self.window.navigator().into();
        Reflect::get(&navigator, &"share".into()).is_ok_and(|share| share.is_function())
    }

    /// Hands a text to the device's way of sending; a reader who changes his mind is no error.
    pub fn send(&self, title: &str, text: &str) {
        let data = js_sys::Object::new();
        let field = if text.starts_with("http") { "url" } else { "text" };
        _ = Reflect::set(&data, &"title".into(), &title.into());
        _ = Reflect::set(&data, &field.into(), &text.into());
        let navigator: JsValue = self.window.navigator().into();
        if let Some(promise) = call(&navigator, "share", &data.into()) {
            settle(promise, |_| {});
        }
    }

    /// Has a job done off the screen if the shell offers that, else here after the screen has been drawn.
    pub fn job(&self, request: String, done: Callback<String>) {
        let promise = shell().and_then(|shell| call(&shell, "job", &request.clone().into()));
        let here = move |done: Callback<String>| {
            Timeout::new(30, move || done.emit(crate::derive::do_job(&request, &mut |_| {}))).forget();
        };
        match promise {
            None => here(done),
            Some(promise) => settle(promise, move |result| match result.map(|v| v.as_string()) {
                Ok(Some(answer)) => done.emit(answer),
                _ => done.emit(String::new()),
            }),
        }
    }

    /// Offers a text as a file to be kept.
    pub fn save(&self, name: &str, kind: &str, text: &str) {
        self.ask_shell("save", &[name, kind, text]);
    }

    /// Offers a picture, given as the text of an SVG file, as a PNG file to be kept.
    pub fn save_as_png(&self, name: &str, svg: &str) {
        self.ask_shell("savePicture", &[name, svg]);
    }

    /// Opens the browser's way of printing.
    pub fn print(&self) {
        _ = self.window.print();
    }

    /// What the shell knows of the page's copy on this device: whether it is kept, whether newer data wait.
    pub fn hosted(&self) -> (bool, bool) {
        let site = shell().and_then(|shell| Reflect::get(&shell, &"site".into()).ok());
        let says = |what: &str| {
            site.as_ref().is_some_and(|site| Reflect::get(site, &what.into()).is_ok_and(|v| v.is_truthy()))
        };
        (says("kept"), says("newer"))
    }

    /// Reports every change of it for as long as the page lives.
    pub fn listen_hosted(self: &Rc<Self>, on_change: Callback<(bool, bool)>) {
        let browser = self.clone();
        let listener =
            EventListener::new(&self.window, "leanyear-site", move |_| on_change.emit(browser.hosted()));
        self.listeners.borrow_mut().push(listener);
    }

    /// Opens the page anew with the newer data; what was chosen last is kept first.
    pub fn take_newer(&self) {
        self.write(super::Entry::Replace);
        self.ask_shell("update", &[]);
    }

    fn ask_shell(&self, method: &str, texts: &[&str]) {
        let method = shell().and_then(|shell| Reflect::get(&shell, &method.into()).ok());
        if let Some(method) = method.and_then(|method| method.dyn_into::<Function>().ok()) {
            let texts: Array = texts.iter().map(|text| JsValue::from_str(text)).collect();
            _ = method.apply(&JsValue::UNDEFINED, &texts);
        }
    }
}

/// What the plain script around the program offers.
pub(super) fn shell() -> Option<JsValue> {
    Reflect::get(&js_sys::global(), &"leanyear".into()).ok()
}

/// Calls a method that gives a promise; `None` where it is missing or throws.
pub(super) fn call(object: &JsValue, method: &str, argument: &JsValue) -> Option<Promise> {
    let method: Function = Reflect::get(object, &method.into()).ok()?.dyn_into().ok()?;
    method.call1(object, argument).ok()?.dyn_into().ok()
}

/// Hears the outcome of a promise once.
pub(super) fn settle(promise: Promise, done: impl FnOnce(Result<JsValue, JsValue>) + 'static) {
    let done = Rc::new(Cell::new(Some(done)));
    let other = done.clone();
    let kept = Closure::once_into_js(move |value: JsValue| {
        if let Some(done) = done.take() {
            done(Ok(value));
        }
    });
    let broken = Closure::once_into_js(move |value: JsValue| {
        if let Some(done) = other.take() {
            done(Err(value));
        }
    });
    let then: Option<Function> = Reflect::get(&promise, &"then".into()).ok().and_then(|f| f.dyn_into().ok());
    if let Some(then) = then {
        _ = then.call2(&promise, &kept, &broken);
    }
}
