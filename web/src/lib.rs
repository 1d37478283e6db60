//! The page of Leanyear: one state, messages, pure views.

use wasm_bindgen::prelude::wasm_bindgen;
use yew::prelude::{Html, component, html};

/// The whole page.
#[component]
fn Page() -> Html {
    html! { <main><h1>{ "Leanyear" }</h1></main> }
}

/// Puts the page into `#app`; called once by the shell, on the page itself.
#[wasm_bindgen]
pub fn leanyear_start() {
    if let Some(root) = gloo::utils::document().get_element_by_id("app") {
        yew::Renderer::<Page>::with_root(root).render();
    }
}

/// Answers one job, JSON in and JSON out; called by the shell in a worker or on the page.
#[wasm_bindgen]
pub fn leanyear_job(request: &str) -> String {
    serde_json::json!({ "error": format!("unknown job in a request of {} bytes", request.len()) }).to_string()
}
