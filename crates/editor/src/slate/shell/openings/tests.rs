//! Openings pressed as a person would: by the names that assistive technology reads out, and by the pointer on the floor.

mod on_the_floor;

use crate::on_shell::ShellPage;
use crate::on_shell::item::OpeningGrip;
use crate::on_shell::openings::{Laid, selected};
use crate::pressed::{Window, click, form, message, on, press, type_into};
use crate::view::Tab;
use egui_kittest::kittest::Queryable;
use form::openings::OutlineCurve;
use project::opening::{Opening, Outline, Purpose, Seen};
use std::sync::Arc;

fn on_openings<'a>() -> Window<'a> {
    let mut window = on(Tab::Shell);
    window.state_mut().view.shell = ShellPage::Openings;
    window.run_ok();
    window
}

fn with(what: &str) -> Window<'static> {
    let mut window = on_openings();
    press(&mut window, &format!("Add: {what}"));
    assert_eq!(openings(&window).len(), 1, "{:?}", message(&window));
    window
}

fn openings(window: &Window<'_>) -> Vec<Arc<Opening>> {
    form(window).openings.clone()
}

fn one(window: &Window<'_>) -> Opening {
    (*openings(window)[0]).clone()
}

fn laid<'a>(window: &'a Window<'_>) -> &'a Laid {
    &window.state().shell.as_ref().expect("made").openings.laid
}

/// An ellipse or a box.
fn sized(window: &Window<'_>) -> ([f64; 2], [f64; 2], f64) {
    match one(window).outline {
        Outline::Ellipse { centre, size, turn_deg } | Outline::Box { centre, size, turn_deg, .. } => {
            (centre, size, turn_deg)
        }
        drawn => panic!("{drawn:?}"),
    }
}

/// Whatever it is for and however it is shaped, a new opening lies wholly on the form, and is one step.
#[test]
fn a_new_opening_lies_on_the_form_at_once() {
    let mut window = on_openings();
    let mut count = 0;
    for shape in ["ellipse", "box", "slot", "drawn"] {
        press(&mut window, &format!("New opening: {shape}"));
        for purpose in Purpose::ALL {
            press(&mut window, &format!("Add: {}", purpose.label().to_lowercase()));
            count += 1;
            let all = openings(&window);
            assert_eq!(all.len(), count, "{:?}", message(&window));
            let added = &all[count - 1];
            assert_eq!(added.purpose, purpose);
            let holes = laid(&window).one(count - 1).expect("laid").holes.as_ref().expect("a good outline");
            assert_eq!(holes.len(), if added.mirrored { 2 } else { 1 });
            for hole in holes {
                assert!(hole.hole.whole().is_some(), "{purpose:?} {shape}: {:?}", hole.hole.missed);
            }
            let target = selected(count - 1, OpeningGrip::Whole, added.seen);
            assert_eq!(window.state().view.selected, target);
        }
    }
    let names: std::collections::HashSet<String> = openings(&window).iter().map(|o| o.name.clone()).collect();
    assert_eq!(names.len(), count, "each has a name of its own");
    click(&mut window, "Undo");
    assert_eq!(openings(&window).len(), count - 1);
}

#[test]
fn an_intake_is_put_beside_the_spinner() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the thrust line");
    window.state_mut().view.tab = Tab::Shell;
    window.run_ok();
    press(&mut window, "Add: air intake");
    let opening = one(&window);
    assert!(opening.seen == Seen::Ahead && opening.mirrored, "{opening:?}");
    let line = window.state().desk.document().airframe.thrust.expect("added");
    let curve = OutlineCurve::of(&opening.outline).expect("an ellipse");
    let hub = fit::thrust::shaft(&line).hub;
    for p in curve.points(0.05) {
        let from_shaft = p[0].hypot(p[1] - hub[2]);
        assert!(from_shaft > 0.5 * line.spinner.diameter, "{p:?} lies behind the spinner");
    }
}

#[test]
fn numbers_shape_an_opening_and_each_is_one_step() {
    let mut window = with("air intake");
    type_into(&mut window, "Opening 1 width", "22");
    type_into(&mut window, "Opening 1 height", "18");
    type_into(&mut window, "Opening 1 middle starboard", "80");
    type_into(&mut window, "Opening 1 middle height", "4");
    type_into(&mut window, "Opening 1 turned", "30");
    assert_eq!(sized(&window), ([80.0, 4.0], [22.0, 18.0], 30.0));
    press(&mut window, "Opening 1 shape: slot");
    let Outline::Box { radius, size, .. } = one(&window).outline else { panic!("a slot is a box") };
    assert_eq!((radius, size), (9.0, [22.0, 18.0]));
    type_into(&mut window, "Opening 1 width", "12");
    let Outline::Box { radius, .. } = one(&window).outline else { panic!("still") };
    assert_eq!(radius, 6.0, "a slot stays one");
    type_into(&mut window, "Opening 1 corner radius", "2");
    press(&mut window, "Opening 1 its mirror image too");
    assert!(!one(&window).mirrored);
    assert_eq!(laid(&window).one(0).expect("laid").holes.as_ref().expect("good").len(), 1);
    press(&mut window, "Opening 1 for: Access hole");
    assert_eq!(one(&window).purpose, Purpose::Access);
    type_into(&mut window, "Opening 1 corner radius", "40");
    assert!(message(&window).is_some_and(|m| m.contains("do not fit")), "{:?}", message(&window));
    click(&mut window, "Undo");
    assert_eq!(one(&window).purpose, Purpose::Intake);
}

#[test]
fn an_opening_seen_from_elsewhere_stays_about_where_it_is() {
    let mut window = with("exhaust hole");
    let there = laid(&window).middle(0).expect("on the form");
    press(&mut window, "Opening 1 seen: from below");
    assert_eq!(one(&window).seen, Seen::Below);
    let (centre, ..) = sized(&window);
    assert!((centre[0] - there[0]).abs() < 1e-9 && (centre[1] - there[1]).abs() < 1e-9, "{centre:?} {there:?}");
    let now = laid(&window).middle(0).expect("on the form still");
    assert!((now[2] - there[2]).abs() < 0.01, "{now:?} {there:?}");
    // The other side of the same view has the same places.
    press(&mut window, "Opening 1 seen: from above");
    assert_eq!(sized(&window).0, centre);
}

#[test]
fn a_duct_begins_and_takes_the_ratio_of_its_areas() {
    let mut window = with("air intake");
    press(&mut window, "Opening 1 a duct behind it");
    type_into(&mut window, "Opening 1 duct depth", "35");
    type_into(&mut window, "Opening 1 duct lip radius", "4");
    type_into(&mut window, "Opening 1 duct wall", "1.2");
    let duct = one(&window).duct.expect("begun");
    assert_eq!((duct.depth, duct.lip_radius, duct.wall, &duct.inner), (35.0, 4.0, 1.2, &None));
    type_into(&mut window, "Opening 1 duct inner to outer area", "0.64");
    let opening = one(&window);
    let inner = opening.duct.as_ref().and_then(|duct| duct.inner.clone()).expect("its own now");
    let area = |outline: &Outline| OutlineCurve::of(outline).expect("good").area();
    assert!((area(&inner) / area(&opening.outline) - 0.64).abs() < 1e-9);
    type_into(&mut window, "Opening 1 inner outline width", "11");
    let inner = one(&window).duct.and_then(|duct| duct.inner).expect("there");
    assert!(matches!(inner, Outline::Ellipse { size, .. } if size[0] == 11.0), "{inner:?}");
    press(&mut window, "Opening 1 duct inner outline: as the opening");
    assert_eq!(one(&window).duct.expect("there").inner, None);
    press(&mut window, "Opening 1 a duct behind it");
    assert_eq!(one(&window).duct, None);
}

#[test]
fn points_of_a_drawn_outline_are_typed_added_and_removed() {
    let mut window = with("air outlet");
    press(&mut window, "Opening 1 shape: drawn");
    let points = |window: &Window<'_>| match one(window).outline {
        Outline::Drawn { points } => points,
        other => panic!("{other:?}"),
    };
    let count = points(&window).len();
    type_into(&mut window, "Opening 1 point 2 aft", "251.5");
    assert_eq!(points(&window)[1].at[0], 251.5);
    press(&mut window, "Opening 1 point 2 corner");
    assert!(points(&window)[1].corner);
    press(&mut window, "Add a point after opening 1 point 2");
    let now = points(&window);
    assert_eq!(now.len(), count + 1);
    assert!((now[2].at[0] - f64::midpoint(now[1].at[0], now[3].at[0])).abs() < 1e-9);
    press(&mut window, "Remove opening 1 point 3");
    assert_eq!(points(&window).len(), count);
}

#[test]
fn a_copy_lies_beside_it_and_is_removed_alone() {
    let mut window = with("access hole");
    press(&mut window, "Copy opening 1");
    let all = openings(&window);
    assert_eq!(all.len(), 2);
    let middle = |o: &Opening| crate::on_shell::openings::grips::middle(&o.outline);
    assert!(middle(&all[1])[0] > middle(&all[0])[0] && middle(&all[1])[1] == middle(&all[0])[1]);
    press(&mut window, "Remove opening 2");
    assert_eq!(openings(&window), all[..1]);
}

/// Both sums stand side by side with their ratio, which is held against numbers that can be changed; an intake behind the spinner
/// counts for less.
#[test]
fn air_in_and_out_stands_side_by_side_with_the_rule_of_thumb() {
    let mut window = with("air intake");
    press(&mut window, "Add: air outlet");
    let air = |window: &Window<'_>| {
        let (air, fresh) = window.state().shell.as_ref().expect("made").openings.air().expect("there are openings");
        assert!(fresh);
        (air.intake, air.outlet, air.ratio.expect("there is an intake"))
    };
    let units = window.state().view.units;
    let (intake, outlet, ratio) = air(&window);
    assert!((ratio - outlet / intake).abs() < 1e-12 && intake > 0.0);
    window.get_by_label(&format!("In {}", units.area(intake)));
    window.get_by_label(&format!("Out {}", units.area(outlet)));
    window.get_by_label(&format!("{ratio:.2}"));
    window.get_by_label_contains("measure the temperature");
    type_into(&mut window, "Air warn below", &format!("{:.2}", ratio + 0.5));
    window.get_by_label_contains("little draws the air through");
    type_into(&mut window, "Air warn below", &format!("{:.2}", 0.5 * ratio));
    assert!(window.query_by_label_contains("little draws the air through").is_none());
    let [from, to] = window.state().desk.document().shell.air_ratio.aim;
    assert_eq!([from, to], [2.0, 3.0]);
}

#[test]
fn areas_stand_beside_an_opening() {
    let mut window = with("air intake");
    type_into(&mut window, "Opening 1 width", "20");
    type_into(&mut window, "Opening 1 height", "16");
    // An ellipse of half axes 10 and 8, on both sides.
    let projected = std::f64::consts::PI * 10.0 * 8.0;
    let units = window.state().view.units;
    window.get_by_label_contains(&format!("as drawn {}", units.area(projected)));
    let hole = &laid(&window).one(0).expect("laid").holes.as_ref().expect("good")[0];
    assert!(hole.areas.surface > projected, "the skin leans back there");
    window.get_by_label_contains(&format!("on the skin {}", units.area(hole.areas.surface)));
}
