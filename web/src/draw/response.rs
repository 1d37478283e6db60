//! One variety's yield against water: the band, the middle line, the line between good and short, and
//! the trials behind it.

use super::{Scale, at};
use crate::text::{Short, figure::Units};
use leanyear_engine::decide::{ResponsePoint, TrialRecord};
use std::fmt::Write;
use yew::prelude::*;

/// What goes into the picture.
pub struct Response<'a> {
    /// Name of the variety.
    pub name: &'a str,
    /// The curve, ascending in water.
    pub points: &'a [ResponsePoint],
    /// Its trials.
    pub trials: &'a [TrialRecord],
    /// Systems in the order of their shapes, the one asked for first.
    pub systems: &'a [String],
    /// The line between good and short.
    pub line: Option<(Short, f64)>,
    /// Water of the assumed years with its label.
    pub band: Option<((f64, f64), String)>,
    /// Whether there is room for the larger picture.
    pub wide: bool,
}

/// The signs of the systems, in the order of [`Response::systems`], as they stand in the key.
pub const SIGNS: [&str; 3] = ["\u{25cf}", "\u{25a1}", "\u{25b3}"];

struct Plot {
    width: f64,
    height: f64,
    x: Scale,
    y: Scale,
}

/// Trials that are drawn: counted, with water, inside the picture.
pub fn drawn<'a>(response: &'a Response) -> Vec<&'a TrialRecord> {
    let (low, high) = water_range(response);
    response
        .trials
        .iter()
        .filter(|t| t.excluded.is_none() && t.water.is_some_and(|w| (low..=high).contains(&w)))
        .collect()
}

/// The record's water, stretched to the trials of the system asked for.
fn water_range(response: &Response) -> (f64, f64) {
    let asked = response.systems.first();
    let own = response.trials.iter().filter(|t| Some(&t.system) == asked).filter_map(|t| t.water);
    response
        .points
        .iter()
        .map(|p| p.water)
        .chain(own)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), w| (low.min(w), high.max(w)))
}

fn plot(response: &Response) -> Plot {
    let (width, height) = if response.wide { (620.0, 400.0) } else { (350.0, 290.0) };
    let (low, high) = water_range(response);
    let most = response
        .points
        .iter()
        .map(|p| p.high80)
        .chain(drawn(response).iter().map(|t| t.yield_))
        .chain(response.line.map(|line| line.1))
        .fold(0.0, f64::max);
    let pad = 0.03 * (high - low);
    Plot {
        width,
        height,
        x: Scale { low: low - pad, high: high + pad, from: 40.0, to: width - 4.0 },
        y: Scale { low: 0.0, high: most * 1.04, from: height - 44.0, to: 28.0 },
    }
}

/// The picture; the caller gives the table with the same numbers.
pub fn response(response: &Response, units: &Units) -> Html {
    let plot = plot(response);
    let trials = drawn(response);
    let (title, description) = units.words.response_picture(response.name, trials.len(), units);
    html! {
        <svg class="response" viewBox={format!("0 0 {} {}", plot.width, plot.height)} role="img" aria-label={title.clone()}>
            <title>{title}</title>
            <desc>{description}</desc>
            { for response.band.as_ref().map(|(range, label)| assumed(&plot, *range, label)) }
            <path class="band" d={band_path(&plot, response.points)} />
            <path class="curve" d={curve_path(&plot, response.points)} />
            { frame(&plot, units) }
            { for response.line.map(|(short, value)| threshold(&plot, short, value, units)) }
            { for response.systems.iter().take(SIGNS.len()).enumerate().map(|(shape, system)| {
                let class = if shape == 0 { "trials own" } else { "trials other" };
                html! { <path class={class} d={trial_path(&plot, &trials, system, shape)} /> }
            }) }
        </svg>
    }
}

fn assumed(plot: &Plot, (low, high): (f64, f64), label: &str) -> Html {
    let (left, right) = (plot.x.place(low).max(plot.x.from), plot.x.place(high).min(plot.x.to));
    let middle = ((left + right) / 2.0).clamp(plot.x.from + 46.0, plot.x.to - 46.0);
    html! {
        <>
            <path class="assumed" d={format!("M{} {}V{}H{}V{}Z", at(left), at(plot.y.to), at(plot.y.from), at(right.max(left + 1.5)), at(plot.y.to))} />
            <text class="number" x={at(middle)} y="12" text-anchor="middle">{label}</text>
        </>
    }
}

fn threshold(plot: &Plot, short: Short, value: f64, units: &Units) -> Html {
    let y = plot.y.place(value);
    html! {
        <>
            <path class="line" d={format!("M{} {}H{}", at(plot.x.from), at(y), at(plot.x.to))} />
            <text class="line-label" x={at(plot.x.to - 2.0)} y={at(y - 5.0)} text-anchor="end">
                { units.words.line_label(short, (value, value), units) }
            </text>
        </>
    }
}

fn frame(plot: &Plot, units: &Units) -> Html {
    let bottom = plot.y.from;
    html! {
        <>
            { for plot.y.ticks(5).into_iter().map(|tick| {
                let y = plot.y.place(tick);
                html! {
                    <>
                        <path class={if tick == 0.0 { "rule" } else { "grid" }} d={format!("M{} {}H{}", at(plot.x.from), at(y), at(plot.x.to))} />
                        <text class="number" x={at(plot.x.from - 6.0)} y={at(y + 4.5)} text-anchor="end">{ units.plain(tick) }</text>
                    </>
                }
            }) }
            { for plot.x.ticks(6).into_iter().map(|tick| {
                let x = plot.x.place(tick);
                html! {
                    <>
                        <path class="tick" d={format!("M{} {}v5", at(x), at(bottom))} />
                        <text class="number" x={at(x)} y={at(bottom + 18.0)} text-anchor="middle">{ units.plain(tick) }</text>
                    </>
                }
            }) }
            <text class="unit" x={at(plot.x.to)} y={at(plot.height - 6.0)} text-anchor="end">{ units.words.water_axis(units) }</text>
            <text class="unit" x="2" y="12">{ units.words.yield_unit(units.yield_unit) }</text>
        </>
    }
}

fn curve_path(plot: &Plot, points: &[ResponsePoint]) -> String {
    line_path(plot, points.iter().map(|p| (p.water, p.median)))
}

fn band_path(plot: &Plot, points: &[ResponsePoint]) -> String {
    let above = points.iter().map(|p| (p.water, p.high80));
    let below = points.iter().rev().map(|p| (p.water, p.low80));
    line_path(plot, above.chain(below)) + "Z"
}

fn line_path(plot: &Plot, points: impl Iterator<Item = (f64, f64)>) -> String {
    let mut path = String::new();
    for (place, (water, yield_)) in points.enumerate() {
        let step = if place == 0 { 'M' } else { 'L' };
        _ = write!(path, "{step}{} {}", at(plot.x.place(water)), at(plot.y.place(yield_)));
    }
    path
}

fn trial_path(plot: &Plot, trials: &[&TrialRecord], system: &str, shape: usize) -> String {
    let mut path = String::new();
    for trial in trials.iter().filter(|t| t.system == system) {
        let Some(water) = trial.water else { continue };
        let (x, y) = (plot.x.place(water), plot.y.place(trial.yield_));
        _ = match shape {
            0 => write!(path, "M{} {}a3.2 3.2 0 1 0 6.4 0a3.2 3.2 0 1 0 -6.4 0", at(x - 3.2), at(y)),
            1 => write!(path, "M{} {}h6.4v6.4h-6.4Z", at(x - 3.2), at(y - 3.2)),
            _ => write!(path, "M{} {}l4 7h-8Z", at(x), at(y - 4.2)),
        };
    }
    path
}
