//! Every change of the page, as a pure function from one state and a message to the next.
//!
//! It touches no browser and no engine: what has to happen outside follows from the new state.

use crate::entry::{Entry, give, take_in, take_out};
use crate::number::{Quantity, limits, read, remainder};
use crate::state::{Draft, Hosted, Meant, Sent, Sheet, State, Track, Unused};
use crate::text::Language;
use leanyear_engine::decide::tipping::Lever;
use leanyear_engine::forecast::backtest::TrialRange;
use leanyear_engine::link::{
    LinkNotice, Order, Pressures, Settings, Spray, View, WaterOutlook, currency_sign,
};
use leanyear_engine::order::sort_by;
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
    /// A number among several is being typed.
    Enter(Entry, String),
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
    /// A spray against a disease or pest, or none.
    Spray(String, Option<Spray>),
    /// Whether the cost holds cash costs only.
    CashOnly(bool),
    /// Whether cattle are on the crop.
    Graze(bool),
    /// Whether the axis shows money.
    MoneyAxis(bool),
    /// These varieties side by side.
    Compare(Vec<String>),
    /// A variety stands beside the others, or no longer.
    Beside(String, bool),
    /// What is moved side by side, and to where.
    Move(Lever, Option<f64>),
    /// The view of acres.
    Acres,
    /// A variety is given acres.
    Sow(String),
    /// A variety is given acres no longer.
    Unsow(String),
    /// A variety's acres are dragged to so many hundredths of the whole.
    Drag(String, f64),
    /// Acres as they were suggested.
    Split(Vec<(String, f64)>),
    /// Unfold or fold what would change the answer.
    ShowChange(bool),
    /// A share of the years as typed, in years of a hundred.
    Third(Third, String),
    /// A rating that a variety must have, or need not have.
    Need(String, bool),
    /// The unit of yields, with the weight of a bushel in pounds.
    Unit(YieldUnit, f64),
    /// The unit that water is shown in.
    WaterUnit(WaterUnit),
    /// The currency sign as typed; the network's where it is blank.
    Currency(String),
    /// What comes first.
    Order(Order),
    /// One variety in detail.
    Look(String),
    /// Back to the list.
    List,
    /// The office, where a network is prepared.
    Prepare,
    /// The view for sending.
    Share,
    /// The page to print.
    Handout,
    /// Unfold or fold the rows beyond the first group.
    ShowAll(bool),
    /// Light ink on dark paper, or dark on light.
    Night(bool),
    /// The language.
    Speak(Language),
    /// The window became wide, or narrow.
    Wide(bool),
    /// What was assumed is not on record for the ground now chosen: the settings without it, and why.
    Held(Box<Settings>, LinkNotice),
    /// The address changed under the page.
    Address(Box<Settings>, Vec<LinkNotice>),
    /// The page's copy on this device changed.
    Hosted(Hosted),
    /// The notices were read.
    NoticesRead,
    /// The view of the track record.
    TrackRecord,
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
            next.opened_with_water = next.settings.water;
        }
        Msg::CloseSheet => put_away(&mut next),
        Msg::Type(text) => type_number(&mut next, text),
        Msg::Enter(entry, text) => enter(&mut next, entry, text),
        Msg::Search(text) => next.search = text,
        Msg::System(system) => choose_system(&mut next, system),
        Msg::Site(site) => choose_place(&mut next, Some(site), None),
        Msg::Zone(zone) => choose_place(&mut next, None, Some(zone)),
        Msg::NoPlace => choose_place(&mut next, None, None),
        Msg::Clear(quantity) => {
            set(&mut next, quantity, None);
            next.draft.clear();
            put_away(&mut next);
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
            sort_by(&mut next.settings.need, Ord::cmp);
        }
        Msg::Unit(unit, bushel_lb) => count_in(&mut next, unit, bushel_lb),
        Msg::Currency(text) => next.settings.currency = currency_sign(&text),
        Msg::WaterUnit(unit) => next.water_unit = Some(unit),
        Msg::Disease(code, None) => _ = next.settings.diseases.remove(&code),
        Msg::Disease(code, Some(pressure)) => _ = next.settings.diseases.insert(code, pressure),
        Msg::Spray(code, None) => _ = next.settings.sprays.remove(&code),
        Msg::Spray(code, Some(spray)) => _ = next.settings.sprays.insert(code, spray),
        Msg::CashOnly(cash) => next.settings.cash_only = cash,
        Msg::Graze(graze) => next.settings.graze = graze,
        Msg::MoneyAxis(money) => next.settings.money_unit = money,
        Msg::Compare(_)
        | Msg::Beside(..)
        | Msg::Move(..)
        | Msg::Acres
        | Msg::Sow(_)
        | Msg::Unsow(_)
        | Msg::Drag(..)
        | Msg::Split(_) => weigh(&mut next, msg),
        Msg::ShowChange(shown) => next.change_shown = shown,
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
        Msg::TrackRecord => next.settings.view = View::TrackRecord,
        Msg::Prepare => next.settings.view = View::Prepare,
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
        Msg::Speak(language) => next.language = language,
        Msg::Night(night) => next.night = night,
        Msg::Wide(wide) => next.wide = wide,
        Msg::Address(settings, notices) => return address(state, *settings, notices),
        Msg::Held(settings, notice) => {
            next.settings = *settings;
            next.notices = vec![notice];
        }
        Msg::Hosted(hosted) => next.hosted = hosted,
        Msg::NoticesRead => next.notices.clear(),
        Msg::TrackAsked => next.track = Track::Running,
        Msg::TrackCame(record) => next.track = record.map_or(Track::Failed, Track::Done),
        Msg::ShareMoney(money) => {
            next.share_money = money;
            next.sent = None;
        }
        Msg::Sent(sent) => next.sent = Some(sent),
        Msg::StartAgain(settings) => {
            let State { night, wide, water_unit, hosted, .. } = *state;
            next = State { night, wide, water_unit, hosted, ..State::opening(*settings) };
            next.sent = Some(Sent::Forgotten);
        }
    }
    next
}

/// Acres or hectares that a split begins with: then they are hundredths as well.
const ACRES_AT_FIRST: f64 = 100.0;

/// What happens where varieties are weighed: side by side, and on the farm's acres.
fn weigh(state: &mut State, msg: Msg) {
    let settings = &mut state.settings;
    state.typed.clear();
    match msg {
        Msg::Compare(with) => {
            (settings.view, settings.with) = (View::Compare, with);
            close(state);
        }
        Msg::Beside(code, beside) => {
            settings.with.retain(|other| *other != code);
            settings.with.extend(beside.then_some(code));
        }
        Msg::Move(lever, value) => state.lever = Some((lever, value)),
        Msg::Acres => settings.view = View::Acres,
        Msg::Sow(code) => {
            take_in(&mut settings.acres, code, ACRES_AT_FIRST);
            close(state);
        }
        Msg::Unsow(code) => take_out(&mut settings.acres, &code),
        Msg::Drag(code, percent) => {
            let all = crate::entry::in_all(settings);
            give(&mut settings.acres, &code, all * percent / 100.0);
        }
        Msg::Split(shares) => {
            let all = crate::entry::in_all(settings);
            let all = if all > 0.0 { all } else { ACRES_AT_FIRST };
            settings.acres = shares.into_iter().map(|(code, share)| (code, share * all)).collect();
        }
        _ => {}
    }
}

/// Takes over a number among several as soon as it can be used. Another one that cannot be used yet keeps saying
/// so.
fn enter(state: &mut State, entry: Entry, text: String) {
    let before = state.draft_of(&entry).map_or_else(|| entry.get(&state.settings), |draft| draft.before);
    if let Ok(value) = entry.read(&text, &state.settings) {
        entry.set(&mut state.settings, value);
    }
    let typed = std::mem::take(&mut state.typed).into_iter();
    let settings = &state.settings;
    // A limit that comes or goes moves the other steps of its docks.
    let waits = |draft: &Draft| {
        draft.entry != entry
            && !draft.entry.moves_with(&entry)
            && draft.entry.read(&draft.text, settings).is_err()
    };
    state.typed = typed.filter(waits).collect();
    state.typed.push(Draft { entry, text, before });
}

/// Puts a sheet away; what was left half typed goes back to what it was before, and that is said.
fn put_away(state: &mut State) {
    state.unused.clear();
    let sheet = state.sheet.and_then(|sheet| Some((sheet, sheet.quantity()?)));
    if let Some(((sheet, quantity), problem)) = sheet.zip(state.draft_problem()) {
        let before = state.opened_with;
        set(state, quantity, before);
        let meant = Meant::Sheet(sheet, quantity);
        state.unused.push(Unused { text: state.draft.clone(), problem, meant });
    }
    for draft in std::mem::take(&mut state.typed) {
        if let Err(problem) = draft.entry.read(&draft.text, &state.settings) {
            draft.entry.set(&mut state.settings, draft.before);
            let meant = Meant::Entry(draft.entry);
            state.unused.push(Unused { text: draft.text, problem, meant });
        }
    }
    if state.sheet == Some(Sheet::Water) && remainder(&state.thirds.0, &state.thirds.1).is_err() {
        state.settings.water = state.opened_with_water;
    }
    close(state);
}

fn close(state: &mut State) {
    // Steps of a dock may have been typed in any order.
    if state.sheet.take() == Some(Sheet::Docks) {
        state.settings = state.settings.clone().normalised();
    }
    state.typed.clear();
    state.draft = String::new();
    state.search = String::new();
    state.opened_with = None;
    state.thirds = Default::default();
    state.opened_with_water = WaterOutlook::default();
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
