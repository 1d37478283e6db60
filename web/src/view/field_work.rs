//! What can be done about one variety: cattle, sprays, and how its money is worked out.

use super::Page;
use super::sentence::trait_label;
use super::sheet::check_name;
use crate::text::Label;
use leanyear_engine::decide::sprays::SprayWorth;
use leanyear_engine::decide::worked::WorkedLine;
use yew::prelude::*;

/// When cattle should be off, and what it costs.
pub(super) fn cattle(page: &Page, code: &str) -> Html {
    let Some(found) = page.answer.extras.grazing.as_deref() else { return html! {} };
    let Some(own) = found.varieties.iter().find(|g| g.variety == code) else { return html! {} };
    let name = page.network.variety_name(code);
    html! {
        <section>
            <h3>{ page.label(Label::CattleHeading) }</h3>
            <p>{ page.words.off_by_sentence(own.off_by, name, check_name(page, found)) }</p>
            { for page.words.cattle(own, &page.units()).into_iter().map(|line| html! { <p class="tight">{line}</p> }) }
            <p class="hint">{ page.label(Label::CattleCaution) }</p>
        </section>
    }
}

/// What each spray buys, with what its label says.
pub(super) fn sprays(page: &Page) -> Html {
    let sprays = &page.answer.extras.sprays;
    if sprays.is_empty() {
        return html! {};
    }
    let mut notes: Vec<&str> = Vec::new();
    for spray in sprays {
        let note =
            page.network.traits.iter().find(|t| t.trait_ == spray.trait_).map(|t| t.label_note.as_str());
        if let Some(note) = note.filter(|note| !note.is_empty() && !notes.contains(note)) {
            notes.push(note);
        }
    }
    // Those that hardly ever pay share one sentence.
    let idle = |spray: &&SprayWorth| spray.marks_pays == Some(0) && !spray.sprayed;
    let label = |spray: &SprayWorth| trait_label(page, &spray.trait_);
    let idle_labels: Vec<String> = sprays.iter().filter(idle).map(label).collect();
    let told = sprays.iter().filter(|spray| !idle(spray));
    html! {
        <section>
            <h3>{ page.label(Label::SpraysHeading) }</h3>
            { for told.map(|spray| html! { <p class="spaced">{ page.words.spray(spray, &label(spray), &page.units()) }</p> }) }
            { for (!idle_labels.is_empty()).then(|| html! { <p class="spaced">{ page.words.sprays_idle(&idle_labels) }</p> }) }
            { for notes.into_iter().map(|note| html! { <p class="hint spaced">{ note.to_owned() }</p> }) }
        </section>
    }
}

/// How what is left after costs is worked out, unfolded by a tap.
pub(super) fn worked(page: &Page) -> Html {
    let lines = &page.answer.extras.worked;
    if lines.is_empty() {
        return html! {};
    }
    html! {
        <details>
            <summary>{ page.label(Label::HowWorked) }</summary>
            <table class="figures sum">
                <thead><tr>
                    <th scope="col">{ page.label(Label::AverageYear) }</th>
                    <th scope="col">{ page.label(Label::Amount) }</th>
                </tr></thead>
                <tbody>{ for lines.iter().map(|line| sum_line(page, line)) }</tbody>
            </table>
        </details>
    }
}

fn sum_line(page: &Page, line: &WorkedLine) -> Html {
    let label = match line {
        WorkedLine::Dock { trait_, .. } => trait_label(page, trait_),
        _ => String::new(),
    };
    let (words, amount) = page.words.worked(line, &label, &page.units());
    let class = matches!(line, WorkedLine::Left { .. }).then_some("left");
    html! { <tr {class}><th scope="row">{words}</th><td>{amount}</td></tr> }
}
