//! Laminate and weights pressed as a person would.

use crate::on_shell::ShellPage;
use crate::pressed::{Window, click, on, press, type_into};
use crate::view::Tab;
use egui_kittest::kittest::Queryable;
use project::shell::Shell;
use std::sync::Arc;

fn shell(window: &Window<'_>) -> Arc<Shell> {
    window.state().desk.document().shell.clone()
}

fn opened(page: ShellPage) -> Window<'static> {
    let mut window = on(Tab::Shell);
    press(&mut window, &format!("Shell: {}", page.label()));
    window
}

/// Waits for what is weighed beside the window's thread.
fn weighed(window: &mut Window<'_>) {
    for _ in 0..400 {
        window.step();
        let done = window.state().shell.as_ref().is_some_and(|shell| shell.weights.is_fresh());
        if done {
            window.run_ok();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("nothing was weighed");
}

/// A ply of 163 g/m² of glass of 2.55 g/cm³ at a fibre volume of 0.33 is 163 / (1000 · 2.55 · 0.33) = 0.194 mm thick.
#[test]
fn plies_are_added_changed_and_set_what_is_taken_off_the_plug() {
    let mut window = opened(ShellPage::Laminate);
    press(&mut window, "Add a ply");
    type_into(&mut window, "Ply 1 areal weight", "163");
    type_into(&mut window, "Ply 1 locks at", "50");
    press(&mut window, "Laminate the plug is made smaller by these plies");
    let plies = &shell(&window).laminate.plies;
    assert_eq!((plies.len(), plies[0].fabric.areal_weight, plies[0].fabric.locking_deg), (1, 163.0, 50.0));
    let coat = window.state().desk.document().build.coat;
    assert!((coat.laminate - 163.0 / (1000.0 * 2.55 * 0.33)).abs() < 1e-9, "{coat:?}");
    click(&mut window, "Undo");
    assert!(!shell(&window).feeds_coat);
    assert_eq!(window.state().desk.document().build.coat.laminate, 0.0);
}

#[test]
fn a_ply_goes_outward_and_away() {
    let mut window = opened(ShellPage::Laminate);
    press(&mut window, "Add a ply");
    press(&mut window, "Add a ply");
    type_into(&mut window, "Ply 1 areal weight", "80");
    press(&mut window, "Move ply 1 outward");
    let weights: Vec<f64> = shell(&window).laminate.plies.iter().map(|ply| ply.fabric.areal_weight).collect();
    assert_eq!(weights, [160.0, 80.0]);
    press(&mut window, "Remove ply 1");
    assert_eq!(shell(&window).laminate.plies.len(), 1);
    assert_eq!(shell(&window).laminate.plies[0].fabric.areal_weight, 80.0);
}

/// The balance of an aircraft of 10 kg at 300 mm, 200 g at 100 mm taken off: what comes on lies ahead of 300 mm.
#[test]
fn what_is_weighed_tells_the_balance() {
    let mut window = opened(ShellPage::Laminate);
    press(&mut window, "Add a ply");
    press(&mut window, "Shell: Weights");
    weighed(&mut window);
    press(&mut window, "It has been weighed");
    weighed(&mut window);
    press(&mut window, "There is one, and it has been weighed");
    weighed(&mut window);
    type_into(&mut window, "Replaced part mass, g, likely", "40");
    let weights = shell(&window).weights.clone();
    assert_eq!(weights.aircraft.as_ref().map(|w| w.mass.likely), Some(10_000.0));
    assert_eq!(weights.replaces.as_ref().map(|w| w.mass.ends()), Some([40.0, 40.0, 200.0]));
    weighed(&mut window);
    let state = window.state();
    let weighing = state.shell.as_ref().and_then(|shell| shell.weights.weighing()).expect("weighed");
    let balance = weighing.balance.as_ref().expect("both are known");
    let whole = weighing.whole.as_ref().expect("it weighs something");
    let (m, r, n) = (10_000.0, 40.0, whole.mass.likely);
    let after = (m * 300.0 - r * 100.0 + n * whole.centre[0].likely) / (m - r + n);
    assert!((balance.after[0].likely - after).abs() < 1e-6, "{balance:?}");
    window.get_by_label("The aircraft's balance");
}

#[test]
fn ballast_places_stay_in_order() {
    let mut window = opened(ShellPage::Weights);
    weighed(&mut window);
    press(&mut window, "Add a place for ballast");
    weighed(&mut window);
    type_into(&mut window, "Ballast 1 foremost station", "1500");
    assert_eq!(shell(&window).weights.ballast[0].stations, [1500.0, 1500.0]);
    // What is weighed anew moves the rows below when it comes.
    weighed(&mut window);
    press(&mut window, "Remove ballast 1");
    assert!(shell(&window).weights.ballast.is_empty());
}
