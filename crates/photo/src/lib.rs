//! A picture made true: decoding and the pinhole camera.
//!
//! Picture coordinates are pixels from the upper left corner, x right and y down, so the middle of the first pixel is
//! (0.5, 0.5). How a picture is set to scale and levelled stands with the document, which keeps it.

pub mod camera;
mod chi_squared;
pub mod decode;
pub mod lens;
pub mod picture_camera;
pub mod resection;

pub use camera::Camera;
pub use decode::{Photo, PhotoError, decode, size};
pub use lens::Lens;
pub use picture_camera::PictureCamera;
pub use resection::{Landmark, Resection, ResectionError, resect};
