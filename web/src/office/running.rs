//! Which job runs, which waits, and what its answer changes, as changes of the office's state.
//!
//! It starts nothing: whoever reads the state's `job` does. It knows no message and no file.

use super::job::{ListsAnswer, Step};
use super::state::{Office, Product, Saving, Stage};
use serde::de::DeserializeOwned;
use std::rc::Rc;

/// Asks for a job. One at a time: a new one takes the place of what is running, but never of reading, for which it
/// waits, since nothing can be made of files that are not read.
pub(super) fn run(office: &mut Office, step: Step) {
    if office.read.is_running() && step != Step::Read {
        match step {
            Step::Lists => office.lists_due = true,
            other => office.waiting = Some(other),
        }
        return;
    }
    cancel(office);
    office.ticket += 1;
    office.job = Some((step, office.ticket));
    match step {
        Step::Read => {
            office.read_before = office.read.done().cloned().map(Rc::new).or(office.read_before.take());
            office.read = Stage::Running(0);
        }
        Step::Fit => {
            office.before = office.fit.done().cloned().map(Rc::new).or(office.before.take());
            office.fit = Stage::Running(0);
        }
        Step::Influence => office.influence = Stage::Running(0),
        Step::Track => office.track = Stage::Running(0),
        Step::Changes => office.changes = Stage::Running(0),
        Step::Report => office.report = Stage::Running(0),
        Step::Lists | Step::Page | Step::Folder => {}
    }
}

/// Saves a product, once those that were asked for before it are saved, and once files that are being read and fitted
/// are.
pub(super) fn save(office: &mut Office, product: Product) {
    let comes = office.read.is_running() || office.fit.is_running();
    if comes || matches!(office.saving, Saving::Running(_)) {
        if office.saving != Saving::Running(product) && !office.to_save.contains(&product) {
            office.to_save.push(product);
        }
        return;
    }
    run(office, product.step());
    office.saving = Saving::Running(product);
}

/// Saves nothing of what stands, since it is changed.
pub(super) fn forget_saving(office: &mut Office) {
    office.saving = Saving::None;
    office.to_save.clear();
}

/// Stops what runs; what it would have replaced stands.
pub(super) fn cancel(office: &mut Office) {
    fn stop<T>(stage: &mut Stage<T>) {
        if stage.is_running() {
            *stage = Stage::Cancelled;
        }
    }
    stop(&mut office.read);
    stop(&mut office.influence);
    stop(&mut office.track);
    stop(&mut office.changes);
    stop(&mut office.report);
    if office.fit.is_running() {
        // What was fitted before still stands, marked as older than the files.
        office.fit = office.before.take().map_or(Stage::Cancelled, Stage::Done);
    }
    if matches!(office.saving, Saving::Running(_)) {
        forget_saving(office);
    }
    office.lists_due |= matches!(office.job, Some((Step::Lists, _)));
    office.job = None;
}

/// Takes note of how far a job is.
pub(super) fn progress(office: &mut Office, ticket: u64, percent: u8) {
    let Some((step, _)) = office.job.filter(|(_, now)| *now == ticket) else { return };
    fn move_on<T>(stage: &mut Stage<T>, percent: u8) {
        if stage.is_running() {
            *stage = Stage::Running(percent);
        }
    }
    match step {
        Step::Read => move_on(&mut office.read, percent),
        Step::Fit => move_on(&mut office.fit, percent),
        Step::Influence => move_on(&mut office.influence, percent),
        Step::Track => move_on(&mut office.track, percent),
        Step::Changes => move_on(&mut office.changes, percent),
        Step::Report => move_on(&mut office.report, percent),
        Step::Lists | Step::Page | Step::Folder => {}
    }
}

/// What a job says when it has no answer.
#[derive(serde::Deserialize)]
struct Fault {
    error: String,
}

fn taken<T: DeserializeOwned>(answer: &Option<String>) -> Stage<T> {
    let Some(text) = answer else { return Stage::Failed(String::new()) };
    match leanyear_engine::json::read::<T>(text) {
        Ok(value) => Stage::Done(Rc::new(value)),
        Err(_) => Stage::Failed(
            leanyear_engine::json::read::<Fault>(text).map(|fault| fault.error).unwrap_or_default(),
        ),
    }
}

/// Takes a job's answer, if it is still wanted, and asks for what follows from it.
pub(super) fn answered(office: &mut Office, ticket: u64, step: Step, answer: Option<String>) {
    if office.job != Some((step, ticket)) {
        return;
    }
    office.job = None;
    take(office, step, answer);
    if office.lists_due && office.job.is_none() && office.fresh_fit().is_some() {
        run(office, Step::Lists);
    }
    if office.job.is_none() && !office.to_save.is_empty() {
        let product = office.to_save.remove(0);
        let ready = match product {
            Product::Folder => office.read.done().is_some_and(|read| read.network.is_some()),
            Product::Page | Product::Site | Product::Pack => office.fresh_fit().is_some(),
        };
        if ready {
            save(office, product);
        } else {
            forget_saving(office);
        }
    }
    if office.job.is_none()
        && let Some(step) = office.waiting.take()
        && office.fresh_fit().is_some()
    {
        run(office, step);
    }
}

fn take(office: &mut Office, step: Step, answer: Option<String>) {
    match step {
        Step::Read => {
            office.read = taken(&answer);
            let clean = office.read.done().is_some_and(|read| read.network.is_some());
            let asked = office.waiting.take_if(|step| *step == Step::Fit).is_some();
            if clean && (asked || office.fit.done().is_some()) {
                run(office, Step::Fit);
            }
        }
        Step::Fit => {
            office.fit = taken(&answer);
            office.lists_due = false;
            office.fit_revision = office.revision;
            if office.fit.done().is_some() {
                Rc::make_mut(&mut office.draft).fitted = true;
                let next = if office.draft.last.is_some() { Step::Changes } else { Step::Influence };
                // She waits for what she wants saved; the rest can wait for that.
                match office.to_save.is_empty() {
                    true => run(office, next),
                    false => office.waiting = Some(next),
                }
            }
        }
        Step::Lists => {
            let lists: Stage<ListsAnswer> = taken(&answer);
            office.lists_due = false;
            if let (Stage::Done(lists), Some(fit)) = (lists, office.fit.done()) {
                let mut fit = fit.clone();
                fit.lists = (*lists).clone();
                office.fit = Stage::Done(Rc::new(fit));
            }
        }
        Step::Changes => {
            office.changes = taken(&answer);
            if office.influence == Stage::Idle {
                run(office, Step::Influence);
            }
        }
        Step::Influence => office.influence = taken(&answer),
        Step::Track => office.track = taken(&answer),
        Step::Report => office.report = taken(&answer),
        Step::Page | Step::Folder => {
            if answer.is_none() {
                office.saving = Saving::Failed(String::new());
            }
        }
    }
}
