//! The window's clock, for measuring (`clock/` in the repository): where the variable names a file, every frame leaves a line there
//! with the time at which it began and how long our own part of it took, before anything is put on the screen.

use std::fs::File;
use std::io::Write as _;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// Names the file.
const VARIABLE: &str = "PLUGWRIGHT_CLOCK";

/// Writes down frames, or nothing.
#[derive(Debug, Default)]
pub(crate) struct Clock(Option<File>);

impl Clock {
    /// A clock, if one is asked for.
    pub(crate) fn find() -> Self {
        Self(std::env::var_os(VARIABLE).filter(|name| !name.is_empty()).and_then(|name| File::create(name).ok()))
    }

    /// One frame: microseconds since 1970 at which it began, microseconds of our own.
    pub(crate) fn frame(&mut self, began: SystemTime, took: Duration) {
        if let Some(file) = &mut self.0 {
            let began = began.duration_since(UNIX_EPOCH).unwrap_or_default();
            // What cannot be written is missing in the measurement.
            let _ = file.write_all(format!("{} {}\n", began.as_micros(), took.as_micros()).as_bytes());
        }
    }
}
