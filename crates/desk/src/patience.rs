//! Locks that say who works on what.

use std::fs::{File, TryLockError};
use std::thread::sleep;
use std::time::Duration;

/// How often a lock that is taken is tried again, and the pause between.
const TRIES: u32 = 12;
const PAUSE: Duration = Duration::from_millis(8);

/// Takes a file's lock. A process that is just being started holds all locks of its parent for a moment, those too that the parent lets go
/// meanwhile; so one that is taken is tried again for a tenth of a second.
///
/// # Errors
/// Somebody else has it, or the file system knows no locks.
pub(crate) fn lock_patiently(file: &File) -> Result<(), TryLockError> {
    for _ in 1..TRIES {
        match file.try_lock() {
            Err(TryLockError::WouldBlock) => sleep(PAUSE),
            done => return done,
        }
    }
    file.try_lock()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::thread::spawn;
    use std::time::Instant;
    use tempfile::NamedTempFile;

    #[test]
    fn a_lock_that_is_let_go_soon_is_had_and_one_that_is_kept_is_not() {
        let file = NamedTempFile::new().unwrap();
        let (first, second) = (file.reopen().unwrap(), file.reopen().unwrap());
        first.try_lock().unwrap();
        assert!(matches!(lock_patiently(&second), Err(TryLockError::WouldBlock)));
        let begun = Instant::now();
        let letting_go = spawn(move || {
            sleep(3 * PAUSE);
            drop(first);
        });
        let had = lock_patiently(&second).is_ok();
        letting_go.join().unwrap();
        // A machine that slept through all tries has shown nothing.
        assert!(had || begun.elapsed() > TRIES * PAUSE);
    }
}
