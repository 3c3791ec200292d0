//! Openings taken hold of on the floor, and drawn there.

use super::*;
use crate::commands::Command;
use crate::floor::layout::View;
use crate::floor::scene::StrokeKind;
use crate::pressed::with_pictures::click_at;
use crate::pressed::{ask, begin_drag, drag, rect, scale};
use crate::slate::Ask;
use crate::view::{Selected, Tool};
use egui::{Key, Modifiers, Pos2, vec2};

/// A place of a view on the screen.
fn place(window: &Window<'_>, view: View, at: [f64; 2]) -> Pos2 {
    window.state().layout().expect("drawn").window(view).screen(at)
}

/// Where the lines of the first opening reach in a view along its first place.
fn reach(window: &Window<'_>, view: View, kind: StrokeKind) -> [f64; 2] {
    let target = selected(0, OpeningGrip::Whole, one(window).seen);
    let strokes = window.state().scene.strokes.iter();
    let own = strokes.filter(|s| s.view == view && s.kind == kind && s.target == Some(target));
    let places = own.flat_map(|s| &s.points).map(|p| p[0]);
    places.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], v| [low.min(v), high.max(v)])
}

#[test]
fn a_dragged_opening_follows_live_in_every_view_and_is_one_step() {
    let mut window = with("air outlet");
    let (before, by) = (sized(&window).0, scale(&window));
    let side = reach(&window, View::Side, StrokeKind::ShellFaint);
    assert!(side[0].is_finite(), "it lies in the side view too");
    let from = rect(&window, "Air outlet, plan").center();
    begin_drag(&mut window, from, vec2(-21.0, 0.0));
    let during = sized(&window).0;
    assert!((during[0] - before[0] + 21.0 / by).abs() < 0.05, "{before:?} {during:?}");
    // On the surface it follows a moment later, while the button is still held.
    let moved = (0..400).find_map(|_| {
        std::thread::sleep(std::time::Duration::from_millis(5));
        window.step();
        let moved = reach(&window, View::Side, StrokeKind::ShellFaint);
        ((moved[0] - side[0] + 21.0 / by).abs() < 0.3).then_some(moved)
    });
    assert!(moved.is_some() && window.state().desk.is_previewing(), "{side:?}");
    window.drop_at(from + vec2(-21.0, 0.0));
    window.run_ok();
    assert_eq!(sized(&window).0, during);
    click(&mut window, "Undo");
    assert_eq!(sized(&window).0, before);
    click(&mut window, "Undo");
    assert!(openings(&window).is_empty());
}

#[test]
fn size_turn_and_corners_are_dragged() {
    let mut window = with("exhaust hole");
    press(&mut window, "Opening 1 shape: box");
    let by = scale(&window);
    let [length, height] = sized(&window).1;
    let from = rect(&window, "Exhaust hole, length, side view").center();
    drag(&mut window, from, vec2(12.0, 0.0));
    assert!((sized(&window).1[0] - length - 24.0 / by).abs() < 0.1);
    let from = rect(&window, "Exhaust hole, height, side view").center();
    drag(&mut window, from, vec2(0.0, -12.0));
    assert!((sized(&window).1[1] - height - 24.0 / by).abs() < 0.1);
    let Outline::Box { radius, .. } = one(&window).outline else { panic!("a box") };
    let from = rect(&window, "Exhaust hole, corner radius, side view").center();
    drag(&mut window, from, vec2(-8.0, 8.0));
    let Outline::Box { radius: rounder, .. } = one(&window).outline else { panic!("a box") };
    assert!((rounder - radius - 8.0 / by / (1.0 - std::f64::consts::FRAC_1_SQRT_2)).abs() < 0.2 || rounder > radius);
    let from = rect(&window, "Exhaust hole, turn, side view").center();
    drag(&mut window, from, vec2(0.0, 10.0));
    assert!(sized(&window).2 > 2.0, "{}", sized(&window).2);
}

#[test]
fn the_keyboard_nudges_and_deletes_an_opening() {
    let mut window = with("air intake");
    let before = sized(&window).0;
    window.get_by_label("Air intake, face view").focus();
    window.run_ok();
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    window.run_ok();
    // The face view has starboard on its left.
    assert_eq!(sized(&window).0, [before[0] - 10.0, before[1]]);
    window.key_press(Key::Delete);
    window.run_ok();
    assert!(openings(&window).is_empty());
}

#[test]
fn points_are_added_on_the_line_dragged_made_corners_and_deleted() {
    let mut window = with("exhaust hole");
    press(&mut window, "Opening 1 shape: drawn");
    let points = |window: &Window<'_>| match one(window).outline {
        Outline::Drawn { points } => points,
        other => panic!("{other:?}"),
    };
    let count = points(&window).len();
    let curve = OutlineCurve::of(&one(&window).outline).expect("good");
    // A place on the line half way between the first two points.
    let at = place(&window, View::Side, curve.at(0.5).p);
    window.event(egui::Event::ModifiersChanged(Modifiers::COMMAND));
    click_at(&mut window, at);
    window.event(egui::Event::ModifiersChanged(Modifiers::NONE));
    window.run_ok();
    assert_eq!(points(&window).len(), count + 1, "{:?}", message(&window));
    let target = window.state().view.selected;
    assert!(matches!(target, Selected::OnShell { item, .. } if item.is_outline_point()), "{target:?}");
    ask(&mut window, Ask::Command(Command::Corner));
    assert!(points(&window)[1].corner);
    ask(&mut window, Ask::Command(Command::Smooth));
    assert!(!points(&window)[1].corner);
    let before = points(&window)[1].at;
    // The status line tells what lies under the pointer.
    window.hover_at(egui::pos2(5.0, 5.0));
    window.run_ok();
    let from = rect(&window, "Exhaust hole, point 2, side view").center();
    drag(&mut window, from, vec2(15.0, 0.0));
    window.hover_at(egui::pos2(5.0, 5.0));
    window.run_ok();
    assert!((points(&window)[1].at[0] - before[0] - 15.0 / scale(&window)).abs() < 0.05);
    window.get_by_label("Exhaust hole, point 2, side view").focus();
    window.run_ok();
    window.key_press(Key::Delete);
    window.run_ok();
    assert_eq!(points(&window).len(), count);
}

#[test]
fn an_outline_is_drawn_by_clicks_and_closed_by_enter() {
    let mut window = on_openings();
    press(&mut window, "Draw an opening");
    assert_eq!(window.state().view.tool, Tool::Outline);
    let wanted = [[40.0, 50.0], [70.0, 45.0], [60.0, 20.0], [35.0, 25.0]];
    for [y, z] in wanted {
        let at = place(&window, View::Face, [-y, z]);
        click_at(&mut window, at);
    }
    let elsewhere = place(&window, View::Side, [150.0, 10.0]);
    click_at(&mut window, elsewhere);
    assert!(message(&window).is_some_and(|m| m.contains("where the outline was begun")), "{:?}", message(&window));
    assert!(openings(&window).is_empty(), "nothing changes while it is drawn");
    window.key_press(Key::Enter);
    window.run_ok();
    let opening = one(&window);
    assert_eq!((opening.seen, opening.mirrored), (Seen::Ahead, false));
    let Outline::Drawn { points } = &opening.outline else { panic!("drawn") };
    assert_eq!(points.len(), 4);
    for (p, wanted) in points.iter().zip(wanted) {
        assert!((p.at[0] - wanted[0]).abs() < 0.6 && (p.at[1] - wanted[1]).abs() < 0.6, "{p:?} {wanted:?}");
    }
    assert_eq!(window.state().view.tool, Tool::Select);
    click(&mut window, "Undo");
    assert!(openings(&window).is_empty(), "one step");
}

#[test]
fn drawing_needs_three_points_takes_the_last_back_and_is_dropped_by_escape() {
    let mut window = on_openings();
    press(&mut window, "Draw an opening");
    let drawn = |window: &Window<'_>| {
        let shell = window.state().shell.as_ref().expect("made");
        shell.openings.drawing.as_ref().map(|d| d.points.len())
    };
    for at in [[120.0, 20.0], [160.0, 20.0]] {
        let at = place(&window, View::Side, at);
        click_at(&mut window, at);
    }
    window.key_press(Key::Enter);
    window.run_ok();
    assert!(message(&window).is_some_and(|m| m.contains("at least three")), "{:?}", message(&window));
    assert_eq!(drawn(&window), Some(2), "drawing goes on");
    window.key_press(Key::Backspace);
    window.run_ok();
    assert_eq!(drawn(&window), Some(1));
    window.key_press(Key::Escape);
    window.run_ok();
    assert_eq!((drawn(&window), window.state().view.tool), (None, Tool::Select));
    assert!(openings(&window).is_empty());
}
