//! `mass` against what a hand reckons: a cylinder's shell, and the balance of an aircraft.

use crate::folder::{Folder, close, number};
use crate::tables;
use project::edit::Edit;
use project::laminate::{Fabric, LayUp, Ply, Schedule, Span};
use project::shell::{BallastPlace, Shell, Weighed};
use serde_json::Value;
use std::f64::consts::PI;

/// A project of a round cylinder with that shell.
fn cylinder(shell: Shell) -> Folder {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    folder.edit("cylinder", &Edit::SetShell(shell));
    folder
}

fn one_ply() -> Shell {
    let fabric = Fabric { areal_weight: 160.0, fibre_density: 2.55, ..Fabric::usual() };
    let laminate = Schedule { plies: vec![Ply::whole(fabric, 0.0)], lay_up: LayUp::Bag, ..Schedule::default() };
    Shell { laminate, ..Shell::default() }
}

fn likely(span: &Value) -> f64 {
    number(&span["likely"])
}

/// One bagged ply, half of it fibre by volume (0.45 to 0.58): 160 / (2550 · 0.5) = 0.1255 mm, with 160 · 1.15 / 2.55 = 72.16 g/m² of
/// resin, over 2π (40 - t / 2) 100 mm².
#[test]
fn a_cylinder_weighs_what_a_hand_reckons() {
    let folder = cylinder(one_ply());
    let said = folder.fine(&["mass", "cylinder", "--json"]).json();
    let t = 160.0 / (2550.0 * 0.5);
    close(likely(&said["thickness"]["total_mm"]), t, 1e-9);
    close(number(&said["thickness"]["total_mm"]["low"]), 160.0 / (2550.0 * 0.58), 1e-9);
    let area = 2.0 * PI * (40.0 - 0.5 * t) * 100.0;
    let ply = &said["shells"][0]["plies"][0];
    close(number(&ply["area_mm2"]), area, 1e-5);
    close(likely(&ply["cloth_g"]), 160e-6 * area, 1e-5);
    close(likely(&ply["resin_g"]), 160e-6 * area * 1.15 / 2.55, 1e-5);
    let whole = &said["whole"];
    close(likely(&whole["mass_g"]), 160e-6 * area * (1.0 + 1.15 / 2.55), 1e-5);
    close(likely(&whole["centre_mm"][0]), 30.0, 1e-6);
    // Thin cylinder about its axis: m r².
    let m = likely(&whole["mass_g"]);
    close(likely(&whole["inertia_g_mm2"][0]), m * (40.0 - 0.5 * t).powi(2), 1e-5);
    // Resin with 15 in 100 of waste fits in one pot; 40 parts of hardener to 100.
    let pots = said["shells"][0]["pots"].as_array().unwrap();
    assert_eq!(pots.len(), 1);
    close(number(&pots[0]["resin_g"]) / number(&pots[0]["hardener_g"]), 2.5, 1e-9);
    close(number(&pots[0]["resin_g"]) + number(&pots[0]["hardener_g"]), 1.15 * likely(&ply["resin_g"]), 1e-9);
    // The plug as one lump of foam: the form less the coat that is taken off it, none here.
    close(likely(&said["plug"]["foam_g"]), PI * 1600.0 * 100.0 * 32e-6, 1e-4);
    let missing: Vec<&str> =
        said["not_weighed_yet"].as_array().unwrap().iter().map(|m| m["what"].as_str().unwrap()).collect();
    assert!(missing.iter().any(|what| what.contains("balance")), "{missing:?}");
}

/// The balance reckoned again from the masses and places that are said, and from the ballast back to where the centre was.
#[test]
fn the_balance_follows_from_the_masses_that_are_said() {
    let weighed = |name: &str, mass: f64, x: f64| Weighed {
        name: name.into(),
        mass: Span::exact(mass),
        centre: [x, 0.0, 0.0],
        within: 0.0,
    };
    let mut shell = one_ply();
    shell.weights.aircraft = Some(weighed("Aircraft", 5000.0, 400.0));
    shell.weights.replaces = Some(weighed("Old cowling", 60.0, 40.0));
    shell.weights.parts = vec![weighed("Baffles", 180.0, 80.0)];
    shell.weights.ballast = vec![BallastPlace { name: "Tail".into(), stations: [1000.0, 1100.0] }];
    let folder = cylinder(shell);
    let said = folder.fine(&["mass", "cylinder", "--json"]).json();
    let (mut mass, mut moment) = (0.0, 0.0);
    for part in said["parts"].as_array().unwrap() {
        mass += likely(&part["mass_g"]);
        moment += likely(&part["mass_g"]) * likely(&part["centre_mm"][0]);
    }
    assert!(mass > 180.0 && mass < 200.0, "{mass}");
    let after = (5000.0 * 400.0 - 60.0 * 40.0 + moment) / (5000.0 - 60.0 + mass);
    let balance = &said["balance"];
    close(likely(&balance["after_mm"][0]), after, 1e-9);
    close(likely(&balance["shift_mm"][0]), after - 400.0, 1e-6);
    let ballast = &balance["ballast"];
    assert_eq!((ballast["place"].as_str(), number(&ballast["station_mm"])), (Some("Tail"), 1100.0));
    let grams = likely(&ballast["mass_g"]);
    let restored = (after * (4940.0 + mass) + grams * 1100.0) / (4940.0 + mass + grams);
    close(restored, 400.0, 1e-9);
    let words = folder.fine(&["mass", "cylinder"]).out;
    for part in ["Baffles", "ply 1", "pot 1", "ballast", "in place of Old cowling", "to buy"] {
        assert!(words.contains(part), "{part}: {words}");
    }
}

/// A project in which nobody has begun with a shell is told what to do, and nothing fails.
#[test]
fn what_is_not_entered_is_not_weighed_yet() {
    let folder = Folder::new();
    folder.project("plain", &tables::cylinder());
    let said = folder.fine(&["mass", "plain", "--json"]).json();
    assert!(said["whole"].is_null() && said["balance"].is_null() && said["shells"].as_array().unwrap().is_empty());
    assert!(folder.fine(&["mass", "plain"]).out.contains("not weighed yet: The shell. No ply covers"));
}
