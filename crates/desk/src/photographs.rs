//! From photographs to sections: what the document knows of its pictures goes to the libraries, and what they find comes back
//! with a name for everything. Pure functions of the document; lengths in mm at the model.

mod camera;

pub use camera::{CameraFailure, FoundCamera, camera};
