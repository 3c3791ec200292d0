//! What the builder has decided of the shell: its laminate, how cloth is laid, how it comes off, and what it is weighed against.
//!
//! Lengths in mm at the model, masses in grams, angles in degrees.

use crate::build::Coat;
use crate::laminate::{Schedule, Span};

/// The shell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shell {
    /// Plies, resin, filler and paint.
    pub laminate: Schedule,
    /// The thickness of the laminate is what the plug is made smaller by: [`crate::build::Build::coat`] follows the schedule.
    pub feeds_coat: bool,
    /// How cloth is laid over the plug.
    pub draping: Draping,
    /// What the shell must come off by.
    pub release: Release,
    /// What it is weighed against.
    pub weights: Weights,
    /// Outlet area is to be between these times the intake area: the lower is warned of. A rule of thumb (common practice, no
    /// source): measure the temperature.
    pub air_ratio: AirRatio,
}

impl Shell {
    /// What is taken off the plug, where the laminate feeds it; `None` where it is given by hand or there is no laminate yet.
    pub fn coat(&self) -> Option<Coat> {
        let thickness = self.feeds_coat.then(|| self.laminate.thickness().ok()).flatten()?;
        Some(thickness.coat())
    }
}

/// Rule of thumb for the area of outlets to that of intakes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirRatio {
    /// Below this there is a warning.
    pub least: f64,
    /// What is aimed for, from and to.
    pub aim: [f64; 2],
}

impl Default for AirRatio {
    fn default() -> Self {
        Self { least: 1.5, aim: [2.0, 3.0] }
    }
}

/// How cloth is laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draping {
    /// Where the first yarns cross: station, and share of a turn from the crown to starboard (0.5 the keel, 0.75 port); `None` for
    /// the crown at the middle of the shell's length.
    pub start: Option<[f64; 2]>,
    /// Side of the cells of the net; `None` for one that follows the form's size and curvature.
    pub cell: Option<f64>,
    /// Cloth beyond the trim at the front and at the rear.
    pub allowance: [f64; 2],
    /// The shell is closed over the front: cloth goes around it.
    pub closed_front: bool,
    /// The shell is closed over the rear.
    pub closed_rear: bool,
    /// By how much edges of cloth overlap at seams, slits and gores.
    pub overlap: f64,
    /// By how much the seams of one ply lie aside from those of the last.
    pub stagger: f64,
    /// Slits and gores are cut where one piece cannot go round.
    pub slits: bool,
}

impl Default for Draping {
    fn default() -> Self {
        Self {
            start: None,
            cell: None,
            allowance: [10.0, 10.0],
            closed_front: false,
            closed_rear: false,
            overlap: 15.0,
            stagger: 25.0,
            slits: true,
        }
    }
}

/// What the shell must come off by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Release {
    /// The way the shell goes; `None` for that of [`crate::airframe::Airframe::draw_off`].
    pub way: Option<[f64; 3]>,
    /// Draft below which a place is tight.
    pub draft_deg: f64,
    /// By how much the shell may be sprung over the plug.
    pub spring: f64,
    /// Along which the shell or its mould is split.
    pub parting: Parting,
}

impl Default for Release {
    fn default() -> Self {
        Self { way: None, draft_deg: 1.0, spring: 0.2, parting: Parting::default() }
    }
}

/// Where a shell or its mould is split in two.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Parting {
    /// Nowhere: it is in one piece.
    #[default]
    Whole,
    /// Along the line of greatest breadth, into an upper and a lower half.
    BreadthLine,
    /// In the centre plane, into two sides.
    CentrePlane,
    /// Across at a station, into a front and a rear part.
    Across(f64),
}

/// What the shell is weighed against.
#[derive(Clone, Debug, PartialEq)]
pub struct Weights {
    /// The aircraft as it stands, ready to fly, with its centre of gravity; `None` while it has not been weighed.
    pub aircraft: Option<Weighed>,
    /// The part that the shell replaces; `None` if it is only added.
    pub replaces: Option<Weighed>,
    /// Other parts that come on with the shell.
    pub parts: Vec<Weighed>,
    /// Mass of one screw with its anchor.
    pub screw: Span,
    /// Density of the ring plate, g/cm³; plywood to begin with (from memory: birch plywood some 0.68).
    pub ring_density: f64,
    /// Opening of the ring as a share of its diameter.
    pub ring_bore: f64,
    /// Station that the centre of gravity is to have; `None` for that before.
    pub wanted: Option<f64>,
    /// How far it may lie from there.
    pub allowed: f64,
    /// Where ballast could go.
    pub ballast: Vec<BallastPlace>,
}

impl Default for Weights {
    fn default() -> Self {
        Self {
            aircraft: None,
            replaces: None,
            parts: Vec::new(),
            screw: Span::exact(0.0),
            ring_density: 0.68,
            ring_bore: 0.7,
            wanted: None,
            allowed: 2.0,
            ballast: Vec::new(),
        }
    }
}

/// Something that has been weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// What it is.
    pub name: String,
    /// Its mass.
    pub mass: Span,
    /// Its centre.
    pub centre: [f64; 3],
    /// How far its centre may be off, each way.
    pub within: f64,
}

/// Where ballast could go.
#[derive(Clone, Debug, PartialEq)]
pub struct BallastPlace {
    /// What the builder calls it.
    pub name: String,
    /// Foremost and rearmost station of its middle.
    pub stations: [f64; 2],
}
