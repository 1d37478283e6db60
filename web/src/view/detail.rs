//! One variety in detail: its odds, its response to water, what is known of it and on what grounds.

use super::row::{
    assumes_a_kind_of_year, averages, never_tried, row_text, strip, twenty_heading, twenty_numbers,
};
use super::sentence::assumptions;
use super::{Page, compare, field_work, line_button, losses, ratings, trials};
use crate::draw::axis::{WIDTH, WIDTH_WIDE, axis, frame};
use crate::draw::drawing::Drawing;
use crate::draw::response::{Response, SIGNS, drawn, response};
use crate::state::Sheet;
use crate::text::{Difference, Label, own_words};
use crate::update::Msg;
use leanyear_engine::decide::{LongRun, Missing, VarietyDetail, VarietyOdds};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::order::Set;
use yew::prelude::*;

/// The detail of the variety looked at.
pub fn detail(page: &Page) -> Html {
    let Some(detail) = page.answer.detail.as_deref() else {
        return html! {};
    };
    let Some(odds) = page.odds(&detail.variety) else {
        return html! {};
    };
    let system = page.several_systems().then_some(page.state.settings.system.as_str());
    html! {
        <article class="detail">
            { for (!page.state.wide).then(|| line_button(
                page.tap(Msg::List),
                html! { <>{"\u{2190} "}{page.label(Label::BackToList)}</> },
            )) }
            <h2 class="title" tabindex="-1" id="view-top">{ page.network.variety_name(&detail.variety) }</h2>
            { about(page, &detail.variety) }
            { assumptions(page) }
            <p>{ page.words.evidence(&odds.standing, page.state.settings.water, system) }</p>
            { note(page, &detail.variety) }
            { twenty(page, odds) }
            { compare::against_mine(page) }
            { line_button(page.tap(Msg::Open(Sheet::Beside, String::new())), html! { {page.label(Label::CompareWith)} }) }
            { field_work::sprays(page) }
            { field_work::cattle(page, &detail.variety) }
            { water(page, odds, detail) }
            { long_run(page, detail) }
            { losses::losses(page, detail) }
            { ratings::ratings(page, &detail.variety) }
            { trials::trials(page, detail) }
        </article>
    }
}

fn about(page: &Page, code: &str) -> Html {
    let variety = page.network.varieties.iter().find(|v| v.variety == code);
    let line = variety.map_or(String::new(), |v| page.words.about(v.released, &v.origin, &v.class));
    html! { { for (!line.is_empty()).then(|| html! { <p class="quiet">{line}</p> }) } }
}

/// The agronomist's note and her word on the short list, in her own words.
fn note(page: &Page, code: &str) -> Html {
    let variety = page.network.varieties.iter().find(|v| v.variety == code);
    let note =
        variety.map(|v| own_words(page.words.lang(), &v.note, &v.note_es)).filter(|note| !note.is_empty());
    let entry = page.her_word(code);
    html! {
        <>
            { for note.map(|note| html! { <blockquote><p>{note}</p></blockquote> }) }
            { for entry.map(|entry| html! {
                <p>
                    <strong>{ page.words.stance(&entry.stance, &entry.system) }</strong>
                    { for (!entry.note.is_empty()).then(|| html! { <>{": "}{&entry.note}</> }) }
                    { for Some(page.words.signed(&entry.by, &entry.date)).filter(|s| !s.is_empty()).map(|signed| html! {
                        <span class="quiet">{" ("}{signed}{")"}</span>
                    }) }
                </p>
            }) }
        </>
    }
}

/// The twenty years with their axis, and what follows from them in words.
fn twenty(page: &Page, odds: &VarietyOdds) -> Html {
    let own = odds.break_even.map(|line| (line, line));
    let frame = frame(&page.answer.table, own, if page.state.wide { WIDTH_WIDE } else { WIDTH });
    let units = page.units();
    let words = page.words;
    let text = row_text(page, &frame, odds);
    let lines = [
        Some(format!("{}.", averages(page, odds))),
        Some(format!(
            "{}.",
            words.worst_fifth(page.worst_yields(odds.worst_fifth), odds.worst_fifth_net, &units)
        )),
        odds.net.map(|net| format!("{}.", words.left(net, &units))),
        odds.net
            .and_then(|_| words.seed(odds.seed_cost, odds.seed_cost_known, &units))
            .map(|words| format!("{words}.")),
        words.not_cut(odds.failed_marks).map(|words| format!("{words}.")),
        odds.beats_mine.map(|chance| format!("{}.", words.beats_mine(chance))),
        odds.beats_check.map(|chance| format!("{}.", words.beats_check(chance))),
    ];
    let never = never_tried(page, odds);
    html! {
        <section>
            <h3>{ page.label(Label::MarksHeading) }</h3>
            <p class="years">{ words.years_line(page.state.settings.water) }</p>
            { axis(&frame, page.short(), &units).html("axis") }
            { strip(&text.marks, &text.picture, text.width, text.line.as_deref()) }
            <p class="odds">{ text.odds }</p>
            { for never.then(|| html! { <p><em>{ capital(words.never_tested(page.state.settings.water)) }{"."}</em></p> }) }
            { for lines.into_iter().flatten().map(|line| html! { <p class="tight">{ capital(&line) }</p> }) }
            <details>
                <summary>{ page.label(Label::Numbers) }</summary>
                <table class="figures">
                    <thead><tr><th scope="col">{ twenty_heading(page, Some(odds)) }</th></tr></thead>
                    <tbody><tr><td>{ twenty_numbers(odds, &units) }</td></tr></tbody>
                </table>
            </details>
            { field_work::worked(page) }
        </section>
    }
}

/// A sentence that starts a line of its own.
pub(super) fn capital(line: &str) -> String {
    let mut letters = line.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// The picture of the variety's response to water, where water is known.
pub fn response_drawing(page: &Page) -> Option<Drawing> {
    let detail = page.answer.detail.as_deref().filter(|detail| !detail.response.is_empty())?;
    let odds = page.odds(&detail.variety)?;
    Some(response(&picture(page, odds, detail, &systems(page, detail)), &page.units()))
}

fn picture<'a>(
    page: &Page<'a>,
    odds: &VarietyOdds,
    detail: &'a VarietyDetail,
    systems: &'a [String],
) -> Response<'a> {
    let outlook = &page.answer.table.outlook;
    Response {
        name: page.network.variety_name(&detail.variety),
        points: &detail.response,
        trials: &detail.trials,
        systems,
        // Break-even is of the grain that cattle leave, the curve of the whole crop.
        line: odds.break_even.filter(|_| !page.state.settings.graze).map(|value| (page.short(), value)),
        band: outlook
            .water_range
            .filter(|_| assumes_a_kind_of_year(page))
            .map(|range| (range, page.words.outlook_band(page.state.settings.water))),
        wide: page.state.wide,
    }
}

fn water(page: &Page, odds: &VarietyOdds, detail: &VarietyDetail) -> Html {
    let units = page.units();
    let heading = html! { <h3>{ page.label(Label::Response) }</h3> };
    if detail.response.is_empty() {
        let flat = page.answer.table.missing.contains(&Missing::WaterSpread);
        let why = if flat { Label::ResponseFlat } else { Label::NoResponse };
        return html! { <section>{heading}<p>{ page.label(why) }</p></section> };
    }
    let systems = systems(page, detail);
    let picture = picture(page, odds, detail, &systems);
    let shown: Set<String> = drawn(&picture).into_iter().map(|t| t.system.clone()).collect();
    html! {
        <section>
            {heading}
            { for page.state.settings.graze.then(|| html! { <p class="hint">{ page.label(Label::Ungrazed) }</p> }) }
            { response(&picture, &units).html("response") }
            <p class="key">
                { for systems.iter().zip(SIGNS).filter(|(system, _)| shown.contains(*system)).map(|(system, sign)| html! {
                    <span><span aria-hidden="true">{sign}</span>{" "}{ page.words.system(system) }</span>
                }) }
            </p>
            <details>
                <summary>{ page.label(Label::Numbers) }</summary>
                { numbers(page, detail) }
            </details>
        </section>
    }
}

fn numbers(page: &Page, detail: &VarietyDetail) -> Html {
    let units = page.units();
    html! {
        <table class="figures">
            <thead><tr>
                <th scope="col">{ page.label(Label::Water) }{", "}{ units.water_unit() }</th>
                <th scope="col">{ page.label(Label::Low) }</th>
                <th scope="col">{ page.label(Label::Middle) }</th>
                <th scope="col">{ page.label(Label::High) }</th>
            </tr></thead>
            <tbody>
                { for detail.response.iter().map(|point| html! {
                    <tr>
                        <th scope="row">{ units.water_number(point.water) }</th>
                        <td>{ units.yield_number(point.low80) }</td>
                        <td>{ units.yield_number(point.median) }</td>
                        <td>{ units.yield_number(point.high80) }</td>
                    </tr>
                }) }
            </tbody>
        </table>
    }
}

/// The systems it was tried in, in the order of their shapes: the one asked for first.
fn systems(page: &Page, detail: &VarietyDetail) -> Vec<String> {
    let asked = &page.state.settings.system;
    let tried = |system: &str| detail.trials.iter().any(|t| t.system == system && t.excluded.is_none());
    let others = page.network.systems().into_iter().filter(|s| s != asked && tried(s)).map(str::to_owned);
    std::iter::once(asked.clone()).chain(others).collect()
}

fn long_run(page: &Page, detail: &VarietyDetail) -> Html {
    let names = |codes: &[String]| -> Vec<String> {
        let others = codes.iter().filter(|code| **code != detail.variety);
        others.map(|code| page.network.variety_name(code).to_owned()).collect()
    };
    let words = match &detail.long_run {
        None => {
            let reference = names(&page.answer.table.field.reference_set);
            page.words.never_met(page.network.variety_name(&detail.variety), &reference)
        }
        Some(LongRun { against, difference, range_80: (low, high) }) => {
            let settings = &page.state.settings;
            let difference = Difference {
                value: *difference,
                low: *low,
                high: *high,
                against: names(against),
                itself: against.contains(&detail.variety),
                assumed: settings.water != WaterOutlook::Any || !settings.diseases.is_empty(),
            };
            if difference.against.is_empty() {
                return html! {};
            }
            page.words.difference(&difference, &page.units())
        }
    };
    html! {
        <section>
            <h3>{ page.label(Label::LongRun) }</h3>
            <p>{ words }</p>
        </section>
    }
}
