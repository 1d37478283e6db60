//! English: money, cattle, sprays, docks.

use super::{English, in_twenty, list, not_in};
use crate::entry::Entry;
use crate::number::NumberProblem;
use crate::text::figure::{Units, of_twenty};
use crate::text::region::nothing;
use crate::text::{Cattle, FieldWorkWords, SettingWords};
use leanyear_engine::decide::grazing::VarietyGrazing;
use leanyear_engine::decide::sprays::SprayWorth;
use leanyear_engine::decide::worked::WorkedLine;
use leanyear_engine::pack::YieldUnit;

impl English {
    /// A number that can be read in two ways.
    pub(super) fn two_readings(&self, a: f64, b: f64) -> String {
        format!("This can be read in two ways: write {} or {}.", self.0.typed(a), self.0.typed(b))
    }

    /// What gain is weighed in.
    fn gain_unit(&self, units: &Units) -> &'static str {
        match units.yield_unit {
            YieldUnit::BushelPerAcre | YieldUnit::PoundPerAcre => "lb",
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => "kg",
        }
    }

    /// A quantity in what the price is counted by.
    fn quantity(&self, value: f64, units: &Units) -> String {
        let (digits, unit) = match units.yield_unit {
            YieldUnit::BushelPerAcre => (1, "bu"),
            YieldUnit::PoundPerAcre => (1, "cwt"),
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => (2, "t"),
        };
        format!("{}\u{a0}{unit}", units.fixed(value, digits))
    }

    fn money_per(&self, per: &str, units: &Units) -> String {
        match units.currency.trim() {
            "" => per.to_owned(),
            currency => format!("{currency} {per}"),
        }
    }
}

fn days(count: f64, units: &Units) -> String {
    let number = units.plain(count.abs());
    format!("{number} {}", if number == "1" { "day" } else { "days" })
}

impl FieldWorkWords for English {
    fn entry(&self, entry: &Entry, check: &str, units: &Units) -> (String, String) {
        let (price, area) = (self.price_per(units.yield_unit), self.area_per(units.yield_unit));
        let (a_unit, an_area) = (self.money_per(price, units), self.money_per(area, units));
        let gain = self.gain_unit(units);
        let (label, behind) = match entry {
            Entry::Key("volatility") => ("it may swing by", "% up or down, two years in three".to_owned()),
            Entry::Key("haul") => ("hauling and harvest", a_unit),
            Entry::Key("cover") => ("insured", "% of what I usually make".into()),
            Entry::Key("guarantee-price") => {
                ("paid for what is missing", format!("{a_unit}; blank: the price"))
            }
            Entry::Key("premium") => ("premium", an_area),
            Entry::Key("graze-days") => ("days of grazing", "days".into()),
            Entry::Key("gain") => {
                ("gain", format!("{gain} {area} a day: a head\u{2019}s gain times head {area}"))
            }
            Entry::Key("value") => ("worth", self.money_per(&format!("a {gain} of gain"), units)),
            Entry::Key("off") => (
                "cattle come off",
                format!(
                    "days after the first hollow stem of {check} (before it: \u{2212}); blank: each variety in time"
                ),
            ),
            Entry::Key("at-most") => ("at most", "varieties".into()),
            Entry::Key("min-acres") => ("of each at least", units.words.area_word(units).into()),
            Entry::SprayCost(_) => ("it costs", an_area),
            Entry::SprayKeepsOff(_) => ("it keeps off", "% of the attack".into()),
            Entry::DockBelow(..) => ("below", String::new()),
            Entry::DockOff(..) => ("take off", a_unit),
            Entry::AcresInAll => ("in all", units.words.area_word(units).into()),
            Entry::Acres(_) | Entry::Key(_) => ("", units.words.area_word(units).into()),
        };
        (label.to_owned(), behind)
    }

    fn entry_problem(&self, problem: NumberProblem, units: &Units) -> String {
        match problem {
            NumberProblem::Blank => "Type a number.".into(),
            NumberProblem::NotANumber => "Use digits only, as in 12.".into(),
            NumberProblem::Taken(limit) => format!("There is a step at {} already.", units.plain(limit)),
            NumberProblem::TwoReadings(a, b) => self.two_readings(a, b),
            NumberProblem::TooSmall(least) => format!("Type {} or more.", units.plain(least)),
            NumberProblem::TooLarge(greatest) => format!("Type {} or less.", units.plain(greatest)),
        }
    }

    fn unused(&self, what: &str, text: &str, problem: &str) -> String {
        let colon = if what.ends_with('?') { "" } else { ":" };
        let typed = match text.trim() {
            "" => "a blank".to_owned(),
            text => format!("\u{201c}{text}\u{201d}"),
        };
        format!("{what}{colon} {typed} was not used. {problem} The number from before counts.")
    }

    fn money_axis(&self, units: &Units) -> String {
        format!("{} left", self.money_per(self.area_per(units.yield_unit), units))
    }

    fn money_axis_picture(&self, (low, high): (f64, f64), units: &Units) -> (String, String) {
        let ends = format!("From {} to {}", units.money_signed(low), units.money_signed(high));
        ("Money axis".into(), format!("{ends} {}, left after costs.", self.area_per(units.yield_unit)))
    }

    fn money_line(&self) -> &'static str {
        "break-even"
    }

    fn averages_money(&self, expected: f64, low: f64, high: f64, units: &Units) -> String {
        let does = if expected.round() < 0.0 { "loses" } else { "leaves" };
        format!(
            "{does} {} on average; 4 years in 5 between {} and {}",
            units.money_rounded(expected),
            units.money_signed(low),
            units.money_signed(high)
        )
    }

    fn money_heading(&self, units: &Units) -> String {
        format!(
            "twenty amounts left after costs, {}, poorest first",
            self.money_per(self.area_per(units.yield_unit), units)
        )
    }

    fn costs_option(&self, cash_only: bool) -> &'static str {
        match cash_only {
            true => "cash only: what you pay out for this crop",
            false => "everything: land, machines and your own time too",
        }
    }

    fn seed_costs(&self, low: f64, high: f64, unknown: usize, units: &Units) -> String {
        let area = self.area_per(units.yield_unit);
        let unknown = match unknown {
            0 => String::new(),
            n => format!(" Of {n} it is not known; the average of the others is counted."),
        };
        format!(
            "Seed is added variety by variety, {} to {} {area}.{unknown}",
            units.money(low),
            units.money(high)
        )
    }

    fn worked(&self, line: &WorkedLine, label: &str, units: &Units) -> (String, String) {
        let price_per = self.price_per(units.yield_unit);
        let quantity = |value: f64| self.quantity(value, units);
        let words = match line {
            WorkedLine::GrainGrazed { ungrazed, lost } => {
                format!("of {} the cattle take {}", quantity(*ungrazed), quantity(*lost))
            }
            WorkedLine::Grain { quantity: sold, price, .. } => {
                format!("{} sold at {} {price_per}", quantity(*sold), units.money(*price))
            }
            WorkedLine::Hauling { quantity: hauled, unit_cost, .. } => {
                format!("hauling and harvest: {} at {}", quantity(*hauled), units.money(*unit_cost))
            }
            WorkedLine::Dock { value, off, .. } => {
                let amount = units.money(off.abs());
                let does = if *off < 0.0 { "is paid on top" } else { "comes off" };
                match value {
                    Some(value) => format!("{label} {}: {amount} {price_per} {does}", units.plain(*value)),
                    None => {
                        format!("{label} not known: {amount} {price_per} {does}, the average of the others")
                    }
                }
            }
            WorkedLine::Indemnity { guarantee, price, .. } => format!(
                "insurance up to {} at {}, what it pays on average",
                quantity(*guarantee),
                units.money(*price)
            ),
            WorkedLine::Grazing { days: grazed, gain, value, .. } => format!(
                "cattle: {} \u{d7} {} {} \u{d7} {}",
                days(*grazed, units),
                units.plain(*gain),
                self.gain_unit(units),
                units.money(*value)
            ),
            WorkedLine::Costs { cash_only: true, .. } => "cash costs".into(),
            WorkedLine::Costs { cash_only: false, .. } => "costs".into(),
            WorkedLine::Premium { .. } => "premium of the insurance".into(),
            WorkedLine::Sprays { .. } => "sprays".into(),
            WorkedLine::Seed { known: true, .. } => "seed".into(),
            WorkedLine::Seed { known: false, .. } => {
                "seed (price not known: the average of the others)".into()
            }
            WorkedLine::Left { .. } => "left, on average".into(),
            WorkedLine::BreakEvenYield { quantity: None, costs, .. } if *costs <= 0.0 => {
                "no grain is needed to pay for it all".into()
            }
            WorkedLine::BreakEvenYield { quantity: None, .. } => "no single yield pays for it all".into(),
            WorkedLine::BreakEvenYield { costs, margin, quantity: Some(at) } => {
                let divides = *margin > 0.0 && (costs / margin - at).abs() < 0.005 * at.abs().max(0.1);
                match divides {
                    true => format!(
                        "break-even: {} \u{f7} {} {price_per} = {}",
                        units.money(*costs),
                        units.money(*margin),
                        quantity(*at)
                    ),
                    false => format!("break-even: {}", quantity(*at)),
                }
            }
            WorkedLine::BreakEvenPrice { costs, quantity: sold, price } => format!(
                "price that pays for it: {} \u{f7} {} = {} {price_per}",
                units.money(*costs),
                quantity(*sold),
                units.money(*price)
            ),
        };
        let amount = match line {
            WorkedLine::Left { amount } => units.money_signed(*amount),
            WorkedLine::GrainGrazed { .. }
            | WorkedLine::BreakEvenYield { .. }
            | WorkedLine::BreakEvenPrice { .. } => String::new(),
            other => units.money_signed(other.amount()),
        };
        (words, amount)
    }

    fn grazed(&self, cattle: Option<&Cattle>) -> String {
        let Some(Cattle { days, off }) = cattle else { return "not grazed".into() };
        let count = |n: f64| format!("{} {}", self.0.plain(n), if n == 1.0 { "day" } else { "days" });
        let days = days.map_or(String::new(), |days| format!(" {}", count(days)));
        let off = off.as_ref().map_or(String::new(), |(day, name)| {
            let when = match day {
                0.0 => "at".to_owned(),
                late if *late > 0.0 => format!("{} after", count(*late)),
                early => format!("{} before", count(-early)),
            };
            format!(", off {when} the first hollow stem of {name}")
        });
        format!("grazed{days}{off}")
    }

    fn graze_option(&self, graze: bool) -> &'static str {
        match graze {
            true => "grazed, then cut for grain",
            false => "not grazed",
        }
    }

    fn graze_income(&self, income: Option<f64>, units: &Units) -> String {
        match income {
            Some(income) => format!(
                "Cattle bring {} {}.",
                units.money(income),
                self.area_per(units.yield_unit)
            ),
            None => "Type days, gain and worth, and what cattle bring is counted. What they take of the grain is counted already.".into(),
        }
    }

    fn graze_rule(&self, spared: f64, units: &Units) -> String {
        format!(
            "Counted, as published: cattle that leave in time take 7 % of the grain, none of it where the crop makes no more than {}; each day after first hollow stem takes another 5 %.",
            units.yield_amount(spared)
        )
    }

    fn off_by(&self, day: Option<f64>, check: &str) -> String {
        let Some(day) = day else { return "not known".into() };
        let rounded = day.round();
        let count = |n: f64| format!("{n} {}", if n == 1.0 { "day" } else { "days" });
        match rounded {
            0.0 => format!("same day as {check}"),
            late if late > 0.0 => format!("{} after {check}", count(late)),
            early => format!("{} before {check}", count(-early)),
        }
    }

    fn off_by_sentence(&self, day: Option<f64>, name: &str, check: &str) -> String {
        match day {
            _ if name == check => {
                "Cattle should be off by its first hollow stem; the days of all others are counted from it.".into()
            }
            None => {
                "Its day of first hollow stem is not known, so nobody can say when cattle should be off; an average day is counted.".into()
            }
            Some(_) => format!("Cattle should be off by its first hollow stem: {}.", match self.off_by(day, check) {
                same if same.starts_with("same ") => format!("on the {same}"),
                other => other,
            }),
        }
    }

    fn cattle(&self, g: &VarietyGrazing, units: &Units) -> Vec<String> {
        let area = self.area_per(units.yield_unit);
        let mut lines = Vec::new();
        let late = match g.days_past > 0.0 {
            true => format!("Staying {} past that, they", days(g.days_past.round(), units)),
            false => "Off in time, they".into(),
        };
        lines.push(format!("{late} take {} of grain in such years.", units.yield_difference(g.grain_lost)));
        lines.push(format!("A week late takes {} more{}.", units.yield_difference(g.week_late), {
            g.week_late_money.map_or(String::new(), |money| format!(", {} {area}", units.money_signed(money)))
        }));
        if let Some(day) = &g.keep_on {
            lines.push(format!(
                "Another day past it brings {} of gain and takes {} of grain: it {}.",
                units.money(day.brings),
                units.money(day.costs),
                if day.pays() { "pays" } else { "does not pay" }
            ));
        }
        lines.push(match g.recovers_poorly {
            Some(true) => "It recovers poorly from grazing.".into(),
            Some(false) => "It recovers well from grazing.".into(),
            None => "How it recovers from grazing is not known.".into(),
        });
        lines
    }

    fn week_late(&self, g: &VarietyGrazing, units: &Units) -> String {
        match g.week_late_money {
            Some(money) => units.money_signed(money),
            None => units.yield_difference(g.week_late),
        }
    }

    fn recovers(&self, poorly: Option<bool>) -> &'static str {
        match poorly {
            Some(true) => "poorly",
            Some(false) => "well",
            None => "not known",
        }
    }

    fn spray(&self, w: &SprayWorth, label: &str, units: &Units) -> String {
        let area = self.area_per(units.yield_unit);
        let number = units.yield_fine(w.gain_yield);
        let saves = match nothing(&number) {
            true => "saves hardly anything".to_owned(),
            false => format!("saves {} on average", units.yield_difference(w.gain_yield)),
        };
        let cost = w
            .cost
            .map_or(" (its cost is not known)".into(), |cost| format!(" at {} {area}", units.money(cost)));
        let Some((pays, gain)) = w.pays.zip(w.gain) else {
            return format!("Spraying against {label}{cost} {saves}.");
        };
        let verdict = match gain < 0.0 {
            true => format!("and costs {} {area} more than it brings", units.money_rounded(gain)),
            false => format!("and leaves {} {area} after its cost", units.money_rounded(gain)),
        };
        let needs = w
            .break_even
            .map_or(String::new(), |at| format!(" It takes {} to pay for it.", units.yield_difference(at)));
        format!(
            "The spray against {label}{cost} pays in {} such years on this one{}; it {saves} {verdict}.{needs}",
            in_twenty(pays),
            not_in(of_twenty(pays))
        )
    }

    fn sprays_idle(&self, labels: &[String]) -> String {
        let each = if labels.len() > 1 { "each pays" } else { "pays" };
        format!("A spray against {} {each} in fewer than 1 in 20 such years on this one.", list(labels))
    }

    fn spray_option(&self, sprayed: bool) -> &'static str {
        match sprayed {
            true => "sprayed against it",
            false => "not sprayed",
        }
    }

    fn no_spray(&self) -> &'static str {
        "No spray protects from it."
    }

    fn docks_heading(&self, label: &str, unit: &str) -> String {
        match unit {
            "" => label.to_owned(),
            unit => format!("{label}, {unit}"),
        }
    }
}
