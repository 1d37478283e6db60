//! What the office shows, as pure functions of its state.
//!
//! Seven steps down one column: files, the network, what to put right, the trials, the fit, the shortlists,
//! saving. A step that cannot be taken yet says what it waits for. Views hold no words and compute no number.

mod files;
mod fit;
mod form;
mod lists;
mod look;
mod problems;
mod report;
mod rules;
mod save;
#[cfg(test)]
mod tests;
mod word;

use super::Act;
use super::state::{Office, Stage};
use super::update::Msg;
use crate::text::figure::Units;
use crate::text::office::{Desk, Names, Term};
use crate::text::{Catalogue, Label, Language};
use crate::view::sending;
use leanyear_engine::pack::Network;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// Everything a view of the office may look at.
#[derive(Clone, Copy)]
pub struct Bench<'a> {
    /// The state.
    pub office: &'a Office,
    /// The language.
    pub words: Catalogue,
    /// Where messages go.
    pub send: &'a Callback<Msg>,
    /// Where requests to the browser go.
    pub act: &'a Callback<Act>,
    /// The way back to the list.
    pub back: &'a Callback<()>,
    /// Today, ISO 8601.
    pub today: &'a str,
}

impl<'a> Bench<'a> {
    /// A fixed word.
    pub fn say(&self, label: Desk) -> &'static str {
        self.words.desk(label)
    }

    /// A handler that sends a message.
    pub fn tap<E: 'static>(&self, msg: Msg) -> Callback<E> {
        sending(self.send, msg)
    }

    /// A handler that asks the browser for something.
    pub fn ask<E: 'static>(&self, act: Act) -> Callback<E> {
        sending(self.act, act)
    }

    /// The network as last read, without its long tables.
    pub fn network(&self) -> Option<&'a Network> {
        self.office.shown_read().and_then(|read| read.network.as_ref())
    }

    /// Names for codes.
    pub fn names(&self) -> Names<'a> {
        Names { network: self.network(), lang: self.words.lang() }
    }

    /// Units of the network.
    pub fn units(&self) -> Option<Units<'a>> {
        let info = &self.network()?.info;
        Some(Units::of(info, info.yield_unit, None, self.words))
    }

    /// Whether there is more than one production system.
    pub fn several(&self) -> bool {
        self.network().is_some_and(|network| network.systems().len() > 1)
    }

    /// A line of text that can be pressed.
    pub fn button(&self, label: Desk, onclick: Callback<MouseEvent>) -> Html {
        crate::view::line_button(onclick, html! { { self.say(label) } })
    }

    /// How far a job is, with a way to stop it.
    pub fn running(&self, label: Desk, percent: u8) -> Html {
        html! {
            <div class="running">
                <p role="status">{ self.say(label) }</p>
                <progress max="100" value={percent.to_string()} aria-label={self.say(label)}>{ self.words.percent(percent) }</progress>
                { self.button(Desk::Stop, self.tap(Msg::Cancel)) }
            </div>
        }
    }

    /// A technical word's sentence.
    pub fn term(&self, term: Term) -> Html {
        html! { <p class="hint">{ self.words.term(term) }</p> }
    }
}

/// That a table is wider than a narrow screen.
fn sideways(bench: &Bench) -> Html {
    html! { <p class="hint sideways">{ bench.say(Desk::Sideways) }</p> }
}

/// A wide table in its own frame, which scrolls, with words that it does.
fn wide_table(bench: &Bench, label: String, table: Html) -> Html {
    html! {
        <>
            { sideways(bench) }
            <div class="wide-table" tabindex="0" role="region" aria-label={label}>{ table }</div>
        </>
    }
}

/// The head of a column, with the unit of its numbers under it where they have one.
fn head_cell(bench: &Bench, head: Desk, unit: String) -> Html {
    let unit = (!unit.is_empty()).then(|| html! { <><br /><span class="quiet">{ unit }</span></> });
    html! { <th scope="col">{ bench.say(head) }{ for unit }</th> }
}

/// A section with a heading that can be gone to.
fn section(id: &'static str, heading: &str, body: Html) -> Html {
    html! {
        <section class="desk-step" aria-labelledby={id}>
            <h2 {id} tabindex="-1">{ heading }</h2>
            { body }
        </section>
    }
}

/// A choice among few, as the browser offers it.
fn choice(label: String, options: Vec<(String, String)>, chosen: &str, send: Callback<String>) -> Html {
    choice_of(None, Some(label), options, chosen, send)
}

/// The same under a label of its own that names its id.
fn choice_of(
    id: Option<String>,
    label: Option<String>,
    options: Vec<(String, String)>,
    chosen: &str,
    send: Callback<String>,
) -> Html {
    let onchange = Callback::from(move |event: Event| {
        if let Some(select) = event.target_dyn_into::<HtmlSelectElement>() {
            send.emit(select.value());
        }
    });
    html! {
        <select {id} aria-label={label} {onchange}>
            { for options.into_iter().map(|(value, words)| html! {
                <option value={value.clone()} selected={value == chosen}>{ words }</option>
            }) }
        </select>
    }
}

/// A handler that hands over the text of a field when it is left.
fn typed(send: Callback<String>) -> Callback<Event> {
    Callback::from(move |event: Event| {
        if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
            send.emit(input.value());
        }
    })
}

/// The whole office.
pub fn bench(bench: &Bench) -> Html {
    let office = bench.office;
    let info = bench.network().map(|network| &network.info);
    let back = bench.back.reform(|_: MouseEvent| ());
    html! {
        <div class="sheet-of-paper office" lang={bench.words.lang()}>
            { for info.filter(|info| info.invented).map(|_| html! { <header><p class="invented">{ bench.words.label(Label::Invented) }</p></header> }) }
            <main class="column">
                <div class="desk">
                    <div class="head">
                        { crate::view::line_button(back, html! { <>{"\u{2190} "}{ bench.say(Desk::Back) }</> }) }
                        { for Language::ALL.into_iter().filter(|language| language.tag() != bench.words.lang()).map(|language| html! {
                            <button class="word" lang={language.tag()} onclick={bench.ask(Act::Speak(language))}>{ language.name() }</button>
                        }) }
                    </div>
                    <h1 class="title" tabindex="-1" id="view-top">{ bench.say(Desk::Title) }</h1>
                    <p>{ bench.say(Desk::Intro) }</p>
                    <details class="guide">
                        <summary>{ bench.say(Desk::GuideHeading) }</summary>
                        <ol>{ for bench.words.guide().into_iter().map(|step| html! { <li>{ step }</li> }) }</ol>
                        <p>{ bench.say(Desk::GuideDemo) }</p>
                    </details>
                    { section("desk-files", bench.say(Desk::FilesHeading), files::files(bench)) }
                    { for (!office.is_empty()).then(|| steps(bench)) }
                </div>
                { report::papers(bench) }
            </main>
        </div>
    }
}

fn steps(bench: &Bench) -> Html {
    let office = bench.office;
    let clean = bench.network().is_some();
    let fitted = office.shown_fit().is_some();
    html! {
        <>
            { section("desk-name", bench.say(Desk::NameHeading), form::form(bench)) }
            { section("desk-problems", bench.say(Desk::ProblemsHeading), problems::problems(bench)) }
            { for clean.then(|| section("desk-look", bench.say(Desk::LookHeading), look::look(bench))) }
            { for clean.then(|| section("desk-fit", bench.say(Desk::FitHeading), fit::fit(bench))) }
            { for (clean && fitted).then(|| section("desk-lists", bench.say(Desk::ListHeading), lists::lists(bench))) }
            { for clean.then(|| section("desk-save", bench.say(Desk::SaveHeading), save::save(bench))) }
        </>
    }
}

/// Whether a stage has been asked for and given nothing.
fn gave_nothing<T>(stage: &Stage<T>) -> bool {
    matches!(stage, Stage::Failed(_) | Stage::Cancelled)
}
