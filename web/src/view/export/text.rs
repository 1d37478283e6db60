//! The list as plain words: all of it for a message, and as much as a code holds for a phone without signal.

use super::super::Page;
use super::super::list::Sections;
use super::super::pick::pick;
use super::super::sentence::{beside_the_year, site_name, whole};
use crate::text::{CodeHead, CodeTags, Label, TableRow};
use leanyear_engine::decide::{StandingState, VarietyOdds};

/// Most bytes of the text in a code.
pub const MOST_BYTES: usize = 250;
/// Most bytes of the name of a network in it, and where room is short.
const NAME_BYTES: usize = 60;
const SHORT_NAME_BYTES: usize = 24;
/// Varieties that it is to have room for, conditions or not.
const FEWEST_HELD: usize = 2;

/// The sentence, what the numbers are, a line a variety, where they come from.
pub fn table(page: &Page) -> String {
    let units = page.units();
    let mut lines = Vec::new();
    lines.push(page.network.info.name.clone());
    lines.extend(page.network.info.invented.then(|| page.label(Label::Invented).to_owned()));
    lines.push(whole(page, page.state.share_money));
    lines.push(page.words.years_line(page.state.settings.water));
    lines.push(String::new());
    let water = page.state.settings.water;
    let row = |place: usize, odds: &VarietyOdds| {
        let name = page.network.variety_name(&odds.variety);
        let mine = page.state.settings.mine.as_deref() == Some(&odds.variety);
        let adviser = page.her_word_in_short(&odds.variety);
        page.words.text_row(place, &TableRow { name, mine, odds, water, adviser }, page.short(), &units)
    };
    let sections = Sections::of(page.answer.table.varieties.iter());
    let group = sections.group.len();
    let system = page.several_systems().then_some(page.state.settings.system.as_str());
    let parts = [
        (
            format!(
                "{}. {}",
                page.words.group_heading(group, group),
                page.words.group_line(group, page.asks_needs())
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
/// best of the others as long as there is room. Where the conditions leave none for two, price and cost go, then
/// the conditions but the first, then those too; that some are left out is said.
pub fn code_text(page: &Page) -> String {
    let settings = &page.state.settings;
    let name = settings.site.as_deref().map(|code| site_name(page, code)).or_else(|| settings.zone.clone());
    let beside = beside_the_year(page);
    let more = page.label(Label::AndMore).to_owned();
    let money = settings.price.zip(settings.cost).filter(|_| page.state.share_money);
    let first: Vec<String> = beside.iter().take(1).cloned().chain([more.clone()]).collect();
    let (first, none) = match beside.len() {
        0 => (&beside, &beside),
        1 => (&beside, &vec![more]),
        _ => (&first, &vec![more]),
    };
    // From the fullest to the shortest, the last with a short name of the network.
    let forms = [
        (&beside, money, NAME_BYTES),
        (&beside, None, NAME_BYTES),
        (first, None, NAME_BYTES),
        (none, None, NAME_BYTES),
        (none, None, SHORT_NAME_BYTES),
    ];
    let picked = pick(page);
    let rows: Vec<&VarietyOdds> =
        picked.mine.into_iter().chain(picked.best.iter().copied()).chain(picked.check).collect();
    let mut out = String::new();
    for (beside, money, name_bytes) in forms {
        let head = CodeHead {
            beside,
            money,
            network: cut(&page.network.info.name, name_bytes),
            system: page.several_systems().then_some(settings.system.as_str()),
            in_zone: settings.site.is_none(),
            place: name.as_deref().map(|name| cut(name, name_bytes)),
            water: settings.water,
            short: page.short(),
            date: &page.network.info.data_date,
            invented: page.network.info.invented,
        };
        let (text, held) = coded(page, &head, &rows);
        out = text;
        if held >= rows.len().min(FEWEST_HELD) {
            break;
        }
    }
    cut(&out, MOST_BYTES).to_owned()
}

/// The text with this head, and how many varieties it has room for.
fn coded(page: &Page, head: &CodeHead, rows: &[&VarietyOdds]) -> (String, usize) {
    let mut text = simple(&page.words.code_head(head, &page.units()));
    let tail = simple(&page.words.code_tail(head));
    let mut held = 0;
    for odds in rows {
        let tags = CodeTags {
            mine: page.state.settings.mine.as_deref() == Some(&odds.variety),
            new: odds.standing.state == StandingState::New && odds.standing.trials > 0,
            apart: odds.standing.apart,
            off: page.off_her_list(&odds.variety),
            lacking: !odds.fails.is_empty(),
        };
        let item = page.words.code_item(page.network.variety_name(&odds.variety), tags, odds.marks_short);
        let item = format!("{}{}", if held == 0 { "" } else { ", " }, simple(&item));
        if text.len() + item.len() + tail.len() > MOST_BYTES {
            break;
        }
        text.push_str(&item);
        held += 1;
    }
    (text + &tail, held)
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
