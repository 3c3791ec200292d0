//! The shaded view: a z-buffer rasteriser on the CPU.
//!
//! A [`Body`] is a triangle mesh with its normals; [`render`] draws bodies and lines through a [`Camera`] into a
//! [`Picture`]. The picture is the same, byte for byte, from run to run and for any number of threads, on machines with
//! poor graphics drivers and without a display.
//!
//! Two steps: first each pixel finds the triangle nearest to the eye, then only what is seen is lit. Lengths are mm in
//! the project's axes (x aft, y to starboard, z up). Picture coordinates are pixels from the upper left corner, x right
//! and y down, so the middle of the first pixel is (0.5, 0.5).
//!
//! ```
//! use shade::{Body, Normals, Orbit, Scene, Settings, Studio, Surface};
//!
//! let mesh = geometry::mesh::Mesh {
//!     vertices: vec![[0.0, -50.0, 0.0], [0.0, 50.0, 0.0], [0.0, 0.0, 80.0]],
//!     triangles: vec![[0, 1, 2]],
//! };
//! let body = Body::new(&mesh, Normals::Flat);
//! let studio = Studio::default();
//! let surfaces = [Surface { body: &body, paint: &studio }];
//! let scene = Scene { surfaces: &surfaces, ..Scene::default() };
//! let camera = Orbit::fitting(body.bounds()).camera([320, 240]);
//! let picture = shade::render(&scene, &camera, &Settings { size: [320, 240], ..Settings::default() });
//! assert_eq!(picture.rgba.len(), 320 * 240 * 4);
//! ```

mod body;
mod camera;
mod clip;
mod colour;
mod light;
mod lines;
mod picture;
mod raster;
mod render;

pub use body::{Body, Bounds, Normals};
pub use camera::{Camera, Lens, Orbit, View};
pub use colour::{from_srgb, to_srgb};
pub use light::{Paint, Spot, Studio};
pub use lines::Line;
pub use picture::{Background, Picture};
pub use raster::{DepthMap, depth_map};
pub use render::{Scene, Settings, Surface, render};
