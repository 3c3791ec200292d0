//! What the demo promises: its pictures are exact, its project is complete, and both lead to the same form.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "the lint knows test functions, not what they call")]

use geometry::mesh::Mesh;
use nalgebra::Vector3;
use plugwright_demo_pictures::airframe::skin_of;
use plugwright_demo_pictures::landmarks::landmarks;
use plugwright_demo_pictures::ostrel::{self, SCALE, WIDEST};
use plugwright_demo_pictures::photograph::renderer_camera;
use plugwright_demo_pictures::placed::POLE;
use plugwright_demo_pictures::{demo, solids, views};
use project::document::{ArcKind, Document, PictureView, SectionShape};
use shade::{Background, Body, Normals, Paint, Scene, Settings, Spot, Surface};
use std::path::PathBuf;

fn folder() -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "..", "..", "demo-projects", "ostrel"].iter().collect()
}

/// The project as it is committed.
fn opened() -> Document {
    let text = std::fs::read_to_string(folder().join(demo::PROJECT)).unwrap();
    let mut load = |path: &str| std::fs::read(folder().join(path)).map_err(|e| e.to_string().into());
    let opened = project::file::from_file(&text, &mut load).unwrap();
    assert_eq!(opened.problems, []);
    opened.document
}

struct Black;

impl Paint for Black {
    fn light(&self, _: &Spot) -> [f32; 3] {
        [0.0; 3]
    }
}

/// A ball of 12 mm at a point.
fn ball(at: [f64; 3]) -> Mesh {
    let profile: Vec<[f64; 2]> = (0..=24)
        .map(|i| {
            let angle = std::f64::consts::PI * f64::from(i) / 24.0;
            [12.0 - 12.0 * angle.cos(), 12.0 * angle.sin()]
        })
        .collect();
    solids::turned([at[0] - 12.0, at[1], at[2]], [1.0, 0.0, 0.0], &profile, 48)
}

/// The renderer puts a dot at a landmark where the pinhole formula says: the middle of a small ball's image.
#[test]
fn landmarks_are_rendered_where_the_camera_formula_puts_them() {
    for shot in views::shots() {
        let size = shot.size.map(f64::from);
        for landmark in landmarks().unwrap() {
            let [x, y] = shot.camera.project(landmark.at).unwrap();
            if !(30.0..size[0] - 30.0).contains(&x) || !(30.0..size[1] - 30.0).contains(&y) {
                continue;
            }
            let body = Body::new(&ball(landmark.at), Normals::Flat);
            let surfaces = [Surface { body: &body, paint: &Black }];
            let scene = Scene { surfaces: &surfaces, background: Background::Plain([255; 3]), ..Scene::default() };
            let settings = Settings { size: shot.size, ..Settings::default() };
            let picture = shade::render(&scene, &renderer_camera(&shot.camera), &settings);
            let (mut weight, mut middle) = (0.0, [0.0; 2]);
            for (i, pixel) in (0_u32..).zip(picture.rgba.chunks_exact(4)).filter(|(_, p)| p[0] < 255) {
                let dark = 255.0 - f64::from(pixel[0]);
                weight += dark;
                middle[0] += dark * (f64::from(i % shot.size[0]) + 0.5);
                middle[1] += dark * (f64::from(i / shot.size[0]) + 0.5);
            }
            let off = (middle[0] / weight - x).hypot(middle[1] / weight - y);
            assert!(off < 0.1, "{}: {} is {off} px off", shot.name, landmark.name);
        }
    }
}

/// The bands of the poles on the committed pictures lie where the cameras of truth.json put them.
#[test]
fn the_poles_bands_are_seen_on_the_pictures_within_half_a_pixel() {
    let document = opened();
    for shot in views::shots() {
        let picture = document.pictures.iter().find(|p| p.name == shot.name).unwrap();
        let photo = photo::decode(&picture.bytes).unwrap();
        for (from, along) in &shot.poles {
            for band in 1..10 {
                let place = |mm: f64| {
                    let axis: [f64; 3] = std::array::from_fn(|i| from[i] + mm * along[i]);
                    shot.camera.project(near_side(axis, *along, shot.camera.eye())).unwrap()
                };
                let edge = 200.0 * f64::from(band);
                let off = edge_offset(&photo, place(edge - 60.0), place(edge + 60.0));
                assert!(off.abs() < 0.5, "{}: band {band} is {off:.2} px off", shot.name);
            }
        }
    }
}

/// How far, in pixels, the change between red and white lies from the middle of a stretch.
fn edge_offset(photo: &photo::Photo, from: [f64; 2], to: [f64; 2]) -> f64 {
    let length = (to[0] - from[0]).hypot(to[1] - from[1]);
    let steps = 400;
    let at = |i: i32| {
        let t = f64::from(i) / f64::from(steps);
        whiteness(photo, [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])])
    };
    // Grain and the JPEG's blocks are averaged out.
    let mean = |range: std::ops::RangeInclusive<i32>| {
        let count = f64::from(range.end() - range.start() + 1);
        range.map(at).sum::<f64>() / count
    };
    let (first, last) = (mean(0..=150), mean(steps - 150..=steps));
    let share = (mean(0..=steps) - first) / (last - first);
    // Of an edge in the middle half the stretch is of each colour.
    (0.5 - share) * length
}

/// A point on a pole's near side, square to its axis: that is what is seen of it, and its 14 mm shift the bands by up to
/// half a pixel towards the border of the picture.
fn near_side(at: [f64; 3], along: [f64; 3], eye: [f64; 3]) -> [f64; 3] {
    let (at, along) = (Vector3::from(at), Vector3::from(along));
    let towards = Vector3::from(eye) - at;
    (at + 14.0 * (towards - along * towards.dot(&along)).normalize()).into()
}

/// Green, of which the white bands have much and the red ones little; between pixels' middles.
fn whiteness(photo: &photo::Photo, [x, y]: [f64; 2]) -> f64 {
    let (x, y) = (x - 0.5, y - 0.5);
    let value = |x: f64, y: f64| f64::from(photo.rgba[4 * (y as usize * photo.width as usize + x as usize) + 1]);
    let (u, v) = (x.fract(), y.fract());
    let row = |y: f64| value(x, y) * (1.0 - u) + value(x + 1.0, y) * u;
    row(y) * (1.0 - v) + row(y + 1.0) * v
}

#[test]
fn the_project_is_complete_and_without_findings() {
    let document = opened();
    assert_eq!(document.forms, ostrel::document().forms);
    assert_eq!(document.airframe, ostrel::document().airframe);
    assert_eq!(document.build, ostrel::document().build);
    assert_eq!(document.shell, ostrel::document().shell);
    assert_eq!(form::check_anew(&document), []);
    let form = &document.forms[0];
    assert!(form.sections.len() >= 5);
    assert!((10..=13).contains(&form.stations.len()));
    let arcs: Vec<ArcKind> = form
        .sections
        .iter()
        .filter_map(|section| match &section.shape {
            SectionShape::Shaped(unit) => Some(unit.arcs.clone()),
            SectionShape::Pinned(_) => None,
        })
        .flatten()
        .collect();
    assert!(arcs.contains(&ArcKind::Cubic));
    assert!(arcs.iter().any(|arc| matches!(arc, ArcKind::Conic { .. })));
    assert!(arcs.iter().any(|arc| matches!(arc, ArcKind::Superelliptic { .. })));
}

#[test]
fn the_second_demo_is_as_it_is_made() {
    for (name, bytes) in demo::bowl_files().unwrap() {
        assert!(std::fs::read(folder().join("../bowl").join(&name)).unwrap() == bytes, "{name}");
    }
}

/// What a builder would trace on the placed side picture is the form's own outline: the places of crown and keel on the
/// picture lie on the drawn lines within half a millimetre at the model.
#[test]
fn the_placed_side_picture_shows_the_form_where_it_is_drawn() {
    let document = opened();
    let picture = document.pictures.iter().find(|p| p.view == PictureView::Side).unwrap();
    let shot = views::shots().into_iter().find(|s| s.view == PictureView::Side).unwrap();
    let cowl = skin_of(&document.forms[0]).unwrap();
    for x in &document.forms[0].stations {
        let section = cowl.loft().section(*x).unwrap();
        for z in [section.crown(), section.keel()] {
            let px = shot.camera.project([SCALE * x, 0.0, SCALE * z]).unwrap();
            let seen = picture.placement.to_view(px);
            let off = (seen[0] - x).hypot(seen[1] - z);
            assert!(off < 0.5, "at {x} mm the picture is {off:.2} mm off");
        }
    }
}

/// In the plane of the poles the face picture is true; nearer parts show larger, as on any photograph.
#[test]
fn the_placed_face_picture_is_true_at_the_widest_section() {
    let document = opened();
    let picture = document.pictures.iter().find(|p| p.view == PictureView::Face).unwrap();
    let shot = views::shots().into_iter().find(|s| s.view == PictureView::Face).unwrap();
    let cowl = skin_of(&document.forms[0]).unwrap();
    for [y, z] in cowl.loft().section(WIDEST).unwrap().polyline(0.5) {
        for side in [-1.0, 1.0] {
            let px = shot.camera.project([SCALE * WIDEST, SCALE * y * side, SCALE * z]).unwrap();
            let [right, up] = picture.placement.to_view(px);
            let off = (right + y * side).hypot(up - z);
            assert!(off < 0.4, "({y:.1}, {z:.1}) is {off:.2} mm off");
        }
    }
}

#[test]
fn second_distances_agree_within_half_a_per_cent() {
    let document = opened();
    let disagreements: Vec<f64> =
        document.pictures.iter().filter_map(|picture| picture.disagreement_percent(document.model_scale)).collect();
    assert_eq!(disagreements.len(), 2);
    assert!(disagreements.iter().all(|percent| percent.abs() < 0.5), "{disagreements:?}");
}

#[test]
fn a_pole_is_two_metres_long_on_the_committed_scale() {
    let document = opened();
    let scales: Vec<f64> = document.pictures.iter().filter_map(|p| Some(p.scale?.distance_mm)).collect();
    assert_eq!(scales, [POLE, POLE]);
}

#[test]
fn files_stay_small_and_the_built_in_list_names_them_all() {
    let document = opened();
    let list = std::fs::read_to_string(folder().join("files.rs")).unwrap();
    assert!(list.contains(demo::PROJECT));
    assert_eq!(document.pictures.len(), 3);
    for picture in &document.pictures {
        assert!(picture.bytes.len() < 350_000, "{} has {} bytes", picture.name, picture.bytes.len());
        assert!(list.contains(&picture.file), "{}", picture.file);
        assert_eq!(photo::size(&picture.bytes).unwrap(), picture.size_px);
    }
}

/// Two small photographs, taken one after the other, are the same byte for byte.
#[test]
fn the_same_shot_gives_the_same_bytes() {
    let aircraft = plugwright_demo_pictures::airframe::parts().unwrap();
    let mut shot = views::shots().remove(2);
    shot.size = shot.size.map(|s| s / 5);
    shot.camera.focal_px /= 5.0;
    shot.camera.centre = shot.camera.centre.map(|c| c / 5.0);
    let take = || plugwright_demo_pictures::photograph::take(&shot, &aircraft).unwrap().jpeg;
    assert!(take() == take());
}
