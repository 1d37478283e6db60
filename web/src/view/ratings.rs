//! Ratings of diseases, straw and grain: the figure, its scale with direction, the seasons behind it; and what it
//! is not rated for, which is not known and not average.

use super::Page;
use super::sentence::trait_label;
use crate::text::Label;
use leanyear_engine::pack::{Rating, Trait};
use yew::prelude::*;

/// The table of ratings, where there are any.
pub fn ratings(page: &Page, code: &str) -> Html {
    let rated: Vec<(&Trait, &Rating)> = page
        .network
        .traits
        .iter()
        .filter_map(|t| {
            let rating = page.network.ratings.iter().find(|r| r.variety == code && r.trait_ == t.trait_)?;
            Some((t, rating))
        })
        .collect();
    if rated.is_empty() && page.network.ratings.is_empty() {
        return html! {};
    }
    let known = |t: &Trait| rated.iter().any(|(other, _)| other.trait_ == t.trait_);
    let unknown = page.network.traits.iter().filter(|t| !known(t));
    let unknown: Vec<String> = unknown.map(|t| trait_label(page, &t.trait_)).collect();
    html! {
        <section>
            <h3>{ page.label(Label::Ratings) }</h3>
            { for (!rated.is_empty()).then(|| table(page, &rated)) }
            { for (!unknown.is_empty()).then(|| html! { <p class="hint spaced">{ page.words.not_rated(&unknown) }</p> }) }
        </section>
    }
}

fn table(page: &Page, rated: &[(&Trait, &Rating)]) -> Html {
    html! {
        <table class="figures ratings">
            <thead><tr>
                <th scope="col">{ page.label(Label::Trait) }</th>
                <th scope="col">{ page.label(Label::Rating) }</th>
                <th scope="col">{ page.label(Label::Scale) }</th>
            </tr></thead>
            <tbody>{ for rated.iter().map(|(t, rating)| line(page, t, rating)) }</tbody>
        </table>
    }
}

fn line(page: &Page, t: &Trait, rating: &Rating) -> Html {
    let label = trait_label(page, &t.trait_);
    let seasons = rating.seasons.map(|s| page.words.seasons(s.round().max(0.0) as u32));
    let word = place(t, rating.value).map(|place| page.words.rating_word(place));
    html! {
        <tr>
            <th scope="row">{label}</th>
            <td>
                { page.units().plain(rating.value) }
                { for word.map(|word| html! { <>{" \u{b7} "}{word}</> }) }
            </td>
            <td class="quiet">
                { page.words.scale(t.best, t.worst, &t.unit, &page.units()) }
                { for seasons.map(|seasons| html! { <><br />{seasons}</> }) }
            </td>
        </tr>
    }
}

/// Where a value lies between the best (0) and the worst (1) end of its scale.
fn place(t: &Trait, value: f64) -> Option<f64> {
    let (best, worst) = (t.best?, t.worst?);
    (best != worst).then(|| ((value - best) / (worst - best)).clamp(0.0, 1.0))
}
