//! From the document to the finished skin.
//!
//! A half-drawn form is normal: [`loft`] gives as much as can be made, and findings for the rest.

mod check;
mod finding;
pub mod front;
mod landmark;
mod lines;
pub mod meeting;
pub mod openings;
mod plug_surface;
mod sections;
pub mod seen;
pub mod shaft;
mod skin;
pub mod space;

pub use check::{check, check_anew};
pub use finding::{Finding, Mend, Part, Place, Quantity, Severity};
pub use landmark::landmark_place;
pub use lines::line;
pub use plug_surface::PlugSurface;
pub use sections::{SectionProblem, control_shape, shaped_curve};
pub use skin::{FinishedSkin, Lofted, UnitMemory, loft, loft_remembering};
