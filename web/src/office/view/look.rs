//! The trials on one screen, and which of them count.

use super::{Bench, choice, fit, head_cell, wide_table};
use crate::office::update::Msg;
use crate::text::figure::Units;
use crate::text::office::{Desk, Term};
use leanyear_engine::office::look::{Look, TrialLook};
use leanyear_engine::pack::Exclusion;
use yew::prelude::*;

/// The fourth step.
pub(super) fn look(bench: &Bench) -> Html {
    let (Some(read), Some(units)) = (bench.office.shown_read(), bench.units()) else { return html! {} };
    let Some(look) = &read.look else { return html! {} };
    let several = bench.several();
    let names = bench.names();
    let mut systems: Vec<&str> = look.trials.iter().map(|trial| trial.system.as_str()).collect();
    systems.dedup();
    html! {
        <>
            <p>{ bench.say(Desk::LookIntro) }</p>
            { for look.dry.iter().filter_map(|dry| bench.words.dry(dry, several)).map(|line| html! { <p>{ line }</p> }) }
            { for bench.words.groups(&look.groups, &names).into_iter().map(|line| html! { <p>{ line }</p> }) }
            { for systems.into_iter().map(|system| table(bench, look, look.groups.len() > 1, system, &units)) }
            <details>
                <summary>{ bench.say(Desk::Words) }</summary>
                { for [Term::Cv, Term::ErrorMeanSquare, Term::Sed, Term::Water, Term::Group].map(|term| bench.term(term)) }
            </details>
        </>
    }
}

fn table(bench: &Bench, look: &Look, grouped: bool, system: &str, units: &Units) -> Html {
    let several = bench.several();
    let rows = look.trials.iter().filter(|trial| trial.system == system);
    let caption = if several { bench.words.system(system) } else { bench.say(Desk::LookHeading).to_owned() };
    let unit = bench.words.yield_unit(units.yield_unit);
    let heads = [
        (Desk::Trial, String::new()),
        (Desk::Entries, String::new()),
        (Desk::Mean, unit.to_owned()),
        (Desk::Cv, String::new()),
        (Desk::ErrorMs, format!("({unit})²")),
        (Desk::Sed, unit.to_owned()),
        (Desk::Water, units.water_unit().to_owned()),
        (Desk::Disease, String::new()),
    ];
    let label = caption.clone();
    let table = html! {
        <table class="figures look">
            { for several.then(|| html! { <caption>{ caption }</caption> }) }
            <thead><tr>
                { for heads.map(|(head, unit)| head_cell(bench, head, unit)) }
                { for grouped.then(|| html! { <th scope="col">{ bench.say(Desk::Group) }</th> }) }
                <th scope="col">{ bench.say(Desk::Counts) }</th>
            </tr></thead>
            <tbody>{ for rows.map(|trial| row(bench, trial, grouped, units)) }</tbody>
        </table>
    };
    wide_table(bench, label, table)
}

fn row(bench: &Bench, trial: &TrialLook, grouped: bool, units: &Units) -> Html {
    let names = bench.names();
    let pressure = trial.pressure.iter().filter(|(_, pressure)| *pressure > 0);
    let pressure: Vec<String> = pressure
        .map(|(code, pressure)| format!("{} {}", names.trait_(code), bench.words.pressure_word(*pressure)))
        .collect();
    let from =
        trial.error_from.map(|source| bench.words.error_from(source)).filter(|words| !words.is_empty());
    let water = trial.water.map_or(String::new(), |water| units.water_number(water));
    let told = bench.office.turned.as_deref() == Some(trial.trial.as_str());
    html! {
        <>
        <tr key={trial.trial.clone()} class={classes!(trial.excluded.map(|_| "left-out"))}>
            <th scope="row">{ &trial.trial }{ " " }<span class="quiet">{ format!("{} {}", names.site(&trial.site), trial.season) }</span></th>
            <td>{ trial.entries }</td>
            <td>{ trial.mean.map_or(String::new(), |mean| units.yield_fine(mean)) }</td>
            <td>{ trial.cv.map_or(String::new(), |cv| units.fixed(cv, 1)) }</td>
            <td>{ trial.error_ms.map_or(String::new(), |ms| bench.words.region().figures(ms, 3)) }{ for from.map(|from| html! { <>{ " " }<span class="quiet">{ from }</span></> }) }</td>
            <td>{ trial.sed.map_or(String::new(), |sed| units.yield_fine(sed)) }</td>
            <td>{ if trial.dry { html! { <em>{ water }</em> } } else { html! { { water } } } }</td>
            <td>{ pressure.join(", ") }</td>
            { for grouped.then(|| html! { <td>{ trial.group.filter(|_| trial.entries > 0).map_or(String::new(), |group| (group + 1).to_string()) }</td> }) }
            <td>{ counts(bench, trial) }</td>
        </tr>
        { for told.then(|| html! { <tr key="told" class="told"><td colspan={if grouped { "10" } else { "9" }}>{ fit::told(bench) }</td></tr> }) }
        </>
    }
}

const REASONS: [(&str, Desk, Option<Exclusion>); 5] = [
    ("", Desk::CountsYes, None),
    ("drought", Desk::ExcludeDrought, Some(Exclusion::Drought)),
    ("hail", Desk::ExcludeHail, Some(Exclusion::Hail)),
    ("stand", Desk::ExcludeStand, Some(Exclusion::Stand)),
    ("other", Desk::ExcludeOther, Some(Exclusion::Other)),
];

fn counts(bench: &Bench, trial: &TrialLook) -> Html {
    let options = REASONS.map(|(value, label, _)| (value.to_owned(), bench.say(label).to_owned())).to_vec();
    let now = REASONS.iter().find(|(.., reason)| *reason == trial.excluded).map_or("", |(value, ..)| value);
    let (send, code) = (bench.send.clone(), trial.trial.clone());
    let set = Callback::from(move |chosen: String| {
        let reason = REASONS.iter().find(|(value, ..)| *value == chosen).and_then(|(.., reason)| *reason);
        send.emit(Msg::Exclude(code.clone(), reason));
    });
    choice(format!("{}: {}", trial.trial, bench.say(Desk::Counts)), options, now, set)
}
