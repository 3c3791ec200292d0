//! Measured points: typed row by row, pasted, read from a file, dropped on the window, dragged.

use super::*;
use crate::pressed::settle;
use crate::pressed::with_pictures::Dropped;
use project::document::MeasuredSection;

pub(super) fn measured_section(window: &Window<'_>) -> MeasuredSection {
    match airframe(window).fuselage.as_ref().map(|end| &end.section) {
        Some(FuselageSection::Measured(section)) => section.clone(),
        other => panic!("not measured: {other:?}; {:?}", message(window)),
    }
}

fn with_points<'a>() -> Window<'a> {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    press(&mut window, "Fuselage section section: measured");
    window
}

#[test]
fn points_are_typed_row_by_row_added_removed_and_made_corners() {
    let mut window = with_points();
    let before = measured_section(&window);
    assert_eq!(before.points.len(), 9);
    type_into(&mut window, "Fuselage section point 3 half-breadth", "66.5");
    type_into(&mut window, "Fuselage section point 3 height", "51.25");
    assert_eq!(measured_section(&window).points[2], [66.5, 51.25]);
    press(&mut window, "Add a point after fuselage section point 3");
    assert_eq!(measured_section(&window).points.len(), 10);
    assert_eq!(measured_section(&window).points[2], [66.5, 51.25]);
    press(&mut window, "Fuselage section point 4 corner");
    assert_eq!(measured_section(&window).knuckles.iter().map(|k| k.point).collect::<Vec<_>>(), [3]);
    press(&mut window, "Fuselage section point 1 corner");
    assert!(measured_section(&window).crown_ridge);
    press(&mut window, "Remove fuselage section point 4");
    let after = measured_section(&window);
    assert_eq!((after.points.len(), after.knuckles.len()), (9, 0));
    for _ in 0..6 {
        click(&mut window, "Undo");
    }
    assert_eq!(measured_section(&window), before);
}

#[test]
fn an_end_keeps_to_the_centre_plane_and_what_cannot_be_is_told() {
    let mut window = with_points();
    let before = measured_section(&window);
    // The keel above the crown is no section.
    type_into(&mut window, "Fuselage section point 9 height", "500");
    assert_eq!(measured_section(&window), before);
    assert!(message(&window).is_some_and(|m| m.contains("keel")), "{:?}", message(&window));
}

/// Pastes text into the field.
fn paste(window: &mut Window<'_>, text: &str) {
    let field = window.get_by_label("Fuselage section points");
    field.scroll_to_me();
    field.focus();
    window.run_ok();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_ok();
    window.event(egui::Event::Paste(text.into()));
    window.run_ok();
}

#[test]
fn what_is_wrong_in_pasted_rows_is_named_by_its_line_and_can_be_cleared() {
    let mut window = with_points();
    let before = measured_section(&window);
    paste(&mut window, "y;z\n0;60\n40;zero\n0;-60");
    window.get_by_label_contains("Line 3: The height is “zero”");
    assert!(window.query_by_label("Use these points for the fuselage section").is_none());
    press(&mut window, "Clear what was pasted");
    paste(&mut window, "0;-60\n48;2,5\n0;60\n-47,5;2,5");
    window.get_by_label_contains("Both halves were given");
    press(&mut window, "Use these points for the fuselage section");
    assert_eq!(measured_section(&window).points, [[0.0, 60.0], [48.0, 2.5], [0.0, -60.0]]);
    click(&mut window, "Undo");
    assert_eq!(measured_section(&window), before);
}

fn csv(text: &str) -> (tempfile::TempDir, std::path::PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("fuselage end.csv");
    std::fs::write(&path, text).expect("written");
    (folder, path)
}

const ROWS: &str = "\u{feff}half-breadth;height\r\n\r\n0;-55\r\n40;-30\r\n52,25;3\r\n0;60,5\r\n";
const POINTS: [[f64; 2]; 4] = [[0.0, 60.5], [52.25, 3.0], [40.0, -30.0], [0.0, -55.0]];

#[test]
fn points_are_read_from_a_file_by_the_dialog() {
    let (_folder, path) = csv(ROWS);
    let mut window = on(Tab::Bench);
    // Also where there is no fuselage end yet.
    press(&mut window, "Read a CSV file for the fuselage section");
    window.get_by_label("File name or path").type_text(&path.display().to_string());
    window.run_ok();
    click(&mut window, "Open");
    settle(&mut window);
    assert_eq!(measured_section(&window).points, POINTS);
    assert!(window.state().note.as_ref().is_some_and(|n| n.contains("turned round")), "{:?}", window.state().note);
    click(&mut window, "Undo");
    assert_eq!(airframe(&window).fuselage, None);
}

#[test]
fn a_file_is_read_for_the_further_section_too() {
    let (_folder, path) = csv("half-breadth (in),height (in)\n0,2\n2.5,0\n0,-2\n");
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    press(&mut window, "Add a further section");
    press(&mut window, "Read a CSV file for the further section");
    window.get_by_label("File name or path").type_text(&path.display().to_string());
    window.run_ok();
    click(&mut window, "Open");
    settle(&mut window);
    let end = airframe(&window).fuselage.clone().expect("added");
    assert!(matches!(end.section, FuselageSection::Ellipse { .. }), "{:?}", end.section);
    match end.further {
        Some((330.0, FuselageSection::Measured(section))) => assert_eq!(section.points[1], [63.5, 0.0]),
        other => panic!("{other:?}; {:?}", message(&window)),
    }
}

fn dropped(window: &mut Window<'_>, path: &std::path::Path) {
    window.input_mut().dropped_files.push(Arc::new(Dropped(path.to_owned())));
    window.run_ok();
    settle(window);
}

#[test]
fn a_file_dropped_on_the_bench_is_read_and_elsewhere_it_is_said_where() {
    let (_folder, path) = csv(ROWS);
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    dropped(&mut window, &path);
    assert_eq!(measured_section(&window).points, POINTS);
    window.state_mut().view.tab = Tab::Shape;
    dropped(&mut window, &path);
    window.get_by_label_contains("Open the Bench page");
}

#[test]
fn a_file_that_is_no_table_is_told_with_line_and_hint() {
    let (_folder, path) = csv("y,z\n0,60\n40,-2,3,4\n0,-60\n");
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    let before = airframe(&window);
    dropped(&mut window, &path);
    window.get_by_label_contains("Line 3: A row has two numbers, this one has 4");
    assert_eq!(airframe(&window), before);
}

#[test]
fn measured_points_are_dragged_added_and_deleted_on_the_face_view() {
    let mut window = with_points();
    let before = measured_section(&window);
    let from = rect(&window, "Fuselage section, point 3, face view").center();
    let by = window.state().layout().expect("drawn").face.scale[0];
    drag(&mut window, from, vec2(-20.0, -15.0));
    let after = measured_section(&window).points[2];
    let wanted = [before.points[2][0] + 20.0 / by, before.points[2][1] + 15.0 / by];
    assert!((after[0] - wanted[0]).abs() < 0.05 && (after[1] - wanted[1]).abs() < 0.05, "{after:?} {wanted:?}");
    // An end slides along the centre plane.
    let from = rect(&window, "Fuselage section, point 1, face view").center();
    drag(&mut window, from, vec2(14.0, -12.0));
    let crown = measured_section(&window).points[0];
    assert!(crown[0] == 0.0 && (crown[1] - before.points[0][1] - 12.0 / by).abs() < 0.05, "{crown:?}");
    window.key_press(Key::Delete);
    window.run_ok();
    assert_eq!(measured_section(&window).points.len(), 9, "an end is not deleted");
    window.get_by_label("Fuselage section, point 4, face view").focus();
    window.run_ok();
    window.key_press(Key::Delete);
    window.run_ok();
    assert_eq!(measured_section(&window).points.len(), 8);
}
