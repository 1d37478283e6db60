//! English: varieties side by side, acres, what would change the answer.

use super::{English, in_twenty, like_this, list, not_in, years_of_twenty};
use crate::text::decision::NAMED;
use crate::text::figure::{Units, of_twenty};
use crate::text::shared::{capitalised, count, percent};
use crate::text::{OddsWords, SettingWords, Short, WeighingWords};
use leanyear_engine::decide::Standing;
use leanyear_engine::decide::acres::{Holding, Second, Suggestion};
use leanyear_engine::decide::change::{Change, MoreWater};
use leanyear_engine::decide::compare::{Duel, ThreatLoss};
use leanyear_engine::decide::tipping::{Lever, TippingPoint};
use leanyear_engine::link::WaterOutlook;
use leanyear_engine::pack::{WaterUnit, YieldUnit};

/// An attack between 0 and 1 in words.
fn attack(value: f64) -> &'static str {
    match value {
        v if v < 0.08 => "none",
        v if v < 0.26 => "a trace",
        v if v < 0.41 => "light",
        v if v < 0.59 => "more than light",
        v if v < 0.74 => "moderate",
        v if v < 0.92 => "more than moderate",
        _ => "severe",
    }
}

impl English {
    fn duel_of(&self, names: (&str, &str), duel: &Duel, what: &str, money: bool, units: &Units) -> String {
        let (a, b) = names;
        let wins = of_twenty(duel.a_wins + 0.5 * duel.ties);
        let per = |value: f64| self.amount(value, money, units);
        match wins {
            0 => {
                format!("{b} is ahead of {a} in more than 19 of 20 {what}, by {} on average.", per(duel.b_by))
            }
            20 => {
                format!("{a} is ahead of {b} in more than 19 of 20 {what}, by {} on average.", per(duel.a_by))
            }
            n => format!(
                "{a} is ahead in {n} of 20 {what}, by {} on average; {b} in {}, by {}.",
                per(duel.a_by),
                20 - n,
                per(duel.b_by)
            ),
        }
    }
}

impl WeighingWords for English {
    fn duel(&self, names: (&str, &str), duel: &Duel, money: bool, units: &Units) -> String {
        self.duel_of(names, duel, "such years", money, units)
    }

    fn duel_five(&self, names: (&str, &str), duel: &Duel, money: bool, units: &Units) -> String {
        self.duel_of(names, duel, "runs of five years", money, units)
    }

    fn duel_difference(&self, names: (&str, &str), duel: &Duel, money: bool, units: &Units) -> String {
        let (ahead, behind, sign) =
            if duel.difference < 0.0 { (names.1, names.0, -1.0) } else { (names.0, names.1, 1.0) };
        let (x, y) = (sign * duel.difference_80.0, sign * duel.difference_80.1);
        let (low, high) = (x.min(y), x.max(y));
        let side = |value: f64| {
            let word = if value < 0.0 { "less" } else { "more" };
            format!("{} {word}", self.amount(value.abs(), money, units))
        };
        format!(
            "Over all 20 {ahead} has {} more than {behind}; 4 years in 5 between {} and {}.",
            self.amount(sign * duel.difference, money, units),
            side(low),
            side(high)
        )
    }

    fn lever(&self, lever: &Lever, label: &str) -> String {
        match lever {
            Lever::Water => "water".into(),
            Lever::Price => "price".into(),
            Lever::Cost => "cost".into(),
            Lever::Disease(_) => label.to_owned(),
        }
    }

    fn lever_value(&self, lever: &Lever, value: f64, units: &Units) -> String {
        match lever {
            Lever::Water => format!("{}\u{a0}{}", units.water_number(value), units.water_unit()),
            Lever::Price => format!("{} {}", units.money(value), self.price_per(units.yield_unit)),
            Lever::Cost => format!("{} {}", units.money_rounded(value), self.area_per(units.yield_unit)),
            Lever::Disease(_) => attack(value).into(),
        }
    }

    fn tipping(&self, (a, b): (&str, &str), point: &TippingPoint, label: &str, units: &Units) -> String {
        let lever = self.lever(&point.lever, label);
        let pair = format!("{a} and {b}");
        let value = |value: f64| self.lever_value(&point.lever, value, units);
        let (low, high) = (value(point.range.0), value(point.range.1));
        let Some(at) = point.at.filter(|_| point.counts()) else {
            return match point.at {
                None => format!("{lever}: {pair} do not change places between {low} and {high}."),
                Some(_) => {
                    format!("{lever}: {pair} have no crossing you can count on between {low} and {high}.")
                }
            };
        };
        let (below, above) = if point.first_ahead_above { (b, a) } else { (a, b) };
        let range = point.set80.map_or(String::new(), |(low, high)| match (value(low), value(high)) {
            (low, high) if low == high => format!(" (4 chances in 5: {low})"),
            (low, high) => format!(" (4 chances in 5: {low} to {high})"),
        });
        let (under, over) = match point.lever {
            Lever::Disease(_) => ("Milder", "worse"),
            _ => ("Below that", "above it"),
        };
        format!(
            "{lever}: {pair} change places at {}{range}. {under}, {below} is ahead; {over}, {above}.",
            value(at)
        )
    }

    fn there(&self, lever: &Lever, label: &str, value: f64, units: &Units) -> String {
        let value = self.lever_value(lever, value, units);
        match lever {
            Lever::Water => format!("With {value} of water"),
            Lever::Price => format!("At {value}"),
            Lever::Cost => format!("At a cost of {value}"),
            Lever::Disease(_) => format!("With {label}: {value}"),
        }
    }

    fn amount(&self, value: f64, money: bool, units: &Units) -> String {
        match money {
            true => format!("{} {}", units.money_signed(value), self.area_per(units.yield_unit)),
            false => units.yield_difference(value),
        }
    }

    fn amounts(&self, money: bool, units: &Units) -> String {
        match money {
            true => {
                format!("left after costs, {} {}", units.currency.trim(), self.area_per(units.yield_unit))
            }
            false => format!("yield, {}", self.yield_unit(units.yield_unit)),
        }
    }

    fn moved_picture(&self, names: &[String], lever: &str, money: bool, units: &Units) -> (String, String) {
        (
            format!("{} against {lever}", list(names)),
            format!(
                "One line a variety: what it comes to on average, {}, as {lever} changes. The upright line is where you moved it.",
                self.amounts(money, units)
            ),
        )
    }

    fn threats_hold(&self, units: &Units) -> String {
        let unit = self.yield_unit(units.yield_unit);
        format!("{unit} lost on average in such years; in brackets how much of its yield when severe")
    }

    fn threat_takes(&self, loss: &ThreatLoss, units: &Units) -> String {
        let unknown = if loss.rated { "" } else { ", not rated" };
        let severe = percent(loss.severe).abs();
        format!("{} ({severe}\u{a0}%{unknown})", units.yield_fine(loss.lost.max(0.0)))
    }

    fn area_word(&self, units: &Units) -> &'static str {
        match units.yield_unit {
            YieldUnit::BushelPerAcre | YieldUnit::PoundPerAcre => "acres",
            YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => "hectares",
        }
    }

    fn share(&self, share: f64, units: &Units) -> String {
        format!("{}\u{a0}%", units.plain((share * 1000.0).round() / 10.0))
    }

    fn split(&self, holdings: &[(String, Holding)], units: &Units) -> String {
        let parts: Vec<String> = holdings
            .iter()
            .map(|(name, holding)| format!("{} {name}", self.share(holding.share, units)))
            .collect();
        list(&parts)
    }

    fn split_proven(&self, seasons: u32, water: WaterOutlook, needs: bool) -> String {
        let such = if like_this(water).is_some() { " and in such years" } else { "" };
        let meeting = if needs { ", that do what they must" } else { "" };
        format!(
            "Only varieties tested here lately, in {} or more{such}{meeting}, are suggested. Give another some acres yourself and it counts too.",
            count(seasons, "season", "seasons")
        )
    }

    fn split_limits(&self, most: u8, least: f64, units: &Units) -> String {
        format!(
            "With at most {} and no less than {} of each, the best split for the 4 worst years of 20 is",
            count(u32::from(most), "variety", "varieties"),
            self.share(least, units)
        )
    }

    fn split_worth(
        &self,
        s: &Suggestion,
        single: &str,
        on_average: &str,
        money: bool,
        units: &Units,
    ) -> Vec<String> {
        let per = |value: f64| self.amount(value, money, units);
        let share = format!("{}\u{a0}% of your usual yield", units.fixed(100.0 * s.gain_share.max(0.0), 1));
        let first = match s.hardly_helps {
            // Where even all of it comes to nothing only costs differ.
            _ if s.farm.yield_.worst_fifth <= 0.0 => {
                "No split helps here: in the 4 worst years of 20 nothing is worth cutting, whatever is sown; there only the seed bill differs.".into()
            }
            _ if s.farm.holdings.len() < 2 => format!(
                "Splitting hardly helps here: no split makes the 4 worst years of 20 better than {single} alone."
            ),
            true => format!(
                "Splitting hardly helps here: it makes the average of the 4 worst years of 20 better by {} only, {share}.",
                per(s.gain)
            ),
            false => format!(
                "It makes the average of the 4 worst years of 20 better by {} than {single} alone, {share}.",
                per(s.gain)
            ),
        };
        let given_up = match s.average_given_up > 0.0 {
            true => format!(
                "In the average year it gives up {} against {on_average} alone.",
                per(s.average_given_up)
            ),
            false if s.farm.holdings.len() < 2 => return vec![first],
            false => "In the average year it gives up nothing.".into(),
        };
        vec![first, given_up]
    }

    fn split_second(&self, second: &Second, name: &str, money: bool, units: &Units) -> String {
        let cost = |value: f64| match self.amount(value, money, units) {
            _ if value <= 0.0 => "nothing".to_owned(),
            nothing if nothing == self.amount(0.0, money, units) => "next to nothing".into(),
            amount => amount,
        };
        format!(
            "A second one on the farm guards against what no trial shows. {name} costs least: {} of it gives up {} in the 4 worst years of 20, {} in the average year.",
            self.share(second.share, units),
            cost(second.worst_given_up),
            cost(second.average_given_up)
        )
    }

    fn all_of_one(&self, name: &str) -> String {
        format!("All of it {name}")
    }

    fn threat_area(&self, share: f64, area: Option<f64>, units: &Units) -> String {
        let percent = format!("{}\u{a0}%", units.fixed(100.0 * share, 0));
        match area {
            Some(area) => {
                let areas = self.area_word(units);
                let areas = if area.round() == 1.0 { areas.trim_end_matches('s') } else { areas };
                format!("the crop of {} {areas} ({percent})", units.fixed(area, 0))
            }
            None => percent,
        }
    }

    fn not_tried(&self, names: &[String]) -> String {
        format!("No trial here speaks for {}: left out.", list(names))
    }

    fn least_often(
        &self,
        names: &[String],
        tested: bool,
        marks: u8,
        short: Short,
        proven: bool,
        needs: bool,
    ) -> String {
        let among = match (proven, needs) {
            (false, false) => "",
            (true, false) => "Of those well tested, ",
            (false, true) => "Of those that do what they must, ",
            (true, true) => "Of those well tested that do what they must, ",
        };
        let does = match short {
            Short::Money => "loses money",
            Short::Below(_) => "falls short",
        };
        let does = capitalised(&format!("{among}{does}"));
        let marks = u32::from(marks);
        let (who, each) = match names.len() {
            1 => (names[0].clone(), ""),
            2..=NAMED => (list(names), "each "),
            many if tested => (format!("{many} well-tested ones"), "each "),
            many => (format!("{many} varieties, new ones among them"), "each "),
        };
        format!("{does} least often: {who}, {each}in {}{}.", years_of_twenty(marks), not_in(marks))
    }

    fn of_proven(&self, leader: &str) -> String {
        format!(
            "New ones are left out of this: they may stand in front of {leader} already, or come there sooner."
        )
    }

    fn change(&self, change: &Change, leader: &str, ahead: &str, label: &str, units: &Units) -> String {
        let at = change.at.unwrap_or(change.now);
        let value = |value: f64| self.lever_value(&change.lever, value, units);
        let up = at > change.now;
        let when = match &change.lever {
            Lever::Water if up => format!("With {} of water or more, not {}", value(at), value(change.now)),
            Lever::Water => format!("With {} of water or less, not {}", value(at), value(change.now)),
            Lever::Price if up => format!("At {} or more", value(at)),
            Lever::Price => format!("At {} or less", value(at)),
            Lever::Cost if up => format!("At a cost of {} or more", value(at)),
            Lever::Cost => format!("At a cost of {} or less", value(at)),
            Lever::Disease(_) if up && value(at).starts_with("more") => format!("With {label} {}", value(at)),
            Lever::Disease(_) if up => format!("With {label} {} or worse", value(at)),
            Lever::Disease(_) => format!("With {label} no worse than {}", value(at)),
        };
        format!("{when}, {ahead} comes in front of {leader}.")
    }

    fn no_change(&self, leader: &str, levers: &[String]) -> String {
        format!(
            "No change of {} that you can count on puts another in front of {leader}.",
            super::either(levers)
        )
    }

    fn newcomer(&self, name: &str, chance: f64, standing: &Standing, needs: bool) -> String {
        let chance = match of_twenty(chance) {
            0 => "a chance of less than 1 in 20".into(),
            _ => format!("{} chances", in_twenty(chance)),
        };
        format!(
            "Of the new ones {name} most deserves a strip on your ground: {chance} to be the best of {} in the long run, on {} so far.",
            if needs { "all that do what they must" } else { "all" },
            self.tested(standing, WaterOutlook::Any)
        )
    }

    fn water_unknown(&self, system: &str) -> String {
        format!(
            "On {} ground nobody can say: too little is known of the water of its trials, or none had more.",
            self.system(system)
        )
    }

    fn more_water(&self, more: &MoreWater, systems: bool, units: &Units) -> String {
        let amount = match (units.water_of_data, units.water_unit) {
            (WaterUnit::Inch, WaterUnit::Inch) => "One more inch of water".to_owned(),
            _ => format!(
                "{}\u{a0}{} more water",
                units.plain(units.water(more.more).round()),
                units.water_unit()
            ),
        };
        let ground = match systems {
            true => format!(" on {} ground", self.system(&more.system)),
            false => String::new(),
        };
        let money = more.money.map_or(String::new(), |money| {
            format!(", worth {} {}", units.money_signed(money), self.area_per(units.yield_unit))
        });
        let range = match more.adds_80 {
            (low, high) if units.yield_fine(low) == units.yield_fine(high) => String::new(),
            (low, high) => {
                format!(" (4 chances in 5: {} to {})", units.yield_fine(low), units.yield_fine(high))
            }
        };
        format!(
            "{amount}{ground} adds {}{range}{money}, counted from {}\u{a0}{}.",
            units.yield_difference(more.adds),
            units.water_number(more.water),
            units.water_unit()
        )
    }
}
