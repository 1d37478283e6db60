//! The list as one picture: the sentence, what the marks are, the axis, a row each for the one grown now, the
//! check and the ten best.

use super::super::Page;
use super::super::pick::{Pick, pick};
use super::super::sentence::whole;
use crate::draw::at;
use crate::draw::axis::{self, axis, frame};
use crate::draw::drawing::{Anchor, Drawing, Ink, Shape};
use crate::draw::marks;
use crate::text::Label;
use leanyear_engine::decide::VarietyOdds;

const WIDTH: f64 = 720.0;
const MARGIN: f64 = 24.0;
/// Letters in a line of 13 units across the picture, about.
const LETTERS: usize = 96;
const LINE: f64 = 19.0;
const ROW: f64 = 64.0;

/// The picture of a page's list.
pub fn list_drawing(page: &Page) -> Drawing {
    let units = page.units();
    let picked = pick(page);
    let rows: Vec<&VarietyOdds> = picked.drawn().collect();
    let frame = frame(&page.answer.table, page.lines(), WIDTH - 2.0 * MARGIN);
    let (title, description) = page.words.list_picture(rows.len(), &units);
    let mut shapes = Vec::new();
    let mut y = MARGIN;
    let mut say = |ink: Ink, words: &str, y: &mut f64| {
        for line in lines(words) {
            *y += LINE;
            shapes.push(Shape::Words(ink, (MARGIN, *y), Anchor::Start, line));
        }
    };
    say(Ink::Name, &page.network.info.name, &mut y);
    if page.network.info.invented {
        say(Ink::Name, page.label(Label::Invented), &mut y);
    }
    y += 6.0;
    say(Ink::Said, &whole(page, page.state.share_money), &mut y);
    y += 6.0;
    say(Ink::Number, &page.words.years_line(page.state.settings.water), &mut y);
    say(Ink::Number, &key(page), &mut y);
    y += 14.0;
    shapes.push(Shape::Moved((MARGIN, y), axis(&frame, page.short(), &units).shapes));
    y += axis::HEIGHT;
    let mut heading = None;
    for odds in rows {
        let now = heading_over(page, &picked, odds);
        if let Some(words) = now.as_ref().filter(|_| now != heading) {
            y += LINE;
            shapes.push(Shape::Words(Ink::Name, (MARGIN, y), Anchor::Start, words.clone()));
            y += 4.0;
        }
        heading = now;
        shapes.push(Shape::Moved((MARGIN, y), row(page, odds, &frame)));
        y += ROW;
    }
    let mut foot = page.words.source(&page.answer.table.field, &page.network.info);
    foot.extend(page.words.cautions().first().map(|caution| (*caution).to_owned()));
    for words in foot.iter().flat_map(|words| lines(words)) {
        y += LINE;
        shapes.push(Shape::Words(Ink::Number, (MARGIN, y), Anchor::Start, words));
    }
    Drawing { size: (WIDTH, (y + MARGIN).ceil()), title, description, shapes }
}

/// What stands over a row: nothing over the one grown now and the check.
fn heading_over(page: &Page, picked: &Pick, odds: &VarietyOdds) -> Option<String> {
    if !picked.best.iter().any(|row| row.variety == odds.variety) {
        return None;
    }
    let (all, shown) = picked.group(page);
    Some(match odds.group {
        true => page.words.group_heading(all, shown),
        false => page.label(Label::HandoutNext).to_owned(),
    })
}

/// What each kind of mark means.
fn key(page: &Page) -> String {
    let units = page.units();
    let not_cut = page.answer.table.varieties.iter().any(|row| row.failed_marks > 0);
    let parts = [
        Some(format!("\u{25cf} {}", page.words.key_fine(page.short(), &units))),
        Some(format!("\u{d7} {}", page.words.key_short(page.short(), &units))),
        not_cut.then(|| format!("/ {}", page.words.key_not_cut())),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" \u{b7} ")
}

fn row(page: &Page, odds: &VarietyOdds, frame: &axis::Frame) -> Vec<Shape> {
    let units = page.units();
    let marks = marks::marks(&odds.seasons, odds.failed_marks, odds.marks_short, &frame.scale);
    let mine = page.state.settings.mine.as_deref() == Some(&odds.variety);
    let name = page.network.variety_name(&odds.variety);
    let check = page.network.info.checks.iter().find_map(|code| page.odds(code));
    let tag = match check.is_some_and(|check| check.variety == odds.variety) {
        _ if mine => Some(Label::HandoutYours),
        true => Some(Label::HandoutCheck),
        false => None,
    };
    let name = tag.map_or(name.to_owned(), |tag| format!("{name} ({})", page.label(tag)));
    let mut averages = page.words.paper_averages(odds, &units);
    averages.push_str(" \u{b7} ");
    averages.push_str(&page.words.paper_tested(&odds.standing, page.state.settings.water));
    let mut shapes = vec![
        Shape::Words(Ink::Name, (0.0, 18.0), Anchor::Start, name),
        Shape::Words(
            Ink::Said,
            (frame.width, 18.0),
            Anchor::End,
            page.words.odds(page.short(), odds.marks_short, &units),
        ),
        Shape::Words(Ink::Number, (0.0, 35.0), Anchor::Start, averages),
    ];
    let mut strip: Vec<Shape> = Vec::new();
    if let Some(line) = odds.break_even {
        let x = at(frame.scale.place(line));
        strip.push(Shape::Path(Ink::Line, format!("M{x} 0V{}", marks::HEIGHT)));
    }
    strip.extend([Shape::Path(Ink::Fine, marks.fine), Shape::Path(Ink::Short, marks.short)]);
    shapes.push(Shape::Moved((0.0, 38.0), strip));
    shapes
}

/// A text in lines of about [`LETTERS`] letters.
fn lines(text: &str) -> Vec<String> {
    let mut out = vec![String::new()];
    for word in text.split_whitespace() {
        let full = out.last().is_some_and(|line| line.chars().count() + word.chars().count() >= LETTERS);
        if full {
            out.push(String::new());
        }
        if let Some(line) = out.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    out
}
