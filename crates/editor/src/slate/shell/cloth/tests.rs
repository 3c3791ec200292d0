//! The page about cloth, pressed: what it tells, and what drags, keys and clicks make of the document.

use crate::on_shell::ShellPage;
use crate::on_shell::cloth::{ClothWork, Standing};
use crate::pressed::{Window, begin_drag, click, drag, message, on, press, rect, scale, settle, type_into};
use crate::view::{Spot, Tab};
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable;
use project::laminate::{Fabric, Ply};
use project::shell::Shell;
use std::sync::Arc;

fn cloth<'a>(window: &'a Window<'_>) -> &'a ClothWork {
    &window.state().shell.as_ref().expect("drawn").cloth
}

fn shell(window: &Window<'_>) -> Arc<Shell> {
    window.state().desk.document().shell.clone()
}

fn until(window: &mut Window<'_>, what: &str, there: impl Fn(&ClothWork) -> bool) {
    for _ in 0..2000 {
        window.run_ok();
        if there(cloth(window)) {
            window.run_ok();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("{what} did not come: {:?}", cloth(window).standing());
}

fn laid(window: &mut Window<'_>) {
    until(window, "the plan of the cloth", |cloth| cloth.standing() == Standing::Whole);
}

/// The page over a plain body, with one ply, laid.
fn opened<'a>() -> Window<'a> {
    let mut window = on(Tab::Shell);
    window.state_mut().view.shell = ShellPage::Cloth;
    window.run_ok();
    laid(&mut window);
    press(&mut window, "Add this ply to the laminate");
    // Large cells are soon draped.
    type_into(&mut window, "Cloth cell", "12");
    assert_eq!(shell(&window).draping.cell, Some(12.0));
    laid(&mut window);
    window
}

fn start_of(window: &Window<'_>) -> [f64; 2] {
    let cloth = cloth(window);
    desk::shell::cloth::resolved_start(cloth.surface().expect("read"), &shell(window).draping)
}

#[test]
fn a_ply_that_is_taken_for_granted_becomes_one_of_the_laminate() {
    let mut window = on(Tab::Shell);
    window.state_mut().view.shell = ShellPage::Cloth;
    window.run_ok();
    laid(&mut window);
    assert!(cloth(&window).chosen().is_some_and(|ply| ply.ply.is_none()));
    assert!(window.query_by_label("Way of the warp, half-breadth plan").is_none(), "there is no angle to be changed");
    press(&mut window, "Add this ply to the laminate");
    assert_eq!(shell(&window).laminate.plies, [Ply::whole(Fabric::usual(), 0.0)]);
    laid(&mut window);
    window.get_by_label("Way of the warp, half-breadth plan");
}

#[test]
fn the_start_is_dragged_in_the_side_view_and_the_drape_follows_before_it_is_let_go() {
    let mut window = opened();
    let [station, turn] = start_of(&window);
    assert_eq!([station, turn], [150.0, 0.0], "the crown at the middle");
    let (from, scale) = (rect(&window, "Start of the cloth, side view").center(), scale(&window));
    begin_drag(&mut window, from, vec2(40.0, 0.0));
    let meant = 150.0 + 40.0 / scale;
    assert!((start_of(&window)[0] - meant).abs() < 0.05, "{:?} instead of {meant}", start_of(&window));
    assert!(window.state().desk.is_previewing());
    let revision = cloth(&window).revision();
    until(&mut window, "the drape of the drag", |cloth| !matches!(cloth.standing(), Standing::Old));
    assert!(cloth(&window).revision() > revision && window.state().desk.is_previewing());
    assert_ne!(cloth(&window).standing(), Standing::Whole, "slits and patterns wait until it is let go");
    window.drop_at(from + vec2(40.0, 0.0));
    laid(&mut window);
    assert!((start_of(&window)[0] - meant).abs() < 0.05);
    click(&mut window, "Undo");
    assert_eq!(shell(&window).draping.start, None, "one drag is one step");
}

/// Down the port side, which the side view shows, and up the starboard side, which the plan shows.
#[test]
fn the_start_goes_down_the_side_that_a_view_shows() {
    let mut window = opened();
    let from = rect(&window, "Start of the cloth, side view").center();
    drag(&mut window, from, vec2(0.0, 30.0));
    let turn = start_of(&window)[1];
    assert!(turn > 0.6 && turn < 1.0, "port, above the middle: {turn}");
    click(&mut window, "Undo");
    laid(&mut window);
    let from = rect(&window, "Start of the cloth, half-breadth plan").center();
    drag(&mut window, from, vec2(0.0, -30.0));
    let [station, turn] = start_of(&window);
    assert!(turn > 0.0 && turn < 0.25, "starboard, above the middle: {turn}");
    let at = cloth(&window).surface().map(|s| s.outside.place(s.outside.at_station(station, turn).expect("on it")));
    let meant = 30.0 / scale(&window);
    assert!((at.expect("read")[1] - meant).abs() < 0.2, "{at:?} instead of {meant} to starboard");
}

#[test]
fn in_the_face_view_the_start_goes_round_its_station() {
    let mut window = opened();
    let layout = window.state().layout().expect("drawn");
    let from = rect(&window, "Start of the cloth, face view").center();
    // Starboard lies at the left; at the half height of the section.
    let to = layout.face.screen([-200.0, 0.0]);
    drag(&mut window, from, to - from);
    let [station, turn] = start_of(&window);
    assert!((station - 150.0).abs() < 1e-6, "{station}");
    assert!((turn - 0.25).abs() < 0.05, "{turn}");
}

/// From the crown the way forward leads to the left of the plan, and starboard upwards: half way between is 45°.
#[test]
fn the_way_of_the_warp_is_dragged_in_the_plan() {
    let mut window = opened();
    let start = rect(&window, "Start of the cloth, half-breadth plan").center();
    let from = rect(&window, "Way of the warp, half-breadth plan").center();
    assert!(from.x < start.x - 20.0 && (from.y - start.y).abs() < 1.0, "forward: {from:?} {start:?}");
    drag(&mut window, from, start + vec2(-50.0, -50.0) - from);
    let warp = shell(&window).laminate.plies[0].warp_deg;
    // The crown rises towards the rear, so the plan shows the way forward a little shorter than it is.
    assert!((warp - 45.0).abs() < 1.5, "{warp}");
    click(&mut window, "Undo");
    assert_eq!(shell(&window).laminate.plies[0].warp_deg, 0.0);
}

#[test]
fn arrow_keys_move_the_start_and_turn_the_warp() {
    let mut window = opened();
    window.get_by_label("Start of the cloth, side view").focus();
    window.run_ok();
    window.key_press(Key::ArrowRight);
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    window.run_ok();
    assert!((start_of(&window)[0] - 161.0).abs() < 1e-6, "{:?}", start_of(&window));
    laid(&mut window);
    window.get_by_label("Way of the warp, half-breadth plan").focus();
    window.run_ok();
    window.key_press(Key::ArrowUp);
    window.run_ok();
    let warp = shell(&window).laminate.plies[0].warp_deg;
    assert!((warp - 1.0).abs() < 0.1, "a degree for a step: {warp}");
}

#[test]
fn numbers_are_typed_and_what_cannot_be_is_refused() {
    let mut window = opened();
    type_into(&mut window, "Cloth start station", "90");
    type_into(&mut window, "Cloth round from crown", "270");
    type_into(&mut window, "Cloth warp angle", "30");
    assert_eq!(shell(&window).draping.start, Some([90.0, 0.75]));
    assert_eq!(shell(&window).laminate.plies[0].warp_deg, 30.0, "{:?}", message(&window));
    press(&mut window, "Back to the middle of the crown");
    assert_eq!(shell(&window).draping.start, None);
    let before = shell(&window);
    type_into(&mut window, "Cloth cell", "-3");
    assert_eq!(shell(&window), before);
    assert!(message(&window).is_some(), "told in the status line");
}

/// The shear does not change with the locking angle, but what it means does.
#[test]
fn a_cloth_that_locks_early_folds_and_slits_are_told() {
    let mut window = opened();
    let greatest = |window: &Window<'_>| cloth(window).in_one_piece().expect("laid").judgement.greatest_deg.abs();
    let (before, folds) = (greatest(&window), cloth(&window).in_one_piece().expect("laid").judgement.wrinkles.len());
    assert_eq!(folds, 0, "a plain body takes one piece");
    window.get_by_label_contains("One piece goes round");
    let early = format!("{:.2}", (0.6 * before).max(5.0));
    type_into(&mut window, "Cloth locking angle", &early);
    laid(&mut window);
    let judgement = cloth(&window).in_one_piece().expect("laid").judgement.clone();
    assert!((judgement.greatest_deg.abs() - before).abs() < 1e-9);
    assert!(judgement.locked > 0.0 && !judgement.wrinkles.is_empty());
    window.get_by_label_contains("Fold 1");
    let plan = cloth(&window).fresh_plan().expect("whole").clone();
    if !plan.plan.plies[0].slits.is_empty() {
        window.get_by_label_contains("1. ");
        assert_eq!(plan.lies[0].slits.len(), plan.plan.plies[0].slits.len(), "each is drawn");
        assert!(plan.lies[0].slits.iter().all(|slit| slit.len() > 1));
    }
    window.get_by_label_contains("Fold 1").scroll_to_me();
    window.run_ok();
    window.get_by_label_contains("Fold 1").click();
    window.run_ok();
    let at = judgement.wrinkles[0].at;
    assert_eq!(window.state().view.spot, Some(Spot { station: Some(at[0]), at: Some([at[1], at[2]]) }));
}

#[test]
fn the_best_ways_are_found_listed_and_taken_as_one_step() {
    let mut window = opened();
    press(&mut window, "Find the best start and direction");
    until(&mut window, "the search", |cloth| cloth.searching().is_none() && cloth.found().is_some());
    let found: Vec<_> = cloth(&window).found().expect("found").0.to_vec();
    assert!(found.len() > 1);
    let before = shell(&window);
    press(&mut window, "Take way 2");
    assert_eq!(shell(&window).draping.start, Some(found[1].start));
    assert_eq!(shell(&window).laminate.plies[0].warp_deg, found[1].warp_deg);
    laid(&mut window);
    let lies = cloth(&window).in_one_piece().expect("laid");
    assert!((lies.judgement.greatest_deg - found[1].judgement.greatest_deg).abs() < 1e-3, "as the list said");
    click(&mut window, "Undo");
    assert_eq!(shell(&window), before);
    press(&mut window, "Clear the list");
    assert!(cloth(&window).found().is_none());
}

/// What was found stays to be taken, and takes nothing else of the shell back.
#[test]
fn a_way_that_was_found_earlier_leaves_later_changes_alone() {
    let mut window = opened();
    press(&mut window, "Find the best start and direction");
    until(&mut window, "the search", |cloth| cloth.found().is_some());
    type_into(&mut window, "Cloth stagger of seams", "31");
    press(&mut window, "Take way 1");
    assert_eq!(shell(&window).draping.stagger, 31.0);
}

#[test]
fn a_search_can_be_given_up() {
    let mut window = opened();
    // With small cells it takes long enough.
    type_into(&mut window, "Cloth cell", "2");
    press(&mut window, "Find the best start and direction");
    assert!(cloth(&window).searching().is_some());
    press(&mut window, "Stop the search");
    assert!(cloth(&window).searching().is_none() && cloth(&window).found().is_none());
    window.get_by_label("Find the best start and direction");
}

#[test]
fn the_flat_cloth_is_shown_and_grows() {
    let mut window = opened();
    let small = rect(&window, "Cloth in the flat");
    press(&mut window, "Larger");
    let all: Vec<_> = window.get_all_by_label("Cloth in the flat").map(|node| node.rect()).collect();
    assert!(all.iter().any(|rect| rect.width() > 2.0 * small.width()), "{all:?}");
    click(&mut window, "smaller");
    assert_eq!(window.get_all_by_label("Cloth in the flat").count(), 1);
}

#[test]
fn handles_are_there_only_while_the_page_is_open() {
    let mut window = opened();
    window.state_mut().view.shell = ShellPage::Release;
    settle(&mut window);
    assert!(window.query_by_label("Start of the cloth, side view").is_none());
    window.state_mut().view.shell = ShellPage::Cloth;
    window.run_ok();
    window.get_by_label("Start of the cloth, side view");
}
