//! The light table: landmarks picked, told, dragged, doubted; what is known of the camera; what is read without one.

use super::with_pictures::{bring_in, click_at, png};
use super::*;
use crate::commands::Command;
use crate::light_table::landmarks::target;
use crate::slate::Ask;
use crate::view::Selected;
use desk::photographs::CameraFailure;
use project::document::{KnownDistance, Picture};
use project::photograph::{FigurePoint, FlatFigure, Landmark, LandmarkPlace, NamedDistance};
use std::sync::Arc;

/// The demo's pictures.
const SIDE: usize = 0;
const FACE: usize = 1;

fn picture(window: &Window<'_>, index: usize) -> Arc<Picture> {
    window.state().desk.document().pictures[index].clone()
}

fn landmarks(window: &Window<'_>) -> Vec<Landmark> {
    picture(window, SIDE).photograph.landmarks.clone()
}

fn index_of(window: &Window<'_>, name: &str) -> usize {
    landmarks(window).iter().position(|l| l.name == name).expect("the demo has it")
}

/// Until the cameras of the document as it is are found.
fn found(window: &mut Window<'_>) {
    for _ in 0..600 {
        window.run_ok();
        if window.state().table.cameras.as_ref().is_some_and(|c| !c.is_seeking() && c.of(SIDE).is_some()) {
            window.run_ok();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("the cameras did not come");
}

/// The demo with its side picture on the table.
fn demo<'a>() -> Window<'a> {
    let mut desk = Desk::new();
    desk.open_demo().expect("it is built in");
    let mut window = window(desk);
    window.state_mut().view.selected = Selected::Picture(SIDE);
    ask(&mut window, Ask::Command(Command::LightTable));
    found(&mut window);
    window
}

fn screen(window: &Window<'_>, px: [f64; 2]) -> Pos2 {
    let table = &window.state().table;
    table.sheet.screen(table.place.expect("drawn"), px)
}

/// Clicks a pixel of the picture on the table.
fn click_px(window: &mut Window<'_>, px: [f64; 2]) {
    let at = screen(window, px);
    click_at(window, at);
}

fn says(window: &Window<'_>, part: &str) -> bool {
    window.query_all_by_label_contains(part).next().is_some()
}

fn near(a: [f64; 2], b: [f64; 2], within: f64) -> bool {
    (a[0] - b[0]).hypot(a[1] - b[1]) < within
}

#[test]
fn a_thing_of_another_picture_is_picked_with_its_place_and_trust() {
    let mut window = demo();
    let index = index_of(&window, "spinner tip");
    let there = landmarks(&window)[index].clone();
    ask(&mut window, Ask::Do(Edit::RemoveLandmark { picture: SIDE, index }));
    ask(&mut window, Ask::Command(Command::PickLandmarks));
    press(&mut window, "The next click is");
    click(&mut window, "spinner tip");
    assert!(window.state().note.clone().is_some_and(|note| note.contains("Click spinner tip")));
    click_px(&mut window, there.pixel);
    let picked = landmarks(&window).last().cloned().expect("one was picked");
    assert_eq!(
        (picked.name.as_str(), picked.place, picked.trust_mm, picked.used),
        ("spinner tip", there.place, 2.0, true)
    );
    assert!(near(picked.pixel, there.pixel, 0.5), "{picked:?}");
    assert!(picture(&window, FACE).photograph.landmarks.iter().any(|l| l.name == "spinner tip"));
    // Nothing that the face picture has is missing here now: the next is told afterwards.
    let count = landmarks(&window).len();
    ask(&mut window, Ask::Command(Command::Undo));
    assert_eq!(landmarks(&window).len(), count - 1);
}

#[test]
fn a_fresh_landmark_counts_once_it_is_told_and_what_the_camera_shows_there_is_offered() {
    let mut window = demo();
    let index = index_of(&window, "crown at the middle joint");
    let there = landmarks(&window)[index].clone();
    ask(&mut window, Ask::Do(Edit::RemoveLandmark { picture: SIDE, index }));
    found(&mut window);
    ask(&mut window, Ask::Command(Command::PickLandmarks));
    click_px(&mut window, there.pixel);
    let fresh = landmarks(&window).last().cloned().expect("one was picked");
    assert!(!fresh.used);
    assert!(says(&window, "does not count yet"));
    found(&mut window);
    press(&mut window, "Take crown at 216 mm");
    let told = landmarks(&window).last().cloned().expect("still there");
    assert_eq!((told.place, told.used), (LandmarkPlace::Crown { station: 216.0 }, true));
    assert_eq!(told.pixel, fresh.pixel, "the pick stays where the hand put it");
    assert_eq!(told.name, "crown at 216 mm");
}

#[test]
fn a_landmark_is_dragged_in_one_step_and_removed_and_brought_back() {
    let mut window = demo();
    let before = landmarks(&window);
    let scale = window.state().table.sheet.scale;
    let at = rect(&window, "Landmark port wheel axle").center();
    drag(&mut window, at, vec2(12.0, -6.0));
    let index = index_of(&window, "port wheel axle");
    let moved = landmarks(&window)[index].pixel;
    let wanted = [before[index].pixel[0] + 12.0 / scale, before[index].pixel[1] - 6.0 / scale];
    assert!(near(moved, wanted, 0.2), "{moved:?} {wanted:?}");
    assert_eq!(window.state().view.selected, target(SIDE, index));
    window.key_press(Key::Delete);
    window.run_ok();
    assert!(landmarks(&window).iter().all(|l| l.name != "port wheel axle"));
    for _ in 0..2 {
        ask(&mut window, Ask::Command(Command::Undo));
    }
    assert_eq!(landmarks(&window), before);
}

#[test]
fn a_mistyped_landmark_is_named_with_the_coordinate_that_fits() {
    let mut window = demo();
    let index = index_of(&window, "port mark 1");
    let with = Landmark { place: LandmarkPlace::At([375.0, 72.5, -15.0]), ..landmarks(&window)[index].clone() };
    ask(&mut window, Ask::Do(Edit::ReplaceLandmark { picture: SIDE, index, with }));
    found(&mut window);
    // The side view hardly shows a place's depth: what it shows is height.
    let with = Landmark { place: LandmarkPlace::At([375.0, -72.5, 15.0]), ..landmarks(&window)[index].clone() };
    ask(&mut window, Ask::Do(Edit::ReplaceLandmark { picture: SIDE, index, with }));
    found(&mut window);
    assert!(says(&window, "port mark 1 does not go with the others"));
    press(&mut window, "Take z -15.0 mm for port mark 1");
    found(&mut window);
    assert_eq!(landmarks(&window)[index].place, LandmarkPlace::At([375.0, -72.5, -15.0]));
    assert!(!says(&window, "does not go with the others"));
}

#[test]
fn two_landmarks_under_each_others_name_are_told() {
    let mut window = demo();
    let [a, b] = ["port mark 1", "port wheel axle"].map(|name| index_of(&window, name));
    let all = landmarks(&window);
    for (index, pixel) in [(a, all[b].pixel), (b, all[a].pixel)] {
        let with = Landmark { pixel, ..all[index].clone() };
        ask(&mut window, Ask::Do(Edit::ReplaceLandmark { picture: SIDE, index, with }));
    }
    found(&mut window);
    assert!(says(&window, "It fits where port wheel axle was picked, and that one here"));
    assert!(says(&window, "It fits where port mark 1 was picked, and that one here"));
}

#[test]
fn a_doubtful_landmark_is_left_out_and_taken_in_again() {
    let mut window = demo();
    let index = index_of(&window, "port wheel axle");
    let with = Landmark { pixel: [1200.0, 700.0], ..landmarks(&window)[index].clone() };
    ask(&mut window, Ask::Do(Edit::ReplaceLandmark { picture: SIDE, index, with }));
    found(&mut window);
    press(&mut window, "Leave port wheel axle out");
    found(&mut window);
    assert!(!landmarks(&window)[index].used);
    assert!(!says(&window, "does not go with the others"));
    press(&mut window, "Use port wheel axle");
    assert!(landmarks(&window)[index].used);
}

#[test]
fn three_landmarks_are_refused_with_what_to_do() {
    let mut window = demo();
    for index in 3..landmarks(&window).len() {
        let with = Landmark { used: false, ..landmarks(&window)[index].clone() };
        ask(&mut window, Ask::Do(Edit::ReplaceLandmark { picture: SIDE, index, with }));
    }
    found(&mut window);
    let cameras = window.state().table.cameras.as_ref().expect("made");
    assert!(matches!(cameras.of(SIDE), Some(Err(CameraFailure::Resection(_)))));
    assert!(says(&window, "3 landmarks at different places are too few: 4 are needed. Pick 1 more."));
}

#[test]
fn a_landmarks_numbers_are_typed() {
    let mut window = demo();
    let index = index_of(&window, "port mark 2");
    ask(&mut window, Ask::Select(target(SIDE, index)));
    type_into(&mut window, "Up, z of port mark 2", "-4.5");
    assert_eq!(landmarks(&window)[index].place, LandmarkPlace::At([437.5, -69.5, -4.5]));
    type_into(&mut window, "Known to ± of port mark 2", "1.5");
    assert_eq!(landmarks(&window)[index].trust_mm, 1.5);
}

#[test]
fn the_focal_length_is_cleared_and_typed_and_the_camera_told_in_words() {
    let mut window = demo();
    assert!(says(&window, "m at full size"));
    assert!(says(&window, "as 35-mm equivalent"));
    press(&mut window, "Clear the focal length");
    assert_eq!(picture(&window, SIDE).photograph.focal, None);
    found(&mut window);
    press(&mut window, "Type the focal length");
    type_into(&mut window, "Focal length in pixels", "5200");
    let focal = picture(&window, SIDE).photograph.focal.expect("typed");
    assert!((focal.px - 5200.0).abs() < 1e-9, "{focal:?}");
    assert!((focal.tolerance_px / focal.px - 0.1).abs() < 0.005, "{focal:?}");
}

/// Opens the part of the slate that is folded away at first.
fn open_flat(window: &mut Window<'_>) {
    press(window, "Distances, lens, flat figure");
}

#[test]
fn the_odd_one_out_of_several_distances_is_marked() {
    let mut window = demo();
    let side = picture(&window, SIDE);
    let distances = [1.0, 1.0, 1.25].iter().enumerate().map(|(k, wrong)| {
        let (a, b) = ([300.0, 200.0 + 100.0 * k as f64], [1100.0, 200.0 + 100.0 * k as f64]);
        let distance_mm = wrong * 800.0 * side.placement.mm_per_px;
        let known = KnownDistance { a, b, distance_mm, full_size: false };
        NamedDistance { name: format!("Panel {k}"), known, trust_mm: 0.0 }
    });
    let distances = distances.collect();
    ask(&mut window, Ask::Do(Edit::SetDistances { picture: SIDE, distances }));
    open_flat(&mut window);
    // The wrong one is a fourth of what the picture shows too long.
    let off = 0.25 * 800.0 * side.placement.mm_per_px;
    assert_eq!(window.query_all_by_label_contains("odd one out").count(), 1);
    let told = (-20..=20).any(|tenth| says(&window, &format!("odd one out, {:.1} mm", off + 0.1 * f64::from(tenth))));
    assert!(told, "off by {off:.1} mm");
    let scale = window.state().table.flat.read().expect("read").scale.clone().expect("several");
    assert!(scale.distances.iter().enumerate().all(|(k, fit)| fit.out == (k == 4)), "{scale:?}");
}

/// Places of a plane, mm at the model, and where the picture of 400 by 300 pixels shows them: seen at a slant.
const CORNERS: [([f64; 2], [f64; 2]); 4] = [
    ([0.0, 0.0], [80.0, 60.0]),
    ([200.0, 0.0], [300.0, 90.0]),
    ([200.0, 100.0], [310.0, 210.0]),
    ([0.0, 100.0], [70.0, 230.0]),
];

#[test]
fn a_rectangle_becomes_a_square_picture_to_scale() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("hatch.png");
    std::fs::write(&path, png(400, 300)).expect("written");
    let mut window = window(plain_desk());
    bring_in(&mut window, &path, "Side view");
    ask(&mut window, Ask::Command(Command::LightTable));
    ask(&mut window, Ask::Command(Command::MarkFigure));
    for (_, pixel) in CORNERS {
        click_px(&mut window, pixel);
    }
    open_flat(&mut window);
    click_sides(&mut window);
    make_square(&mut window);
    let square = picture(&window, 1);
    assert_eq!(square.name, "hatch, square");
    assert!(window.state().note.clone().is_some_and(|note| note.contains("hatch, square")));
    let known = square.scale.expect("to scale");
    let mm_per_px = known.distance_mm / (known.b[0] - known.a[0]);
    assert!((square.placement.mm_per_px - mm_per_px).abs() < 1e-9);
    // Half the longer side stands about the figure: 200 + 2 * 100 by 100 + 2 * 100 mm.
    assert!(
        (f64::from(square.size_px[0]) * mm_per_px - 400.0).abs() < 2.0 * mm_per_px,
        "{square:?}",
        square = square.size_px
    );
    assert!((f64::from(square.size_px[1]) * mm_per_px - 300.0).abs() < 2.0 * mm_per_px);
    // Each pixel of the source tells in its colours where it is (red across, green down): the corners lie where they shall.
    let drawn = photo::decode(&square.bytes).expect("a picture");
    for (plane, pixel) in CORNERS {
        let at = plane.map(|mm| ((mm + 100.0) / mm_per_px) as usize);
        let colour = &drawn.rgba[4 * (at[1] * drawn.width as usize + at[0])..][..2];
        let wanted = pixel.map(|v| v.rem_euclid(256.0));
        assert!((0..2).all(|k| (f64::from(colour[k]) - wanted[k]).abs() < 4.0), "{colour:?} {wanted:?}");
    }
    ask(&mut window, Ask::Command(Command::Undo));
    assert_eq!(window.state().desk.document().pictures.len(), 1);
}

/// Has the square picture made.
fn make_square(window: &mut Window<'_>) {
    let before = window.state().desk.document().pictures.len();
    press(window, "Make a square picture of it");
    for _ in 0..400 {
        window.run_ok();
        if window.state().desk.document().pictures.len() > before {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("the square picture did not come");
}

#[test]
fn a_square_picture_lies_where_its_photograph_shows_the_same() {
    let mut window = demo();
    let corners = [[705.0, 323.0], [1105.0, 323.0], [1105.0, 523.0], [705.0, 523.0]];
    let sides = [[0.0, 0.0], [400.0, 0.0], [400.0, 200.0], [0.0, 200.0]];
    let points = corners.into_iter().zip(sides).map(|(pixel, plane)| FigurePoint { pixel, plane }).collect();
    let figure = Some(FlatFigure { points, full_size: false });
    ask(&mut window, Ask::Do(Edit::SetFigure { picture: SIDE, figure }));
    open_flat(&mut window);
    make_square(&mut window);
    let (side, square) = (picture(&window, SIDE), picture(&window, 3));
    // The figure is seen squarely, so its middle is the square picture's.
    let middle = square.placement.to_view(square.size_px.map(|s| 0.5 * f64::from(s)));
    let there = side.placement.to_view([905.0, 423.0]);
    assert!(near(middle, there, 1.0), "{middle:?} {there:?}");
}

/// Types the rectangle's sides, at the model.
fn click_sides(window: &mut Window<'_>) {
    press(window, "The figure is of the full-size machine");
    type_into(window, "Width of the figure", "200");
    type_into(window, "Height of the figure", "100");
    let figure = picture(window, 0).photograph.figure.clone().expect("marked");
    assert!(!figure.full_size);
    for (point, (plane, _)) in figure.points.iter().zip(CORNERS) {
        assert!(near(point.plane, plane, 1e-9), "{point:?}");
    }
}

#[test]
fn a_grid_is_marked_row_by_row() {
    let mut window = demo();
    let pixel = |k: usize| [400.0 + 60.0 * (k % 3) as f64, 300.0 + 50.0 * (k / 3) as f64];
    let point = |k: usize| FigurePoint { pixel: pixel(k), plane: [(k % 3) as f64 * 50.0, (k / 3) as f64 * 50.0] };
    window.state_mut().table.flat.wanted.grid = [3, 2];
    window.state_mut().table.flat.wanted.spacing = 50.0;
    open_flat(&mut window);
    press(&mut window, "Mark a grid");
    for k in 0..6 {
        click_px(&mut window, pixel(k));
    }
    let marked: FlatFigure = picture(&window, SIDE).photograph.figure.clone().expect("six crossings");
    assert_eq!(marked.points.len(), 6);
    for (k, p) in marked.points.iter().enumerate() {
        assert!(near(p.pixel, point(k).pixel, 1.5) && near(p.plane, point(k).plane, 1e-9), "{p:?}");
    }
    assert!(says(&window, "At the corners"));
}
