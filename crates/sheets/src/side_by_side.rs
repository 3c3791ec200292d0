//! Independent work on all cores.

use std::sync::{Mutex, PoisonError};

/// Work that gives a `T`, for any core.
pub type Task<'a, T> = Box<dyn FnOnce() -> T + Send + 'a>;

/// Does all tasks, on as many cores as there are, and gives what they give in their order: how many cores there are, and which is done
/// first, makes no difference to it. Tasks are begun in their order, so long ones belong first. A task may do others side by side again.
pub fn side_by_side<'a, T: Send>(tasks: impl IntoIterator<Item = Task<'a, T>>) -> Vec<T> {
    let tasks: Vec<Task<'a, T>> = tasks.into_iter().collect();
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let helpers = cores.min(tasks.len()).saturating_sub(1);
    if helpers == 0 {
        return tasks.into_iter().map(|task| task()).collect();
    }
    let left = Mutex::new(tasks.into_iter().enumerate());
    let work = || {
        let next = || left.lock().unwrap_or_else(PoisonError::into_inner).next();
        std::iter::from_fn(next).map(|(i, task)| (i, task())).collect::<Vec<_>>()
    };
    let mut made = std::thread::scope(|scope| {
        let others: Vec<_> = (0..helpers).map(|_| scope.spawn(work)).collect();
        let mut made = work();
        for other in others {
            match other.join() {
                Ok(theirs) => made.extend(theirs),
                // Whoever asked for the work is told of the mistake as if it had been made there.
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        made
    });
    made.sort_by_key(|(i, _)| *i);
    made.into_iter().map(|(_, made)| made).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_out_is_in_order_however_long_each_takes() {
        let tasks = (0..20_u64).map(|i| {
            let task: Task<'_, u64> = Box::new(move || {
                std::thread::sleep(std::time::Duration::from_millis((20 - i) % 7));
                i * i
            });
            task
        });
        assert_eq!(side_by_side(tasks), (0..20).map(|i| i * i).collect::<Vec<u64>>());
        assert!(side_by_side::<u8>([]).is_empty());
    }

    #[test]
    fn a_mistake_in_one_is_told() {
        let tasks = (0..4).map(|i| {
            let task: Task<'_, ()> = Box::new(move || assert!(i != 3, "three"));
            task
        });
        let tasks: Vec<_> = tasks.collect();
        assert!(std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| side_by_side(tasks))).is_err());
    }
}
