//! The shortlists: where every variety stands and why, her word, what changed since last year.

use super::{Bench, gave_nothing, head_cell, rules, wide_table, word};
use crate::office::job::{Lists, Step};
use crate::office::state::Stage;
use crate::office::update::Msg;
use crate::text::figure::Units;
use crate::text::office::{Desk, Term};
use leanyear_engine::decide::Standing;
use leanyear_engine::office::shortlist::{Line, Stance};
use yew::prelude::*;

/// The sixth step.
pub(super) fn lists(bench: &Bench) -> Html {
    let (Some(fit), Some(units)) = (bench.office.shown_fit(), bench.units()) else { return html! {} };
    let Some((system, lists)) = bench.office.shown_system().and_then(|s| fit.lists.get_key_value(s)) else {
        return html! {};
    };
    let tab = |other: &String| {
        html! {
            <button class="word" aria-pressed={(other == system).to_string()} onclick={bench.tap(Msg::System(other.clone()))}>
                { bench.words.system(other) }
            </button>
        }
    };
    html! {
        <>
            <p>{ bench.say(Desk::ListIntro) }</p>
            { for (fit.lists.len() > 1).then(|| html! { <p class="systems">{ for fit.lists.keys().map(tab) }</p> }) }
            <p>{ bench.words.rules(&lists.rules) }</p>
            { apart(bench, lists.lines.iter()) }
            { for lists.lines.iter().any(|line| line.group > 0).then(|| html! { <p class="remark">{ bench.words.places_apart() }</p> }) }
            { rules::rules(bench, system, lists) }
            { table(bench, system, lists, &units) }
            { changes(bench, system, &units) }
            { report(bench) }
        </>
    }
}

/// That some varieties of a list met the others in no trial.
pub(super) fn apart<'a>(bench: &Bench, lines: impl Iterator<Item = &'a Line>) -> Html {
    let apart = lines.filter(|line| line.odds.standing.apart && line.odds.standing.current()).count();
    html! { { for (apart > 0).then(|| html! { <p class="remark">{ bench.words.tested_apart(apart) }</p> }) } }
}

/// Behind the name of a variety that met the others in no trial.
pub(super) fn apart_mark(bench: &Bench, standing: &Standing) -> Html {
    html! { { for standing.apart.then(|| html! { <em class="quiet">{ ", " }{ bench.words.apart_in_short() }</em> }) } }
}

/// Those on the list and to follow; the rest folded away under them.
fn table(bench: &Bench, system: &str, lists: &Lists, units: &Units) -> Html {
    let (off, on): (Vec<&Line>, Vec<&Line>) = lists.lines.iter().partition(|line| line.stance == Stance::Out);
    let worded = bench.office.worded.as_ref().filter(|(of, _)| of == system);
    let worded = worded.and_then(|(_, code)| lists.lines.iter().find(|line| line.variety == *code));
    let taken = worded.map(|line| {
        bench.words.word_taken(&bench.names().variety(&line.variety), line.stance, line.word.is_some())
    });
    let moved_off = worded.is_some_and(|line| line.stance == Stance::Out);
    // Of the only system there is nothing to say.
    let caption = bench.several().then(|| bench.words.system(system));
    html! {
        <>
            <p class="remark" role="status">{ taken.unwrap_or_default() }</p>
            { part(bench, system, &on, units, caption) }
            { for (!off.is_empty()).then(|| html! {
                <details open={moved_off}>
                    <summary>{ format!("{} ({})", bench.say(Desk::OffHeading), off.len()) }</summary>
                    { part(bench, system, &off, units, Some(bench.say(Desk::OffHeading).to_owned())) }
                </details>
            }) }
        </>
    }
}

fn part(bench: &Bench, system: &str, lines: &[&Line], units: &Units, caption: Option<String>) -> Html {
    let heads =
        [Desk::Variety, Desk::Stands, Desk::Place, Desk::Average, Desk::Years, Desk::YourWord, Desk::Why];
    let unit_of = |head| match head {
        Desk::Average => bench.words.yield_unit(units.yield_unit).to_owned(),
        _ => String::new(),
    };
    let label: Vec<&str> = std::iter::once(bench.say(Desk::ListHeading)).chain(caption.as_deref()).collect();
    let label = label.join(": ");
    let table = html! {
        <table class="figures shortlist">
            { for caption.map(|caption| html! { <caption>{ caption }</caption> }) }
            <thead><tr>{ for heads.map(|head| head_cell(bench, head, unit_of(head))) }</tr></thead>
            { for lines.iter().map(|line| row(bench, system, line, units)) }
        </table>
    };
    wide_table(bench, label, table)
}

fn row(bench: &Bench, system: &str, line: &Line, units: &Units) -> Html {
    let names = bench.names();
    let name = names.variety(&line.variety);
    let reasons: Vec<String> = line.reasons.iter().map(|reason| bench.words.reason(reason, &names)).collect();
    let word_ = line.word.as_ref();
    let differs = word_.and_then(|_| bench.words.word_differs(line.stance, line.by_rules));
    let signed =
        word_.map(|entry| bench.words.signed(&entry.by, &entry.date)).filter(|text| !text.is_empty());
    let written = bench.office.typed.word.as_ref();
    let written = written.filter(|entry| entry.variety == line.variety && entry.system == system);
    let writes = bench.say(if line.word.is_some() { Desk::WordChange } else { Desk::WordWrite });
    html! {
        <tbody key={line.variety.clone()} class={classes!(format!("stance-{}", line.stance.word()))}>
            <tr>
                <th scope="row">{ name.clone() }{ apart_mark(bench, &line.odds.standing) }</th>
                <td>{ bench.words.stands(line.stance) }</td>
                <td>{ line.rank }</td>
                <td>{ units.yield_fine(line.odds.expected) }</td>
                <td>{ line.odds.marks_short }</td>
                <td>
                    <button class="word" aria-label={format!("{writes}, {}: {name}", bench.say(Desk::YourWord))}
                        onclick={bench.tap(Msg::Word(Some(Box::new(word::begun(bench, system, line)))))}>{ writes }</button>
                </td>
                <td>
                    { reasons.join("; ") }
                    { for differs.map(|words| html! { <><br />{ words }</> }) }
                    { for word_.filter(|entry| !entry.note.is_empty()).map(|entry| html! { <><br /><em>{ &entry.note }</em></> }) }
                    { for signed.map(|signed| html! { <>{ " " }<span class="quiet">{ signed }</span></> }) }
                </td>
            </tr>
            { for written.map(|entry| html! { <tr><td colspan="7">{ word::word(bench, entry) }</td></tr> }) }
        </tbody>
    }
}

fn changes(bench: &Bench, system: &str, units: &Units) -> Html {
    let office = bench.office;
    let body = match (&office.draft.last, &office.changes) {
        (None, _) => html! { <p class="hint">{ bench.say(Desk::ChangesIntro) }</p> },
        (Some(_), Stage::Running(percent)) => bench.running(Desk::ChangesRunning, *percent),
        (Some(last), stage) => {
            let found = stage.done().and_then(|all| all.get(system));
            let lines: Vec<String> = found
                .into_iter()
                .flatten()
                .filter_map(|change| bench.words.since_last_year(change, &bench.names(), units))
                .collect();
            html! {
                <>
                    <p>{ bench.words.last_year(&last.name) }</p>
                    { for (found.is_some() && lines.is_empty()).then(|| html! { <p>{ bench.say(Desk::ChangesNone) }</p> }) }
                    <ul class="plain">{ for lines.into_iter().map(|line| html! { <li>{ line }</li> }) }</ul>
                    { for gave_nothing(stage).then(|| html! { <p role="status">{ bench.say(Desk::ChangesFailed) }</p> }) }
                    { for found.is_none().then(|| html! { <p class="ways-on">{ bench.button(Desk::ChangesHeading, bench.tap(Msg::Run(Step::Changes))) }</p> }) }
                </>
            }
        }
    };
    html! { <><h3>{ bench.say(Desk::ChangesHeading) }</h3>{ body }</> }
}

fn report(bench: &Bench) -> Html {
    let body = match &bench.office.report {
        Stage::Running(percent) => bench.running(Desk::ReportRunning, *percent),
        Stage::Done(_) => {
            html! { <p class="ways-on">{ bench.button(Desk::ReportPrint, bench.ask(crate::office::Act::Print)) }</p> }
        }
        stage => html! {
            <>
                { for gave_nothing(stage).then(|| html! { <p role="status">{ bench.say(Desk::Stopped) }</p> }) }
                <p class="ways-on">{ bench.button(Desk::ReportButton, bench.tap(Msg::Run(Step::Report))) }</p>
            </>
        },
    };
    let terms = [Term::Blup, Term::Lsd].map(|term| bench.term(term));
    html! { <><h3>{ bench.say(Desk::ReportHeading) }</h3>{ for terms }{ body }</> }
}
