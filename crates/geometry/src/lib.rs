//! Curves, half-profiles, the loft, sections, offset, areas, volume and mesh, in millimetres.
//!
//! Axes: x aft from the datum, y to starboard, z up. A form is symmetric about the centre plane y = 0; everything here
//! describes its starboard half unless it says otherwise.
//!
//! ```text
//!          z ^   crown
//!            | .-'''''-.
//!            |           \
//!            |            |  breadth
//!            |           /
//!            | '-.....-'
//!            |   keel
//!            +----------------> y (starboard)
//! ```
//!
//! This crate knows no document, file, picture or window.

pub mod mesh;
