//! What becomes of dropped files: taken, taken in place of others, joined to those of their kind, or left waiting for
//! her word, so that nothing that was there goes without being named.
//!
//! Pure changes of the office's state. It sorts no file: [`super::arrival`] does.

use super::arrival::Found;
use super::job::Step;
use super::running::run;
use super::state::{Arrival, Fate, LastYear, Office, Stage};
use super::update::{changed, draft};
use leanyear_engine::pack::Letters;
use leanyear_engine::pack::join::joined;

/// Takes dropped files up. Several of one kind in one drop are one file each season and are joined; one that comes
/// later waits, unless it bears the name of the network's file, or all that the file came in come again.
pub(super) fn arrived(office: &mut Office, mut arrivals: Vec<Arrival>) {
    // Those that bear a network's name first, then by name, so that seasons stand in their order.
    leanyear_engine::order::sort_by_key(&mut arrivals, |arrival| {
        (!matches!(arrival.found, Found::File { by_columns: false, .. }), arrival.name.clone())
    });
    let names: Vec<String> = arrivals.iter().map(|arrival| arrival.name.clone()).collect();
    let mut taken: Vec<&'static str> = Vec::new();
    for arrival in &mut arrivals {
        match &arrival.found {
            Found::File { file, text, letters, by_columns } => {
                let (file, text, letters) = (*file, text.clone(), *letters);
                let there = office.draft.files.contains_key(file);
                let before = office.draft.came_in(file);
                let again = !before.is_empty() && before.iter().all(|name| names.contains(name));
                arrival.fate = if taken.contains(&file) {
                    join(office, file, &arrival.name, &text, letters)
                } else if !there || !by_columns || again {
                    take(office, file, &arrival.name, text, letters)
                } else {
                    Fate::Waits(could_join(office, file, &text))
                };
                if !matches!(arrival.fate, Fate::Waits(_)) {
                    taken.push(file);
                }
            }
            Found::Pack(json) => {
                let last = LastYear { name: arrival.name.clone(), json: json.clone() };
                draft(office).last = Some(last);
                office.changes = Stage::Idle;
            }
            Found::Unknown(_) | Found::Refused(_) | Found::BadPack(_) => {}
        }
    }
    // What still waits for her word is not forgotten over what comes.
    let waits = |old: &Arrival| matches!(old.fate, Fate::Waits(_)) && !names.contains(&old.name);
    office.arrivals.retain(waits);
    office.arrivals.extend(arrivals);
    if !taken.is_empty() {
        changed(office);
    } else if office.fresh_fit().is_some() && office.draft.last.is_some() {
        run(office, Step::Changes);
    }
}

/// Says what a text is that no column names.
pub(super) fn place(office: &mut Office, name: &str, file: &'static str) {
    let found = office.arrivals.iter_mut().find(|arrival| arrival.name == name);
    let Some(arrival) = found else { return };
    let Found::Unknown(text) = &arrival.found else { return };
    let text = text.clone();
    arrival.found = Found::File { file, text: text.clone(), letters: Letters::Utf8, by_columns: false };
    let fate = match office.draft.files.contains_key(file) {
        true => Fate::Waits(could_join(office, file, &text)),
        false => take(office, file, name, text, Letters::Utf8),
    };
    settle(office, name, fate);
}

/// Her word on a file that waits: its rows behind those that are there, or in their place.
pub(super) fn decide(office: &mut Office, name: &str, join_it: bool) {
    let waits = |arrival: &&Arrival| arrival.name == name && matches!(arrival.fate, Fate::Waits(_));
    let Some(Arrival { found: Found::File { file, text, letters, .. }, .. }) =
        office.arrivals.iter().find(waits).cloned()
    else {
        return;
    };
    let fate = match join_it {
        true => join(office, file, name, &text, letters),
        false => take(office, file, name, text, letters),
    };
    settle(office, name, fate);
}

fn settle(office: &mut Office, name: &str, fate: Fate) {
    let done = !matches!(fate, Fate::Waits(_));
    if let Some(arrival) = office.arrivals.iter_mut().find(|arrival| arrival.name == name) {
        arrival.fate = fate;
    }
    if done {
        changed(office);
    }
}

fn take(office: &mut Office, file: &str, name: &str, text: String, letters: Letters) -> Fate {
    let draft = draft(office);
    draft.files.insert(file.to_owned(), text);
    draft.answers.remove(file);
    let before = draft.came_in(file);
    draft.sources.insert(file.to_owned(), name.to_owned());
    office.letters.insert(file.to_owned(), letters);
    if before.is_empty() || before == [name.to_owned()] { Fate::Taken } else { Fate::InPlaceOf(before) }
}

fn join(office: &mut Office, file: &str, name: &str, text: &str, letters: Letters) -> Fate {
    let there = office.draft.files.get(file).map(String::as_str).unwrap_or_default();
    match joined(file, there, text) {
        Ok(found) => {
            let draft = draft(office);
            draft.files.insert(file.to_owned(), found.text);
            draft.answers.remove(file);
            let names = [draft.came_in(file), vec![name.to_owned()]].concat();
            draft.sources.insert(file.to_owned(), names.join("\n"));
            if letters != Letters::Utf8 {
                office.letters.insert(file.to_owned(), letters);
            }
            Fate::Joined { rows: found.rows, first_row: found.first_row }
        }
        Err(why) => Fate::Waits(Some(why)),
    }
}

fn could_join(office: &Office, file: &str, text: &str) -> Option<leanyear_engine::pack::join::Unjoinable> {
    let there = office.draft.files.get(file).map(String::as_str).unwrap_or_default();
    joined(file, there, text).err()
}
