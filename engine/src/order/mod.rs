//! Putting things in order at little cost to the page: every sort and every ordered collection that the standard
//! library makes for another type of item is several kilobytes of program. It knows nothing of what it orders.

use std::cmp::Ordering;

/// Sorts by `compare`; what compares equal stays in its order.
pub fn sort_by<T>(items: &mut [T], compare: impl Fn(&T, &T) -> Ordering) {
    let order = places(items.len(), &|i, j| compare(&items[i], &items[j]));
    rearrange(items, order);
}

/// Sorts by a key; what has the same key stays in its order.
pub fn sort_by_key<T, K: Ord>(items: &mut [T], key: impl Fn(&T) -> K) {
    sort_by(items, |a, b| key(a).cmp(&key(b)));
}

/// Which item comes at each place.
fn places(count: usize, compare: &dyn Fn(usize, usize) -> Ordering) -> Vec<usize> {
    let mut places: Vec<usize> = (0..count).collect();
    places.sort_unstable_by(|&i, &j| compare(i, j).then(i.cmp(&j)));
    places
}

fn rearrange<T>(items: &mut [T], mut order: Vec<usize>) {
    for place in 0..items.len() {
        // Follow the item to where earlier swaps took it.
        let mut from = order[place];
        while from < place {
            from = order[from];
        }
        items.swap(place, from);
        order[place] = from;
    }
}

/// Collecting into an ordered set or map item by item, without the sort that `collect` brings.
pub trait Gather: Iterator + Sized {
    /// The items, one by one, in a new collection.
    fn gather<C: Default + Extend<Self::Item>>(self) -> C {
        let mut collection = C::default();
        collection.extend(self);
        collection
    }
}

impl<I: Iterator> Gather for I {}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeMap;

    proptest! {
        /// Reference: the standard library's stable sort.
        #[test]
        fn sorts_as_the_standard_library_does(items in prop::collection::vec((0u8..6, any::<u16>()), 0..60)) {
            let (mut ours, mut theirs) = (items.clone(), items);
            sort_by_key(&mut ours, |x| x.0);
            theirs.sort_by_key(|x| x.0);
            prop_assert_eq!(ours, theirs);
        }

        #[test]
        fn gathers_as_collect_does(items in prop::collection::vec((0u8..20, any::<u16>()), 0..60)) {
            let (ours, theirs): (BTreeMap<u8, u16>, BTreeMap<u8, u16>) =
                (items.iter().copied().gather(), items.iter().copied().collect());
            prop_assert_eq!(ours, theirs);
        }
    }
}
