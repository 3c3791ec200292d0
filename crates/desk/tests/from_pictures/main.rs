//! From the demo's three picture files and what lies on the bench to the known form, as a builder would go: landmarks and coarse
//! traces picked by hand (`picks`), traces refined by following edges, an empty form begun from the side and solved from all three.
//! The known form is only looked at in the end, to compare.
#![allow(clippy::unwrap_used, clippy::expect_used)] // tests may stop at the first surprise

mod compare;
mod picks;

use compare::{compare, half_breadth, loft};
use desk::photographs::{BeginFailure, Breadth, EndKind, SolveFailure, Solved, begin_form, faired, read_line, solve};
use project::build::Coat;
use project::document::{Document, LineName, Picture, PictureView, Placement};
use project::edit::Edit;
use project::history::History;
use project::photograph::{FocalLength, Photograph, Trace, Traced};
use project::starter::new_document;
use std::sync::Arc;

const FILES: [(&str, PictureView, &[u8]); 3] = [
    ("Side", PictureView::Side, include_bytes!("../../../../demo-projects/ostrel/pictures/side-9eaa34ea.jpg")),
    ("Face", PictureView::Face, include_bytes!("../../../../demo-projects/ostrel/pictures/face-7e955825.jpg")),
    (
        "Three-quarter",
        PictureView::Reference,
        include_bytes!("../../../../demo-projects/ostrel/pictures/three-quarter-27afe0bb.jpg"),
    ),
];

fn demo() -> Document {
    desk::demo::document().unwrap()
}

fn picture(index: usize) -> Picture {
    let (name, view, bytes) = FILES[index];
    Picture {
        name: name.into(),
        view,
        bytes: bytes.into(),
        file: project::file::picture_file_name(name, bytes),
        size_px: photo::size(bytes).unwrap(),
        placement: Placement { mm_per_px: 1.0, rotation_deg: 0.0, offset: [0.0; 2], mirrored: false },
        scale: None,
        check: None,
        level: None,
        opacity: 1.0,
        locked: false,
        hidden: false,
        photograph: Photograph {
            focal: Some(FocalLength { px: picks::FOCALS[index], tolerance_px: 0.05 * picks::FOCALS[index] }),
            landmarks: picks::landmarks()[index].clone(),
            ..Photograph::default()
        },
    }
}

/// The edge followed along coarse picks, so many px to either side. Where it finds none, or two, the picks themselves stay.
fn followed(picture: usize, picks: &[[f64; 2]], half_width: f64) -> Vec<[f64; 2]> {
    let photo = photo::decode(FILES[picture].2).unwrap();
    let how = photo::Following { half_width, spacing: 8.0, ..Default::default() };
    let found = photo::follow(&photo, picks, &how).unwrap();
    let mut points: Vec<[f64; 2]> = found.sure().map(|p| p.pixel).collect();
    let alone = |p: &&[f64; 2]| points.iter().all(|q| (p[0] - q[0]).hypot(p[1] - q[1]) > 6.0);
    let kept: Vec<[f64; 2]> = picks.iter().filter(alone).copied().collect();
    points.extend(kept);
    points
}

/// What comes over the plug, mm.
const COAT: Coat = Coat { laminate: 0.5, filler: 0.2, paint: 0.1 };

/// An empty form, what lies on the bench, and the pictures with their landmarks.
fn bench() -> Document {
    let demo = demo();
    let mut edits = vec![
        Edit::SetModelScale(demo.model_scale),
        Edit::SetFuselage(demo.airframe.fuselage.clone()),
        Edit::SetThrust(demo.airframe.thrust),
        // Before there are plies the thickness is given by hand, as a round number.
        Edit::SetBuild(project::build::Build { coat: COAT, ..Default::default() }),
    ];
    edits.extend((0..3).map(|i| Edit::AddPicture(picture(i))));
    edits.extend((0..3).map(|picture| Edit::SetCloseness { picture, picked_px: 0.5, traced_px: 0.5 }));
    after(&new_document("From pictures"), &edits)
}

fn after(document: &Document, edits: &[Edit]) -> Document {
    edits.iter().fold(document.clone(), |d, edit| edit.apply(&d).unwrap())
}

fn outline(picture: usize, points: Vec<[f64; 2]>) -> Edit {
    Edit::AddTrace { picture, trace: Trace { of: Traced::Outline, points } }
}

/// The same with everything traced.
fn traced() -> Document {
    let mut edits = vec![
        outline(0, followed(0, &picks::CROWN, 4.0)),
        // Where a dark rim runs along the edge, or only the colour changes, the strongest edge near is not the outline: there the
        // builder leaves the picks.
        outline(0, picks::KEEL_FRONT[..8].to_vec()),
        outline(0, followed(0, &picks::KEEL_FRONT[7..], 2.0)),
        outline(0, picks::KEEL_REAR.to_vec()),
        outline(1, picks::FACE_STARBOARD.to_vec()),
        outline(1, picks::FACE_PORT.to_vec()),
        outline(2, followed(2, &picks::THREE_QUARTER_UPPER, 4.0)),
        outline(2, followed(2, &picks::THREE_QUARTER_LOWER, 4.0)),
    ];
    for (station, points) in [(72.0, &picks::FORWARD_SEAM[..]), (216.0, &picks::MIDDLE_SEAM[..])] {
        let trace = Trace { of: Traced::Seam { station }, points: points.to_vec() };
        edits.push(Edit::AddTrace { picture: 2, trace });
    }
    after(&bench(), &edits)
}

/// Within which a line is faired, mm.
const TOLERANCE: f64 = 0.25;

/// Share of half-breadths that lie within so many predicted deviations of the known form.
fn within(solved: &Solved, truth: &Document, deviations: f64) -> f64 {
    let truth = loft(truth);
    let rows = || solved.stations.iter().flat_map(|s| s.rows.iter().map(move |r| (s.station, r)));
    let near = |(x, r): &(f64, &desk::photographs::HeightChange)| {
        half_breadth(&truth, *x, r.z).is_some_and(|real| (r.after - real).abs() < deviations * r.sigma)
    };
    rows().filter(near).count() as f64 / rows().count() as f64
}

#[test]
fn three_pictures_lead_from_an_empty_form_to_the_known_one() {
    let (start, truth) = (traced(), demo());
    assert!(start.forms[0].sections.is_empty() && start.forms[0].lines.crown.points.is_empty());
    let begun = begin_form(&start, TOLERANCE).unwrap();
    assert_eq!(begun.ends, [EndKind::Ring, EndKind::Fuselage]);
    let solved = solve(&begun.after, Breadth::Sought, &|_| true).unwrap();
    assert_eq!((solved.used.len(), solved.is_weak()), (3, false));
    let (before, reached) = (compare(&begun.after, &truth), compare(&solved.after, &truth));
    assert!(reached.side < 0.5 && reached.face < 0.5 && reached.sections < 1.0, "{reached:?}, begun {before:?}");
    assert!(before.sections > 1.5 && before.face > 1.5, "begun it is a guess: {before:?}");
    assert!(reached.sections < 1.5 * solved.band, "{reached:?} against a band of {}", solved.band);
    assert!(within(&solved, &truth, 1.0) > 0.5 && within(&solved, &truth, 2.0) > 0.85);
}

#[test]
fn beginning_and_solving_are_two_steps_that_can_be_undone() {
    let start = traced();
    let begun = begin_form(&start, TOLERANCE).unwrap();
    let solved = solve(&begun.after, Breadth::Sought, &|_| true).unwrap();
    let mut history = History::new(start.clone());
    history.push(begun.edit.label(), Arc::new(begun.edit.apply(&start).unwrap()));
    history.push(solved.accept.label(), Arc::new(solved.accept.apply(&begun.after).unwrap()));
    assert_eq!(**history.document(), solved.after);
    assert_eq!(history.undo_label(), Some("Solve sections from photographs"));
    assert!(history.undo());
    assert_eq!(**history.document(), begun.after);
    assert_eq!(history.undo_label(), Some("Begin the form from photographs"));
    assert!(history.undo());
    assert_eq!(**history.document(), start);
}

/// The rear section is pinned to the fuselage, proud of it by coat and clearance; the front is the ring's circle.
#[test]
fn the_ends_are_those_of_the_bench() {
    let begun = begin_form(&traced(), TOLERANCE).unwrap();
    let form = &begun.after.forms[0];
    let end = begun.after.airframe.fuselage.as_ref().unwrap();
    assert!((end.pinned.unwrap().proud - (COAT.total() + 0.75)).abs() < 1e-12);
    let skin = form::loft(form);
    let (front, rear) = skin.skin.as_ref().unwrap().loft().x_range();
    // The hub lies 367.5 mm ahead of the firewall along a shaft canted by 2 and 2.5 degrees, the ring's rear face 5 mm behind
    // it, and the lowest of its 33 mm to starboard is the rearmost.
    let (down, side) = (2_f64.to_radians().tan(), 2.5_f64.to_radians().tan());
    let cos = 1.0 / (1.0 + down * down + side * side).sqrt();
    let expected = 360.0 - 362.5 * cos + 33.0 * (1.0 - cos * cos).sqrt();
    assert!((front - expected).abs() < 1e-3 && rear == 360.0, "{front} {expected} {rear}");
    let line = |name| form::line(form.lines.get(name)).unwrap();
    assert!((line(LineName::Crown).at(360.0).value - (60.3 + 1.55)).abs() < 0.01);
    assert!((line(LineName::Breadth).at(front).value - 33.0).abs() < 1e-9);
    assert!(form.stations.len() > 10);
}

/// A crown drawn 3 mm wrong comes back from its trace; its ends stay.
#[test]
fn a_line_is_faired_anew_from_its_trace() {
    let begun = begin_form(&traced(), TOLERANCE).unwrap().after;
    let crown = &begun.forms[0].lines.crown;
    let last = crown.points.len() - 1;
    let moved = |point: usize| {
        let p = crown.points[point];
        Edit::MoveLinePoint { form: 0, line: LineName::Crown, point, x: p.x, value: p.value + 3.0 }
    };
    let wrong = after(&begun, &(1..last).map(moved).collect::<Vec<_>>());
    let trace = &wrong.pictures[0].photograph.traces[0];
    let read = read_line(&wrong, &wrong.pictures[0], &trace.points, LineName::Crown).unwrap();
    let found = faired(&wrong, &read, TOLERANCE).unwrap();
    // The end of the ring is measured, the trace beside it is picked.
    assert!(found.fit.rms < 0.5 * TOLERANCE && found.fit.worst < 2.0 * TOLERANCE, "{:?}", found.fit);
    let mended = found.edit.apply(&wrong).unwrap();
    let value = |d: &Document, x: f64| form::line(&d.forms[0].lines.crown).unwrap().at(x).value;
    for x in [40.0, 150.0, 300.0] {
        assert!((value(&wrong, x) - value(&begun, x)).abs() > 2.0);
        assert!((value(&mended, x) - value(&begun, x)).abs() < 0.2, "{x}");
    }
    let ends = |d: &Document| (d.forms[0].lines.crown.points[0], d.forms[0].lines.crown.points.last().copied());
    assert_eq!(ends(&mended), ends(&begun));
    assert_eq!(mended.forms[0].sections, wrong.forms[0].sections);
    assert_eq!(mended.airframe, wrong.airframe);
}

#[test]
fn what_is_missing_is_said_with_what_to_do_next() {
    let bench = bench();
    let begin = |d: &Document| begin_form(d, TOLERANCE).unwrap_err();
    let refused = |why: BeginFailure, part: &str| assert!(why.to_string().contains(part), "{why}");
    refused(begin(&new_document("Empty")), "No picture lies under the side view");
    refused(begin(&bench), "No outline is traced in a picture of the side");
    let crown = outline(0, picks::CROWN.to_vec());
    let crown_alone = after(&bench, std::slice::from_ref(&crown));
    refused(begin(&crown_alone), "Nothing is traced below the middle");
    let both = after(&crown_alone, &[outline(0, picks::KEEL_FRONT.to_vec()), outline(0, picks::KEEL_REAR.to_vec())]);
    refused(begin(&after(&both, &[Edit::SetThrust(None)])), "Where the form begins is not known");
    refused(begin(&after(&both, &[Edit::SetFuselage(None)])), "Where the form ends is not known");
    let blind = after(&both, &vec![Edit::RemoveLandmark { picture: 0, index: 0 }; picks::landmarks()[0].len()]);
    refused(begin(&blind), "Side: No landmarks are picked");
    let begun = begin_form(&both, 2.0).unwrap().after;
    assert!(matches!(begin(&begun), BeginFailure::Drawn { .. }));
    let early = solve(&both, Breadth::Sought, &|_| true).unwrap_err();
    assert!(matches!(early, SolveFailure::NotBegun { .. }) && early.to_string().contains("begin the form"), "{early}");
}
