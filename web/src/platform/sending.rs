//! What leaves the page: the clipboard, the device's way of sending, files, the printer, work for a worker.

use super::Browser;
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
