//! When to write. Knows no clock: it is told the time.

use std::time::{Duration, Instant};

/// Unsaved work is written this long after the first edit that is not. With the time that writing takes, it stays well
/// within ten seconds.
pub const DELAY: Duration = Duration::from_secs(5);

/// Since when there has been something to write.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Schedule {
    waiting_since: Option<Instant>,
}

impl Schedule {
    /// There is something to write. Later edits do not put it off.
    pub fn edited(&mut self, now: Instant) {
        self.waiting_since.get_or_insert(now);
    }

    /// All is written.
    pub fn written(&mut self) {
        self.waiting_since = None;
    }

    /// Whether to write now.
    pub fn due(&self, now: Instant) -> bool {
        self.wait(now).is_some_and(|wait| wait.is_zero())
    }

    /// How long to wait before writing; `None` if there is nothing to write.
    pub fn wait(&self, now: Instant) -> Option<Duration> {
        self.waiting_since.map(|since| (since + DELAY).saturating_duration_since(now))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_edit_counts_however_many_follow() {
        let start = Instant::now();
        let at = |seconds| start + Duration::from_secs(seconds);
        let mut schedule = Schedule::default();
        assert!(!schedule.due(at(0)) && schedule.wait(at(0)).is_none());
        schedule.edited(at(1));
        schedule.edited(at(5));
        assert!(!schedule.due(at(5)));
        assert_eq!(schedule.wait(at(5)), Some(Duration::from_secs(1)));
        assert!(schedule.due(at(6)) && schedule.due(at(60)));
        schedule.written();
        assert!(!schedule.due(at(60)));
    }
}
