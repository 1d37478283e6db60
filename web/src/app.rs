//! The page's one component with hooks: holds the state, asks the engine, tells the browser.

use crate::derive::{Answer, Ask, Knowledge, Wanted, track_record_answer, track_record_request};
use crate::office::{OfficePage, Words};
use crate::platform::{Browser, Entry};
use crate::state::{Hosted, Sent, Sheet, State, Track};
use crate::text::{Catalogue, Label, Language};
use crate::update::Msg;
use crate::view::{Act, Page, Surroundings, page, row_id, sheet, way_id};
use leanyear_engine::link::{LinkNotice, Settings, View};
use leanyear_engine::pack::{WATER_UNITS, WaterUnit};
use std::rc::Rc;
use web_sys::HtmlDialogElement;
use yew::prelude::*;

/// The name that the unit of water is kept under on this device.
const WATER_UNIT: &str = "water-unit";
/// The name that the language chosen is kept under on this device.
const LANGUAGE: &str = "language";
/// Largest version of a link's code that a camera reads off a small screen.
const CODE_VERSION_SCREEN: u8 = 12;
/// The same on paper, where the code is small.
const CODE_VERSION_PAPER: u8 = 8;

/// What the page is started with.
#[derive(Clone, Properties)]
pub struct AppProps {
    /// The network and its engine.
    pub knowledge: Rc<Knowledge>,
    /// The browser.
    pub browser: Rc<Browser>,
    /// The state it opens in.
    pub opening: State,
}

impl PartialEq for AppProps {
    /// The page is mounted once; its properties never change afterwards.
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.knowledge, &other.knowledge)
    }
}

/// The state the page opens in: the address wins over memory, memory over the defaults.
pub fn opening(knowledge: &Knowledge, browser: &Browser) -> State {
    let (fragment, remembered) = (browser.fragment(), browser.remembered());
    // After newer data were taken the reader's own settings still bear the mark of the old ones: no sender's link.
    let own = fragment.is_none() || fragment == remembered;
    let (settings, mut notices) = fragment
        .or(remembered)
        .map_or_else(|| (knowledge.defaults().clone(), Vec::new()), |link| knowledge.open(&link));
    notices.retain(|notice| !(own && matches!(notice, LinkNotice::OtherPack { .. })));
    // What is wrong with a reader's own settings is no fault of a link, and their keys are not the reader's words.
    let known =
        |notice: &LinkNotice| matches!(notice, LinkNotice::YearUnknown { .. } | LinkNotice::WaterUnknown);
    if own && !notices.iter().all(known) {
        notices = vec![LinkNotice::KeptDamaged];
    }
    let water_unit = browser
        .kept_word(WATER_UNIT)
        .and_then(|word| WATER_UNITS.into_iter().find(|(symbol, _)| *symbol == word).map(|(_, unit)| unit));
    let (night, wide) = (browser.remembered_night(), browser.wide());
    let own = &knowledge.network().info.lang;
    let language = Language::for_reader(browser.kept_word(LANGUAGE).as_deref(), &browser.languages(), own);
    State { night, language, wide, water_unit, notices, ..State::opening(settings) }
}

/// The page.
#[component]
pub fn App(props: &AppProps) -> Html {
    let AppProps { knowledge, browser, opening } = props;
    let state = use_reducer_eq(|| opening.clone());
    let dialog = use_node_ref();
    let send = use_memo((), |()| {
        let dispatcher = state.dispatcher();
        Callback::from(move |msg| dispatcher.dispatch(msg))
    });
    let act = use_memo((), |()| acts(knowledge.clone(), browser.clone(), (*send).clone()));
    let surroundings = use_memo(state.settings.view == View::Share, |sharing| Surroundings {
        address: browser.address(),
        can_send: browser.can_send(),
        made_of: sharing.then(|| browser.made_of().map(Rc::new)).flatten(),
    });
    let home = Some(&knowledge.network().info.home_url).filter(|home| !home.is_empty());
    let base = surroundings.address.as_ref().or(home).map(|base| Rc::from(base.as_str()));
    let region = use_memo((), |()| browser.region());
    let words =
        use_memo(state.language, |language| language.catalogue((*region).unwrap_or(language.usual_region())));
    let words = *words;

    use_effect_with((), {
        let (knowledge, browser, send) = (knowledge.clone(), browser.clone(), send.clone());
        move |()| {
            let on_wide = send.reform(Msg::Wide);
            let on_address = send.reform(move |fragment: String| {
                let (settings, notices) = knowledge.open(&fragment);
                Msg::Address(Box::new(settings), notices)
            });
            browser.listen(on_address, on_wide);
            let tell = send.reform(|(kept, newer)| Msg::Hosted(Hosted { kept, newer }));
            tell.emit(browser.hosted());
            browser.listen_hosted(tell);
        }
    });
    use_followed(browser, knowledge, &state, &dialog);
    // Another system or site may have no water on record for the year that is assumed.
    use_effect_with(state.settings.clone(), {
        let (knowledge, send) = (knowledge.clone(), send.clone());
        move |settings: &Settings| {
            if let (held, Some(notice)) = knowledge.held(settings.clone()) {
                send.emit(Msg::Held(Box::new(held), notice));
            }
        }
    });

    use_effect_with(state.settings.view == View::TrackRecord && state.track == Track::Unasked, {
        let act = act.clone();
        move |unasked: &bool| {
            if *unasked {
                act.emit(Act::CheckTrackRecord);
            }
        }
    });

    // While it still stands there: what comes in its place is made after this.
    use_memo(state.settings.view == View::Odds, |on_list| {
        if !on_list {
            browser.note_list();
        }
    });
    let wanted = wanted(&state, base);
    let answer = use_memo((state.settings.clone(), wanted), |(settings, wanted)| {
        knowledge.answer(settings, wanted).ok()
    });
    let kept = use_mut_ref(|| None::<Answer>);
    if let Some(answer) = answer.as_ref() {
        *kept.borrow_mut() = Some(answer.clone());
    }
    let Some(shown) = kept.borrow().clone() else {
        return html! { <p class="remark">{ words.label(Label::NoAnswer) }</p> };
    };
    let view = Page {
        state: &state,
        network: knowledge.network(),
        answer: &shown,
        surroundings: &surroundings,
        words,
        send: &send,
        act: &act,
    };
    html! {
        <>
            { for answer.is_none().then(|| html! { <p class="remark" role="alert">{ words.label(Label::NoAnswer) }</p> }) }
            { if state.settings.view == View::Prepare { office(knowledge, browser, words, &send, &act) } else { page(&view) } }
            <dialog ref={dialog} class="slip-holder" aria-labelledby="sheet-title"
                oncancel={cancel(&send)} onclick={beside(&send)}>
                { sheet::sheet(&view) }
            </dialog>
        </>
    }
}

/// The office has a state of its own and takes the place of the page.
fn office(
    knowledge: &Rc<Knowledge>,
    browser: &Rc<Browser>,
    words: Catalogue,
    send: &Callback<Msg>,
    act: &Callback<Act>,
) -> Html {
    let (back, speak) = (send.reform(|()| Msg::List), act.reform(Act::Speak));
    html! { <OfficePage knowledge={knowledge.clone()} browser={browser.clone()} words={Words(words)} {back} {speak} /> }
}

/// What is asked of the engine beside the table: no more than what is on the screen.
fn wanted(state: &State, base: Option<Rc<str>>) -> Wanted {
    let view = state.settings.view;
    let version = match view {
        View::Share => Some(CODE_VERSION_SCREEN),
        View::Handout => Some(CODE_VERSION_PAPER),
        _ => None,
    };
    Wanted {
        money_in_link: state.share_money,
        link_view: state.linked_view(),
        code: base.zip(version),
        years: state.sheet == Some(Sheet::Water),
        needs: state.sheet == Some(Sheet::Needs),
        detail: match view {
            View::Compare | View::Acres | View::TrackRecord => false,
            _ => state.wide || state.linked_view() == View::Variety,
        },
        chosen: state.looked,
        ask: Ask {
            grazing: state.sheet == Some(Sheet::Grazing),
            side_by_side: view == View::Compare,
            lever: state.lever.clone().filter(|_| view == View::Compare),
            acres: view == View::Acres,
            change: state.change_shown && view == View::Odds,
        },
    }
}

/// Escape closes the sheet through the state, so that history and state agree.
fn cancel(send: &Callback<Msg>) -> Callback<Event> {
    let send = send.clone();
    Callback::from(move |event: Event| {
        event.prevent_default();
        send.emit(Msg::CloseSheet);
    })
}

/// A tap beside the sheet closes it: only there is the dialog itself the target.
fn beside(send: &Callback<Msg>) -> Callback<MouseEvent> {
    let send = send.clone();
    Callback::from(move |event: MouseEvent| {
        if event.target_dyn_into::<HtmlDialogElement>().is_some() {
            send.emit(Msg::CloseSheet);
        }
    })
}

/// What has to happen in the browser when the state has changed.
#[hook]
fn use_followed(
    browser: &Rc<Browser>,
    knowledge: &Rc<Knowledge>,
    state: &UseReducerHandle<State>,
    dialog: &NodeRef,
) {
    use_effect_with(state.night, {
        let browser = browser.clone();
        move |night| browser.night(*night)
    });
    use_effect_with(state.language, {
        let browser = browser.clone();
        move |language| browser.lang(language.tag())
    });
    use_effect_with(state.water_unit, {
        let browser = browser.clone();
        move |unit: &Option<WaterUnit>| {
            if let Some(unit) = unit {
                browser.keep_word(WATER_UNIT, unit.symbol());
            }
        }
    });
    let last_sheet = use_mut_ref(|| None::<Sheet>);
    let sheet_view = use_mut_ref(|| state.settings.view);
    use_effect_with((state.sheet, state.settings.view), {
        let (browser, dialog) = (browser.clone(), dialog.clone());
        move |(sheet, view): &(Option<Sheet>, View)| {
            let view_changed = sheet_view.replace(*view) != *view;
            let had = last_sheet.replace(*sheet);
            match (had, sheet) {
                (None, Some(_)) => browser.sheet_opened(),
                (Some(_), None) if !view_changed => browser.sheet_closed(),
                _ => {}
            }
            if let Some(dialog) = dialog.cast::<HtmlDialogElement>() {
                match sheet {
                    Some(_) if had != *sheet => browser.show_dialog(&dialog),
                    Some(_) => {}
                    None => browser.close_dialog(&dialog),
                }
            }
        }
    });
    let wide = state.wide;
    let last = use_mut_ref(|| state.settings.clone());
    use_effect_with(state.settings.clone(), {
        let (browser, link) = (browser.clone(), knowledge.link(&state.settings));
        move |settings| {
            let before = last.replace(settings.clone());
            let moved = before.view != settings.view;
            browser.keep(link, if moved { Entry::Push } else { Entry::Replace });
            let alone = |view: View| !wide || matches!(view, View::Handout | View::Prepare);
            if moved {
                match (before.view, settings.view) {
                    (View::Variety, View::Odds) if alone(View::Variety) => {
                        browser.return_to_list(&row_id(before.variety.as_deref().unwrap_or_default()));
                    }
                    (left, View::Odds) if alone(left) => browser.return_to_list(&way_id(left)),
                    (left, view) if alone(view) || alone(left) => browser.to_top(),
                    _ => {}
                }
            }
        }
    });
}

/// Does what only the browser can do, and tells the state how it went.
fn acts(knowledge: Rc<Knowledge>, browser: Rc<Browser>, send: Callback<Msg>) -> Callback<Act> {
    Callback::from(move |act| match act {
        Act::Copy(text) => {
            let sent = |worked| Msg::Sent(if worked { Sent::Copied } else { Sent::Refused });
            browser.copy(text, send.reform(sent));
        }
        Act::Save(name, kind, text) => browser.save(&name, kind, &text),
        Act::SavePng(name, svg) => browser.save_as_png(&name, &svg),
        Act::Print => browser.print(),
        Act::Speak(language) => {
            browser.keep_word(LANGUAGE, language.tag());
            send.emit(Msg::Speak(language));
        }
        Act::TakeNewer => browser.take_newer(),
        Act::Send(text) => browser.send(&knowledge.network().info.name, &text),
        Act::Forget => {
            browser.forget();
            send.emit(Msg::StartAgain(Box::new(knowledge.defaults().clone())));
        }
        Act::CheckTrackRecord => {
            send.emit(Msg::TrackAsked);
            let request = track_record_request(&Browser::pack_text().unwrap_or_default());
            browser.job(request, send.reform(|answer: String| Msg::TrackCame(track_record_answer(&answer))));
        }
    })
}
