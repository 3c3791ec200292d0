//! A control section that follows the fuselage end.

use super::*;
use project::document::SectionShape;

/// The widest measured point of the pinned section at a station.
fn pinned_breadth(window: &Window<'_>, station: f64) -> Option<f64> {
    let form = form(window);
    let section = form.sections.iter().find(|s| (s.station - station).abs() < 1e-9)?;
    let SectionShape::Pinned(measured) = &section.shape else { return None };
    Some(measured.points.iter().map(|p| p[0]).fold(0.0, f64::max))
}

#[test]
fn a_pinned_section_follows_numbers_kinds_and_drags() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    press(&mut window, "Fuselage section section: circle");
    type_into(&mut window, "Fuselage section diameter", "160");
    press(&mut window, "Pin a section to it");
    let near = |found: Option<f64>, wanted: f64| found.is_some_and(|b| (b - wanted).abs() < 1e-6);
    assert!(near(pinned_breadth(&window, 300.0), 80.0), "{:?}", message(&window));
    type_into(&mut window, "Fuselage section diameter", "172");
    assert!(near(pinned_breadth(&window, 300.0), 86.0));
    type_into(&mut window, "Pinned section stands proud by", "1.5");
    assert!(near(pinned_breadth(&window, 300.0), 87.5));
    type_into(&mut window, "Fuselage end station", "310");
    assert!(near(pinned_breadth(&window, 310.0), 87.5), "{:?}", message(&window));
    // Dragged, all of it in one step.
    let from = rect(&window, "Fuselage section, width, face view").center();
    let by = window.state().layout().expect("drawn").face.scale[0];
    drag(&mut window, from, vec2(-12.0, 0.0));
    let wider = pinned_breadth(&window, 310.0).expect("still pinned");
    assert!((wider - 87.5 - 12.0 / by).abs() < 0.05, "{wider}");
    click(&mut window, "Undo");
    assert!(near(pinned_breadth(&window, 310.0), 87.5));
    press(&mut window, "Let it go");
    type_into(&mut window, "Fuselage section diameter", "150");
    assert!(near(pinned_breadth(&window, 310.0), 87.5), "it follows no more");
}

#[test]
fn the_clearance_of_a_shell_that_goes_over_is_offered() {
    let mut window = on(Tab::Build);
    type_into(&mut window, "Build laminate", "0.9");
    window.state_mut().view.tab = Tab::Bench;
    window.run_ok();
    press(&mut window, "Add the fuselage end");
    press(&mut window, "Pin a section to it");
    let wall = fit::wall(&build(&window));
    press(&mut window, &format!("Let it stand {:.2} mm proud", wall + 0.3));
    let pin = airframe(&window).fuselage.as_ref().and_then(|end| end.pinned).expect("pinned");
    assert!((pin.proud - wall - 0.3).abs() < 1e-12, "{pin:?}");
}

#[test]
fn unpinning_the_section_drops_the_link_and_moving_it_is_refused() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    press(&mut window, "Pin a section to it");
    let index = form(&window).sections.iter().position(|s| s.station == 300.0).expect("pinned there");
    ask(&mut window, Ask::Do(Edit::MoveSection { form: 0, section: index, station: 280.0 }));
    assert!(message(&window).is_some_and(|m| m.contains("follows the fuselage end")), "{:?}", message(&window));
    press(&mut window, "Show the section");
    assert_eq!(window.state().view.selected, Selected::Section(index));
    window.get_by_label_contains("It follows the fuselage end");
    ask(&mut window, Ask::Command(crate::commands::Command::Unpin));
    assert_eq!(airframe(&window).fuselage.as_ref().and_then(|end| end.pinned), None);
}
