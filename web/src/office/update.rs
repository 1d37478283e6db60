//! Every change of a network being prepared, as a pure function from one state and a message to the next.
//!
//! What has to run follows from the new state's `job`; no browser is touched and nothing is computed.

use super::form::{self, Kind};
use super::intake::{arrived, decide, place};
use super::job::Step;
use super::running::{answered, cancel, forget_saving, progress, run, save};
use super::state::{Arrival, Draft, Fix, Kept, Office, Product, Saving, Stage, Typed};
use leanyear_engine::office::shortlist::{Rules, Stance};
use leanyear_engine::order::Map;
use leanyear_engine::pack::columns::{NETWORK_JSON, SHORTLIST, TRIALS};
use leanyear_engine::pack::{Exclusion, NumberMarks, Pack, ShortlistEntry, edit, write};
use std::rc::Rc;
use yew::Reducible;

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Msg {
    /// Work of an earlier visit, and whether this device keeps any.
    Remembered(Option<Box<Draft>>),
    /// How the last keeping went.
    Kept(Kept),
    /// What was typed and not yet taken in an earlier visit.
    Resume(Box<Typed>),
    /// Files were dropped or chosen.
    Arrived(Vec<Arrival>),
    /// A text that no column names was given its place.
    Place(String, &'static str),
    /// A file that waits is joined to those of its kind, or taken in their place.
    Decide(String, bool),
    /// A file is taken out.
    Remove(String),
    /// Start from a network that is there.
    Open(Box<leanyear_engine::pack::Network>),
    /// Everything is put away.
    Clear,
    /// What point and comma mean in a file.
    Answer(String, NumberMarks),
    /// A key of `network.json` is being typed.
    Typing(&'static str, String),
    /// A key of `network.json` was typed.
    Key(&'static str, Kind, String),
    /// A problem's row is to be put right: file, row, column.
    Fix(String, usize, Option<String>),
    /// A cell of it is typed.
    Cell(usize, String),
    /// The row is put back.
    FixDone,
    /// The row goes.
    FixRemove,
    /// The row is left as it was.
    FixLeave,
    /// A trial is kept out for a reason, or taken in again.
    Exclude(String, Option<Exclusion>),
    /// A job is asked for.
    Run(Step),
    /// Jobs are to stop.
    Cancel,
    /// A job has come so far; the ticket tells whether it is still wanted.
    Progress(u64, u8),
    /// A job answered, as JSON; nothing where it did not.
    Answered(u64, Step, Option<String>),
    /// The system whose list is shown.
    System(String),
    /// Other rules for a system.
    Rules(String, Box<Rules>),
    /// What was typed in a rule's field is no rule.
    RuleFault(String, String),
    /// Her word while she writes it; `None` leaves it unwritten.
    Word(Option<Box<ShortlistEntry>>),
    /// Her word on a variety; without a stance it is taken back.
    SetWord(Box<ShortlistEntry>),
    /// Something is to be saved.
    Save(Product),
    /// Saving went so.
    Saved(Saving),
}

/// Stands for the header in [`Msg::Fix`], whichever row it is in.
pub const HEADER: usize = 0;

impl Reducible for Office {
    type Action = Msg;

    fn reduce(self: Rc<Self>, action: Msg) -> Rc<Self> {
        Rc::new(update(&self, action))
    }
}

/// The state after a message.
pub fn update(office: &Office, msg: Msg) -> Office {
    let mut next = office.clone();
    match msg {
        Msg::Remembered(draft) => {
            if let Some(draft) = draft.filter(|_| office.is_empty()) {
                next.draft = Rc::from(draft);
                next.waiting = next.draft.fitted.then_some(Step::Fit);
                changed(&mut next);
            }
        }
        Msg::Kept(kept) => next.kept = kept,
        Msg::Arrived(arrivals) => arrived(&mut next, arrivals),
        Msg::Place(name, file) => place(&mut next, &name, file),
        Msg::Decide(name, join) => decide(&mut next, &name, join),
        Msg::Remove(file) => {
            draft(&mut next).files.remove(&file);
            draft(&mut next).sources.remove(&file);
            next.letters.remove(&file);
            changed(&mut next);
        }
        Msg::Open(network) => open(&mut next, &network),
        Msg::Clear => {
            let (kept, ticket, revision) = (office.kept, office.ticket, office.revision + 1);
            next = Office { kept, ticket, revision, ..Office::default() };
        }
        Msg::Answer(file, marks) => {
            draft(&mut next).answers.insert(file, marks);
            changed(&mut next);
        }
        Msg::Typing(key, text) => _ = typed(&mut next).keys.insert(key.to_owned(), text),
        Msg::Key(key, kind, text) => set_key(&mut next, key, kind, &text),
        Msg::Resume(was) => resume(&mut next, *was),
        Msg::Fix(file, row, column) => turn_to_row(&mut next, file, row, column),
        Msg::Cell(place, text) => {
            if let Some(cell) = typed(&mut next).fix.as_mut().and_then(|fix| fix.cells.get_mut(place)) {
                *cell = text;
            }
        }
        Msg::FixDone => fixed(&mut next, |fix, text| edit::replace_row(&fix.file, text, fix.row, &fix.cells)),
        Msg::FixRemove => fixed(&mut next, |fix, text| edit::remove_row(&fix.file, text, fix.row)),
        Msg::FixLeave => typed(&mut next).fix = None,
        Msg::Exclude(trial, reason) => exclude(&mut next, &trial, reason),
        Msg::Run(step) => run(&mut next, step),
        Msg::Cancel => {
            next.waiting = None;
            cancel(&mut next);
        }
        Msg::Progress(ticket, percent) => progress(&mut next, ticket, percent),
        Msg::Answered(ticket, step, answer) => answered(&mut next, ticket, step, answer),
        Msg::System(system) => {
            next.system = Some(system);
            next.rule_fault = None;
        }
        Msg::RuleFault(field, text) => next.rule_fault = Some((field, text)),
        Msg::Rules(system, rules) => {
            next.rule_fault = None;
            draft(&mut next).rules.insert(system, *rules);
            (next.report, next.changes) = (Stage::Idle, Stage::Idle);
            forget_saving(&mut next);
            run(&mut next, Step::Lists);
        }
        Msg::Word(entry) => write_word(&mut next, entry.map(|entry| *entry)),
        Msg::SetWord(entry) => set_word(&mut next, *entry),
        Msg::Save(product) => {
            take_typed_keys(&mut next);
            save(&mut next, product);
        }
        Msg::Saved(saving) => next.saving = saving,
    }
    next
}

pub(super) fn draft(office: &mut Office) -> &mut Draft {
    Rc::make_mut(&mut office.draft)
}

fn typed(office: &mut Office) -> &mut Typed {
    Rc::make_mut(&mut office.typed)
}

/// Takes up what was typed in an earlier visit, as far as the files still hold the row that it belongs to.
fn resume(office: &mut Office, was: Typed) {
    office.resumed = true;
    let Typed { fix: was_fix, fixes, word, words, keys } = was;
    if let Some(was) = was_fix
        && let Some(now) = fix(office, was.file.clone(), was.row, was.column.clone())
        && now.header == was.header
        && now.cells.len() == was.cells.len()
    {
        typed(office).fix = Some(was);
    }
    let typed = typed(office);
    (typed.fixes, typed.word, typed.words, typed.keys) = (fixes, word, words, keys);
    take_typed_keys(office);
}

/// Takes what stands in fields of the form that she has not left, as leaving them would.
fn take_typed_keys(office: &mut Office) {
    for (known, kind) in form::KEYS {
        if let Some(text) = office.typed.keys.get(known).cloned() {
            set_key(office, known, kind, &text);
        }
    }
}

fn set_key(office: &mut Office, key: &'static str, kind: Kind, entered: &str) {
    if office.typed.keys.contains_key(key) {
        typed(office).keys.remove(key);
    }
    let text = office.draft.files.get(NETWORK_JSON).cloned().unwrap_or_default();
    if form::value(&text, key) != entered {
        set_file(office, NETWORK_JSON, form::with_value(&text, key, kind, entered));
    }
}

/// Turns to her word on a variety, or to none. What she wrote on another stays as she left it.
fn write_word(office: &mut Office, entry: Option<ShortlistEntry>) {
    let typed = typed(office);
    let same = |a: &ShortlistEntry, b: &ShortlistEntry| a.system == b.system && a.variety == b.variety;
    let Some(entry) = entry else {
        typed.word = None;
        return;
    };
    match typed.word.take() {
        Some(open) if !same(&open, &entry) => {
            let unfinished = typed.words.iter().position(|other| same(other, &entry));
            let entry = unfinished.map_or(entry, |at| typed.words.remove(at));
            typed.words.retain(|other| !same(other, &open));
            typed.words.push(open);
            typed.word = Some(entry);
        }
        Some(_) => typed.word = Some(entry),
        None => {
            let unfinished = typed.words.iter().position(|other| same(other, &entry));
            typed.word = Some(unfinished.map_or(entry, |at| typed.words.remove(at)));
        }
    }
}

/// The files are other than before: they are read again, and fitted again if they were.
pub(super) fn changed(office: &mut Office) {
    office.revision += 1;
    typed(office).fix = None;
    typed(office).fixes.clear();
    office.turned = None;
    for idle in
        [&mut office.influence as &mut dyn Forget, &mut office.track, &mut office.changes, &mut office.report]
    {
        idle.forget();
    }
    forget_saving(office);
    if office.is_empty() {
        office.read = Stage::Idle;
        office.job = None;
    } else {
        run(office, Step::Read);
    }
}

trait Forget {
    fn forget(&mut self);
}

impl<T> Forget for Stage<T> {
    fn forget(&mut self) {
        *self = Stage::Idle;
    }
}

fn set_file(office: &mut Office, file: &str, text: String) {
    draft(office).files.insert(file.to_owned(), text);
    changed(office);
}

/// The files of a network that is there take the place of what was being prepared.
fn open(office: &mut Office, network: &leanyear_engine::pack::Network) {
    let Ok(files) = write::files(network) else { return };
    let files = files.into_iter().map(|(name, text)| (name.to_owned(), text)).collect();
    let last = office.draft.last.clone();
    office.draft = Rc::new(Draft { files, last, ..Draft::default() });
    office.letters = Map::new();
    office.arrivals.clear();
    (office.fit, office.before, office.system) = (Stage::Idle, None, None);
    (office.read_before, office.turned, office.worded) = (None, None, None);
    changed(office);
}

/// Last year's network, to start this year's from.
pub fn last_network(office: &Office) -> Option<leanyear_engine::pack::Network> {
    Pack::from_json(&office.draft.last.as_ref()?.json).ok().map(|pack| pack.network)
}

fn fix(office: &Office, file: String, row: usize, column: Option<String>) -> Option<Fix> {
    let text = office.draft.files.get(&file)?;
    // A problem of a column as a whole is put right in the header.
    let row = if row == HEADER { edit::header_row(&file, text)? } else { row };
    let found = edit::row(&file, text, row)?;
    Some(Fix { file, row, column, header: found.header, cells: found.cells })
}

/// Opens a row to be put right. What she typed in another stays as she left it.
fn turn_to_row(office: &mut Office, file: String, row: usize, column: Option<String>) {
    let Some(mut opened) = fix(office, file, row, column) else { return };
    let same = |a: &Fix, b: &Fix| a.file == b.file && a.row == b.row;
    let typed = typed(office);
    if let Some(open) = typed.fix.take().filter(|open| !same(open, &opened)) {
        typed.fixes.push(open);
    }
    if let Some(at) = typed.fixes.iter().position(|other| same(other, &opened)) {
        let left = typed.fixes.remove(at);
        if left.header == opened.header && left.cells.len() == opened.cells.len() {
            opened.cells = left.cells;
        }
    }
    typed.fix = Some(opened);
}

fn fixed(office: &mut Office, change: impl Fn(&Fix, &str) -> Option<String>) {
    let Some(fix) = typed(office).fix.take() else { return };
    let text = office.draft.files.get(&fix.file).and_then(|text| change(&fix, text));
    if let Some(text) = text {
        // Rows are still numbered as they were, unless one went.
        let rows = |text: &str| text.lines().count();
        let stay = office.draft.files.get(&fix.file).is_some_and(|before| rows(before) == rows(&text));
        let left = if stay { std::mem::take(&mut typed(office).fixes) } else { Vec::new() };
        set_file(office, &fix.file, text);
        typed(office).fixes = left;
    }
}

fn exclude(office: &mut Office, trial: &str, reason: Option<Exclusion>) {
    let word = match reason {
        None => "",
        Some(Exclusion::Drought) => "drought",
        Some(Exclusion::Hail) => "hail",
        Some(Exclusion::Stand) => "stand",
        Some(Exclusion::Other) => "other",
    };
    let text = office.draft.files.get(TRIALS);
    let text = text.and_then(|text| edit::set_cell(TRIALS, text, "trial", trial, "excluded", word));
    if let Some(text) = text {
        set_file(office, TRIALS, text);
        office.turned = Some(trial.to_owned());
    }
}

/// Her word is no part of the data: the list is put together anew, nothing is fitted.
fn set_word(office: &mut Office, entry: ShortlistEntry) {
    typed(office).word = None;
    office.worded = Some((entry.system.clone(), entry.variety.clone()));
    let Some(mut read) = office.shown_read().cloned() else { return };
    let Some(mut network) = read.network.clone() else { return };
    network.shortlist.retain(|other| other.system != entry.system || other.variety != entry.variety);
    if Stance::of(&entry.stance).is_some() {
        network.shortlist.push(entry);
    }
    let text = write::file(SHORTLIST, &network).unwrap_or_default();
    if network.shortlist.is_empty() {
        draft(office).files.remove(SHORTLIST);
    } else {
        draft(office).files.insert(SHORTLIST.to_owned(), text);
    }
    if office.read.is_running() {
        // The files have changed meanwhile: what is being read is older than her word.
        return changed(office);
    }
    read.network = Some(network);
    office.read = Stage::Done(Rc::new(read));
    office.report = Stage::Idle;
    forget_saving(office);
    run(office, Step::Lists);
}

#[cfg(test)]
#[path = "update_tests.rs"]
pub(super) mod tests;
