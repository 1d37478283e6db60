//! What a variety must have: every rated trait by kind, any number of them ticked.

use super::Page;
use crate::derive::NeedCount;
use crate::update::Msg;
use crate::view::sentence::need;
use leanyear_engine::pack::{Trait, TraitKind};
use yew::prelude::*;

const KINDS: [TraitKind; 5] =
    [TraitKind::Disease, TraitKind::Pest, TraitKind::Agronomic, TraitKind::Quality, TraitKind::Grazing];

/// The traits that can be asked for, by kind.
pub(super) fn needs(page: &Page) -> Html {
    let counts = &page.answer.needs;
    let traits = |kind: TraitKind| -> Vec<(&Trait, &NeedCount)> {
        let of_kind = page.network.traits.iter().filter(|t| t.kind == kind);
        of_kind.filter_map(|t| Some((t, counts.iter().find(|count| count.trait_ == t.trait_)?))).collect()
    };
    html! {
        <>
            { for KINDS.into_iter().map(|kind| (kind, traits(kind))).filter(|(_, traits)| !traits.is_empty()).map(|(kind, traits)| html! {
                <>
                    <h3>{ page.words.kind_heading(kind) }</h3>
                    <ul class="choices many">{ for traits.into_iter().map(|(t, count)| choice(page, t, count)) }</ul>
                </>
            }) }
        </>
    }
}

fn choice(page: &Page, t: &Trait, count: &NeedCount) -> Html {
    let needed = page.state.settings.need.contains(&t.trait_);
    let units = page.units();
    let scale = page.words.scale(t.best, t.worst, &t.unit, &units);
    html! {
        <li key={t.trait_.clone()}>
            <button aria-pressed={needed.to_string()} onclick={page.tap(Msg::Need(t.trait_.clone(), !needed))}>
                <span>{ page.words.need(&need(page, t)) }</span>
                <span class="quiet">
                    { page.words.need_count(count, &units) }
                    { for (!scale.is_empty()).then(|| html! { <>{" \u{b7} "}{scale}</> }) }
                </span>
            </button>
        </li>
    }
}
