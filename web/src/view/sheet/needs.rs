//! What a variety must have: every rated trait by kind, any number of them ticked.

use super::Page;
use crate::update::Msg;
use crate::view::sentence::trait_label;
use leanyear_engine::pack::{Trait, TraitKind};
use yew::prelude::*;

const KINDS: [TraitKind; 5] =
    [TraitKind::Disease, TraitKind::Pest, TraitKind::Agronomic, TraitKind::Quality, TraitKind::Grazing];

/// The traits that can be asked for, by kind.
pub(super) fn needs(page: &Page) -> Html {
    html! {
        <>
            { for KINDS.into_iter().map(|kind| {
                let traits: Vec<&Trait> = page.network.traits.iter().filter(|t| t.kind == kind && can_be_asked(t)).collect();
                html! { { for (!traits.is_empty()).then(|| of_kind(page, kind, &traits)) } }
            }) }
        </>
    }
}

/// Only a scale with a good and a poor end says which way is better.
fn can_be_asked(t: &Trait) -> bool {
    matches!((t.best, t.worst), (Some(best), Some(worst)) if best != worst)
}

fn of_kind(page: &Page, kind: TraitKind, traits: &[&Trait]) -> Html {
    html! {
        <>
            <h3>{ page.words.kind_heading(kind) }</h3>
            <ul class="choices many">{ for traits.iter().map(|t| choice(page, t)) }</ul>
        </>
    }
}

fn choice(page: &Page, t: &Trait) -> Html {
    let needed = page.state.settings.need.contains(&t.trait_);
    html! {
        <li key={t.trait_.clone()}>
            <button aria-pressed={needed.to_string()} onclick={page.tap(Msg::Need(t.trait_.clone(), !needed))}>
                <span>{ page.words.need(t.kind, &trait_label(page, &t.trait_)) }</span>
                <span class="quiet">{ page.words.scale(t.best, t.worst, &t.unit, &page.units()) }</span>
            </button>
        </li>
    }
}
