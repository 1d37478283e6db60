//! Her printed report: one for each system, on screen under the office and alone on paper.

use super::{Bench, head_cell, lists, sideways};
use crate::text::Label;
use crate::text::figure::Units;
use crate::text::office::Desk;
use leanyear_engine::office::report::{Report, ReportLine};
use leanyear_engine::pack::Network;
use yew::prelude::*;

/// Every report that was put together.
pub(super) fn papers(bench: &Bench) -> Html {
    let (Some(reports), Some(network), Some(units)) =
        (bench.office.report.done(), bench.network(), bench.units())
    else {
        return html! {};
    };
    html! { <div class="reports">{ for reports.values().map(|report| paper(bench, report, network, &units)) }</div> }
}

fn paper(bench: &Bench, report: &Report, network: &Network, units: &Units) -> Html {
    let info = &network.info;
    let names = bench.names();
    let system = bench.several().then_some(report.system.as_str());
    let title = bench.words.report_title(info, system);
    html! {
        // It scrolls by itself where the screen is narrower than its table.
        <article class="paper report" tabindex="0" aria-label={title.clone()}>
            <header><h2>{ title.clone() }</h2></header>
            { for info.invented.then(|| html! { <p class="paper-invented">{ bench.words.label(Label::Invented) }</p> }) }
            <p>{ bench.words.report_line(report, info) }</p>
            { lists::apart(bench, report.lines.iter().map(|row| &row.line)) }
            { sideways(bench) }
            { table(bench, report, &title, units) }
            { for scales(bench, report, network, units).map(|line| html! { <p>{ line }</p> }) }
            { for bench.words.report_lsd(report, units).map(|line| html! { <p>{ line }</p> }) }
            <h3>{ bench.say(Desk::MethodHeading) }</h3>
            <p>{ bench.words.report_method(report, &names) }</p>
            { for (!report.left_out.is_empty()).then(|| html! {
                <>
                    <h3>{ bench.say(Desk::LeftOutTrials) }</h3>
                    <p>{ left_out(bench, report) }</p>
                </>
            }) }
            <footer>
                { for bench.words.cautions().into_iter().map(|caution| html! { <span>{ caution }{ " " }</span> }) }
                { for bench.words.paid_for(info).map(|words| html! { <span>{ words }{ " " }</span> }) }
                // Of a report that goes over its page the last must name what it is of.
                <span>{ title }</span>
            </footer>
        </article>
    }
}

fn left_out(bench: &Bench, report: &Report) -> String {
    let names = bench.names();
    let trial = |out: &leanyear_engine::office::report::LeftOut| {
        format!("{} {} ({})", names.site(&out.site), out.season, bench.words.exclusion(out.reason))
    };
    report.left_out.iter().map(trial).collect::<Vec<_>>().join(", ") + "."
}

/// What the ratings of the table mean, in its order.
fn scales(bench: &Bench, report: &Report, network: &Network, units: &Units) -> Option<String> {
    let scale = |code: &String| {
        let t = network.traits.iter().find(|t| t.trait_ == *code)?;
        let scale = bench.words.scale(t.best, t.worst, &t.unit, units);
        (!scale.is_empty()).then(|| format!("{}: {scale}", bench.names().trait_(code)))
    };
    let scales: Vec<String> = report.traits.iter().filter_map(scale).collect();
    (!scales.is_empty()).then(|| format!("{}.", scales.join("; ")))
}

fn table(bench: &Bench, report: &Report, title: &str, units: &Units) -> Html {
    let names = bench.names();
    let unit = bench.words.yield_unit(units.yield_unit);
    html! {
        <table class="report-table">
            <thead>
            // Stands again on every page that the table goes over.
            <tr class="running-head" aria-hidden="true"><td colspan={(report.traits.len() + 5).to_string()}>{ title.to_owned() }</td></tr>
            <tr>
                <th scope="col">{ bench.say(Desk::Variety) }</th>
                { head_cell(bench, Desk::Adjusted, unit.to_owned()) }
                <th scope="col">{ bench.say(Desk::Years) }</th>
                <th scope="col">{ bench.say(Desk::SeasonsTrials) }</th>
                { for report.traits.iter().map(|code| html! { <th scope="col" class="rating"><span>{ names.trait_(code) }</span></th> }) }
                <th scope="col">{ bench.say(Desk::Stands) }</th>
            </tr>
            </thead>
            <tbody>{ for report.lines.iter().map(|row| line(bench, report, row, units)) }</tbody>
        </table>
    }
}

fn line(bench: &Bench, report: &Report, row: &ReportLine, units: &Units) -> Html {
    let line = &row.line;
    let standing = &line.odds.standing;
    // Hers beside the numbers: what she says, who and when, and what the rules alone would have.
    let hers = line.word.as_ref().map(|entry| {
        let differs = bench.words.word_differs(line.stance, line.by_rules);
        let signed = bench.words.signed(&entry.by, &entry.date);
        let signed = if signed.is_empty() { signed } else { format!("({signed})") };
        let said = [entry.note.clone(), signed, differs.unwrap_or_default()];
        said.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ")
    });
    let note = hers.filter(|words| !words.is_empty());
    let columns = report.traits.len() + 5;
    html! {
        <>
            <tr>
                <th scope="row">{ bench.names().variety(&line.variety) }{ lists::apart_mark(bench, standing) }</th>
                <td>{ units.yield_fine(row.adjusted) }</td>
                <td>{ line.odds.marks_short }</td>
                <td class="tested">{ bench.words.seasons_trials(standing.seasons, standing.trials) }</td>
                { for row.ratings.iter().map(|rating| html! { <td>{ rating.map_or(String::new(), |value| units.plain(value)) }</td> }) }
                <td class="stands">{ bench.words.stands(line.stance) }</td>
            </tr>
            { for note.map(|note| html! { <tr class="report-note"><td colspan={columns.to_string()}>{ note }</td></tr> }) }
        </>
    }
}
