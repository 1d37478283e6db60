//! The rules of a shortlist, to be changed.

use super::{Bench, choice, typed};
use crate::number::{NumberProblem, read};
use crate::office::job::Lists;
use crate::office::update::Msg;
use crate::text::office::Desk;
use leanyear_engine::link::{Order, WaterOutlook};
use leanyear_engine::office::shortlist::{Ceiling, Rules};
use yew::prelude::*;

/// Most seasons, trials and varieties that a rule may ask for.
const MOST: u32 = 99;

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
    let set = |id: String, change: fn(&mut Rules, u32)| {
        let (send, system, rules) = (bench.send.clone(), system.to_owned(), rules.clone());
        Callback::from(move |text: String| match text.trim().parse::<u32>() {
            Ok(value) if value <= MOST => {
                let mut next = rules.clone();
                change(&mut next, value);
                send.emit(Msg::Rules(system.clone(), Box::new(next)));
            }
            _ => send.emit(Msg::RuleFault(id.clone(), text)),
        })
    };
    type Change = fn(&mut Rules, u32);
    let numbers: [(Desk, u32, Change); 4] = [
        (Desk::RuleSeasons, rules.seasons, |rules, value| rules.seasons = value),
        (Desk::RuleTrials, rules.trials, |rules, value| rules.trials = value),
        (Desk::RuleSince, rules.since_last, |rules, value| rules.since_last = value),
        (Desk::RuleMost, rules.most as u32, |rules, value| rules.most = value as usize),
    ];
    html! {
        <details>
            <summary>{ bench.say(Desk::RulesHeading) }</summary>
            <div class="form">
                { for numbers.into_iter().enumerate().map(|(place, (label, value, change))| {
                    let id = format!("rule-{place}");
                    html! {
                        <p class="field">
                            <label for={id.clone()}>{ bench.say(label) }</label>
                            <input id={id.clone()} type="text" inputmode="numeric" value={shown(bench, &id, value.to_string())} onchange={typed(set(id.clone(), change))} />
                            { fault(bench, &id, (0.0, f64::from(MOST)), true) }
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

/// A rating on a scale with these ends.
fn rating(text: &str, ends: (f64, f64)) -> Result<f64, NumberProblem> {
    let (sign, digits) = match text.trim().strip_prefix(['-', '\u{2212}']) {
        Some(digits) => (-1.0, digits),
        None => (1.0, text.trim()),
    };
    let value = sign * read(digits, 0.0, ends.0.abs().max(ends.1.abs()))?;
    match value {
        below if below < ends.0 => Err(NumberProblem::TooSmall(ends.0)),
        above if above > ends.1 => Err(NumberProblem::TooLarge(ends.1)),
        inside => Ok(inside),
    }
}

/// The text of a rule's field: what was typed last, where that is no rule.
fn shown(bench: &Bench, id: &str, now: String) -> String {
    let fault = bench.office.rule_fault.as_ref().filter(|(field, _)| field == id);
    fault.map_or(now, |(_, text)| text.clone())
}

/// That it is none.
fn fault(bench: &Bench, id: &str, ends: (f64, f64), whole: bool) -> Html {
    let fault = bench.office.rule_fault.as_ref().filter(|(field, _)| field == id);
    html! { { for fault.map(|(_, text)| html! { <span class="problem" role="alert">{ bench.words.rule_refused(text, ends, whole) }</span> }) } }
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
    let scaled = traits.iter().filter_map(|trait_| Some((trait_, trait_.best?, trait_.worst?)));
    let region = *bench.words.region();
    let field = |(trait_, best, worst): (&leanyear_engine::pack::Trait, f64, f64)| {
        let ends = (best.min(worst), best.max(worst));
        let code = trait_.trait_.clone();
        let now = rules.ceilings.iter().find(|ceiling| ceiling.trait_ == code);
        let now = now.map_or(String::new(), |ceiling| region.typed(ceiling.poorest));
        let (send, system, rules, own) = (bench.send.clone(), system.to_owned(), rules.clone(), code.clone());
        let set = Callback::from(move |text: String| {
            let mut next = rules.clone();
            next.ceilings.retain(|ceiling| ceiling.trait_ != own);
            match rating(&text, ends) {
                Ok(poorest) => next.ceilings.push(Ceiling { trait_: own.clone(), poorest }),
                Err(NumberProblem::Blank) => {}
                Err(_) => return send.emit(Msg::RuleFault(format!("ceiling-{own}"), text)),
            }
            send.emit(Msg::Rules(system.clone(), Box::new(next)));
        });
        let id = format!("ceiling-{code}");
        let scale = format!("{} \u{2026} {}", region.plain(best), region.plain(worst));
        html! {
            <p class="field">
                <label for={id.clone()}>{ bench.names().trait_(&code) }</label>
                <input id={id.clone()} type="text" inputmode="decimal" value={shown(bench, &id, now)} placeholder={bench.say(Desk::RuleNoCeiling)} onchange={typed(set)} />
                <span class="quiet">{ scale }</span>
                { fault(bench, &id, ends, false) }
            </p>
        }
    };
    let fields: Vec<Html> = scaled.map(field).collect();
    let any = !fields.is_empty();
    html! {
        <>
            { for any.then(|| html! { <h3>{ bench.say(Desk::RuleCeiling) }</h3> }) }
            { for fields }
        </>
    }
}
