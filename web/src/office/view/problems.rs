//! What to put right: questions, problems by file and row, the row that is being put right, and what is worth
//! knowing.

use super::Bench;
use crate::office::Act;
use crate::office::form::KEYS;
use crate::office::job::ReadAnswer;
use crate::office::state::{Fix, Stage};
use crate::office::update::{HEADER, Msg};
use crate::text::office::Desk;
use leanyear_engine::pack::columns::NETWORK_JSON;
use leanyear_engine::pack::{Letters, NumberMarks, Problem, ProblemKind, Question};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Most problems of one file that are shown at once.
const SHOWN: usize = 25;

/// The third step.
pub(super) fn problems(bench: &Bench) -> Html {
    match &bench.office.read {
        // What was found before stands on, so that nothing jumps under her hand.
        Stage::Running(percent) => match bench.office.shown_read() {
            Some(before) => html! { <div aria-busy="true">{ found(bench, before) }</div> },
            None => bench.running(Desk::Reading, *percent),
        },
        Stage::Idle => html! {},
        Stage::Failed(_) | Stage::Cancelled => html! { <p role="alert">{ bench.say(Desk::ReadFailed) }</p> },
        Stage::Done(read) => found(bench, read),
    }
}

fn found(bench: &Bench, read: &ReadAnswer) -> Html {
    let errors: usize = read.error_counts.values().sum();
    let count = match errors {
        0 => bench.say(Desk::NoProblems).to_owned(),
        n => bench.words.problem_count(n),
    };
    // As the reader lists them, what cannot be read first; then those of which too many others left no problem.
    let mut files: Vec<&str> = Vec::new();
    for file in read.errors.iter().map(|error| &error.file).chain(read.error_counts.keys()) {
        if !files.contains(&file.as_str()) {
            files.push(file);
        }
    }
    html! {
        <>
            <p role="status"><b>{ count }</b></p>
            { for read.questions.iter().map(|question| ask(bench, question)) }
            { for files.into_iter().map(|file| of_file(bench, read, file)) }
            { notes(bench, read) }
            { warnings(bench, read) }
        </>
    }
}

fn ask(bench: &Bench, question: &Question) -> Html {
    let Some(example) = question.examples.first() else { return html! {} };
    let option = |marks: NumberMarks| {
        let pressed = (question.assumed == marks).to_string();
        html! {
            <li>
                <button aria-pressed={pressed} onclick={bench.tap(Msg::Answer(question.file.clone(), marks))}>
                    { bench.words.reading(marks, example) }
                </button>
            </li>
        }
    };
    html! {
        <div class="question">
            <p><b>{ bench.words.question(question) }</b></p>
            <ul class="choices">{ option(NumberMarks::Point) }{ option(NumberMarks::Comma) }</ul>
        </div>
    }
}

fn of_file(bench: &Bench, read: &ReadAnswer, file: &str) -> Html {
    let all = read.error_counts.get(file).copied().unwrap_or_default();
    let own: Vec<&Problem> = read.errors.iter().filter(|error| error.file == file).take(SHOWN).collect();
    let more = all - own.len().min(all);
    html! {
        <div class="file-problems">
            <h3>{ file }</h3>
            <ul class="plain problems">
                { for own.into_iter().map(|problem| line(bench, problem)) }
            </ul>
            { for (more > 0).then(|| html! { <p class="quiet">{ bench.words.more_problems(more) }</p> }) }
        </div>
    }
}

fn line(bench: &Bench, problem: &Problem) -> Html {
    // A problem of a column as a whole has no row of its own: it is put right in the header.
    let is_this = |fix: &&Fix| {
        let row = problem.row.is_none_or(|row| row == fix.row);
        row && fix.file == problem.file && fix.column == problem.column
    };
    let fixing = bench.office.typed.fix.as_ref().filter(is_this);
    let way = match (problem.row, problem.file == NETWORK_JSON) {
        (_, true) => Some(bench.button(Desk::Jump, bench.ask(Act::Show("desk-name")))),
        (Some(row), false) => {
            let msg = Msg::Fix(problem.file.clone(), row, problem.column.clone());
            Some(bench.button(Desk::Jump, bench.tap(msg)))
        }
        // A column that is missing is given its name in the header.
        (None, false) if problem.column.is_some() => {
            let msg = Msg::Fix(problem.file.clone(), HEADER, problem.column.clone());
            Some(bench.button(Desk::Jump, bench.tap(msg)))
        }
        (None, false) => None,
    };
    // She has no such file to add: the form makes it of what she fills in.
    let (place, what) = match problem.file == NETWORK_JSON && problem.kind == ProblemKind::FileMissing {
        true => (bench.say(Desk::NameHeading).to_owned(), bench.say(Desk::NameIntro).to_owned()),
        false => (place(bench, problem), bench.words.problem(&problem.kind)),
    };
    html! {
        <li>
            <p><span class="where">{ place }</span>{ ": " }{ what }</p>
            { fixing.map(|fix| fix_row(bench, fix)).or(way).unwrap_or_default() }
        </li>
    }
}

/// Where a problem is; of what the form asks for, by the words that stand over its field.
fn place(bench: &Bench, problem: &Problem) -> String {
    let asked = problem.column.as_deref().filter(|_| problem.file == NETWORK_JSON);
    match asked.filter(|key| KEYS.iter().any(|(known, _)| known == key)) {
        Some(key) => bench.words.key_about(key).0.to_owned(),
        None => bench.words.problem_place(problem),
    }
}

/// The small table in which one row is put right.
fn fix_row(bench: &Bench, fix: &Fix) -> Html {
    let cell = |(place, text): (usize, &String)| {
        let name = fix.header.get(place).cloned().unwrap_or_default();
        let send = bench.send.clone();
        // At every key: a page that is closed tells no field that its text has changed.
        let oninput = Callback::from(move |event: InputEvent| {
            send.emit(Msg::Cell(place, event.target_unchecked_into::<HtmlInputElement>().value()));
        });
        let meant = fix.column.as_deref() == Some(&name);
        let id = format!("cell-{place}");
        html! {
            <p class={classes!("field", meant.then_some("meant"))}>
                <label for={id.clone()}>{ if name.is_empty() { (place + 1).to_string() } else { name } }</label>
                <input {id} type="text" value={text.clone()} aria-invalid={meant.to_string()} {oninput} />
            </p>
        }
    };
    html! {
        <div class="fix" role="group" aria-label={bench.words.fix_row(&fix.file, fix.row)}>
            <h4>{ bench.words.fix_row(&fix.file, fix.row) }</h4>
            <p class="hint">{ bench.say(Desk::FixHeading) }</p>
            <div class="form">{ for fix.cells.iter().enumerate().map(cell) }</div>
            <p class="ways-on">
                { bench.button(Desk::FixDone, bench.tap(Msg::FixDone)) }
                { for (fix.row > 1).then(|| bench.button(Desk::FixRemove, bench.tap(Msg::FixRemove))) }
                { bench.button(Desk::FixLeave, bench.tap(Msg::FixLeave)) }
            </p>
        </div>
    }
}

fn notes(bench: &Bench, read: &ReadAnswer) -> Html {
    let letters = |file: &str| bench.office.letters.get(file).copied().unwrap_or(Letters::Utf8);
    let lines: Vec<String> =
        read.notes.iter().filter_map(|note| bench.words.file_note(note, letters(&note.file))).collect();
    if lines.is_empty() {
        return html! {};
    }
    html! {
        <>
            <h3>{ bench.say(Desk::NotesHeading) }</h3>
            <ul class="plain">{ for lines.into_iter().map(|line| html! { <li>{ line }</li> }) }</ul>
        </>
    }
}

fn warnings(bench: &Bench, read: &ReadAnswer) -> Html {
    if read.warnings.is_empty() {
        return html! {};
    }
    let line = |problem: &Problem| {
        let place =
            problem.row.map(|_| bench.words.problem_place(problem)).or_else(|| problem.column.clone());
        let place = place.map_or(problem.file.clone(), |place| format!("{}, {place}", problem.file));
        html! { <li><span class="where">{ place }</span>{ ": " }{ bench.words.problem(&problem.kind) }</li> }
    };
    let more = read.warning_count - read.warnings.len().min(SHOWN);
    html! {
        <details>
            <summary>{ format!("{} ({})", bench.say(Desk::WarningsHeading), read.warning_count) }</summary>
            <ul class="plain">{ for read.warnings.iter().take(SHOWN).map(line) }</ul>
            { for (more > 0).then(|| html! { <p class="quiet">{ bench.words.more_problems(more) }</p> }) }
        </details>
    }
}
