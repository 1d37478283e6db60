//! English: codes for a camera, tables, pictures, the printed sheet.

use super::{English, like_this, list};
use crate::derive::Part;
use crate::text::figure::Units;
use crate::text::shared::{count, with_more};
use crate::text::{CodeHead, CodeTags, OddsWords, SendWords, SettingWords, Short, TableRow};
use leanyear_engine::decide::{Standing, StandingState, VarietyOdds};
use leanyear_engine::link::WaterOutlook;

impl SendWords for English {
    fn part(&self, part: Part) -> &'static str {
        match part {
            Part::Acres => "acres",
            Part::SideBySide => "varieties side by side",
            Part::Sprays => "sprays",
            Part::Grazing => "grazing",
            Part::Money => "price and cost",
            Part::Needs => "must-haves",
            Part::Order => "what comes first",
            Part::Mine => "the variety grown now",
            Part::Diseases => "diseases",
            Part::View => "the view",
        }
    }

    fn left_out(&self, parts: &[Part], order: &[Part]) -> String {
        let words = |parts: &[Part]| parts.iter().map(|part| self.part(*part).to_owned()).collect::<Vec<_>>();
        format!(
            "To make room this code leaves out {}. What goes first: {}.",
            list(&words(parts)),
            words(order).join(", ")
        )
    }

    fn paper_home(&self, left_out: &[Part]) -> Option<String> {
        let words: Vec<String> = left_out.iter().map(|part| self.part(*part).to_owned()).collect();
        (!words.is_empty()).then(|| format!("The code for your own phone leaves out {}.", list(&words)))
    }

    fn code_picture(&self, text: bool) -> (&'static str, &'static str) {
        match text {
            false => (
                "Code of the link",
                "A square code that a phone's camera reads: it holds the link shown above.",
            ),
            true => (
                "Code of the plain text",
                "A square code that a phone's camera reads: it holds the text shown beside it.",
            ),
        }
    }

    fn code_head(&self, head: &CodeHead, units: &Units) -> String {
        let system = head.system.map_or("ground".to_owned(), |code| format!("{} ground", self.system(code)));
        let place = head
            .place
            .map_or(String::new(), |place| format!(" {} {place}", if head.in_zone { "in" } else { "near" }));
        let short = match head.short {
            Short::Money => match head.money {
                Some((price, cost)) => format!(
                    "lose money at {} {}, {} {}",
                    units.money(price),
                    self.price_per(units.yield_unit),
                    units.money(cost),
                    self.area_per(units.yield_unit)
                ),
                None => "lose me money".to_owned(),
            },
            Short::Below(target) => format!("make less than {}", units.yield_amount(target)),
        };
        let beside = match head.beside {
            [] => String::new(),
            beside => format!(" ({})", beside.join(", ")),
        };
        format!("{}, {system}{place}. Of {}{beside}, how many {short}: ", head.network, years(head.water))
    }

    fn code_item(&self, name: &str, tags: CodeTags, marks_short: u8) -> String {
        let tags = tags.told([
            "yours",
            "new",
            self.apart_in_short(),
            "off the adviser\u{2019}s list",
            "lacks a must-have",
        ]);
        match marks_short {
            0 => format!("{name}{tags} under 1"),
            20.. => format!("{name}{tags} over 19"),
            marks => format!("{name}{tags} {marks}"),
        }
    }

    fn code_tail(&self, head: &CodeHead) -> String {
        let data = match (head.invented, head.date.is_empty()) {
            (true, _) => " Invented data.".to_owned(),
            (false, false) => format!(" Data {}.", self.date(head.date)),
            (false, true) => String::new(),
        };
        format!(".{data} No guarantee.")
    }

    fn text_row(&self, place: usize, row: &TableRow, short: Short, units: &Units) -> String {
        let odds = row.odds;
        let mine = if row.mine { " (yours)" } else { "" };
        let state = self.state(&odds.standing).map_or(String::new(), |state| format!("{state}; "));
        let place = if place == 0 { "-".to_owned() } else { format!("{place}.") };
        format!(
            "{place} {}{mine}: {}; {} {}; {state}{}",
            row.name,
            self.odds(short, odds.marks_short, units),
            self.averages(odds.expected, odds.low80, odds.high80, units),
            self.yield_unit(units.yield_unit),
            self.tested(&odds.standing, row.water)
        ) + &row.adviser.map_or(String::new(), |adviser| format!("; {adviser}"))
    }

    fn table_headings(&self, short: Short, money: bool, units: &Units) -> Vec<String> {
        let unit = self.yield_unit(units.yield_unit);
        let area = self.area_per(units.yield_unit);
        let bad = match short {
            Short::Money => "years of 20 that lose money".to_owned(),
            Short::Below(target) => format!("years of 20 below {} {unit}", units.machine(target)),
        };
        let mut out: Vec<String> = [
            "place",
            "code",
            "name",
            "too close to call",
            &format!("average ({unit})"),
            &format!("4 years in 5 above ({unit})"),
            &format!("4 years in 5 below ({unit})"),
            &format!("average of the 4 worst years of 20 ({unit})"),
            &bad,
            "years of 20 not worth cutting",
            "chance to beat yours",
            "chance to beat the check",
            "seasons tested",
            "trials",
            "trials in such years",
            "last tested",
            "lacks",
        ]
        .map(str::to_owned)
        .into();
        if money {
            let left = |what: &str| format!("{what} ({} {area})", units.currency).replace("( ", "(");
            out.extend([
                format!("break-even ({unit})"),
                left("left after costs"),
                left("left in the 4 worst years"),
                left("seed"),
            ]);
        }
        out.extend(["settings", "remark", "state", "adviser"].map(str::to_owned));
        out
    }

    fn yes_no(&self, yes: bool) -> &'static str {
        if yes { "yes" } else { "no" }
    }

    fn list_picture(&self, rows: usize, units: &Units) -> (String, String) {
        let rows = count(u32::try_from(rows).unwrap_or(u32::MAX), "variety", "varieties");
        (
            format!("Twenty years of {rows}"),
            format!(
                "A row each: the yields of twenty years in {}; crosses are short, dots are not, slanted strokes were not worth cutting.",
                self.yield_unit(units.yield_unit)
            ),
        )
    }

    fn paper_averages(&self, odds: &VarietyOdds, units: &Units) -> String {
        let n = |value| units.yield_number(value);
        format!("averages {}, {} to {} in 4 years of 5", n(odds.expected), n(odds.low80), n(odds.high80))
    }

    fn paper_tested(&self, standing: &Standing, water: WaterOutlook) -> String {
        if standing.trials == 0 {
            return "worked out from other systems".into();
        }
        let all = format!(
            "{}, {}",
            count(standing.seasons, "season", "seasons"),
            count(standing.trials, "trial", "trials")
        );
        let like = match water {
            // A line of paper is short.
            WaterOutlook::DriestFifth => Some("so dry"),
            WaterOutlook::Like(_) => Some("like it"),
            water => like_this(water),
        };
        match (like, standing.trials_like_this) {
            (Some(like), 0) => format!("{all}, none {like}"),
            (Some(like), n) => format!("{all}, {n} {like}"),
            (None, _) => all,
        }
    }

    fn paper_state(&self, odds: &VarietyOdds) -> Option<String> {
        let state = match (odds.standing.state, odds.standing.last) {
            _ if !odds.fails.is_empty() => Some("lacking".into()),
            (_, None) => Some("untried".into()),
            (StandingState::WellTested, _) => None,
            (StandingState::New, _) => Some("new".into()),
            (StandingState::NoLongerTested, Some(year)) => Some(format!("to {year}")),
        };
        with_more(state, odds.standing.apart.then_some(self.apart_in_short()))
    }

    fn paper_rest(&self, short: Short, units: &Units) -> String {
        let bad = match short {
            Short::Money => "lose money".to_owned(),
            Short::Below(target) => format!("make less than {}", units.yield_amount(target)),
        };
        format!(
            "The others in order (seasons, trials): years of 20 that {bad} and that do not; average {}",
            self.yield_unit(units.yield_unit)
        )
    }

    fn paper_years(&self, marks_short: u8) -> String {
        match marks_short {
            0 => "<1, >19".into(),
            20.. => ">19, <1".into(),
            marks => format!("{marks}, {}", 20 - marks),
        }
    }

    fn paper_left_off(&self, more: usize, no_longer_tested: usize) -> Option<String> {
        let more = (more > 0).then(|| format!("{more} more for want of room"));
        let gone = match no_longer_tested {
            0 => None,
            1 => Some("1 that is no longer tested".to_owned()),
            many => Some(format!("{many} that are no longer tested")),
        };
        let parts: Vec<String> = more.into_iter().chain(gone).collect();
        (!parts.is_empty()).then(|| format!("Left off this paper: {}.", list(&parts)))
    }

    fn paper_method(&self, usual_given: bool) -> String {
        let level = if usual_given {
            "set to the usual yield given above"
        } else {
            "set to what the trials say this ground makes"
        };
        format!(
            "How it is worked out: differences between varieties come from all their trials, {level}, in 20 years with the water and diseases assumed above. With few trials a variety is held near the average."
        )
    }
}

/// `20 dry years`.
fn years(water: WaterOutlook) -> String {
    match water {
        WaterOutlook::Any => "20 years as they come".into(),
        WaterOutlook::DriestFifth => "20 very dry years".into(),
        WaterOutlook::Dry => "20 dry years".into(),
        WaterOutlook::Middle => "20 middling years".into(),
        WaterOutlook::Wet => "20 wet years".into(),
        WaterOutlook::Like(year) => format!("20 years with the water of {year}"),
        WaterOutlook::Thirds(dry, _, wet) => format!("20 years that {}", super::lean(dry, wet)),
    }
}
