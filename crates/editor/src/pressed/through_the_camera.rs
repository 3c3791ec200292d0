//! The form over the demo's three-quarter picture, through its camera: seen, selected, pulled.

use super::with_pictures::click_at;
use super::*;
use crate::commands::Command;
use crate::light_table::overlay::find;
use crate::light_table::shows::Shows;
use crate::slate::Ask;
use crate::view::{Selected, Spot};
use egui::pos2;
use form::seen::{HandleOf, NearWhat, SeenPart, Sight, SilhouettePlace};
use project::document::{ControlSection, MeasuredSection, SectionShape};
use std::sync::Arc;

/// The demo's three-quarter picture.
const THREE_QUARTER: usize = 2;

/// The demo with its three-quarter picture on the light table, and the form seen through its camera. What was picked is hidden
/// unless a test wants it.
fn at_the_table<'a>() -> Window<'a> {
    let mut desk = Desk::new();
    desk.open_demo().expect("it is built in");
    let mut window = window(desk);
    window.state_mut().view.selected = Selected::Picture(THREE_QUARTER);
    window.state_mut().table.alone = true;
    ask(&mut window, Ask::Command(Command::LightTable));
    window.state_mut().table.shows = Shows { landmarks: false, traces: false, ..Shows::default() };
    for _ in 0..600 {
        window.run_ok();
        if !window.state().table.overlay.seen().lines.is_empty() {
            window.run_ok();
            return window;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("no camera was found");
}

fn screen(window: &Window<'_>, px: [f64; 2]) -> Pos2 {
    let table = &window.state().table;
    table.sheet.screen(table.place.expect("drawn"), px)
}

/// Places of the outline against the background where nothing but the silhouette is under the pointer, the middle ones first.
fn free_outline(window: &Window<'_>) -> Vec<SilhouettePlace> {
    let app = window.state();
    let rect = app.table.place.expect("drawn").shrink(40.0);
    let alone = |place: &&SilhouettePlace| {
        let Some(px) = place.pixel.filter(|_| place.sight == Sight::Outline) else { return false };
        let near = find::under(app, px);
        let silhouette = near.is_some_and(|near| matches!(near.what, NearWhat::Silhouette(_)));
        silhouette && rect.contains(app.table.sheet.screen(app.table.place.expect("drawn"), px))
    };
    let mut places: Vec<_> = app.table.overlay.seen().silhouette.iter().flatten().filter(alone).copied().collect();
    let [low, high] = app.scene.extents.x;
    let middle = 0.55 * low + 0.45 * high;
    places.sort_by(|a, b| (a.spot.x - middle).abs().total_cmp(&(b.spot.x - middle).abs()));
    places
}

/// One place of a line that is in sight and comes first under the pointer.
fn place_on(window: &Window<'_>, part: SeenPart) -> Option<[f64; 2]> {
    let app = window.state();
    let rect = app.table.place.expect("drawn").shrink(30.0);
    let line = app.table.overlay.seen().lines.iter().find(|l| l.part == part)?;
    let in_sight = line.runs.iter().filter(|run| run.sight != Sight::Hidden).flat_map(|run| &run.places);
    let comes_first = |px: &[f64; 2]| {
        let near = find::under(app, *px);
        near.is_some_and(|near| near.what == NearWhat::Line(part)) && rect.contains(screen(window, *px))
    };
    in_sight.map(|place| place.pixel).find(comes_first)
}

#[test]
fn the_silhouette_is_pulled_in_one_step_and_undo_brings_the_form_back() {
    let mut window = at_the_table();
    let before = form(&window);
    let camera = window.state().table.cameras.as_ref().and_then(|c| c.found(THREE_QUARTER)).cloned().expect("found");
    let place = *free_outline(&window).first().expect("the outline is in sight");
    let from = screen(&window, place.pixel.expect("shown"));
    let by = vec2(place.outward[0] as f32, place.outward[1] as f32) * 8.0;
    begin_drag(&mut window, from, by);
    // While it is held, the picture keeps its camera: the form moves, not the picture under it.
    let still = window.state().table.cameras.as_ref().and_then(|c| c.found(THREE_QUARTER)).cloned().expect("found");
    assert!(Arc::ptr_eq(&camera, &still));
    assert!(window.state().table.hands.pulling.holds() && window.state().desk.is_previewing());
    window.drop_at(from + by);
    window.run_ok();
    let after = form(&window);
    assert_ne!(*before, *after);
    assert_eq!(message(&window), None);

    // The outline runs under the place where it was let go, by that very camera.
    let lofted = window.state().derived.lofted().expect("lofted").clone();
    let wanted = form::seen::Wanted { tolerance_px: 0.1, ..form::seen::Wanted::default() };
    let seen = form::seen::seen(&lofted, &after, &camera.resection.camera, &wanted);
    let table = &window.state().table;
    let let_go = table.sheet.px(table.place.expect("drawn"), from + by);
    let grabbed = table.sheet.px(table.place.expect("drawn"), from);
    let far = (let_go[0] - grabbed[0]).hypot(let_go[1] - grabbed[1]);
    let near = seen.near(let_go, 0.5 * far);
    let silhouette = near.iter().find(|n| matches!(n.what, NearWhat::Silhouette(_))).expect("it came along");
    assert!(silhouette.distance_px < 1.0 && far > 10.0, "{} of {far} px", silhouette.distance_px);

    // What moved is selected, so that slate and floor show it.
    assert!(!matches!(window.state().view.selected, Selected::Nothing | Selected::Picture(_)));
    click(&mut window, "Undo");
    assert_eq!(*form(&window), *before);
    let demo_steps = window.state().desk.undo_label().map(str::to_owned);
    assert_eq!(demo_steps, None, "the pull was one step");
}

#[test]
fn escape_drops_a_pull() {
    let mut window = at_the_table();
    let before = form(&window);
    let selected = window.state().view.selected;
    let place = *free_outline(&window).first().expect("the outline is in sight");
    let from = screen(&window, place.pixel.expect("shown"));
    begin_drag(&mut window, from, vec2(0.0, -9.0));
    assert_ne!(*form(&window), *before);
    window.key_press(Key::Escape);
    window.step();
    window.drop_at(from);
    window.run_ok();
    assert_eq!(*form(&window), *before);
    assert_eq!(window.state().view.selected, selected);
    assert_eq!(window.state().desk.undo_label(), None);
}

#[test]
fn hovering_tells_what_a_drag_would_move() {
    let mut window = at_the_table();
    let place = *free_outline(&window).first().expect("the outline is in sight");
    let at = screen(&window, place.pixel.expect("shown"));
    window.hover_at(at);
    for _ in 0..20 {
        window.step();
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    let says = crate::light_table::show::says(window.state()).expect("it is over the silhouette");
    assert!(says.starts_with("Silhouette: a drag ") && says.contains(" at "), "{says}");
    assert!(window.state().table.hands.pulling.lit().is_some(), "what would move lights up");
}

/// Pins the rearmost section to points of its own curve.
fn pin_the_rear(window: &mut Window<'_>) {
    let form = form(window);
    let section = form.sections.len() - 1;
    let half = window.state().derived.controls[section].clone();
    let last = half.len() - 1;
    let mut points: Vec<[f64; 2]> = (0..=12).map(|i| half[i * last / 12]).collect();
    (points[0][0], points[12][0]) = (0.0, 0.0);
    let measured = MeasuredSection {
        points,
        knuckles: Vec::new(),
        crown_ridge: false,
        keel_ridge: false,
        breadth_point: None,
        breadth_girth: None,
    };
    let with = ControlSection { station: form.sections[section].station, shape: SectionShape::Pinned(measured) };
    ask(window, Ask::Do(Edit::ReplaceSection { form: 0, section, with }));
    assert_eq!(message(window), None);
}

#[test]
fn a_point_that_a_pinned_section_holds_refuses_and_says_why() {
    let mut window = at_the_table();
    pin_the_rear(&mut window);
    let before = form(&window);
    window.state_mut().view.selected = Selected::Line(LineName::Crown);
    window.run_ok();
    let held = |of: HandleOf| match of {
        HandleOf::LinePoint { line, point } => {
            crate::floor::scene::pins(&before, before.lines.get(line).points[point].x)
        }
        HandleOf::SectionPoint { .. } => false,
    };
    let handles = window.state().table.overlay.seen().handles.clone();
    let offered = |px| find::under(window.state(), px).and_then(|near| find::clicked(&near));
    let locked = handles.iter().find(|h| held(h.of) && offered(h.pixel) == Some(find::target_of(h.of)));
    let locked = *locked.expect("the pinned section's crown is in sight");
    let at = screen(&window, locked.pixel);
    drag(&mut window, at, vec2(0.0, -14.0));
    assert_eq!(*form(&window), *before);
    let said = message(&window).expect("a reason");
    assert!(said.starts_with("Section G is pinned") && said.contains("Unpin section G"), "{said}");
    assert_eq!(window.state().view.selected, find::target_of(locked.of));
}

#[test]
fn a_point_of_a_control_section_is_pulled() {
    let mut window = at_the_table();
    let before = form(&window);
    window.state_mut().table.shows.lines = false;
    window.run_ok();
    let handles = window.state().table.overlay.seen().handles.clone();
    let rect = window.state().table.place.expect("drawn").shrink(40.0);
    let pulled = handles.iter().find(|h| {
        let HandleOf::SectionPoint { section, .. } = h.of else { return false };
        let free = !matches!(before.sections[section].shape, SectionShape::Pinned(_));
        let inside = section > 0 && section + 1 < before.sections.len();
        let on_top = find::under(window.state(), h.pixel).and_then(|n| find::clicked(&n));
        free && inside && on_top == Some(find::target_of(h.of)) && rect.contains(screen(&window, h.pixel))
    });
    let pulled = *pulled.expect("a point of a section is in sight");
    let at = screen(&window, pulled.pixel);
    drag(&mut window, at, vec2(3.0, -6.0));
    assert_ne!(*form(&window), *before);
    click(&mut window, "Undo");
    assert_eq!(*form(&window), *before);
}

#[test]
fn what_is_hidden_is_not_to_be_taken_hold_of() {
    let mut window = at_the_table();
    let crown = place_on(&window, SeenPart::Crown).expect("the crown is in sight");
    click(&mut window, "Show");
    click(&mut window, "Crown, keel and breadth line");
    let under = |window: &Window<'_>, px| find::under(window.state(), px).map(|near| near.what);
    assert_ne!(under(&window, crown), Some(NearWhat::Line(SeenPart::Crown)));
    click(&mut window, "The form over the photograph");
    assert!(under(&window, crown).is_none() && window.state().table.overlay.seen().lines.is_empty());
    click(&mut window, "The form over the photograph");
    click(&mut window, "Crown, keel and breadth line");
    window.run_ok();
    assert_eq!(under(&window, crown), Some(NearWhat::Line(SeenPart::Crown)));
    for name in
        ["Silhouette", "Control sections", "Stations", "Knuckles and control lines", "Shaded", "Landmarks", "Traces"]
    {
        let before = window.state().table.shows;
        window.get_by_role_and_label(egui::Role::CheckBox, name).click();
        window.run_ok();
        assert_ne!(window.state().table.shows, before, "{name}");
    }
    for name in ["Strength of the shading", "Strength of the photograph"] {
        window.get_by_role_and_label(egui::Role::Slider, name);
    }
}

#[test]
fn a_click_selects_a_station_a_section_and_a_line() {
    let mut window = at_the_table();
    window.state_mut().table.shows.stations = true;
    window.run_ok();
    let parts: Vec<SeenPart> = window.state().table.overlay.seen().lines.iter().map(|l| l.part).collect();
    let mut met = [false; 3];
    for part in parts {
        let (which, wanted) = match part {
            SeenPart::Station(station, _) => (0, Selected::Station(station)),
            SeenPart::ControlSection(section) => (1, Selected::Section(section)),
            SeenPart::Crown => (2, Selected::Line(LineName::Crown)),
            _ => continue,
        };
        if met[which] {
            continue;
        }
        let Some(px) = place_on(&window, part) else { continue };
        let at = screen(&window, px);
        click_at(&mut window, at);
        assert_eq!(window.state().view.selected, wanted);
        met[which] = true;
    }
    assert_eq!(met, [true; 3]);
}

#[test]
fn picked_things_come_before_the_form_and_shift_turns_that_round() {
    let mut window = at_the_table();
    window.state_mut().table.shows.landmarks = true;
    window.state_mut().table.shows.traces = true;
    window.run_ok();
    let picture = window.state().desk.document().pictures[THREE_QUARTER].clone();
    let app = window.state();
    let over = picture.photograph.traces.iter().flat_map(|t| &t.points).find(|px| {
        let inside = app.table.place.expect("drawn").shrink(30.0).contains(screen(&window, **px));
        inside && find::under(app, **px).is_some_and(|near| matches!(near.what, NearWhat::Silhouette(_)))
    });
    let at = screen(&window, *over.expect("the demo's outline is traced along the silhouette"));
    let before = form(&window);
    drag(&mut window, at, vec2(0.0, -7.0));
    assert_eq!(*form(&window), *before);
    assert_ne!(window.state().desk.document().pictures[THREE_QUARTER].photograph, picture.photograph);
    click(&mut window, "Undo");
    window.event(egui::Event::ModifiersChanged(Modifiers::SHIFT));
    begin_drag(&mut window, at, vec2(0.0, -7.0));
    window.event(egui::Event::ModifiersChanged(Modifiers::NONE));
    window.drop_at(at + vec2(0.0, -7.0));
    window.run_ok();
    assert_ne!(*form(&window), *before);
    assert_eq!(window.state().desk.document().pictures[THREE_QUARTER].photograph, picture.photograph);
}

#[test]
fn without_a_camera_the_picture_says_what_is_missing_and_leads_there() {
    let mut desk = plain_desk();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("from ahead.png");
    std::fs::write(&path, super::with_pictures::png(400, 300)).expect("written");
    desk.apply(&Edit::SetName("Without".into())).expect("a name");
    let mut window = window(desk);
    super::with_pictures::bring_in(&mut window, &path, "Side view");
    ask(&mut window, Ask::Command(Command::LightTable));
    for _ in 0..100 {
        window.run_ok();
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    let said = window.query_all_by_label_contains("This picture has no camera yet").count();
    assert!(said > 0);
    let pick = Command::PickLandmarks.entry().name;
    let place = window.state().table.place.expect("drawn");
    let button = window.get_all_by_label_contains(pick).find(|node| place.contains(node.rect().center()));
    button.expect("the button lies on the picture").click();
    window.run_ok();
    assert_eq!(window.state().view.tool, crate::view::Tool::Mark(crate::light_table::picking::Marking::Landmark));
}

#[test]
fn the_spot_of_a_finding_and_a_station_on_the_floor_are_there_in_the_picture_too() {
    let mut window = at_the_table();
    let bare = window.render().expect("drawn");
    let [low, high] = window.state().scene.extents.x;
    window.state_mut().view.spot = Some(Spot { station: Some(0.5 * (low + high)), at: Some([0.0, 60.0]) });
    window.run_ok();
    let table = window.state().table.place.expect("drawn");
    let changed = |a: &image::RgbaImage, b: &image::RgbaImage| {
        let inside = |x: u32, y: u32| table.contains(pos2(x as f32, y as f32));
        a.enumerate_pixels().filter(|(x, y, p)| inside(*x, *y) && *p != b.get_pixel(*x, *y)).count()
    };
    let marked = window.render().expect("drawn");
    assert!(changed(&bare, &marked) > 60);
    window.state_mut().view.spot = None;
    window.state_mut().view.selected = Selected::Station(2);
    window.run_ok();
    assert!(changed(&bare, &window.render().expect("drawn")) > 100);
}
