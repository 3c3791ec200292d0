//! The form shaded as a picture's camera shows it, to be laid over the picture.

use geometry::loft::Loft;
use photo::{Lens as Glass, PictureCamera};
use shade::{Body, Camera, Lens, Normals, Picture, Scene, Settings, Studio, Surface, render};

/// A form's mesh with its normals; worth keeping while the loft stays.
#[derive(Clone, Debug)]
pub struct ShadedForm {
    body: Body,
}

/// The part of a picture that is shown, and how large.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Its upper left corner in the picture, px.
    pub least: [f64; 2],
    /// Pixels of the window for a pixel of the picture.
    pub scale: f64,
    /// Width and height of the window, pixels.
    pub size: [u32; 2],
}

impl ShadedForm {
    /// The mesh of a loft, whose triangles stay within `tolerance` mm of it.
    pub fn new(loft: &Loft, tolerance: f64) -> Self {
        Self { body: Body::new(&loft.mesh(tolerance), Normals::default()) }
    }

    /// The form as the camera shows it, transparent where it is not. The lens bends the corners of the triangles; between them
    /// edges stay straight, so the mesh must be fine for a strong lens. What lies beyond the lens's reach is left out.
    pub fn through(&self, camera: &PictureCamera, window: &Window, paint: &Studio, smooth_edges: bool) -> Picture {
        let eye = shade_camera(camera, window);
        let settings = Settings { size: window.size, smooth_edges, ..Settings::default() };
        let draw = |body: &Body| {
            let surfaces = [Surface { body, paint }];
            render(&Scene { surfaces: &surfaces, ..Scene::default() }, &eye, &settings)
        };
        if camera.lens == Glass::NONE { draw(&self.body) } else { draw(&self.bent(camera)) }
    }

    /// The body with its corners where a pinhole would have to see them to show what the lens shows.
    fn bent(&self, camera: &PictureCamera) -> Body {
        let pinhole = camera.camera;
        let (r, eye, reach) = (pinhole.rotation, pinhole.eye(), camera.lens.reach());
        self.body.moved(|point| {
            let [right, down, ahead] = turned(&|row, axis| r[(row, axis)], [0, 1, 2].map(|k| point[k] - eye[k]));
            let (x, y) = (right / ahead, down / ahead);
            if !(ahead > 0.0 && x.hypot(y) < reach) {
                return [f64::NAN; 3];
            }
            let [x, y] = camera.lens.distorted([x, y]);
            let back = turned(&|row, axis| r[(axis, row)], [x * ahead, y * ahead, ahead]);
            [0, 1, 2].map(|k| eye[k] + back[k])
        })
    }
}

/// A vector through a matrix given by row and column.
fn turned(by: &impl Fn(usize, usize) -> f64, v: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|row| (0..3).map(|axis| by(row, axis) * v[axis]).sum())
}

/// The pinhole of a picture's camera for a window of the picture.
fn shade_camera(camera: &PictureCamera, window: &Window) -> Camera {
    let pinhole = camera.camera;
    Camera {
        rotation: pinhole.rotation,
        translation: pinhole.translation,
        lens: Lens::Perspective { focal_px: pinhole.focal_px * window.scale },
        centre: [0, 1].map(|k| (pinhole.centre[k] - window.least[k]) * window.scale),
    }
}
