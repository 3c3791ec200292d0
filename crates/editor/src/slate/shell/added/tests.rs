//! Added forms pressed as a person would: by the names that assistive technology reads out, and by the pointer on the floor.

use crate::floor::layout::View;
use crate::floor::scene::StrokeKind;
use crate::on_shell::ShellPage;
use crate::on_shell::added::kinds::Kind;
use crate::pressed::{Window, begin_drag, click, message, on, press, rect, scale, type_into};
use crate::view::Tab;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable;
use form::meeting::Stands;
use project::document::Form;
use project::mount::Mount;
use std::sync::Arc;

fn on_added<'a>() -> Window<'a> {
    let mut window = on(Tab::Shell);
    window.state_mut().view.shell = ShellPage::Added;
    window.run_ok();
    window
}

fn with(what: &str) -> Window<'static> {
    let mut window = on_added();
    press(&mut window, &format!("Add: {what}"));
    assert_eq!(forms(&window).len(), 2, "{:?}", message(&window));
    window
}

fn forms(window: &Window<'_>) -> Vec<Arc<Form>> {
    window.state().desk.document().forms.clone()
}

fn mount(window: &Window<'_>) -> Mount {
    forms(window)[1].mount.expect("mounted")
}

fn met(window: &Window<'_>, form: usize) -> f64 {
    let shell = window.state().shell.as_ref().expect("made");
    let meeting = shell.added.meeting(form).expect("both have a surface");
    assert_eq!(meeting.stands, Stands::Meets);
    meeting.lines.iter().map(form::meeting::MeetingLine::length).sum()
}

#[test]
fn every_kind_is_put_where_it_meets_the_first_form_as_one_step() {
    let mut window = on_added();
    for (count, kind) in Kind::ALL.into_iter().enumerate() {
        press(&mut window, &format!("Add: {}", kind.label().to_lowercase()));
        assert_eq!(forms(&window).len(), count + 2, "{:?}", message(&window));
        assert_eq!(forms(&window)[count + 1].name, kind.label());
        assert!(met(&window, count + 1) > 50.0, "{kind:?}");
    }
    for _ in Kind::ALL {
        click(&mut window, "Undo");
    }
    assert_eq!(forms(&window).len(), 1);
}

#[test]
fn the_meeting_line_is_told_and_so_is_why_there_is_none() {
    let mut window = with("cheek blister");
    let units = window.state().view.units;
    window.get_by_label(&units.length(met(&window, 1)));
    window.get_by_label("A closed line.");
    type_into(&mut window, "Form 2 origin starboard", "400");
    window.get_by_label_contains("It does not touch the first form");
    type_into(&mut window, "Form 2 origin starboard", "0");
    window.get_by_label_contains("wholly within the first form");
}

#[test]
fn place_and_way_are_dragged_live_and_each_is_one_step() {
    let mut window = with("chin scoop");
    let before = mount(&window);
    let by = scale(&window);
    let from = rect(&window, "Chin scoop, side view").center();
    let lines = |window: &Window<'_>| {
        let strokes = window.state().scene.strokes.iter();
        let own = strokes.filter(|s| s.kind == StrokeKind::Meeting && s.view == View::Plan);
        own.flat_map(|s| &s.points).map(|p| p[0]).fold(f64::INFINITY, f64::min)
    };
    let line = lines(&window);
    begin_drag(&mut window, from, vec2(18.0, 0.0));
    assert!((mount(&window).place[0] - before.place[0] - 18.0 / by).abs() < 0.05);
    let followed = (0..400).any(|_| {
        std::thread::sleep(std::time::Duration::from_millis(5));
        window.step();
        lines(&window) > line + 5.0
    });
    assert!(followed && window.state().desk.is_previewing(), "the meeting line follows while it is dragged");
    window.drop_at(from + vec2(18.0, 0.0));
    window.run_ok();
    click(&mut window, "Undo");
    assert_eq!(mount(&window), before);
    let from = rect(&window, "Chin scoop, way, side view").center();
    begin_drag(&mut window, from, vec2(0.0, 24.0));
    window.drop_at(from + vec2(0.0, 24.0));
    window.run_ok();
    assert!(mount(&window).pitch_deg > before.pitch_deg + 3.0, "its rear goes down");
    assert_eq!(mount(&window).place, before.place);
}

#[test]
fn keys_nudge_and_delete_an_added_form() {
    let mut window = with("exhaust cover");
    let before = mount(&window);
    window.get_by_label("Exhaust cover, side view").focus();
    window.run_ok();
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
    window.run_ok();
    assert!((mount(&window).place[2] - before.place[2] - 10.0).abs() < 1e-9);
    window.key_press(Key::Delete);
    window.run_ok();
    assert_eq!(forms(&window).len(), 1);
}

#[test]
fn a_form_is_opened_over_the_ghost_of_the_first_taken_off_and_put_on_again() {
    let mut window = with("outlet lip");
    press(&mut window, "Open form 2");
    assert_eq!(window.state().view.form, 1);
    let ghosts = |window: &Window<'_>| {
        let strokes = window.state().scene.strokes.iter();
        strokes.filter(|s| s.kind == StrokeKind::Ghost).count()
    };
    assert!(ghosts(&window) >= 3, "the first form is there in every view");
    // In its own axes the skin of the first form passes near the origin, where it is put on.
    let near = window.state().scene.strokes.iter().filter(|s| s.kind == StrokeKind::Ghost && s.view == View::Side);
    let chords = near.flat_map(|s| s.points.windows(2));
    let apart = chords.map(|w| geometry::flatten::distance_to_chord([0.0; 2], w[0], w[1]));
    let least = apart.fold(f64::INFINITY, f64::min);
    assert!(least < 0.3, "{least}");
    press(&mut window, "Take form 2 off");
    assert_eq!(forms(&window)[1].mount, None);
    assert_eq!(ghosts(&window), 0);
    press(&mut window, "Put form 2 on the first form");
    assert_eq!(forms(&window)[1].mount, Some(Mount::default()));
    press(&mut window, "Back to the first form");
    assert_eq!(window.state().view.form, 0);
    press(&mut window, "Remove form 2");
    assert_eq!(forms(&window).len(), 1);
}

/// The page about the build is that of the form that is shown: its own boards, and the plug that follows from them.
#[test]
fn the_build_page_of_an_added_form_edits_its_own_build() {
    let mut window = with("cheek blister");
    press(&mut window, "Open form 2");
    window.state_mut().view.tab = Tab::Build;
    window.run_ok();
    let first = window.state().desk.document().build.clone();
    let own = |window: &Window<'_>| forms(window)[1].build.clone();
    let boards = own(&window).expect("it is long enough for a stack").stack.boards.clone();
    assert!(!boards.is_empty());
    type_into(&mut window, "Build card", "1.5");
    assert_eq!(own(&window).expect("kept").stack.card, 1.5);
    assert_eq!(window.state().desk.document().build, first, "the first form is built as before");
    for _ in 0..400 {
        window.run_ok();
        let plug = window.state().shell.as_ref().and_then(|s| s.added.plug()).expect("its page is open");
        if plug.age() == crate::planning::Age::Fresh && plug.planned().is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    let plug = window.state().shell.as_ref().and_then(|s| s.added.plug()).expect("its page is open");
    let planned = plug.planned().expect("planned");
    assert!(planned.used && !planned.plan.formers.is_empty());
    press(&mut window, "Build it as the first form");
    assert_eq!(own(&window), None);
    press(&mut window, "Plan a plug");
    assert!(own(&window).is_some_and(|build| build.stack.used && !build.stack.boards.is_empty()));
    assert_eq!(window.state().desk.document().build, first);
}

#[test]
fn numbers_and_ticks_change_the_mount_and_the_build() {
    let mut window = with("cheek blister");
    type_into(&mut window, "Form 2 origin aft", "66");
    type_into(&mut window, "Form 2 up to starboard", "80");
    type_into(&mut window, "Form 2 rear turned down", "3");
    type_into(&mut window, "Form 2 rear to starboard", "-4");
    press(&mut window, "Form 2 its mirror image too");
    let now = mount(&window);
    assert_eq!((now.place[0], now.roll_deg, now.pitch_deg, now.yaw_deg), (66.0, 80.0, 3.0, -4.0));
    assert!(!now.mirrored);
    type_into(&mut window, "Form 2 name", "Bulge");
    assert_eq!(forms(&window)[1].name, "Bulge");
    let own = forms(&window)[1].build.is_some();
    press(&mut window, "Form 2 a build of its own");
    assert_eq!(forms(&window)[1].build.is_some(), !own);
}
