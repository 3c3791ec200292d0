//! What the tests share: reference values read from `vectors/`, and forms made from tables of points.

pub mod tables;
pub mod vectors;
