//! From photographs to sections: what the document knows of its pictures goes to the libraries, and what they find comes back
//! with a name for everything. Pure functions of the document; lengths in mm at the model.

mod accepted;
mod camera;
mod gathered;
mod quarter;
mod read;
mod solved;

pub use accepted::TakenUp;
pub use camera::{CameraFailure, FoundCamera, camera};
pub use gathered::{Breadth, LeftOut, SolveFailure, Used, WhyLeftOut};
pub use read::{distance_names, figure, scale};
pub use solved::{HeightChange, Solved, StationChange, solve};
