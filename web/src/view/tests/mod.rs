//! Every view rendered to text on the server, and read as a grower reads it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod detail;
mod languages;
mod leaving;
mod list;
mod rules;
mod sheets;
mod weighing;

use super::*;
use crate::sample;
use crate::state::{Sent, Sheet, Track};
use crate::text::catalogue;
use leanyear_engine::decide::{BreakEven, ClimateSource, OddsTable, Standing, StandingState};
use leanyear_engine::forecast::backtest::TrialRange;
use leanyear_engine::link::{LinkNotice, Pressures, WaterOutlook};
use std::future::Future;
use std::pin::pin;
use std::rc::Rc;
use std::sync::Arc;
use std::task::{Context, Poll, Wake, Waker};
use yew::ServerRenderer;

struct Unpark(std::thread::Thread);

impl Wake for Unpark {
    fn wake(self: Arc<Self>) {
        self.0.unpark();
    }
}

pub(crate) fn wait<T>(future: impl Future<Output = T>) -> T {
    let waker = Waker::from(Arc::new(Unpark(std::thread::current())));
    let mut future = pin!(future);
    loop {
        match future.as_mut().poll(&mut Context::from_waker(&waker)) {
            Poll::Ready(value) => return value,
            Poll::Pending => std::thread::park(),
        }
    }
}

type Change = fn(&mut State, &mut Answer, &mut Network, &mut Surroundings);

#[derive(Properties)]
struct CaseProps {
    lang: &'static str,
    change: Change,
}

impl PartialEq for CaseProps {
    fn eq(&self, other: &Self) -> bool {
        self.lang == other.lang && std::ptr::fn_addr_eq(self.change, other.change)
    }
}

/// The page and its open sheet, as `change` has made them.
#[component]
fn Case(props: &CaseProps) -> Html {
    let CaseProps { lang, change } = props;
    let (mut state, mut answer) = (State::opening(sample::settings()), sample::answer());
    let (mut network, mut surroundings) = (sample::network(), Surroundings::default());
    state.language = Language::of(lang).unwrap();
    change(&mut state, &mut answer, &mut network, &mut surroundings);
    let view = Page {
        state: &state,
        network: &network,
        answer: &answer,
        surroundings: &surroundings,
        words: catalogue(lang),
        send: &Callback::noop(),
        act: &Callback::noop(),
    };
    html! { <>{ page(&view) }{ sheet::sheet(&view) }</> }
}

fn html_of(change: Change) -> String {
    html_in("en", change)
}

fn html_in(lang: &'static str, change: Change) -> String {
    wait(ServerRenderer::<Case>::with_props(move || CaseProps { lang, change }).hydratable(false).render())
}

/// The text of a page without its tags, white space folded; titles of pictures count as text.
pub(crate) fn text_of(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            c if !inside => text.push(c),
            _ => {}
        }
    }
    let text =
        text.replace("&#x27;", "'").replace('\u{a0}', " ").replace('\u{2060}', "").replace("&amp;", "&");
    text.split_whitespace().collect::<Vec<_>>().join(" ").replace(" ,", ",").replace(" .", ".")
}

fn text(change: Change) -> String {
    text_of(&html_of(change))
}

fn table(answer: &mut Answer) -> &mut OddsTable {
    Rc::make_mut(&mut answer.table)
}

fn check(change: Change, wanted: &[&str]) {
    let text = text(change);
    for words in wanted {
        assert!(text.contains(words), "no “{words}” in:\n{text}");
    }
}
