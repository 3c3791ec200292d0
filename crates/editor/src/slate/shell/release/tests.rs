//! The page about release, pressed.

use crate::on_shell::ShellPage;
use crate::on_shell::release::{ReleaseWork, Standing, Told};
use crate::pressed::{Window, ask, click, message, on, press, type_into};
use crate::slate::Ask;
use crate::view::{Spot, Tab};
use egui_kittest::kittest::Queryable;
use project::document::LineName;
use project::edit::Edit;
use project::shell::{Parting, Release};
use shell::release::Verdict;
use std::sync::Arc;

fn work<'a>(window: &'a Window<'_>) -> &'a ReleaseWork {
    &window.state().shell.as_ref().expect("drawn").release
}

fn asked(window: &Window<'_>) -> Release {
    window.state().desk.document().shell.release
}

fn told(window: &mut Window<'_>) -> Arc<Told> {
    for _ in 0..2000 {
        window.run_ok();
        if work(window).standing() == Standing::Fresh
            && let Some(told) = work(window).told().cloned()
        {
            window.run_ok();
            return told;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("whether it comes off did not come: {:?} {:?}", work(window).standing(), work(window).failure());
}

/// The page over a straight body that grows towards its open rear.
fn opened<'a>() -> Window<'a> {
    let mut window = on(Tab::Shell);
    // A small one is soon looked at.
    let with = project::starter::blank_form(120.0, 40.0, 36.0, 48.0);
    ask(&mut window, Ask::Do(Edit::ReplaceForm { form: 0, with }));
    for (line, value) in [(LineName::Crown, 30.6), (LineName::Keel, -40.8), (LineName::Breadth, 34.0)] {
        ask(&mut window, Ask::Do(Edit::MoveLinePoint { form: 0, line, point: 1, x: 60.0, value }));
    }
    window.state_mut().view.shell = ShellPage::Release;
    window.run_ok();
    window
}

#[test]
fn a_body_that_grows_aft_comes_off_ahead_and_not_aft() {
    let mut window = opened();
    let ahead = told(&mut window);
    assert_ne!(ahead.releasing.whole.verdict, Verdict::Held);
    assert_eq!(ahead.releasing.whole.undercut, 0.0);
    window.get_by_label(&ahead.releasing.summary);
    assert!(ahead.draft.seen(crate::floor::layout::View::Side).count() > 100, "the draft map lies on the floor");
    press(&mut window, "Way off: another");
    assert_eq!(asked(&window).way, Some([-1.0, 0.0, 0.0]));
    type_into(&mut window, "Release way aft", "1");
    let aft = told(&mut window);
    assert_eq!(aft.releasing.whole.verdict, Verdict::Held);
    assert!(aft.releasing.whole.undercut > 1000.0);
    window.get_by_label_contains("Take the way with");
}

#[test]
fn an_undercut_leads_to_its_place() {
    let mut window = opened();
    told(&mut window);
    press(&mut window, "Way off: another");
    type_into(&mut window, "Release way aft", "1");
    let found = told(&mut window);
    let patch = found.releasing.whole.patches[0];
    let text = format!("1. {:.0} mm²", patch.area);
    window.get_by_label_contains(&text).scroll_to_me();
    window.run_ok();
    window.get_by_label_contains(&text).click();
    window.run_ok();
    let [x, y, z] = patch.worst;
    assert_eq!(window.state().view.spot, Some(Spot { station: Some(x), at: Some([y, z]) }));
}

#[test]
fn the_better_way_is_taken_as_one_step() {
    let mut window = opened();
    told(&mut window);
    press(&mut window, "Way off: another");
    type_into(&mut window, "Release way aft", "1");
    let held = told(&mut window);
    let better = held.releasing.better.expect("ahead is better");
    press(&mut window, &format!("Take the way with {:.0} mm² undercut", better.undercut));
    let freed = told(&mut window);
    assert!(freed.releasing.whole.undercut < 0.8 * held.releasing.whole.undercut);
    click(&mut window, "Undo");
    assert_eq!(asked(&window).way, Some([1.0, 0.0, 0.0]));
}

#[test]
fn a_joint_line_is_chosen_and_told() {
    let mut window = opened();
    let whole = told(&mut window);
    assert!(whole.joints.len() >= 2 && whole.releasing.chosen.is_none());
    press(&mut window, "Release parted: along the greatest breadth");
    assert_eq!(asked(&window).parting, Parting::BreadthLine);
    let parted = told(&mut window);
    let joint = parted.releasing.chosen.clone().expect("chosen");
    assert!(joint.lines.iter().all(|line| line.len() > 10), "it is drawn on the floor");
    window.get_by_label_contains("Parted along the line of greatest breadth");
    press(&mut window, "Release parted: none: in one piece");
    assert_eq!(asked(&window).parting, Parting::Whole);
}

#[test]
fn numbers_are_typed_and_what_cannot_be_is_refused() {
    let mut window = opened();
    told(&mut window);
    type_into(&mut window, "Release least draft", "2.5");
    type_into(&mut window, "Release may be sprung by", "0.6");
    assert_eq!([asked(&window).draft_deg, asked(&window).spring], [2.5, 0.6]);
    assert_eq!(told(&mut window).scale, crate::on_shell::heat::scale::Scale::Draft { wanted_deg: 2.5 });
    let before = asked(&window);
    type_into(&mut window, "Release least draft", "-4");
    assert_eq!(asked(&window), before);
    assert!(message(&window).is_some(), "told in the status line");
}

/// The caution about solvents stands where the plug must be dug out.
#[test]
fn digging_out_comes_with_its_caution() {
    let mut window = opened();
    told(&mut window);
    assert!(window.query_by_label_contains("acetone").is_none(), "nothing holds it");
    press(&mut window, "Way off: another");
    type_into(&mut window, "Release way aft", "1");
    told(&mut window);
    window.get_by_label_contains("cured through");
}
