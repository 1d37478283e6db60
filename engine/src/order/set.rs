//! A set in order. It knows nothing of what it holds but how two of them compare.

use super::runs::{Items, OwnItems, Place, Runs};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Borrow;
use std::fmt;

/// A set whose items come in order: a part of the program that the standard library's takes for each type anew.
///
/// To look an item up takes some log₂ n comparisons, to put one in that and a shift within a short run.
#[derive(Clone)]
pub struct Set<T>(Runs<T>);

impl<T> Default for Set<T> {
    fn default() -> Self {
        Self(Runs::default())
    }
}

impl<T> Set<T> {
    /// An empty set.
    pub fn new() -> Self {
        Self::default()
    }

    /// How many items there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.runs().is_empty()
    }

    /// The items in order.
    pub fn iter(&self) -> Items<'_, T> {
        self.0.iter()
    }

    /// The least item.
    pub fn first(&self) -> Option<&T> {
        self.0.at((0, 0))
    }

    /// The greatest item.
    pub fn last(&self) -> Option<&T> {
        self.0.runs().last()?.last()
    }
}

impl<T: Ord> Set<T> {
    /// Where an item stands, or where it belongs.
    pub(super) fn find<Q: Ord + ?Sized>(&self, item: &Q) -> Result<Place, Place>
    where
        T: Borrow<Q>,
    {
        let runs = self.0.runs();
        let before = runs.partition_point(|run| run.last().is_some_and(|last| last.borrow() < item));
        // What lies behind all others belongs into the last run.
        let run = before.min(runs.len().saturating_sub(1));
        let items = runs.get(run).map_or(&[][..], Vec::as_slice);
        match items.binary_search_by(|held| held.borrow().cmp(item)) {
            Ok(at) => Ok((run, at)),
            Err(at) => Err((run, at)),
        }
    }

    /// The item at a place.
    pub(super) fn at(&self, place: Place) -> Option<&T> {
        self.0.at(place)
    }

    /// Puts an item where [`find`](Self::find) says that it belongs.
    pub(super) fn put(&mut self, place: Place, item: T) {
        self.0.put(place, item);
    }

    /// Takes the item at a place out.
    pub(super) fn take(&mut self, place: Place) -> T {
        self.0.take(place)
    }

    /// Puts an item in; whether it was not there before.
    pub fn insert(&mut self, item: T) -> bool {
        let place = self.find(&item);
        if let Err(place) = place {
            self.put(place, item);
        }
        place.is_err()
    }

    /// Takes an item out; whether it was there.
    pub fn remove<Q: Ord + ?Sized>(&mut self, item: &Q) -> bool
    where
        T: Borrow<Q>,
    {
        self.find(item).map(|place| self.take(place)).is_ok()
    }

    /// Whether an item is there.
    pub fn contains<Q: Ord + ?Sized>(&self, item: &Q) -> bool
    where
        T: Borrow<Q>,
    {
        self.find(item).is_ok()
    }
}

impl<T: Ord> Extend<T> for Set<T> {
    fn extend<I: IntoIterator<Item = T>>(&mut self, items: I) {
        for item in items {
            self.insert(item);
        }
    }
}

impl<T: Ord> FromIterator<T> for Set<T> {
    fn from_iter<I: IntoIterator<Item = T>>(items: I) -> Self {
        let mut set = Self::new();
        set.extend(items);
        set
    }
}

impl<T: Ord, const N: usize> From<[T; N]> for Set<T> {
    fn from(items: [T; N]) -> Self {
        Self::from_iter(items)
    }
}

impl<T> IntoIterator for Set<T> {
    type Item = T;
    type IntoIter = OwnItems<T>;

    fn into_iter(self) -> OwnItems<T> {
        self.0.into_iter()
    }
}

impl<'a, T> IntoIterator for &'a Set<T> {
    type Item = &'a T;
    type IntoIter = Items<'a, T>;

    fn into_iter(self) -> Items<'a, T> {
        self.iter()
    }
}

impl<T: PartialEq> PartialEq for Set<T> {
    fn eq(&self, other: &Self) -> bool {
        self.iter().eq(other.iter())
    }
}

impl<T: Eq> Eq for Set<T> {}

impl<T: fmt::Debug> fmt::Debug for Set<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_set().entries(self).finish()
    }
}

impl<T: Serialize> Serialize for Set<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self)
    }
}

impl<'de, T: Deserialize<'de> + Ord> Deserialize<'de> for Set<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Vec::deserialize(deserializer).map(|items: Vec<T>| items.into_iter().collect())
    }
}
