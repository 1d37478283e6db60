//! English.

use super::figure::{Units, of_twenty};
use super::{Difference, Field, Label, Piece, Place, Short, Words};
use crate::number::{NumberProblem, Quantity};
use crate::state::{Sent, Sheet};
use leanyear_engine::decide::{
    ClimateSource, FieldSummary, Missing, OutlookSummary, Standing, StandingState,
};
use leanyear_engine::link::{LinkNotice, Order, WaterOutlook};
use leanyear_engine::pack::{Exclusion, NetworkInfo, YieldUnit};
use leanyear_engine::season::climate::BaseRate;

/// English, for growers.
#[derive(Debug)]
pub struct English;

/// `1 season`, `2 seasons`.
fn count(number: u32, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `A`, `A and B`, `A, B and C`.
fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `9 of 20 years`, with the ends kept open: twenty marks cannot tell never from seldom.
fn years_of_twenty(marks: u32) -> String {
    match marks {
        0 => "fewer than 1 in 20 years".into(),
        20 => "more than 19 in 20 years".into(),
        n => format!("{n} of 20 years"),
    }
}

/// A chance as so many of twenty, with open ends.
fn in_twenty(chance: f64) -> String {
    match of_twenty(chance) {
        0 => "fewer than 1 in 20".into(),
        20 => "more than 19 in 20".into(),
        n => format!("{n} of 20"),
    }
}

/// The assumed year as it ends "such a year": dry, wet, this dry.
fn like_this(water: WaterOutlook) -> Option<&'static str> {
    match water {
        WaterOutlook::Any | WaterOutlook::Thirds(..) => None,
        WaterOutlook::DriestFifth => Some("that dry"),
        WaterOutlook::Dry => Some("dry"),
        WaterOutlook::Middle => Some("middling"),
        WaterOutlook::Wet => Some("wet"),
        WaterOutlook::Like(_) => Some("with that much water"),
    }
}

/// `28 July 2025` for an ISO 8601 date; anything else as it stands.
fn date(iso: &str) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let parts: Vec<&str> = iso.split('-').collect();
    let [year, month, day] = parts[..] else { return iso.to_owned() };
    let name = month.parse::<usize>().ok().and_then(|month| MONTHS.get(month.wrapping_sub(1)));
    match (name, day.parse::<u8>()) {
        (Some(name), Ok(day)) => format!("{day} {name} {year}"),
        _ => iso.to_owned(),
    }
}

fn lean(dry: u8, wet: u8) -> &'static str {
    match dry.cmp(&wet) {
        std::cmp::Ordering::Greater => "lean dry",
        std::cmp::Ordering::Less => "lean wet",
        std::cmp::Ordering::Equal => "lean neither way",
    }
}

impl Words for English {
    fn lang(&self) -> &'static str {
        "en"
    }

    fn marks(&self) -> (char, char) {
        ('.', ',')
    }

    fn label(&self, label: Label) -> &'static str {
        super::en_labels::label(label)
    }

    fn yield_unit(&self, unit: YieldUnit) -> &'static str {
        match unit {
            YieldUnit::BushelPerAcre => "bu/ac",
            YieldUnit::TonnePerHectare => "t/ha",
            YieldUnit::KilogramPerHectare => "kg/ha",
            YieldUnit::PoundPerAcre => "lb/ac",
        }
    }

    fn system(&self, code: &str) -> String {
        code.replace(['-', '_'], " ")
    }

    fn price_per(&self, unit: YieldUnit) -> &'static str {
        match unit {
            YieldUnit::BushelPerAcre => "a bushel",
            YieldUnit::PoundPerAcre => "a hundredweight",
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => "a tonne",
        }
    }

    fn area_per(&self, unit: YieldUnit) -> &'static str {
        match unit {
            YieldUnit::BushelPerAcre | YieldUnit::PoundPerAcre => "an acre",
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => "a hectare",
        }
    }

    fn sentence(&self, field: &Field, units: &Units) -> Vec<Piece> {
        let text = |words: &str| Piece::Text(words.to_owned());
        let unit = units.yield_unit;
        let mut out = vec![text("On ")];
        if let Some(system) = &field.system {
            out.push(Piece::Ask(Sheet::System, self.system(system)));
            out.push(text(" "));
        }
        let place = match &field.place {
            Place::Site(name) => {
                out.push(text("ground near "));
                name.clone()
            }
            Place::Zone(name) => {
                out.push(text("ground in "));
                name.clone()
            }
            Place::Elsewhere => {
                out.push(text("ground "));
                "near no trial site".into()
            }
        };
        out.push(Piece::Ask(Sheet::Site, place));
        out.push(text(", where I usually make "));
        out.push(Piece::Ask(
            Sheet::Usual,
            match field.usual_given {
                true => units.yield_given(field.usual),
                false => format!("about {}", units.yield_amount(field.usual)),
            },
        ));
        out.push(text(" and grow "));
        out.push(Piece::Ask(Sheet::Mine, field.mine.clone().unwrap_or_else(|| "(name it)".into())));
        if field.water_known {
            let (before, bracket) = outlook_words(field.water);
            out.push(text(before));
            out.push(Piece::Ask(Sheet::Water, bracket));
        }
        if field.money_told {
            let money = |value: Option<f64>, none: &str| value.map_or(none.to_owned(), |v| units.money(v));
            out.push(text(", at "));
            out.push(Piece::Ask(Sheet::Price, money(field.price, "no price")));
            out.push(Piece::Text(format!(" {} and ", self.price_per(unit))));
            out.push(Piece::Ask(Sheet::Cost, money(field.cost, "no cost")));
            out.push(Piece::Text(format!(" {}", self.area_per(unit))));
        }
        out.push(text(", show first the one that "));
        let known = field.price.is_some() && field.cost.is_some();
        out.push(Piece::Ask(Sheet::Order, self.order_option(field.order, known).to_owned()));
        out.push(text("."));
        out
    }

    fn years_line(&self, water: WaterOutlook) -> String {
        let (years, tail) = match water {
            WaterOutlook::Any => ("20 years as they come".to_owned(), "each as likely"),
            WaterOutlook::DriestFifth => ("20 very dry years".into(), "each as likely"),
            WaterOutlook::Dry => ("20 dry years".into(), "each as likely"),
            WaterOutlook::Middle => ("20 middling years".into(), "each as likely"),
            WaterOutlook::Wet => ("20 wet years".into(), "each as likely"),
            WaterOutlook::Like(year) => (format!("20 years with the water of {year}"), "each as likely"),
            WaterOutlook::Thirds(dry, _, wet) => {
                (format!("20 years whose odds {}", lean(dry, wet)), "each as likely")
            }
        };
        format!("{years}, {tail}. Not past years, not a weather forecast.")
    }

    fn key_short(&self, short: Short, units: &Units) -> String {
        match short {
            Short::Money => "loses money".into(),
            Short::Below(target) => format!("below {}", units.yield_amount(target)),
        }
    }

    fn sheet_title(&self, sheet: Sheet, units: &Units) -> String {
        match sheet {
            Sheet::System => "How is the ground farmed?".into(),
            Sheet::Site => "Which trial site is nearest?".into(),
            Sheet::Usual => "What do you usually make there?".into(),
            Sheet::Mine => "Which variety do you grow now?".into(),
            Sheet::Water => "Suppose the year turns out\u{2026}".into(),
            Sheet::Price => format!("What does {} bring?", self.price_per(units.yield_unit)),
            Sheet::Cost => format!("What does {} cost you?", self.area_per(units.yield_unit)),
            Sheet::Order => "Show first the one that\u{2026}".into(),
            Sheet::Find => "Find a variety".into(),
        }
    }

    fn sheet_hint(&self, sheet: Sheet, seed_apart: bool, units: &Units) -> String {
        match sheet {
            Sheet::System => "Trials of one system are never lent to another.".into(),
            Sheet::Site => {
                "It sets the water record the years are drawn from, and the local trials that count most."
                    .into()
            }
            Sheet::Usual => {
                "Your average on this ground over the last ten crops, failed ones counted as 0.".into()
            }
            Sheet::Mine => "It stays on top of the list, and every other is held against it.".into(),
            Sheet::Water => {
                "Water is what the crop could use: stored in the soil, rain and irrigation.".into()
            }
            Sheet::Price => "What you count on at the elevator, after docks.".into(),
            Sheet::Cost => format!(
                "Everything you spend on {} of this crop, whatever it makes: {}fertiliser, sprays, fuel, custom work, insurance; rent and your own time too if the crop has to pay them.{}",
                self.area_per(units.yield_unit),
                if seed_apart { "" } else { "seed, " },
                if seed_apart { " Not seed: its price is added variety by variety." } else { "" }
            ),
            Sheet::Order | Sheet::Find => String::new(),
        }
    }

    fn number_problem(&self, quantity: Quantity, problem: NumberProblem, units: &Units) -> String {
        let (example, unit) = match (quantity, units.yield_unit) {
            (Quantity::Usual, YieldUnit::BushelPerAcre) => (32.0, self.yield_unit(units.yield_unit)),
            (Quantity::Usual, YieldUnit::TonnePerHectare) => (2.1, self.yield_unit(units.yield_unit)),
            (Quantity::Usual, _) => (2100.0, self.yield_unit(units.yield_unit)),
            (Quantity::Price, unit) => {
                (if unit == YieldUnit::BushelPerAcre { 5.8 } else { 210.0 }, self.price_per(unit))
            }
            (Quantity::Cost, unit) => (165.0, self.area_per(unit)),
        };
        match problem {
            NumberProblem::Blank => "Type a number, or choose the line below.".into(),
            NumberProblem::NotANumber => format!("Use digits only, as in {} ({unit}).", units.plain(example)),
            NumberProblem::TwoReadings(a, b) => format!(
                "This can be read as {} or as {}: write it without the mark between thousands.",
                units.plain(a),
                units.plain(b)
            ),
            NumberProblem::TooSmall(least) => format!("Type {} or more ({unit}).", units.plain(least)),
            NumberProblem::TooLarge(greatest) => format!("Type {} or less ({unit}).", units.plain(greatest)),
        }
    }

    fn water_option(&self, water: WaterOutlook) -> String {
        match water {
            WaterOutlook::Any => "as it may: every year alike".into(),
            WaterOutlook::DriestFifth => "very dry: the driest fifth".into(),
            WaterOutlook::Dry => "dry: the driest third".into(),
            WaterOutlook::Middle => "middling: the middle third".into(),
            WaterOutlook::Wet => "wet: the wettest third".into(),
            WaterOutlook::Like(year) => format!("like {year}"),
            WaterOutlook::Thirds(dry, middle, wet) => match dry.cmp(&wet) {
                std::cmp::Ordering::Equal => "leans neither way".into(),
                order => format!(
                    "leans {}: {dry} dry, {middle} middling, {wet} wet",
                    if order.is_gt() { "dry" } else { "wet" }
                ),
            },
        }
    }

    fn base_rate(&self, water: WaterOutlook, rate: &BaseRate, units: &Units) -> Option<String> {
        let (low, high) = rate.water_range?;
        let range = match units.water_number(low) == units.water_number(high) {
            true => format!("{}\u{a0}{}", units.water_number(low), units.water_unit()),
            false => format!(
                "{} to {}\u{a0}{}",
                units.water_number(low),
                units.water_number(high),
                units.water_unit()
            ),
        };
        let (inside, all) = (rate.seasons_like_this, rate.seasons_in_record);
        let rate = match water {
            WaterOutlook::Any | WaterOutlook::Thirds(..) => {
                format!("{} on record here", count(all, "year", "years"))
            }
            WaterOutlook::DriestFifth | WaterOutlook::Dry => {
                format!("{inside} of {all} years here were this dry")
            }
            WaterOutlook::Middle => format!("{inside} of {all} years here were like this"),
            WaterOutlook::Wet => format!("{inside} of {all} years here were this wet"),
            WaterOutlook::Like(_) => format!("1 of {all} years here"),
        };
        Some(format!("{rate}: {range}"))
    }

    fn climate(&self, outlook: &OutlookSummary) -> String {
        let years =
            outlook.record_years.map_or(String::new(), |(first, last)| format!(", {first} to {last}"));
        let seasons = count(outlook.seasons_in_record, "season", "seasons");
        match outlook.source {
            ClimateSource::LongRecord => {
                format!("Drawn from this site\u{2019}s long water record: {seasons}{years}.")
            }
            ClimateSource::TrialSeasons => {
                format!(
                    "Only the years of this site\u{2019}s own trials are known: {seasons}{years}. A short record; a worse year may be missing from it."
                )
            }
            ClimateSource::NetworkSeasons => {
                format!(
                    "No water record for this site: the years of the trials round about stand in, {seasons}{years}. A short record; a worse year may be missing from it."
                )
            }
            ClimateSource::None => {
                "No water was recorded with these trials, so only years as they come can be shown.".into()
            }
        }
    }

    fn past_year(&self, year: i32, water: f64, units: &Units) -> String {
        format!("{year}: {} {}", units.water_number(water), units.water_unit())
    }

    fn zone_option(&self, zone: &str) -> String {
        format!("elsewhere in {zone}")
    }

    fn no_zone(&self) -> &'static str {
        "Sites"
    }

    fn order_option(&self, order: Order, money: bool) -> &'static str {
        match (order, money) {
            (Order::Net, true) => "leaves most after costs",
            (Order::Net, false) => "yields most on average",
            (Order::WorstFifth, _) => "does best in its worst years",
            (Order::ChanceShort, true) => "loses money least often",
            (Order::ChanceShort, false) => "falls short least often",
        }
    }

    fn odds(&self, short: Short, marks_short: u8, units: &Units) -> String {
        let verb = match short {
            Short::Money => "loses money in".to_owned(),
            Short::Below(target) => format!("falls short of {} in", units.yield_amount(target)),
        };
        let years = years_of_twenty(u32::from(marks_short));
        match marks_short {
            0 | 20.. => format!("{verb} {years}"),
            n => format!("{verb} {years}, not in {}", 20 - n),
        }
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

    fn state(&self, state: StandingState, last: Option<i32>) -> Option<String> {
        match (state, last) {
            (StandingState::WellTested, _) => None,
            (StandingState::New, _) => Some("new".into()),
            (StandingState::NoLongerTested, Some(year)) => Some(format!("no longer tested, last {year}")),
            (StandingState::NoLongerTested, None) => Some("not tested in this system".into()),
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

    fn worst_fifth(&self, yield_: f64, net: Option<f64>, units: &Units) -> String {
        let left = net.map_or(String::new(), |net| {
            let area = self.area_per(units.yield_unit);
            match net < 0.0 {
                true => format!(", a loss of {} {area}", units.money_rounded(net)),
                false => format!(", {} {area} left after costs", units.money_rounded(net)),
            }
        });
        format!("average of the 4 worst years of 20: {}{left}", units.yield_amount(yield_))
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

    fn group_heading(&self, group: usize, shown: usize) -> String {
        match (group, group > shown) {
            (0 | 1, _) => "First, and clear of the others".into(),
            (_, false) => "Too close to call".into(),
            (_, true) => format!("Too close to call: the first {shown} of {group}"),
        }
    }

    fn group_line(&self, group: usize) -> String {
        match group {
            0 | 1 => "The trials can tell this one from all the rest.".into(),
            n => format!("The trials cannot tell these {n} apart; their order means little."),
        }
    }

    fn show_rest(&self, rest: usize) -> String {
        format!("show the other {rest}")
    }

    fn rest_heading(&self, rest: usize) -> String {
        format!("The other {rest}, in the same order")
    }

    fn line_label(&self, short: Short, (low, high): (f64, f64), units: &Units) -> String {
        let (low, high) = (units.yield_fine(low), units.yield_fine(high));
        match short {
            Short::Money if low == high => format!("break-even {low}"),
            Short::Money => format!("break-even {low} to {high}, by seed"),
            Short::Below(_) => format!("short below {low}"),
        }
    }

    fn costs_more_to_haul(&self, unit: YieldUnit) -> String {
        let unit = self.price_per(unit);
        format!("At this price {unit} costs more to haul than it brings: every variety loses money.")
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
                numbers.join(", ")
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

    fn evidence(&self, standing: &Standing, water: WaterOutlook, system: Option<&str>) -> String {
        let place = system.map_or(String::new(), |code| format!(" on {} ground", self.system(code)));
        let state = match standing.state {
            StandingState::WellTested => "Well tested",
            StandingState::New => "New",
            StandingState::NoLongerTested => "No longer tested",
        };
        let last = standing.last.map_or(String::new(), |year| format!("; last in {year}"));
        format!("{state}{place}: {}{last}.", self.tested(standing, water))
    }

    fn difference(&self, difference: &Difference, units: &Units) -> String {
        let amount = |value: f64| match units.yield_fine(value.abs()) {
            zero if zero.chars().all(|c| c == '0' || c == '.') => "nothing".to_owned(),
            _ => format!(
                "{} {}",
                units.yield_difference(value.abs()),
                if value < 0.0 { "less" } else { "more" }
            ),
        };
        let against = list(&difference.against);
        let sure = match (difference.low > 0.0, difference.high < 0.0) {
            (true, _) => "So it is very likely better.",
            (_, true) => "So it is very likely worse.",
            _ => "So the trials cannot say which is better.",
        };
        let value = match amount(difference.value) {
            nothing if nothing == "nothing" => "the same as".to_owned(),
            value => format!("{value} than"),
        };
        format!(
            "Over many years on this ground it makes {value} the average of {against}. Chances are 4 in 5 that the truth lies between {} and {}. {sure}",
            amount(difference.low),
            amount(difference.high)
        )
    }

    fn deviation(&self, value: f64, units: &Units) -> String {
        let text = units.yield_fine(value.abs());
        match (value < 0.0, text.chars().all(|c| c == '0' || c == '.')) {
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

    fn scale(&self, best: Option<f64>, worst: Option<f64>, unit: &str) -> String {
        let number = |value: f64| {
            let text = format!("{value}");
            if unit == "%" { format!("{text}%") } else { text }
        };
        match (best, worst) {
            (Some(best), Some(worst)) => format!("{} best, {} worst", number(best), number(worst)),
            _ => unit.to_owned(),
        }
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

    fn numbers_heading(&self, units: &Units) -> String {
        format!("twenty yields in {}, poorest first", self.yield_unit(units.yield_unit))
    }

    fn seasons(&self, number: u32) -> String {
        count(number, "season", "seasons")
    }

    fn stance(&self, stance: &str, system: &str) -> String {
        let system = self.system(system);
        match stance {
            "in" => format!("On the adviser\u{2019}s short list for {system} ground"),
            "out" => format!("Off the adviser\u{2019}s short list for {system} ground"),
            _ => format!("One the adviser is watching on {system} ground"),
        }
    }

    fn about(&self, released: Option<i32>, origin: &str, class: &str) -> String {
        let released = released.map(|year| format!("released {year}"));
        let parts = [class.to_owned(), origin.to_owned(), released.unwrap_or_default()];
        parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
    }

    fn signed(&self, by: &str, date: &str) -> String {
        [by.to_owned(), self::date(date)]
            .into_iter()
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .join(", ")
    }

    fn source(&self, field: &FieldSummary, info: &NetworkInfo) -> Vec<String> {
        let (first, last) = field.seasons;
        let mut lines = vec![format!(
            "{} of {}, {first} to {last}{}.",
            count(field.trials, "trial", "trials"),
            if info.crop.is_empty() { &info.name } else { &info.crop },
            if info.data_date.is_empty() {
                String::new()
            } else {
                format!("; data of {}", date(&info.data_date))
            }
        )];
        if !info.contact.is_empty() {
            lines.push(format!("Ask: {}.", info.contact.trim_end_matches('.')));
        }
        if !info.funded_by.is_empty() {
            lines.push(format!("Paid for by {}.", info.funded_by.trim_end_matches('.')));
        }
        lines
    }

    fn missing(&self, missing: &Missing) -> &'static str {
        super::en_labels::missing(missing)
    }

    fn cautions(&self) -> Vec<&'static str> {
        super::en_labels::CAUTIONS.to_vec()
    }

    fn track(&self, held: u32, n: u32) -> Vec<String> {
        if n == 0 {
            return vec!["There are too few seasons to check this yet.".into()];
        }
        let promised = (f64::from(n) * 0.8).round();
        let verdict = match f64::from(held) - promised {
            d if d < -0.03 * f64::from(n) => "Fewer than promised: read the ranges as too narrow.",
            d if d > 0.03 * f64::from(n) => "More than promised: the ranges are wider than they need be.",
            _ => "About as many as promised.",
        };
        vec![
            "Each season was worked out from the earlier ones alone, told only how much water it brought."
                .into(),
            format!(
                "The range that should hold 4 times in 5 held in {held} of {n} results; {promised} were promised. {verdict}"
            ),
        ]
    }

    fn track_season(&self, held: u32, n: u32) -> String {
        let tail = match f64::from(held) < 0.7 * f64::from(n) {
            true => ": a bad season for these ranges",
            false => "",
        };
        format!("{held} of {n}{tail}")
    }

    fn notice(&self, notice: &LinkNotice) -> String {
        super::en_labels::notice(notice)
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

/// The words before the bracket of the year assumed, and those inside it.
fn outlook_words(water: WaterOutlook) -> (&'static str, String) {
    let turns_out = ", if the year turns out ";
    match water {
        WaterOutlook::Any => (turns_out, "as it may".into()),
        WaterOutlook::DriestFifth => (turns_out, "very dry".into()),
        WaterOutlook::Dry => (turns_out, "dry".into()),
        WaterOutlook::Middle => (turns_out, "middling".into()),
        WaterOutlook::Wet => (turns_out, "wet".into()),
        WaterOutlook::Like(year) => (turns_out, format!("like {year}")),
        WaterOutlook::Thirds(dry, _, wet) => (", if the odds for the year ", lean(dry, wet).into()),
    }
}
