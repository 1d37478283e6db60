//! Every change of the page, as a pure function from one state and a message to the next.
//!
//! It touches no browser and no engine: what has to happen outside follows from the new state.

use crate::number::{Quantity, limits, read};
use crate::state::{Sent, Sheet, State, Track};
use leanyear_engine::forecast::backtest::TrialRange;
use leanyear_engine::link::{LinkNotice, Order, Pressures, Settings, View, WaterOutlook};
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
    /// What comes first.
    Order(Order),
    /// One variety in detail.
    Look(String),
    /// Back to the list.
    List,
    /// The view for sending.
    Share,
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
            next.sheet = Some(sheet);
            next.draft = text;
            next.opened_with = sheet.quantity().and_then(|quantity| state.given(quantity));
            next.search = String::new();
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
            next.settings.view = View::Share;
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
            next = State { night: state.night, wide: state.wide, ..State::opening(*settings) };
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
        next.settings = settings;
        next.notices = notices;
        next.sent = None;
    }
    next
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::sample;

    fn after(messages: impl IntoIterator<Item = Msg>) -> State {
        messages.into_iter().fold(State::opening(sample::settings()), |state, msg| update(&state, msg))
    }

    #[test]
    fn a_disease_is_assumed_and_left_to_come_again_with_the_sheet_open() {
        let open = after([Msg::Open(Sheet::Diseases, String::new())]);
        let severe = update(&open, Msg::Disease("leaf-rust".into(), Some(Pressures::Severe)));
        assert_eq!(severe.settings.diseases.get("leaf-rust"), Some(&Pressures::Severe));
        assert_eq!(severe.sheet, Some(Sheet::Diseases));
        let again = update(&severe, Msg::Disease("leaf-rust".into(), None));
        assert_eq!(again, open);
    }

    #[test]
    fn a_number_counts_as_soon_as_it_can_be_used() {
        let typed = |text: &str| after([Msg::Open(Sheet::Usual, String::new()), Msg::Type(text.into())]);
        assert_eq!(typed("32,5").settings.usual, Some(32.5));
        assert_eq!(typed("32,5").draft_problem(), None);
        let wrong = typed("32 or so");
        assert_eq!((wrong.settings.usual, wrong.draft_problem().is_some()), (None, true));
    }

    #[test]
    fn a_sheet_put_away_half_typed_leaves_the_number_as_it_was() {
        let open = [Msg::Open(Sheet::Price, "5.8".into()), Msg::Type("6".into()), Msg::Type("6x".into())];
        let left = after(open.clone().into_iter().chain([Msg::CloseSheet]));
        assert_eq!((left.settings.price, left.sheet), (Some(5.8), None));
        let back = after(open.into_iter().chain([Msg::Address(Box::new(sample::settings()), Vec::new())]));
        assert_eq!((back.settings.price, back.sheet), (Some(5.8), None));
    }

    #[test]
    fn blank_is_a_problem_only_where_a_number_stood() {
        let open = |sheet| after([Msg::Open(sheet, String::new())]);
        assert_eq!(open(Sheet::Usual).draft_problem(), None);
        assert!(open(Sheet::Price).draft_problem().is_some());
        assert_eq!(open(Sheet::Order).draft_problem(), None);
    }

    #[test]
    fn each_system_keeps_its_own_usual_yield() {
        let there = [
            Msg::Open(Sheet::Usual, String::new()),
            Msg::Type("32".into()),
            Msg::CloseSheet,
            Msg::System("full-irrigation".into()),
        ];
        let away = after(there.clone());
        assert_eq!((away.settings.system.as_str(), away.settings.usual), ("full-irrigation", None));
        let home = after(there.into_iter().chain([Msg::System("dryland".into())]));
        assert_eq!(home.settings.usual, Some(32.0));
    }

    #[test]
    fn a_choice_is_taken_and_its_sheet_put_away() {
        for (sheet, msg) in [
            (Sheet::Water, Msg::Water(WaterOutlook::Wet)),
            (Sheet::Order, Msg::Order(Order::WorstFifth)),
            (Sheet::Mine, Msg::Mine(None)),
            (Sheet::Site, Msg::NoPlace),
            (Sheet::System, Msg::System("full-irrigation".into())),
            (Sheet::Cost, Msg::Clear(Quantity::Cost)),
            (Sheet::Find, Msg::Look("V07".into())),
        ] {
            let state = after([Msg::Open(sheet, String::new()), msg.clone()]);
            assert_eq!(state.sheet, None, "{msg:?}");
            assert_ne!(state.settings, sample::settings(), "{msg:?}");
        }
    }

    #[test]
    fn going_back_closes_a_sheet_before_it_changes_anything() {
        let other = Settings { view: View::Variety, ..sample::settings() };
        let back = Msg::Address(Box::new(other.clone()), Vec::new());
        let with_sheet = after([Msg::Open(Sheet::Water, String::new()), back.clone()]);
        assert_eq!((with_sheet.sheet, &with_sheet.settings), (None, &sample::settings()));
        assert_eq!(after([back]).settings, other);
    }

    #[test]
    fn a_site_and_a_zone_exclude_each_other() {
        let zone = after([Msg::Zone("Upper zone".into())]);
        assert_eq!((zone.settings.site, zone.settings.zone.as_deref()), (None, Some("Upper zone")));
        let site = after([Msg::Zone("Upper zone".into()), Msg::Site("S02".into())]);
        assert_eq!((site.settings.site.as_deref(), site.settings.zone), (Some("S02"), None));
    }

    #[test]
    fn the_variety_looked_at_stays_beside_the_list_until_the_way_back() {
        let looked = after([Msg::Look("V01".into()), Msg::List]);
        assert!(looked.looked);
        assert!(!update(&looked, Msg::Address(Box::new(sample::settings()), Vec::new())).looked);
        let linked = Settings { view: View::Variety, ..sample::settings() };
        assert!(update(&looked, Msg::Address(Box::new(linked.clone()), Vec::new())).looked);
        assert!(State::opening(linked).looked);
    }

    #[test]
    fn starting_again_forgets_choices_but_not_the_light() {
        let fresh = Settings { mine: None, ..sample::settings() };
        let state =
            after([Msg::Night(true), Msg::ShareMoney(true), Msg::StartAgain(Box::new(fresh.clone()))]);
        assert_eq!((state.settings, state.night, state.share_money), (fresh, true, false));
    }
}
