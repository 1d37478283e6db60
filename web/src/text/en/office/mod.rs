//! English: the office, for an agronomist.

mod columns;
mod fit;
mod labels;
mod lists;
mod problems;

use super::{English, list};
use crate::number::NumberProblem;
use crate::office::state::{Fate, Product};
use crate::text::SettingWords;
use crate::text::figure::Units;
use crate::text::office::{ArrivalWord, Desk, Names, OfficeWords, Term};
use crate::text::shared::count;
use leanyear_engine::forecast::form::FittedForm;
use leanyear_engine::mixed::network::Dropped;
use leanyear_engine::office::compare::Change;
use leanyear_engine::office::influence::Influence;
use leanyear_engine::office::look::DryTrials;
use leanyear_engine::office::outlying::OutlyingMean;
use leanyear_engine::office::report::Report;
use leanyear_engine::office::residuals::Spread;
use leanyear_engine::office::shares::{Part, Shares};
use leanyear_engine::office::shortlist::{Reason, Rules, Stance};
use leanyear_engine::pack::groups::Group;
use leanyear_engine::pack::{
    ErrorSource, FileNote, Letters, NetworkInfo, NumberMarks, Problem, ProblemKind, Question, Separator,
    TwoReadings,
};

impl OfficeWords for English {
    fn desk(&self, label: Desk) -> &'static str {
        labels::desk(label)
    }

    fn guide(&self) -> Vec<&'static str> {
        labels::GUIDE.to_vec()
    }

    fn term(&self, term: Term) -> &'static str {
        labels::term(term)
    }

    fn file_about(&self, file: &str) -> &'static str {
        columns::file(file)
    }

    fn column_about(&self, file: &str, column: &str) -> &'static str {
        columns::column(file, column)
    }

    fn key_about(&self, key: &str) -> (&'static str, &'static str) {
        columns::key(key)
    }

    fn arrival(&self, name: &str, word: ArrivalWord) -> String {
        match word {
            ArrivalWord::File { file, by_columns, letters, fate } => {
                let letters = match letters {
                    Letters::Utf8 => "",
                    Letters::Utf16 => " Its letters are UTF-16.",
                    Letters::Windows1252 => {
                        " Its letters are those of older Windows programs: check names with accents."
                    }
                };
                match (fate, by_columns) {
                    (Fate::Taken, true) => format!("{name} is taken as {file}, by its columns.{letters}"),
                    (Fate::Taken, false) => format!("{name} is taken.{letters}"),
                    (Fate::InPlaceOf(before), _) => {
                        format!("{name} is taken as {file}, in place of {}.{letters}", list(before))
                    }
                    (Fate::Joined { rows, first_row }, _) => format!(
                        "{name}: its {} stand in {file} behind those that were there, from row {first_row} on.{letters}",
                        count(*rows as u32, "row", "rows")
                    ),
                    (Fate::Waits(None), _) => format!(
                        "{name} would be {file}, which is there already. It is not used yet; say how:"
                    ),
                    (Fate::Waits(Some(why)), _) => format!(
                        "{name} would be {file}, which is there already. It is not used yet, and its rows cannot be put behind the others: {}.",
                        problems::unjoinable(*why)
                    ),
                }
            }
            ArrivalWord::Pack => {
                format!("{name} holds a whole network. It is kept beside yours as last year\u{2019}s.")
            }
            ArrivalWord::Unknown => format!("{name}: its columns are those of no file. Say what it is:"),
            ArrivalWord::Refused(kind) => format!("{name} is not used: {}", problems::kind(kind, &self.0)),
            ArrivalWord::BadPack(error) => format!("{name} is not used: {}", problems::pack(error, &self.0)),
        }
    }

    fn came_in(&self, sources: &[String]) -> String {
        format!("from {}", list(sources))
    }

    fn number_fault(&self, text: &str) -> Option<String> {
        let fault = crate::number::read(text, 0.0, f64::INFINITY).err()?;
        Some(match fault {
            NumberProblem::TwoReadings(one, other) => format!(
                "{text} can be read as {} and as {}. Write {} or {}.",
                self.0.plain(one),
                self.0.plain(other),
                self.0.typed(one),
                self.0.typed(other)
            ),
            _ => format!("\u{201c}{text}\u{201d} is not a number. Write digits with one decimal sign."),
        })
    }

    fn rule_refused(&self, text: &str, (least, greatest): (f64, f64), whole: bool) -> String {
        let kind = if whole { "a whole number" } else { "a number" };
        let [least, greatest] = [least, greatest].map(|end| self.0.plain(end));
        format!("\u{201c}{text}\u{201d} is not {kind} from {least} to {greatest}; the rule stays as it was.")
    }

    fn places_apart(&self) -> &'static str {
        "Varieties that no trial joins are placed apart: each group has places and a list of its own."
    }

    fn file_note(&self, note: &FileNote, letters: Letters) -> Option<String> {
        let mut parts: Vec<String> = Vec::new();
        match note.separator {
            Separator::Comma => {}
            Separator::Semicolon => parts.push("semicolons between cells".into()),
            Separator::Tab => parts.push("tabs between cells".into()),
        }
        if note.marks == NumberMarks::Comma {
            parts.push("decimal commas".into());
        }
        match letters {
            Letters::Utf8 => {}
            Letters::Utf16 => parts.push("letters in UTF-16".into()),
            Letters::Windows1252 => parts.push("letters of older Windows programs".into()),
        }
        if note.blank_rows > 0 {
            parts.push(format!("{} without a value", count(note.blank_rows as u32, "row", "rows")));
        }
        if note.blank_columns > 0 {
            parts.push(format!("{} without a value", count(note.blank_columns as u32, "column", "columns")));
        }
        if note.guarded > 0 {
            let cells = count(note.guarded as u32, "cell", "cells");
            parts.push(format!("{cells} kept from being formulas, read as text"));
        }
        if note.renamed > 0 {
            let names = count(note.renamed as u32, "column name", "column names");
            parts.push(format!("{names} written otherwise, taken as meant"));
        }
        for (mark, cells) in &note.missing {
            let cells = count(*cells as u32, "cell", "cells");
            parts.push(format!("{cells} with \u{201c}{mark}\u{201d}, read as blank"));
        }
        (!parts.is_empty()).then(|| format!("{}: {}.", note.file, parts.join(", ")))
    }

    fn rows_used(&self, used: usize, all: usize) -> String {
        match used == all {
            true => count(all as u32, "row", "rows"),
            false => format!("{used} of {}", count(all as u32, "row", "rows")),
        }
    }

    fn question(&self, question: &Question) -> String {
        format!(
            "{}: in {} a number can be read in two ways. Which is meant?",
            question.file,
            count(question.cells as u32, "cell", "cells")
        )
    }

    fn reading(&self, marks: NumberMarks, example: &TwoReadings) -> String {
        let value = match marks {
            NumberMarks::Point => example.point,
            NumberMarks::Comma => example.comma,
        };
        let words = if value >= 1000.0 { "a thousand and more" } else { "a decimal fraction" };
        format!("{} in row {} is {}, {words}", example.text, example.row, self.0.typed(value))
    }

    fn problem_place(&self, problem: &Problem) -> String {
        problems::place(problem)
    }

    fn problem(&self, kind: &ProblemKind) -> String {
        problems::kind(kind, &self.0)
    }

    fn problem_count(&self, errors: usize) -> String {
        match errors {
            1 => "One thing to put right before anything can be fitted.".into(),
            n => format!("{n} things to put right before anything can be fitted."),
        }
    }

    fn more_problems(&self, more: usize) -> String {
        format!("and {more} more in this file")
    }

    fn fix_row(&self, file: &str, row: usize) -> String {
        format!("{file}, row {row}")
    }

    fn groups(&self, groups: &[Group], names: &Names) -> Vec<String> {
        let Some((first, others)) = groups.split_first() else { return Vec::new() };
        let size = |group: &Group| {
            format!(
                "{} and {}",
                count(group.trials.len() as u32, "trial", "trials"),
                count(group.varieties.len() as u32, "variety", "varieties")
            )
        };
        if others.is_empty() {
            return vec![format!(
                "All {} hang together: any two varieties can be compared, directly or through others.",
                size(first)
            )];
        }
        let mut lines = vec![format!("{} hang together. Apart from them stand:", size(first))];
        for (number, group) in (2..).zip(others) {
            let few: Vec<String> = names.varieties(&group.varieties).into_iter().take(6).collect();
            let trials: Vec<String> = group.trials.iter().take(4).cloned().collect();
            lines.push(format!(
                "Group {number}: {} ({}{}) with {}{}. No variety of it stood in a trial with any other, so nothing but chance compares them; sow a check in both.",
                size(group),
                trials.join(", "),
                if group.trials.len() > 4 { ", \u{2026}" } else { "" },
                list(&few),
                if group.varieties.len() > 6 { " and others" } else { "" }
            ));
        }
        lines
    }

    fn dry(&self, dry: &DryTrials, several: bool) -> Option<String> {
        let place = if several { format!(" on {} ground", self.system(&dry.system)) } else { String::new() };
        (dry.high_cv > 0).then(|| {
            let of = match (dry.high_cv, dry.high_cv_dry) {
                (1, 1) => format!("The one trial{place} with a CV above 15 is among the driest third."),
                (1, _) => format!("One trial{place} has a CV above 15; it is not a dry one."),
                (all, none @ 0) => format!("{all} trials{place} have a CV above 15, {none} of them among the driest third."),
                (all, some) => format!("{all} trials{place} have a CV above 15, {some} of them among the driest third."),
            };
            match dry.high_cv_dry_ordinary {
                0 => of,
                n => format!(
                    "{of} In {n} of these the error mean square is no larger than in the middle trial: the CV is high because the yield is low, not because the trial is bad."
                ),
            }
        })
    }

    fn error_from(&self, source: ErrorSource) -> &'static str {
        match source {
            ErrorSource::ErrorMs => "",
            ErrorSource::Lsd => "from the LSD",
            ErrorSource::Cv => "from the CV",
        }
    }

    fn pressure_word(&self, pressure: u8) -> &'static str {
        match pressure {
            0 => "none",
            1 => "light",
            2 => "moderate",
            _ => "severe",
        }
    }

    fn outlying(&self, mean: &OutlyingMean, names: &Names, units: &Units) -> String {
        fit::outlying(mean, names, units)
    }

    fn fitted(&self, varieties: usize, trials: usize, means: usize) -> String {
        format!("Fitted: {varieties} varieties in {trials} trials, {means} means.")
    }

    fn shares(&self, shares: &Shares, several: bool, units: &Units) -> String {
        fit::shares(self, shares, several, units)
    }

    fn share_part(&self, part: &Part, error_known: bool) -> String {
        fit::part(part, error_known)
    }

    fn fit_left_out(&self, dropped: &[Dropped], form: &FittedForm, names: &Names) -> Vec<String> {
        fit::left_out(self, dropped, form, names)
    }

    fn spread(&self, name: &str, spread: &Spread) -> String {
        fit::spread(&self.0, name, spread)
    }

    fn influence(&self, influence: &Influence, several: bool, names: &Names, units: &Units) -> String {
        fit::influence(self, influence, several, names, units)
    }

    fn fit_failed(&self, why: &str) -> String {
        fit::failed(why)
    }

    fn moved(&self, name: &str, before: usize, now: usize) -> String {
        let way = if now < before { "up" } else { "down" };
        format!("{name}: {way} from {before} to {now}")
    }

    fn rules(&self, rules: &Rules) -> String {
        lists::rules(self, rules)
    }

    fn stands(&self, stance: Stance) -> &'static str {
        match stance {
            Stance::In => "on the list",
            Stance::Follow => "to follow",
            Stance::Out => "off the list",
        }
    }

    fn reason(&self, reason: &Reason, names: &Names) -> String {
        lists::reason(&self.0, reason, names)
    }

    fn word_taken(&self, name: &str, stance: Stance, given: bool) -> String {
        let by = if given { "by your word" } else { "by the rules" };
        format!("{name} is now {}, {by}.", self.stands(stance))
    }

    fn word_differs(&self, word: Stance, rules: Stance) -> Option<String> {
        (word != rules).then(|| format!("The rules alone would have it {}.", self.stands(rules)))
    }

    fn since_last_year(&self, change: &Change, names: &Names, units: &Units) -> Option<String> {
        lists::change(change, names, units)
    }

    fn last_year(&self, name: &str) -> String {
        format!("Last year\u{2019}s network: {name}. Places are counted among the varieties of both years.")
    }

    fn report_title(&self, info: &NetworkInfo, system: Option<&str>) -> String {
        match system {
            Some(system) => format!("{}: {}", info.name, self.system(system)),
            None => info.name.clone(),
        }
    }

    fn report_line(&self, report: &Report, info: &NetworkInfo) -> String {
        let seasons = report.seasons.map_or(String::new(), |(first, last)| match first == last {
            true => format!(", {first}"),
            false => format!(", {first} to {last}"),
        });
        let mut line = format!("{}{seasons}.", count(report.trials as u32, "trial", "trials"));
        if !info.data_date.is_empty() {
            line += &format!(" Data of {}.", self.date(&info.data_date));
        }
        if !info.contact.is_empty() {
            line += &format!(" Ask: {}.", info.contact.trim_end_matches('.'));
        }
        line
    }

    fn report_lsd(&self, report: &Report, units: &Units) -> Option<String> {
        let (lsd, sed) = report.lsd.zip(report.sed)?;
        Some(format!(
            "LSD (5 %) {}, SED {}, both the average over all pairs that trials join: two means closer than the LSD do not differ significantly. The growers\u{2019} page asks for more before it drops a variety: there one is too close to call as long as its chance to be at least as good as the best is 1 in 10, by what is left after costs over the years.",
            units.yield_difference(lsd),
            units.yield_difference(sed)
        ))
    }

    fn report_method(&self, report: &Report, names: &Names) -> String {
        lists::method(self, report, names)
    }

    fn seasons_trials(&self, seasons: u32, trials: u32) -> String {
        format!("{}, {}", count(seasons, "season", "seasons"), count(trials, "trial", "trials"))
    }

    fn saved(&self, product: Product) -> &'static str {
        match product {
            Product::Page => {
                "leanyear.html was handed to the browser: look among your downloads, open it and see."
            }
            Product::Site => {
                "site.zip was handed to the browser: unpack it where your web server serves files from."
            }
            Product::Pack => {
                "network.pack.json was handed to the browser. Keep it: next July it shows what changed."
            }
            Product::Folder => "network.zip was handed to the browser: the files as they are now.",
        }
    }

    fn save_failed(&self, why: &str) -> String {
        match why.is_empty() {
            true => "It could not be put together on this device.".into(),
            false => format!("It could not be put together: {why}."),
        }
    }

    fn percent(&self, percent: u8) -> String {
        format!("{percent} %")
    }
}
