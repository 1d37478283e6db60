//! The table for viewers that run no scripts: what a variety makes and how often it loses money, in the
//! year as it comes, in a dry third and in the driest fifth. It lists what can be sown: a variety that is no
//! longer tested, or never was in the system, is only counted.
//!
//! It lays out numbers that the decision already holds and sentences that the catalogue hands over;
//! it computes nothing and words nothing. Everything from the network is escaped, and there is no
//! `style` attribute, which the page's policy would refuse.

use super::escape::html;
use super::words::{StaticWords, place};
use crate::decide::{BreakEven, OddsTable, StandingState, VarietyOdds};
use crate::link::Settings;
use crate::pack::{Network, YieldUnit};

/// One production system of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct StaticSystem {
    /// Its code; empty where a network has one system without a name.
    pub name: String,
    /// The year as it comes; its order of varieties is the order of the rows, those too close to call first.
    pub as_it_comes: OddsTable,
    /// The driest third; `None` where no water is known.
    pub dry_third: Option<OddsTable>,
    /// The driest fifth; `None` where no water is known.
    pub driest_fifth: Option<OddsTable>,
}

/// The static table as HTML, to be filled into the page's second slot.
pub fn static_table(systems: &[StaticSystem], words: &StaticWords, network: &Network) -> String {
    let info = &network.info;
    let mut lines = vec![
        format!(r#"<main class="static" lang="{}">"#, html(&words.lang)),
        format!("<h1>{}</h1>", html(&info.name)),
    ];
    if info.invented {
        lines.push(paragraph("static-invented", &words.invented));
    }
    let how = if info.home_url.is_empty() {
        words.working_page.clone()
    } else {
        place(&words.working_page_at, &[("address", &info.home_url)])
    };
    lines.push(paragraph("static-how", &how));
    lines.extend(systems.iter().map(|system| section(system, words, network)));
    lines.push(footer(words, network));
    lines.push("</main>".to_owned());
    lines.join("\n")
}

fn section(system: &StaticSystem, words: &StaticWords, network: &Network) -> String {
    let columns: Vec<(&str, &OddsTable)> = [
        (words.as_it_comes.as_str(), Some(&system.as_it_comes)),
        (words.dry_third.as_str(), system.dry_third.as_ref()),
        (words.driest_fifth.as_str(), system.driest_fifth.as_ref()),
    ]
    .into_iter()
    .filter_map(|(heading, table)| Some((heading, table?)))
    .collect();
    let unit = system.as_it_comes.settings.unit.symbol();
    let headings: String =
        columns.iter().map(|(heading, _)| format!(r#"<th scope="col">{}</th>"#, html(heading))).collect();

    let mut lines = vec!["<section>".to_owned()];
    if !system.name.is_empty() {
        let name = words.systems.get(&system.name).unwrap_or(&system.name);
        lines.push(format!("<h2>{}</h2>", html(name)));
    }
    lines.push(format!("<p>{}</p>", html(&assumptions(&system.as_it_comes, words, network))));
    if let Some(sentence) = too_close(&system.as_it_comes, words, network) {
        lines.push(format!("<p>{}</p>", html(&sentence)));
    }
    if columns.iter().any(|(_, table)| table.outlook.drier_than_harvested) {
        lines.push(format!("<p>{}</p>", html(&words.drier_than_harvested)));
    }
    lines.extend([
        "<table>".to_owned(),
        format!("<caption>{}</caption>", html(&place(&words.caption, &[("unit", unit)]))),
        format!("<thead><tr>{headings}</tr></thead>"),
    ]);
    let (mut shown, left_out): (Vec<_>, Vec<_>) =
        system.as_it_comes.varieties.iter().partition(|odds| odds.standing.current());
    // The group that the sentence names stands together.
    crate::order::sort_by_key(&mut shown, |odds| !odds.group);
    lines.extend(shown.into_iter().map(|odds| row(odds, &columns, words, network)));
    lines.push("</table>".to_owned());
    if !left_out.is_empty() {
        let count = left_out.len() as u32;
        let sentence = counted(count, &words.left_out_one, &words.left_out_many);
        lines.push(paragraph("static-left-out", &sentence));
    }
    lines.push("</section>".to_owned());
    lines.join("\n")
}

fn row(odds: &VarietyOdds, columns: &[(&str, &OddsTable)], words: &StaticWords, network: &Network) -> String {
    let cells: String = columns.iter().map(|(_, table)| cell(&odds.variety, table, words)).collect();
    let count = columns.len();
    let apart = if odds.standing.apart { words.tested_apart.as_str() } else { "" };
    let about = [tested(odds, words), apart.to_owned(), note(&odds.variety, words, network).to_owned()];
    let about = about.iter().filter(|text| !text.is_empty()).map(|text| format!("<p>{}</p>", html(text)));
    format!(
        r#"<tbody><tr><th scope="rowgroup" colspan="{count}">{}</th></tr><tr>{cells}</tr><tr class="static-about"><td colspan="{count}">{}</td></tr></tbody>"#,
        html(network.variety_name(&odds.variety)),
        about.collect::<String>()
    )
}

fn cell(variety: &str, table: &OddsTable, words: &StaticWords) -> String {
    let Some(odds) = table.varieties.iter().find(|odds| odds.variety == variety) else {
        return "<td></td>".to_owned();
    };
    let average = yield_text(odds.expected, table.settings.unit, words);
    let mut content = format!("<b>{}</b>", html(&average));
    content.push_str(&small("static-short", &how_often_short(odds, table, words)));
    if odds.standing.trials_like_this == 0 {
        content.push_str(&small("static-never", &words.never_this_dry));
    }
    format!("<td>{content}</td>")
}

fn how_often_short(odds: &VarietyOdds, table: &OddsTable, words: &StaticWords) -> String {
    let count = odds.marks_short.to_string();
    let unit = table.settings.unit;
    match table.break_even {
        BreakEven::Target(target) => {
            let template = if odds.marks_short == 0 { &words.falls_short_none } else { &words.falls_short };
            let target = yield_text(target, unit, words);
            place(template, &[("count", &count), ("target", &target), ("unit", unit.symbol())])
        }
        BreakEven::Yield(_) | BreakEven::CostsMoreToHaul | BreakEven::NoSingleCrossing => {
            let template = if odds.marks_short == 0 { &words.loses_money_none } else { &words.loses_money };
            place(template, &[("count", &count)])
        }
    }
}

fn tested(odds: &VarietyOdds, words: &StaticWords) -> String {
    let standing = &odds.standing;
    let template = if standing.state == StandingState::New { &words.new } else { &words.well_tested };
    let seasons = counted(standing.seasons, &words.season_one, &words.season_many);
    let trials = counted(standing.trials, &words.trial_one, &words.trial_many);
    place(template, &[("seasons", &seasons), ("trials", &trials)])
}

fn counted(count: u32, one: &str, many: &str) -> String {
    place(if count == 1 { one } else { many }, &[("count", &count.to_string())])
}

fn note<'a>(variety: &str, words: &StaticWords, network: &'a Network) -> &'a str {
    match network.varieties.iter().find(|row| row.variety == variety) {
        Some(row) if words.lang == "es" && !row.note_es.is_empty() => &row.note_es,
        Some(row) => &row.note,
        None => "",
    }
}

fn too_close(table: &OddsTable, words: &StaticWords, network: &Network) -> Option<String> {
    let group: Vec<&str> = table
        .varieties
        .iter()
        .filter(|odds| odds.group)
        .map(|odds| network.variety_name(&odds.variety))
        .collect();
    (group.len() > 1).then(|| place(&words.too_close, &[("varieties", &group.join(", "))]))
}

fn assumptions(table: &OddsTable, words: &StaticWords, network: &Network) -> String {
    let settings = &table.settings;
    let usual = yield_text(table.field.usual, settings.unit, words);
    let unit = settings.unit.symbol();
    let site = settings.site.as_deref().map(|code| {
        let named = network.sites.iter().find(|site| site.site == code && !site.name.is_empty());
        named.map_or(code, |site| site.name.as_str())
    });
    let ground = match site {
        Some(site) => place(&words.ground_near, &[("site", site), ("usual", &usual), ("unit", unit)]),
        None => place(&words.ground, &[("usual", &usual), ("unit", unit)]),
    };
    match money(settings, words, &network.info.currency) {
        Some(money) => format!("{ground} {money}"),
        None => ground,
    }
}

fn money(settings: &Settings, words: &StaticWords, currency: &str) -> Option<String> {
    let (price_decimals, per_unit, per_area) = match settings.unit {
        YieldUnit::BushelPerAcre => (2, &words.per_bushel, &words.per_acre),
        YieldUnit::PoundPerAcre => (2, &words.per_hundred_pounds, &words.per_acre),
        YieldUnit::TonnePerHectare | YieldUnit::KilogramPerHectare => {
            (0, &words.per_tonne, &words.per_hectare)
        }
    };
    let amount = |value: f64, decimals| format!("{currency}{}", number(value, decimals, words));
    let price = place(per_unit, &[("money", &amount(settings.price?, price_decimals))]);
    let cost = place(per_area, &[("money", &amount(settings.cost?, 0))]);
    Some(place(&words.money, &[("price", &price), ("cost", &cost)]))
}

fn footer(words: &StaticWords, network: &Network) -> String {
    let info = &network.info;
    let facts = [
        ("date", &words.data_date, &info.data_date),
        ("contact", &words.contact, &info.contact),
        ("funded_by", &words.funded_by, &info.funded_by),
    ];
    let known = facts.iter().filter(|(_, _, value)| !value.is_empty());
    let mut lines = vec!["<footer>".to_owned()];
    lines.extend(known.map(|(key, template, value)| {
        let value: &str = value;
        format!("<p>{}</p>", html(&place(template, &[(key, value)])))
    }));
    lines.extend(words.cautions.iter().map(|caution| format!("<p>{}</p>", html(caution))));
    lines.push("</footer>".to_owned());
    lines.join("\n")
}

fn paragraph(class: &str, text: &str) -> String {
    format!(r#"<p class="{class}">{}</p>"#, html(text))
}

/// A line of its own even where no style sheet is applied.
fn small(class: &str, text: &str) -> String {
    format!(r#"<br><span class="{class}">{}</span>"#, html(text))
}

fn yield_text(value: f64, unit: YieldUnit, words: &StaticWords) -> String {
    number(value, if unit == YieldUnit::TonnePerHectare { 1 } else { 0 }, words)
}

fn number(value: f64, decimals: usize, words: &StaticWords) -> String {
    // Adding 0.0 turns a negative zero into a plain one after rounding has been decided.
    let scale = 10f64.powi(decimals as i32);
    let rounded = (value * scale).round() / scale + 0.0;
    format!("{rounded:.decimals$}").replace('.', &words.decimal_sign)
}
