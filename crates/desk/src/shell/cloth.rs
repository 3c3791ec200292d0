//! Cloth on the plug, or in the mould: how every whole ply of the laminate lies, whether one piece of it can, which slits help if not,
//! and what is cut from the roll.
//!
//! ```text
//!   document + loft --> SurfaceSource --Surfaces--> ClothSurface   (remembered: a drag of the start does not read it anew)
//!                          plies_to_lay --> drape_ply              (one ply: quick enough for a drag)
//!                                       --> cloth_plan             (all plies, slits, patterns, roll; beside the window's thread)
//!                                       --> proposals              (search; beside the window's thread)
//! ```

mod findings;
mod gap;
mod halves;
mod heat;
mod place;
mod plan;
mod ply;
mod proposals;
mod roll;
mod sheet;
mod surface;

pub use findings::findings;
pub use gap::GapOnForm;
pub use heat::{HeatCell, Level, OVERLAP, flat_heat, heat, heat_colour, yarns};
pub use place::{PlaceOnForm, Side};
pub use plan::{ClothPlan, NamedNotch, PlyPlan, Slit, cloth_plan};
pub use ply::{
    Draped, Half, PlyToLay, WrinkleOnForm, drape_ply, lay_of, plies_to_lay, resolved_start, start_at, start_of,
};
pub use proposals::{Proposal, proposals};
pub use roll::{Laid, RollPlan, roll_plans};
pub use sheet::{WrappedSheet, wrapped_sheet};
pub use surface::{ClothSurface, SurfaceSource, Surfaces};

use crate::output::NotLofted;
use shell::drape::{DrapeError, OutsideError};

/// Why cloth cannot be laid.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ClothFailure {
    /// There is no such form.
    #[error("There is no form {0} to lay cloth on.")]
    NoForm(usize),
    /// The form cannot be lofted yet.
    #[error(transparent)]
    NotLofted(#[from] NotLofted),
    /// Nothing is left of the form once its coat is off.
    #[error("No cloth can be laid: {0}.")]
    Outside(#[from] OutsideError),
    /// The start is off the form.
    #[error(
        "The cloth starts at station {station:.1} mm, but the form runs from {low:.1} to {high:.1} mm. Move the start onto the form."
    )]
    Start {
        /// Where it starts.
        station: f64,
        /// First station of the form.
        low: f64,
        /// Last station of the form.
        high: f64,
    },
    /// The net cannot begin.
    #[error("No cloth can be laid: {0}.")]
    Drape(#[from] DrapeError),
    /// A sheet is asked for between stations that are none.
    #[error(
        "A wrapped sheet needs two stations on the form, the first ahead of the second; the form runs from {low:.1} to {high:.1} mm."
    )]
    Sheet {
        /// First station of the form.
        low: f64,
        /// Last station of the form.
        high: f64,
    },
}
