//! Items in short runs: what [`Map`](super::Map) and [`Set`](super::Set) keep theirs in, so that one more costs the
//! same among a hundred thousand. It knows no order: whoever calls says where an item belongs.

use std::slice;
use std::vec;

/// Most items of a run: short enough to shift, long enough for few runs.
const LONGEST: usize = 256;

/// Which run, and where in it.
pub(super) type Place = (usize, usize);

/// Items in runs of at most [`LONGEST`], none of them empty.
///
/// Two of them that have seen the same calls have their items at the same places.
#[derive(Clone)]
pub(super) struct Runs<T>(Vec<Vec<T>>);

impl<T> Default for Runs<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Runs<T> {
    /// The runs as they stand.
    pub(super) fn runs(&self) -> &[Vec<T>] {
        &self.0
    }

    /// Puts an item at a place, before what stands there; where it stands then. A run that has grown too long is cut
    /// in two.
    pub(super) fn put(&mut self, (run, at): Place, item: T) -> Place {
        let Some(items) = self.0.get_mut(run) else {
            self.0.push(vec![item]);
            return (self.0.len() - 1, 0);
        };
        items.insert(at, item);
        if items.len() <= LONGEST {
            return (run, at);
        }
        let rest = items.split_off(LONGEST / 2);
        self.0.insert(run + 1, rest);
        if at < LONGEST / 2 { (run, at) } else { (run + 1, at - LONGEST / 2) }
    }

    /// Takes the item at a place out.
    pub(super) fn take(&mut self, (run, at): Place) -> T {
        let item = self.0[run].remove(at);
        if self.0[run].is_empty() {
            self.0.remove(run);
        }
        item
    }

    /// The item at a place.
    pub(super) fn at(&self, (run, at): Place) -> Option<&T> {
        self.0.get(run)?.get(at)
    }

    /// The item at a place, to be changed.
    pub(super) fn at_mut(&mut self, (run, at): Place) -> Option<&mut T> {
        self.0.get_mut(run)?.get_mut(at)
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.0.iter().map(Vec::len).sum()
    }

    /// The item at a place that holds one.
    pub(super) fn held_mut(&mut self, (run, at): Place) -> &mut T {
        &mut self.0[run][at]
    }

    /// All, run after run.
    pub(super) fn iter(&self) -> Items<'_, T> {
        self.0.iter().flatten()
    }

    /// All, to be changed.
    pub(super) fn iter_mut(&mut self) -> ItemsMut<'_, T> {
        self.0.iter_mut().flatten()
    }
}

/// Items one after another.
pub(super) type Items<'a, T> = std::iter::Flatten<slice::Iter<'a, Vec<T>>>;
/// Items one after another, to be changed.
pub(super) type ItemsMut<'a, T> = std::iter::Flatten<slice::IterMut<'a, Vec<T>>>;
/// Items one after another, for whoever keeps them.
pub(super) type OwnItems<T> = std::iter::Flatten<vec::IntoIter<Vec<T>>>;

impl<T> IntoIterator for Runs<T> {
    type Item = T;
    type IntoIter = OwnItems<T>;

    fn into_iter(self) -> OwnItems<T> {
        self.0.into_iter().flatten()
    }
}
