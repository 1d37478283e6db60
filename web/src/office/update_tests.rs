//! What each message does to a network being prepared.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::super::arrival::{Dropped, sort};
use super::super::job::{do_work, is_work};
use super::super::state::Fate;
use super::*;

fn arrival(name: &str, text: &str) -> Arrival {
    let dropped = Dropped { name: name.into(), bytes: Some(text.as_bytes().to_vec()), size: text.len() };
    Arrival { name: name.into(), found: sort(&dropped), fate: Fate::default() }
}

/// A state with the small network of these tests, its jobs done as a worker does them.
pub fn prepared() -> Office {
    let mut trials = "trial;site;season;water\n".to_owned();
    let mut means = "trial;variety;yield\n".to_owned();
    for season in 2018..2024 {
        for site in ["N", "S"] {
            trials += &format!("{site}{season};{site};{season};{}\n", 200 + (season * 37) % 90);
            for variety in 1..7 {
                let noise = (variety * 29 + season * 13 + i32::from(site == "N")) % 7;
                means += &format!("{site}{season};V{variety};{},{}\n", 2 + variety % 3, 10 + noise * 11);
            }
        }
    }
    let office = update(
        &Office::default(),
        Msg::Arrived(vec![arrival("trials.csv", &trials), arrival("July means.csv", &means)]),
    );
    let office = update(&office, Msg::Key("name", Kind::Text, "Invented".into()));
    let office = update(&office, Msg::Key("yield_unit", Kind::Text, "t/ha".into()));
    settled(office)
}

pub fn settled(mut office: Office) -> Office {
    let mut last = 0;
    while let Some((step, ticket)) = office.job.filter(|(_, ticket)| *ticket != last) {
        last = ticket;
        let request = serde_json::to_string(&office.work(step)).unwrap();
        assert!(is_work(&request));
        let answer = do_work(&request, &mut |_| {});
        office = update(&office, Msg::Answered(ticket, step, Some(answer)));
    }
    office
}

#[test]
fn files_by_any_name_are_read_and_fitted() {
    let office = prepared();
    let read = office.read.done().unwrap();
    assert!(read.errors.is_empty(), "{:?}", read.errors);
    assert_eq!(read.look.as_ref().unwrap().trials.len(), 12);
    let office = settled(update(&office, Msg::Run(Step::Fit)));
    let fit = office.fresh_fit().unwrap_or_else(|| panic!("{:?}", office.fit));
    assert_eq!(fit.sizes, (6, 12, 72));
    assert_eq!(office.shown_system(), Some("all"));
    assert!(office.influence.done().is_some_and(|found| found.len() == 1));
}

#[test]
fn a_trial_kept_out_is_fitted_without_and_comes_back() {
    let fitted = settled(update(&prepared(), Msg::Run(Step::Fit)));
    let out = update(&fitted, Msg::Exclude("N2020".into(), Some(Exclusion::Hail)));
    assert!(
        out.stale() && out.draft.files["trials.csv"].contains(";hail\n"),
        "{}",
        out.draft.files["trials.csv"]
    );
    let out = settled(out);
    assert_eq!(out.fresh_fit().unwrap().sizes.1, 11);
    assert_eq!(out.before.as_ref().unwrap().sizes.1, 12);
    let back = settled(update(&out, Msg::Exclude("N2020".into(), None)));
    assert_eq!(back.fresh_fit().unwrap().fitted, fitted.fresh_fit().unwrap().fitted);
}

#[test]
fn what_stood_in_sight_stays_there_while_files_are_read_and_fitted_again() {
    let fitted = settled(update(&prepared(), Msg::Run(Step::Fit)));
    let reading = update(&fitted, Msg::Exclude("N2020".into(), Some(Exclusion::Hail)));
    assert_eq!((reading.read.done(), reading.turned.as_deref()), (None, Some("N2020")));
    assert_eq!(reading.shown_read(), fitted.read.done());
    let (step, ticket) = reading.job.unwrap();
    let request = serde_json::to_string(&reading.work(step)).unwrap();
    let fitting = update(&reading, Msg::Answered(ticket, step, Some(do_work(&request, &mut |_| {}))));
    assert!(fitting.fit.is_running());
    assert_eq!(fitting.shown_fit(), fitted.fit.done());
    assert_eq!(fitting.shown_system(), Some("all"));
}

#[test]
fn her_word_is_not_lost_under_another_job() {
    let fitted = settled(update(&prepared(), Msg::Run(Step::Fit)));
    let entry = ShortlistEntry {
        system: "all".into(),
        variety: "V2".into(),
        stance: "out".into(),
        note: "lodges".into(),
        by: String::new(),
        date: String::new(),
    };
    let word = |office: &Office| {
        let lines = &office.fresh_fit().unwrap().lists["all"].lines;
        lines.iter().find(|line| line.variety == "V2").unwrap().word.clone()
    };
    // The list is being put together anew when the report is asked for.
    let hurried = update(&update(&fitted, Msg::SetWord(Box::new(entry.clone()))), Msg::Run(Step::Report));
    assert_eq!(word(&hurried), None);
    assert_eq!(word(&settled(hurried)), Some(entry.clone()));
    // The files are being read when it is written.
    let reading = update(&fitted, Msg::Exclude("N2020".into(), Some(Exclusion::Hail)));
    let written = settled(update(&reading, Msg::SetWord(Box::new(entry.clone()))));
    assert_eq!(word(&written), Some(entry));
    assert_eq!(written.fresh_fit().unwrap().sizes.1, 11);
}

#[test]
fn a_saving_that_another_job_displaced_does_not_say_that_it_runs() {
    let fitted = settled(update(&prepared(), Msg::Run(Step::Fit)));
    let saving = update(&fitted, Msg::Save(Product::Page));
    assert_eq!(saving.saving, Saving::Running(Product::Page));
    assert_eq!(update(&saving, Msg::Run(Step::Track)).saving, Saving::None);
}

#[test]
fn what_is_saved_while_something_else_is_saved_is_saved_after_it() {
    let fitted = settled(update(&prepared(), Msg::Run(Step::Fit)));
    let asked = [Product::Pack, Product::Page, Product::Folder, Product::Page];
    let mut office = asked.into_iter().fold(fitted, |office, product| update(&office, Msg::Save(product)));
    let mut saved = Vec::new();
    while let (Saving::Running(product), Some((step, ticket))) = (office.saving.clone(), office.job) {
        assert_eq!(step, product.step());
        saved.push(product);
        office = update(&office, Msg::Saved(Saving::Saved(product)));
        office = update(&office, Msg::Answered(ticket, step, Some("{}".into())));
    }
    assert_eq!(saved, [Product::Pack, Product::Page, Product::Folder]);
    let two = update(&update(&office, Msg::Save(Product::Pack)), Msg::Save(Product::Page));
    let stopped = update(&two, Msg::Cancel);
    assert_eq!((stopped.saving, stopped.to_save.len()), (Saving::None, 0));
}

#[test]
fn a_problem_is_put_right_in_its_row() {
    let office = update(&prepared(), Msg::Fix("means.csv".into(), 2, Some("yield".into())));
    let fix = office.typed.fix.clone().unwrap();
    assert_eq!((fix.header.len(), fix.cells[1].as_str()), (3, "V1"));
    let broken = settled(update(&update(&office, Msg::Cell(2, "three".into())), Msg::FixDone));
    let read = broken.read.done().unwrap();
    assert_eq!((read.errors.len(), read.errors[0].row, read.look.is_none()), (1, Some(2), true));
    let again = update(&broken, Msg::Fix("means.csv".into(), 2, None));
    let gone = settled(update(&again, Msg::FixRemove));
    assert!(gone.read.done().unwrap().errors.is_empty());
}

#[test]
fn what_is_asked_for_while_files_are_read_waits_for_them() {
    let exclude = |office: &Office| update(office, Msg::Exclude("N2018".into(), Some(Exclusion::Hail)));
    let reading = exclude(&prepared());
    assert!(reading.read.is_running());
    let fitted = settled(update(&reading, Msg::Run(Step::Fit)));
    assert!(fitted.fresh_fit().is_some() && fitted.read.done().is_some());
    let reading = exclude(&fitted);
    let reading = update(&reading, Msg::Exclude("N2018".into(), None));
    assert_eq!(update(&reading, Msg::Save(Product::Page)).saving, Saving::None);
    let tracked = settled(update(&reading, Msg::Run(Step::Track)));
    assert!(tracked.track.done().is_some() && tracked.fresh_fit().is_some());
    let rules = Box::new(fitted.fresh_fit().unwrap().lists["all"].rules.clone());
    let ruled = update(&reading, Msg::Rules("all".into(), rules));
    assert!(ruled.read.is_running() && settled(ruled).fresh_fit().is_some());
    let left = settled(update(&update(&reading, Msg::Run(Step::Track)), Msg::Cancel));
    assert_eq!((left.waiting, left.job), (None, None));
}

#[test]
fn what_is_half_typed_outlives_a_reload_but_not_its_row() {
    let fixing = update(&prepared(), Msg::Fix("means.csv".into(), 2, Some("yield".into())));
    let typed = update(&fixing, Msg::Cell(2, "3.".into()));
    let word = ShortlistEntry {
        system: "all".into(),
        variety: "V2".into(),
        stance: "follow".into(),
        note: "stands w".into(),
        by: String::new(),
        date: "2025-07-01".into(),
    };
    let typed = update(&typed, Msg::Word(Some(Box::new(word))));
    let kept = serde_json::to_string(&*typed.typed).unwrap();
    let reopened = |draft: Draft| {
        let office = update(&Office::default(), Msg::Remembered(Some(Box::new(draft))));
        settled(update(&office, Msg::Resume(Box::new(serde_json::from_str(&kept).unwrap()))))
    };
    let again = reopened((*typed.draft).clone());
    assert!(again.resumed && again.typed == typed.typed);
    assert_eq!(again.typed.fix.as_ref().unwrap().cells[2], "3.");
    let mut other = (*typed.draft).clone();
    other.files.insert("means.csv".into(), "trial,variety\nN2018,V1\n".into());
    assert_eq!(reopened(other).typed.fix, None);
}

#[test]
fn her_word_is_written_and_taken_back_without_a_new_fit() {
    let fitted = settled(update(&prepared(), Msg::Run(Step::Fit)));
    let entry = ShortlistEntry {
        system: "all".into(),
        variety: "V2".into(),
        stance: "out".into(),
        note: "=lodges, </script>".into(),
        by: String::new(),
        date: "2025-07-01".into(),
    };
    let worded = settled(update(&fitted, Msg::SetWord(Box::new(entry.clone()))));
    let line = |office: &Office| {
        let lines = &office.fresh_fit().unwrap().lists["all"].lines;
        lines.iter().find(|line| line.variety == "V2").cloned().unwrap()
    };
    assert_eq!(line(&worded).word, Some(entry.clone()));
    assert_eq!(line(&worded).odds, line(&fitted).odds);
    let back =
        settled(update(&worded, Msg::SetWord(Box::new(ShortlistEntry { stance: String::new(), ..entry }))));
    assert_eq!(line(&back).word, None);
    assert_eq!(back.draft.files, fitted.draft.files);
}

#[test]
fn an_answer_that_comes_too_late_is_not_used() {
    let running = update(&prepared(), Msg::Run(Step::Fit));
    let (step, ticket) = running.job.unwrap();
    let cancelled = update(&running, Msg::Cancel);
    assert_eq!(cancelled.fit, Stage::Cancelled);
    let late = update(&cancelled, Msg::Answered(ticket, step, Some("{}".into())));
    assert_eq!(late, cancelled);
    assert_eq!(update(&cancelled, Msg::Progress(ticket, 50)), cancelled);
}

#[test]
fn all_of_it_can_be_put_away_and_found_again() {
    let office = prepared();
    let kept = serde_json::to_string(&*office.draft).unwrap();
    let cleared = update(&office, Msg::Clear);
    assert!(cleared.is_empty() && cleared.read == Stage::Idle);
    let again = settled(update(&Office::default(), Msg::Remembered(serde_json::from_str(&kept).ok())));
    assert_eq!((&again.draft, &again.read), (&office.draft, &office.read));
}

#[test]
fn a_file_a_season_is_one_file_and_nothing_goes_without_being_named() {
    let season = |year: i32, yield_: &str| {
        let name = format!("means {year}.csv");
        (name, format!("trial;variety;yield\nN{year};V1;{yield_}\nN{year};V2;3,5\n"))
    };
    let drop = |office: &Office, years: &[(i32, &str)]| {
        let files = years.iter().map(|(year, yield_)| season(*year, yield_));
        update(office, Msg::Arrived(files.map(|(name, text)| arrival(&name, &text)).collect()))
    };
    let means = |office: &Office| office.draft.files["means.csv"].clone();
    let fates = |office: &Office| -> Vec<Fate> { office.arrivals.iter().map(|a| a.fate.clone()).collect() };
    let two = drop(&Office::default(), &[(2023, "3,1"), (2022, "3,0")]);
    assert_eq!(
        means(&two),
        "trial;variety;yield\nN2022;V1;3,0\nN2022;V2;3,5\nN2023;V1;\"3,1\"\nN2023;V2;\"3,5\"\n"
    );
    assert_eq!(fates(&two), [Fate::Taken, Fate::Joined { rows: 2, first_row: 4 }]);
    // A third one later waits for her word, and either word is carried out.
    let third = drop(&two, &[(2024, "3,2")]);
    assert_eq!((means(&third), fates(&third)), (means(&two), vec![Fate::Waits(None)]));
    let joined = update(&third, Msg::Decide("means 2024.csv".into(), true));
    assert_eq!((means(&joined).lines().count(), joined.draft.came_in("means.csv").len()), (7, 3));
    let replaced = update(&third, Msg::Decide("means 2024.csv".into(), false));
    assert_eq!(means(&replaced).lines().count(), 3);
    let before = vec!["means 2022.csv".to_owned(), "means 2023.csv".to_owned()];
    assert_eq!(fates(&replaced), [Fate::InPlaceOf(before)]);
    // Its only file dropped again, put right, takes its own place without a question.
    let again = drop(&replaced, &[(2024, "9,9")]);
    assert!(means(&again).contains("9,9") && fates(&again) == [Fate::Taken]);
    let both = drop(&two, &[(2022, "7,7"), (2023, "8,8")]);
    assert_eq!((means(&both).lines().count(), both.draft.came_in("means.csv").len()), (5, 2));
    assert!(means(&both).contains("7,7") && means(&both).contains("8,8"));
    let pointed = arrival("means 2025.csv", "trial,variety,yield\nN2025,V1,4.1\n");
    let odd = update(&again, Msg::Arrived(vec![pointed]));
    assert!(matches!(fates(&odd)[..], [Fate::Waits(Some(_))]) && means(&odd) == means(&again));
    let later = update(&odd, Msg::Arrived(vec![arrival("sites.csv", "site,name\nN,North\n")]));
    assert!(matches!(fates(&later)[..], [Fate::Waits(Some(_)), Fate::Taken]));
}

#[test]
fn a_field_that_was_not_left_is_taken_when_she_saves_and_after_a_reload() {
    let fitted = settled(update(&prepared(), Msg::Run(Step::Fit)));
    let typing = update(&fitted, Msg::Typing("name", "Dry hills".into()));
    assert_eq!(typing.draft, fitted.draft);
    let asked = update(&typing, Msg::Save(Product::Pack));
    assert!(asked.read.is_running() && asked.to_save == [Product::Pack]);
    let mut office = asked;
    while office.saving != Saving::Running(Product::Pack) {
        let (step, ticket) = office.job.unwrap();
        assert_ne!(step, Step::Influence, "she waits for what she wants saved");
        let request = serde_json::to_string(&office.work(step)).unwrap();
        office = update(&office, Msg::Answered(ticket, step, Some(do_work(&request, &mut |_| {}))));
    }
    assert!(office.draft.files["network.json"].contains("Dry hills"));
    let kept = serde_json::to_string(&*typing.typed).unwrap();
    let draft = Some(Box::new((*typing.draft).clone()));
    let reopened = update(&Office::default(), Msg::Remembered(draft));
    let reopened = update(&reopened, Msg::Resume(Box::new(serde_json::from_str(&kept).unwrap())));
    assert!(reopened.draft.files["network.json"].contains("Dry hills") && reopened.typed.keys.is_empty());
}

#[test]
fn what_is_half_written_stays_while_she_looks_elsewhere() {
    let fixing = update(&prepared(), Msg::Fix("means.csv".into(), 2, Some("yield".into())));
    let typed = update(&fixing, Msg::Cell(2, "3,7".into()));
    let other = update(&typed, Msg::Fix("means.csv".into(), 5, None));
    let done = settled(update(&update(&other, Msg::Cell(2, "3,3".into())), Msg::FixDone));
    let back = update(&done, Msg::Fix("means.csv".into(), 2, None));
    assert_eq!(back.typed.fix.as_ref().unwrap().cells[2], "3,7");
    let word = |variety: &str, note: &str| {
        Msg::Word(Some(Box::new(ShortlistEntry {
            system: "all".into(),
            variety: variety.into(),
            stance: String::new(),
            note: note.into(),
            by: String::new(),
            date: String::new(),
        })))
    };
    let note = |office: &Office| office.typed.word.clone().unwrap().note;
    let first = update(&update(&prepared(), word("V1", "")), word("V1", "stands w"));
    let second = update(&first, word("V2", ""));
    assert_eq!((note(&second), second.typed.words.len()), (String::new(), 1));
    let back = update(&second, word("V1", ""));
    assert_eq!(note(&back), "stands w");
}
