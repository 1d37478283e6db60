//! The list: the sentence, what the marks mean, the axis, and the varieties in their order.
//!
//! Folded it shows the one grown now, then the first group (eight at most) under one heading. Unfolded it
//! keeps apart what cannot be sown by these trials: never tested in the system, or no longer tested.

use super::detail::capital;
use super::row::{Row, row_text, twenty_heading, twenty_numbers};
use super::{Page, change, line_button, sentence, source, way_to};
use crate::draw::axis::{Frame, WIDTH, WIDTH_WIDE, axis, frame};
use crate::draw::marks;
use crate::entry::Entry;
use crate::state::{Meant, Sheet, Unused};
use crate::text::Label;
use crate::update::Msg;
use leanyear_engine::decide::{BreakEven, Missing, StandingState, VarietyOdds};
use leanyear_engine::link::{Order, View, WaterOutlook};
use yew::prelude::*;

/// Most rows of the group that are shown before the list is unfolded.
pub const GROUP_SHOWN: usize = 8;

/// Varieties parted by what may be said of them, each part in the order of the table.
pub struct Sections<'a> {
    /// The group too close to call.
    pub group: Vec<&'a VarietyOdds>,
    /// The rest of what was tested in this system, and lately.
    pub rest: Vec<&'a VarietyOdds>,
    /// Those that lack something they must have.
    pub lacking: Vec<&'a VarietyOdds>,
    /// Never tested in this system.
    pub untried: Vec<&'a VarietyOdds>,
    /// No longer tested.
    pub lapsed: Vec<&'a VarietyOdds>,
}

impl<'a> Sections<'a> {
    /// Parts rows; every row is in exactly one part.
    pub fn of(rows: impl Iterator<Item = &'a VarietyOdds>) -> Self {
        let (lacking, others): (Vec<_>, Vec<_>) = rows.partition(|row| !row.fails.is_empty());
        let (group, others): (Vec<_>, Vec<_>) = others.into_iter().partition(|row| row.group);
        let (rest, apart): (Vec<_>, Vec<_>) = others.into_iter().partition(|row| row.standing.current());
        let (untried, lapsed) = apart.into_iter().partition(|row| row.standing.trials == 0);
        Sections { group, rest, lacking, untried, lapsed }
    }

    /// Those that stand below the others whatever their numbers: nothing puts them in an order with those above.
    pub fn below(&self) -> impl Iterator<Item = &'a VarietyOdds> {
        self.lacking.iter().chain(&self.untried).chain(&self.lapsed).copied()
    }
}

/// The rows of a list: the one grown now, and the others in their parts.
pub struct Parts<'a> {
    /// The one grown now.
    pub mine: Option<&'a VarietyOdds>,
    /// How many the group too close to call has in all, the one grown now included.
    pub group_size: usize,
    /// How many of the group are shown while the list is folded.
    folded_to: usize,
    /// All but the one grown now.
    pub others: Sections<'a>,
}

impl<'a> Parts<'a> {
    /// The rows of the group that are shown under its heading.
    pub fn group_shown(&self, unfolded: bool) -> &[&'a VarietyOdds] {
        let shown = if unfolded { self.others.group.len() } else { self.folded_to };
        &self.others.group[..shown]
    }

    /// The group as far as it is shown before the list is unfolded.
    pub fn top(&self) -> impl Iterator<Item = &'a VarietyOdds> {
        self.mine.into_iter().chain(self.others.group.iter().take(self.folded_to).copied())
    }

    /// How many rows the fold hides.
    fn hidden(&self) -> usize {
        self.others.group.len() - self.folded_to + self.others.rest.len() + self.others.below().count()
    }
}

/// Parts the table's rows; every row is in exactly one part.
pub fn parts<'a>(page: &Page<'a>) -> Parts<'a> {
    let rows = &page.answer.table.varieties;
    let mine = page.state.settings.mine.as_deref();
    let is_mine = |row: &&VarietyOdds| Some(row.variety.as_str()) == mine;
    let others = Sections::of(rows.iter().filter(|row| !is_mine(row)));
    Parts {
        mine: rows.iter().find(is_mine),
        group_size: rows.iter().filter(|row| row.group).count(),
        folded_to: others.group.len().min(GROUP_SHOWN),
        others,
    }
}

/// The list view.
pub fn list(page: &Page) -> Html {
    let parts = parts(page);
    let frame = frame(&page.answer.table, page.lines(), if page.state.wide { WIDTH_WIDE } else { WIDTH });
    let units = page.units();
    let stale = page.state.draft_problem().is_some();
    let group = parts.group_shown(page.state.all_shown);
    let least = least(page);
    let first = group.first().map(|row| &row.variety);
    let least_first = matches!(least.as_slice(), [only] if Some(&only.variety) == first);
    let shown = group.len() + usize::from(parts.mine.is_some_and(|mine| mine.group));
    html! {
        <>
            { sentence::sentence(page) }
            // Always there, so that the sentence above it is never made anew and keeps the focus.
            <div>{ for unused(page).into_iter().map(|words| html! { <p class="remark" role="status">{words}</p> }) }</div>
            <section class={classes!("odds-list", stale.then_some("stale"))}>
                <p class="years">{ page.words.years_line(page.state.settings.water) }</p>
                { key(page) }
                // Each part that may be missing has a place of its own, so that none makes its neighbours anew.
                <>{ for remark_words(page).into_iter().map(|words| html! { <p class="remark">{words}</p> }) }</>
                <div class="sticky">{ axis(&frame, page.short(), &units).html("axis") }</div>
                <>{ for parts.mine.map(|mine| html! {
                    <>
                        <h2>{ page.label(Label::Yours) }</h2>
                        { rows(page, &frame, &[mine]) }
                    </>
                }) }</>
                <h2>{ page.words.group_heading(parts.group_size, shown) }</h2>
                <p class="under-heading">{ page.words.group_line(parts.group_size, page.asks_needs()) }</p>
                // Over the rows, unless it is the first of them.
                <>{ for (!least_first).then(|| least_often(page, &least, false)) }</>
                { rows(page, &frame, group) }
                <>{ for least_first.then(|| least_often(page, &least, true)) }</>
                <>{ for (!parts.others.lacking.is_empty() && !page.state.all_shown).then(|| html! {
                    <p class="below-line">{ page.words.lacking_below(parts.others.lacking.len()) }</p>
                }) }</>
                { rest(page, &frame, &parts) }
                { change::change(page) }
                { numbers(page, &parts) }
            </section>
            { source::source(page) }
        </>
    }
}

/// What was typed and could not be used.
fn unused(page: &Page) -> Vec<String> {
    let units = page.units();
    let of = |unused: &Unused| {
        let (what, problem) = match &unused.meant {
            Meant::Sheet(sheet, quantity) => (
                page.words.sheet_title(*sheet, &units),
                page.words.number_problem(*quantity, unused.problem, &units),
            ),
            Meant::Entry(Entry::Acres(code)) => {
                (page.network.variety_name(code).to_owned(), page.words.entry_problem(unused.problem, &units))
            }
            Meant::Entry(entry) => {
                (page.words.entry(entry, "", &units).0, page.words.entry_problem(unused.problem, &units))
            }
        };
        page.words.unused(&capital(&what), &unused.text, &problem)
    };
    page.state.unused.iter().map(of).collect()
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
    let all = page.state.all_shown;
    let others = &parts.others;
    let hidden = others.rest.iter().copied().chain(others.below()).take(if all { usize::MAX } else { 0 });
    numbers_of(page, parts.mine.into_iter().chain(parts.group_shown(all).iter().copied()).chain(hidden))
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
    let count = parts.hidden();
    let others = &parts.others;
    let system = page.several_systems().then_some(page.state.settings.system.as_str());
    let find = line_button(
        page.tap(Msg::Open(Sheet::Find, String::new())),
        html! { {page.label(Label::FindVariety)} },
    );
    let all = page.state.all_shown;
    let settings = &page.state.settings;
    let money = settings.counts_money().then_some(settings.money_unit);
    html! {
        <>
            { for all.then(|| html! {
                <>
                    { part(page, frame, page.words.rest_heading(others.rest.len()), "", &others.rest) }
                    { part(page, frame, page.words.lacking_heading(others.lacking.len()), page.words.lacking_line(), &others.lacking) }
                    { part(page, frame, page.words.untried_heading(system), page.words.untried_line(), &others.untried) }
                    { part(page, frame, page.words.lapsed_heading().to_owned(), page.words.lapsed_line(), &others.lapsed) }
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
                { way_to(page, View::Compare, Msg::Compare(two(page, parts)), page.label(Label::CompareOpen)) }
                { way_to(page, View::Acres, Msg::Acres, page.label(Label::AcresOpen)) }
                { for money.map(|axis| line_button(page.tap(Msg::MoneyAxis(!axis)), html! {
                    { page.label(if axis { Label::AxisYield } else { Label::AxisMoney }) }
                })) }
                { line_button(page.tap(Msg::Open(Sheet::Units, String::new())), html! { {page.label(Label::Units)} }) }
                { way_to(page, View::Handout, Msg::Handout, page.label(Label::HandoutOpen)) }
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
    let first = parts.mine.into_iter().chain(parts.others.group.iter().chain(&parts.others.rest).copied());
    first.take(2).map(|row| row.variety.clone()).collect()
}

/// Those that are short in the fewest marks of those that may be named: as many marks is as far as a reader sees.
fn least<'a>(page: &Page<'a>) -> Vec<&'a VarietyOdds> {
    let named = || page.answer.table.varieties.iter().filter(|row| row.nameable);
    let fewest = named().map(|row| row.marks_short).min();
    named().filter(|row| Some(row.marks_short) == fewest).collect()
}

/// Who is short least often, unless the list is in that order and it stands first.
fn least_often(page: &Page, least: &[&VarietyOdds], first: bool) -> Html {
    let Some(marks) = least.first().map(|row| row.marks_short) else { return html! {} };
    if first && page.state.settings.order == Order::ChanceShort {
        return html! {};
    }
    let names: Vec<String> =
        least.iter().map(|row| page.network.variety_name(&row.variety).to_owned()).collect();
    // One that may not be named yet can do better still.
    let better = |row: &VarietyOdds| row.marks_short < marks && row.fails.is_empty();
    let proven = page.answer.table.varieties.iter().any(better);
    let tested = least.iter().any(|row| row.standing.state != StandingState::New);
    let words = page.words.least_often(&names, tested, marks, page.short(), proven, page.asks_needs());
    html! { <p class="under-heading">{ words }</p> }
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
    let not_cut = page.answer.table.varieties.iter().any(|row| row.failed_marks > 0);
    let sign = |class: &'static str, path: String| {
        html! {
            <svg class="sign" viewBox="0 7 12 16" aria-hidden="true"><path {class} d={path} /></svg>
        }
    };
    html! {
        <p class="key">
            <span>{ sign("fine", fine) }{ page.words.key_fine(page.short(), &units) }</span>
            <span>{ sign("short", short) }{ page.words.key_short(page.short(), &units) }</span>
            { for not_cut.then(|| html! { <span>{ sign("short", failed) }{ page.words.key_not_cut() }</span> }) }
        </p>
    }
}

const KEY: crate::draw::Scale = crate::draw::Scale { low: 0.0, high: 12.0, from: 0.0, to: 12.0 };

/// What has to be said before the marks are read.
pub(super) fn remark_words(page: &Page) -> Vec<String> {
    let table = &page.answer.table;
    let money = match table.break_even {
        BreakEven::CostsMoreToHaul => Some(page.words.costs_more_to_haul(page.state.settings.unit)),
        // Where cost is 0 and seed is not, each variety still has a line of its own.
        BreakEven::NoSingleCrossing => page.lines().is_none().then(|| page.words.no_single_line().to_owned()),
        BreakEven::Target(_) => Some(page.label(Label::TargetFrom).to_owned()),
        BreakEven::Yield(_) => None,
    };
    let dry = table.outlook.drier_than_harvested.then(|| page.words.drier_than_harvested().to_owned());
    let rows = table.varieties.iter();
    let apart = rows.filter(|row| row.standing.apart && row.standing.current()).count();
    let apart = (apart > 0).then(|| page.words.tested_apart(apart));
    let stale = page.state.draft_problem().map(|_| page.label(Label::Stale).to_owned());
    let counted = sentence::also_counted(page);
    let settings = &page.state.settings;
    let insured =
        settings.counts_money() && settings.cover.is_some() && settings.guarantee_price > settings.price;
    let insured = insured.then(|| page.label(Label::InsuredAbovePrice).to_owned());
    let flat =
        page.state.settings.water != WaterOutlook::Any && table.missing.contains(&Missing::WaterSpread);
    let flat = flat.then(|| page.words.missing(&Missing::WaterSpread).to_owned());
    [counted, money, insured, dry, flat, apart, stale].into_iter().flatten().collect()
}
