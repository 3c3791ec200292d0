//! The three photographs: where the camera stood, and what stood in for scale. Lengths are mm at full size.

use crate::airframe::{GROUND, Part, pole};
use crate::ostrel::{SCALE, WIDEST};
use nalgebra::{Rotation3, Vector3};
use photo::Camera;
use project::document::PictureView;

/// A photograph to be taken.
#[derive(Clone, Debug)]
pub struct Shot {
    /// Its name in the project.
    pub name: &'static str,
    /// The view it lies under.
    pub view: PictureView,
    /// Width and height, pixels.
    pub size: [u32; 2],
    /// The camera.
    pub camera: Camera,
    /// The ranging poles: first end and direction. The first is the known distance.
    pub poles: Vec<([f64; 3], [f64; 3])>,
}

impl Shot {
    /// The poles as parts of the scene.
    pub fn props(&self) -> Vec<Part> {
        self.poles.iter().map(|&(from, along)| pole(from, along)).collect()
    }
}

/// All three.
pub fn shots() -> Vec<Shot> {
    [side(), face(), three_quarter()].into_iter().flatten().collect()
}

/// From port, square to the centre plane, 12 m away; the camera leans by 0.7°.
fn side() -> Option<Shot> {
    let size = [1600, 1000];
    let eye = [560.0, -12_000.0, -215.0];
    let camera = looking(eye, [eye[0], 0.0, eye[2]], 5200.0, size, 0.7)?;
    let poles = vec![([-760.0, 0.0, GROUND], [0.0, 0.0, 1.0])];
    Some(Shot { name: "Side", view: PictureView::Side, size, camera, poles })
}

/// From ahead, 10 m before the widest section, in whose plane both poles are; the camera leans by -0.5°.
fn face() -> Option<Shot> {
    let size = [1200, 1200];
    let widest = SCALE * WIDEST;
    let eye = [widest - 10_000.0, 0.0, -140.0];
    let camera = looking(eye, [widest, 0.0, eye[2]], 4300.0, size, -0.5)?;
    let poles = vec![([widest, -1000.0, GROUND + 14.0], [0.0, 1.0, 0.0]), ([widest, 1060.0, GROUND], [0.0, 0.0, 1.0])];
    Some(Shot { name: "Face", view: PictureView::Face, size, camera, poles })
}

/// From the port bow and 10° above, 9 m away.
fn three_quarter() -> Option<Shot> {
    let size = [1600, 1100];
    let target = Vector3::new(620.0, 0.0, -90.0);
    let (sin_a, cos_a) = 40_f64.to_radians().sin_cos();
    let (sin_e, cos_e) = 10_f64.to_radians().sin_cos();
    let eye = target + 9000.0 * Vector3::new(-cos_a * cos_e, -sin_a * cos_e, sin_e);
    let camera = looking(eye.into(), target.into(), 4700.0, size, 0.0)?;
    Some(Shot { name: "Three-quarter", view: PictureView::Reference, size, camera, poles: Vec::new() })
}

/// A camera with the target in the middle of the picture that leans clockwise by `lean_deg`.
fn looking(eye: [f64; 3], target: [f64; 3], focal_px: f64, size: [u32; 2], lean_deg: f64) -> Option<Camera> {
    let camera = Camera::look_at(eye, target, focal_px, size.map(|s| f64::from(s) / 2.0))?;
    let lean = Rotation3::from_axis_angle(&Vector3::z_axis(), -lean_deg.to_radians());
    Some(Camera { rotation: lean * camera.rotation, translation: lean * camera.translation, ..camera })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_side_camera_looks_square_at_the_centre_plane() {
        let shot = &shots()[0];
        let forward = shot.camera.rotation.row(2);
        assert!((forward[1] - 1.0).abs() < 1e-12);
    }

    #[test]
    fn there_are_three_and_the_cowl_lies_within_each() {
        let shots = shots();
        assert_eq!(shots.len(), 3);
        for shot in &shots {
            for at in [[0.0, 0.0, 132.0], [0.0, 0.0, -132.0], [1440.0, 0.0, 248.0], [1440.0, 0.0, -412.0]] {
                let [x, y] = shot.camera.project(at).unwrap();
                assert!((0.0..f64::from(shot.size[0])).contains(&x) && (0.0..f64::from(shot.size[1])).contains(&y));
            }
        }
    }
}
