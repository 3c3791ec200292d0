//! What the tests share: reference values read from `vectors/`, forms made from tables of points, and random forms.
#![allow(clippy::panic)] // this crate is tests only, and tests may stop at the first surprise

pub mod documents;
pub mod forms;
pub mod pictures;
pub mod tables;
pub mod vectors;
