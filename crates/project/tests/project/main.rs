//! What the project crate promises: edits, history, the file and the table of offsets.

mod bad_files;
mod documents;
mod edits;
mod history;
mod round_trip;
mod schema;
mod tables;
