//! What the page shows, as pure functions of its state and of the engine's answer.
//!
//! Views hold no words (the catalogue does), compute no number, and ask for nothing outside except
//! through a message ([`Msg`]) or a request to the browser ([`Act`]).

pub mod acres;
pub mod change;
pub mod compare;
pub mod detail;
mod entry;
pub mod export;
pub mod field_work;
pub mod handout;
pub mod list;
pub mod losses;
pub mod notices;
pub mod pick;
pub mod ratings;
pub mod row;
pub mod sentence;
pub mod share;
pub mod sheet;
pub mod source;
#[cfg(test)]
pub(crate) mod tests;
pub mod track;
pub mod trials;

use crate::derive::Answer;
use crate::state::State;
use crate::text::{Catalogue, Label, Language, Short, figure::Units};
use crate::update::Msg;
use leanyear_engine::decide::units::WHEAT_BUSHEL_LB;
use leanyear_engine::decide::{BreakEven, VarietyOdds};
use leanyear_engine::link::View;
use leanyear_engine::office::shortlist::Stance;
use leanyear_engine::pack::{Network, ShortlistEntry};
use leanyear_engine::page::MadeOf;
use std::rc::Rc;
use yew::prelude::*;

/// Something only the browser can do.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// Put a text on the clipboard.
    Copy(String),
    /// Hand a text to the device's own way of sending.
    Send(String),
    /// Forget what was chosen on this device.
    Forget,
    /// Work out the track record.
    CheckTrackRecord,
    /// Keep a text as a file: its name, what kind of file it is, the text.
    Save(String, &'static str, String),
    /// Keep a picture as a PNG file: its name, and the text of the SVG file it is drawn from.
    SavePng(String, String),
    /// Print what is shown.
    Print,
    /// Speak this language from now on, on this device.
    Speak(Language),
    /// Take the newer data that wait.
    TakeNewer,
}

/// Where the page is and what its browser offers.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Surroundings {
    /// Address without its fragment; `None` where the page was opened from a file.
    pub address: Option<String>,
    /// Whether the device offers a way of sending.
    pub can_send: bool,
    /// Whose programs the page is made of, where that is shown.
    pub made_of: Option<Rc<MadeOf>>,
}

/// Everything a view may look at.
#[derive(Clone, Copy)]
pub struct Page<'a> {
    /// The page's state.
    pub state: &'a State,
    /// The network's tables.
    pub network: &'a Network,
    /// The engine's answer.
    pub answer: &'a Answer,
    /// Where the page is.
    pub surroundings: &'a Surroundings,
    /// The language.
    pub words: Catalogue,
    /// Where messages go.
    pub send: &'a Callback<Msg>,
    /// Where requests to the browser go.
    pub act: &'a Callback<Act>,
}

impl<'a> Page<'a> {
    /// Units and number marks.
    pub fn units(&self) -> Units<'a> {
        let settings = &self.state.settings;
        let of_data = Units::of(&self.network.info, settings.unit, self.state.water_unit, self.words);
        Units { currency: settings.currency.as_deref().unwrap_or(of_data.currency), ..of_data }
    }

    /// The yield of the worst years, where the years that yield least are those that leave least: prices that swing
    /// and a guarantee make others the worst.
    pub fn worst_yields(&self, yields: f64) -> Option<f64> {
        let settings = &self.state.settings;
        (!settings.counts_money() || settings.volatility.is_none() && settings.cover.is_none())
            .then_some(yields)
    }

    /// Whether the network has more than one production system.
    pub fn several_systems(&self) -> bool {
        self.network.systems().len() > 1
    }

    /// Whether anything is asked of a variety beyond its yield.
    pub fn asks_needs(&self) -> bool {
        !self.state.settings.need.is_empty()
    }

    /// A fixed word.
    pub fn label(&self, label: Label) -> &'static str {
        self.words.label(label)
    }

    /// A handler that sends a message.
    pub fn tap<E: 'static>(&self, msg: Msg) -> Callback<E> {
        sending(self.send, msg)
    }

    /// A handler that asks the browser for something.
    pub fn ask<E: 'static>(&self, act: Act) -> Callback<E> {
        sending(self.act, act)
    }

    /// What counts as short.
    pub fn short(&self) -> Short {
        match self.answer.table.break_even {
            BreakEven::Target(target) => Short::Below(target),
            BreakEven::Yield(_) | BreakEven::CostsMoreToHaul | BreakEven::NoSingleCrossing => Short::Money,
        }
    }

    /// The least and greatest yield that part good from short: they differ where seed costs differ.
    pub fn lines(&self) -> Option<(f64, f64)> {
        let own = self.answer.table.varieties.iter().filter_map(|row| row.break_even);
        own.fold(None, |ends: Option<(f64, f64)>, line| {
            let (low, high) = ends.unwrap_or((line, line));
            Some((low.min(line), high.max(line)))
        })
    }

    /// Weight of a bushel, lb.
    pub fn bushel_lb(&self) -> f64 {
        self.network.info.bushel_lb.unwrap_or(WHEAT_BUSHEL_LB)
    }

    /// The agronomist's word on a variety in this system.
    pub fn her_word(&self, code: &str) -> Option<&'a ShortlistEntry> {
        let system = &self.state.settings.system;
        self.network.shortlist.iter().find(|entry| entry.variety == code && entry.system == *system)
    }

    /// Her word in few words.
    pub fn her_word_in_short(&self, code: &str) -> Option<&'static str> {
        self.her_word(code).map(|entry| self.words.stance_in_short(&entry.stance))
    }

    /// Whether she put a variety off her list.
    pub fn off_her_list(&self, code: &str) -> bool {
        self.her_word(code).is_some_and(|entry| Stance::of(&entry.stance) == Some(Stance::Out))
    }

    /// The odds of a variety.
    pub fn odds(&self, code: &str) -> Option<&'a VarietyOdds> {
        self.answer.table.varieties.iter().find(|row| row.variety == code)
    }
}

/// A handler that passes the same message on at each event.
pub(crate) fn sending<M: Clone + 'static, E: 'static>(to: &Callback<M>, message: M) -> Callback<E> {
    let to = to.clone();
    Callback::from(move |_| to.emit(message.clone()))
}

/// The whole page below the sheet. A view stands alone, or beside the list where there is room for both.
pub fn page(page: &Page) -> Html {
    let view = page.state.settings.view;
    let alone = match view {
        View::Handout => Some(handout::handout(page)),
        View::Compare if !page.state.wide => Some(compare::compare(page)),
        View::Acres if !page.state.wide => Some(acres::acres(page)),
        View::Share if !page.state.wide => Some(share::share(page)),
        View::TrackRecord if !page.state.wide => Some(track::track(page)),
        View::Variety if !page.state.wide => Some(detail::detail(page)),
        _ => None,
    };
    let body = match (alone, page.state.wide) {
        (Some(alone), _) => html! { <main class="column">{ alone }</main> },
        (None, false) => html! { <main class="column">{ list::list(page) }</main> },
        (None, true) => html! {
            <div class="columns">
                <main class="column">{ list::list(page) }</main>
                <aside class="beside">{ beside(page, view) }</aside>
            </div>
        },
    };
    html! {
        <div class="sheet-of-paper" lang={page.words.lang()}>
            { head(page) }
            { notices::notices(page) }
            { body }
            { notices::newer(page) }
        </div>
    }
}

/// What stands beside the list: the variety looked at, unless another view was asked for.
fn beside(page: &Page, view: View) -> Html {
    match view {
        View::Share => share::share(page),
        View::Compare => compare::compare(page),
        View::Acres => acres::acres(page),
        View::TrackRecord => track::track(page),
        _ => detail::detail(page),
    }
}

/// The way back to the list, and the heading of a view; a change of view puts the focus there.
pub(crate) fn view_head(page: &Page, title: &str) -> Html {
    html! {
        <>
            { line_button(page.tap(Msg::List), html! { <>{"\u{2190} "}{page.label(Label::BackToList)}</> }) }
            <h2 class="title" tabindex="-1" id="view-top">{ title }</h2>
        </>
    }
}

fn head(page: &Page) -> Html {
    let info = &page.network.info;
    let (night, word) = match page.state.night {
        true => (false, Label::Light),
        false => (true, Label::Night),
    };
    html! {
        <header>
            { for info.invented.then(|| html! { <p class="invented">{ page.label(Label::Invented) }</p> }) }
            <div class="head">
                <h1 class="network">{ &info.name }</h1>
                <button id={way_id(View::Share)} class="word" onclick={page.tap(Msg::Share)}>{ page.label(Label::Share) }</button>
                <button class="word" onclick={page.tap(Msg::Night(night))}>{ page.label(word) }</button>
                { for Language::ALL.into_iter().filter(|language| *language != page.state.language).map(|language| html! {
                    <button class="word" lang={language.tag()} onclick={page.ask(Act::Speak(language))}>{ language.name() }</button>
                }) }
            </div>
        </header>
    }
}

/// The id of the button that opens a variety.
pub(crate) fn row_id(code: &str) -> String {
    format!("row-{code}")
}

/// The id of the way from the list to a view, where the focus is on coming back.
pub(crate) fn way_id(view: View) -> String {
    format!("to-{view:?}").to_lowercase()
}

/// A line of the list that leads to a view.
pub(crate) fn way_to(page: &Page, view: View, msg: Msg, words: &str) -> Html {
    html! { <button id={way_id(view)} class="line-button" onclick={page.tap(msg)}>{ words }</button> }
}

/// A button that reads as a line of text.
pub(crate) fn line_button(onclick: Callback<MouseEvent>, words: Html) -> Html {
    html! { <button class="line-button" {onclick}>{ words }</button> }
}
