//! What each message does to the state, and what it leaves alone.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::*;
use crate::number::NumberProblem;
use crate::sample;

fn after(messages: impl IntoIterator<Item = Msg>) -> State {
    messages.into_iter().fold(State::opening(sample::settings()), |state, msg| update(&state, msg))
}

#[test]
fn a_disease_is_assumed_and_left_to_come_again_with_the_sheet_open() {
    let open = after([Msg::Open(Sheet::Diseases, String::new())]);
    let severe = update(&open, Msg::Disease("leaf-rust".into(), Some(Pressures::Severe)));
    assert_eq!(severe.settings.diseases.get("leaf-rust"), Some(&Pressures::Severe));
    assert_eq!(severe.sheet, Some(Sheet::Diseases));
    let again = update(&severe, Msg::Disease("leaf-rust".into(), None));
    assert_eq!(again, open);
}

#[test]
fn a_number_counts_as_soon_as_it_can_be_used() {
    let typed = |text: &str| after([Msg::Open(Sheet::Usual, String::new()), Msg::Type(text.into())]);
    assert_eq!(typed("32,5").settings.usual, Some(32.5));
    assert_eq!(typed("32,5").draft_problem(), None);
    let wrong = typed("32 or so");
    assert_eq!((wrong.settings.usual, wrong.draft_problem().is_some()), (None, true));
}

#[test]
fn a_sheet_put_away_half_typed_leaves_the_number_as_it_was() {
    let open = [Msg::Open(Sheet::Price, "5.8".into()), Msg::Type("6".into()), Msg::Type("6x".into())];
    let left = after(open.clone().into_iter().chain([Msg::CloseSheet]));
    assert_eq!((left.settings.price, left.sheet), (Some(5.8), None));
    let back = after(open.into_iter().chain([Msg::Address(Box::new(sample::settings()), Vec::new())]));
    assert_eq!((back.settings.price, back.sheet), (Some(5.8), None));
}

#[test]
fn blank_is_a_problem_only_where_a_number_stood() {
    let open = |sheet| after([Msg::Open(sheet, String::new())]);
    assert_eq!(open(Sheet::Usual).draft_problem(), None);
    assert!(open(Sheet::Price).draft_problem().is_some());
    assert_eq!(open(Sheet::Order).draft_problem(), None);
}

#[test]
fn each_system_keeps_its_own_usual_yield() {
    let there = [
        Msg::Open(Sheet::Usual, String::new()),
        Msg::Type("32".into()),
        Msg::CloseSheet,
        Msg::System("full-irrigation".into()),
    ];
    let away = after(there.clone());
    assert_eq!((away.settings.system.as_str(), away.settings.usual), ("full-irrigation", None));
    let home = after(there.into_iter().chain([Msg::System("dryland".into())]));
    assert_eq!(home.settings.usual, Some(32.0));
}

#[test]
fn a_choice_is_taken_and_its_sheet_put_away() {
    for (sheet, msg) in [
        (Sheet::Water, Msg::Water(WaterOutlook::Wet)),
        (Sheet::Order, Msg::Order(Order::WorstFifth)),
        (Sheet::Mine, Msg::Mine(None)),
        (Sheet::Site, Msg::NoPlace),
        (Sheet::System, Msg::System("full-irrigation".into())),
        (Sheet::Cost, Msg::Clear(Quantity::Cost)),
        (Sheet::Find, Msg::Look("V07".into())),
    ] {
        let state = after([Msg::Open(sheet, String::new()), msg.clone()]);
        assert_eq!(state.sheet, None, "{msg:?}");
        assert_ne!(state.settings, sample::settings(), "{msg:?}");
    }
}

#[test]
fn typed_thirds_count_as_soon_as_both_can_be_used() {
    let open = Msg::Open(Sheet::Water, String::new());
    let one = after([open.clone(), Msg::Third(Third::Dry, "45".into())]);
    assert_eq!(one.settings.water, sample::settings().water);
    let both = update(&one, Msg::Third(Third::Wet, "22".into()));
    assert_eq!(both.settings.water, WaterOutlook::Thirds(45, 33, 22));
    let wrong = update(&both, Msg::Third(Third::Wet, "62".into()));
    assert_eq!(wrong.settings.water, WaterOutlook::Thirds(45, 33, 22));
    assert_eq!(update(&wrong, Msg::CloseSheet).settings.water, sample::settings().water);
    assert_eq!(update(&both, Msg::CloseSheet).settings.water, WaterOutlook::Thirds(45, 33, 22));
    let again = after([Msg::Water(WaterOutlook::Thirds(50, 30, 20)), open]);
    assert_eq!(again.thirds, ("50".to_owned(), "20".to_owned()));
}

#[test]
fn a_need_is_asked_for_once_and_taken_back() {
    let needs = [Msg::Need("straw".into(), true), Msg::Need("baking".into(), true)];
    let asked = after([Msg::Open(Sheet::Needs, String::new())].into_iter().chain(needs));
    assert_eq!(
        (asked.settings.need.as_slice(), asked.sheet),
        (&["baking".into(), "straw".into()][..], Some(Sheet::Needs))
    );
    let twice = update(&asked, Msg::Need("straw".into(), true));
    assert_eq!(twice.settings.need.len(), 2);
    assert_eq!(update(&twice, Msg::Need("straw".into(), false)).settings.need, ["baking"]);
}

#[test]
fn another_unit_changes_no_field() {
    let there = [
        Msg::Open(Sheet::Usual, String::new()),
        Msg::Type("32".into()),
        Msg::System("full-irrigation".into()),
        Msg::Unit(YieldUnit::TonnePerHectare, 60.0),
    ];
    let metric = after(there.clone());
    assert!((metric.settings.price.unwrap() - 213.1135).abs() < 1e-3);
    let home = after(there.into_iter().chain([Msg::System("dryland".into())]));
    assert!((home.settings.usual.unwrap() - 2.152_034).abs() < 1e-5);
    let back = update(&home, Msg::Unit(YieldUnit::BushelPerAcre, 60.0));
    assert_eq!((back.settings.usual, back.settings.price), (Some(32.0), Some(5.8)));
}

#[test]
fn one_sheet_may_lead_to_another_and_leaves_no_half_typed_number() {
    let typed = [Msg::Open(Sheet::Price, "5.8".into()), Msg::Type("6".into()), Msg::Type("6x".into())];
    let units = after(typed.into_iter().chain([Msg::Open(Sheet::Units, String::new())]));
    assert_eq!((units.settings.price, units.sheet), (Some(5.8), Some(Sheet::Units)));
}

#[test]
fn what_is_sent_opens_the_view_it_was_sent_from() {
    let from_variety = after([Msg::Look("V01".into()), Msg::Share]);
    assert_eq!((from_variety.settings.view, from_variety.linked_view()), (View::Share, View::Variety));
    assert_eq!(update(&from_variety, Msg::Share).linked_view(), View::Variety);
    assert_eq!(after([Msg::Share]).linked_view(), View::Odds);
    assert_eq!(after([Msg::Handout]).linked_view(), View::Handout);
}

#[test]
fn going_back_closes_a_sheet_before_it_changes_anything() {
    let other = Settings { view: View::Variety, ..sample::settings() };
    let back = Msg::Address(Box::new(other.clone()), Vec::new());
    let with_sheet = after([Msg::Open(Sheet::Water, String::new()), back.clone()]);
    assert_eq!((with_sheet.sheet, &with_sheet.settings), (None, &sample::settings()));
    assert_eq!(after([back]).settings, other);
}

#[test]
fn a_site_and_a_zone_exclude_each_other() {
    let zone = after([Msg::Zone("Upper zone".into())]);
    assert_eq!((zone.settings.site, zone.settings.zone.as_deref()), (None, Some("Upper zone")));
    let site = after([Msg::Zone("Upper zone".into()), Msg::Site("S02".into())]);
    assert_eq!((site.settings.site.as_deref(), site.settings.zone), (Some("S02"), None));
}

#[test]
fn the_variety_looked_at_stays_beside_the_list_until_the_way_back() {
    let looked = after([Msg::Look("V01".into()), Msg::List]);
    assert!(looked.looked);
    assert!(!update(&looked, Msg::Address(Box::new(sample::settings()), Vec::new())).looked);
    let linked = Settings { view: View::Variety, ..sample::settings() };
    assert!(update(&looked, Msg::Address(Box::new(linked.clone()), Vec::new())).looked);
    assert!(State::opening(linked).looked);
}

#[test]
fn starting_again_forgets_choices_but_not_the_light() {
    let fresh = Settings { mine: None, ..sample::settings() };
    let state = after([Msg::Night(true), Msg::ShareMoney(true), Msg::StartAgain(Box::new(fresh.clone()))]);
    assert_eq!((state.settings, state.night, state.share_money), (fresh, true, false));
}

#[test]
fn a_number_among_several_counts_while_the_sheet_stays_open() {
    let open = |text: &str| {
        after([Msg::Open(Sheet::Cost, String::new()), Msg::Enter(Entry::Key("cover"), text.into())])
    };
    let (good, bad) = (open("65"), open("650"));
    assert_eq!((good.settings.cover, good.sheet), (Some(65.0), Some(Sheet::Cost)));
    assert_eq!(bad.settings.cover, None);
    assert!(bad.entry_problem(&Entry::Key("cover")).is_some());
    assert_eq!(bad.entry_problem(&Entry::Key("premium")), None);
    assert_eq!(update(&bad, Msg::CloseSheet).typed, []);
}

#[test]
fn a_number_among_several_left_half_typed_goes_back_and_says_so() {
    let cover = |text: &str| Msg::Enter(Entry::Key("cover"), text.into());
    let start = [Msg::Open(Sheet::Cost, "165".into()), cover("70"), Msg::CloseSheet];
    let typed = [Msg::Open(Sheet::Cost, "165".into()), cover("6"), cover("65"), cover("650")];
    let bad = after(start.into_iter().chain(typed));
    // The next field does not hide what is wrong with this one.
    let next = update(&bad, Msg::Enter(Entry::Key("premium"), "7".into()));
    assert_eq!(next.entry_problem(&Entry::Key("cover")), Some(NumberProblem::TooLarge(100.0)));
    let left = update(&next, Msg::CloseSheet);
    assert_eq!((left.settings.cover, left.settings.premium), (Some(70.0), Some(7.0)));
    let said = Unused {
        text: "650".into(),
        problem: NumberProblem::TooLarge(100.0),
        meant: Meant::Entry(Entry::Key("cover")),
    };
    assert_eq!(left.unused, [said]);
    assert_eq!(update(&left, Msg::Open(Sheet::Cost, "165".into())).unused, []);
}

#[test]
fn docks_are_in_order_once_their_sheet_is_put_away() {
    let step = |place, text: &str| Msg::Enter(Entry::DockBelow("protein".into(), place), text.into());
    let left = after([Msg::Open(Sheet::Docks, String::new()), step(0, "12"), step(1, "11"), Msg::CloseSheet]);
    let limits: Vec<f64> = left.settings.docks["protein"].iter().map(|step| step.below).collect();
    assert_eq!(limits, [11.0, 12.0]);
}

#[test]
fn a_split_begins_at_a_hundred_and_keeps_what_was_typed_in_all() {
    let half = || Msg::Split(vec![("V01".into(), 0.5), ("V02".into(), 0.5)]);
    let first = after([Msg::Acres, half()]);
    assert_eq!(first.settings.acres, [("V01".to_owned(), 50.0), ("V02".to_owned(), 50.0)]);
    let more = update(&first, Msg::Enter(Entry::AcresInAll, "160".into()));
    let dragged = update(&more, Msg::Drag("V01".into(), 25.0));
    assert_eq!(dragged.settings.acres, [("V01".to_owned(), 40.0), ("V02".to_owned(), 120.0)]);
    assert_eq!(update(&dragged, half()).settings.acres[0].1, 80.0);
    assert_eq!(update(&dragged, Msg::Unsow("V01".into())).settings.acres, [("V02".to_owned(), 160.0)]);
}

#[test]
fn two_are_put_side_by_side_and_others_come_and_go() {
    let two =
        after([Msg::Open(Sheet::Beside, String::new()), Msg::Compare(vec!["V01".into(), "V02".into()])]);
    assert_eq!((two.settings.view, two.sheet), (View::Compare, None));
    let one = update(&update(&two, Msg::Beside("V03".into(), true)), Msg::Beside("V01".into(), false));
    assert_eq!(one.settings.with, ["V02", "V03"]);
}
