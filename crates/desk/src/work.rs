//! Long work beside the drawing: one thread, progress, cancelling, and results that come too late are dropped.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::{Builder, JoinHandle};

/// Called when there is something new to see; the editor asks for a repaint here.
pub type Wake = Arc<dyn Fn() + Send + Sync>;

/// Progress is told in steps of this share.
const STEPS: f32 = 100.0;

const NO_THREAD: &str = "The system is short of memory: close something and try again.";

/// One kind of long work, such as laying out pages. `F` is what a result depends on.
pub struct Work<F, T> {
    shared: Arc<Shared<T>>,
    thread: Option<JoinHandle<()>>,
    wanted: Option<Wanted<F>>,
    count: u64,
    wake: Wake,
}

/// What was asked for last.
struct Wanted<F> {
    fingerprint: F,
    number: u64,
    progress: Arc<Progress>,
    done: bool,
}

/// How a piece of work ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome<T> {
    /// Here is what it made.
    Done(T),
    /// It stopped by a mistake in the program; the message is for the builder.
    Broke(String),
}

/// How far a piece of work is, told by the work itself.
pub struct Progress {
    share: AtomicU32,
    cancelled: AtomicBool,
    wake: Wake,
}

impl Progress {
    fn new(wake: &Wake) -> Self {
        Self { share: AtomicU32::new(0), cancelled: AtomicBool::new(false), wake: Arc::clone(wake) }
    }

    /// Tells how far the work is, from 0 to 1.
    pub fn tell(&self, share: f32) {
        let step = (share.clamp(0.0, 1.0) * STEPS) as u32;
        if self.share.swap(step, Ordering::Relaxed) != step {
            (self.wake)();
        }
    }

    /// Whether nobody wants the result any more; the work should then return soon, with anything.
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }

    /// From 0 to 1.
    fn share(&self) -> f32 {
        self.share.load(Ordering::Relaxed) as f32 / STEPS
    }
}

struct Shared<T> {
    slots: Mutex<Slots<T>>,
    called: Condvar,
}

struct Slots<T> {
    next: Option<Job<T>>,
    result: Option<(u64, Outcome<T>)>,
    stop: bool,
}

struct Job<T> {
    number: u64,
    progress: Arc<Progress>,
    run: Box<dyn FnOnce(&Progress) -> T + Send>,
}

impl<T> Shared<T> {
    /// A job that panics is caught, so a poisoned lock still holds good slots.
    fn slots(&self) -> MutexGuard<'_, Slots<T>> {
        self.slots.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl<F: PartialEq + Clone, T: Send + 'static> Work<F, T> {
    /// Nothing to do yet; the thread starts with the first job.
    pub fn new(wake: Wake) -> Self {
        let slots = Slots { next: None, result: None, stop: false };
        let shared = Arc::new(Shared { slots: Mutex::new(slots), called: Condvar::new() });
        Self { shared, thread: None, wanted: None, count: 0, wake }
    }

    /// Asks for a result. If the same was asked for last, nothing happens; otherwise what runs is cancelled and its result
    /// dropped.
    pub fn want(&mut self, fingerprint: F, run: impl FnOnce(&Progress) -> T + Send + 'static) {
        if self.wanted.as_ref().is_some_and(|wanted| wanted.fingerprint == fingerprint) {
            return;
        }
        self.cancel();
        self.count += 1;
        let (number, progress) = (self.count, Arc::new(Progress::new(&self.wake)));
        self.wanted = Some(Wanted { fingerprint, number, progress: Arc::clone(&progress), done: false });
        self.shared.slots().next = Some(Job { number, progress, run: Box::new(run) });
        self.shared.called.notify_one();
        if self.thread.is_none() {
            self.thread = self.start();
        }
        if self.thread.is_none() {
            self.shared.slots().result = Some((number, Outcome::Broke(NO_THREAD.into())));
        }
    }

    fn start(&self) -> Option<JoinHandle<()>> {
        let (shared, wake) = (Arc::clone(&self.shared), Arc::clone(&self.wake));
        Builder::new().name("work".into()).spawn(move || run_jobs(&shared, &wake)).ok()
    }

    /// The result of what is wanted, once, as soon as it is there.
    pub fn poll(&mut self) -> Option<(F, Outcome<T>)> {
        let (number, outcome) = self.shared.slots().result.take()?;
        let wanted = self.wanted.as_mut().filter(|wanted| wanted.number == number)?;
        wanted.done = true;
        Some((wanted.fingerprint.clone(), outcome))
    }

    /// How far the work is, from 0 to 1; `None` if nothing is under way.
    pub fn progress(&self) -> Option<f32> {
        self.wanted.as_ref().filter(|wanted| !wanted.done).map(|wanted| wanted.progress.share())
    }

    /// Gives up what is under way. Asking for the same again starts anew.
    pub fn cancel(&mut self) {
        if let Some(wanted) = self.wanted.take() {
            wanted.progress.cancelled.store(true, Ordering::Relaxed);
        }
        self.shared.slots().next = None;
    }
}

impl<F, T> Drop for Work<F, T> {
    /// Does not wait for work that takes no notice of being cancelled.
    fn drop(&mut self) {
        if let Some(wanted) = &self.wanted {
            wanted.progress.cancelled.store(true, Ordering::Relaxed);
        }
        self.shared.slots().stop = true;
        self.shared.called.notify_one();
    }
}

fn run_jobs<T>(shared: &Shared<T>, wake: &Wake) {
    while let Some(Job { number, progress, run }) = next_job(shared) {
        let outcome = match catch_unwind(AssertUnwindSafe(|| run(&progress))) {
            Ok(made) => Outcome::Done(made),
            Err(_) => Outcome::Broke("This calculation stopped by a mistake in the program. Please report it.".into()),
        };
        if !progress.is_cancelled() {
            shared.slots().result = Some((number, outcome));
            wake();
        }
    }
}

/// Waits for a job; `None` when it is time to stop.
fn next_job<T>(shared: &Shared<T>) -> Option<Job<T>> {
    let mut slots = shared.slots();
    loop {
        if slots.stop {
            return None;
        }
        if let Some(job) = slots.next.take() {
            return Some(job);
        }
        slots = shared.called.wait(slots).unwrap_or_else(PoisonError::into_inner);
    }
}
