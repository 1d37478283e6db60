//! Putting things in order at little cost to the page: every sort and every ordered collection that the standard
//! library makes for another type of item is several kilobytes of program. It knows nothing of what it orders.

mod map;
mod runs;
mod set;
#[cfg(test)]
mod tests;

pub use map::{Entry, Map};
pub use set::Set;

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
