//! What the project crate promises: edits, history, the file and the table of offsets.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests may stop at the first surprise, as tests do")]

mod airframes;
mod bad_files;
mod builds;
mod documents;
mod edits;
mod history;
mod openings;
mod photographs;
mod round_trip;
mod schema;
mod shells;
mod tables;
mod totals;
