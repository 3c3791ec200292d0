//! From photographs to sections: what the document knows of its pictures goes to the libraries, and what they find comes back
//! with a name for everything. Pure functions of the document; lengths in mm at the model.

mod accepted;
mod begun;
mod camera;
mod depth;
mod fair;
mod gathered;
mod lines;
mod quarter;
mod read;
mod solved;
pub mod words;

pub use accepted::TakenUp;
pub use begun::{BeginFailure, Begun, EndKind, begin_form};
pub use camera::{CameraFailure, FoundCamera, camera};
pub use depth::{Depth, DepthFailure, DepthSource, Reading};
pub use fair::{FairFailure, FairFit, Faired, faired};
pub use gathered::{Breadth, LeftOut, SolveFailure, Used, WhyLeftOut};
pub use lines::{LineFailure, LinePlace, LineReading, read_line, read_line_through};
pub use read::{distance_names, figure, scale};
pub use solved::{HeightChange, Solved, StationChange, solve};
