//! Where two forms meet: against curves in closed form, and by the laws that hold of any two forms.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // tests may stop at the first surprise

use form::meeting::{Meeting, Placed, Plane, Stands, Stop, cut_by_plane, meeting, mirrored, outline_along, twin};
use form::seen::SurfaceNode;
use form::space::{Vector, dot, length, sub};
use geometry::loft::Loft;
use plugwright_tests::forms::{Bounds, any_form};
use project::document::{ControlSection, Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine, SectionShape};
use project::mount::Mount;
use project::starter::{ELLIPSE_RHO, empty_form, two_conics};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};
use std::sync::Arc;

/// A form of circular sections, radius over station.
fn round_form(points: &[[f64; 2]], ends: LineEnd) -> Form {
    let line = |of: &dyn Fn(f64) -> f64, ends: LineEnd| {
        let point = |p: &[f64; 2]| LinePoint { x: p[0], value: of(p[1]), kind: LinePointKind::Smooth };
        Arc::new(MasterLine { points: points.iter().map(point).collect(), front: ends, rear: ends })
    };
    let mut form = empty_form("round");
    *form.lines.get_mut(LineName::Crown) = line(&|r| r, ends);
    *form.lines.get_mut(LineName::Keel) = line(&|r| -r, ends);
    *form.lines.get_mut(LineName::Breadth) = line(&|r| r, ends);
    *form.lines.get_mut(LineName::BreadthHeight) = line(&|_| 0.0, LineEnd::Free);
    let section = |station| Arc::new(ControlSection { station, shape: SectionShape::Shaped(two_conics(ELLIPSE_RHO)) });
    form.sections = [points[0][0], points[points.len() - 1][0]].map(section).to_vec();
    form
}

fn lofted(form: &Form) -> Loft {
    form::loft(form).skin.expect("drawn whole").loft().clone()
}

/// A cylinder about the x axis.
fn cylinder(radius: f64, from: f64, to: f64) -> Loft {
    lofted(&round_form(&[[from, radius], [0.5 * (from + to), radius], [to, radius]], LineEnd::Free))
}

/// A ball about the origin, by 41 points on its outline: within a ten-thousandth of a millimetre of it.
fn ball(radius: f64) -> Loft {
    let points: Vec<[f64; 2]> = (0..=40)
        .map(|k| PI * f64::from(k) / 40.0)
        .map(|a| [-radius * a.cos(), if a.sin() < 1e-12 { 0.0 } else { radius * a.sin() }])
        .collect();
    lofted(&round_form(&points, LineEnd::Upright))
}

fn at(place: Vector) -> Mount {
    Mount { place, ..Mount::default() }
}

fn points(meeting: &Meeting) -> impl Iterator<Item = Vector> + '_ {
    meeting.lines.iter().flat_map(|line| line.places.iter().map(|p| p.point))
}

fn greatest(of: impl Iterator<Item = f64>) -> f64 {
    of.fold(0.0, |m, v| m.max(v.abs()))
}

/// Both cylinders, exactly: y² + z² = R² and (x - 200)² + y² = r². The length of one loop is the integral over the smaller one's angle.
#[test]
fn a_cylinder_across_a_cylinder_meets_it_in_the_two_known_loops() {
    let (big, small) = (cylinder(100.0, 0.0, 400.0), cylinder(40.0, 0.0, 300.0));
    let mount = Mount { pitch_deg: 90.0, ..at([200.0, 0.0, 150.0]) };
    let found = meeting(&big, &small, &mount, 0.01);
    assert_eq!(found.stands, Stands::Meets);
    assert_eq!(found.lines.len(), 2);
    assert!(found.lines.iter().all(|line| line.closed()));
    assert!(greatest(points(&found).map(|[_, y, z]| y.hypot(z) - 100.0)) < 1e-6);
    assert!(greatest(points(&found).map(|[x, y, _]| (x - 200.0).hypot(y) - 40.0)) < 1e-6);
    let place = |t: f64| [40.0 * t.cos(), 40.0 * t.sin(), (1e4 - (40.0 * t.sin()).powi(2)).sqrt()];
    let long: f64 =
        (0..20_000).map(|k| TAU * f64::from(k) / 2e4).map(|t| length(sub(place(t + TAU / 2e4), place(t)))).sum();
    for line in &found.lines {
        assert!((line.length() / long - 1.0).abs() < 2e-3, "{} {long}", line.length());
        let up = line.places[0].point[2].signum();
        assert!(line.places.iter().all(|p| p.point[2] * up > 0.0), "a loop stays on its side");
    }
}

/// One that stands aslant off the centre plane: (p - c) less its part along the axis has length r.
#[test]
fn an_oblique_cylinder_off_the_centre_plane_meets_on_both_cylinders() {
    let (big, small) = (cylinder(100.0, 0.0, 400.0), cylinder(30.0, -120.0, 160.0));
    let mount = Mount { place: [180.0, 35.0, 60.0], roll_deg: 17.0, pitch_deg: 55.0, yaw_deg: -25.0, mirrored: true };
    let found = meeting(&big, &small, &mount, 0.01);
    let axis = Placed::new(&mount).way_to_first([1.0, 0.0, 0.0]);
    assert!(!found.lines.is_empty());
    assert!(greatest(points(&found).map(|[_, y, z]| y.hypot(z) - 100.0)) < 1e-6);
    let off = |p: Vector| {
        let d = sub(p, mount.place);
        (dot(d, d) - dot(d, axis).powi(2)).sqrt() - 30.0
    };
    assert!(greatest(points(&found).map(off)) < 1e-6);
    // The other side is the mirror image, and is the same form mounted the other way.
    let both = found.both(&mount);
    assert_eq!(both.len(), 2 * found.lines.len());
    let placed = Placed::new(&twin(&mount));
    for place in both.iter().skip(found.lines.len()).flat_map(|line| &line.places) {
        let on_first = SurfaceNode::at(&big, place.first).unwrap().point;
        let on_added = placed.to_first(SurfaceNode::at(&small, place.added).unwrap().point);
        assert!(length(sub(on_first, place.point)) < 1e-6 && length(sub(on_added, place.point)) < 1e-6);
    }
    assert!(both.iter().skip(found.lines.len()).flat_map(|l| &l.places).any(|p| p.point[1] < 0.0));
}

/// Two circles meet at y = (d² + R² - r²) / 2d from the first's middle: the lines along the cylinders, as long as the shorter one.
#[test]
fn a_cylinder_along_a_cylinder_meets_it_in_two_straight_lines_that_end_at_rims() {
    let (big, small) = (cylinder(100.0, 0.0, 400.0), cylinder(30.0, 0.0, 120.0));
    let high = (110.0_f64.powi(2) + 100.0_f64.powi(2) - 30.0_f64.powi(2)) / 220.0;
    let aside = (1e4 - high * high).sqrt();
    for (x, stops) in [(140.0, [true, true]), (340.0, [true, false])] {
        let found = meeting(&big, &small, &at([x, 0.0, 110.0]), 0.01);
        assert_eq!(found.lines.len(), 2, "at {x}");
        for line in &found.lines {
            let ends = line.ends.expect("open");
            let mut of_added = ends.map(|end| match end {
                Stop::Rim { of_added, .. } => of_added,
                Stop::Lost => panic!("lost"),
            });
            of_added.sort_by(|a, b| b.cmp(a));
            assert_eq!(of_added, stops);
            let xs = [line.places[0].point[0], line.places[line.places.len() - 1].point[0]];
            let (low, high_x) = (xs[0].min(xs[1]), xs[0].max(xs[1]));
            assert!((low - x).abs() < 1e-9 && (high_x - (x + 120.0).min(400.0)).abs() < 1e-9, "{xs:?}");
            assert!(greatest(line.places.iter().map(|p| p.point[2] - high)) < 1e-6);
            assert!(greatest(line.places.iter().map(|p| p.point[1].abs() - aside)) < 1e-6);
        }
    }
}

/// A ball about the axis of a cone meets it in circles: (x0 + x)² + (k x)² = R².
#[test]
fn a_ball_in_a_cone_meets_it_in_a_circle() {
    let cone = lofted(&round_form(&[[0.0, 20.0], [100.0, 45.0], [200.0, 70.0]], LineEnd::Free));
    let found = meeting(&cone, &ball(60.0), &at([110.0, 0.0, 0.0]), 0.01);
    // r = 20 + x / 4 and (x - 110)² + r² = 60².
    let (a, b, c) = (1.0 + 0.0625, -220.0 + 10.0, 110.0_f64.powi(2) + 400.0 - 3600.0);
    let root = (b * b - 4.0 * a * c).sqrt();
    let mut expected = [(-b - root) / (2.0 * a), (-b + root) / (2.0 * a)];
    expected.sort_by(f64::total_cmp);
    assert_eq!(found.lines.len(), 2);
    let mut xs: Vec<f64> = found.lines.iter().map(|line| line.places[0].point[0]).collect();
    xs.sort_by(f64::total_cmp);
    assert!((xs[0] - expected[0]).abs() < 1e-3 && (xs[1] - expected[1]).abs() < 1e-3, "{xs:?} {expected:?}");
    for line in &found.lines {
        assert!(line.closed());
        let x = line.places[0].point[0];
        assert!(greatest(line.places.iter().map(|p| p.point[0] - x)) < 1e-3);
        let round = TAU * (20.0 + x / 4.0);
        assert!((line.length() / round - 1.0).abs() < 1e-3, "{} {round}", line.length());
    }
}

/// A cylinder upright through a ball, its axis d beside the middle: two loops while d + r < R, and one (two touching ones at the
/// very limit, Viviani's curve) beyond it.
#[test]
fn a_cylinder_through_a_ball_meets_it_in_two_loops_or_in_one() {
    let (ball, pole) = (ball(80.0), cylinder(30.0, 0.0, 260.0));
    for (d, loops) in [(20.0, 2), (49.0, 2), (51.0, 1), (70.0, 1)] {
        let found = meeting(&ball, &pole, &Mount { pitch_deg: 90.0, ..at([0.0, d, 130.0]) }, 0.01);
        assert_eq!(found.lines.len(), loops, "{d} mm beside the middle");
        assert!(found.lines.iter().all(|line| line.closed()));
        assert!(greatest(points(&found).map(|p| length(p) - 80.0)) < 1e-3);
        assert!(greatest(points(&found).map(|[x, y, _]| x.hypot(y - d) - 30.0)) < 1e-6);
    }
}

#[test]
fn what_does_not_meet_is_free_or_sunk_or_around() {
    let (big, small) = (cylinder(100.0, 0.0, 400.0), cylinder(10.0, 0.0, 50.0));
    let stands = |mount: &Mount| meeting(&big, &small, mount, 0.01).stands;
    match stands(&at([100.0, 0.0, 130.0])) {
        Stands::Free { gap } => assert!((20.0..24.0).contains(&gap), "{gap}"),
        other => panic!("{other:?}"),
    }
    assert!(matches!(stands(&at([900.0, 0.0, 0.0])), Stands::Free { .. }));
    assert_eq!(stands(&at([100.0, 20.0, 30.0])), Stands::Sunk);
    assert_eq!(meeting(&small, &big, &at([-100.0, 0.0, 0.0]), 0.01).stands, Stands::Around);
}

/// A plane that leans by 45° cuts a cylinder in an ellipse of axes R and R √2.
#[test]
fn a_plane_cuts_a_cylinder_in_the_known_ellipse_and_its_inset_in_a_smaller_one() {
    let big = cylinder(100.0, 0.0, 400.0);
    let plane = Plane { at: [200.0, 0.0, 0.0], normal: [1.0, 0.0, -1.0] };
    for inward in [0.0, 12.5] {
        let curves = cut_by_plane(&big, &plane, inward, None, 0.01);
        assert_eq!(curves.len(), 1);
        assert_eq!(curves[0].first(), curves[0].last());
        assert!(greatest(curves[0].iter().map(|p| p[0] - 200.0 - p[2])) < 1e-6);
        assert!(greatest(curves[0].iter().map(|[_, y, z]| y.hypot(*z) - (100.0 - inward))) < 1e-6);
    }
    let near = cut_by_plane(&big, &plane, 0.0, Some([[280.0, -30.0, 80.0], [310.0, 30.0, 110.0]]), 0.01);
    assert_eq!(near.len(), 1);
    assert!(near[0].first() != near[0].last() && near[0].iter().all(|p| p[2] > 0.0));
}

#[test]
fn in_light_from_the_side_a_ball_has_a_circle_for_outline_and_a_cylinder_two_lines_and_two_rims() {
    let curves = outline_along(&ball(60.0), [0.0, 1.0, 0.0], 0.01);
    assert_eq!(curves.len(), 2, "upper and lower half, from tip to tip");
    assert!(greatest(curves.iter().flatten().map(|[x, _, z]| x.hypot(*z) - 60.0)) < 0.02);
    let curves = outline_along(&cylinder(50.0, 0.0, 100.0), [0.0, 0.6, 0.8], 0.01);
    assert_eq!(curves.len(), 4);
    // Where the normal is square to the light.
    for line in &curves[..2] {
        assert!(greatest(line.iter().map(|[_, y, z]| 0.6 * y + 0.8 * z)) < 1e-5);
    }
}

fn small_form() -> impl Strategy<Value = Form> {
    any_form(&Bounds::built()).prop_map(|mut form| {
        for name in LineName::ALL {
            let line = Arc::make_mut(form.lines.get_mut(name));
            line.points.iter_mut().for_each(|p| (p.x, p.value) = (0.45 * p.x, 0.45 * p.value));
        }
        form.sections.iter_mut().for_each(|s| Arc::make_mut(s).station *= 0.45);
        form
    })
}

fn any_mount() -> impl Strategy<Value = Mount> {
    let aligned = prop_oneof![Just(0.0), -80.0..80.0_f64];
    let turn = || prop_oneof![1 => Just(0.0), 3 => -180.0..180.0_f64];
    ((-60.0..280.0_f64, aligned, -80.0..80.0_f64), turn(), turn(), turn()).prop_map(|((x, y, z), roll, pitch, yaw)| {
        Mount { place: [x, y, z], roll_deg: roll, pitch_deg: pitch, yaw_deg: yaw, mirrored: false }
    })
}

/// Distance of a place from a loft's section at its station, by a fine polyline.
fn beside(loft: &Loft, p: Vector) -> f64 {
    let (low, high) = loft.x_range();
    let Some(section) = loft.section(p[0].clamp(low, high)) else { return f64::INFINITY };
    let half = section.polyline(1e-4);
    let q = [p[1].abs(), p[2]];
    half.windows(2)
        .map(|w| {
            let (d, e) = ([w[1][0] - w[0][0], w[1][1] - w[0][1]], [q[0] - w[0][0], q[1] - w[0][1]]);
            let t = ((d[0] * e[0] + d[1] * e[1]) / (d[0] * d[0] + d[1] * d[1])).clamp(0.0, 1.0);
            (e[0] - t * d[0]).hypot(e[1] - t * d[1])
        })
        .fold(f64::INFINITY, f64::min)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Of any two forms: every place lies on both skins, told by their sections and not by the parameters that were solved for; lines
    /// are closed or end at a rim; mirroring the whole changes nothing.
    #[test]
    fn every_place_lies_on_both_skins(big in any_form(&Bounds::built()), small in small_form(), mount in any_mount()) {
        let (big, small) = (lofted(&big), lofted(&small));
        let placed = Placed::new(&mount);
        let found = meeting(&big, &small, &mount, 0.02);
        for place in found.lines.iter().flat_map(|line| &line.places).step_by(9) {
            prop_assert!(beside(&big, place.point) < 1e-3);
            prop_assert!(beside(&small, placed.to_own(place.point)) < 1e-3);
            let on = SurfaceNode::at(&big, place.first).unwrap().point;
            prop_assert!(length(sub(on, place.point)) < 1e-6);
        }
        prop_assert!(!found.lost(), "{} lines", found.lines.len());
        prop_assert_eq!(found.lines.is_empty(), found.stands != Stands::Meets);
        let other = meeting(&big, &small, &twin(&mount), 0.02);
        prop_assert_eq!(other.lines.len(), found.lines.len());
        let lengths = |m: &Meeting| m.lines.iter().map(form::meeting::MeetingLine::length).sum::<f64>();
        let (a, b) = (lengths(&found), lengths(&other));
        let each = |m: &Meeting| m.lines.iter().map(|l| (l.length(), l.ends, l.places.len())).collect::<Vec<_>>();
        prop_assert!((a - b).abs() < 2e-3 * (1.0 + a), "{} {} {:?} {:?}", a, b, each(&found), each(&other));
        let all: Vec<Vector> = points(&found).collect();
        let nearest = |p: Vector| all.iter().map(|q| length(sub(p, *q))).fold(f64::INFINITY, f64::min);
        for p in points(&other).step_by(7) {
            prop_assert!(nearest(mirrored(p)) < 12.0);
        }
    }
}
