//! The binary as a builder or a script meets it: every command, its answers, its files and its exit codes.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // tests may stop at the first surprise

mod added;
mod bad_corpus;
mod bad_projects;
mod bad_tables;
mod book;
mod camera;
mod check;
mod cloth;
mod folder;
#[cfg(unix)]
mod full_disk;
mod mass;
mod measure;
mod mesh;
mod no_display;
mod offsets;
mod openings;
mod picture;
mod read_back;
mod readme;
mod release;
mod safety;
mod sheets;
mod solve;
mod stack;
mod tables;
mod usage;
