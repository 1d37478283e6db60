//! Every change of the page, as a pure function from one state and a message to the next.
//!
//! It touches no browser and no engine: what has to happen outside follows from the new state.

use crate::number::{Quantity, limits, read, remainder};
use crate::state::{Sent, Sheet, State, Track};
use leanyear_engine::forecast::backtest::TrialRange;
use leanyear_engine::link::{LinkNotice, Order, Pressures, Settings, View, WaterOutlook};
use leanyear_engine::pack::{WaterUnit, YieldUnit};
use std::rc::Rc;
use yew::Reducible;

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Msg {
    /// A bracket of the sentence was tapped; the text is what its field starts with.
    Open(Sheet, String),
    /// The open sheet is put away.
    CloseSheet,
    /// A number is being typed.
    Type(String),
    /// A name is being typed into a search field.
    Search(String),
    /// Production system.
    System(String),
    /// Ground near a trial site.
    Site(String),
    /// Ground in a zone, near none of its sites.
    Zone(String),
    /// Ground near none of the sites.
    NoPlace,
    /// A typed number is taken back: the trials, or nothing, stand in for it.
    Clear(Quantity),
    /// The variety grown now, or none.
    Mine(Option<String>),
    /// The year assumed.
    Water(WaterOutlook),
    /// How hard a disease or pest is assumed to strike; `None` as it comes.
    Disease(String, Option<Pressures>),
    /// A share of the years as typed, in years of a hundred.
    Third(Third, String),
    /// A rating that a variety must have, or need not have.
    Need(String, bool),
    /// The unit of yields, with the weight of a bushel in pounds.
    Unit(YieldUnit, f64),
    /// The unit that water is shown in.
    WaterUnit(WaterUnit),
    /// What comes first.
    Order(Order),
    /// One variety in detail.
    Look(String),
    /// Back to the list.
    List,
    /// The view for sending.
    Share,
    /// The page to print.
    Handout,
    /// Unfold or fold the rows beyond the first group.
    ShowAll(bool),
    /// Light ink on dark paper, or dark on light.
    Night(bool),
    /// The window became wide, or narrow.
    Wide(bool),
    /// The address changed under the page.
    Address(Box<Settings>, Vec<LinkNotice>),
    /// The notices were read.
    NoticesRead,
    /// The track record was asked for.
    TrackAsked,
    /// The track record came, or did not.
    TrackCame(Option<Vec<TrialRange>>),
    /// Whether price and cost go into the link.
    ShareMoney(bool),
    /// What became of sending.
    Sent(Sent),
    /// Everything chosen is put back to what the page opens with.
    StartAgain(Box<Settings>),
}

/// Which share of the years is typed; the rest of a hundred is middling.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Third {
    /// The dry third.
    Dry,
    /// The wet third.
    Wet,
}

impl Reducible for State {
    type Action = Msg;

    fn reduce(self: Rc<Self>, action: Msg) -> Rc<Self> {
        Rc::new(update(&self, action))
    }
}

/// The state after a message.
pub fn update(state: &State, msg: Msg) -> State {
    let mut next = state.clone();
    match msg {
        Msg::Open(sheet, text) => {
            // One sheet may lead to another.
            put_away(&mut next);
            next.sheet = Some(sheet);
            next.draft = text;
            next.opened_with = sheet.quantity().and_then(|quantity| next.given(quantity));
            next.thirds = typed_thirds(&next.settings);
        }
        Msg::CloseSheet => put_away(&mut next),
        Msg::Type(text) => type_number(&mut next, text),
        Msg::Search(text) => next.search = text,
        Msg::System(system) => choose_system(&mut next, system),
        Msg::Site(site) => choose_place(&mut next, Some(site), None),
        Msg::Zone(zone) => choose_place(&mut next, None, Some(zone)),
        Msg::NoPlace => choose_place(&mut next, None, None),
        Msg::Clear(quantity) => {
            set(&mut next, quantity, None);
            close(&mut next);
        }
        Msg::Mine(variety) => {
            next.settings.mine = variety;
            close(&mut next);
        }
        Msg::Water(water) => {
            next.settings.water = water;
            close(&mut next);
        }
        Msg::Third(third, text) => type_third(&mut next, third, text),
        Msg::Need(code, needed) => {
            next.settings.need.retain(|other| *other != code);
            next.settings.need.extend(needed.then_some(code));
            next.settings.need.sort();
        }
        Msg::Unit(unit, bushel_lb) => count_in(&mut next, unit, bushel_lb),
        Msg::WaterUnit(unit) => next.water_unit = Some(unit),
        Msg::Disease(code, None) => _ = next.settings.diseases.remove(&code),
        Msg::Disease(code, Some(pressure)) => _ = next.settings.diseases.insert(code, pressure),
        Msg::Order(order) => {
            next.settings.order = order;
            close(&mut next);
        }
        Msg::Look(variety) => {
            next.settings.view = View::Variety;
            next.settings.variety = Some(variety);
            next.looked = true;
            close(&mut next);
        }
        Msg::List => next.settings.view = View::Odds,
        Msg::Share => {
            next.sent_from = state.linked_view();
            next.settings.view = View::Share;
            next.sent = None;
        }
        Msg::Handout => {
            next.settings.view = View::Handout;
            next.sent = None;
        }
        Msg::ShowAll(all) => next.all_shown = all,
        Msg::Night(night) => next.night = night,
        Msg::Wide(wide) => next.wide = wide,
        Msg::Address(settings, notices) => return address(state, *settings, notices),
        Msg::NoticesRead => next.notices.clear(),
        Msg::TrackAsked => next.track = Track::Running,
        Msg::TrackCame(record) => next.track = record.map_or(Track::Failed, Track::Done),
        Msg::ShareMoney(money) => {
            next.share_money = money;
            next.sent = None;
        }
        Msg::Sent(sent) => next.sent = Some(sent),
        Msg::StartAgain(settings) => {
            let (night, wide, water_unit) = (state.night, state.wide, state.water_unit);
            next = State { night, wide, water_unit, ..State::opening(*settings) };
            next.sent = Some(Sent::Forgotten);
        }
    }
    next
}

/// Puts a sheet away; a number that was left half typed goes back to what it was before.
fn put_away(state: &mut State) {
    if let Some(quantity) = state.sheet.and_then(Sheet::quantity).filter(|_| state.draft_problem().is_some())
    {
        let before = state.opened_with;
        set(state, quantity, before);
    }
    close(state);
}

fn close(state: &mut State) {
    state.sheet = None;
    state.draft = String::new();
    state.search = String::new();
    state.opened_with = None;
    state.thirds = Default::default();
}

/// The shares that the fields of the thirds start with.
fn typed_thirds(settings: &Settings) -> (String, String) {
    match settings.water {
        WaterOutlook::Thirds(dry, _, wet) => (dry.to_string(), wet.to_string()),
        _ => Default::default(),
    }
}

/// Takes over typed thirds as soon as there are two that can be used.
fn type_third(state: &mut State, third: Third, text: String) {
    match third {
        Third::Dry => state.thirds.0 = text,
        Third::Wet => state.thirds.1 = text,
    }
    if let Ok(Some((dry, middle, wet))) = remainder(&state.thirds.0, &state.thirds.1) {
        state.settings.water = WaterOutlook::Thirds(dry, middle, wet);
    }
}

/// The same field and money in another unit, on every system's ground.
fn count_in(state: &mut State, unit: YieldUnit, bushel_lb: f64) {
    let before = state.settings.clone();
    state.settings = before.in_unit(unit, bushel_lb);
    for usual in state.usual_by_system.values_mut() {
        *usual = Settings { usual: *usual, ..before.clone() }.in_unit(unit, bushel_lb).usual;
    }
}

/// Takes over a typed number as soon as it can be used; until then the last one stays in force.
fn type_number(state: &mut State, text: String) {
    if let Some(quantity) = state.sheet.and_then(Sheet::quantity) {
        let (least, greatest) = limits(quantity, state.settings.unit);
        if let Ok(value) = read(&text, least, greatest) {
            set(state, quantity, Some(value));
        }
    }
    state.draft = text;
}

fn set(state: &mut State, quantity: Quantity, value: Option<f64>) {
    match quantity {
        Quantity::Usual => state.settings.usual = value,
        Quantity::Price => state.settings.price = value,
        Quantity::Cost => state.settings.cost = value,
    }
}

/// What dryland makes says nothing of irrigated ground: each system keeps its own usual yield.
fn choose_system(state: &mut State, system: String) {
    if state.settings.system != system {
        let left = state.settings.system.clone();
        state.usual_by_system.insert(left, state.settings.usual);
        state.settings.usual = state.usual_by_system.get(&system).copied().flatten();
        state.settings.system = system;
    }
    close(state);
}

/// The usual yield is that of the grower's own ground, whichever site lies nearest: it stays.
fn choose_place(state: &mut State, site: Option<String>, zone: Option<String>) {
    state.settings.site = site;
    state.settings.zone = zone;
    close(state);
}

/// Going back closes an open sheet and nothing else; otherwise the address is the truth.
fn address(state: &State, settings: Settings, notices: Vec<LinkNotice>) -> State {
    let mut next = state.clone();
    if state.sheet.is_some() {
        put_away(&mut next);
    } else {
        next.looked = settings.view == View::Variety;
        if settings.view == View::Share && state.settings.view != View::Share {
            next.sent_from = state.settings.view;
        }
        next.settings = settings;
        next.notices = notices;
        next.sent = None;
    }
    next
}

#[cfg(test)]
mod tests;
