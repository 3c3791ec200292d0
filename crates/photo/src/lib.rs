//! A picture made true: what a photograph shows, read in millimetres, with the error to expect.
//!
//! | for | ask |
//! |---|---|
//! | pixels the right way up, what the camera wrote | [`decode`](mod@decode), [`shot`](mod@shot) |
//! | a plane with a known flat figure in it | [`rectification`] |
//! | the picture of it drawn square and to scale | [`redraw`] |
//! | a side picture read at its depth | [`depth`] |
//! | scale from several known distances | [`known_distances`] |
//! | a lens that bends straight lines | [`lens`], [`plumb_line`] |
//! | pose and focal length from known points | [`resection`] |
//! | pixels of points, and their derivatives | [`picture_camera`] |
//! | an edge followed, a pick drawn to an edge | [`following`] |
//!
//! Picture coordinates are pixels from the upper left corner, x right and y down, so the middle of the first pixel is
//! (0.5, 0.5). How a picture is set to scale and levelled stands with the document, which keeps it.

pub mod camera;
mod chi_squared;
pub mod decode;
pub mod depth;
pub mod following;
pub mod homography;
pub mod known_distances;
pub mod lens;
pub mod picture_camera;
pub mod plumb_line;
pub mod rectification;
pub mod redraw;
pub mod resection;
pub mod shot;

pub use camera::Camera;
pub use decode::{Photo, PhotoError, check, decode, size};
pub use depth::{Plane, SideView, read_on_plane};
pub use following::{EdgePoint, Followed, Following, follow, snap};
pub use homography::Homography;
pub use known_distances::{KnownDistance, picture_scale};
pub use lens::Lens;
pub use picture_camera::PictureCamera;
pub use plumb_line::lens_from_lines;
pub use rectification::{Mark, Rectification, rectify};
pub use resection::{Landmark, Resection, ResectionError, resect};
pub use shot::{Shot, shot};
