//! The field sentence: the only form for settings, and the way a link is read aloud.

use super::Page;
use super::list::remark_words;
use crate::number::Quantity;
use crate::state::Sheet;
use crate::text::{Cattle, Counted, Field, Label, Need, Piece, Place, own_words};
use crate::update::Msg;
use leanyear_engine::decide::ClimateSource;
use leanyear_engine::forecast::form::FittedLoss;
use leanyear_engine::link::Pressures;
use leanyear_engine::pack::Trait;
use yew::prelude::*;

/// The settings of a page as a sentence's parts.
pub fn field(page: &Page, money_told: bool, asks: bool) -> Field {
    let settings = &page.state.settings;
    let table = &page.answer.table;
    let place = match (&settings.site, &settings.zone) {
        (Some(code), _) => Place::Site(site_name(page, code)),
        (None, Some(zone)) => Place::Zone(zone.clone()),
        (None, None) => Place::Elsewhere,
    };
    Field {
        system: page.several_systems().then(|| settings.system.clone()),
        place,
        usual: table.field.usual,
        usual_given: table.field.usual_given,
        mine: settings.mine.as_deref().map(|code| page.network.variety_name(code).to_owned()),
        water: settings.water,
        water_known: table.outlook.source != ClimateSource::None,
        diseases: (!table.losses.is_empty()).then(|| assumed(page)),
        money_told,
        price: settings.price,
        swings: settings.volatility.is_some_and(|swing| swing > 0.0),
        cost: settings.cost,
        cash_only: settings.cash_only,
        grazing: settings.graze.then(|| cattle(page)),
        order: Some(settings.order),
        needs: needs(page),
        needs_told: !page.network.ratings.is_empty(),
        asks,
    }
}

fn cattle(page: &Page) -> Cattle {
    let settings = &page.state.settings;
    let counted_from = page.network.info.checks.first();
    let off = settings.off.zip(counted_from);
    Cattle {
        days: settings.graze_days,
        off: off.map(|(day, check)| (day, page.network.variety_name(check).to_owned())),
    }
}

/// Traits that a variety must have, in the order of the traits.
fn needs(page: &Page) -> Vec<Need> {
    let needed = page.network.traits.iter().filter(|t| page.state.settings.need.contains(&t.trait_));
    needed.map(|t| need(page, t)).collect()
}

/// A trait as something to ask for.
pub fn need(page: &Page, t: &Trait) -> Need {
    let scaled = t.best.is_some() && t.worst.is_some();
    Need { kind: t.kind, label: trait_label(page, &t.trait_), scaled }
}

/// Diseases assumed otherwise than as they come, in the order of the traits.
fn assumed(page: &Page) -> Vec<(String, Pressures)> {
    let of = |loss: &FittedLoss| {
        let pressure = page.state.settings.diseases.get(&loss.trait_)?;
        Some((trait_label(page, &loss.trait_), *pressure))
    };
    page.answer.table.losses.iter().filter_map(of).collect()
}

/// A trait's label, or its code where it has none.
pub fn trait_label(page: &Page, code: &str) -> String {
    let found = page.network.traits.iter().find(|t| t.trait_ == code);
    let label = found.map(|t| own_words(page.words.lang(), &t.label, &t.label_es));
    label.filter(|label| !label.is_empty()).unwrap_or(code).to_owned()
}

/// A site's name, or its code where it has none.
pub fn site_name(page: &Page, code: &str) -> String {
    let site = page.network.sites.iter().find(|site| site.site == code);
    site.map(|site| site.name.clone()).filter(|name| !name.is_empty()).unwrap_or_else(|| code.to_owned())
}

/// The sentence with its brackets as buttons.
pub fn sentence(page: &Page) -> Html {
    let pieces = page.words.sentence(&field(page, true, true), &page.units());
    let mut out = Vec::new();
    let mut pieces = pieces.into_iter().peekable();
    while let Some(piece) = pieces.next() {
        match piece {
            Piece::Text(words) => out.push(html! { {words} }),
            Piece::Ask(sheet, words) => {
                let (mark, rest) = match pieces.next_if(|next| matches!(next, Piece::Text(_))) {
                    Some(Piece::Text(next)) => punctuation(&next),
                    _ => (String::new(), String::new()),
                };
                out.push(bracket(page, sheet, words, mark));
                out.push(html! { {rest} });
            }
        }
    }
    html! { <p class="sentence">{ for out }</p> }
}

/// A bracket with the punctuation behind it, which stays with its last word however it wraps.
fn bracket(page: &Page, sheet: Sheet, words: String, mark: String) -> Html {
    let start = start_of(page, sheet);
    html! {
        <button class="bracket" data-sheet={format!("{sheet:?}").to_lowercase()} aria-haspopup="dialog" onclick={page.tap(Msg::Open(sheet, start))}>
            <span>{words}</span>{ for (!mark.is_empty()).then(|| html! { <i aria-hidden="true">{mark}</i> }) }
        </button>
    }
}

/// Parts the punctuation off a text, so that it can be kept on the line of the bracket before it.
fn punctuation(text: &str) -> (String, String) {
    let end = text.find(|c: char| !matches!(c, ',' | '.' | ';' | ':')).unwrap_or(text.len());
    (text[..end].to_owned(), text[end..].to_owned())
}

/// The sentence as plain words, for sending and for paper: with price and cost only where that is wished.
pub fn plain(page: &Page, money: bool) -> String {
    told(page, &field(page, money, false))
}

/// The same, and what else is counted: for whoever has nothing but the text.
pub fn whole(page: &Page, money: bool) -> String {
    [Some(plain(page, money)), also_counted(page)].into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// What is counted that the sentence does not say.
pub(super) fn also_counted(page: &Page) -> Option<String> {
    let counted = counted(page);
    (!counted.is_empty()).then(|| page.words.also_counted(&counted))
}

fn counted(page: &Page) -> Vec<String> {
    // A spray that protects from nothing is counted nowhere.
    let sprayed = page.state.settings.sprays.keys().filter(|code| page.network.protects(code));
    let sprayed: Vec<String> = sprayed.map(|code| trait_label(page, code)).collect();
    let settings = &page.state.settings;
    // A premium is paid whether or not the cover is known.
    let insured = settings.cover.is_some() || settings.premium.is_some();
    let money = settings.counts_money();
    let counted = [
        (money && settings.haul.is_some()).then_some(Counted::Hauling),
        (money && settings.volatility.is_some()).then_some(Counted::Swing),
        (money && insured).then_some(Counted::Insurance),
        (!sprayed.is_empty()).then_some(Counted::Sprays(sprayed)),
        (money && !settings.docks.is_empty()).then_some(Counted::Docks),
    ];
    counted.into_iter().flatten().map(|what| page.words.counted(&what)).collect()
}

/// What the numbers of a view stand on, where the sentence does not stand beside it.
pub(super) fn assumptions(page: &Page) -> Html {
    if page.state.wide {
        return html! {};
    }
    let field = Field { order: None, mine: None, ..field(page, true, false) };
    html! {
        <>
            <p class="stands-on">{ told(page, &field) }</p>
            { for remark_words(page).into_iter().map(|words| html! { <p class="remark">{words}</p> }) }
        </>
    }
}

/// What else than the year is assumed: in the words of the sentence diseases, cattle, what a variety must do; then what
/// else is counted.
pub(super) fn beside_the_year(page: &Page) -> Vec<String> {
    let field = field(page, false, false);
    let diseases = field.diseases.as_ref().is_some_and(|assumed| !assumed.is_empty());
    let pieces = page.words.sentence(&field, &page.units());
    pieces
        .into_iter()
        .filter_map(|piece| match piece {
            Piece::Ask(Sheet::Diseases, words) if diseases => Some(words),
            Piece::Ask(Sheet::Grazing, words) => Some(words),
            Piece::Ask(Sheet::Needs, words) => Some(format!("{} {words}", page.label(Label::Must))),
            _ => None,
        })
        .chain(counted(page))
        .collect()
}

fn told(page: &Page, field: &Field) -> String {
    let pieces = page.words.sentence(field, &page.units());
    pieces
        .into_iter()
        .map(|piece| match piece {
            Piece::Text(words) | Piece::Ask(_, words) => words,
        })
        .collect()
}

/// What the field of a sheet starts with: the number in force.
fn start_of(page: &Page, sheet: Sheet) -> String {
    let units = page.units();
    let number = |quantity: Quantity| page.state.given(quantity).map_or(String::new(), |v| units.typed(v));
    sheet.quantity().map_or(String::new(), number)
}
