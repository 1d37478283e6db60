//! English: what is wrong with a file, and what would be right.

use super::super::list;
use crate::text::region::Region;
use crate::text::shared::count;
use leanyear_engine::pack::join::Unjoinable;
use leanyear_engine::pack::{Ability, Code, ErrorSource, Foreign, JsonType, PackError, Problem, ProblemKind};

/// Where a problem is, within its file.
pub(super) fn place(problem: &Problem) -> String {
    match (problem.row, &problem.column) {
        (Some(row), Some(column)) => format!("row {row}, {column}"),
        (Some(row), None) => format!("row {row}"),
        (None, Some(column)) => column.clone(),
        (None, None) => "the whole file".into(),
    }
}

pub(super) fn pack(error: &PackError, region: &Region) -> String {
    match error {
        PackError::Unreadable { line, column } => {
            format!("it is no network of this page, or it is damaged (line {line}, character {column}).")
        }
        PackError::Newer { found } => {
            format!("it was made by a newer page (version {found}). Open it there, or get a newer page.")
        }
        PackError::UnknownVersion => "it names no version that this page knows.".into(),
        PackError::BadMark { .. } => "it does not say which data it is of.".into(),
        PackError::Unlawful(problem) => format!(
            "it was changed by hand or is damaged. Of {}, {}: {}",
            problem.file,
            place(problem),
            kind(&problem.kind, region)
        ),
    }
}

fn foreign(is: Foreign) -> &'static str {
    match is {
        Foreign::Zip => "a zip archive or a spreadsheet\u{2019}s own file",
        Foreign::OldSpreadsheet => "an older spreadsheet\u{2019}s own file",
        Foreign::Pdf => "a PDF",
        Foreign::Picture => "a picture",
        Foreign::WebPage => "a web page, and none with a network inside",
        Foreign::Binary => "not text",
    }
}

fn ability(ability: Ability) -> &'static str {
    match ability {
        Ability::Varieties => "varieties go by their codes, without notes or seed cost",
        Ability::Sites => "sites go by their codes, without zones",
        Ability::Climate => {
            "the seasons of the trials stand in for the climate, and a worse one may be missing"
        }
        Ability::Traits => "no disease, straw, quality or grazing trait is shown",
        Ability::Ratings => "no ratings are shown and no disease can be assumed",
        Ability::Pressure => "what diseases take cannot be learnt from the trials",
        Ability::Shortlist => "your recommendations are not shown; you can write them below",
    }
}

fn code(code: Code) -> &'static str {
    match code {
        Code::Trial => "trial",
        Code::Variety => "variety",
        Code::Site => "site",
        Code::Trait => "trait",
        Code::System => "system",
    }
}

fn source(source: ErrorSource) -> &'static str {
    match source {
        ErrorSource::ErrorMs => "error_ms",
        ErrorSource::Lsd => "lsd",
        ErrorSource::Cv => "cv",
    }
}

fn json_type(expected: JsonType) -> &'static str {
    match expected {
        JsonType::Object => "a group of values",
        JsonType::Text => "a text",
        JsonType::FilledText => "a text that is not empty",
        JsonType::Flag => "yes or no",
        JsonType::Number => "a number",
        JsonType::Whole => "a whole number",
        JsonType::TextList => "a list of codes",
    }
}

fn range(low: Option<f64>, high: Option<f64>, region: &Region) -> String {
    match (low.map(|low| region.plain(low)), high.map(|high| region.plain(high))) {
        (Some(low), Some(high)) => format!("from {low} to {high}"),
        (Some(low), None) => format!("{low} or more"),
        (None, Some(high)) => format!("{high} or less"),
        (None, None) => "any number".into(),
    }
}

/// Why two files are not joined.
pub(super) fn unjoinable(why: Unjoinable) -> String {
    match why {
        Unjoinable::NoTable => {
            "one of the two cannot be split into rows, or there would be more than are read".into()
        }
        Unjoinable::MarksDiffer => {
            "one of the two has decimal commas and the other decimal points. Save both one way".into()
        }
        Unjoinable::Ragged(row) => {
            format!("its row {row} has other cells than its header. Put them under their columns")
        }
    }
}

/// What is wrong and what would be right.
pub(super) fn kind(kind: &ProblemKind, region: &Region) -> String {
    use ProblemKind as P;
    match kind {
        P::FileMissing => "This file is needed. Add it.".into(),
        P::YieldsMissing => "There are no yields. Add means.csv, or plots.csv with single plots.".into(),
        P::FileAbsent { ability: lost } => format!("Not there: {}.", ability(*lost)),
        P::FileUnknown => "No network has a file of this name; it is not read.".into(),
        P::FileNeeded { needed } => format!("Of no use without {needed}. Add that file."),
        P::FileTooLarge { limit, .. } => {
            format!("It is larger than the {} MB that are read. Split it.", limit >> 20)
        }
        P::TooManyColumns { limit } => format!("It has more than {limit} columns. Keep those that are used."),
        P::TooManyCells { limit } => format!("It has more than {limit} cells. Shorten it."),
        P::CellTooLong { limit } => {
            format!(
                "A cell is longer than {} kB. Shorten it, or look for a quote that is never closed.",
                limit >> 10
            )
        }
        P::NotUtf8 => "Its letters cannot be read. Save it as \u{201c}CSV UTF-8\u{201d}.".into(),
        P::NotText { is } => format!(
            "This is {}, whatever its name says. {}.",
            foreign(*is),
            match is {
                Foreign::Zip =>
                    "Unpack the archive and drop the files in it; of a spreadsheet, save each sheet as \u{201c}CSV UTF-8\u{201d}",
                _ => "Open it in a spreadsheet and save each sheet as \u{201c}CSV UTF-8\u{201d}",
            }
        ),
        P::QuoteNotClosed => "A cell opens with a quote that is never closed. Close it.".into(),
        P::TextAfterQuote => "Text follows a closing quote. Double the quotes inside the cell.".into(),
        P::HeaderMissing => "The file is empty. Its first row names the columns.".into(),
        P::RowsMissing => "There are no rows under the header. Add them.".into(),
        P::ColumnMissing => {
            "This column is needed. Add it, or give one of the file\u{2019}s columns this name.".into()
        }
        P::ColumnTwice => "This column is there twice. Remove or rename one.".into(),
        P::ColumnUnknown => "No such column is used; it is not read.".into(),
        P::ColumnUnnamed { position } => format!("Column {position} has no name; it is not read."),
        P::RowRagged { expected, found } => {
            format!("{found} cells where the header has {expected}. Put them under their columns.")
        }
        P::Blank => "Blank. Fill it in, or remove the row.".into(),
        P::NotANumber { text } => {
            format!("\u{201c}{text}\u{201d} is not a number. Write digits, or leave it blank if unknown.")
        }
        P::TwoReadings { text, value, other, .. } => {
            format!(
                "{text} is read as {} and not as {}. Say above which is meant.",
                region.plain(*value),
                region.plain(*other)
            )
        }
        P::NotFinite { text } => {
            format!("\u{201c}{text}\u{201d} is not a number that can be used. Correct it, or leave it blank.")
        }
        P::BelowZero { text, unit } => format!("{text} is below 0 {unit}. Correct it, or remove the row."),
        P::OutOfRange { text, low, high } => {
            format!("{text} is not {}. Correct it.", range(*low, *high, region))
        }
        P::NotBetween { text, low, high } => {
            format!("{text} is not between {} and {}. Correct it.", region.plain(*low), region.plain(*high))
        }
        P::NotAboveZero { text } => {
            format!("{text} is not above 0. Correct it, or leave it blank if unknown.")
        }
        P::NotAYear { text, low, high } => {
            format!(
                "\u{201c}{text}\u{201d} is not a year from {low} to {high}. Write the harvest year in four digits."
            )
        }
        P::NotAPressure { text } => format!(
            "\u{201c}{text}\u{201d} is not 0 (none), 1 (light), 2 (moderate) or 3 (severe). Remove the row if it was not noted."
        ),
        P::WordUnknown { text, allowed } => {
            format!("\u{201c}{text}\u{201d} is not one of: {}.", allowed.join(", "))
        }
        P::Duplicate { key, first_row } => {
            format!("{key} stands in row {first_row} already. Remove one of the two.")
        }
        P::CodesUnchecked { waiting } => {
            format!("The codes in {} are looked at once this file can be read to its end.", list(waiting))
        }
        P::CodeUnknown { code: of, text, listed_in } => {
            format!(
                "The {} \u{201c}{text}\u{201d} is not in {listed_in}. Correct the code, or add it there.",
                code(*of)
            )
        }
        P::RatingOffScale { trait_, value, best, worst } => {
            let [value, best, worst] = [*value, *best, *worst].map(|number| region.plain(number));
            format!("{value} is off the scale of {trait_}, {best} best to {worst} worst. Correct it.")
        }
        P::ScaleFlat { value } => {
            format!("Best and worst are both {}. Give the two ends of the scale.", region.plain(*value))
        }
        P::TraitLikeLinkKey { text } => {
            format!("A trait may not be called \u{201c}{text}\u{201d}: links use that word. Rename it.")
        }
        P::SystemBlank => "Blank, though other rows name a system. Fill it in.".into(),
        P::SystemMixed { with, without } => {
            format!("{with} names systems and {without} does not. Name them in both or in neither.")
        }
        P::SystemWithoutTrials { system, rows } => {
            format!("No trial was grown in system \u{201c}{system}\u{201d}; its {rows} rows are not used.")
        }
        // What concerns one trial, and what concerns `network.json`.
        P::TrialWithoutYields { trial } => {
            format!(
                "Trial {trial} has no yields. Add them, or say under \u{201c}excluded\u{201d} why there are none."
            )
        }
        P::TrialOnlyInPlots { trial } => {
            format!("Trial {trial} is not in means.csv; its means are worked out from its plots.")
        }
        P::VarietiesDiffer { trial, varieties } => format!(
            "Trial {trial} has {} in only one of means.csv and plots.csv. Correct one of them.",
            list(varieties)
        ),
        P::MeansDiffer { trial, variety, stated, from_plots, differing } => format!(
            "{variety} in trial {trial}: {} is stated here and its plots give {} (means of the trial that differ: {differing}). The stated means are used. If the plots are right, take the trial out of means.csv.",
            region.plain(*stated),
            region.plain(*from_plots)
        ),
        P::VarietyLost { trial, variety } => {
            format!("Every plot of {variety} in trial {trial} is blank; it has no mean there.")
        }
        P::TrialLost { trial } => format!(
            "No plot of trial {trial} has a yield. Fill them in, or say under \u{201c}excluded\u{201d} why there are none."
        ),
        P::PlotsNotConnected { trial, first, other } => format!(
            "Replicates {first} and {other} of trial {trial} share no variety, directly or through others. Give one of them another trial code."
        ),
        P::TrialTooLarge { trial, varieties, reps, .. } => {
            format!(
                "Trial {trial} has {varieties} varieties in {reps} replicates, more than are analysed. Check the codes."
            )
        }
        P::BlankAmongPlots { trial } => {
            format!("Blank, though other plots of trial {trial} have one. Fill it in.")
        }
        P::BlocksLeftOut { trial } => format!(
            "The blocks of trial {trial} cannot be told from its varieties or from plot error; it is analysed without them."
        ),
        P::VarietiesApart { trial, first, other } => format!(
            "No chain of blocks joins {first} and {other} of trial {trial}: their difference rests on averages of whole blocks and is known less well."
        ),
        P::PlotOutlying(values) => format!(
            "Plot of {} in trial {}: {} is {} {} what the other plots lead to expect ({} of its standard deviations; chance makes one so far in {} of 100 such trials). Check it; nothing was removed.",
            values.variety,
            values.trial,
            region.plain(values.yield_),
            region.fixed(values.residual.abs(), 3),
            if values.residual < 0.0 { "below" } else { "above" },
            region.fixed(values.studentised.abs(), 1),
            if values.p_value < 0.01 {
                "fewer than 1".into()
            } else {
                format!("{:.0}", 100.0 * values.p_value)
            }
        ),
        P::UnlikeOthers { value, usual } => format!(
            "{} is far from the others, the middle one of which is {}. Check its unit and its decimal sign.",
            region.plain(*value),
            region.plain(*usual)
        ),
        P::UnlikeUnit { middle, unit } => format!(
            "The middle yield is {} {unit}, which no grain makes. Check the unit of yields above, and the decimal sign.",
            region.plain(*middle)
        ),
        P::CodesAlike { code: of, text, other, rows } => format!(
            "The {} \u{201c}{text}\u{201d} ({}) differs from \u{201c}{other}\u{201d} in capitals or spaces alone, and counts as another. If they are one, write them alike everywhere.",
            code(*of),
            count(*rows as u32, "row", "rows")
        ),
        P::ErrorPooled { system, trials, first } => format!(
            "Trials of system \u{201c}{system}\u{201d} that state no error of their means: {trials}, the first is {first}. They take what the system\u{2019}s other trials have, pooled. Add error_ms, lsd or cv where it is known."
        ),
        P::TrialsApart { trials, trial, variety } => format!(
            "Trials that share no variety with the rest, directly or through others: {trials}, the first is {trial}. Their varieties, such as {variety}, cannot be compared with the rest by trials. Grow a common check, or make them a network of their own."
        ),
        P::ErrorSourcesDiffer { first, second, percent } => format!(
            "{} and {} differ by {percent:.0} % in the variance of a mean; {} is used. Check both.",
            source(*first),
            source(*second),
            source(*first)
        ),
        P::LsdWithoutLevel => "Without lsd_level the LSD is not used. Add it, for example 0.05.".into(),
        P::BushelUnknown => {
            "Without the weight of a bushel, yields cannot be shown by weight. Add it.".into()
        }
        P::JsonSyntax { position, .. } => {
            format!("This is not JSON at character {position}. Correct it, or fill in the form above.")
        }
        P::KeyMissing => "This is needed. Fill it in above.".into(),
        P::KeyTwice => "This is there twice. Remove one.".into(),
        P::KeyUnknown => "No such key is used; it is not read.".into(),
        P::WrongType { expected } => format!("This must be {}. Correct it.", json_type(*expected)),
    }
}
