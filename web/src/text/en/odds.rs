//! English: the list, its rows and its pictures.

use super::{English, in_twenty, like_this, list, not_in, years_of_twenty};
use crate::text::figure::Units;
use crate::text::shared::{count, few, with_more};
use crate::text::{Counted, OddsWords, SettingWords, Short};
use leanyear_engine::decide::needs::{NeedFailure, NeedReason};
use leanyear_engine::decide::{Standing, StandingState};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::pack::YieldUnit;

impl OddsWords for English {
    fn odds(&self, short: Short, marks_short: u8, units: &Units) -> String {
        let verb = match short {
            Short::Money => "loses money in".to_owned(),
            Short::Below(target) => format!("falls short of {} in", units.yield_amount(target)),
        };
        let marks = u32::from(marks_short);
        format!("{verb} {}{}", years_of_twenty(marks), not_in(marks))
    }

    fn averages(&self, expected: f64, low: f64, high: f64, units: &Units) -> String {
        format!(
            "averages {}; 4 years in 5 between {} and {}",
            units.yield_number(expected),
            units.yield_number(low),
            units.yield_number(high)
        )
    }

    fn tested(&self, standing: &Standing, water: WaterOutlook) -> String {
        if standing.trials == 0 {
            return "worked out from its trials in other systems".into();
        }
        let all = format!(
            "{}, {}",
            count(standing.seasons, "season", "seasons"),
            count(standing.trials, "trial", "trials")
        );
        match like_this(water) {
            Some(like) if standing.trials_like_this > 0 => {
                format!("{all}, {} of them {like}", standing.trials_like_this)
            }
            _ => all,
        }
    }

    fn state(&self, standing: &Standing) -> Option<String> {
        let state = match (standing.state, standing.last) {
            (_, None) => Some("never tested on such ground".into()),
            (StandingState::WellTested, _) => None,
            (StandingState::New, _) => Some("new".into()),
            (StandingState::NoLongerTested, Some(year)) => Some(format!("no longer tested, last {year}")),
        };
        with_more(state, standing.apart.then_some(self.apart_in_short()))
    }

    fn apart_in_short(&self) -> &'static str {
        "tested apart"
    }

    fn tested_apart(&self, count: usize) -> String {
        let who = match count {
            1 => "One variety, marked \u{201c}tested apart\u{201d},".to_owned(),
            n => format!("{n} varieties, marked \u{201c}tested apart\u{201d},"),
        };
        format!(
            "{who} met the others in no trial, not even through a third. Which are better was never measured."
        )
    }

    fn never_met(&self, one: &str, others: &[String]) -> String {
        format!(
            "{one} met {} in no trial, not even through other varieties: which is better was never measured.",
            list(&few(others, |n| format!("{n} others")))
        )
    }

    fn lacks(&self, failures: &[(String, NeedFailure)], units: &Units) -> String {
        let one = |(label, failure): &(String, NeedFailure)| match (failure.reason, failure.needed) {
            (NeedReason::Unknown, _) => format!("not rated for {label}"),
            (NeedReason::Worse(value), None) => format!("{label} {}", units.plain(value)),
            (NeedReason::Worse(value), Some(needed)) => format!(
                "{label} {}, not {} or {}",
                units.plain(value),
                units.plain(needed),
                if failure.higher_is_better { "more" } else { "less" }
            ),
        };
        failures.iter().map(one).collect::<Vec<_>>().join("; ")
    }

    fn lacking_heading(&self, count: usize) -> String {
        match count {
            1 => "One that lacks what it must have".into(),
            n => format!("{n} that lack what they must have"),
        }
    }

    fn lacking_line(&self) -> &'static str {
        "The reason stands under each name. Not rated is not known, so it does not count as good."
    }

    fn lacking_below(&self, count: usize) -> String {
        match count {
            1 => "One lacks what it must have and stands below, with the reason.".into(),
            n => format!("{n} lack what they must have and stand below, with the reasons."),
        }
    }

    fn never_tested(&self, water: WaterOutlook) -> &'static str {
        match water {
            WaterOutlook::DriestFifth | WaterOutlook::Dry => {
                "never tested in a year this dry: worked out from its other years"
            }
            WaterOutlook::Wet => "never tested in a year this wet: worked out from its other years",
            _ => "never tested in such a year: worked out from its other years",
        }
    }

    fn beats_mine(&self, chance: f64) -> String {
        format!("beats yours in {}", in_twenty(chance))
    }

    fn beats_check(&self, chance: f64) -> String {
        format!("beats the check in {}", in_twenty(chance))
    }

    fn worst_fifth(&self, yield_: Option<f64>, net: Option<f64>, units: &Units) -> String {
        let left = net.map(|net| {
            let area = self.area_per(units.yield_unit);
            match net < 0.0 {
                true => format!("a loss of {} {area}", units.money_rounded(net)),
                false => format!("{} {area} left after costs", units.money_rounded(net)),
            }
        });
        let told: Vec<String> = yield_.map(|y| units.yield_amount(y)).into_iter().chain(left).collect();
        format!("average of the 4 worst years of 20: {}", told.join(", "))
    }

    fn left(&self, net: f64, units: &Units) -> String {
        let area = self.area_per(units.yield_unit);
        match net < 0.0 {
            true => format!("over all 20 years it loses {} {area} a year", units.money_rounded(net)),
            false => {
                format!("over all 20 years it leaves {} {area} a year after costs", units.money_rounded(net))
            }
        }
    }

    fn not_cut(&self, marks: u8) -> Option<String> {
        (marks > 0).then(|| format!("not worth cutting in {marks} of 20"))
    }

    fn key_not_cut(&self) -> &'static str {
        "not worth cutting"
    }

    fn counted(&self, what: &Counted) -> String {
        match what {
            Counted::Hauling => "hauling".into(),
            Counted::Swing => "a price that swings".into(),
            Counted::Insurance => "insurance".into(),
            Counted::Sprays(against) => format!("spraying against {}", against.join(", ")),
            Counted::Docks => "docks".into(),
        }
    }

    fn also_counted(&self, counted: &[String]) -> String {
        format!("Also counted: {}.", counted.join("; "))
    }

    fn group_heading(&self, group: usize, shown: usize) -> String {
        match (group, group > shown) {
            (0, _) => "None to put first".into(),
            (1, _) => "First, and clear of the others".into(),
            (_, false) => "Too close to call".into(),
            (_, true) => format!("Too close to call: the first {shown} of {group}"),
        }
    }

    fn group_line(&self, group: usize, needs: bool) -> String {
        match group {
            0 if needs => "None that is tested here does all that it must.".into(),
            0 => "None is tested well enough here.".into(),
            1 if needs => "The trials can tell this one from all the rest that do what they must.".into(),
            1 => "The trials can tell this one from all the rest.".into(),
            n => format!("The trials cannot tell these {n} apart."),
        }
    }

    fn show_rest(&self, rest: usize) -> String {
        format!("show the other {rest}")
    }

    fn rest_heading(&self, rest: usize) -> String {
        format!("The other {rest}, in the same order")
    }

    fn untried_heading(&self, system: Option<&str>) -> String {
        let ground = system.map_or("here".into(), |code| format!("on {} ground", self.system(code)));
        format!("Never tested {ground}")
    }

    fn untried_line(&self) -> &'static str {
        "Worked out from their trials in other systems: never named as the best."
    }

    fn lapsed_heading(&self) -> &'static str {
        "No longer tested"
    }

    fn lapsed_line(&self) -> &'static str {
        "Worked out from older years, for who still grows one: never named as the best."
    }

    fn line_label(&self, short: Short, (low, high): (f64, f64), units: &Units) -> String {
        let (low, high) = (units.yield_fine(low), units.yield_fine(high));
        match short {
            Short::Money if low == high => format!("break-even {low}"),
            Short::Money => format!("break-even {low} to {high}, by seed"),
            Short::Below(target) => format!("short below {}", units.yield_number(target)),
        }
    }

    fn costs_more_to_haul(&self, unit: YieldUnit) -> String {
        let unit = self.price_per(unit);
        format!("At this price nothing is left of {unit} after hauling: the grain alone loses money.")
    }

    fn no_single_line(&self) -> &'static str {
        "With these terms there is no single break-even yield; the marks still show every loss."
    }

    fn drier_than_harvested(&self) -> &'static str {
        "Part of this is drier than any trial that was cut. There the level goes down and the order stays as it was in the driest trials."
    }

    fn marks_picture(&self, name: &str, seasons: &[f64], units: &Units) -> (String, String) {
        let numbers: Vec<String> = seasons.iter().map(|y| units.yield_number(*y)).collect();
        (
            format!("{name}: twenty years"),
            format!(
                "Yields in {}, poorest first: {}.",
                self.yield_unit(units.yield_unit),
                self.0.listed(&numbers)
            ),
        )
    }

    fn axis_picture(
        &self,
        greatest: f64,
        line: Option<(Short, (f64, f64))>,
        units: &Units,
    ) -> (String, String) {
        let line =
            line.map_or(String::new(), |(short, ends)| format!(" {}.", self.line_label(short, ends, units)));
        ("Yield axis".into(), format!("From 0 to {}.{line}", units.yield_amount(greatest)))
    }

    fn response_picture(&self, name: &str, trials: usize, units: &Units) -> (String, String) {
        (
            format!("{name}: yield against water"),
            format!(
                "Middle line: the yield to count on at each amount of water, in {}. Shaded: 4 years in 5. Marks: {}.",
                self.yield_unit(units.yield_unit),
                count(u32::try_from(trials).unwrap_or(u32::MAX), "trial", "trials")
            ),
        )
    }

    fn water_axis(&self, units: &Units) -> String {
        format!("water for the crop, {}", units.water_unit())
    }

    fn outlook_band(&self, water: WaterOutlook) -> String {
        match water {
            WaterOutlook::Any | WaterOutlook::Thirds(..) => "all years on record".into(),
            WaterOutlook::DriestFifth => "very dry years".into(),
            WaterOutlook::Dry => "dry years".into(),
            WaterOutlook::Middle => "middling years".into(),
            WaterOutlook::Wet => "wet years".into(),
            WaterOutlook::Like(year) => format!("{year}"),
        }
    }
}
