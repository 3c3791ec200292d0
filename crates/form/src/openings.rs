//! Openings in the surface: outlines drawn in a view, met with the form along the line of sight.
//!
//! [`Target`] is a form to be met; [`Hole::cut`] gives an opening's edge on it, [`Hole::areas`] its areas, [`Hole::passage`] the wall
//! of its duct.

pub mod areas;
pub mod duct;
pub mod findings;
pub mod hole;
pub mod outline;
pub mod target;

pub use areas::Areas;
pub use duct::{CutPlane, Lip, Narrowest, Passage, Strip, Wall};
pub use findings::findings;
pub use hole::{Hole, HolePlace, Missed, Run, Why, holes};
pub use outline::{CurvePlace, OutlineCurve, OutlineError, mirror_image};
pub use target::{Sheet, SkinPlace, Target};
