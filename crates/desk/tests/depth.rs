//! Pictures read at the plane where things lie, against closed forms and the demo's measured places.
#![allow(clippy::unwrap_used, clippy::expect_used)] // tests may stop at the first surprise

use desk::photographs::{Depth, DepthFailure, DepthSource, LineFailure, read_line};
use photo::Plane;
use project::document::{Document, KnownDistance, LineName, Picture, PictureView, Placement};
use project::edit::Edit;
use project::photograph::{LandmarkPlace, Photograph};
use project::starter::new_document;

/// A picture of 2000 by 1000 pixels, 1 mm at the model to the pixel, its middle at (0, 0), from 20 m at a quarter-scale model.
fn plain(view: PictureView, mirrored: bool) -> Picture {
    let placement = Placement { mm_per_px: 1.0, rotation_deg: 0.0, offset: [0.0; 2], mirrored };
    Picture {
        name: "Plain".into(),
        view,
        bytes: Vec::new().into(),
        file: "pictures/plain-00000000.jpg".into(),
        size_px: [2000, 1000],
        placement: placement.held_at([1000.0, 500.0], [0.0, 0.0]),
        scale: Some(KnownDistance { a: [0.0, 0.0], b: [100.0, 0.0], distance_mm: 100.0, full_size: false }),
        check: None,
        level: None,
        opacity: 1.0,
        locked: false,
        hidden: false,
        photograph: Photograph { distance_mm: Some(20_000.0), ..Photograph::default() },
    }
}

fn read(picture: &Picture, pixel: [f64; 2], plane: Plane) -> Result<desk::photographs::Reading, DepthFailure> {
    Depth::of(&new_document("Test"), picture)?.read(pixel, &plane)
}

/// Closed form z / (D - z): 0.5 m nearer at 20 m is shown 2.5641 % too large, 0.5 m farther 2.4390 % too small. At the model
/// 125 mm and 5000 mm.
#[test]
fn a_distance_reads_what_is_nearer_smaller_and_what_is_farther_larger() {
    let near = 1.0 / (1.0 + 0.025641);
    let far = 1.0 / (1.0 - 0.024390);
    let cases = [
        (PictureView::Side, false, Plane::at_half_breadth(-125.0), near),
        (PictureView::Side, false, Plane::at_half_breadth(125.0), far),
        (PictureView::Side, true, Plane::at_half_breadth(125.0), near),
        (PictureView::Face, false, Plane::at_station(-125.0), near),
        (PictureView::Face, false, Plane::at_station(125.0), far),
        (PictureView::Plan, false, Plane { at: [0.0, 0.0, 125.0], normal: [0.0, 0.0, 1.0] }, near),
    ];
    for (view, mirrored, plane, share) in cases {
        let picture = plain(view, mirrored);
        let reading = read(&picture, [1400.0, 300.0], plane).unwrap();
        let shown = picture.placement.to_view([1400.0, 300.0]);
        let real = view.view_from_model(reading.at).unwrap();
        for k in 0..2 {
            assert!((real[k] - shown[k] * share).abs() < 0.01, "{view:?} {plane:?}: {real:?} of {shown:?}");
            assert!((reading.error.unwrap()[k] - (shown[k] - real[k])).abs() < 1e-12);
        }
        let on_plane: f64 = (0..3).map(|k| (reading.at[k] - plane.at[k]) * plane.normal[k]).sum();
        assert!(on_plane.abs() < 1e-12);
    }
}

#[test]
fn on_the_plane_of_scale_the_plain_scale_is_right() {
    let reading = read(&plain(PictureView::Side, false), [1400.0, 300.0], Plane::at_half_breadth(0.0)).unwrap();
    assert_eq!(reading.at, [400.0, 0.0, 200.0]);
    assert_eq!(reading.error_mm(), Some(0.0));
}

/// Marks and joints of the demo's side, measured on the machine: the camera reads them where they lie, at their own
/// half-breadth; a picture of which only the distance is known does nearly as well, and both say how wrong the plain scale is.
#[test]
fn the_demos_side_is_read_where_its_marks_lie() {
    let demo = desk::demo::document().unwrap();
    let side = &demo.pictures[0];
    let through = Depth::of(&demo, side).unwrap();
    assert_eq!((through.source(), through.side()), (DepthSource::Camera, -1.0));
    let mut blind = Picture::clone(side);
    blind.photograph = Photograph { distance_mm: Some(12_000.0), ..Photograph::default() };
    let distant = Depth::of(&demo, &blind).unwrap();
    assert_eq!((distant.source(), distant.side()), (DepthSource::Distance, -1.0));
    let mut looked_at = 0;
    for landmark in side.photograph.landmarks.iter().filter(|l| l.name.contains("joint") || l.name.contains("mark")) {
        let LandmarkPlace::At(place) = landmark.place else { continue };
        let plane = Plane::at_half_breadth(place[1]);
        // Measured to half a millimetre, trusted to one; the picture's level by eye turns the distance's reading.
        for (depth, within) in [(&through, 1.0), (&distant, 2.0)] {
            let reading = depth.read(landmark.pixel, &plane).unwrap();
            let off = (reading.at[0] - place[0]).hypot(reading.at[2] - place[2]);
            assert!(off < within, "{}: {reading:?} against {place:?}", landmark.name);
            let wrong = [reading.shown.unwrap()[0] - place[0], reading.shown.unwrap()[1] - place[2]];
            let error = reading.error.unwrap();
            assert!((wrong[0] - error[0]).hypot(wrong[1] - error[1]) < within);
        }
        looked_at += 1;
    }
    assert!(looked_at >= 4);
    // 72.5 mm nearer of 3000: at the first mark, 235 mm aft of the picture's middle, some 5 mm.
    let mark = side.photograph.landmarks.iter().find(|l| l.name == "port mark 1").unwrap();
    let reading = through.read(mark.pixel, &Plane::at_half_breadth(-72.5)).unwrap();
    assert!((reading.error.unwrap()[0] - 235.0 * 72.5 / 2927.5).abs() < 1.0, "{reading:?}");
}

/// A place of the drawing is read like the pixel below it.
#[test]
fn what_is_picked_on_the_drawing_is_read_like_its_pixel() {
    let demo = desk::demo::document().unwrap();
    let face = &demo.pictures[1];
    let depth = Depth::of(&demo, face).unwrap();
    let (pixel, plane) = ([480.0, 500.0], Plane::at_station(360.0));
    let by_pixel = depth.read(pixel, &plane).unwrap();
    let by_place = depth.read_shown(face.placement.to_view(pixel), &plane).unwrap();
    assert!((0..3).all(|k| (by_pixel.at[k] - by_place.at[k]).abs() < 1e-9));
    assert!((by_pixel.at[0] - 360.0).abs() < 1e-9 && by_pixel.sigma.unwrap() > 0.0);
}

#[test]
fn what_cannot_be_read_is_said_with_what_to_do() {
    let centre = Plane::at_half_breadth(0.0);
    let unknown = Picture { photograph: Photograph::default(), ..plain(PictureView::Side, false) };
    let why = read(&unknown, [0.0; 2], centre).unwrap_err().to_string();
    assert!(why.contains("Pick at least six") && why.contains("distance to the camera"), "{why}");
    let unscaled = Picture { scale: None, ..plain(PictureView::Side, false) };
    assert_eq!(read(&unscaled, [0.0; 2], centre), Err(DepthFailure::NoScale));
    let under_no_view = plain(PictureView::Reference, false);
    assert!(matches!(read(&under_no_view, [0.0; 2], centre), Err(DepthFailure::NoView { .. })));
    let station = Plane::at_station(100.0);
    assert_eq!(read(&plain(PictureView::Side, false), [0.0; 2], station), Err(DepthFailure::Oblique));
    let behind = Plane::at_half_breadth(-6000.0);
    assert!(matches!(read(&plain(PictureView::Side, false), [0.0; 2], behind), Err(DepthFailure::Plane(_))));
    let demo = desk::demo::document().unwrap();
    let waterline = Plane { at: [0.0; 3], normal: [0.0, 0.0, 1.0] };
    let through = Depth::of(&demo, &demo.pictures[0]).unwrap();
    assert_eq!(through.read([800.0, 700.0], &waterline), Err(DepthFailure::EdgeOn));
}

fn line(
    document: &Document,
    pixels: &[[f64; 2]],
    line: LineName,
) -> Result<desk::photographs::LineReading, LineFailure> {
    read_line(document, &document.pictures[0], pixels, line)
}

#[test]
fn lines_are_read_at_their_own_depth() {
    let demo = desk::demo::document().unwrap();
    // The joint at the split runs near the breadth height: 16 mm below the thrust line.
    let joint: Vec<[f64; 2]> = [[1189.5, 428.5], [934.5, 431.5], [679.0, 434.5]].into();
    let read = line(&demo, &joint, LineName::BreadthHeight).unwrap();
    let stations: Vec<f64> = read.points.iter().map(|p| p.x).collect();
    for (station, place) in stations.iter().zip([72.0, 216.0, 360.0]) {
        assert!((station - place).abs() < 1.0, "{stations:?}");
    }
    assert!(read.points.iter().all(|p| (p.value + 16.0).abs() < 1.0), "{read:?}");
    assert_eq!(read.points.iter().map(|p| p.pixel).collect::<Vec<_>>(), [2, 1, 0]);
    assert!(read.greatest_error().unwrap() > 3.0 && read.sigma().unwrap() < 1.5, "{read:?}");
    assert_eq!(line(&demo, &[], LineName::Crown), Err(LineFailure::Nothing));
    let from_the_side = line(&demo, &joint, LineName::Breadth).unwrap_err();
    assert_eq!(from_the_side, LineFailure::Depth(DepthFailure::EdgeOn));
}

#[test]
fn a_line_that_needs_another_names_it() {
    let demo = desk::demo::document().unwrap();
    let empty = Edit::ReplaceForm { form: 0, with: project::starter::empty_form("Form 1") }.apply(&demo).unwrap();
    // Landmarks tied to the form's lines have no place without them.
    let free = |l: &project::photograph::Landmark| matches!(l.place, LandmarkPlace::At(_));
    let tied = empty.pictures[0].photograph.landmarks.iter().filter(|l| !free(l)).count();
    let last = empty.pictures[0].photograph.landmarks.len();
    let bare =
        (0..tied).fold(empty, |d, i| Edit::RemoveLandmark { picture: 0, index: last - 1 - i }.apply(&d).unwrap());
    let why = line(&bare, &[[700.0, 434.0]], LineName::BreadthHeight).unwrap_err();
    assert!(matches!(why, LineFailure::Needs { needed: LineName::Breadth, .. }), "{why:?}");
    assert!(why.to_string().contains("lies where the breadth line says"), "{why}");
}
