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
//! Traced points become a line by [`faired::fair`].
//!
//! This crate knows no document, file, picture or window. From points to numbers: [`line::Line`] and
//! [`control::ControlShape`] (by [`shaped::ShapedCurve`] or [`measured::MeasuredCurve`]) make a [`loft::Loft`]; a loft gives
//! [`section::Section`]s, [`body::BodyMeasures`], cuts, offsets and a [`mesh::Mesh`].

pub mod arc;
pub mod body;
pub mod chain;
pub mod conic;
pub mod control;
pub mod control_line;
pub mod correspondence;
pub mod crossing;
pub mod cuts;
mod edge;
pub mod faired;
pub mod flatten;
mod joints;
pub mod level;
pub mod line;
pub mod loft;
pub mod measured;
pub mod mesh;
pub mod mesh_hole;
mod mesh_trim;
pub mod oblique;
pub mod offset;
mod piece;
pub mod quadrature;
mod roots;
pub mod section;
pub mod shaped;
pub mod spline;
mod strands;
pub mod superellipse;
pub mod unit;
pub mod unrolled;
pub mod weave;
mod window;
