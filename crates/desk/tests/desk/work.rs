//! Work beside the drawing.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::channel;
use std::sync::{Arc, Barrier};

use desk::{Outcome, Progress, Wake, Work};

/// A wake call that can be waited for.
fn bell() -> (Wake, std::sync::mpsc::Receiver<()>) {
    let (sender, receiver) = channel();
    (Arc::new(move || sender.send(()).unwrap_or_default()), receiver)
}

/// What comes next, waiting for it.
fn result<T: Send + 'static>(work: &mut Work<u32, T>, rung: &std::sync::mpsc::Receiver<()>) -> (u32, Outcome<T>) {
    loop {
        rung.recv().unwrap();
        if let Some(result) = work.poll() {
            return result;
        }
    }
}

#[test]
fn a_result_comes_once_and_wakes() {
    let (wake, rung) = bell();
    let mut work = Work::new(wake);
    work.want(7, |_| 6 * 7);
    assert_eq!(result(&mut work, &rung), (7, Outcome::Done(42)));
    assert_eq!(work.poll(), None);
    assert_eq!(work.progress(), None);
}

#[test]
fn the_same_is_not_done_twice() {
    let (wake, rung) = bell();
    let count = Arc::new(AtomicUsize::new(0));
    let mut work = Work::new(wake);
    let job = |count: &Arc<AtomicUsize>| {
        let count = Arc::clone(count);
        move |_: &Progress| count.fetch_add(1, Ordering::SeqCst)
    };
    work.want(1, job(&count));
    work.want(1, job(&count));
    result(&mut work, &rung);
    work.want(1, job(&count));
    work.want(2, job(&count));
    assert_eq!(result(&mut work, &rung), (2, Outcome::Done(1)));
}

#[test]
fn a_result_that_is_no_longer_wanted_is_dropped() {
    let (wake, rung) = bell();
    let started = Arc::new(Barrier::new(2));
    let mut work = Work::new(wake);
    let begun = Arc::clone(&started);
    work.want(1, move |progress| {
        begun.wait();
        while !progress.is_cancelled() {
            std::thread::yield_now();
        }
        "old"
    });
    started.wait();
    work.want(2, |_| "new");
    assert_eq!(result(&mut work, &rung), (2, Outcome::Done("new")));
    assert_eq!(work.poll(), None);
}

#[test]
fn progress_is_told_and_wakes() {
    let (wake, rung) = bell();
    let meet = Arc::new(Barrier::new(2));
    let mut work = Work::new(wake);
    let other = Arc::clone(&meet);
    work.want(1, move |progress| {
        progress.tell(0.25);
        other.wait();
        other.wait();
    });
    rung.recv().unwrap();
    meet.wait();
    assert_eq!(work.progress(), Some(0.25));
    meet.wait();
    assert_eq!(result(&mut work, &rung), (1, Outcome::Done(())));
}

#[test]
fn cancelled_work_can_be_asked_for_again() {
    let (wake, rung) = bell();
    let mut work = Work::new(wake);
    work.want(1, |_| 1);
    work.cancel();
    assert_eq!(work.progress(), None);
    work.want(1, |_| 2);
    assert_eq!(result(&mut work, &rung), (1, Outcome::Done(2)));
}

#[test]
fn a_mistake_in_the_work_is_survived() {
    let (wake, rung) = bell();
    let mut work = Work::new(wake);
    work.want(1, |_| -> u32 { panic!("a mistake, on purpose") });
    let (_, outcome) = result(&mut work, &rung);
    assert!(matches!(outcome, Outcome::Broke(message) if message.contains("mistake in the program")));
    work.want(2, |_| 5);
    assert_eq!(result(&mut work, &rung), (2, Outcome::Done(5)));
}
