//! Mass, centre and moments of inertia of the shell and of what belongs to it, each in its range.
//!
//! ```text
//!   ShellSurface --- ShellLayers ---.
//!   schedule --------'              |--- MassProperties::of --- balance
//!   ring, screws, added parts ------'
//! ```
//!
//! The shell is integrated over the true lofted surface, layer by layer at its own depth; no mesh is asked.

mod beside;
mod body;
mod face;
mod shell;
pub(crate) mod surface;

pub use body::{MassProperties, Part, Tensor, ring_part};
pub use shell::{CutOut, ShellLayers, plug_volume};
pub use surface::{Element, ShellSurface};

use crate::laminate::LaminateError;

/// Why there is no mass to give.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MassError {
    /// The schedule.
    #[error(transparent)]
    Laminate(#[from] LaminateError),
    /// A part's ranges are out of order, negative, or no numbers.
    #[error(
        "part \"{name}\": its mass or its place is no range; give the least, the likely and the greatest value in this order"
    )]
    Part {
        /// Its name.
        name: String,
    },
    /// No mass at all.
    #[error("all parts together weigh nothing; enter at least one mass")]
    NoMass,
    /// A hole that is none.
    #[error("hole \"{name}\": its area must be 0 or more, in mm², and its middle a place")]
    CutOut {
        /// Its name.
        name: String,
    },
    /// More is cut out than there is.
    #[error("the holes take away {cut:.0} mm² of the {skin:.0} mm² that there are; check their areas")]
    AllCut {
        /// Area of all holes, mm².
        cut: f64,
        /// Area of the shell, mm².
        skin: f64,
    },
    /// More is taken off the aircraft than it weighs.
    #[error("the aircraft without \"{part}\" would weigh nothing or less; weigh both again")]
    TakenOff {
        /// What is taken off.
        part: String,
    },
}
