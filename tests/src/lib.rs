//! What the tests share: reference values read from `vectors/`, and forms made from tables of points.
#![allow(clippy::panic)] // this crate is tests only, and tests may stop at the first surprise

pub mod tables;
pub mod vectors;
