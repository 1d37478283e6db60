//! Cattle, sprays, docks, money worked out, side by side, acres, what would change, as a grower reads it.

use super::*;
use crate::entry::Entry;
use crate::state::{Draft, Meant, Unused};
use leanyear_engine::link::{DockStep, Spray};

#[test]
fn cattle_are_asked_for_and_told_by_variety() {
    check(
        |state, answer, _, _| {
            state.settings.graze = true;
            state.settings.graze_days = Some(90.0);
            state.sheet = Some(Sheet::Grazing);
            answer.extras = Rc::new(sample::extras());
        },
        &[
            "and $165 an acre, grazed 90 days, show first",
            "Cattle bring $105 an acre.",
            "take 7 % of the grain, none of it where the crop makes no more than 16 bu/ac",
            "Ambra02 6 seasons, 31 trials, 9 of them dry 4 days after Ambra01 $43 poorly",
            "Ambra05 6 seasons, 31 trials, 9 of them dry not known $43 not known",
            "ask a veterinarian",
        ],
    );
}

#[test]
fn a_detail_says_what_can_be_done_about_it() {
    check(
        |state, answer, _, _| {
            state.settings.view = View::Variety;
            answer.extras = Rc::new(sample::extras());
        },
        &[
            "The spray against leaf rust at $18.00 an acre pays in 7 of 20 such years on this one, not in 13; it saves 1.9 bu/ac on average and costs $6 an acre more than it brings. It takes 3.1 bu/ac to pay for it.",
            "Cattle should be off by its first hollow stem: 4 days after Ambra01.",
            "A week late takes 7.4 bu/ac more, $43 an acre.",
            "brings $2.10 of gain and takes $6.90 of grain: it does not pay.",
            "It recovers poorly from grazing.",
            "31.2 bu sold at $5.80 a bushel $181",
            "test-weight not known: $0.05 a bushel comes off, the average of the others",
            "break-even: $186 ÷ $5.75 a bushel = 32.4 bu",
            "price that pays for it: $186 ÷ 31.2 bu = $5.96 a bushel",
            "Is it better than the one I grow? Ambra02 is ahead in 13 of 20 such years, by $21 an acre on average; Ambra05 in 7, by $12 an acre.",
        ],
    );
}

#[test]
fn two_side_by_side_say_who_wins_and_where_they_change_places() {
    check(
        |state, answer, _, _| {
            state.settings.view = View::Compare;
            state.settings.with = vec!["V02".into(), "V05".into()];
            answer.extras = Rc::new(sample::extras());
        },
        &[
            "Ambra02 is ahead in 14 of 20 runs of five years",
            "Ambra02 has $10 an acre more than Ambra05; 4 years in 5 between $22 an acre less and $35 an acre more.",
            "Water: Ambra02 and Ambra05 change places at 11.2 in (4 chances in 5: 9.0 in to 13.1 in). Below that, Ambra02 is ahead; above it, Ambra05.",
            "With 12.0 in of water",
            "Ambra05 $55 an acre",
            "Hill mosaic",
            "1.4 (12 %, not rated)",
        ],
    );
    let price = text(|state, answer, _, _| {
        state.settings.view = View::Compare;
        state.settings.with = vec!["V02".into(), "V05".into()];
        let mut extras = sample::extras();
        extras.moved.as_mut().unwrap().lever = leanyear_engine::decide::tipping::Lever::Price;
        answer.extras = Rc::new(extras);
    });
    assert!(
        price.contains("Price: Ambra02 and Ambra05 have no crossing you can count on between $2.90 a bushel and $11.60 a bushel."),
        "{price}"
    );
}

#[test]
fn acres_add_up_and_an_honest_answer_follows() {
    check(
        |state, answer, _, _| {
            state.settings.view = View::Acres;
            state.settings.acres = vec![("V02".into(), 96.0), ("V07".into(), 64.0)];
            answer.extras = Rc::new(sample::extras());
        },
        &[
            "in all acres",
            "Ambra02 acres, 60 % 6 seasons, 31 trials, 9 of them dry",
            "Ambra07 acres, 40 %",
            "The whole farm, 20 such years",
            "All of it Ambra02",
            "With at most 3 varieties and no less than 10 % of each",
            "Only varieties tested here lately, in 3 seasons or more and in such years, are suggested.",
            "60 % Ambra02 and 40 % Ambra07",
            "Splitting hardly helps here: it makes the average of the 4 worst years of 20 better by $1 an acre only, 0.6 % of your usual yield.",
            "In the average year it gives up $1 an acre against Ambra02 alone.",
            "leaf rust the crop of 22 acres (14 %)",
        ],
    );
}

/// Wherever varieties stand together, each says how long it was tested.
#[test]
fn a_newcomer_and_one_no_longer_tested_say_so_side_by_side_and_on_the_acres() {
    let new = "1 season, 1 trial: never tested in a year this dry: worked out from its other years";
    let gone = "no longer tested, last 2019 \u{b7} 6 seasons, 31 trials, 9 of them dry";
    check(
        |state, answer, _, _| {
            (state.settings.view, state.settings.with) = (View::Compare, vec!["V03".into(), "V04".into()]);
            answer.extras = Rc::new(sample::extras());
        },
        &["Ambra03 new", new, gone],
    );
    check(
        |state, answer, _, _| {
            state.settings.view = View::Acres;
            state.settings.acres = vec![("V03".into(), 60.0), ("V04".into(), 40.0)];
            answer.extras = Rc::new(sample::extras());
        },
        &[
            &format!("Ambra03 acres, 60 % new \u{b7} {new}"),
            gone,
            // The suggestion and the best single one, which the reader gave no acres.
            "60 % Ambra02 and 40 % Ambra07 Ambra02: 6 seasons, 31 trials, 9 of them dry Ambra07: 6 seasons",
        ],
    );
    for sheet in [Sheet::Mine, Sheet::Find, Sheet::Sown] {
        let told = text(match sheet {
            Sheet::Mine => |state, _, _, _| state.sheet = Some(Sheet::Mine),
            Sheet::Find => |state, _, _, _| state.sheet = Some(Sheet::Find),
            _ => |state, _, _, _| state.sheet = Some(Sheet::Sown),
        });
        let slip = &told[told.rfind("Ambra03").unwrap()..];
        assert!(slip.contains(&format!("new \u{b7} {new}")) && slip.contains(gone), "{slip}");
    }
}

/// One variety can be best in the worst years and still cost something in the others.
#[test]
fn all_of_one_variety_says_what_it_gives_up_and_when_nothing_is_worth_cutting() {
    let change: Change = |state, answer, _, _| {
        state.settings.view = View::Acres;
        let mut extras = sample::extras();
        let (own, suggested) = extras.acres.unwrap();
        let mut plan = (*suggested).clone();
        let suggestion = plan.suggestion.as_mut().unwrap();
        suggestion.farm.holdings.truncate(1);
        (suggestion.gain, suggestion.average_given_up) = (0.0, 26.6);
        suggestion.best_on_average = "V07".into();
        extras.acres = Some((own, Rc::new(plan)));
        answer.extras = Rc::new(extras);
    };
    check(
        change,
        &[
            "no split makes the 4 worst years of 20 better than Ambra02 alone. In the average year it gives up $27 an acre against Ambra07 alone.",
        ],
    );
    let failed = text(|state, answer, _, _| {
        state.settings.view = View::Acres;
        let mut extras = sample::extras();
        let (own, suggested) = extras.acres.unwrap();
        let mut plan = (*suggested).clone();
        plan.suggestion.as_mut().unwrap().farm.yield_.worst_fifth = 0.0;
        extras.acres = Some((own, Rc::new(plan)));
        answer.extras = Rc::new(extras);
    });
    assert!(
        failed.contains("No split helps here: in the 4 worst years of 20 nothing is worth cutting"),
        "{failed}"
    );
}

#[test]
fn where_nothing_is_proven_no_acres_are_suggested_and_it_says_why() {
    check(
        |state, answer, _, _| {
            state.settings.view = View::Acres;
            let mut extras = sample::extras();
            let (own, suggested) = extras.acres.unwrap();
            let none = leanyear_engine::decide::acres::AcrePlan {
                single: None,
                suggestion: None,
                farm: None,
                ..(*suggested).clone()
            };
            extras.acres = Some((
                Rc::new(leanyear_engine::decide::acres::AcrePlan { farm: None, ..(*own).clone() }),
                Rc::new(none),
            ));
            answer.extras = Rc::new(extras);
        },
        &["Only varieties tested here lately, in 3 seasons or more", "None is suggested", "add a variety"],
    );
}

#[test]
fn what_would_change_the_answer_is_unfolded() {
    check(
        |state, answer, _, _| {
            state.change_shown = true;
            answer.extras = Rc::new(sample::extras());
        },
        &[
            "With 12.4 in of water or more, not 9.4 in, Ambra05 comes in front of Ambra02.",
            "No change of price or leaf rust that you can count on puts another in front of Ambra02.",
            "Of the new ones Ambra03 most deserves a strip on your ground: 3 of 20 chances to be the best of all in the long run, on 1 season, 5 trials so far.",
            "One more inch of water on dryland ground adds 4.2 bu/ac (4 chances in 5: 3.1 to 5.3), worth $24 an acre, counted from 9.4 in.",
        ],
    );
}

#[test]
fn money_sheets_ask_for_all_that_belongs_to_it() {
    check(
        |state, _, network, _| {
            network.varieties[0].seed_cost = Some(20.0);
            state.sheet = Some(Sheet::Cost);
            state.settings.cash_only = true;
            state.typed = vec![Draft { entry: Entry::Key("cover"), text: "170".into(), before: None }];
        },
        &[
            "and $165 an acre in cash, show first",
            "everything: land, machines",
            "cash only",
            "Yield insurance",
            "insured % of what I usually make Type 100 or less. Still showing the last number that could be used.",
            "premium $ an acre",
        ],
    );
    check(
        |state, _, _, _| {
            state.sheet = Some(Sheet::Price);
            state.settings.volatility = Some(20.0);
        },
        &["at about $5.80 a bushel", "it may swing by % up or down", "hauling and harvest $ a bushel"],
    );
}

#[test]
fn what_was_typed_and_not_used_is_said_over_the_list() {
    check(
        |state, _, _, _| {
            let problem = crate::number::NumberProblem::TooLarge(100.0);
            let meant = Meant::Entry(Entry::Key("cover"));
            state.unused = vec![Unused { text: "170".into(), problem, meant }];
        },
        &["Insured: \u{201c}170\u{201d} was not used. Type 100 or less. The number from before counts."],
    );
}

#[test]
fn docks_are_empty_at_first_and_say_what_is_not_rated() {
    check(
        |state, _, network, _| {
            let mut weight = network.traits[0].clone();
            weight.kind = leanyear_engine::pack::TraitKind::Quality;
            (weight.trait_, weight.label, weight.unit) =
                ("test-weight".into(), "test weight".into(), "lb/bu".into());
            network.traits.push(weight);
            state.sheet = Some(Sheet::Docks);
            state.settings.docks =
                [("test-weight".to_owned(), vec![DockStep { below: 58.0, off: 0.05 }])].into();
        },
        &[
            "Test weight, lb/bu",
            "take off $ a bushel",
            "Ambra05 6 seasons, 31 trials, 9 of them dry not rated",
            "A variety that is not rated counts as the average",
        ],
    );
}

#[test]
fn a_spray_has_its_cost_and_what_it_keeps_off() {
    check(
        |state, _, network, _| {
            network.traits[0].protectable = true;
            network.traits[0].label_note = "The label is the law.".into();
            state.settings.sprays = [("leaf-rust".to_owned(), Spray { cost: 18.0, efficacy: 0.8 })].into();
            state.sheet = Some(Sheet::Diseases);
        },
        &[
            "sprayed against it",
            "it costs $ an acre",
            "it keeps off % of the attack",
            "curl mite",
            "No spray protects from it.",
        ],
    );
}

#[test]
fn money_on_the_axis_goes_below_nothing() {
    check(
        |state, answer, _, _| {
            state.settings.money_unit = true;
            for row in &mut table(answer).varieties {
                let seasons = row.seasons.iter().map(|y| 5.8 * y - 165.0).collect();
                row.net = Some(12.0);
                row.net_law = Some(leanyear_engine::decide::NetLaw { low80: -30.0, high80: 55.0, seasons });
            }
        },
        &[
            "leaves $12 on average; 4 years in 5 between −$30 and $55",
            "$ an acre left",
            "yield on the axis",
            "break-even",
        ],
    );
}
