//! Drawing, dragging, undoing, saving, reopening.

use super::*;
use crate::commands::Command;
use crate::slate::Ask;
use crate::view::Selected;
use egui::{Key, Modifiers};
use project::document::{ArcKind, LinePointKind, SectionShape};

#[test]
fn a_dragged_point_moves_by_what_the_pointer_moved_and_undo_takes_it_back() {
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Command(Command::SnapOn));
    let before = point(&window, LineName::Crown, 1);
    let from = rect(&window, "Crown point 2").center();
    let scale = scale(&window);
    drag(&mut window, from, vec2(37.0, -21.0));
    let after = point(&window, LineName::Crown, 1);
    assert!((after[0] - before[0] - 37.0 / scale).abs() < 0.02, "{before:?} {after:?} at {scale}");
    assert!((after[1] - before[1] - 21.0 / scale).abs() < 0.02, "{before:?} {after:?} at {scale}");
    click(&mut window, "Undo");
    assert_eq!(point(&window, LineName::Crown, 1), before);
    click(&mut window, "Redo");
    assert_eq!(point(&window, LineName::Crown, 1), after);
}

#[test]
fn sections_and_areas_follow_within_the_frame_of_the_drag() {
    let mut window = window(plain_desk());
    let area = |window: &Window<'_>| window.state().derived.stations[5].area;
    let before = area(&window);
    let from = rect(&window, "Crown point 2").center();
    begin_drag(&mut window, from, vec2(0.0, -30.0));
    // The frame that has just been drawn is the one in which the pointer came to rest.
    let state = window.state();
    assert!(area(&window) > before);
    let drawn = state.derived.half_box(150.0).expect("within the form").crown;
    assert!((drawn - point(&window, LineName::Crown, 1)[1]).abs() < 1e-9);
    assert!(state.desk.is_previewing());
}

#[test]
fn escape_gives_a_drag_up_and_leaves_no_step() {
    let mut window = window(plain_desk());
    let before = point(&window, LineName::Keel, 1);
    let steps = window.state().desk.undo_label().map(str::to_owned);
    let from = rect(&window, "Keel point 2").center();
    begin_drag(&mut window, from, vec2(0.0, 40.0));
    assert_ne!(point(&window, LineName::Keel, 1), before);
    window.key_press(Key::Escape);
    window.step();
    window.drop_at(from + vec2(0.0, 40.0));
    window.run_ok();
    assert_eq!(point(&window, LineName::Keel, 1), before);
    assert_eq!(window.state().desk.undo_label().map(str::to_owned), steps);
}

#[test]
fn one_drag_is_one_step() {
    let mut window = window(plain_desk());
    let before = point(&window, LineName::Breadth, 1);
    let from = rect(&window, "Breadth point 2").center();
    drag(&mut window, from, vec2(0.0, -25.0));
    drag(&mut window, from + vec2(0.0, -25.0), vec2(0.0, -11.0));
    click(&mut window, "Undo");
    click(&mut window, "Undo");
    assert_eq!(point(&window, LineName::Breadth, 1), before);
}

#[test]
fn arrow_keys_move_the_focused_point() {
    let mut window = window(plain_desk());
    let before = point(&window, LineName::Crown, 1);
    window.get_by_label("Crown point 2").focus();
    window.run_ok();
    assert_eq!(window.state().view.selected, Selected::LinePoint { line: LineName::Crown, point: 1 });
    window.key_press(Key::ArrowUp);
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    window.key_press_modifiers(Modifiers::ALT, Key::ArrowDown);
    window.run_ok();
    let after = point(&window, LineName::Crown, 1);
    assert!((after[0] - before[0] - 10.0).abs() < 1e-9, "{after:?}");
    assert!((after[1] - before[1] - 0.9).abs() < 1e-9, "{after:?}");
}

#[test]
fn tab_reaches_every_handle_on_the_floor() {
    let mut window = window(plain_desk());
    let mut reached = Vec::new();
    for _ in 0..90 {
        window.key_press(Key::Tab);
        window.run_ok();
        if let Selected::LinePoint { line, point } = window.state().view.selected {
            reached.push((line, point));
        }
    }
    for line in LineName::ALL {
        for point in 0..3 {
            assert!(reached.contains(&(line, point)), "{line:?} {point} was not reached");
        }
    }
}

#[test]
fn a_snapped_drag_takes_the_station_and_the_held_key_suspends_it() {
    let mut window = window(plain_desk());
    let from = rect(&window, "Crown point 2").center();
    // From 150 mm towards the station at 180 mm, two points short of it.
    let by = vec2((30.0 * scale(&window)) as f32 - 2.0, -9.0);
    drag(&mut window, from, by);
    assert_eq!(point(&window, LineName::Crown, 1)[0], 180.0);
    click(&mut window, "Undo");
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    window.event(egui::Event::ModifiersChanged(Modifiers::COMMAND));
    for share in [0.5, 1.0] {
        window.hover_at(from + by * share);
        window.step();
    }
    window.drop_at(from + by);
    window.run_ok();
    let x = point(&window, LineName::Crown, 1)[0];
    assert!(x != 180.0 && (x - 180.0).abs() < 3.0, "{x}");
}

#[test]
fn a_typed_number_is_taken_exactly() {
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Select(Selected::LinePoint { line: LineName::Crown, point: 1 }));
    window.get_by_label("Crown point 2 height").focus();
    window.run_ok();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_ok();
    window.get_by_label("Crown point 2 height").type_text("77.25");
    window.run_ok();
    window.key_press(Key::Enter);
    window.run_ok();
    assert_eq!(point(&window, LineName::Crown, 1), [150.0, 77.25]);
}

#[test]
fn a_point_is_added_where_the_line_is_clicked_twice_and_deleted_by_key() {
    let mut window = window(plain_desk());
    let layout = window.state().layout().expect("drawn");
    let crown = window.state().derived.value(LineName::Crown, 75.0).expect("within");
    let at = layout.side.screen([75.0, crown]);
    for _ in 0..2 {
        window.drag_at(at);
        window.event(egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed: false,
            modifiers: Modifiers::NONE,
        });
    }
    window.run_ok();
    assert_eq!(form(&window).lines.crown.points.len(), 4);
    let [x, value] = point(&window, LineName::Crown, 1);
    assert!((x - 75.0).abs() < 0.5 && (value - crown).abs() < 0.1);
    window.key_press(Key::Delete);
    window.run_ok();
    assert_eq!(form(&window).lines.crown.points.len(), 3);
}

#[test]
fn a_point_becomes_a_corner_and_gets_a_slope() {
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Select(Selected::LinePoint { line: LineName::Keel, point: 1 }));
    click(&mut window, "Corner");
    assert_eq!(form(&window).lines.keel.points[1].kind, LinePointKind::Corner);
    click(&mut window, "At a slope");
    assert_eq!(form(&window).lines.keel.points[1].kind, LinePointKind::Slope(0.0));
    window.get_by_label("Keel point 2 slope");
    click(&mut window, "Smooth");
    assert_eq!(form(&window).lines.keel.points[1].kind, LinePointKind::Smooth);
}

#[test]
fn a_section_is_shaped_by_its_shoulder_in_the_face_view() {
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Select(Selected::Section(1)));
    let from = rect(&window, "Section B shoulder 1").center();
    drag(&mut window, from, vec2(-14.0, -14.0));
    let SectionShape::Shaped(unit) = &form(&window).sections[1].shape else { panic!("it is shaped") };
    let ArcKind::Conic { rho } = unit.arcs[0] else { panic!("it is a conic") };
    assert!(rho > 0.5, "dragged outwards it is fuller than an ellipse: {rho}");
}

#[test]
fn a_mark_dragged_in_the_face_view_moves_the_master_line() {
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Select(Selected::Section(1)));
    let before = point(&window, LineName::Crown, 2);
    let from = rect(&window, "Section B crown mark").center();
    drag(&mut window, from, vec2(0.0, -17.0));
    let after = point(&window, LineName::Crown, 2);
    assert_eq!(after[0], 300.0);
    assert!((after[1] - before[1] - 17.0 / scale(&window)).abs() < 0.05);
}

#[test]
fn a_mark_is_nudged_and_typed_like_any_point() {
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Select(Selected::SectionPoint { section: 1, point: 1 }));
    window.get_by_label("Section B breadth mark").focus();
    window.run_ok();
    window.key_press(Key::ArrowLeft);
    window.run_ok();
    // To the left is to starboard, away from the centre plane.
    assert!((point(&window, LineName::Breadth, 2)[1] - 101.0).abs() < 1e-9);
    window.get_by_label("Section B mark half-breadth").focus();
    window.run_ok();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_ok();
    window.get_by_label("Section B mark half-breadth").type_text("88.5");
    window.run_ok();
    window.key_press(Key::Enter);
    window.run_ok();
    assert_eq!(point(&window, LineName::Breadth, 2), [300.0, 88.5]);
}

#[test]
fn a_section_is_copied_to_another_station() {
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Select(Selected::Section(0)));
    window.key_press_modifiers(Modifiers::COMMAND, Key::D);
    window.run_ok();
    click(&mut window, "Copy");
    let stations: Vec<f64> = form(&window).sections.iter().map(|s| s.station).collect();
    assert_eq!(stations, [0.0, 150.0, 300.0]);
}

#[test]
fn stations_are_set_at_a_pitch_moved_and_removed() {
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Command(Command::SpreadStations));
    click(&mut window, "Set stations");
    assert_eq!(form(&window).stations.len(), 11);
    let layout = window.state().layout().expect("drawn");
    let tab = egui::pos2(layout.side.screen([90.0, 0.0]).x, layout.stations.bottom() - 6.0);
    let by = vec2((11.0 * scale(&window)) as f32, 0.0);
    drag(&mut window, tab, by);
    assert!((form(&window).stations[3] - 101.0).abs() < 0.05, "{:?}", form(&window).stations);
    assert_eq!(window.state().view.selected, Selected::Station(3));
    window.key_press(Key::Delete);
    window.run_ok();
    assert_eq!(form(&window).stations.len(), 10);
}

#[test]
fn work_is_saved_and_comes_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("nose.plug.ron");
    let mut first = window(plain_desk());
    let from = rect(&first, "Crown point 2").center();
    drag(&mut first, from, vec2(0.0, -33.0));
    let drawn = point(&first, LineName::Crown, 1);
    assert!(first.state().desk.is_changed());
    first.key_press_modifiers(Modifiers::COMMAND, Key::S);
    first.run_ok();
    // The offered name is selected: what is typed takes its place.
    first.get_by_label("File name or path").type_text(&path.display().to_string());
    first.run_ok();
    click(&mut first, "Save");
    assert!(!first.state().desk.is_changed(), "{:?}", message(&first));
    assert!(path.is_file());

    let mut second = window(Desk::new());
    second.key_press_modifiers(Modifiers::COMMAND, Key::O);
    second.run_ok();
    second.get_by_label("File name or path").type_text(&path.display().to_string());
    second.run_ok();
    click(&mut second, "Open");
    assert_eq!(point(&second, LineName::Crown, 1), drawn);
}

#[test]
fn unsaved_work_is_asked_about_before_another_project_comes() {
    let mut window = window(plain_desk());
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.run_ok();
    click(&mut window, "Cancel");
    assert_eq!(form(&window).lines.crown.points.len(), 3);
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.run_ok();
    click(&mut window, "Don't save");
    assert_eq!(form(&window).lines.crown.points.len(), 0);
    window.get_by_label("What to do next");
}

#[test]
fn a_new_project_is_drawn_by_clicks_along_the_checklist() {
    let mut window = window(Desk::new());
    let layout = window.state().layout().expect("drawn");
    let lines = [
        ("Draw the crown", [[10.0, 40.0], [280.0, 70.0]], false),
        ("Draw the keel", [[10.0, -40.0], [280.0, -80.0]], false),
        ("Draw the breadth in the plan", [[10.0, 30.0], [280.0, 80.0]], true),
        ("Draw the breadth height", [[10.0, 3.0], [280.0, -4.0]], false),
    ];
    for (step, points, plan) in lines {
        click(&mut window, step);
        for p in points {
            let at = if plan { layout.plan.screen(p) } else { layout.side.screen(p) };
            window.hover_at(at);
            window.drag_at(at);
            window.drop_at(at);
            window.run_ok();
        }
        window.key_press(Key::Escape);
        window.key_press(Key::Escape);
        window.run_ok();
    }
    click(&mut window, "Add a control section and shape it");
    assert!(window.state().derived.loft().is_some(), "{:?}", message(&window));
    assert!(window.state().derived.body.expect("measured").volume > 1e5);
}

#[test]
fn a_command_is_found_and_run_from_the_list() {
    let mut window = window(plain_desk());
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    window.run_ok();
    window.get_by_label("Command to find").type_text("inches");
    window.run_ok();
    window.key_press(Key::Enter);
    window.run_ok();
    assert_eq!(window.state().view.units, crate::units::Units::Inch);
}

#[test]
fn nothing_is_repainted_while_nothing_happens() {
    let mut window = window(plain_desk());
    // The checks on their thread may still wake the window once.
    for _ in 0..40 {
        window.step();
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    window.step();
    assert!(!window.ctx.has_requested_repaint(), "{:?}", window.ctx.repaint_causes());
}
