//! English: the field sentence, its sheets, units.

use super::{English, labels, lean};
use crate::derive::NeedCount;
use crate::number::{NumberProblem, Quantity};
use crate::state::Sheet;
use crate::text::figure::Units;
use crate::text::region::Region;
use crate::text::shared::{count, percent};
use crate::text::{Field, Label, Need, Piece, SettingWords, Short};
use leanyear_engine::decide::{ClimateSource, OutlookSummary};
use leanyear_engine::forecast::form::FittedLoss;
use leanyear_engine::link::{Order, Pressures, WaterOutlook};
use leanyear_engine::pack::{TraitKind, WaterUnit, YieldUnit};
use leanyear_engine::season::climate::BaseRate;

impl SettingWords for English {
    fn lang(&self) -> &'static str {
        "en"
    }

    fn region(&self) -> &Region {
        &self.0
    }

    fn label(&self, label: Label) -> &'static str {
        labels::label(label)
    }

    fn yield_unit(&self, unit: YieldUnit) -> &'static str {
        unit.symbol()
    }

    fn water_unit(&self, unit: WaterUnit) -> &'static str {
        unit.symbol()
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
        self.field_sentence(field, units)
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

    fn key_fine(&self, short: Short, units: &Units) -> String {
        match short {
            Short::Money => "pays its way".into(),
            Short::Below(target) => format!("{} or more", units.yield_amount(target)),
        }
    }

    fn sheet_title(&self, sheet: Sheet, units: &Units) -> String {
        match sheet {
            Sheet::System => "How is the ground farmed?".into(),
            Sheet::Site => "Which trial site is nearest?".into(),
            Sheet::Usual => "What do you usually make there?".into(),
            Sheet::Mine => "Which variety do you grow now?".into(),
            Sheet::Water => "Suppose the year turns out\u{2026}".into(),
            Sheet::Diseases => "Suppose diseases and pests strike\u{2026}".into(),
            Sheet::Price => format!("What does {} bring?", self.price_per(units.yield_unit)),
            Sheet::Cost => format!("What does {} cost you?", self.area_per(units.yield_unit)),
            Sheet::Order => "Show first the one that\u{2026}".into(),
            Sheet::Find => "Find a variety".into(),
            Sheet::Needs => "It must\u{2026}".into(),
            Sheet::Units => "Count in\u{2026}".into(),
            Sheet::Grazing => "Do cattle graze it?".into(),
            Sheet::Docks => "What does quality take off the price?".into(),
            Sheet::Beside => "Put side by side".into(),
            Sheet::Sown => "Give acres to\u{2026}".into(),
        }
    }

    fn sheet_hint(&self, sheet: Sheet, seed_apart: bool, units: &Units) -> String {
        match sheet {
            Sheet::System => {
                "What a variety did in another system counts for less, and never as a test in this one."
                    .into()
            }
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
            Sheet::Diseases => {
                "Left as they come, each year has what seasons with water like it had in these trials.".into()
            }
            Sheet::Price => "What you count on at the elevator, after docks.".into(),
            Sheet::Cost => format!(
                "Everything you spend on {} of this crop, whatever it makes: {}fertiliser, sprays, fuel, custom work, insurance; rent and your own time too if the crop has to pay them.{}",
                self.area_per(units.yield_unit),
                if seed_apart { "" } else { "seed, " },
                if seed_apart { " Not seed: its price is added variety by variety." } else { "" }
            ),
            Sheet::Needs => {
                "Tap all that it must do. A variety that does not drops below a line with the reason; none disappears.".into()
            }
            Sheet::Docks => format!(
                "Empty until you fill it in from your elevator\u{2019}s schedule: below each limit, so much off {} (more than is paid: \u{2212}). The lowest limit that the grain is below counts. A variety that is not rated counts as the average of the others.",
                self.price_per(units.yield_unit)
            ),
            Sheet::Beside => "Two to four.".into(),
            Sheet::Order | Sheet::Find | Sheet::Units | Sheet::Grazing | Sheet::Sown => String::new(),
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
            NumberProblem::NotANumber | NumberProblem::Taken(_) => {
                format!("Use digits only, as in {} ({unit}).", units.plain(example))
            }
            NumberProblem::TwoReadings(a, b) => self.two_readings(a, b),
            NumberProblem::TooSmall(least) => format!("Type {} or more ({unit}).", units.plain(least)),
            NumberProblem::TooLarge(greatest) => format!("Type {} or less ({unit}).", units.plain(greatest)),
        }
    }

    fn pressure(&self, pressure: Option<Pressures>) -> &'static str {
        match pressure {
            None => "as it comes",
            Some(Pressures::None) => "none",
            Some(Pressures::Light) => "light",
            Some(Pressures::Moderate) => "moderate",
            Some(Pressures::Severe) => "severe",
        }
    }

    fn takes(&self, loss: &FittedLoss) -> String {
        let takes =
            format!("Severe, it takes about {} % from a variety without resistance", percent(loss.estimate));
        match loss.learnt {
            true => format!("{takes} (from these trials; published: {} %).", percent(loss.published.0)),
            false => format!("{takes} (as published: too few trials here to tell)."),
        }
    }

    fn disease_caution(&self) -> &'static str {
        "Ratings can fail against a new race, and some resistances in a warm, early-sown autumn. Before any spray: keep to the label, mind harvest and grazing intervals, and ask a licensed adviser."
    }

    fn water_option(&self, water: WaterOutlook) -> String {
        match water {
            WaterOutlook::Any => "as it may: every year alike".into(),
            WaterOutlook::DriestFifth => "very dry: the driest fifth".into(),
            WaterOutlook::Dry => "dry: the driest third".into(),
            WaterOutlook::Middle => "middling: the middle third".into(),
            WaterOutlook::Wet => "wet: the wettest third".into(),
            WaterOutlook::Like(year) => format!("like {year}"),
            WaterOutlook::Thirds(dry, middle, wet) => {
                let leaning = match dry.cmp(&wet) {
                    std::cmp::Ordering::Equal => "no lean",
                    std::cmp::Ordering::Greater => "leans dry",
                    std::cmp::Ordering::Less => "leans wet",
                };
                format!("{leaning}: {dry} dry, {middle} middling, {wet} wet")
            }
        }
    }

    fn base_rate(&self, water: WaterOutlook, rate: &BaseRate, units: &Units) -> Option<String> {
        let (low, high) = rate.water_range?;
        let range = match units.water_number(low) == units.water_number(high) {
            true => format!("{}\u{a0}{}", units.water_number(low), units.water_unit()),
            false => format!(
                "{}\u{a0}to\u{a0}{}\u{a0}{}",
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
                format!("Drawn from the long water record: {seasons}{years}.")
            }
            ClimateSource::TrialSeasons => {
                format!(
                    "Only the years of the trials themselves are known: {seasons}{years}. A short record; a worse year may be missing from it."
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

    fn thirds_rate(&self, thirds: &[BaseRate; 3], units: &Units) -> Option<String> {
        let [dry, middle, wet] = thirds;
        let part = |rate: &BaseRate, kind: &str| {
            let (low, high) = rate.water_range?;
            let (low, high) = (units.water_number(low), units.water_number(high));
            Some(format!(
                "{} {kind} ({low}\u{a0}to\u{a0}{high}\u{a0}{})",
                rate.seasons_like_this,
                units.water_unit()
            ))
        };
        Some(format!(
            "Of {} years here {}, {} and {}.",
            dry.seasons_in_record,
            part(dry, "were dry")?,
            part(middle, "middling")?,
            part(wet, "wet")?
        ))
    }

    fn thirds_left(&self, read: Result<Option<u8>, NumberProblem>) -> String {
        match read {
            Ok(None) => "Type both; the rest is middling.".into(),
            Ok(Some(middle)) => format!("That leaves {middle} middling."),
            Err(NumberProblem::TooLarge(_)) => "Together they may be 100 at most.".into(),
            Err(_) => "Use whole numbers from 0 to 100.".into(),
        }
    }

    fn usual_of_trials(&self, usual: f64, units: &Units) -> String {
        format!("Left to the trials it is about {}.", units.yield_amount(usual))
    }

    fn yield_unit_option(&self, unit: YieldUnit) -> String {
        let name = match unit {
            YieldUnit::BushelPerAcre => "bushels an acre",
            YieldUnit::TonnePerHectare => "tonnes a hectare",
            YieldUnit::KilogramPerHectare => "kilograms a hectare",
            YieldUnit::PoundPerAcre => "pounds an acre",
        };
        format!("{name} ({}), price {}", self.yield_unit(unit), self.price_per(unit))
    }

    fn water_unit_option(&self, unit: WaterUnit) -> &'static str {
        match unit {
            WaterUnit::Millimetre => "millimetres",
            WaterUnit::Inch => "inches",
        }
    }

    fn kind_heading(&self, kind: TraitKind) -> &'static str {
        match kind {
            TraitKind::Disease => "Diseases",
            TraitKind::Pest => "Pests",
            TraitKind::Agronomic => "In the field",
            TraitKind::Quality => "In the grain",
            TraitKind::Grazing => "Under cattle",
        }
    }

    fn need(&self, need: &Need) -> String {
        let label = &need.label;
        match need.kind {
            _ if !need.scaled => format!("be in the later or taller half for {label}"),
            TraitKind::Disease | TraitKind::Pest => format!("stand up to {label}"),
            TraitKind::Agronomic | TraitKind::Quality | TraitKind::Grazing => {
                format!("rate well for {label}")
            }
        }
    }

    fn need_count(&self, count: &NeedCount, units: &Units) -> String {
        let passes = count.passes.map_or(String::new(), |(value, higher)| {
            format!(", {} or {}", units.plain(value), if higher { "more" } else { "less" })
        });
        let unknown = match count.unknown {
            0 => String::new(),
            unknown => format!("; {unknown} not rated"),
        };
        format!("{} of {} do{passes}{unknown}", count.have, count.all)
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
}
