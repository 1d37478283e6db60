//! Two to four varieties side by side: their twenty years on one axis, who wins how often and by how much,
//! what would turn it round, and what each loses to each disease.

use super::row::{row_text, strip, tested, twenty_heading, twenty_numbers};
use super::sentence::{assumptions, trait_label};
use super::{Page, line_button, view_head};
use crate::derive::Moved;
use crate::draw::axis::{WIDTH, WIDTH_WIDE, axis, frame};
use crate::draw::moved::{INKS, MovedPicture, moved};
use crate::state::Sheet;
use crate::text::Label;
use crate::update::Msg;
use leanyear_engine::decide::VarietyOdds;
use leanyear_engine::decide::compare::{Compared, Comparison, Pair};
use leanyear_engine::decide::tipping::{Lever, TippingPoint};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Most side by side.
pub const MOST: usize = leanyear_engine::decide::compare::MOST_SIDE_BY_SIDE;

/// Steps of the slider.
const STEPS: f64 = 100.0;

/// The view.
pub fn compare(page: &Page) -> Html {
    let rows: Vec<&VarietyOdds> =
        page.state.settings.with.iter().filter_map(|code| page.odds(code)).take(MOST).collect();
    let found = page.answer.extras.comparison.as_deref().filter(|found| found.varieties.len() > 1);
    html! {
        <article class="detail">
            { view_head(page, page.label(Label::CompareHeading)) }
            { assumptions(page) }
            <p class="ways-on first">
                { line_button(page.tap(Msg::Open(Sheet::Beside, String::new())), html! { {page.label(Label::ChooseOthers)} }) }
            </p>
            { for found.is_none().then(|| html! { <p>{ page.label(Label::ChooseTwo) }</p> }) }
            { twenties(page, &rows) }
            { for found.map(|found| html! {
                <>
                    { duels(page, found) }
                    { turning(page, found) }
                    { losses(page, found) }
                </>
            }) }
        </article>
    }
}

fn name<'a>(page: &Page<'a>, code: &'a str) -> &'a str {
    page.network.variety_name(code)
}

/// The twenty years of each on one axis, and as numbers.
fn twenties(page: &Page, rows: &[&VarietyOdds]) -> Html {
    if rows.is_empty() {
        return html! {};
    }
    // The line is that of these varieties: others may have dearer seed.
    let lines = rows.iter().filter_map(|row| row.break_even).fold(None, |ends: Option<(f64, f64)>, line| {
        let (low, high) = ends.unwrap_or((line, line));
        Some((low.min(line), high.max(line)))
    });
    let frame = frame(&page.answer.table, lines, if page.state.wide { WIDTH_WIDE } else { WIDTH });
    html! {
        <section>
            <h3>{ page.label(Label::MarksHeading) }</h3>
            <p class="years">{ page.words.years_line(page.state.settings.water) }</p>
            { super::list::key(page) }
            { axis(&frame, page.short(), &page.units()).html("axis") }
            <ul class="rows">
                { for rows.iter().map(|odds| {
                    let text = row_text(page, &frame, odds);
                    html! {
                        <li class="beside-row" key={text.code.clone()}>
                            <p class="name">
                                <strong>{ &text.name }</strong>
                                { for text.new.iter().map(|new| html! { <span class="state">{new}</span> }) }
                            </p>
                            { strip(&text.marks, &text.picture, text.width, text.line.as_deref()) }
                            <p class="odds">{ &text.odds }</p>
                            <p>{ &text.averages }</p>
                            { tested(&text) }
                        </li>
                    }
                }) }
            </ul>
            <details>
                <summary>{ page.label(Label::Numbers) }</summary>
                <table class="figures">
                    <thead><tr>
                        <th scope="col">{ page.label(Label::Variety) }</th>
                        <th scope="col">{ twenty_heading(page, rows.first().copied()) }</th>
                    </tr></thead>
                    <tbody>
                        { for rows.iter().map(|odds| html! {
                            <tr>
                                <th scope="row">{ name(page, &odds.variety) }</th>
                                <td>{ twenty_numbers(odds, &page.units()) }</td>
                            </tr>
                        }) }
                    </tbody>
                </table>
            </details>
        </section>
    }
}

/// Who wins, pair by pair.
fn duels(page: &Page, found: &Comparison) -> Html {
    html! {
        <section>
            <h3>{ page.label(Label::WhoWins) }</h3>
            { for found.pairs.iter().map(|pair| duel(page, pair, found.in_money, found.pairs.len() == 1)) }
            { for never_met(page, found).map(|words| html! { <p class="spaced">{words}</p> }) }
            <p class="hint spaced">{ page.label(Label::FiveYears) }</p>
        </section>
    }
}

/// Each of them with those before it that no chain of trials joins it to.
fn never_met<'a>(page: &'a Page, found: &'a Comparison) -> impl Iterator<Item = String> + 'a {
    let codes: Vec<&str> = found.varieties.iter().map(|v| v.variety.as_str()).collect();
    (1..codes.len()).filter_map(move |k| {
        let met = |other: &str| found.pairs.iter().any(|pair| pair.a == other && pair.b == codes[k]);
        let others = codes[..k].iter().filter(|other| !met(other));
        let others: Vec<String> = others.map(|other| name(page, other).to_owned()).collect();
        (!others.is_empty()).then(|| page.words.never_met(name(page, codes[k]), &others))
    })
}

/// One pair; with more of them, only who wins how often and by how much.
fn duel(page: &Page, pair: &Pair, money: bool, full: bool) -> Html {
    let units = page.units();
    let names = (name(page, &pair.a), name(page, &pair.b));
    html! {
        <div class="spaced">
            <p class="odds">{ page.words.duel(names, &pair.one_season, money, &units) }</p>
            { for full.then(|| html! { <p class="tight">{ page.words.duel_difference(names, &pair.one_season, money, &units) }</p> }) }
            <p class="tight">{ page.words.duel_five(names, &pair.five_seasons, money, &units) }</p>
        </div>
    }
}

/// In the detail: the variety against the one grown now.
pub(super) fn against_mine(page: &Page) -> Html {
    let money = page.answer.table.varieties.iter().any(|row| row.net.is_some());
    let body = match page.answer.extras.against_mine.as_ref() {
        Some(pair) => html! { <>
            { duel(page, pair, money, true) }
            <p class="hint">{ page.label(Label::FiveYears) }</p>
        </> },
        None => match apart_from_mine(page) {
            Some(words) => html! { <p>{words}</p> },
            None => return html! {},
        },
    };
    html! { <section><h3>{ page.label(Label::AgainstMine) }</h3>{ body }</section> }
}

/// That no chain of trials joins the variety looked at to the one grown now, where there is another.
fn apart_from_mine(page: &Page) -> Option<String> {
    let looked_at = &page.answer.detail.as_ref()?.variety;
    let mine = page.state.settings.mine.as_ref().filter(|mine| *mine != looked_at)?;
    page.odds(mine)?;
    Some(page.words.never_met(name(page, looked_at), &[name(page, mine).to_owned()]))
}

/// What is moved: its choice, the picture, the slider, what each comes to there, where each two change places.
fn turning(page: &Page, found: &Comparison) -> Html {
    let Some(shown) = page.answer.extras.moved.as_ref() else { return html! {} };
    let mut levers: Vec<&Lever> = Vec::new();
    for point in &found.tipping {
        if !levers.contains(&&point.lever) {
            levers.push(&point.lever);
        }
    }
    // Of several pairs only those are told that change places so that one can count on it.
    let several = found.pairs.len() > 1;
    let points = found.tipping.iter().filter(|p| p.lever == shown.lever && (!several || p.counts()));
    html! {
        <section class="turning">
            <h3>{ page.label(Label::TurnHeading) }</h3>
            <p>{ page.label(Label::TurnIntro) }</p>
            <div class="strikes levers">
                <div>
                    { for levers.into_iter().map(|lever| html! {
                        <button aria-pressed={(*lever == shown.lever).to_string()}
                            onclick={page.tap(Msg::Move(lever.clone(), None))}>
                            { page.words.lever(lever, &lever_label(page, lever)) }
                        </button>
                    }) }
                </div>
            </div>
            { picture(page, found, shown) }
            { slider(page, shown) }
            { there(page, found, shown) }
            { for points.map(|point| html! { <p class="spaced">{ tipping(page, point) }</p> }) }
            { numbers(page, found, shown) }
            { for (!several).then(|| others(page, found, shown)) }
        </section>
    }
}

/// Name of the disease that is moved; nothing for other levers.
pub(super) fn lever_label(page: &Page, lever: &Lever) -> String {
    match lever {
        Lever::Disease(code) => trait_label(page, code),
        _ => String::new(),
    }
}

fn tipping(page: &Page, point: &TippingPoint) -> String {
    let names = (name(page, &point.a), name(page, &point.b));
    let label = lever_label(page, &point.lever);
    super::detail::capital(&page.words.tipping(names, point, &label, &page.units()))
}

fn names(page: &Page, found: &Comparison) -> Vec<String> {
    found.varieties.iter().map(|v| name(page, &v.variety).to_owned()).collect()
}

fn picture(page: &Page, found: &Comparison, shown: &Moved) -> Html {
    let units = page.units();
    let names = names(page, found);
    let lever = page.words.lever(&shown.lever, &lever_label(page, &shown.lever));
    let value = |value: f64| page.words.lever_value(&shown.lever, value, &units);
    let mut counted = found.tipping.iter().filter(|p| p.lever == shown.lever && p.counts());
    let picture = MovedPicture {
        curves: &shown.curves,
        names: &names,
        at: shown.at,
        set: counted.next().and_then(|p| p.set80).filter(|_| found.varieties.len() == 2),
        ends: (value(shown.range.0), value(shown.range.1)),
        unit: match found.in_money {
            true => page.words.money_axis(&units),
            false => page.words.yield_unit(units.yield_unit).to_owned(),
        },
        words: page.words.moved_picture(&names, &lever, found.in_money, &units),
        width: if page.state.wide { WIDTH_WIDE } else { WIDTH },
    };
    html! { { moved(&picture, |tick| units.plain(tick)).html("moved") } }
}

/// The line to drag: a slider, so that a finger and the arrow keys both move it.
fn slider(page: &Page, shown: &Moved) -> Html {
    let (low, high) = shown.range;
    let span = (high - low).max(f64::MIN_POSITIVE);
    let (send, lever) = (page.send.clone(), shown.lever.clone());
    let oninput = Callback::from(move |event: InputEvent| {
        let step = event.target_unchecked_into::<HtmlInputElement>().value_as_number();
        send.emit(Msg::Move(lever.clone(), Some(low + span * step / STEPS)));
    });
    let label = lever_label(page, &shown.lever);
    let words = page.words.lever(&shown.lever, &label);
    html! {
        <input class="slider" type="range" min="0" max={STEPS.to_string()} step="1" aria-label={words}
            aria-valuetext={page.words.lever_value(&shown.lever, shown.at, &page.units())}
            value={((shown.at - low) / span * STEPS).round().to_string()} {oninput} />
    }
}

/// What each comes to where the line stands, the one ahead first.
fn there(page: &Page, found: &Comparison, shown: &Moved) -> Html {
    let units = page.units();
    let label = lever_label(page, &shown.lever);
    // A handful: whoever has more than k others stands behind k of them.
    let behind = |k: usize| {
        let ahead =
            |j: &usize| shown.there[*j] > shown.there[k] || (shown.there[*j] == shown.there[k] && *j < k);
        (0..shown.there.len()).filter(ahead).count()
    };
    let count = shown.there.len();
    let order = (0..count).filter_map(|place| (0..count).find(|k| behind(*k) == place));
    html! {
        <>
            <p class="odds" role="status">{ page.words.there(&shown.lever, &label, shown.at, &units) }</p>
            <table class="figures sum">
                <tbody>
                    { for order.filter_map(|k| Some((k, found.varieties.get(k)?))).map(|(k, v)| html! {
                        <tr>
                            <th scope="row">{ sample(k) }{ name(page, &v.variety) }</th>
                            <td>{ page.words.amount(shown.there[k], found.in_money, &units) }</td>
                        </tr>
                    }) }
                </tbody>
            </table>
        </>
    }
}

/// The line of a variety as it is drawn in the picture.
fn sample(k: usize) -> Html {
    let class = INKS[k.min(MOST - 1)].class();
    html! { <svg class="dash sized" viewBox="0 0 34 8" aria-hidden="true"><path {class} d="M0 4H34" /></svg> }
}

/// The picture as a table.
fn numbers(page: &Page, found: &Comparison, shown: &Moved) -> Html {
    let units = page.units();
    let lever = page.words.lever(&shown.lever, &lever_label(page, &shown.lever));
    let digits = |value: f64| match found.in_money {
        true => units.fixed(value, 0),
        false => units.yield_fine(value),
    };
    html! {
        <details>
            <summary>{ page.label(Label::Numbers) }</summary>
            <table class="figures even">
                <caption class="quiet">{ page.words.amounts(found.in_money, &units) }</caption>
                <thead><tr>
                    <th scope="col">{lever}</th>
                    { for names(page, found).into_iter().map(|name| html! { <th scope="col">{name}</th> }) }
                </tr></thead>
                <tbody>
                    { for shown.curves.iter().step_by(2).map(|(value, averages)| html! {
                        <tr>
                            <th scope="row">{ page.words.lever_value(&shown.lever, *value, &units) }</th>
                            { for averages.iter().map(|average| html! { <td>{ digits(*average) }</td> }) }
                        </tr>
                    }) }
                </tbody>
            </table>
        </details>
    }
}

/// Where they change places by everything else: only what can be counted on, and that the rest does not.
fn others(page: &Page, found: &Comparison, shown: &Moved) -> Html {
    let counted = found.tipping.iter().filter(|p| p.lever != shown.lever && p.counts());
    html! { { for counted.map(|point| html! { <p class="spaced">{ tipping(page, point) }</p> }) } }
}

/// What each loses to each disease and pest: two in columns, more under each other, so that no name is broken.
fn losses(page: &Page, found: &Comparison) -> Html {
    let Some(first) = found.varieties.first().filter(|v| !v.losses.is_empty()) else { return html! {} };
    let units = page.units();
    let columns = found.varieties.len() == 2;
    let lost = |v: &Compared, k: usize| v.losses.get(k).map(|loss| page.words.threat_takes(loss, &units));
    let stacked = |k: usize| {
        let line = |v: &Compared| html! { <div>{ name(page, &v.variety) }{" "}{ lost(v, k) }</div> };
        html! { <td>{ for found.varieties.iter().map(line) }</td> }
    };
    html! {
        <section>
            <h3>{ page.label(Label::LossesBeside) }</h3>
            <table class="figures">
                <caption class="quiet">{ page.words.threats_hold(&units) }</caption>
                { for columns.then(|| html! {
                    <thead><tr>
                        <td></td>
                        { for names(page, found).into_iter().map(|name| html! { <th scope="col">{name}</th> }) }
                    </tr></thead>
                }) }
                <tbody>
                    { for first.losses.iter().enumerate().map(|(k, loss)| html! {
                        <tr>
                            <th scope="row">{ trait_label(page, &loss.trait_) }</th>
                            { if columns {
                                html! { { for found.varieties.iter().map(|v| html! { <td>{ lost(v, k) }</td> }) } }
                            } else {
                                stacked(k)
                            } }
                        </tr>
                    }) }
                </tbody>
            </table>
            <p class="hint">{ page.words.disease_caution() }</p>
        </section>
    }
}
