//! Openings in the surface: outlines drawn in a view, met with the form along the line of sight.

pub mod outline;

pub use outline::{CurvePlace, OutlineCurve, OutlineError, mirror_image};
