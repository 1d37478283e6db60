//! English: one variety in detail, where the numbers come from, links and sending.

use super::{English, labels, list};
use crate::state::Sent;
use crate::text::figure::Units;
use crate::text::region::nothing;
use crate::text::shared::{beside_scale, count, few, filled, percent};
use crate::text::{DetailWords, Difference, OddsWords, SettingWords};
use leanyear_engine::decide::{FieldSummary, Missing, Standing, StandingState, VarietyLoss};
use leanyear_engine::forecast::backtest::{Missed, SeasonRecord, TrackRecord, Verdict};
use leanyear_engine::link::{LinkNotice, WaterOutlook};
use leanyear_engine::pack::{Exclusion, NetworkInfo, ONE_SYSTEM};

impl DetailWords for English {
    fn evidence(&self, standing: &Standing, water: WaterOutlook, system: Option<&str>) -> String {
        let place = system.map_or(String::new(), |code| format!(" on {} ground", self.system(code)));
        if standing.trials == 0 {
            return format!("Never tested{place}: {}.", self.tested(standing, water));
        }
        let state = match standing.state {
            StandingState::WellTested => "Well tested",
            StandingState::New => "New",
            StandingState::NoLongerTested => "No longer tested",
        };
        let last = standing.last.map_or(String::new(), |year| format!("; last in {year}"));
        format!("{state}{place}: {}{last}.", self.tested(standing, water))
    }

    fn seed(&self, cost: f64, known: bool, units: &Units) -> Option<String> {
        let amount = format!("{} {}", units.money(cost), self.area_per(units.yield_unit));
        let words = match known {
            true => format!("seed is counted at {amount}"),
            false => format!("its seed price is not known: {amount} is counted, the average of the others"),
        };
        (cost > 0.0).then_some(words)
    }

    fn difference(&self, difference: &Difference, units: &Units) -> String {
        let amount = |value: f64| match units.yield_fine(value.abs()) {
            zero if nothing(&zero) => "nothing".to_owned(),
            _ => format!(
                "{} {}",
                units.yield_difference(value.abs()),
                if value < 0.0 { "less" } else { "more" }
            ),
        };
        let mut against = few(&difference.against, |n| format!("{n} others"));
        against.extend(difference.itself.then(|| "itself".to_owned()));
        let against = list(&against);
        let sure = match (difference.low > 0.0, difference.high < 0.0) {
            (true, _) => "So it is very likely better.",
            (_, true) => "So it is very likely worse.",
            _ => "So the trials cannot say which is better.",
        };
        let value = match amount(difference.value) {
            nothing if nothing == "nothing" => "the same as".to_owned(),
            value => format!("{value} than"),
        };
        let years = if difference.assumed { "such years" } else { "years" };
        format!(
            "Over many {years} on this ground it makes {value} the average of {against}. Chances are 4 in 5 that the truth lies between {} and {}. {sure}",
            amount(difference.low),
            amount(difference.high)
        )
    }

    fn deviation(&self, value: f64, units: &Units) -> String {
        let text = units.yield_fine(value.abs());
        match (value < 0.0, nothing(&text)) {
            (_, true) => "the same".into(),
            (true, _) => format!("{text} worse"),
            (false, _) => format!("{text} better"),
        }
    }

    fn exclusion(&self, exclusion: Exclusion) -> &'static str {
        match exclusion {
            Exclusion::Drought => "lost to drought",
            Exclusion::Hail => "hail",
            Exclusion::Stand => "poor stand",
            Exclusion::Other => "set aside",
        }
    }

    fn scale(&self, best: Option<f64>, worst: Option<f64>, unit: &str, units: &Units) -> String {
        let percent = if unit == "%" { "%" } else { "" };
        match (best, worst) {
            (Some(best), Some(worst)) => {
                let of = beside_scale(unit).map_or(String::new(), |unit| format!(" ({unit})"));
                format!("{}{percent} best, {}{percent} worst{of}", units.plain(best), units.plain(worst))
            }
            _ => unit.to_owned(),
        }
    }

    fn would_take(&self, loss: &VarietyLoss) -> String {
        let percent = percent(loss.severe);
        match (loss.rated, percent < 1.0) {
            (true, true) => "hardly anything".into(),
            (true, false) => format!("about {percent} %"),
            (false, _) => {
                format!("resistance not known; {percent} % is counted, as for the average variety")
            }
        }
    }

    fn can_fail(&self, vector: &str) -> String {
        format!("Carried by the {vector}: resistance can fail after early sowing in a warm autumn.")
    }

    fn rating_word(&self, place: f64) -> &'static str {
        match place {
            p if p <= 0.2 => "very good",
            p if p <= 0.4 => "good",
            p if p <= 0.6 => "middling",
            p if p <= 0.8 => "weak",
            _ => "very weak",
        }
    }

    fn not_rated(&self, labels: &[String]) -> String {
        format!("Not rated, so not known: {}.", list(labels))
    }

    fn numbers_heading(&self, units: &Units) -> String {
        format!("twenty yields in {}, poorest first", self.yield_unit(units.yield_unit))
    }

    fn seasons(&self, number: u32) -> String {
        count(number, "season", "seasons")
    }

    fn stance(&self, stance: &str, system: &str) -> String {
        // A network without systems has one ground and no name for it.
        let ground = |before: &str| match system {
            ONE_SYSTEM => String::new(),
            several => format!(" {before} {} ground", self.system(several)),
        };
        match stance {
            "in" => format!("On the adviser\u{2019}s short list{}", ground("for")),
            "out" => format!("Off the adviser\u{2019}s short list{}", ground("for")),
            _ => format!("One the adviser is watching{}", ground("on")),
        }
    }

    fn stance_in_short(&self, stance: &str) -> &'static str {
        match stance {
            "in" => "on the adviser\u{2019}s list",
            "out" => "off the adviser\u{2019}s list",
            _ => "watched by the adviser",
        }
    }

    fn about(&self, released: Option<i32>, origin: &str, class: &str) -> String {
        let released = released.map(|year| format!("released {year}"));
        filled([class.to_owned(), origin.to_owned(), released.unwrap_or_default()])
    }

    fn signed(&self, by: &str, date: &str) -> String {
        filled([by.to_owned(), self.date(date)])
    }

    fn source(&self, field: &FieldSummary, info: &NetworkInfo) -> Vec<String> {
        let (first, last) = field.seasons;
        let mut lines = vec![format!(
            "{} of {}, {}{}.",
            count(field.trials, "trial", "trials"),
            if info.crop.is_empty() { &info.name } else { &info.crop },
            if first == last { first.to_string() } else { format!("{first} to {last}") },
            if info.data_date.is_empty() {
                String::new()
            } else {
                format!("; data of {}", self.date(&info.data_date))
            }
        )];
        if !info.contact.is_empty() {
            lines.push(format!("Ask: {}.", info.contact.trim_end_matches('.')));
        }
        lines.extend(self.paid_for(info));
        lines
    }

    fn paid_for(&self, info: &NetworkInfo) -> Option<String> {
        let by = info.funded_by.trim_end_matches('.');
        (!by.is_empty()).then(|| format!("Paid for by {by}."))
    }

    fn missing(&self, missing: &Missing) -> &'static str {
        labels::missing(missing)
    }

    fn cautions(&self) -> Vec<&'static str> {
        labels::CAUTIONS.to_vec()
    }

    fn track(&self, record: &TrackRecord) -> Vec<String> {
        let TrackRecord { held, n, promised, verdict, .. } = record;
        let verdict = match verdict {
            Verdict::Nothing => return vec!["There are too few seasons to check this yet.".into()],
            Verdict::TooFewSeasons => "These are too few seasons to judge the ranges by.",
            Verdict::TooNarrow => "Fewer than promised: read the ranges as too narrow.",
            Verdict::TooWide => "More than promised: the ranges are wider than they need be.",
            Verdict::AsPromised => "About as many as promised, as far as these seasons can tell.",
        };
        vec![
            "Each season was worked out from the earlier ones alone, told only what was recorded of its water and diseases."
                .into(),
            format!(
                "The range that should hold 4 times in 5 held in {held} of {n} results; {promised} were promised. {verdict}"
            ),
        ]
    }

    fn track_season(&self, season: &SeasonRecord) -> String {
        let tail = if season.poor { ": a bad season for these ranges" } else { "" };
        format!("{} of {}{tail}", season.held, season.n)
    }

    fn track_missed(&self, missed: &Missed, units: &Units) -> String {
        format!(
            "How far one variety was ahead or behind was missed by {} as a rule; a table of plain averages missed it by {}.",
            units.yield_difference(missed.forecast),
            units.yield_difference(missed.raw_means)
        )
    }

    fn track_season_missed(&self, missed: &Missed, units: &Units) -> String {
        format!(
            "missed by {}, by plain averages {}",
            units.yield_difference(missed.forecast),
            units.yield_fine(missed.raw_means)
        )
    }

    fn track_picture(&self, season: i32, held: u8, all: u8) -> (String, String) {
        (
            format!("{season}: results inside and outside their ranges"),
            format!(
                "Of {all} marks {held} stand for results inside the range, {} for results outside it.",
                all - held
            ),
        )
    }

    fn track_columns(&self, units: &Units) -> [String; 5] {
        let unit = self.yield_unit(units.yield_unit);
        [
            "season".into(),
            "inside".into(),
            "results".into(),
            format!("missed by, {unit}"),
            "by plain averages".into(),
        ]
    }

    fn notice(&self, notice: &LinkNotice) -> String {
        labels::notice(notice)
    }

    fn sent(&self, sent: Sent) -> &'static str {
        match sent {
            Sent::Copied => "Copied.",
            Sent::Refused => {
                "This browser does not allow copying: hold your finger on the text and copy it by hand."
            }
            Sent::Forgotten => "Forgotten on this device.",
        }
    }
}
