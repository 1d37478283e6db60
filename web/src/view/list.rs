//! The list: the sentence, what the marks mean, the axis, and the varieties in their order.
//!
//! Folded it shows the one grown now, then the first group (eight at most) under one heading. Unfolded it
//! keeps apart what cannot be sown by these trials: never tested in the system, or no longer tested.

use super::row::{Row, row_text, twenty_heading, twenty_numbers};
use super::{Page, change, line_button, sentence, source};
use crate::draw::axis::{Frame, WIDTH, WIDTH_WIDE, axis, frame};
use crate::draw::marks;
use crate::state::Sheet;
use crate::text::Label;
use crate::update::Msg;
use leanyear_engine::decide::{BreakEven, VarietyOdds};
use leanyear_engine::link::Order;
use yew::prelude::*;

/// Most rows of the group that are shown before the list is unfolded.
pub const GROUP_SHOWN: usize = 8;

/// The rows of a list: the one grown now, the first group, the rest, and those apart.
pub struct Parts<'a> {
    /// The one grown now.
    pub mine: Option<&'a VarietyOdds>,
    /// The group too close to call, as far as it is shown.
    pub group: Vec<&'a VarietyOdds>,
    /// How many the group has in all, the one grown now included.
    pub group_size: usize,
    /// The rest of what was tested in this system, and lately.
    pub rest: Vec<&'a VarietyOdds>,
    /// Those that lack something they must have.
    pub lacking: Vec<&'a VarietyOdds>,
    /// Never tested in this system.
    pub untried: Vec<&'a VarietyOdds>,
    /// No longer tested.
    pub lapsed: Vec<&'a VarietyOdds>,
}

impl Parts<'_> {
    /// How many rows stand below the first group.
    fn below(&self) -> usize {
        self.rest.len() + self.lacking.len() + self.untried.len() + self.lapsed.len()
    }
}

/// Parts the table's rows; every row is in exactly one part.
pub fn parts<'a>(page: &Page<'a>) -> Parts<'a> {
    let rows = &page.answer.table.varieties;
    let mine = page.state.settings.mine.as_deref();
    let group_size = rows.iter().filter(|row| row.group).count();
    let (pinned, others): (Vec<_>, Vec<_>) = rows.iter().partition(|row| Some(row.variety.as_str()) == mine);
    let (lacking, others): (Vec<_>, Vec<_>) = others.into_iter().partition(|row| !row.fails.is_empty());
    let (mut group, others): (Vec<_>, Vec<_>) = others.into_iter().partition(|row| row.group);
    let (mut rest, apart): (Vec<_>, Vec<_>) = others.into_iter().partition(|row| row.standing.current());
    let (untried, lapsed) = apart.into_iter().partition(|row| row.standing.trials == 0);
    if group.len() > GROUP_SHOWN {
        let over = group.split_off(GROUP_SHOWN);
        rest.splice(0..0, over);
    }
    Parts { mine: pinned.first().copied(), group, group_size, rest, lacking, untried, lapsed }
}

/// The list view.
pub fn list(page: &Page) -> Html {
    let parts = parts(page);
    let frame = frame(&page.answer.table, page.lines(), if page.state.wide { WIDTH_WIDE } else { WIDTH });
    let units = page.units();
    let stale = page.state.draft_problem().is_some();
    html! {
        <>
            { sentence::sentence(page) }
            <section class={classes!("odds-list", stale.then_some("stale"))}>
                <p class="years">{ page.words.years_line(page.state.settings.water) }</p>
                { key(page) }
                { for remark_words(page).into_iter().map(|words| html! { <p class="remark">{words}</p> }) }
                <div class="sticky">{ axis(&frame, page.short(), &units).html("axis") }</div>
                { for parts.mine.map(|mine| html! {
                    <>
                        <h2>{ page.label(Label::Yours) }</h2>
                        { rows(page, &frame, &[mine]) }
                    </>
                }) }
                <h2>{ page.words.group_heading(parts.group_size, parts.group.len() + usize::from(parts.mine.is_some_and(|m| m.group))) }</h2>
                <p class="under-heading">{ page.words.group_line(parts.group_size) }</p>
                { least_often(page) }
                { rows(page, &frame, &parts.group) }
                { for (!parts.lacking.is_empty() && !page.state.all_shown).then(|| html! {
                    <p class="below-line">{ page.words.lacking_below(parts.lacking.len()) }</p>
                }) }
                { rest(page, &frame, &parts) }
                { change::change(page) }
                { numbers(page, &parts) }
            </section>
            { source::source(page) }
        </>
    }
}

fn rows(page: &Page, frame: &Frame, rows: &[&VarietyOdds]) -> Html {
    html! {
        <ul class="rows">
            { for rows.iter().map(|odds| html! {
                <Row key={odds.variety.clone()} text={row_text(page, frame, odds)} send={page.send.clone()} />
            }) }
        </ul>
    }
}

/// The marks of the rows that are shown, as numbers.
fn numbers(page: &Page, parts: &Parts) -> Html {
    let below = parts.rest.iter().chain(&parts.lacking).chain(&parts.untried).chain(&parts.lapsed);
    let below = below.take(if page.state.all_shown { usize::MAX } else { 0 });
    numbers_of(page, parts.mine.iter().chain(&parts.group).chain(below).copied())
}

/// The marks of some varieties, as numbers.
pub(super) fn numbers_of<'a>(page: &Page, shown: impl Iterator<Item = &'a VarietyOdds>) -> Html {
    let units = page.units();
    let heading = twenty_heading(page, page.answer.table.varieties.first());
    html! {
        <details>
            <summary>{ page.label(Label::Numbers) }</summary>
            <table class="figures">
                <thead><tr>
                    <th scope="col">{ page.label(Label::Variety) }</th>
                    <th scope="col">{heading}</th>
                </tr></thead>
                <tbody>
                    { for shown.map(|odds| html! {
                        <tr key={odds.variety.clone()}>
                            <th scope="row">{ page.network.variety_name(&odds.variety) }</th>
                            <td>{ twenty_numbers(odds, &units) }</td>
                        </tr>
                    }) }
                </tbody>
            </table>
        </details>
    }
}

fn rest(page: &Page, frame: &Frame, parts: &Parts) -> Html {
    let count = parts.below();
    let system = page.several_systems().then_some(page.state.settings.system.as_str());
    let find = line_button(
        page.tap(Msg::Open(Sheet::Find, String::new())),
        html! { {page.label(Label::FindVariety)} },
    );
    let all = page.state.all_shown;
    let settings = &page.state.settings;
    let money = (settings.price.is_some() && settings.cost.is_some()).then_some(settings.money_unit);
    html! {
        <>
            { for all.then(|| html! {
                <>
                    { part(page, frame, page.words.rest_heading(parts.rest.len()), "", &parts.rest) }
                    { part(page, frame, page.words.lacking_heading(parts.lacking.len()), page.words.lacking_line(), &parts.lacking) }
                    { part(page, frame, page.words.untried_heading(system), page.words.untried_line(), &parts.untried) }
                    { part(page, frame, page.words.lapsed_heading().to_owned(), page.words.lapsed_line(), &parts.lapsed) }
                </>
            }) }
            <p class="ways-on">
                { for (count > 0).then(|| line_button(
                    page.tap(Msg::ShowAll(!all)),
                    match all {
                        true => html! { {page.label(Label::ShowFewer)} },
                        false => html! { {page.words.show_rest(count)} },
                    },
                )) }
                { find }
                { line_button(page.tap(Msg::Compare(two(page, parts))), html! { {page.label(Label::CompareOpen)} }) }
                { line_button(page.tap(Msg::Acres), html! { {page.label(Label::AcresOpen)} }) }
                { for money.map(|axis| line_button(page.tap(Msg::MoneyAxis(!axis)), html! {
                    { page.label(if axis { Label::AxisYield } else { Label::AxisMoney }) }
                })) }
                { line_button(page.tap(Msg::Open(Sheet::Units, String::new())), html! { {page.label(Label::Units)} }) }
                { line_button(page.tap(Msg::Handout), html! { {page.label(Label::HandoutOpen)} }) }
            </p>
        </>
    }
}

/// The two that are put side by side when nobody chose yet: the one grown now and the first, or the first two;
/// those of the last time otherwise.
fn two(page: &Page, parts: &Parts) -> Vec<String> {
    let with = &page.state.settings.with;
    if with.len() > 1 {
        return with.clone();
    }
    let first = parts.mine.into_iter().chain(parts.group.iter().copied()).chain(parts.rest.iter().copied());
    first.take(2).map(|row| row.variety.clone()).collect()
}

/// Who is short least often, where the list is in another order: the question of a bad year.
fn least_often(page: &Page) -> Html {
    let named = page.answer.table.varieties.iter().filter(|row| row.nameable);
    let least = named.reduce(|a, b| if b.chance_short < a.chance_short { b } else { a });
    let Some(least) = least.filter(|_| page.state.settings.order != Order::ChanceShort) else {
        return html! {};
    };
    let name = page.network.variety_name(&least.variety);
    html! { <p class="under-heading">{ page.words.least_often(name, least.marks_short, page.short()) }</p> }
}

/// Rows under their own heading; nothing where there are none.
fn part(page: &Page, frame: &Frame, heading: String, line: &'static str, list: &[&VarietyOdds]) -> Html {
    if list.is_empty() {
        return html! {};
    }
    html! {
        <>
            <h2>{heading}</h2>
            { for (!line.is_empty()).then(|| html! { <p class="under-heading">{line}</p> }) }
            { rows(page, frame, list) }
        </>
    }
}

/// What each kind of mark means.
pub(super) fn key(page: &Page) -> Html {
    let units = page.units();
    let fine = marks::marks(&[6.0], 0, 0, &KEY).fine;
    let short = marks::marks(&[6.0], 0, 1, &KEY).short;
    let failed = marks::marks(&[6.0], 1, 1, &KEY).short;
    let not_cut = page.answer.table.varieties.iter().map(|row| row.failed_marks).max().unwrap_or(0);
    let sign = |class: &'static str, path: String| {
        html! {
            <svg class="sign" viewBox="0 7 12 16" aria-hidden="true"><path {class} d={path} /></svg>
        }
    };
    html! {
        <p class="key">
            <span>{ sign("fine", fine) }{ page.words.key_fine(page.short(), &units) }</span>
            <span>{ sign("short", short) }{ page.words.key_short(page.short(), &units) }</span>
            { for page.words.not_cut(not_cut).map(|words| html! { <span>{ sign("short", failed) }{words}</span> }) }
        </p>
    }
}

const KEY: crate::draw::Scale = crate::draw::Scale { low: 0.0, high: 12.0, from: 0.0, to: 12.0 };

/// What has to be said before the marks are read.
pub(super) fn remark_words(page: &Page) -> Vec<String> {
    let table = &page.answer.table;
    let money = match table.break_even {
        BreakEven::CostsMoreToHaul => Some(page.words.costs_more_to_haul(page.state.settings.unit)),
        BreakEven::NoSingleCrossing => Some(page.words.no_single_line().to_owned()),
        BreakEven::Yield(_) | BreakEven::Target(_) => None,
    };
    let dry = table.outlook.drier_than_harvested.then(|| page.words.drier_than_harvested().to_owned());
    let stale = page.state.draft_problem().map(|_| page.label(Label::Stale).to_owned());
    [money, dry, stale].into_iter().flatten().collect()
}
