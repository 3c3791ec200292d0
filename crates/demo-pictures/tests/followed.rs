//! The side picture's outline: picked by eye, followed, read on the centre plane through the true camera, faired; held against
//! the form that stood before the camera.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "the lint knows test functions, not what they call")]

use geometry::faired::{Fairing, Outcome, TracedPoint, fair};
use geometry::line::{Line, LineEnd, LinePoint, Pass};
use photo::{Following, PictureCamera, Plane, decode, follow, read_on_plane};
use plugwright_demo_pictures::ostrel::{self, SCALE};
use plugwright_demo_pictures::views;
use std::path::PathBuf;

/// The crown from behind the front face to the firewall, read off the picture by eye at four times its size.
const CROWN: [[f64; 2]; 12] = [
    [555.0, 355.0],
    [570.0, 345.0],
    [590.0, 336.0],
    [622.5, 328.5],
    [677.5, 320.5],
    [740.0, 313.5],
    [810.0, 309.0],
    [867.5, 305.5],
    [930.0, 302.5],
    [1020.0, 298.5],
    [1095.0, 296.5],
    [1182.5, 294.5],
];

/// The keel from the lip of the air intake to the middle joint, likewise. Before it the dark rim of the body is weaker than the
/// shading inside it; behind it the belly has the colour of the grass (three levels of 255 apart), and the edge of the wing's
/// shadow, two or three pixels above, is all that can be seen.
const KEEL: [[f64; 2]; 9] = [
    [590.0, 493.0],
    [602.5, 500.0],
    [637.5, 519.5],
    [681.0, 537.0],
    [720.0, 549.5],
    [755.0, 559.5],
    [790.0, 568.0],
    [867.5, 579.5],
    [934.0, 585.5],
];

/// Traced points at the model, x aft and z up; at least this share of what was followed is sure.
fn read(picks: &[[f64; 2]], half_width: f64, share: f64) -> Vec<TracedPoint> {
    let folder: PathBuf =
        [env!("CARGO_MANIFEST_DIR"), "..", "..", "demo-projects", "ostrel", "pictures"].iter().collect();
    let entry =
        std::fs::read_dir(folder).unwrap().flatten().find(|e| e.file_name().to_string_lossy().starts_with("side"));
    let picture = decode(&std::fs::read(entry.unwrap().path()).unwrap()).unwrap();
    let shot = views::shots().into_iter().find(|s| s.name == "Side").unwrap();
    let camera = PictureCamera::from(shot.camera);
    let followed = follow(&picture, picks, &Following { half_width, ..Following::default() }).unwrap();
    assert!(followed.sure().count() as f64 >= share * followed.points.len() as f64, "{}", followed.sure().count());
    let point = |p: &photo::EdgePoint| {
        let [x, _, z] = read_on_plane(&camera, p.pixel, &Plane::at_half_breadth(0.0)).unwrap();
        TracedPoint { x: x / SCALE, value: z / SCALE, deviation: p.deviation }
    };
    followed.sure().map(point).collect()
}

fn line(points: &[project::document::LinePoint]) -> Line {
    let points: Vec<LinePoint> =
        points.iter().map(|p| LinePoint { x: p.x, value: p.value, pass: Pass::Smooth }).collect();
    Line::new(&points, LineEnd::Free, LineEnd::Free).unwrap()
}

/// Largest and mean square distance of a faired line from the true one, both in sight from `low` to `high`.
fn misfit(found: &Line, truth: &Line, [low, high]: [f64; 2]) -> (f64, f64) {
    let off: Vec<f64> = (0..=200)
        .map(|i| low + (high - low) * f64::from(i) / 200.0)
        .map(|x| truth.nearest([x, found.at(x).value]).1)
        .collect();
    let squares: f64 = off.iter().map(|d| d * d).sum();
    (off.iter().copied().fold(0.0, f64::max), (squares / off.len() as f64).sqrt())
}

#[test]
fn the_crown_followed_and_faired_is_the_true_one_within_half_a_millimetre() {
    let truth = line(&ostrel::cowl().lines.crown.points);
    let found = fair(&read(&CROWN, 8.0, 0.95), &Fairing { tolerance: 0.3, ..Fairing::default() }).unwrap();
    let (most, rms) = misfit(&found.line, &truth, [2.0, 360.0]);
    println!("crown: {} points, {most:.3} mm at most, {rms:.3} rms", found.points.len());
    assert_eq!(found.outcome, Outcome::Holds);
    assert!(found.points.len() <= truth.points().len());
    assert!(most < 0.5 && rms < 0.25, "{most} {rms}");
}

#[test]
fn the_keel_where_it_can_be_seen_is_the_true_one_within_half_a_millimetre() {
    let truth = line(&ostrel::cowl().lines.keel.points);
    let found = fair(&read(&KEEL, 5.0, 0.75), &Fairing { tolerance: 0.5, share: 0.95, ..Fairing::default() }).unwrap();
    let (most, rms) = misfit(&found.line, &truth, [20.0, 195.0]);
    println!("keel: {} points, {most:.3} mm at most, {rms:.3} rms", found.points.len());
    assert_eq!(found.outcome, Outcome::Holds);
    assert!(most < 0.5 && rms < 0.25, "{most} {rms}");
}
