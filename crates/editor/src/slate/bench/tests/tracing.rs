//! A section traced on a face picture.

use super::points::measured_section;
use super::*;
use crate::floor::layout::View;
use crate::pressed::with_pictures::{click_at, png};
use egui::Pos2;
use project::document::{KnownDistance, Picture, PictureView, Placement};

/// A window on the bench with a face picture of 2 px to the mm, its middle on the datum, to scale if wanted.
fn with_face_picture<'a>(to_scale: bool) -> Window<'a> {
    let mut window = on(Tab::Bench);
    let bytes = png(400, 400);
    let known = KnownDistance { a: [100.0, 200.0], b: [300.0, 200.0], distance_mm: 100.0, full_size: false };
    let picture = Picture {
        name: "face".into(),
        view: PictureView::Face,
        file: project::file::picture_file_name("face", &bytes),
        bytes: bytes.into(),
        size_px: [400, 400],
        placement: Placement { mm_per_px: 0.5, rotation_deg: 0.0, offset: [-100.0, 100.0], mirrored: false },
        scale: to_scale.then_some(known),
        check: None,
        level: None,
        opacity: 0.6,
        locked: false,
        hidden: false,
        photograph: project::photograph::Photograph::default(),
    };
    ask(&mut window, Ask::Do(Edit::AddPicture(picture)));
    window
}

/// A place of the face view, in mm to starboard and up, on the screen.
fn place(window: &Window<'_>, [starboard, up]: [f64; 2]) -> Pos2 {
    window.state().layout().expect("drawn").face.screen([-starboard, up])
}

fn trace(window: &mut Window<'_>, points: &[[f64; 2]]) {
    for p in points {
        let at = place(window, *p);
        click_at(window, at);
    }
}

/// Half of an ellipse of half axes 60 and 50, from the keel, a place each click.
fn half(sign: f64) -> Vec<[f64; 2]> {
    (0..=6)
        .map(|i| {
            let (sin, cos) = (std::f64::consts::PI * f64::from(i) / 6.0).sin_cos();
            [sign * 60.0 * sin, -50.0 * cos]
        })
        .collect()
}

#[test]
fn an_outline_that_is_traced_becomes_measured_points_in_one_step() {
    let mut window = with_face_picture(true);
    press(&mut window, "Add the fuselage end");
    let before = airframe(&window);
    press(&mut window, "Trace the fuselage section from the picture");
    trace(&mut window, &half(1.0));
    assert_eq!(airframe(&window), before, "nothing changes while it is traced");
    window.key_press(Key::Enter);
    window.run_ok();
    let section = measured_section(&window);
    assert_eq!(section.points.len(), 7, "{:?}", message(&window));
    // From crown to keel, ends on the centre plane, each as near as a pixel of the screen.
    for (p, wanted) in section.points.iter().zip(half(1.0).iter().rev()) {
        assert!((p[0] - wanted[0]).abs() < 0.5 && (p[1] - wanted[1]).abs() < 0.5, "{p:?} {wanted:?}");
    }
    assert_eq!((section.points[0][0], section.points[6][0]), (0.0, 0.0));
    assert_eq!(airframe(&window).fuselage.as_ref().map(|end| end.station), Some(300.0));
    click(&mut window, "Undo");
    assert_eq!(airframe(&window), before);
    click(&mut window, "Redo");
    let from = rect(&window, "Fuselage section, point 2, face view").center();
    drag(&mut window, from, vec2(-10.0, 0.0));
    assert!(measured_section(&window).points[1][0] > section.points[1][0] + 1.0);
}

#[test]
fn the_port_half_serves_too_and_where_there_is_no_fuselage_end_one_is_made() {
    let mut window = with_face_picture(true);
    press(&mut window, "Trace the fuselage section from the picture");
    trace(&mut window, &half(-1.0));
    press(&mut window, "Use what is traced");
    let section = measured_section(&window);
    assert!(section.points[3][0] > 59.0 && section.points[0][1] > 49.0, "{section:?}");
    click(&mut window, "Undo");
    assert_eq!(airframe(&window).fuselage, None);
}

#[test]
fn a_trace_is_dropped_by_escape_and_taken_back_point_by_point() {
    let mut window = with_face_picture(true);
    press(&mut window, "Add the fuselage end");
    let before = airframe(&window);
    press(&mut window, "Trace the fuselage section from the picture");
    trace(&mut window, &[[0.0, 50.0], [40.0, 30.0], [70.0, 0.0]]);
    window.key_press(Key::Backspace);
    window.run_ok();
    trace(&mut window, &[[60.0, 0.0]]);
    // An end off the centre line, or the other half, is told, and tracing goes on.
    window.key_press(Key::Enter);
    window.run_ok();
    assert!(message(&window).is_some_and(|m| m.contains("last point lies off")), "{:?}", message(&window));
    trace(&mut window, &[[-40.0, -30.0]]);
    assert!(message(&window).is_some_and(|m| m.contains("other half")), "{:?}", message(&window));
    trace(&mut window, &[[0.0, -50.0]]);
    assert_eq!(window.state().trace.as_ref().map(|t| t.points.len()), Some(4));
    window.key_press(Key::Escape);
    window.run_ok();
    assert_eq!((airframe(&window), window.state().trace.clone()), (before, None));
}

#[test]
fn without_a_picture_to_scale_it_is_said_what_to_do_first() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Trace the fuselage section from the picture");
    assert!(message(&window).is_some_and(|m| m.contains("no face picture")), "{:?}", message(&window));
    let mut window = with_face_picture(false);
    press(&mut window, "Trace the fuselage section from the picture");
    assert!(message(&window).is_some_and(|m| m.contains("to scale first")), "{:?}", message(&window));
    assert_eq!(window.state().trace, None);
}

#[test]
fn a_point_is_added_to_the_outline_by_a_click_with_the_command_key() {
    let mut window = with_face_picture(true);
    press(&mut window, "Trace the fuselage section from the picture");
    trace(&mut window, &half(1.0));
    window.key_press(Key::Enter);
    window.run_ok();
    // Half way between two points, on the ellipse that the curve follows there.
    let (sin, cos) = (std::f64::consts::PI * 2.5 / 6.0).sin_cos();
    let at = place(&window, [60.0 * sin, 50.0 * cos]);
    window.hover_at(at);
    window.key_down_modifiers(Modifiers::COMMAND, Key::F35);
    for pressed in [true, false] {
        window.event_modifiers(
            egui::Event::PointerButton {
                pos: at,
                button: egui::PointerButton::Primary,
                pressed,
                modifiers: Modifiers::COMMAND,
            },
            Modifiers::COMMAND,
        );
    }
    window.run_ok();
    assert_eq!(measured_section(&window).points.len(), 8, "{:?}", message(&window));
    assert!(matches!(window.state().view.selected, Selected::Bench { view: View::Face, .. }));
}

/// The section stands 300 mm behind the plane that the scale holds for, and the camera 2000 mm ahead of that plane, so what is
/// shown is 2000 / 2300 of what is there (similar triangles).
#[test]
fn where_the_distance_is_known_the_section_is_read_at_its_own_station() {
    let mut window = with_face_picture(true);
    press(&mut window, "Add the fuselage end");
    let end = window.state().desk.document().airframe.fuselage.clone().expect("added");
    let station = Edit::SetFuselage(Some(project::airframe::FuselageEnd { station: 300.0, ..end }));
    ask(&mut window, Ask::Do(station));
    let model_scale = window.state().desk.document().model_scale;
    ask(&mut window, Ask::Do(Edit::SetCameraDistance { picture: 0, distance_mm: Some(2000.0 * model_scale) }));
    press(&mut window, "Trace the fuselage section from the picture");
    trace(&mut window, &half(1.0));
    window.key_press(egui::Key::Enter);
    window.run_ok();
    let section = measured_section(&window);
    let (y, z) = section.points.iter().fold((0.0_f64, 0.0_f64), |m, p| (m.0.max(p[0]), m.1.max(p[1])));
    assert!((y - 69.0).abs() < 0.7 && (z - 57.5).abs() < 0.7, "{y} {z}");
    let told = window.state().note.clone().expect("told");
    assert!(told.contains("corrected for their depth by up to 9.") || told.contains("by up to 8.9"), "{told}");
}
