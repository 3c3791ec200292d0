//! What was made of late, remembered by the very parts of the document that it is made of.
//!
//! Long work is wanted by many: a page of the window, the findings, sheets and book, each from a thread of its own. So they share a
//! [`Remembered`]: the first who asks makes the thing, the others wait for it, and whoever asks later has it at once.

use std::convert::Infallible;
use std::fmt::{Debug, Formatter};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// So long somebody who waits for another's work goes on waiting before looking whether it is still wanted.
const LOOK: Duration = Duration::from_millis(20);

/// Things of one kind with what each was made of, shared between threads. A copy shares them too. `KEPT` are kept: usually enough to go
/// back and forth between the last steps, for a form and some that are added to it.
pub struct Remembered<K, V, const KEPT: usize = 12>(Arc<Shared<K, V>>);

struct Shared<K, V> {
    held: Mutex<Held<K, V>>,
    changed: Condvar,
    /// More than `KEPT` where there are so many that are asked for in turn.
    room: AtomicUsize,
}

struct Held<K, V> {
    /// The newest at the end.
    kept: Vec<(K, Arc<V>)>,
    /// What is being made at present.
    making: Vec<K>,
}

impl<K, V, const KEPT: usize> Default for Remembered<K, V, KEPT> {
    fn default() -> Self {
        let held = Mutex::new(Held { kept: Vec::new(), making: Vec::new() });
        Self(Arc::new(Shared { held, changed: Condvar::new(), room: AtomicUsize::new(KEPT) }))
    }
}

impl<K, V, const KEPT: usize> Clone for Remembered<K, V, KEPT> {
    fn clone(&self) -> Self {
        Self(Arc::clone(&self.0))
    }
}

impl<K, V, const KEPT: usize> Debug for Remembered<K, V, KEPT> {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        write!(f, "Remembered({})", self.held().kept.len())
    }
}

impl<K, V, const KEPT: usize> Remembered<K, V, KEPT> {
    /// A mistake in the making is caught where the work runs, so a poisoned lock still holds good things.
    fn held(&self) -> MutexGuard<'_, Held<K, V>> {
        self.0.held.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl<K: PartialEq, V> Held<K, V> {
    fn known(&mut self, of: &K) -> Option<Arc<V>> {
        let at = self.kept.iter().position(|(known, _)| known == of)?;
        let found = self.kept.remove(at);
        let made = Arc::clone(&found.1);
        self.kept.push(found);
        Some(made)
    }

    fn keep(&mut self, of: K, made: Arc<V>, most: usize) {
        let too_many = (self.kept.len() + 1).saturating_sub(most);
        self.kept.drain(..too_many);
        self.kept.push((of, made));
    }
}

impl<K: PartialEq + Clone, V, const KEPT: usize> Remembered<K, V, KEPT> {
    /// The same with room for so many that are asked for in turn, again and again, and for some more.
    pub fn for_as_many(&self, count: usize) -> &Self {
        self.0.room.fetch_max(count + KEPT, Ordering::Relaxed);
        self
    }

    /// What was made of these parts, if it is remembered.
    pub fn known(&self, of: &K) -> Option<Arc<V>> {
        self.held().known(of)
    }

    /// What is made of these parts: remembered, or made by somebody else who is waited for, or made now. `progress` is told how far the
    /// work is, from 0 to 1, and answers whether to go on; `None` when it does not.
    ///
    /// # Errors
    /// Those of the making; a failure is not remembered.
    pub fn made<E>(
        &self,
        of: &K,
        progress: &mut dyn FnMut(f32) -> bool,
        make: impl FnOnce(&mut dyn FnMut(f32) -> bool) -> Result<Option<V>, E>,
    ) -> Result<Option<Arc<V>>, E> {
        let making = match self.turn(of, || progress(0.0).then_some(()).ok_or(GivenUp)) {
            Ok(Turn::Known(made)) => return Ok(progress(1.0).then_some(made)),
            Ok(Turn::Ours(making)) => making,
            Err(GivenUp) => return Ok(None),
        };
        Ok(make(progress)?.map(|made| making.keep(made)))
    }

    /// The same for what cannot fail and is not given up.
    pub fn made_now(&self, of: &K, make: impl FnOnce() -> V) -> Arc<V> {
        let Ok(turn) = self.turn::<Infallible>(of, || Ok(()));
        match turn {
            Turn::Known(made) => made,
            Turn::Ours(making) => making.keep(make()),
        }
    }

    /// Waits as long as somebody else makes it. `go_on` is asked again and again meanwhile, and gives up by its error.
    fn turn<'a, E>(&'a self, of: &'a K, mut go_on: impl FnMut() -> Result<(), E>) -> Result<Turn<'a, K, V, KEPT>, E> {
        let mut held = self.held();
        loop {
            if let Some(made) = held.known(of) {
                return Ok(Turn::Known(made));
            }
            if !held.making.contains(of) {
                held.making.push(of.clone());
                return Ok(Turn::Ours(Making { all: self, of }));
            }
            drop(self.0.changed.wait_timeout(held, LOOK).unwrap_or_else(PoisonError::into_inner));
            // Who is asked may ask for something that is remembered here.
            go_on()?;
            held = self.held();
        }
    }
}

/// Whoever asked does not want it any more.
struct GivenUp;

/// What is found by who asks for something.
enum Turn<'a, K: PartialEq, V, const KEPT: usize> {
    /// It is there.
    Known(Arc<V>),
    /// It is for who asks to make it.
    Ours(Making<'a, K, V, KEPT>),
}

/// Something that is being made; whoever waits for it is woken when this goes, whichever way it goes.
struct Making<'a, K: PartialEq, V, const KEPT: usize> {
    all: &'a Remembered<K, V, KEPT>,
    of: &'a K,
}

impl<K: PartialEq + Clone, V, const KEPT: usize> Making<'_, K, V, KEPT> {
    /// Keeps what was made; those who wait for it have it then.
    fn keep(self, made: V) -> Arc<V> {
        let made = Arc::new(made);
        self.all.held().keep(self.of.clone(), Arc::clone(&made), self.all.0.room.load(Ordering::Relaxed));
        made
    }
}

impl<K: PartialEq, V, const KEPT: usize> Drop for Making<'_, K, V, KEPT> {
    fn drop(&mut self) {
        self.all.held().making.retain(|making| making != self.of);
        self.all.0.changed.notify_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::AtomicU32;

    const KEPT: usize = 12;
    type Made = Result<Option<u32>, Infallible>;

    #[test]
    fn the_same_is_made_once_and_what_was_given_up_is_made_again() {
        let squares: Remembered<u32, u32> = Remembered::default();
        let count = AtomicU32::new(0);
        let ask = |n: u32, go_on: bool| {
            let make = |progress: &mut dyn FnMut(f32) -> bool| -> Made {
                count.fetch_add(1, Ordering::Relaxed);
                Ok(progress(0.5).then_some(n * n))
            };
            squares.made(&n, &mut |_| go_on, make).unwrap_or_else(|never| match never {}).map(|made| *made)
        };
        assert_eq!((ask(3, false), ask(3, true), ask(3, true), ask(4, true)), (None, Some(9), Some(9), Some(16)));
        assert_eq!(count.load(Ordering::Relaxed), 3);
        (5..5 + KEPT as u32).for_each(|n| assert_eq!(ask(n, true), Some(n * n)));
        assert_eq!(squares.known(&3), None);
    }

    #[test]
    fn what_cannot_fail_is_made_once_too_by_whoever_asks_first() {
        let slow: Remembered<u32, u32, 2> = Remembered::default();
        let count = AtomicU32::new(0);
        let ask = |n: u32| {
            *slow.made_now(&n, || {
                count.fetch_add(1, Ordering::Relaxed);
                std::thread::sleep(LOOK);
                n + 1
            })
        };
        std::thread::scope(|s| (0..3).for_each(|_| drop(s.spawn(|| assert_eq!(ask(1), 2)))));
        assert_eq!((ask(1), ask(2), ask(3), count.load(Ordering::Relaxed)), (2, 3, 4, 3));
        assert!(slow.known(&1).is_none() && slow.known(&2).is_some());
    }

    #[test]
    fn who_asks_meanwhile_waits_for_the_same() {
        let slow: Remembered<u32, u32> = Remembered::default();
        let count = AtomicU32::new(0);
        let ask = || {
            let make = |_: &mut dyn FnMut(f32) -> bool| -> Made {
                count.fetch_add(1, Ordering::Relaxed);
                std::thread::sleep(3 * LOOK);
                Ok(Some(7))
            };
            slow.made(&1, &mut |_| true, make).unwrap_or_else(|never| match never {}).map(|made| *made)
        };
        std::thread::scope(|s| {
            let all: Vec<_> = (0..3).map(|_| s.spawn(ask)).collect();
            all.into_iter().for_each(|one| assert_eq!(one.join().ok().flatten(), Some(7)));
        });
        assert_eq!(count.load(Ordering::Relaxed), 1);
    }

    #[test]
    fn a_round_of_many_is_made_once() {
        let many: Remembered<u32, u32, 2> = Remembered::default();
        let mut made = 0;
        for n in (0..20).chain(0..20) {
            let _ = many.for_as_many(20).made_now(&n, || {
                made += 1;
                n
            });
        }
        assert_eq!(made, 20);
    }
}
