//! Sections from the demo's photographs, as a builder would get them: the pixels were picked by eye in the picture files.
#![allow(clippy::unwrap_used, clippy::expect_used)] // tests may stop at the first surprise

use desk::photographs::{Breadth, FoundCamera, SolveFailure, Solved, TakenUp};
use desk::photographs::{camera, distance_names, figure, scale, solve, words};
use geometry::loft::Loft;
use project::document::{ControlSection, Document, KnownDistance, LineName, MeasuredSection, SectionShape};
use project::edit::Edit;
use project::history::History;
use project::photograph::{FigurePoint, FlatFigure, NamedDistance, Trace};
use sight::SightError;
use sight::finding::Finding;
use std::sync::Arc;

fn demo() -> Document {
    desk::demo::document().unwrap()
}

/// Its control sections between the ends taken out, so that the form is a blend of both ends.
fn flattened() -> Document {
    let demo = demo();
    let inner = demo.forms[0].sections.len() - 2;
    (0..inner).fold(demo, |d, _| Edit::RemoveSection { form: 0, section: 1 }.apply(&d).unwrap())
}

fn loft(document: &Document) -> Loft {
    form::loft(&document.forms[0]).skin.expect("a whole form").loft().clone()
}

/// Half-breadth of a section at a height.
fn half_breadth(loft: &Loft, x: f64, z: f64) -> f64 {
    let points = loft.section(x).unwrap().polyline(0.002);
    let [a, b] = points.windows(2).find(|w| w[0][1] >= z && w[1][1] < z).map(|w| [w[0], w[1]]).unwrap();
    a[0] + (a[1] - z) / (a[1] - b[1]) * (b[0] - a[0])
}

/// Stations and heights at which forms are compared: up to a twentieth of the height from crown and keel.
fn places(truth: &Loft) -> Vec<(f64, f64)> {
    let mut out = Vec::new();
    for i in 1..24 {
        let x = 15.0 * f64::from(i);
        let section = truth.section(x).unwrap();
        let (crown, keel) = (section.crown(), section.keel());
        out.extend((1..20).map(|j| (x, keel + (crown - keel) * f64::from(j) / 20.0)));
    }
    out
}

/// Root mean square of the difference in half-breadth, mm.
fn rms(a: &Loft, b: &Loft) -> f64 {
    let places = places(b);
    let sum: f64 = places.iter().map(|(x, z)| (half_breadth(a, *x, *z) - half_breadth(b, *x, *z)).powi(2)).sum();
    (sum / places.len() as f64).sqrt()
}

fn solved(document: &Document, breadth: Breadth) -> (Solved, Loft) {
    let solved = solve(document, breadth, &|_| true).unwrap();
    let after = solved.accept.apply(document).unwrap();
    (solved, loft(&after))
}

/// Flattened, and its breadth and breadth height drawn wrong amidships by 5 and 8 mm.
fn misdrawn() -> Document {
    let mut document = flattened();
    let form = document.forms[0].clone();
    for (line, by) in [(LineName::BreadthHeight, 8.0), (LineName::Breadth, -5.0)] {
        for (point, p) in form.lines.get(line).points.iter().enumerate() {
            let off = by * (std::f64::consts::PI * p.x / 360.0).sin();
            let edit = Edit::MoveLinePoint { form: 0, line, point, x: p.x, value: p.value + off };
            document = edit.apply(&document).unwrap();
        }
    }
    document
}

/// Share of the half-breadths that lie within so many of their standard deviations from the truth.
fn within(solved: &Solved, truth: &Loft, deviations: f64) -> f64 {
    let rows = || solved.stations.iter().filter(|s| s.station < 350.0).flat_map(|s| s.rows.iter().map(move |r| (s, r)));
    let hits = rows().filter(|(s, r)| (r.after - half_breadth(truth, s.station, r.z)).abs() < deviations * r.sigma);
    hits.count() as f64 / rows().count() as f64
}

/// One photograph's outline and two seams. Where the traces are better than the pixel they are trusted to, the band is wide.
#[test]
fn the_demos_sections_come_back_from_a_blend_of_both_ends() {
    let (truth, flat) = (loft(&demo()), flattened());
    let before = rms(&loft(&flat), &truth);
    for breadth in [Breadth::Known, Breadth::Sought] {
        let (solved, after) = solved(&flat, breadth);
        let off = rms(&after, &truth);
        assert!(off < 1.0 && off < before, "{breadth:?}: {off} mm, {before} before");
        assert!(off < 1.5 * solved.band, "{breadth:?}: {off} mm against a band of {} mm", solved.band);
        assert!(within(&solved, &truth, 1.0) > 0.6 && within(&solved, &truth, 2.0) > 0.9, "{breadth:?}");
        assert!(!solved.is_weak() && solved.band < 0.3 * solved.prior_band);
    }
}

#[test]
fn lines_that_were_drawn_wrong_come_back_too() {
    let (truth, start) = (loft(&demo()), misdrawn());
    let before = rms(&loft(&start), &truth);
    assert!(before > 3.0, "{before}");
    let (solved, after) = solved(&start, Breadth::Sought);
    let off = rms(&after, &truth);
    assert!(off < 1.0 && off < 1.5 * solved.band, "{off} mm against a band of {} mm", solved.band);
    assert!(within(&solved, &truth, 1.0) > 0.6);
}

/// A breadth line that is 5 mm wrong and said to be known: the seams cannot be followed, and that is said.
#[test]
fn a_line_that_is_wrongly_held_is_told_by_what_cannot_be_followed() {
    let (solved, _) = solved(&misdrawn(), Breadth::Known);
    let strained = solved.solution.findings().iter().any(|f| matches!(f, Finding::Strained(fit) if !fit.outline));
    assert!(strained, "{:?}", solved.solution.findings());
}

#[test]
fn an_outline_alone_says_little_of_an_unknown_breadth_and_that_is_said() {
    let demo = flattened();
    let seams = [3, 2].map(|index| Edit::RemoveTrace { picture: 2, index });
    let outline_alone = seams.iter().fold(demo, |d, edit| edit.apply(&d).unwrap());
    let alone = solve(&outline_alone, Breadth::Sought, &|_| true).unwrap();
    let with_seams = solve(&flattened(), Breadth::Sought, &|_| true).unwrap();
    assert!(alone.band > 2.0 * with_seams.band, "{} against {}", alone.band, with_seams.band);
    assert!(!alone.guessed().is_empty());
    let helps = alone.advice.first().unwrap();
    assert!(helps.then < helps.now, "{helps:?}");
}

#[test]
fn accepting_is_one_step_and_leaves_ends_crown_keel_and_pictures_as_they_are() {
    let before = flattened();
    let solved = solve(&before, Breadth::Sought, &|_| true).unwrap();
    let mut history = History::new(before.clone());
    history.push(solved.accept.label(), Arc::new(solved.accept.apply(&before).unwrap()));
    assert_eq!(**history.document(), solved.after);
    let (old, new) = (&before.forms[0], &solved.after.forms[0]);
    assert_eq!((&old.lines.crown, &old.lines.keel), (&new.lines.crown, &new.lines.keel));
    assert_eq!((old.sections.first(), old.sections.last()), (new.sections.first(), new.sections.last()));
    assert_eq!(before.pictures, solved.after.pictures);
    assert_eq!(history.undo_label(), Some("Solve sections from photographs"));
    assert!(history.undo());
    assert_eq!(**history.document(), before);
}

#[test]
fn knuckles_stay_knuckles_and_a_section_pinned_to_measured_points_stays() {
    let demo = demo();
    let measured = MeasuredSection {
        points: vec![[0.0, 55.7], [40.0, 50.0], [73.5, -12.0], [45.0, -75.0], [0.0, -94.0]],
        knuckles: Vec::new(),
        crown_ridge: false,
        keel_ridge: false,
        breadth_point: Some(2),
        breadth_girth: None,
    };
    let pinned = ControlSection { station: 144.0, shape: SectionShape::Pinned(measured) };
    let before = Edit::ReplaceSection { form: 0, section: 3, with: pinned.clone() }.apply(&demo).unwrap();
    let solved = solve(&before, Breadth::Sought, &|_| true).unwrap();
    let form = &solved.after.forms[0];
    assert_eq!(*form.sections[3], pinned);
    assert_eq!(solved.sections[2], (144.0, TakenUp::Pinned));
    for old in &before.forms[0].sections {
        let new = form.sections.iter().find(|s| s.station == old.station).unwrap();
        let knuckles = |s: &ControlSection| match &s.shape {
            SectionShape::Shaped(unit) => unit.points.iter().filter_map(|p| p.role.knuckle()).collect(),
            SectionShape::Pinned(_) => Vec::new(),
        };
        assert_eq!(knuckles(old), knuckles(new));
    }
}

#[test]
fn it_can_be_given_up() {
    let given_up = solve(&flattened(), Breadth::Known, &|_| false).unwrap_err();
    assert_eq!(given_up, SolveFailure::Sight(SightError::Cancelled));
}

#[test]
fn what_cannot_be_used_is_named_with_what_to_do() {
    let demo = demo();
    let untraced = (0..4).fold(demo.clone(), |d, _| Edit::RemoveTrace { picture: 2, index: 0 }.apply(&d).unwrap());
    let nothing = solve(&untraced, Breadth::Sought, &|_| true).unwrap_err().to_string();
    for part in ["Side: nothing is traced", "Face: nothing is traced", "Three-quarter: nothing is traced"] {
        assert!(nothing.contains(part), "{nothing}");
    }
    let count = demo.pictures[2].photograph.landmarks.len();
    let no_camera =
        (0..count).fold(demo.clone(), |d, _| Edit::RemoveLandmark { picture: 2, index: 0 }.apply(&d).unwrap());
    let no_camera = solve(&no_camera, Breadth::Sought, &|_| true).unwrap_err().to_string();
    assert!(no_camera.contains("Three-quarter: No landmarks are picked"), "{no_camera}");
    let sections = demo.forms[0].sections.len();
    let bare = (0..sections).fold(demo, |d, _| Edit::RemoveSection { form: 0, section: 0 }.apply(&d).unwrap());
    let bare = solve(&bare, Breadth::Sought, &|_| true).unwrap_err().to_string();
    assert!(bare.contains("the first and the last control section"), "{bare}");
}

/// The unit square seen as the quadrilateral (0, 0), (4, 0), (3, 2), (1, 2): its middle is seen at (2, 4/3), where the diagonals
/// cross. Here in hundreds of pixels and of millimetres at full size; at the quarter-scale model the middle lies at 12.5 mm.
/// Everything traced 18 px too low, beside landmarks that are right: not far enough to be refused outright. The reason is told,
/// and it is another one than that little is seen.
#[test]
fn a_contradiction_is_told_as_one() {
    let demo = demo();
    let traces = demo.pictures[2].photograph.traces.iter().enumerate();
    let moved = |(index, trace): (usize, &Trace)| {
        let points = trace.points.iter().map(|p| [p[0], p[1] + 18.0]).collect();
        Edit::ReplaceTrace { picture: 2, index, with: Trace { points, ..trace.clone() } }
    };
    let other = traces.map(moved).fold(demo.clone(), |d, edit| edit.apply(&d).unwrap());
    let why = |d: &Document| words::weakness(&solved(d, Breadth::Sought).0);
    assert!(why(&other).is_some_and(|text| text.contains("hardly goes with the landmarks")), "{:?}", why(&other));
    assert_eq!(why(&demo), None);
}

/// Four of the demo's side landmarks are tied to crown and keel: with nothing drawn they wait, and the eleven others give the
/// camera; alone they are refused by name.
#[test]
fn landmarks_of_a_form_that_is_not_drawn_yet_wait_for_it() {
    let drawn = demo();
    let blank = Edit::ReplaceForm { form: 0, with: project::starter::empty_form("Nose cowl") }.apply(&drawn).unwrap();
    let (before, after) = [&drawn, &blank].map(|d| camera(d, &d.pictures[0]).unwrap()).into();
    assert_eq!((before.landmarks.len(), after.landmarks.len()), (15, 11));
    let focal = |found: &FoundCamera| found.resection.camera.camera.focal_px;
    let sigma = after.resection.sigmas.focal_px;
    assert!((focal(&before) - focal(&after)).abs() < 2.0 * sigma, "{} {} {sigma}", focal(&before), focal(&after));
    let alone = after
        .landmarks
        .iter()
        .rev()
        .fold(blank, |d, index| Edit::RemoveLandmark { picture: 0, index: *index }.apply(&d).unwrap());
    let refused = camera(&alone, &alone.pictures[0]).unwrap_err();
    assert!(refused.to_string().contains("has no crown line yet"), "{refused}");
}

#[test]
fn a_flat_figure_is_read_at_the_model() {
    let corners = [([0.0, 0.0], [0.0, 0.0]), ([400.0, 0.0], [100.0, 0.0]), ([300.0, 200.0], [100.0, 100.0])];
    let corners = corners.into_iter().chain([([100.0, 200.0], [0.0, 100.0])]);
    let points = corners.map(|(pixel, plane)| FigurePoint { pixel, plane }).collect();
    let set = Edit::SetFigure { picture: 1, figure: Some(FlatFigure { points, full_size: true }) };
    let document = set.apply(&demo()).unwrap();
    let plane = figure(&document, &document.pictures[1]).unwrap().unwrap();
    let middle = plane.read([200.0, 400.0 / 3.0]).unwrap();
    assert!(middle.iter().all(|c| (c - 12.5).abs() < 1e-9), "{middle:?}");
    assert!(figure(&document, &document.pictures[0]).is_none());
}

/// The side picture's pole and its check agree; the pole once more, with two digits of its length swapped, does not.
#[test]
fn the_distance_that_does_not_go_with_the_others_is_marked() {
    let before = demo();
    let pole = before.pictures[0].scale.unwrap();
    let wrong = KnownDistance { distance_mm: 2300.0, ..pole };
    let distances = vec![
        NamedDistance { name: "pole again".into(), known: pole, trust_mm: 2.0 },
        NamedDistance { name: "pole mistyped".into(), known: wrong, trust_mm: 2.0 },
    ];
    let document = Edit::SetDistances { picture: 0, distances }.apply(&before).unwrap();
    let picture = &document.pictures[0];
    let found = scale(&document, picture).unwrap();
    let out: Vec<bool> = found.distances.iter().map(|d| d.out).collect();
    assert_eq!(out, [false, false, false, true]);
    assert_eq!(distance_names(picture)[3], "pole mistyped");
    let alone = scale(&before, &before.pictures[0]).unwrap();
    assert!((found.mm_per_px / alone.mm_per_px - 1.0).abs() < 1e-3);
}
