//! `cloth`: shear and folds on bodies whose answer is known, slits, proposals, sheets of cloth, and what is refused.

use crate::folder::{Folder, close, number, points};
use crate::tables::{cylinder, half_ellipse, text};
use desk::Overwrite;
use project::edit::Edit;
use project::laminate::{Fabric, Ply};
use project::shell::Shell;
use serde_json::Value;
use std::f64::consts::PI;

fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap_or_else(|| panic!("no {key} in {value}"))
}

/// A round barrel that bulges too much for one piece of cloth that locks at 40°.
fn barrel() -> String {
    let stations = [(0.0, 50.0), (50.0, 82.0), (110.0, 95.0), (170.0, 82.0), (220.0, 50.0)];
    text(&stations.map(|(x, r)| (x, half_ellipse(r, r, 25))))
}

/// Gives a project's laminate these plies, as the window would.
fn with_plies(folder: &Folder, project: &str, plies: Vec<Ply>) {
    let opened = desk::files::open(&folder.path(project)).unwrap();
    let mut shell: Shell = (*opened.document.shell).clone();
    shell.laminate.plies = plies;
    let changed = Edit::SetShell(shell).apply(&opened.document).unwrap();
    desk::files::save(&changed, &folder.path(project), Some(&opened.on_disk), Overwrite::Refuse).unwrap();
}

/// A cylinder has no Gaussian curvature: cloth laid along geodesics does not shear (R = 40 mm, 100 mm long; allowances of 10 mm at both
/// ends and an overlap of 15 mm at the seam, on both of its sides, are the pattern).
#[test]
fn on_a_cylinder_nothing_shears_and_the_pattern_is_the_rectangle() {
    let folder = Folder::new();
    folder.project("tube", &cylinder());
    let said = folder.fine(&["cloth", "tube", "--json"]).json();
    assert_eq!(said["assumed_ply"], true, "there is no laminate yet, and it says so");
    let ply = &said["plies"][0];
    assert!(ply["number"].is_null() && ply["one_piece"] == true && ply["lies_down"] == true, "{ply}");
    assert!(number(&ply["uncut"]["greatest_shear_deg"]).abs() < 0.05, "{ply}");
    close(number(&said["area_mm2"]), 2.0 * PI * 40.0 * 100.0, 2e-3);
    close(number(&ply["uncut"]["covered_mm2"]), 2.0 * PI * 40.0 * 100.0, 5e-3);
    close(number(&ply["crowding"]), 1.0, 1e-4);
    let (length, across) = (100.0 + 20.0, 2.0 * PI * 40.0 + 30.0);
    close(number(&ply["pattern"]["area_mm2"]), length * across, 5e-3);
    let roll = &said["rolls"][0];
    // 5 mm are left at both ends of the piece.
    close(number(&roll["length_mm"]), length + 10.0, 5e-3);
    let words = folder.fine(&["cloth", "tube"]).out;
    for part in ["no ply that covers the whole shell", "one piece does it", "off the roll", "none here is measured"] {
        assert!(words.contains(part), "{part}: {words}");
    }
}

/// The rectangle and, for a frustum, the sector of the closed form: radii 30 and 50 over 100 mm, slant 101.98039 mm, lateral area
/// 25630.468 mm².
#[test]
fn a_plain_sheet_unfolds_where_the_form_bends_one_way_only() {
    let folder = Folder::new();
    folder.project("tube", &cylinder());
    let sheet = folder.fine(&["cloth", "tube", "--sheet", "-10", "70", "--json"]).json();
    assert_eq!(sheet["lies_down"], true);
    close(number(&sheet["area_mm2"]), 2.0 * PI * 40.0 * 80.0, 1e-3);
    let edge = points(&sheet["front_edge_mm"]);
    let (first, last) = (edge[0], edge[edge.len() - 1]);
    close((last[0] - first[0]).hypot(last[1] - first[1]), 2.0 * PI * 40.0, 1e-3);
    folder.project("cone", &text(&[(0.0, half_ellipse(30.0, 30.0, 25)), (100.0, half_ellipse(50.0, 50.0, 25))]));
    let sheet = folder.fine(&["cloth", "cone", "--sheet", "0", "100", "--json"]).json();
    close(number(&sheet["area_mm2"]), 25_630.468, 1e-3);
    folder.project("barrel", &barrel());
    let bent = folder.run(&["cloth", "barrel", "--sheet", "30", "190"]);
    assert_eq!(bent.code, 1, "{}", bent.out);
    assert!(bent.out.contains("does not lie down"), "{}", bent.out);
}

#[test]
fn what_one_piece_cannot_do_is_slit_and_proved_again() {
    let folder = Folder::new();
    folder.project("barrel", &barrel());
    let said = folder.fine(&["cloth", "barrel", "--json"]).json();
    let ply = &said["plies"][0];
    assert_eq!((&ply["one_piece"], &ply["lies_down"]), (&Value::Bool(false), &Value::Bool(true)), "{ply}");
    let locking = number(&ply["locking_deg"]);
    assert!(number(&ply["uncut"]["greatest_shear_deg"]).abs() > locking && !list(&ply["uncut"], "wrinkles").is_empty());
    assert!(number(&ply["with_slits"]["greatest_shear_deg"]).abs() <= locking, "{ply}");
    let slits = list(ply, "slits");
    assert!(!slits.is_empty());
    for slit in slits {
        let (tip, mouth) = (number(&slit["tip"]["station_mm"]), number(&slit["mouth"]["station_mm"]));
        assert!(number(&slit["length_mm"]) > 0.0 && (-20.0..=240.0).contains(&tip) && (-20.0..=240.0).contains(&mouth));
        assert!((0.0..=15.0).contains(&number(&slit["overlap_mm"])), "{slit}");
    }
    // What is cut away at the slits makes the pattern smaller than the squares of the whole net would be.
    let words = folder.fine(&["cloth", "barrel"]).out;
    for part in ["one piece does not do it", "slit 1: ", "draped again it lies down everywhere"] {
        assert!(words.contains(part), "{part}: {words}");
    }
}

#[test]
fn plies_keep_their_angles_and_are_printed_and_rolled_together() {
    let folder = Folder::new();
    folder.project("tube", &cylinder());
    let before = folder.fine(&["sheets", "tube", "--to", "before.pdf", "--json"]).json();
    let narrow = Fabric { roll_width: 500.0, ..Fabric::usual() };
    with_plies(&folder, "tube", vec![Ply::whole(narrow.clone(), 0.0), Ply::whole(narrow, 45.0)]);
    let said = folder.fine(&["cloth", "tube", "--json"]).json();
    assert_eq!(said["assumed_ply"], false);
    let plies = list(&said, "plies");
    let angles: Vec<f64> = plies.iter().map(|ply| number(&ply["warp_deg"])).collect();
    assert_eq!((angles, plies.len()), (vec![0.0, 45.0], 2));
    // Geodesics at any angle: still no shear.
    assert!(plies.iter().all(|ply| number(&ply["uncut"]["greatest_shear_deg"]).abs() < 0.05), "{said}");
    let rolls = list(&said, "rolls");
    assert_eq!((rolls.len(), list(&rolls[0], "laid").len()), (1, 2));
    let (length, area) = (number(&rolls[0]["length_mm"]), number(&rolls[0]["cut_area_mm2"]));
    assert!(length * 500.0 > area && length > 0.0, "{rolls:?}");
    let sum: f64 = plies.iter().map(|ply| number(&ply["pattern"]["area_mm2"])).sum();
    close(area, sum, 1e-9);
    // Each has a pattern among the templates, and none on the sheets of card.
    let after = folder.fine(&["sheets", "tube", "--to", "after.pdf", "--json"]).json();
    assert_eq!(number(&after["parts"]) - number(&before["parts"]), 2.0);
    folder.fine(&["cut", "tube", "--to", "cut"]);
    let card: String = std::fs::read_dir(folder.path("cut"))
        .unwrap()
        .map(|entry| std::fs::read_to_string(entry.unwrap().path()).unwrap())
        .collect();
    assert!(!card.contains("Cloth, ply"), "cloth is not cut from card");
}

#[test]
fn the_best_start_is_found_written_and_found_again() {
    let folder = Folder::new();
    folder.project("barrel", &barrel());
    let loose = Fabric { locking_deg: 60.0, ..Fabric::usual() };
    with_plies(&folder, "barrel", vec![Ply::whole(loose.clone(), 0.0), Ply::whole(loose, 30.0)]);
    // In the same cells: coarser ones leave more out at the edges.
    let plain = folder.run(&["cloth", "barrel", "--cell", "8", "--json"]).json();
    let found = folder.run(&["cloth", "barrel", "--search", "--cell", "8", "--to", "best", "--json"]).json();
    let best = &list(&found, "proposals")[0];
    let shear = |ply: &Value| number(&ply["greatest_shear_deg"]).abs();
    let bad = |j: &Value| number(&j["locked_mm2"]) + number(&j["missed_mm2"]);
    let (ours, before) = (&best["first_ply"], &plain["plies"][0]["uncut"]);
    assert!((bad(ours), shear(ours)) <= (bad(before) + 1.0, shear(before) + 1.0), "{ours} against {before}");
    let again = folder.run(&["cloth", "best", "--json"]).json();
    close(number(&again["start"]["station_mm"]), number(&best["station_mm"]), 1e-9);
    let warps: Vec<f64> = list(&again, "plies").iter().map(|ply| number(&ply["warp_deg"])).collect();
    close(warps[0], number(&best["warp_deg"]), 1e-9);
    // The plies turn together; a yarn has no head.
    assert!((((warps[1] - warps[0] - 30.0) / 180.0).round() * 180.0 - (warps[1] - warps[0] - 30.0)).abs() < 1e-9);
}

#[test]
fn what_cannot_be_laid_is_refused_with_a_hint() {
    let folder = Folder::new();
    folder.project("tube", &cylinder());
    for (arguments, part) in [
        (vec!["cloth", "tube", "--cell", "0"], "choose from 1 to 50 mm"),
        (vec!["cloth", "tube", "--sheet", "20", "10"], "the first ahead of the second"),
        (vec!["cloth", "tube", "--sheet", "20", "900"], "the form runs from -20.0 to 80.0 mm"),
        (vec!["cloth", "tube", "--form", "2"], "There is no form 2"),
        (vec!["cloth", "tube", "--to", "new"], "--search"),
        (vec!["cloth", "nowhere"], "nowhere"),
    ] {
        let message = folder.refused(&arguments);
        assert!(message.contains(part), "{arguments:?}: {message}");
    }
}
