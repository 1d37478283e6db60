//! The acres of a farm over up to five varieties: typed or dragged, always adding up; the whole farm's twenty
//! years beside the best single variety's; what one disease could take; the split that helps most.

use super::entry::{entry, entry_or, field};
use super::row::{strip, tested_words};
use super::sentence::{assumptions, trait_label};
use super::{Page, line_button, view_head};
use crate::draw::axis::{WIDTH, WIDTH_WIDE, axis, frame_of};
use crate::draw::{at, marks};
use crate::entry::{Entry, in_all};
use crate::state::Sheet;
use crate::text::{Label, Short};
use crate::update::Msg;
use leanyear_engine::decide::acres::{AcrePlan, Farm, Holding, MOST_VARIETIES};
use leanyear_engine::decide::law::Law;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The view.
pub fn acres(page: &Page) -> Html {
    let Some((own, suggested)) = page.answer.extras.acres.as_ref() else { return html! {} };
    html! {
        <article class="detail acres">
            { view_head(page, page.label(Label::AcresHeading)) }
            { assumptions(page) }
            { for own.farm.as_ref().map(|farm| html! { <>{ yours(page, farm, &own.left_out) }{ whole(page, farm, suggested) }</> }) }
            { suggestion(page, suggested, own.farm.is_none()) }
            { for own.farm.as_ref().or(suggested.suggestion.as_ref().map(|s| &s.farm)).map(|farm| threats(page, farm, own.farm.is_some())) }
        </article>
    }
}

fn name<'a>(page: &Page<'a>, code: &'a str) -> &'a str {
    page.network.variety_name(code)
}

/// The reader's split, each variety with a slider and a field.
fn yours(page: &Page, farm: &Farm, left_out: &[String]) -> Html {
    let settings = &page.state.settings;
    let all = in_all(settings);
    let names: Vec<String> = left_out.iter().map(|code| name(page, code).to_owned()).collect();
    html! {
        <section>
            <h3>{ page.label(Label::AcresYours) }</h3>
            { entry(page, Entry::AcresInAll, None) }
            { for settings.acres.iter().map(|(code, area)| holding(page, code, area / all, settings.acres.len() > 1)) }
            { for (!names.is_empty()).then(|| html! { <p class="problem">{ page.words.not_tried(&names) }</p> }) }
            { for (farm.holdings.len() < MOST_VARIETIES.1).then(add_button(page)) }
        </section>
    }
}

fn add_button<'a>(page: &'a Page) -> impl FnOnce() -> Html + 'a {
    || line_button(page.tap(Msg::Open(Sheet::Sown, String::new())), html! { {page.label(Label::AcresAdd)} })
}

fn holding(page: &Page, code: &str, share: f64, several: bool) -> Html {
    let units = page.units();
    let (send, dragged) = (page.send.clone(), code.to_owned());
    let oninput = Callback::from(move |event: InputEvent| {
        let percent = event.target_unchecked_into::<HtmlInputElement>().value_as_number();
        send.emit(Msg::Drag(dragged.clone(), percent));
    });
    let named = name(page, code);
    let mut behind = page.words.area_word(&units).to_owned();
    behind.push_str(", ");
    behind.push_str(&page.words.share(share, &units));
    html! {
        <div class="holding" key={code.to_owned()}>
            { field(page, Entry::Acres(code.to_owned()), html! { <span><strong>{named}</strong></span> }, &behind) }
            { for page.odds(code).map(|odds| html! { <p class="quiet">{ tested_words(page, odds) }</p> }) }
            { for several.then(|| html! {
                <div class="drag">
                    <input class="slider" type="range" min="1" max="99" step="1" aria-label={named.to_owned()}
                        aria-valuetext={page.words.share(share, &units)} value={(100.0 * share).round().to_string()} {oninput} />
                    <button class="word" aria-label={format!("{} {named}", page.label(Label::TakeOut))}
                        onclick={page.tap(Msg::Unsow(code.to_owned()))}>{ page.label(Label::TakeOut) }</button>
                </div>
            }) }
        </div>
    }
}

/// How long the varieties of a farm were tested, but for those told further up, where the reader gave them acres.
fn tested(page: &Page, farm: &Farm) -> Html {
    let told = |code: &str| page.state.settings.acres.iter().any(|(other, _)| other == code);
    let sown = farm.holdings.iter().filter(|h| !told(&h.variety)).filter_map(|h| page.odds(&h.variety));
    let named = farm.holdings.len() > 1;
    html! {
        { for sown.map(|odds| html! {
            <p class="quiet tight">
                { for named.then(|| html! { <>{ name(page, &odds.variety) }{": "}</> }) }
                { tested_words(page, odds) }
            </p>
        }) }
    }
}

/// The law that a farm is told by: what is left after costs, or the yield where there is no money.
fn told(farm: &Farm) -> &Law {
    farm.net.as_ref().unwrap_or(&farm.yield_)
}

/// The farm's twenty years beside those of the single variety whose bad years are best.
fn whole(page: &Page, farm: &Farm, suggested: &AcrePlan) -> Html {
    let mut farms = vec![(page.label(Label::AcresYours).to_owned(), farm)];
    farms.extend(alone(page, suggested));
    html! {
        <section>
            <h3>{ page.label(Label::AcresWhole) }</h3>
            { twenties(page, &farms) }
        </section>
    }
}

fn alone<'a>(page: &Page, plan: &'a AcrePlan) -> Option<(String, &'a Farm)> {
    let single = plan.single.as_ref()?;
    Some((page.words.all_of_one(name(page, &single.holdings.first()?.variety)), single))
}

/// Farms on one axis, and as numbers.
fn twenties(page: &Page, farms: &[(String, &Farm)]) -> Html {
    let units = page.units();
    let money = farms.iter().all(|(_, farm)| farm.net.is_some());
    let line = match page.short() {
        _ if money => Some((0.0, 0.0)),
        Short::Below(target) => Some((target, target)),
        Short::Money => None,
    };
    let width = if page.state.wide { WIDTH_WIDE } else { WIDTH };
    let frame = frame_of(farms.iter().map(|(_, farm)| told(farm).seasons.as_slice()), line, width, money);
    let number = |value: &f64| if money { units.fixed(*value, 0) } else { units.yield_number(*value) };
    let twenty = |farm: &Farm| told(farm).seasons.iter().map(number).collect::<Vec<_>>().join(" ");
    let heading = if money { page.words.money_heading(&units) } else { page.words.numbers_heading(&units) };
    html! {
        <>
            { axis(&frame, page.short(), &units).html("axis") }
            <ul class="rows">
                { for farms.iter().map(|(title, farm)| {
                    let law = told(farm);
                    let failed = farm.yield_.seasons.iter().filter(|y| **y <= 0.0).count() as u8;
                    let marks = marks::marks(&law.seasons, failed, farm.marks_short, &frame.scale);
                    let mut described = super::detail::capital(&heading);
                    described.push_str(": ");
                    described.push_str(&twenty(farm));
                    let picture = (page.words.marks_picture(title, &[], &units).0, described);
                    let line = line.map(|ends| at(frame.scale.place(ends.0)));
                    let averages = match money {
                        true => page.words.averages_money(law.expected, law.low80, law.high80, &units),
                        false => page.words.averages(law.expected, law.low80, law.high80, &units),
                    };
                    let yields = page.worst_yields(farm.yield_.worst_fifth);
                    let worst = page.words.worst_fifth(yields, farm.net.as_ref().map(|n| n.worst_fifth), &units);
                    html! {
                        <li class="beside-row">
                            <p class="name"><strong>{ title.clone() }</strong></p>
                            { strip(&marks, &picture, width, line.as_deref()) }
                            <p class="odds">{ page.words.odds(page.short(), farm.marks_short, &units) }</p>
                            <p>{averages}</p>
                            <p>{worst}</p>
                            { for (farm.holdings.len() == 1).then(|| tested(page, farm)) }
                        </li>
                    }
                }) }
            </ul>
            <details>
                <summary>{ page.label(Label::Numbers) }</summary>
                <table class="figures">
                    <thead><tr><td></td><th scope="col">{ heading.clone() }</th></tr></thead>
                    <tbody>
                        { for farms.iter().map(|(title, farm)| html! {
                            <tr><th scope="row">{ title.clone() }</th><td>{ twenty(farm) }</td></tr>
                        }) }
                    </tbody>
                </table>
            </details>
        </>
    }
}

/// The split that helps most, what it is worth, and what it keeps to.
fn suggestion(page: &Page, plan: &AcrePlan, pictured: bool) -> Html {
    let units = page.units();
    let info = &page.network.info;
    let rule = page.words.split_proven(info.seasons_to_prove, page.state.settings.water, page.asks_needs());
    let Some(s) = plan.suggestion.as_ref() else {
        return html! {
            <section>
                <h3>{ page.label(Label::AcresSuggested) }</h3>
                <p>{rule}</p>
                <p class="tight">{ page.label(Label::AcresNone) }</p>
                { for pictured.then(add_button(page)) }
            </section>
        };
    };
    let single =
        plan.single.as_ref().and_then(|farm| farm.holdings.first()).map_or("", |h| name(page, &h.variety));
    let advised = |code: &str| match page.her_word_in_short(code).filter(|_| page.off_her_list(code)) {
        Some(word) => format!("{} ({word})", name(page, code)),
        None => name(page, code).to_owned(),
    };
    let money = s.farm.net.is_some();
    let named: Vec<(String, Holding)> =
        s.farm.holdings.iter().map(|h| (advised(&h.variety), h.clone())).collect();
    let shares = s.farm.holdings.iter().map(|h| (h.variety.clone(), h.share)).collect();
    let split = (page.label(Label::AcresSuggested).to_owned(), &s.farm);
    // A split of one variety is that variety alone: no need to draw it twice.
    let farms: Vec<_> =
        Some(split).filter(|_| named.len() > 1).into_iter().chain(alone(page, plan)).collect();
    let worth = page.words.split_worth(s, single, name(page, &s.best_on_average), money, &units);
    html! {
        <section>
            <h3>{ page.label(Label::AcresSuggested) }</h3>
            <p>{ page.words.split_limits(plan.limits.0, plan.limits.1, &units) }</p>
            <p class="said">{ page.words.split(&named, &units) }</p>
            { for (named.len() > 1).then(|| tested(page, &s.farm)) }
            { for worth.into_iter().map(|line| html! { <p class="tight">{line}</p> }) }
            { for s.second.as_ref().map(|second| html! {
                <p class="tight">{ page.words.split_second(second, &advised(&second.variety), money, &units) }</p>
            }) }
            <p class="hint spaced">{rule}</p>
            <p class="ways-on first">
                { line_button(page.tap(Msg::Split(shares)), html! { {page.label(Label::AcresUse)} }) }
                { for pictured.then(add_button(page)) }
            </p>
            { for pictured.then(|| twenties(page, &farms)) }
            { entry_or(page, Entry::Key("at-most"), plan.limits.0.to_string()) }
            { for plan.area.map(|area| entry_or(page, Entry::Key("min-acres"), units.plain((100.0 * area * plan.limits.1).round() / 100.0))) }
        </section>
    }
}

/// What one disease or pest could take of the farm's crop.
fn threats(page: &Page, farm: &Farm, own: bool) -> Html {
    if farm.threats.is_empty() {
        return html! {};
    }
    let units = page.units();
    html! {
        <section>
            <h3>{ page.label(Label::AcresThreats) }</h3>
            <p class="hint">{ page.label(if own { Label::AcresYours } else { Label::AcresSuggested }) }</p>
            <table class="figures">
                <tbody>
                    { for farm.threats.iter().map(|threat| html! {
                        <tr>
                            <th scope="row">{ trait_label(page, &threat.trait_) }</th>
                            <td>{ page.words.threat_area(threat.share, threat.area, &units) }</td>
                        </tr>
                    }) }
                </tbody>
            </table>
            <p class="hint">{ page.words.disease_caution() }</p>
        </section>
    }
}
