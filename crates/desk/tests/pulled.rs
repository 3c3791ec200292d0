//! Pulling the form in a photograph: what is held goes under the pointer, undo brings back what was, and what is held fast says so.
#![allow(clippy::unwrap_used, clippy::expect_used)] // tests may stop at the first surprise

use desk::Desk;
use desk::pulled::{Grip, Hold, Pulled};
use desk::shaded::{ShadedForm, Window};
use desk::snapped::{landmark_candidates, landmarks_near};
use form::seen::{Handle, HandleOf, SeenPart, Sight, SilhouetteKind, SilhouettePlace, Wanted, seen, silhouette};
use photo::{Camera, Lens, PictureCamera};
use project::document::{ArcKind, Document, LineName, MeasuredSection, SectionShape};
use project::edit::Edit;
use project::photograph::{LandmarkPlace, Side};
use std::sync::Arc;

/// From before, behind, above and below, near and far.
fn cameras() -> Vec<PictureCamera> {
    let views =
        [(35.0, 10.0, 1500.0), (-50.0, -8.0, 2500.0), (120.0, 25.0, 1200.0), (75.0, 4.0, 4000.0), (-20.0, 30.0, 900.0)];
    let camera = |(azimuth, elevation, d): (f64, f64, f64)| {
        let (a, e) = (azimuth.to_radians(), elevation.to_radians());
        let target = [180.0, 0.0, 0.0];
        let eye = [target[0] - d * a.cos() * e.cos(), d * a.sin() * e.cos(), d * e.sin()];
        let pinhole = Camera::look_at(eye, target, 3.0 * d, [2000.0, 1500.0]).unwrap();
        PictureCamera { camera: pinhole, lens: Lens::radial(-0.05, 0.0) }
    };
    views.map(camera).to_vec()
}

fn demo() -> Arc<Document> {
    Arc::new(desk::demo::document().unwrap())
}

fn handles(document: &Document, camera: &PictureCamera) -> Vec<Handle> {
    seen(&form::loft(&document.forms[0]), &document.forms[0], camera, &Wanted::default()).handles
}

fn outline(document: &Document, camera: &PictureCamera) -> Vec<SilhouettePlace> {
    let curves = silhouette(&form::loft(&document.forms[0]), &document.forms[0], camera);
    curves.into_iter().flatten().filter(|p| p.sight == Sight::Outline).collect()
}

fn away(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Pulled by a few pixels, a section's point is under the pointer, by the answer and by what the document then shows.
#[test]
fn a_point_of_a_section_goes_under_the_pointer() {
    let document = demo();
    let mut pulled = 0;
    for camera in cameras() {
        for handle in handles(&document, &camera) {
            let HandleOf::SectionPoint { section, point } = handle.of else { continue };
            let hold = Hold::SectionPoint { section, point, side: handle.side };
            let Ok(mut grip) = Grip::take(&document, 0, &camera, &hold) else { continue };
            let wanted = [handle.pixel[0] + 2.5, handle.pixel[1] - 1.5];
            let Ok(step) = grip.pull(wanted) else { continue };
            let after = step.edit.apply(&document).unwrap();
            if matches!(step.edit, Edit::MoveSectionPoint { .. }) {
                assert!(step.reached(), "{hold:?}: {step:?}");
                let same = |h: &&Handle| h.of == handle.of && h.side == handle.side;
                let now = handles(&after, &camera).iter().find(same).unwrap().pixel;
                assert!(away(now, wanted) < 0.05, "{now:?} for {wanted:?}");
                pulled += 1;
            }
        }
    }
    assert!(pulled > 20, "{pulled}");
}

/// A point of crown or keel goes wherever the pointer goes; one of the breadth line where it can, and the answer tells how far off it
/// stays.
#[test]
fn a_point_of_a_line_goes_under_the_pointer() {
    let document = demo();
    let (mut reached, mut all) = (0, 0);
    for camera in cameras() {
        for handle in handles(&document, &camera) {
            let HandleOf::LinePoint { line, point } = handle.of else { continue };
            let Ok(mut grip) = Grip::take(&document, 0, &camera, &Hold::LinePoint { line, point, side: handle.side })
            else {
                continue;
            };
            let wanted = [handle.pixel[0] + 1.5, handle.pixel[1] + 1.0];
            let Ok(step) = grip.pull(wanted) else { continue };
            let after = step.edit.apply(&document).unwrap();
            let same = |h: &&Handle| h.of == handle.of && h.side == handle.side;
            if let Some(now) = handles(&after, &camera).iter().find(same) {
                all += 1;
                assert!((away(now.pixel, wanted) - step.miss_px).abs() < 1e-6, "{now:?} and {step:?}");
                let inner = point > 0 && point + 1 < document.forms[0].lines.get(line).points.len();
                if inner && line != LineName::Breadth && step.reached() {
                    reached += 1;
                }
            }
        }
    }
    assert!(reached > 20 && all > reached, "{reached} of {all}");
}

/// Between its points, a line is pulled by a point near, or gets one; the edit brings the line under the pointer.
#[test]
fn a_line_is_pulled_between_its_points() {
    let document = demo();
    let camera = cameras()[0];
    for (line, part) in [(LineName::Crown, SeenPart::Crown), (LineName::Keel, SeenPart::Keel)] {
        for x in [60.0, 111.0, 203.0, 290.0] {
            let curve = form::line(document.forms[0].lines.get(line)).unwrap();
            let point = [x, 0.0, curve.at(x).value];
            let mut grip = Grip::take(&document, 0, &camera, &Hold::Line { line, point }).unwrap();
            let higher = [x, 0.0, point[2] + 3.0];
            let step = grip.pull(camera.project(higher).unwrap()).unwrap();
            assert!(step.reached(), "{part:?} at {x}: {step:?}");
            let after = step.edit.apply(&document).unwrap();
            let now = form::line(after.forms[0].lines.get(line)).unwrap().at(x).value;
            assert!((now - higher[2]).abs() < 1e-6, "{now} at {x}");
            assert!(grip.label().contains(line.label().to_lowercase().as_str()), "{}", grip.label());
        }
    }
}

/// The fullness that carries an arc through the pointer, or a new point for a cubic.
#[test]
fn a_section_is_pulled_between_its_points() {
    let document = demo();
    let camera = cameras()[0];
    let loft = form::loft(&document.forms[0]);
    let loft = loft.skin.as_ref().unwrap().loft();
    let (mut fullness, mut points) = (0, 0);
    for (section, control) in document.forms[0].sections.iter().enumerate() {
        if matches!(control.shape, SectionShape::Pinned(_)) {
            continue;
        }
        let cut = loft.section(control.station).unwrap();
        let outline = cut.polyline(0.01);
        for share in [0.2, 0.4, 0.65, 0.8] {
            let [y, z] = outline[(share * outline.len() as f64) as usize];
            let out = [y * 1.01, cut.breadth_height() + (z - cut.breadth_height()) * 1.01];
            let hold = Hold::SectionCurve { section, point: [control.station, -y, z] };
            let mut grip = Grip::take(&document, 0, &camera, &hold).unwrap();
            let wanted = camera.project([control.station, -out[0], out[1]]).unwrap();
            let step = grip.pull(wanted).unwrap();
            let after = step.edit.apply(&document).unwrap();
            let lofted = form::loft(&after.forms[0]);
            let now = lofted.skin.as_ref().unwrap().loft().section(control.station).unwrap().polyline(0.0005);
            let pixels: Vec<_> = now.iter().filter_map(|[y, z]| camera.project([control.station, -y, *z])).collect();
            let near = pixels.iter().map(|p| away(*p, wanted)).fold(f64::INFINITY, f64::min);
            match step.edit {
                Edit::SetArc { .. } => fullness += 1,
                Edit::AddSectionPoint { .. } => points += 1,
                ref edit => panic!("{edit:?}"),
            }
            if step.reached() {
                // The chords' ends lie about half a millimetre apart at most.
                assert!(near < 2.0, "{near} px: {step:?}");
            } else {
                assert!(near < step.miss_px + 2.0, "{near} px: {step:?}");
            }
        }
    }
    assert!(fullness + points > 8, "{fullness} and {points}");
}

/// Where the silhouette passes the straight line through a pixel along `place.outward`, found anew on a fine polyline.
fn passes(document: &Document, camera: &PictureCamera, place: &SilhouettePlace, pixel: [f64; 2]) -> f64 {
    let lofted = form::loft(&document.forms[0]);
    let loft = lofted.skin.as_ref().unwrap().loft();
    form::seen::contact(loft, camera, place, pixel).map_or(f64::INFINITY, |c| c.distance_px.abs())
}

/// Wherever the outline is taken hold of, one number is named, and nearly everywhere it brings the silhouette under the pointer.
#[test]
fn the_silhouette_goes_under_the_pointer() {
    let document = demo();
    let (mut reached, mut all) = (0, 0);
    for camera in cameras() {
        let places = outline(&document, &camera);
        assert!(places.len() > 60);
        for place in places.iter().step_by(9).filter(|p| p.kind != SilhouetteKind::Tip) {
            let mut grip = match Grip::take(&document, 0, &camera, &Hold::Silhouette(*place)) {
                Ok(grip) => grip,
                Err(refused) => {
                    assert!(refused.to_string().contains("silhouette"), "{refused}");
                    continue;
                }
            };
            assert!(grip.label().contains("at station"), "{}", grip.label());
            for out in [2.0, 5.0, -4.0] {
                let from = place.pixel.unwrap();
                let wanted = [0, 1].map(|k| from[k] + out * place.outward[k]);
                let Ok(step) = grip.pull(wanted) else { continue };
                all += 1;
                if step.reached() {
                    reached += 1;
                    let after = step.edit.apply(&document).unwrap();
                    assert!(passes(&after, &camera, place, wanted) < 0.05, "{} {place:?}", grip.label());
                }
            }
        }
    }
    println!("{reached} of {all}");
    assert!(reached * 10 >= all * 9 && all > 60, "{reached} of {all}");
}

#[test]
fn a_pull_is_one_step_that_undo_takes_back() {
    let mut desk = Desk::new();
    desk.open_demo().unwrap();
    let before = Arc::clone(desk.document());
    let camera = cameras()[0];
    let place = outline(&before, &camera)[20];
    let mut grip = Grip::take(&before, 0, &camera, &Hold::Silhouette(place)).unwrap();
    for out in [1.0, 2.0, 3.0] {
        let from = place.pixel.unwrap();
        let Pulled { edit, .. } = grip.pull([0, 1].map(|k| from[k] + out * place.outward[k])).unwrap();
        desk.preview(&edit).unwrap();
    }
    assert!(desk.commit_preview());
    assert_ne!(**desk.document(), *before);
    assert!(desk.undo());
    assert_eq!(**desk.document(), *before);
}

/// The whole form of a section that is pinned to measured points stays, and says what to do.
#[test]
fn what_is_pinned_refuses_and_says_why() {
    let document = demo();
    let section = 2;
    let station = document.forms[0].sections[section].station;
    let lofted = form::loft(&document.forms[0]);
    let points = lofted.skin.as_ref().unwrap().loft().section(station).unwrap().polyline(0.2);
    let mut with = (*document.forms[0].sections[section]).clone();
    with.shape = SectionShape::Pinned(MeasuredSection::through(points));
    let pinned = Arc::new(Edit::ReplaceSection { form: 0, section, with }.apply(&document).unwrap());
    let camera = cameras()[0];
    let crown = form::line(pinned.forms[0].lines.get(LineName::Crown)).unwrap().at(station).value;
    let holds = [
        Hold::SectionPoint { section, point: 1, side: Side::Starboard },
        Hold::SectionCurve { section, point: [station, 10.0, 0.0] },
        Hold::Line { line: LineName::Crown, point: [station, 0.0, crown] },
    ];
    for hold in holds {
        let refused = Grip::take(&pinned, 0, &camera, &hold).unwrap_err();
        assert!(refused.reason.contains("pinned") && !refused.hint.is_empty(), "{refused}");
    }
    // Beside it nothing is held.
    let point = [station + 25.0, 0.0, crown];
    assert!(Grip::take(&pinned, 0, &camera, &Hold::Line { line: LineName::Crown, point }).is_ok());
    let gone = Grip::take(&pinned, 0, &camera, &Hold::SectionPoint { section: 99, point: 0, side: Side::Port });
    assert!(gone.unwrap_err().to_string().contains("not there"));
}

/// What is seen edge on refuses; the number at a limit stays there and tells how far off it is.
#[test]
fn what_cannot_be_reached_is_told() {
    let document = demo();
    let side = PictureCamera::from(
        Camera::look_at([180.0, 5000.0, 0.0], [180.0, 0.0, 0.0], 20000.0, [2000.0, 1500.0]).unwrap(),
    );
    let conic = |s: &SectionShape| matches!(s, SectionShape::Shaped(u) if matches!(u.arcs[0], ArcKind::Conic { .. } | ArcKind::Superelliptic { .. }));
    let section = document.forms[0].sections.iter().position(|s| conic(&s.shape)).unwrap();
    let station = document.forms[0].sections[section].station;
    let hold = Hold::SectionCurve { section, point: [station, 20.0, 40.0] };
    let edge_on = PictureCamera::from(
        Camera::look_at([station, 5000.0, 0.0], [station, 0.0, 0.0], 20000.0, [2000.0, 1500.0]).unwrap(),
    );
    let mut grip = Grip::take(&document, 0, &edge_on, &hold).unwrap();
    let refused = grip.pull([2000.0, 1500.0]).unwrap_err();
    assert!(refused.reason.contains("edge on"), "{refused}");
    // In the side picture the breadth has no influence.
    let breadth = Hold::LinePoint { line: LineName::Breadth, point: 1, side: Side::Starboard };
    let mut grip = Grip::take(&document, 0, &side, &breadth).unwrap();
    assert!(grip.pull([2000.0, 1500.0]).is_err_and(|r| r.reason.contains("edge on")));
    // A fullness pulled far beyond the box stays at its greatest.
    let camera = cameras()[0];
    let mut grip = Grip::take(&document, 0, &camera, &hold).unwrap();
    let step = grip.pull(camera.project([station, 400.0, 400.0]).unwrap()).unwrap();
    assert!(!step.reached() && step.miss_px > 100.0, "{step:?}");
    step.edit.apply(&document).unwrap();
}

#[test]
fn landmarks_snap_to_the_form_and_the_airframe() {
    let document = demo();
    let lofted = form::loft(&document.forms[0]);
    for camera in cameras() {
        let all = landmark_candidates(&document, &camera);
        assert!(all.iter().any(|c| c.place == LandmarkPlace::Hub) && all.len() > 40, "{}", all.len());
        for candidate in &all {
            let point = form::landmark_place(&document, candidate.place).unwrap();
            assert_eq!((point, camera.project(point).unwrap()), (candidate.point, candidate.pixel));
            let near = landmarks_near(&document, &lofted, &camera, candidate.pixel, 5.0);
            assert!(near.iter().any(|c| c.place == candidate.place), "{candidate:?} among {near:?}");
            assert!(away(near[0].pixel, candidate.pixel) < 1e-6, "{near:?}");
        }
        // Between stations, on the crown itself.
        let x = 133.3;
        let at = form::landmark_place(&document, LandmarkPlace::Crown { station: x }).unwrap();
        let near = landmarks_near(&document, &lofted, &camera, camera.project(at).unwrap(), 3.0);
        let found =
            near.iter().find_map(|c| if let LandmarkPlace::Crown { station } = c.place { Some(station) } else { None });
        assert!(found.is_some_and(|s| (s - x).abs() < 0.6), "{near:?}");
    }
}

/// The overlay covers what the outline bounds, in the window asked for, and nothing else.
#[test]
fn the_shaded_form_lies_where_its_outline_is() {
    let document = demo();
    let lofted = form::loft(&document.forms[0]);
    let shaded = ShadedForm::new(lofted.skin.as_ref().unwrap().loft(), 0.2);
    for camera in cameras() {
        let pixels: Vec<[f64; 2]> = outline(&document, &camera).iter().filter_map(|p| p.pixel).collect();
        let bound = |k: usize, sign: f64| pixels.iter().map(|p| sign * p[k]).fold(f64::NEG_INFINITY, f64::max) * sign;
        let (left, right, top, bottom) = (bound(0, -1.0), bound(0, 1.0), bound(1, -1.0), bound(1, 1.0));
        let scale = 0.5;
        let size = [((right - left + 40.0) * scale) as u32, ((bottom - top + 40.0) * scale) as u32];
        let window = Window { least: [left - 20.0, top - 20.0], scale, size };
        let picture = shaded.through(&camera, &window, &shade::Studio::default(), true);
        assert_eq!([picture.width, picture.height], size);
        let covered = |x: u32, y: u32| picture.pixel(x, y).unwrap()[3] > 127;
        let columns: Vec<u32> = (0..size[0]).filter(|x| (0..size[1]).any(|y| covered(*x, y))).collect();
        let rows: Vec<u32> = (0..size[1]).filter(|y| (0..size[0]).any(|x| covered(x, *y))).collect();
        // Twenty pixels of the picture are ten of the window on each side.
        for list in [(&columns, size[0]), (&rows, size[1])] {
            let (first, last) = (*list.0.first().unwrap(), *list.0.last().unwrap());
            assert!(first.abs_diff(10) <= 1 && last.abs_diff(list.1 - 11) <= 2, "{first} to {last} of {}", list.1);
        }
    }
}
