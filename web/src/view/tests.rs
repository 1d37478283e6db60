//! Every view rendered to text on the server, and read as a grower reads it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

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

fn wait<T>(future: impl Future<Output = T>) -> T {
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
    change: Change,
}

impl PartialEq for CaseProps {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::fn_addr_eq(self.change, other.change)
    }
}

/// The page and its open sheet, as `change` has made them.
#[component]
fn Case(props: &CaseProps) -> Html {
    let CaseProps { change } = props;
    let (mut state, mut answer) = (State::opening(sample::settings()), sample::answer());
    let (mut network, mut surroundings) = (sample::network(), Surroundings::default());
    change(&mut state, &mut answer, &mut network, &mut surroundings);
    let view = Page {
        state: &state,
        network: &network,
        answer: &answer,
        surroundings: &surroundings,
        words: catalogue("en"),
        send: &Callback::noop(),
        act: &Callback::noop(),
    };
    html! { <>{ page(&view) }{ sheet::sheet(&view) }</> }
}

fn html_of(change: Change) -> String {
    wait(ServerRenderer::<Case>::with_props(move || CaseProps { change }).hydratable(false).render())
}

/// The text of a page without its tags, white space folded; titles of pictures count as text.
fn text_of(html: &str) -> String {
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
    let text = text.replace("&#x27;", "'").replace('\u{a0}', " ").replace("&amp;", "&");
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

#[test]
fn the_sentence_says_every_setting() {
    check(
        |_, _, _, _| {},
        &[
            "On dryland ground near First Hill, where I usually make about 34 bu/ac and grow Ambra05, if the year turns out \
         dry with diseases as they come, at $5.80 a bushel and $165 an acre, show first the one that leaves most after costs.",
        ],
    );
    check(
        |state, answer, _, _| {
            state.settings.water = WaterOutlook::Thirds(50, 30, 20);
            state.settings.site = None;
            state.settings.mine = None;
            table(answer).field.usual_given = true;
        },
        &[
            "On dryland ground near no trial site, where I usually make 33.7 bu/ac and grow (name it), if the odds for the \
           year lean dry with diseases as they come, at",
        ],
    );
}

#[test]
fn a_network_with_one_system_and_no_water_asks_for_neither() {
    let text = text(|_, answer, network, _| {
        network.trials.retain(|t| t.system == "dryland");
        table(answer).outlook.source = ClimateSource::None;
    });
    assert!(text.contains("On ground near First Hill"), "{text}");
    assert!(!text.contains("turns out"), "{text}");
}

#[test]
fn a_row_says_both_sides_of_the_odds() {
    check(
        |_, _, _, _| {},
        &[
            "20 dry years, each as likely. Not past years, not a weather forecast.",
            "loses money in 5 of 20 years, not in 15",
            "averages 33; 4 years in 5 between 25 and 41",
            "6 seasons, 31 trials, 9 of them dry",
            "beats yours in 13 of 20",
            "break-even 28.4",
        ],
    );
}

#[test]
fn the_list_is_folded_with_mine_first_and_one_group() {
    let folded = text(|_, _, _, _| {});
    let place = |words: &str| folded.find(words).unwrap_or_else(|| panic!("no “{words}” in:\n{folded}"));
    assert!(place("Yours") < place("Too close to call: the first 9 of 10"));
    assert_eq!(folded.matches("Too close to call").count(), 1);
    assert!(place("show the other 27") < place("find a variety"));
    assert!(!folded.contains("Ambra11"));
    let all = text(|state, _, _, _| state.all_shown = true);
    for k in 1..=36 {
        let name = format!(" Ambra{k:02} ");
        assert!(all.contains(&name), "no {name} in:\n{all}");
    }
}

#[test]
fn what_cannot_be_sown_stands_apart_under_its_own_heading() {
    let text = text(|state, answer, _, _| {
        state.all_shown = true;
        let untried = &mut table(answer).varieties[11];
        untried.standing =
            Standing { state: StandingState::New, seasons: 0, trials: 0, trials_like_this: 0, last: None };
        table(answer).varieties[13].standing.state = StandingState::NoLongerTested;
    });
    let place = |words: &str| text.find(words).unwrap_or_else(|| panic!("no “{words}” in:\n{text}"));
    assert!(place("The other 25, in the same order") < place("Ambra36"));
    assert!(place("Ambra36") < place("Never tested on dryland ground"));
    assert!(place("Never tested on dryland ground") < place("Ambra12"));
    assert!(place("Ambra12") < place("No longer tested Worked out"));
    assert!(place("No longer tested Worked out") < place("Ambra14"));
}

#[test]
fn new_lapsed_and_untried_varieties_say_so() {
    check(
        |_, _, _, _| {},
        &[
            "Ambra03 new beats yours",
            "1 season, 1 trial: never tested in a year this dry: worked out from its other years",
            "no longer tested, last 2019",
        ],
    );
}

#[test]
fn without_money_short_means_short_of_a_yield() {
    check(
        |state, answer, _, _| {
            (state.settings.price, state.settings.cost) = (None, None);
            table(answer).break_even = BreakEven::Target(30.0);
            table(answer).varieties.iter_mut().for_each(|row| row.break_even = Some(30.0));
        },
        &[
            "falls short of 30 bu/ac in",
            "short below 30",
            "at no price and no cost, show first the one that yields most on average",
        ],
    );
}

#[test]
fn the_foot_says_where_it_comes_from_and_what_it_is_not() {
    check(
        |_, _, _, _| {},
        &[
            "Where this comes from",
            "16 trials of winter wheat, 2017 to 2024; data of 28 July 2025.",
            "45 seasons, 1981 to 2025",
            "What diseases take is not known here",
            "not a guarantee",
            "a licensed adviser",
            "How often has this been right?",
        ],
    );
}

#[test]
fn the_track_record_shows_good_and_bad_seasons_of_the_system_alike() {
    check(
        |state, _, _, _| {
            let range = |season, system: &str, yields_held| TrialRange {
                season,
                system: system.into(),
                n: 100,
                held: 80,
                yields_held,
            };
            state.track = Track::Done(vec![
                range(2023, "dryland", 85),
                range(2024, "dryland", 41),
                range(2024, "other", 9),
            ]);
        },
        &["held in 126 of 200 results; 160 were promised", "2023 85 of 100", "2024 41 of 100: a bad season"],
    );
}

#[test]
fn the_detail_tells_the_evidence_and_the_long_run() {
    check(
        |state, _, _, _| state.settings.view = View::Variety,
        &[
            "Back to all varieties",
            "Well tested on dryland ground: 6 seasons, 31 trials, 9 of them dry; last in 2024.",
            "Cut it early.",
            "Average of the 4 worst years of 20: 24 bu/ac, a loss of $23 an acre",
            "Its seed price is not known: $21 an acre is counted, the average of the others.",
            "it makes 2.1 bu/ac more than the average of Ambra01 and Ambra07",
            "between 0.3 bu/ac less and 4.6 bu/ac more",
            "the trials cannot say which is better",
            "leaf rust about 12 %",
            "Hill mosaic resistance not known; 35 % is counted, as for the average variety Carried by the curl mite",
            "ask a licensed adviser",
            "2024 First Hill 9.5 31.2 1.4 worse",
            "Trials that do not count",
            "hail",
        ],
    );
}

#[test]
fn a_variety_is_held_against_the_others_and_itself() {
    check(
        |state, answer, _, _| {
            state.settings.view = View::Variety;
            table(answer).field.reference_set = vec!["V02".into(), "V01".into()];
        },
        &["more than the average of Ambra01 and itself"],
    );
    let alone = text(|state, answer, _, _| {
        state.settings.view = View::Variety;
        table(answer).field.reference_set = vec!["V02".into()];
    });
    assert!(!alone.contains("in the long run"), "{alone}");
}

#[test]
fn diseases_are_named_as_the_data_name_them() {
    check(
        |state, _, _, _| {
            let diseases = [("mosaic", Pressures::Severe), ("leaf-rust", Pressures::None)];
            state.settings.diseases = diseases.map(|(code, pressure)| (code.to_owned(), pressure)).into();
            state.sheet = Some(Sheet::Diseases);
        },
        &[
            "turns out dry with no leaf rust and severe Hill mosaic, at $5.80",
            "Leaf rust Severe, it takes about 28 % from a variety without resistance (from these trials; published: 30 %).",
            "(as published: too few trials here to tell)",
        ],
    );
}

#[test]
fn a_laptop_shows_list_and_detail_together() {
    check(|state, _, _, _| state.wide = true, &["find a variety", "Is it better in the long run?"]);
    let phone = text(|_, _, _, _| {});
    assert!(!phone.contains("long run"));
}

#[test]
fn what_is_sent_leaves_money_and_paths_out() {
    let sent: Change = |state, _, _, _| state.settings.view = View::Share;
    let html = html_of(sent);
    assert!(html.contains("value=\"#v=1&amp;pack=00000000"), "{html}");
    assert!(!html.contains("file:"), "{html}");
    let words = text_of(&html);
    assert!(words.contains("Nothing you type leaves this phone unless you send it."), "{words}");
    assert!(words.contains("opened from a file"), "{words}");
    assert!(!words.contains("165") && !words.contains("5.80"), "{words}");
    check(
        |state, _, _, surroundings| {
            state.settings.view = View::Share;
            state.share_money = true;
            state.sent = Some(Sent::Copied);
            surroundings.address = Some("https://trials.invalid/page".into());
        },
        &["at $5.80 a bushel and $165 an acre", "Copied."],
    );
}

#[test]
fn a_link_goes_out_on_the_address_of_the_page_or_of_its_home() {
    let at_home = html_of(|state, _, network, _| {
        state.settings.view = View::Share;
        network.info.home_url = "https://home.invalid/".into();
    });
    assert!(at_home.contains("value=\"https://home.invalid/#v=1&amp;"), "{at_home}");
    let hosted = html_of(|state, _, network, surroundings| {
        state.settings.view = View::Share;
        network.info.home_url = "https://home.invalid/".into();
        surroundings.address = Some("https://here.invalid/x".into());
    });
    assert!(hosted.contains("value=\"https://here.invalid/x#v=1&amp;"), "{hosted}");
}

#[test]
fn sheets_ask_for_one_thing_each() {
    check(
        |state, _, _, _| state.sheet = Some(Sheet::System),
        &["How is the ground farmed?", "full irrigation"],
    );
    check(
        |state, _, _, _| state.sheet = Some(Sheet::Site),
        &["Upper zone", "Second Hill", "elsewhere in Upper zone", "not near any of these"],
    );
    check(
        |state, _, _, _| state.sheet = Some(Sheet::Usual),
        &["over the last ten crops, failed ones counted as 0", "leave it to the trials"],
    );
    check(
        |state, _, _, _| state.sheet = Some(Sheet::Water),
        &["15 of 45 years here were this dry: 6.0 to 11.0 in", "2022: 7.1 in", "long water record"],
    );
    check(|state, _, _, _| state.sheet = Some(Sheet::Order), &["loses money least often", "worst years"]);
    let found = text(|state, _, _, _| {
        state.sheet = Some(Sheet::Find);
        state.search = "bra3".into();
    });
    let sheet = &found[found.rfind("Find a variety").unwrap()..];
    assert_eq!(sheet.matches("Ambra").count(), 7, "{sheet}");
}

#[test]
fn seed_is_asked_for_once() {
    check(|state, _, _, _| state.sheet = Some(Sheet::Cost), &["whatever it makes: seed, fertiliser"]);
    check(
        |state, _, network, _| {
            state.sheet = Some(Sheet::Cost);
            network.varieties[0].seed_cost = Some(20.0);
        },
        &["Not seed: its price is added variety by variety."],
    );
}

#[test]
fn an_unusable_number_says_what_to_do_and_what_is_shown() {
    check(
        |state, _, _, _| {
            state.sheet = Some(Sheet::Usual);
            state.draft = "3x".into();
        },
        &["Use digits only, as in 32 (bu/ac).", "Still showing the last number that could be used."],
    );
}

#[test]
fn a_bad_link_is_named() {
    check(
        |state, _, _, _| {
            state.notices = vec![LinkNotice::OutOfRange {
                key: "usual".into(),
                text: "-3".into(),
                low: 0.1,
                high: 400.0,
            }];
        },
        &["In the link, “usual” is -3, which is not from 0.1 to 400"],
    );
}

/// Every view that a grower can see, in one text.
fn everything() -> Vec<String> {
    let views: [Change; 6] = [
        |state, _, _, _| state.all_shown = true,
        |state, _, _, _| state.settings.view = View::Variety,
        |state, _, _, _| state.settings.view = View::Share,
        |state, _, _, _| (state.wide, state.night) = (true, true),
        |state, _, _, _| state.track = Track::Done(Vec::new()),
        |state, answer, _, _| {
            state.settings.water = WaterOutlook::DriestFifth;
            table(answer).break_even = BreakEven::NoSingleCrossing;
            table(answer).outlook.drier_than_harvested = true;
        },
    ];
    let sheets: [Change; 10] = [
        |state, _, _, _| state.sheet = Some(Sheet::Diseases),
        |state, _, _, _| state.sheet = Some(Sheet::System),
        |state, _, _, _| state.sheet = Some(Sheet::Site),
        |state, _, _, _| state.sheet = Some(Sheet::Usual),
        |state, _, _, _| state.sheet = Some(Sheet::Mine),
        |state, _, _, _| state.sheet = Some(Sheet::Water),
        |state, _, _, _| state.sheet = Some(Sheet::Price),
        |state, _, _, _| state.sheet = Some(Sheet::Cost),
        |state, _, _, _| state.sheet = Some(Sheet::Order),
        |state, _, _, _| state.sheet = Some(Sheet::Find),
    ];
    views.into_iter().chain(sheets).map(html_of).collect()
}

#[test]
fn no_view_speaks_like_a_statistician() {
    let banned = [
        "law",
        "laws",
        "pack",
        "packs",
        "fit",
        "fits",
        "fitted",
        "standing",
        "lapsed",
        "regret",
        "expected",
        "quantile",
        "quantiles",
        "environment",
        "blup",
    ];
    for html in everything() {
        let text = text_of(&html).to_lowercase();
        for word in text.split(|c: char| !c.is_alphanumeric()) {
            assert!(!banned.contains(&word), "“{word}” in:\n{text}");
        }
    }
}

#[test]
fn every_view_says_that_the_data_are_invented() {
    for html in everything() {
        assert!(html.contains("Invented data"), "{html}");
    }
}

#[test]
fn every_picture_has_role_title_description_and_no_style() {
    for html in everything() {
        assert!(!html.contains("style="), "{html}");
        for svg in html.split("<svg").skip(1) {
            let svg = &svg[..svg.find("</svg>").unwrap()];
            let decoration = svg.contains("aria-hidden=\"true\"");
            let described = svg.contains("role=\"img\"") && svg.contains("<title>") && svg.contains("<desc>");
            assert!(decoration || described, "{svg}");
        }
        if html.contains("role=\"img\"") {
            assert!(html.contains("<summary>the numbers</summary>"), "{html}");
        }
    }
}

#[test]
fn a_row_draws_two_paths_of_marks() {
    let html = html_of(|_, _, _, _| {});
    let row = html.split("<li class=\"row").nth(1).unwrap();
    let row = &row[..row.find("</li>").unwrap()];
    assert_eq!(row.matches("<path").count(), 3, "the marks that are short, the others, and the line: {row}");
}
