//! Every trial that a variety stood in, and those that do not count with the reason.

use super::Page;
use super::sentence::site_name;
use crate::text::Label;
use leanyear_engine::decide::{TrialRecord, VarietyDetail};
use yew::prelude::*;

/// Both tables.
pub fn trials(page: &Page, detail: &VarietyDetail) -> Html {
    let (out, counted): (Vec<_>, Vec<_>) = detail.trials.iter().partition(|t| t.excluded.is_some());
    html! {
        <section>
            <h3>{ page.label(Label::EveryTrial) }</h3>
            { table(page, &counted) }
            { for (!out.is_empty()).then(|| html! {
                <>
                    <h4>{ page.label(Label::NotCounted) }</h4>
                    { table(page, &out) }
                </>
            }) }
        </section>
    }
}

fn table(page: &Page, trials: &[&TrialRecord]) -> Html {
    let units = page.units();
    let water = trials.iter().any(|t| t.water.is_some());
    let last = match trials.iter().any(|t| t.excluded.is_some()) {
        true => Label::Reason,
        false => Label::AgainstTrial,
    };
    html! {
        <table class="figures trials">
            <thead><tr>
                <th scope="col">{ page.label(Label::Season) }</th>
                <th scope="col">{ page.label(Label::Site) }</th>
                { for water.then(|| html! { <th scope="col">{ page.label(Label::Water) }{", "}{ units.water_unit() }</th> }) }
                <th scope="col">{ page.words.yield_unit(units.yield_unit) }</th>
                <th scope="col">{ page.label(last) }</th>
            </tr></thead>
            <tbody>
                { for trials.iter().map(|t| html! {
                    <tr>
                        <td>{ t.season }</td>
                        <th scope="row">
                            { site_name(page, &t.site) }
                            { for (t.system != page.state.settings.system).then(|| html! { <>{" "}<span class="quiet">{ page.words.system(&t.system) }</span></> }) }
                        </th>
                        { for water.then(|| html! { <td>{ t.water.map_or(String::new(), |w| units.water_number(w)) }</td> }) }
                        <td>{ units.yield_fine(t.yield_) }</td>
                        <td>{ match t.excluded {
                            Some(reason) => page.words.exclusion(reason).to_owned(),
                            None => page.words.deviation(t.deviation, &units),
                        } }</td>
                    </tr>
                }) }
            </tbody>
        </table>
    }
}
