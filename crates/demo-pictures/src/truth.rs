//! `truth.json`: the cameras and landmarks as they really were, for whoever wants to hold results against them.

use crate::airframe::Part;
use crate::landmarks::Landmark;
use crate::livery::JOINTS;
use crate::ostrel::SCALE;
use crate::photograph::renderer_camera;
use crate::placed::POLE;
use crate::views::Shot;
use serde::Serialize;
use shade::{Body, Normals, depth_map};

const ABOUT: &str = "How the demo's pictures were really taken. Full-size mm in the project's axes: x aft from the cowl's \
    front face, y to starboard, z up from the thrust line; the form in ostrel.plug.ron, times model_scale, is what stood \
    before the cameras. Camera: x right, y down, z forward; p_cam = rotation p + translation; pixel = focal_px (X/Z, Y/Z) + \
    centre_px, counted from the upper left corner of the picture, so the middle of the first pixel is (0.5, 0.5). \
    in_sight: nothing stands before the landmark. joints_mm: stations of the painted joints that run round the cowl. \
    Written by `cargo run -p plugwright-demo-pictures`.";

#[derive(Serialize)]
struct Truth {
    about: &'static str,
    model_scale: f64,
    joints_mm: [f64; 3],
    pictures: Vec<Picture>,
}

#[derive(Serialize)]
struct Picture {
    name: &'static str,
    file: String,
    size_px: [u32; 2],
    focal_px: f64,
    centre_px: [f64; 2],
    rotation: [[f64; 3]; 3],
    translation_mm: [f64; 3],
    eye_mm: [f64; 3],
    poles: Vec<Pole>,
    landmarks: Vec<Seen>,
}

#[derive(Serialize)]
struct Pole {
    length_mm: f64,
    ends_mm: [[f64; 3]; 2],
    ends_px: [[f64; 2]; 2],
}

#[derive(Serialize)]
struct Seen {
    name: String,
    at_mm: [f64; 3],
    px: [f64; 2],
    in_sight: bool,
}

/// The text of the file, for shots and the picture files they became.
///
/// # Errors
/// None of the numbers can be one that JSON does not know; if one is, the reason.
pub fn text(shots: &[(&Shot, String)], aircraft: &[Part], landmarks: &[Landmark]) -> Result<String, serde_json::Error> {
    let pictures = shots.iter().map(|(shot, file)| picture(shot, file, aircraft, landmarks)).collect();
    let truth = Truth { about: ABOUT, model_scale: SCALE, joints_mm: JOINTS, pictures };
    Ok(serde_json::to_string_pretty(&truth)? + "\n")
}

fn picture(shot: &Shot, file: &str, aircraft: &[Part], landmarks: &[Landmark]) -> Picture {
    let camera = &shot.camera;
    let row = |i: usize| [0, 1, 2].map(|j| camera.rotation[(i, j)]);
    Picture {
        name: shot.name,
        file: file.into(),
        size_px: shot.size,
        focal_px: camera.focal_px,
        centre_px: camera.centre,
        rotation: [row(0), row(1), row(2)],
        translation_mm: camera.translation.into(),
        eye_mm: camera.eye().map(rounded),
        poles: shot.poles.iter().filter_map(|pole| pole_seen(shot, *pole)).collect(),
        landmarks: seen(shot, aircraft, landmarks),
    }
}

fn pole_seen(shot: &Shot, (from, along): ([f64; 3], [f64; 3])) -> Option<Pole> {
    let to = std::array::from_fn(|i| from[i] + POLE * along[i]);
    let ends_px = [shot.camera.project(from)?.map(rounded), shot.camera.project(to)?.map(rounded)];
    Some(Pole { length_mm: POLE, ends_mm: [from, to], ends_px })
}

/// Landmarks within the picture.
fn seen(shot: &Shot, aircraft: &[Part], landmarks: &[Landmark]) -> Vec<Seen> {
    /// What stands before a landmark by less than this, mm, is the surface it lies on.
    const ON_SURFACE: f64 = 80.0;
    let props = shot.props();
    let bodies: Vec<Body> = aircraft.iter().chain(&props).map(|part| Body::new(&part.mesh, Normals::Flat)).collect();
    let map = depth_map(&bodies.iter().collect::<Vec<_>>(), &renderer_camera(&shot.camera), shot.size);
    let within =
        |[x, y]: [f64; 2]| (0.0..f64::from(shot.size[0])).contains(&x) && (0.0..f64::from(shot.size[1])).contains(&y);
    let one = |landmark: &Landmark| {
        let px = shot.camera.project(landmark.at).filter(|px| within(*px))?;
        let before = map.depth(px[0] as usize, px[1] as usize);
        let in_sight = before.is_none_or(|depth| depth > shot.camera.depth(landmark.at) - ON_SURFACE);
        Some(Seen { name: landmark.name.clone(), at_mm: landmark.at.map(rounded), px: px.map(rounded), in_sight })
    };
    landmarks.iter().filter_map(one).collect()
}

/// To four decimals: finer than anything that is measured on a picture.
fn rounded(number: f64) -> f64 {
    (number * 1e4).round() / 1e4
}
