//! The standard library's sort, map and set are the reference.

#![allow(clippy::unwrap_used)]

use super::*;
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// What is done to a map, one after another.
#[derive(Debug, Clone, Copy)]
enum Step {
    Insert(u16, u16),
    Remove(u16),
    Add(u16, u16),
    Change(u16, u16),
}

/// So many keys that runs are cut in two, so few that they are met again.
fn steps() -> impl Strategy<Value = Vec<Step>> {
    let key = || 0u16..1_500;
    prop::collection::vec(
        prop_oneof![
            6 => (key(), any::<u16>()).prop_map(|(key, value)| Step::Insert(key, value)),
            2 => key().prop_map(Step::Remove),
            2 => (key(), 0u16..9).prop_map(|(key, value)| Step::Add(key, value)),
            1 => (key(), any::<u16>()).prop_map(|(key, value)| Step::Change(key, value)),
        ],
        0..3_000,
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn sorts_as_the_standard_library_does(items in prop::collection::vec((0u8..6, any::<u16>()), 0..60)) {
        let (mut ours, mut theirs) = (items.clone(), items);
        sort_by_key(&mut ours, |x| x.0);
        theirs.sort_by_key(|x| x.0);
        prop_assert_eq!(ours, theirs);
    }

    #[test]
    fn a_map_does_what_the_standard_librarys_does(steps in steps(), cut in 0u16..1_500) {
        let (mut ours, mut theirs) = (Map::new(), BTreeMap::new());
        for step in steps {
            match step {
                Step::Insert(key, value) => prop_assert_eq!(ours.insert(key, value), theirs.insert(key, value)),
                Step::Remove(key) => prop_assert_eq!(ours.remove(&key), theirs.remove(&key)),
                Step::Add(key, value) => {
                    let (own, other) = (ours.entry(key).or_insert(7), theirs.entry(key).or_insert(7));
                    (*own, *other) = (own.wrapping_add(value), other.wrapping_add(value));
                    prop_assert_eq!(own, other);
                }
                Step::Change(key, value) => {
                    let (own, other) = (ours.get_mut(&key), theirs.get_mut(&key));
                    prop_assert_eq!(&own, &other);
                    if let (Some(own), Some(other)) = (own, other) {
                        (*own, *other) = (value, value);
                    }
                }
            }
        }
        prop_assert_eq!(ours.len(), theirs.len());
        prop_assert_eq!(ours.is_empty(), theirs.is_empty());
        prop_assert!(ours.iter().eq(theirs.iter()));
        prop_assert!(ours.keys().rev().eq(theirs.keys().rev()));
        prop_assert!(ours.values().eq(theirs.values()));
        for key in 0..1_500 {
            prop_assert_eq!(ours.get(&key), theirs.get(&key));
            prop_assert_eq!(ours.contains_key(&key), theirs.contains_key(&key));
        }
        prop_assert_eq!(serde_json::to_string(&ours).unwrap(), serde_json::to_string(&theirs).unwrap());
        let read: Map<u16, u16> = serde_json::from_str(&serde_json::to_string(&theirs).unwrap()).unwrap();
        prop_assert_eq!(&read, &ours);
        ours.values_mut().for_each(|value| *value /= 2);
        theirs.values_mut().for_each(|value| *value /= 2);
        for map in [ours.clone(), theirs.clone().into_iter().rev().collect()] {
            prop_assert_eq!(&map, &ours);
        }
        ours.retain(|key, _| *key < cut);
        theirs.retain(|key, _| *key < cut);
        prop_assert!(ours.into_iter().eq(theirs));
    }

    #[test]
    fn a_set_does_what_the_standard_librarys_does(
        items in prop::collection::vec((0u16..1_500, prop::bool::weighted(0.8)), 0..3_000),
    ) {
        let (mut ours, mut theirs) = (Set::new(), BTreeSet::new());
        for (item, put) in items {
            if put {
                prop_assert_eq!(ours.insert(item), theirs.insert(item));
            } else {
                prop_assert_eq!(ours.remove(&item), theirs.remove(&item));
            }
        }
        prop_assert_eq!(ours.len(), theirs.len());
        prop_assert_eq!((ours.first(), ours.last()), (theirs.first(), theirs.last()));
        prop_assert!((0..1_500).all(|item| ours.contains(&item) == theirs.contains(&item)));
        prop_assert_eq!(serde_json::to_string(&ours).unwrap(), serde_json::to_string(&theirs).unwrap());
        prop_assert!(ours.iter().eq(theirs.iter()));
        prop_assert_eq!(&theirs.iter().copied().rev().collect::<Set<_>>(), &ours);
        prop_assert!(ours.into_iter().eq(theirs));
    }
}

/// Keys in any order, far more than one run holds: what a shuffled file of a hundred thousand rows asks for.
#[test]
fn a_hundred_thousand_keys_in_any_order_are_found_again() {
    let keys: Vec<u32> = (0..100_000u32).map(|k| k.wrapping_mul(2_654_435_761)).collect();
    let map: Map<u32, usize> = keys.iter().copied().zip(0..).collect();
    assert!(keys.iter().enumerate().all(|(place, key)| map[key] == place));
    assert!(map.keys().zip(map.keys().skip(1)).all(|(one, next)| one < next));
    assert_eq!(map.len(), keys.len());
}
