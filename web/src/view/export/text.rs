//! The list as plain words: all of it for a message, and as much as a code holds for a phone without signal.

use super::super::Page;
use super::super::list::Sections;
use super::super::pick::pick;
use super::super::sentence::{beside_the_year, plain, site_name};
use crate::text::{CodeHead, Label, TableRow};
use leanyear_engine::decide::VarietyOdds;

/// Most bytes of the text in a code.
pub const MOST_BYTES: usize = 250;
/// Most bytes of the name of a network in it.
const NAME_BYTES: usize = 60;

/// The sentence, what the numbers are, a line a variety, where they come from.
pub fn table(page: &Page) -> String {
    let units = page.units();
    let mut lines = Vec::new();
    lines.push(page.network.info.name.clone());
    lines.extend(page.network.info.invented.then(|| page.label(Label::Invented).to_owned()));
    lines.push(plain(page, page.state.share_money));
    lines.push(page.words.years_line(page.state.settings.water));
    lines.push(String::new());
    let water = page.state.settings.water;
    let row = |place: usize, odds: &VarietyOdds| {
        let name = page.network.variety_name(&odds.variety);
        let mine = page.state.settings.mine.as_deref() == Some(&odds.variety);
        page.words.text_row(place, &TableRow { name, mine, odds, water }, page.short(), &units)
    };
    let sections = Sections::of(page.answer.table.varieties.iter());
    let group = sections.group.len();
    let system = page.several_systems().then_some(page.state.settings.system.as_str());
    let parts = [
        (
            format!(
                "{}. {}",
                page.words.group_heading(group, group),
                page.words.group_line(group, !page.state.settings.need.is_empty())
            ),
            &sections.group,
        ),
        (page.words.rest_heading(sections.rest.len()), &sections.rest),
        (page.words.lacking_heading(sections.lacking.len()), &sections.lacking),
        (page.words.untried_heading(system), &sections.untried),
        (page.words.lapsed_heading().to_owned(), &sections.lapsed),
    ];
    for (part, (heading, rows)) in parts.into_iter().enumerate().filter(|(_, (_, rows))| !rows.is_empty()) {
        lines.push(heading);
        // Only those after the group have an order of their own.
        let place = |k: usize| if part == 1 { group + 1 + k } else { 0 };
        lines.extend(rows.iter().enumerate().map(|(k, odds)| row(place(k), odds)));
        lines.push(String::new());
    }
    lines.extend(page.words.source(&page.answer.table.field, &page.network.info));
    lines.extend(page.words.cautions().first().map(|caution| (*caution).to_owned()));
    lines.join("\n").replace('\u{a0}', " ") + "\n"
}

/// The text in a code: plain letters, at most [`MOST_BYTES`] of them. The one grown now comes first, then the
/// best of the others as long as there is room.
pub fn code_text(page: &Page) -> String {
    let settings = &page.state.settings;
    let name = settings.site.as_deref().map(|code| site_name(page, code)).or_else(|| settings.zone.clone());
    let beside = beside_the_year(page);
    let head = CodeHead {
        beside: &beside,
        money: settings.price.zip(settings.cost).filter(|_| page.state.share_money),
        network: cut(&page.network.info.name, NAME_BYTES),
        system: page.several_systems().then_some(settings.system.as_str()),
        place: name.as_deref(),
        water: settings.water,
        short: page.short(),
        date: &page.network.info.data_date,
        invented: page.network.info.invented,
    };
    let mut text = simple(&page.words.code_head(&head, &page.units()));
    let tail = simple(&page.words.code_tail(&head));
    let picked = pick(page);
    let rows = picked.mine.into_iter().chain(picked.best.iter().copied()).chain(picked.check);
    for (place, odds) in rows.enumerate() {
        let mine = settings.mine.as_deref() == Some(&odds.variety);
        let item = page.words.code_item(page.network.variety_name(&odds.variety), mine, odds.marks_short);
        let item = format!("{}{}", if place == 0 { "" } else { ", " }, simple(&item));
        if text.len() + item.len() + tail.len() > MOST_BYTES {
            break;
        }
        text.push_str(&item);
    }
    cut(&(text + &tail), MOST_BYTES).to_owned()
}

/// The beginning of a text that has at most so many bytes.
fn cut(text: &str, most: usize) -> &str {
    let mut end = text.len().min(most);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    &text[..end]
}

/// Without the signs that an old reader shows wrongly.
fn simple(text: &str) -> String {
    text.replace(['\u{a0}', '\u{202f}'], " ")
        .replace(['\u{2019}', '\u{2018}'], "'")
        .replace(['\u{201c}', '\u{201d}'], "\"")
        .replace(['\u{2212}', '\u{2013}'], "-")
}
