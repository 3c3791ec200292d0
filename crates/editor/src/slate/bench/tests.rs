//! The bench pressed as a person would: by the names that assistive technology reads out.

mod dragging;
mod pinning;
mod points;
mod tracing;

use crate::pressed::{Window, ask, build, click, drag, form, measured, message, on, press, rect, scale, type_into};
use crate::slate::Ask;
use crate::view::{Item, Selected, Tab};
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable;
use project::airframe::{Airframe, FuselageSection, GaugeMeasure, KeepOutPlace};
use project::edit::Edit;
use std::sync::Arc;

fn airframe(window: &Window<'_>) -> Arc<Airframe> {
    window.state().desk.document().airframe.clone()
}

#[test]
fn the_fuselage_end_begins_at_the_forms_rear_and_takes_numbers() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    assert_eq!(airframe(&window).fuselage.as_ref().map(|end| end.station), Some(300.0));
    type_into(&mut window, "Fuselage end station", "290");
    press(&mut window, "Fuselage section section: circle");
    type_into(&mut window, "Fuselage section diameter", "164");
    let end = airframe(&window).fuselage.clone().expect("added");
    assert_eq!(end.station, 290.0);
    assert!(matches!(end.section, FuselageSection::Circle { diameter: 164.0, .. }), "{:?}", end.section);
    for _ in 0..4 {
        click(&mut window, "Undo");
    }
    assert_eq!(airframe(&window).fuselage, None);
}

#[test]
fn columns_pasted_into_the_table_become_the_section() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    press(&mut window, "Fuselage section section: measured");
    let field = window.get_by_label("Fuselage section points");
    field.scroll_to_me();
    field.focus();
    window.run_ok();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_ok();
    window.event(egui::Event::Paste("width;height\n0;60,5\n52,25;3\n40;-30\n0;-55".into()));
    window.run_ok();
    press(&mut window, "Use these points for the fuselage section");
    let Some(FuselageSection::Measured(section)) = airframe(&window).fuselage.as_ref().map(|end| end.section.clone())
    else {
        panic!("measured: {:?}", message(&window));
    };
    assert_eq!(section.points, [[0.0, 60.5], [52.25, 3.0], [40.0, -30.0], [0.0, -55.0]]);
}

/// Mount offset L sin θ for a single angle, and gap difference D sin θ across a spinner of 70 mm.
#[test]
fn what_follows_from_the_thrust_line_stands_beside_it() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the thrust line");
    type_into(&mut window, "Thrust line firewall to hub", "120");
    type_into(&mut window, "Thrust line spinner diameter", "70");
    type_into(&mut window, "Thrust line side-thrust", "2.5");
    let sin = 2.5_f64.to_radians().sin();
    window.get_by_label(&format!("{:.2} mm port", 120.0 * sin));
    window.get_by_label(&format!("{:.2} mm", 70.0 * sin));
    window.get_by_label("2.50°");
}

#[test]
fn a_dragged_hub_is_one_step_and_moves_by_what_the_pointer_moved() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the thrust line");
    let before = airframe(&window).thrust.expect("added");
    let from = rect(&window, "Hub, face view").center();
    let by = scale(&window);
    drag(&mut window, from, vec2(0.0, -24.0));
    let after = airframe(&window).thrust.expect("still there");
    assert!((after.hub_height - before.hub_height - 24.0 / by).abs() < 0.02, "{before:?} {after:?}");
    assert_eq!(window.state().view.selected.item(), Some(Item::Hub));
    click(&mut window, "Undo");
    assert_eq!(airframe(&window).thrust, Some(before));
}

#[test]
fn arrow_keys_and_delete_work_on_the_fuselage_end() {
    let mut window = on(Tab::Shape);
    window.state_mut().view.tab = Tab::Bench;
    window.run_ok();
    press(&mut window, "Add the fuselage end");
    window.get_by_label("Fuselage end, side view").focus();
    window.run_ok();
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    window.run_ok();
    assert_eq!(airframe(&window).fuselage.as_ref().map(|end| end.station), Some(310.0));
    assert_eq!(window.state().view.tab, Tab::Bench);
    window.key_press(Key::Delete);
    window.run_ok();
    assert_eq!(airframe(&window).fuselage, None);
}

#[test]
fn a_keep_out_is_placed_by_numbers_and_by_the_pointer_and_tells_its_clearance() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add a keep-out");
    assert!(matches!(airframe(&window).keep_outs[0].place, KeepOutPlace::Free { .. }));
    type_into(&mut window, "Keep-out 1 diameter", "40");
    type_into(&mut window, "Keep-out 1 front aft", "80");
    let from = rect(&window, "Motor, side view").center();
    let by = scale(&window);
    drag(&mut window, from, vec2(30.0, 0.0));
    let KeepOutPlace::Free { front, .. } = airframe(&window).keep_outs[0].place else { panic!("freely placed") };
    assert!((front[0] - 80.0 - 30.0 / by).abs() < 0.02 && front[2].abs() < 0.02, "{front:?}");
    measured(&mut window);
    let clearance = window.state().figures.as_ref().expect("made").measures().keep_outs[0].expect("placed");
    window.get_by_label(&format!("{:.2} mm", clearance.distance));
    press(&mut window, "Remove keep-out 1");
    assert!(airframe(&window).keep_outs.is_empty());
}

#[test]
fn a_gauge_that_is_missed_offers_a_mend_that_is_one_step() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add a gauge");
    let GaugeMeasure::WidthAt { .. } = airframe(&window).gauges[0].measure else { panic!("a width") };
    let wanted = airframe(&window).gauges[0].value + 6.0;
    type_into(&mut window, "Gauge 1 width", &wanted.to_string());
    window.state_mut().view.findings = true;
    measured(&mut window);
    let before = form(&window);
    let found = window.state().findings.as_ref().expect("checked").list().to_vec();
    let finding = found.iter().find(|f| f.place.part == form::Part::Gauge(0)).expect("the gauge is missed");
    let mend = finding.mend.clone().expect("one point mends a width");
    press(&mut window, &mend.label);
    assert_ne!(form(&window), before, "{:?}", message(&window));
    measured(&mut window);
    let list = window.state().findings.as_ref().expect("checked").list().to_vec();
    assert!(!list.iter().any(|f| f.place.part == form::Part::Gauge(0)), "{list:?}");
    click(&mut window, "Undo");
    assert_eq!(form(&window), before);
}

#[test]
fn a_finding_about_the_bench_leads_there() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add a gauge");
    type_into(&mut window, "Gauge 1 width", "250");
    window.state_mut().view.tab = Tab::Project;
    window.state_mut().view.findings = true;
    measured(&mut window);
    window.get_by_label_contains("Gauge 1 at").click();
    window.run_ok();
    assert_eq!(window.state().view.tab, Tab::Bench);
    assert!(matches!(window.state().view.selected, Selected::Bench { item: Item::Gauge(0), .. }));
}

#[test]
fn what_cannot_be_is_told_and_changes_nothing() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the thrust line");
    let before = airframe(&window);
    type_into(&mut window, "Thrust line down-thrust", "80");
    assert_eq!(airframe(&window), before);
    assert!(message(&window).is_some_and(|m| m.contains("down-thrust")), "{:?}", message(&window));
    let line = before.thrust.expect("added");
    ask(&mut window, Ask::Do(Edit::SetThrust(Some(line))));
    assert_eq!(airframe(&window), before);
}

#[test]
fn what_is_selected_on_the_floor_comes_into_view_on_the_slate() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the thrust line");
    press(&mut window, "Add the fuselage end");
    press(&mut window, "Add a gauge");
    let slate = window.state().slate.expect("drawn");
    window.get_by_label("Add a gauge").scroll_to_me();
    window.run_ok();
    let top = |window: &Window<'_>, label: &str| rect(window, label).top();
    assert!(top(&window, "Fuselage end station") < slate.top(), "scrolled away");
    window.get_by_label("Fuselage end, side view").focus();
    window.run_ok();
    let at = top(&window, "Fuselage end station");
    assert!(slate.top() < at && at < slate.center().y, "{at}");
    // Only once: the slate can be scrolled on while it stays selected.
    window.get_by_label("Add a gauge").scroll_to_me();
    window.run_ok();
    assert!(top(&window, "Fuselage end station") < slate.top());
}
