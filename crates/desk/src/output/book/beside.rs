//! Work beside that of the book, on whatever cores there are.

use std::panic::resume_unwind;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread::{JoinHandle, spawn};
use std::time::Duration;

/// So long somebody who waits goes on waiting before looking whether it is still wanted.
const LOOK: Duration = Duration::from_millis(20);

/// Whether the book is still wanted; it is no more once this is gone.
pub(super) struct Wanted(Arc<AtomicBool>);

impl Wanted {
    pub(super) fn new() -> Self {
        Self(Arc::new(AtomicBool::new(true)))
    }

    /// The same as those ask who work beside.
    pub(super) fn asked(&self) -> impl Fn() -> bool + Send + Sync + use<> {
        let wanted = Arc::clone(&self.0);
        move || wanted.load(Ordering::Relaxed)
    }
}

impl Drop for Wanted {
    fn drop(&mut self) {
        self.0.store(false, Ordering::Relaxed);
    }
}

/// Something that is made beside. It is not waited for where nobody asks for it: a book that is given up ends at once, and what is
/// still under way ends by itself.
pub(super) struct Beside<T> {
    thread: JoinHandle<()>,
    made: Receiver<T>,
}

impl<T: Send + 'static> Beside<T> {
    pub(super) fn begin(make: impl FnOnce() -> T + Send + 'static) -> Self {
        let (give, made) = channel();
        // Nobody takes what was made for a book that was given up.
        Self { thread: spawn(move || drop(give.send(make()))), made }
    }

    /// What was made; `None` if `go_on` says no before it is. A mistake in the making is told as if it had been made here.
    pub(super) fn awaited(self, mut go_on: impl FnMut() -> bool) -> Option<T> {
        loop {
            match self.made.recv_timeout(LOOK) {
                Ok(made) => return Some(made),
                Err(RecvTimeoutError::Timeout) if go_on() => {}
                Err(RecvTimeoutError::Timeout) => return None,
                Err(RecvTimeoutError::Disconnected) => match self.thread.join() {
                    Err(mistake) => resume_unwind(mistake),
                    Ok(()) => return None,
                },
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Instant;

    #[test]
    fn what_is_given_up_is_not_waited_for() {
        let slow = || {
            Beside::begin(|| {
                std::thread::sleep(Duration::from_secs(3));
                7
            })
        };
        let begun = Instant::now();
        assert_eq!(slow().awaited(|| false), None);
        assert!(begun.elapsed() < Duration::from_secs(2), "{:?}", begun.elapsed());
        assert_eq!(slow().awaited(|| true), Some(7));
    }

    #[test]
    fn those_beside_see_that_the_book_is_given_up_and_mistakes_are_told() {
        let wanted = Wanted::new();
        let asked = wanted.asked();
        assert!(asked());
        drop(wanted);
        assert!(!asked());
        let wrong = Beside::<u8>::begin(|| std::panic::panic_any("a mistake"));
        let told = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| wrong.awaited(|| true)));
        assert!(told.is_err());
    }
}
