//! A map in the order of its keys. It knows nothing of what it holds but how two keys compare.

use super::runs::{Items, ItemsMut, OwnItems, Place, Runs};
use super::set::Set;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Borrow;
use std::fmt;
use std::iter::Zip;
use std::marker::PhantomData;
use std::ops::Index;

/// A map whose keys come in order: a part of the program that the standard library's takes for each type anew.
///
/// To look a key up takes some log₂ n comparisons, to put one in that and a shift within a short run. Keys and
/// values lie apart, so that what looks a key up is compiled once for all kinds of values.
#[derive(Clone)]
pub struct Map<K, V> {
    keys: Set<K>,
    /// Each at the place of its key.
    values: Runs<V>,
}

impl<K, V> Default for Map<K, V> {
    fn default() -> Self {
        Self { keys: Set::default(), values: Runs::default() }
    }
}

impl<K, V> Map<K, V> {
    /// An empty map.
    pub fn new() -> Self {
        Self::default()
    }

    /// How many keys there are.
    pub fn len(&self) -> usize {
        self.keys.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.keys.is_empty()
    }

    /// Keys with their values, in order.
    pub fn iter(&self) -> Zip<Items<'_, K>, Items<'_, V>> {
        self.keys.iter().zip(self.values.iter())
    }

    /// The keys in order.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &K> + Clone {
        self.keys.iter()
    }

    /// The values in the order of their keys.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &V> + Clone {
        self.values.iter()
    }

    /// The values in the order of their keys, to be changed.
    pub fn values_mut(&mut self) -> impl Iterator<Item = &mut V> {
        self.values.iter_mut()
    }

    /// The values alone.
    pub fn into_values(self) -> impl Iterator<Item = V> {
        self.values.into_iter()
    }

    /// The keys alone.
    pub fn into_keys(self) -> impl Iterator<Item = K> {
        self.keys.into_iter()
    }
}

impl<K: Ord, V> Map<K, V> {
    /// The value of a key.
    pub fn get<Q: Ord + ?Sized>(&self, key: &Q) -> Option<&V>
    where
        K: Borrow<Q>,
    {
        self.values.at(self.keys.find(key).ok()?)
    }

    /// A key as it is held, with its value.
    pub fn get_key_value<Q: Ord + ?Sized>(&self, key: &Q) -> Option<(&K, &V)>
    where
        K: Borrow<Q>,
    {
        let place = self.keys.find(key).ok()?;
        self.keys.at(place).zip(self.values.at(place))
    }

    /// The value of a key, to be changed.
    pub fn get_mut<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<&mut V>
    where
        K: Borrow<Q>,
    {
        self.values.at_mut(self.keys.find(key).ok()?)
    }

    /// Whether a key is there.
    pub fn contains_key<Q: Ord + ?Sized>(&self, key: &Q) -> bool
    where
        K: Borrow<Q>,
    {
        self.keys.contains(key)
    }

    /// Gives a key a value; what it had before.
    pub fn insert(&mut self, key: K, value: V) -> Option<V> {
        match self.keys.find(&key) {
            Ok(place) => self.values.at_mut(place).map(|held| std::mem::replace(held, value)),
            Err(place) => {
                self.keys.put(place, key);
                self.values.put(place, value);
                None
            }
        }
    }

    /// Takes a key out; the value it had.
    pub fn remove<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<V>
    where
        K: Borrow<Q>,
    {
        let place = self.keys.find(key).ok()?;
        self.keys.take(place);
        Some(self.values.take(place))
    }

    /// Leaves out the keys for which `keep` says no.
    pub fn retain(&mut self, mut keep: impl FnMut(&K, &mut V) -> bool) {
        let held = std::mem::take(self);
        self.extend(
            held.into_iter().filter_map(|(key, mut value)| keep(&key, &mut value).then_some((key, value))),
        );
    }

    /// What a key has, or may be given.
    pub fn entry(&mut self, key: K) -> Entry<'_, K, V> {
        Entry { place: self.keys.find(&key), map: self, key }
    }
}

/// A key of a map that may have no value yet.
pub struct Entry<'a, K, V> {
    map: &'a mut Map<K, V>,
    key: K,
    place: Result<Place, Place>,
}

impl<'a, K: Ord, V> Entry<'a, K, V> {
    /// The value, which is this one if there was none.
    pub fn or_insert_with(self, value: impl FnOnce() -> V) -> &'a mut V {
        let Self { map, key, place } = self;
        let place = place.unwrap_or_else(|place| {
            map.keys.put(place, key);
            map.values.put(place, value())
        });
        map.values.held_mut(place)
    }

    /// The value, which is this one if there was none.
    pub fn or_insert(self, value: V) -> &'a mut V {
        self.or_insert_with(|| value)
    }

    /// The value, which is the default if there was none.
    pub fn or_default(self) -> &'a mut V
    where
        V: Default,
    {
        self.or_insert_with(V::default)
    }
}

impl<K: Ord, V> Extend<(K, V)> for Map<K, V> {
    fn extend<I: IntoIterator<Item = (K, V)>>(&mut self, items: I) {
        for (key, value) in items {
            self.insert(key, value);
        }
    }
}

impl<K: Ord, V> FromIterator<(K, V)> for Map<K, V> {
    fn from_iter<I: IntoIterator<Item = (K, V)>>(items: I) -> Self {
        let mut map = Self::new();
        map.extend(items);
        map
    }
}

impl<K: Ord, V, const N: usize> From<[(K, V); N]> for Map<K, V> {
    fn from(items: [(K, V); N]) -> Self {
        Self::from_iter(items)
    }
}

impl<K, V> IntoIterator for Map<K, V> {
    type Item = (K, V);
    type IntoIter = Zip<OwnItems<K>, OwnItems<V>>;

    fn into_iter(self) -> Self::IntoIter {
        self.keys.into_iter().zip(self.values)
    }
}

impl<'a, K, V> IntoIterator for &'a Map<K, V> {
    type Item = (&'a K, &'a V);
    type IntoIter = Zip<Items<'a, K>, Items<'a, V>>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<'a, K, V> IntoIterator for &'a mut Map<K, V> {
    type Item = (&'a K, &'a mut V);
    type IntoIter = Zip<Items<'a, K>, ItemsMut<'a, V>>;

    fn into_iter(self) -> Self::IntoIter {
        self.keys.iter().zip(self.values.iter_mut())
    }
}

impl<K: Ord + Borrow<Q>, Q: Ord + ?Sized, V> Index<&Q> for Map<K, V> {
    type Output = V;

    /// # Panics
    /// Where the key is not there, as the standard library's map does.
    #[allow(clippy::expect_used)]
    fn index(&self, key: &Q) -> &V {
        self.get(key).expect("a key that is asked for by its index is there")
    }
}

impl<K: PartialEq, V: PartialEq> PartialEq for Map<K, V> {
    fn eq(&self, other: &Self) -> bool {
        self.iter().eq(other.iter())
    }
}

impl<K: Eq, V: Eq> Eq for Map<K, V> {}

impl<K: fmt::Debug, V: fmt::Debug> fmt::Debug for Map<K, V> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_map().entries(self).finish()
    }
}

impl<K: Serialize, V: Serialize> Serialize for Map<K, V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self)
    }
}

impl<'de, K: Deserialize<'de> + Ord, V: Deserialize<'de>> Deserialize<'de> for Map<K, V> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pairs<K, V>(PhantomData<(K, V)>);

        impl<'de, K: Deserialize<'de> + Ord, V: Deserialize<'de>> Visitor<'de> for Pairs<K, V> {
            type Value = Map<K, V>;

            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("a map")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut pairs: A) -> Result<Map<K, V>, A::Error> {
                let mut map = Map::new();
                while let Some((key, value)) = pairs.next_entry()? {
                    map.insert(key, value);
                }
                Ok(map)
            }
        }

        deserializer.deserialize_map(Pairs(PhantomData))
    }
}
