//! From the plug's surface to what is cut and glued: stack, formers, half-laps, foam blocks, gauges to sand by.
//!
//! Everything is a pure function of the finished skin, the build and the airframe, in mm at the model; nothing here draws.
//! Cross planes are seen with y to starboard and z up, the centre plane with x aft and z up, waterlines with x aft and y to
//! starboard. [`plan()`] makes all of it; [`propose`] says where formers are wanted.

mod bevel;
mod breadth;
mod centre;
mod cut_outs;
mod difference;
mod finding;
mod foam;
mod formers;
mod front;
mod holes;
mod lightening;
mod nesting;
mod openings;
mod order;
mod plan;
mod region;
mod sanding;
mod slots;
mod spacing;
mod stack;
mod surface;
mod thrust;
mod wire;

pub use bevel::{Bevel, Face};
pub use breadth::BreadthHalf;
pub use centre::Centre;
pub use difference::Difference;
pub use foam::{Block, BoardPlan, Level, Mass, Side};
pub use formers::Former;
pub use front::{ClockPoint, RingFront};
pub use nesting::{Cut, Nesting, Piece, Placed, Stock, nest};
pub use openings::{CutOut, EdgeTick, OpeningOnPlug, openings_on_plug};
pub use order::{Step, Way};
pub use plan::{Plan, plan, plan_with};
pub use region::{Point, Region, Span};
pub use sanding::{ALLOWED_DEVIATION, CaliperRow, CentreLine, Deviation, Gauges, LineTemplate, OutsideTemplate};
pub use slots::{HalfLap, Joining, Joint, Template};
pub use spacing::{BaySagitta, LEAST_PITCH, Proposal, present, propose};
pub use stack::{Layer, LayerKind, Ledger, ledger};
pub use thrust::Shaft;
pub use wire::WirePath;
