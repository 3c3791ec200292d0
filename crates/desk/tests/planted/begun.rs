//! Forms that end in a point, begun from their outline in a picture of the side alone: spats, and blisters whose flat rear is the
//! fuselage's end; round at their points or sharp.

use crate::dice::Dice;
use crate::forms::{self, Kind, LENGTH};
use crate::{errors, landmarks, loft, noisy, picture, rms};
use desk::photographs::{BeginFailure, Begun, Breadth, EndKind, begin_form, solve};
use geometry::loft::Loft;
use photo::Camera;
use project::airframe::{FuselageEnd, FuselageSection, Lap, LapSide};
use project::document::{Document, LineEnd, LineName, MeasuredSection, Picture, PictureView};
use project::edit::Edit;
use project::photograph::{LandmarkPlace, Trace, Traced};
use project::starter::new_document;
use std::sync::Arc;

/// Within which a line is faired, mm: what a hand that is off by one pixel's deviation (0.21 mm) reaches among 60 points.
const TOLERANCE: f64 = 0.8;
/// A pixel of the picture of the side at the form, mm.
const PIXEL: f64 = 3000.0 / 14_000.0;

/// A planted form; sharp at its points, its lines meet there at an angle.
fn truth(kind: Kind, sharp: bool, dice: &mut Dice) -> Loft {
    let document = forms::form(kind, dice)[0].clone();
    let mut with = (*document.forms[0]).clone();
    if sharp {
        for name in [LineName::Crown, LineName::Keel, LineName::Breadth] {
            let line = Arc::make_mut(with.lines.get_mut(name));
            (line.front, line.rear) = (LineEnd::Free, LineEnd::Free);
        }
    }
    loft(&Edit::ReplaceForm { form: 0, with }.apply(&document).unwrap())
}

/// Square from the side, its outline traced as crown and keel.
fn side(truth: &Loft, dice: &mut Dice) -> Picture {
    let side = Camera::look_at([180.0, -3000.0, 0.0], [180.0, 0.0, 0.0], 14_000.0, [3000.0, 2000.0]).unwrap();
    // The same picture in all else; its traces and landmarks are made anew.
    let mut seen = picture(truth, &crate::camera(10.0, dice), &[], 0, dice);
    seen.view = PictureView::Side;
    seen.photograph.landmarks = landmarks(&side, dice);
    // Where the camera stands is not what is tried here.
    for (mark, place) in seen.photograph.landmarks.iter_mut().zip(crate::PLACES) {
        (mark.place, mark.pixel) = (LandmarkPlace::At(place), side.project(place).unwrap());
    }
    let mut edges = [Vec::new(), Vec::new()];
    for i in 0..=60 {
        // Closer towards the points, where the edge runs down steeply.
        let share = 0.5 - 0.5 * (std::f64::consts::PI * f64::from(i) / 60.0).cos();
        let half = truth.section(LENGTH * (0.001 + 0.998 * share)).unwrap();
        // Square from the side a section is seen from its edge, and the outline is where it is highest and lowest.
        let place = |[y, z]: &[f64; 2]| side.project([half.x(), *y, *z]).unwrap();
        let all: Vec<[f64; 2]> = half.polyline(0.01).iter().map(place).collect();
        let by_row = |a: &&[f64; 2], b: &&[f64; 2]| a[1].total_cmp(&b[1]);
        edges[0].push(noisy(*all.iter().min_by(by_row).unwrap(), dice));
        edges[1].push(noisy(*all.iter().max_by(by_row).unwrap(), dice));
    }
    seen.photograph.traces = edges.map(|points| Trace { of: Traced::Outline, points }).into();
    seen
}

fn begins_with(edits: &[Edit]) -> Document {
    edits.iter().fold(new_document("Pointed"), |d, e| e.apply(&d).unwrap())
}

/// The form's own rear as a fuselage that the shell goes into, so that nothing stands proud.
fn fuselage(truth: &Loft) -> Edit {
    let all = truth.section(LENGTH).unwrap().polyline(0.01);
    let last = all.len() - 1;
    let mut points: Vec<[f64; 2]> = (0..=24).map(|i| all[i * last / 24]).collect();
    (points[0][0], points[24][0]) = (0.0, 0.0);
    Edit::SetFuselage(Some(FuselageEnd {
        station: LENGTH,
        section: FuselageSection::Measured(MeasuredSection::through(points)),
        further: None,
        lap: Lap { side: LapSide::Into, length: 12.0, clearance: 0.3 },
        screws: None,
        allowed_gap: 1.0,
        allowed_break_deg: 3.0,
        pinned: None,
    }))
}

/// Crown and keel lie where they are, and so do the points in front and, where there is one, at the rear.
fn lies_on(begun: &Begun, truth: &Loft, what: &str) {
    for (fit, name) in begun.fits.iter().zip([LineName::Crown, LineName::Keel]) {
        let line = form::line(begun.after.forms[0].lines.get(name)).unwrap();
        let real = |x: f64| {
            let section = truth.section(x).unwrap();
            if name == LineName::Crown { section.crown() } else { section.keel() }
        };
        let away = |x: f64| line.nearest([x, real(x)]).1;
        let off = (1..60).map(|i| away(6.0 * f64::from(i))).fold(0.0, f64::max);
        let points = line.points();
        let [first, last] = [points[0], points[points.len() - 1]].map(|p| [p.x, p.value]);
        assert!(fit.worst <= TOLERANCE && off < TOLERANCE, "{what} {name:?}: {off} {fit:?}");
        let pointed = [true, begun.ends[1] == EndKind::Point];
        for (end, x) in [(first, 0.0), (last, LENGTH)].into_iter().zip(pointed).filter(|e| e.1).map(|e| e.0) {
            // Only its flanks tell how high a blunt nose is: there a pixel along x is many along the edge.
            assert!((end[0] - x).abs() < 3.0 * PIXEL && end[1].abs() < 12.0 * PIXEL, "{what}: {end:?}");
        }
    }
    assert!(form::loft(&begun.after.forms[0]).skin.is_some(), "{what}");
}

#[test]
fn spats_begin_where_they_are_traced_round_or_sharp() {
    for seed in [31, 32, 33, 34] {
        for sharp in [false, true] {
            let mut dice = Dice(seed);
            let truth = truth(Kind::Spat, sharp, &mut dice);
            let begun = begin_form(&begins_with(&[Edit::AddPicture(side(&truth, &mut dice))]), TOLERANCE).unwrap();
            assert_eq!(begun.ends, [EndKind::Point; 2]);
            lies_on(&begun, &truth, &format!("spat {seed} {sharp}"));
        }
    }
}

#[test]
fn blisters_begin_between_a_point_and_the_fuselage_round_or_sharp() {
    for seed in [41, 42, 43] {
        for sharp in [false, true] {
            let mut dice = Dice(seed);
            let truth = truth(Kind::Blister, sharp, &mut dice);
            let seen = Edit::AddPicture(side(&truth, &mut dice));
            let begun = begin_form(&begins_with(&[fuselage(&truth), seen.clone()]), TOLERANCE).unwrap();
            assert_eq!(begun.ends, [EndKind::Point, EndKind::Fuselage]);
            lies_on(&begun, &truth, &format!("blister {seed} {sharp}"));
            // A flat end that nothing on the bench tells is not taken for a point.
            let open = begin_form(&begins_with(&[seen]), TOLERANCE).map(|b| b.ends);
            assert_eq!(open, Err(BeginFailure::OpenEnd { front: false }));
        }
    }
}

#[test]
fn a_spat_that_is_begun_from_its_side_is_found_with_a_second_picture() {
    let mut dice = Dice(31);
    let truth = truth(Kind::Spat, false, &mut dice);
    let first = side(&truth, &mut dice);
    let mut second = picture(&truth, &crate::camera(10.0, &mut dice), &[120.0, 230.0], 1, &mut dice);
    // What stands round the form is measured once for both.
    for (mark, known) in second.photograph.landmarks.iter_mut().zip(&first.photograph.landmarks) {
        mark.place = known.place;
    }
    let begun = begin_form(&begins_with(&[Edit::AddPicture(first), Edit::AddPicture(second)]), TOLERANCE).unwrap();
    let solved = solve(&begun.after, Breadth::Sought, &|_| true).unwrap();
    let errors = errors(&solved, &truth);
    let (after, before) = (rms(errors.iter().map(|e| e.0)), rms(errors.iter().map(|e| e.2)));
    println!("spat solved: {after:.2} of {before:.2} mm, band {:.2}", solved.band);
    assert!(after < 1.2 && after < 0.5 * before, "{after} of {before}, band {}", solved.band);
}

/// What stands 40 mm over the crown traced as an outline too: no line follows both, and midway lies on neither.
#[test]
fn a_line_that_would_go_astray_is_refused_with_what_to_do() {
    let mut dice = Dice(31);
    let truth = truth(Kind::Spat, false, &mut dice);
    let mut seen = side(&truth, &mut dice);
    let over: Vec<[f64; 2]> =
        seen.photograph.traces[0].points[20..40].iter().map(|p| [p[0] + 7.0, p[1] - 40.0 / PIXEL]).collect();
    seen.photograph.traces.push(Trace { of: Traced::Outline, points: over });
    let why = begin_form(&begins_with(&[Edit::AddPicture(seen)]), TOLERANCE).map(|b| b.fits).unwrap_err();
    let BeginFailure::Astray { line, mm } = &why else { panic!("{why:?}") };
    assert!(*line == LineName::Crown && (15.0..40.0).contains(mm), "{why:?}");
    let said = why.to_string();
    assert!(said.starts_with("Crown: ") && said.contains("Look for points that lie elsewhere"), "{said}");
}

/// The builder stops tracing 4 mm before the nose: the lines show where they meet, and the form begins there.
#[test]
fn a_nose_that_is_not_traced_to_its_tip_begins_where_the_lines_meet() {
    for sharp in [false, true] {
        let mut dice = Dice(32);
        let truth = truth(Kind::Spat, sharp, &mut dice);
        let mut seen = side(&truth, &mut dice);
        let stop = 3000.0 - 176.0 / PIXEL;
        for trace in &mut seen.photograph.traces {
            trace.points.retain(|p| p[0] > stop);
        }
        let begun = begin_form(&begins_with(&[Edit::AddPicture(seen)]), TOLERANCE).unwrap();
        let tip = begun.after.forms[0].lines.crown.points[0];
        println!("not traced to the tip, sharp {sharp}: {:.2} {:.2}", tip.x, tip.value);
        assert!(tip.x.abs() < 2.0 && begun.fits.iter().all(|f| f.worst <= TOLERANCE), "{tip:?} {:?}", begun.fits);
    }
}
