//! The rules of a shortlist, to be changed.

use super::{Bench, choice, typed};
use crate::office::job::Lists;
use crate::office::update::Msg;
use crate::text::office::Desk;
use leanyear_engine::link::{Order, WaterOutlook};
use leanyear_engine::office::shortlist::{Ceiling, Rules};
use yew::prelude::*;

const ORDERS: [(&str, Order); 3] =
    [("net", Order::Net), ("worst-fifth", Order::WorstFifth), ("chance-short", Order::ChanceShort)];
const YEARS: [(&str, WaterOutlook); 5] = [
    ("any", WaterOutlook::Any),
    ("driest-fifth", WaterOutlook::DriestFifth),
    ("dry", WaterOutlook::Dry),
    ("middle", WaterOutlook::Middle),
    ("wet", WaterOutlook::Wet),
];

/// The form behind "change the rules".
pub(super) fn rules(bench: &Bench, system: &str, lists: &Lists) -> Html {
    let rules = &lists.rules;
    let set = |change: fn(&mut Rules, u32)| {
        let (send, system, rules) = (bench.send.clone(), system.to_owned(), rules.clone());
        Callback::from(move |text: String| {
            if let Ok(value) = text.trim().parse::<u32>() {
                let mut next = rules.clone();
                change(&mut next, value.min(99));
                send.emit(Msg::Rules(system.clone(), Box::new(next)));
            }
        })
    };
    let numbers = [
        (Desk::RuleSeasons, rules.seasons, set(|rules, value| rules.seasons = value)),
        (Desk::RuleTrials, rules.trials, set(|rules, value| rules.trials = value)),
        (Desk::RuleSince, rules.since_last, set(|rules, value| rules.since_last = value)),
        (Desk::RuleMost, rules.most as u32, set(|rules, value| rules.most = value as usize)),
    ];
    html! {
        <details>
            <summary>{ bench.say(Desk::RulesHeading) }</summary>
            <div class="form">
                { for numbers.into_iter().enumerate().map(|(place, (label, value, set))| {
                    let id = format!("rule-{place}");
                    html! {
                        <p class="field">
                            <label for={id.clone()}>{ bench.say(label) }</label>
                            <input {id} type="text" inputmode="numeric" value={value.to_string()} onchange={typed(set)} />
                        </p>
                    }
                }) }
                { order(bench, system, rules) }
                { year(bench, system, rules) }
                { ceilings(bench, system, rules) }
            </div>
        </details>
    }
}

fn order(bench: &Bench, system: &str, rules: &Rules) -> Html {
    let now = ORDERS.iter().find(|(_, order)| *order == rules.order).map_or("", |(word, _)| word);
    let money = bench.network().is_some_and(|network| network.info.defaults.price.is_some());
    let options =
        ORDERS.map(|(word, order)| (word.to_owned(), bench.words.order_option(order, money).to_owned()));
    let (send, system, rules) = (bench.send.clone(), system.to_owned(), rules.clone());
    let set = Callback::from(move |word: String| {
        if let Some((_, order)) = ORDERS.iter().find(|(other, _)| *other == word) {
            send.emit(Msg::Rules(system.clone(), Box::new(Rules { order: *order, ..rules.clone() })));
        }
    });
    let label = bench.say(Desk::RuleOrder);
    html! { <p class="field"><span>{ label }</span>{ choice(label.to_owned(), options.to_vec(), now, set) }</p> }
}

fn year(bench: &Bench, system: &str, rules: &Rules) -> Html {
    let now = YEARS.iter().find(|(_, water)| *water == rules.water).map_or("", |(word, _)| word);
    let options = YEARS.map(|(word, water)| (word.to_owned(), bench.words.water_option(water)));
    let (send, system, rules) = (bench.send.clone(), system.to_owned(), rules.clone());
    let set = Callback::from(move |word: String| {
        if let Some((_, water)) = YEARS.iter().find(|(other, _)| *other == word) {
            send.emit(Msg::Rules(system.clone(), Box::new(Rules { water: *water, ..rules.clone() })));
        }
    });
    let label = bench.say(Desk::RuleWater);
    html! { <p class="field"><span>{ label }</span>{ choice(label.to_owned(), options.to_vec(), now, set) }</p> }
}

/// A ceiling for every trait that has a scale.
fn ceilings(bench: &Bench, system: &str, rules: &Rules) -> Html {
    let traits = bench.network().map(|network| network.traits.as_slice()).unwrap_or_default();
    let scaled = traits.iter().filter(|trait_| trait_.best.is_some() && trait_.worst.is_some());
    let region = *bench.words.region();
    let field = |trait_: &leanyear_engine::pack::Trait| {
        let code = trait_.trait_.clone();
        let now = rules.ceilings.iter().find(|ceiling| ceiling.trait_ == code);
        let now = now.map_or(String::new(), |ceiling| region.typed(ceiling.poorest));
        let (send, system, rules, own) = (bench.send.clone(), system.to_owned(), rules.clone(), code.clone());
        let set = Callback::from(move |text: String| {
            let mut next = rules.clone();
            next.ceilings.retain(|ceiling| ceiling.trait_ != own);
            if let Ok(poorest) = text.trim().replace(',', ".").parse::<f64>() {
                next.ceilings.push(Ceiling { trait_: own.clone(), poorest });
            }
            send.emit(Msg::Rules(system.clone(), Box::new(next)));
        });
        let id = format!("ceiling-{code}");
        let scale = trait_
            .best
            .zip(trait_.worst)
            .map(|(best, worst)| format!("{} \u{2026} {}", region.plain(best), region.plain(worst)));
        html! {
            <p class="field">
                <label for={id.clone()}>{ bench.names().trait_(&code) }</label>
                <input {id} type="text" inputmode="decimal" value={now} placeholder={bench.say(Desk::RuleNoCeiling)} onchange={typed(set)} />
                <span class="quiet">{ scale.unwrap_or_default() }</span>
            </p>
        }
    };
    html! {
        <>
            <h3>{ bench.say(Desk::RuleCeiling) }</h3>
            { for scaled.map(field) }
        </>
    }
}
