//! Drawing off held against closed forms of spheres, cylinders, cones and barrels, and against laws of every form.
#![allow(clippy::unwrap_used)] // a test may stop at the first surprise

mod common;

use common::{arc_points, demo, round_form};
use form::FinishedSkin;
use form::space::{dot, unit};
use plugwright_tests::forms::{Bounds, any_form};
use proptest::prelude::*;
use shell::drape::{Cover, End};
use shell::release::{Parting, Release, ReleaseError, Survey, Verdict, Wanted};
use std::f64::consts::PI;

const AHEAD: [f64; 3] = [-1.0, 0.0, 0.0];

fn survey(skin: &FinishedSkin, taken_off: f64) -> Survey<'_> {
    Survey::new(skin.loft(), taken_off, &Cover::default(), 5.0)
}

fn drawn(skin: &FinishedSkin, taken_off: f64, way: [f64; 3]) -> Release {
    survey(skin, taken_off).release(&Wanted { way, ..Wanted::default() }).unwrap()
}

fn close(a: f64, b: f64, share: f64) {
    assert!((a / b - 1.0).abs() < share, "{a} against {b}");
}

/// A barrel: a circular arc of radius `arc` turned about the axis, widest (`wide`) at station 0. Its zone from there to an angle of the
/// arc has the area 2π arc ((wide - arc) angle + arc sin(angle)).
fn barrel(wide: f64, arc: f64, from_deg: f64, to_deg: f64) -> FinishedSkin {
    let at = |k: u32| {
        let angle = (from_deg + (to_deg - from_deg) * f64::from(k) / 24.0).to_radians();
        [arc * angle.sin(), wide - arc * (1.0 - angle.cos())]
    };
    round_form(&(0..=24).map(at).collect::<Vec<_>>())
}

fn barrel_zone(wide: f64, arc: f64, deg: f64) -> f64 {
    2.0 * PI * arc * ((wide - arc) * deg.to_radians() + arc * deg.to_radians().sin())
}

/// A half sphere drawn along its axis: no undercut; the zone below a draft d has height r sin d, area 2π r² sin d. Its outline is a
/// spline through 25 points of the circle and ends 0.003° beyond upright, which is told as 2 mm² and holds nothing.
#[test]
fn a_bowl_comes_off() {
    let found = drawn(&round_form(&arc_points(80.0, 0.5, 24)), 0.0, AHEAD);
    assert!(found.undercut < 4.0 && found.verdict == Verdict::Tight, "{found:?}");
    assert!(found.patches.iter().all(|p| p.worst_deg > -0.005));
    close(found.area, 2.0 * PI * 6400.0, 1e-4);
    close(found.tight, 2.0 * PI * 6400.0 * 1f64.to_radians().sin(), 0.01);
    assert!(found.passage.unwrap().worst.excess < 0.02);
}

/// A half sphere drawn along a way that leans by a: a lune of that angle is undercut, 2 a r².
#[test]
fn a_bowl_drawn_askew_is_held_by_a_lune() {
    let skin = round_form(&arc_points(80.0, 0.5, 24));
    for lean_deg in [5.0_f64, 20.0, 40.0] {
        let lean = lean_deg.to_radians();
        let found = drawn(&skin, 0.0, [-lean.cos(), 0.3 * lean.sin(), 0.91_f64.sqrt() * lean.sin()]);
        close(found.undercut, 2.0 * lean * 6400.0, 2e-3);
        assert_eq!(found.patches.len(), 1);
        assert!((found.patches[0].worst_deg + lean_deg).abs() < 0.05, "{:?}", found.patches);
    }
}

/// A sphere cut at three quarters of its length: the zone behind the equator is 2π r h; under a coat the radius is smaller. The rim is
/// narrower than the equator by r (1 - sin 135°), by area π r² / 2.
#[test]
fn a_sphere_past_its_equator_is_held() {
    let skin = round_form(&arc_points(80.0, 0.75, 36));
    for t in [0.0, 2.0] {
        let r = 80.0 - t;
        let found = drawn(&skin, t, AHEAD);
        close(found.undercut, 2.0 * PI * r * r * 0.5f64.sqrt(), 1e-3);
        assert!(found.verdict == Verdict::Held && found.patches.len() == 1);
        let patch = found.patches[0];
        assert!((patch.worst_deg + 45.0).abs() < 0.1, "{patch:?}");
        // Archimedes: the middle of a zone's area is the middle of its height.
        assert!((patch.centre[0] - (80.0 + 0.5 * r * 0.5f64.sqrt())).abs() < 0.1, "{patch:?}");
        let passage = found.passage.unwrap();
        if t == 0.0 {
            close(passage.rim.excess, r * (1.0 - 0.5f64.sqrt()), 0.01);
            close(passage.beyond_rim, 0.5 * PI * r * r, 0.01);
        }
        assert!(!found.findings(&Wanted::default()).is_empty());
    }
}

/// A cylinder: along its axis no draft anywhere and no undercut; across, half of it is undercut, π r l.
#[test]
fn a_cylinder_sticks_but_is_not_held() {
    let skin = round_form(&[[0.0, 50.0], [120.0, 50.0]]);
    let found = drawn(&skin, 0.0, AHEAD);
    assert!(found.verdict == Verdict::Tight && found.undercut == 0.0);
    close(found.tight, 2.0 * PI * 50.0 * 120.0, 1e-4);
    let across = drawn(&skin, 0.0, [0.0, 0.6, 0.8]);
    close(across.undercut, PI * 50.0 * 120.0, 1e-3);
    assert!(across.verdict == Verdict::Held && across.passage.is_none());
    // Along the axis, closed at the front: the face is no obstacle; aft it is, with all its area.
    let cover = Cover { front: End::Closed, ..Cover::default() };
    let closed = Survey::new(skin.loft(), 0.0, &cover, 5.0);
    let undercut = |way| closed.release(&Wanted { way, ..Wanted::default() }).unwrap().undercut;
    assert_eq!(undercut(AHEAD), 0.0);
    close(undercut([1.0, 0.0, 0.0]), PI * 2500.0, 1e-3);
}

/// A cone that widens by 20 in 100 mm has a draft of atan 0.2 = 11.31° all over; drawn the other way all of it is undercut and stands
/// 20 mm beyond its rim.
#[test]
fn a_cone_has_one_draft() {
    let skin = round_form(&[[0.0, 40.0], [100.0, 60.0]]);
    let found = drawn(&skin, 0.0, AHEAD);
    assert!(found.verdict == Verdict::Free && found.undercut == 0.0 && found.tight < 1e-6);
    let draft = 0.2_f64.atan().to_degrees();
    let map = survey(&skin, 0.0).draft_map(AHEAD);
    assert!(map.iter().flat_map(|c| c.draft_deg).all(|d| (d - draft).abs() < 1e-6));
    let area = PI * 100.0 * 20f64.hypot(100.0);
    let held = drawn(&skin, 0.0, [1.0, 0.0, 0.0]);
    close(held.undercut, area, 1e-4);
    close(held.passage.unwrap().rim.excess, 20.0, 1e-3);
    // Leaning by less than the draft frees it still; by more it is held.
    let leaning = |deg: f64| drawn(&skin, 0.0, [-deg.to_radians().cos(), deg.to_radians().sin(), 0.0]).undercut;
    assert!(leaning(draft - 0.5) < 1e-6 && leaning(draft + 0.5) > 10.0);
}

/// The barrel's zone behind its widest station, in closed form, and how far it stands beyond the rim.
#[test]
fn a_barrel_is_held_by_the_zone_behind_its_widest_station() {
    let skin = barrel(60.0, 300.0, -15.0, 12.0);
    let found = drawn(&skin, 0.0, AHEAD);
    close(found.undercut, barrel_zone(60.0, 300.0, 12.0), 1e-3);
    let lost = 300.0 * (1.0 - 12f64.to_radians().cos());
    let passage = found.passage.unwrap();
    assert!((passage.rim.excess - lost).abs() < 0.03 && passage.rim.station.abs() < 3.0, "{passage:?}");
    close(passage.beyond_rim, PI * (3600.0 - (60.0 - lost).powi(2)), 0.01);
    // A shallow one is sprung over.
    let shallow = drawn(&barrel(60.0, 300.0, -15.0, 1.8), 0.0, AHEAD);
    assert!(shallow.verdict == Verdict::Springs && shallow.undercut > 1000.0, "{shallow:?}");
}

/// A waist: the rim is as wide as the front, but the narrow middle has to pass over the front.
#[test]
fn a_waist_is_held_in_its_middle() {
    let waist = round_form(&[[0.0, 60.0], [50.0, 45.0], [100.0, 40.0], [150.0, 45.0], [200.0, 60.0]]);
    let found = drawn(&waist, 0.0, AHEAD);
    let passage = found.passage.unwrap();
    assert!(passage.rim.excess.abs() < 0.02 && passage.beyond_rim < 1.0, "{passage:?}");
    assert!((passage.worst.excess - 20.0).abs() < 0.02 && (passage.worst.passing - 100.0).abs() < 1e-6, "{passage:?}");
    assert!(found.verdict == Verdict::Held);
}

#[test]
fn the_best_way_is_found() {
    let narrowing = round_form(&[[0.0, 60.0], [100.0, 40.0]]);
    let way = survey(&narrowing, 0.0).best_way();
    assert!(dot(way, [1.0, 0.0, 0.0]) > 0.5f64.to_radians().cos(), "{way:?}");
    assert_eq!(drawn(&narrowing, 0.0, way).undercut, 0.0);
    // A leaning cone: its axis drops 30 mm over 100 mm. Its crown widens by -10 and its keel by -50: drawn along its own axis it is free,
    // straight ahead it is held by its crown.
    let (skin, lean) = leaning_cone();
    assert!(drawn(&skin, 0.0, AHEAD).undercut > 100.0);
    let way = survey(&skin, 0.0).best_way();
    assert!(drawn(&skin, 0.0, way).undercut < 1e-6);
    assert!(dot(way, lean) > 3f64.to_radians().cos(), "{way:?} against {lean:?}");
}

/// Radius 40 to 60 mm over 100 mm about an axis that falls by 30 mm, and the way that halves the angle between crown and keel.
fn leaning_cone() -> (FinishedSkin, [f64; 3]) {
    use project::document::{ControlSection, LineName, LinePoint, LinePointKind, MasterLine, SectionShape};
    use project::starter::{ELLIPSE_RHO, empty_form, two_conics};
    use std::sync::Arc;
    let mut form = empty_form("leaning");
    for (name, [a, b]) in LineName::ALL.into_iter().zip([[40.0, 30.0], [-40.0, -90.0], [40.0, 60.0], [0.0, -30.0]]) {
        let point = |(x, value)| LinePoint { x, value, kind: LinePointKind::Smooth };
        *form.lines.get_mut(name) =
            Arc::new(MasterLine { points: [(0.0, a), (100.0, b)].map(point).to_vec(), ..MasterLine::default() });
    }
    let section = ControlSection { station: 0.0, shape: SectionShape::Shaped(two_conics(ELLIPSE_RHO)) };
    form.sections = vec![Arc::new(section)];
    let middle = 0.5 * (0.1_f64.atan() + 0.5_f64.atan());
    (form::loft(&form).skin.unwrap(), [-middle.cos(), 0.0, middle.sin()])
}

/// A barrel held both ways comes off in two, with no undercut left: across at its widest station (girth 2π 60), which is shorter than
/// two lines along it.
#[test]
fn a_barrel_is_parted() {
    let skin = barrel(60.0, 300.0, -30.0, 30.0);
    let survey = survey(&skin, 0.0);
    let way = survey.best_way();
    let whole = survey.release(&Wanted { way, ..Wanted::default() }).unwrap();
    assert!(whole.verdict == Verdict::Held, "{whole:?}");
    let joints = survey.joints();
    assert_eq!(joints.len(), 3);
    for joint in &joints {
        assert!(joint.undercut() < 1.0, "{:?} leaves {}", joint.parting, joint.undercut());
        close(joint.halves[0].area + joint.halves[1].area, whole.area, 1e-4);
    }
    let Parting::Across(station) = joints[0].parting else { panic!("{:?}", joints[0].parting) };
    assert!(station.abs() < 1.0, "{station}");
    close(joints[0].length(), 2.0 * PI * 60.0, 1e-3);
    let breadth = joints.iter().find(|j| j.parting == Parting::Breadth).unwrap();
    close(breadth.length(), 2.0 * 300.0 * 60f64.to_radians(), 1e-3);
    assert!(breadth.lines.iter().flatten().all(|p| p[2].abs() < 1e-6));
    assert!(breadth.halves[0].way[2] > 0.9 && breadth.halves[1].way[2] < -0.9);
}

#[test]
fn what_cannot_be_asked_is_told() {
    let skin = round_form(&[[0.0, 40.0], [100.0, 60.0]]);
    let survey = survey(&skin, 0.0);
    let ask = |wanted: Wanted| survey.release(&wanted).unwrap_err();
    assert_eq!(ask(Wanted { way: [0.0; 3], ..Wanted::default() }), ReleaseError::NoWay);
    assert_eq!(ask(Wanted { way: [f64::NAN, 0.0, 0.0], ..Wanted::default() }), ReleaseError::NoWay);
    assert!(ask(Wanted { draft_deg: -1.0, ..Wanted::default() }).to_string().contains("draft"));
    let plane = form::shaft::RingTrim { point: [500.0, 0.0, 0.0], normal: AHEAD };
    let none = Survey::new(skin.loft(), 0.0, &Cover { trim: Some(plane), ..Cover::default() }, 5.0);
    assert_eq!(none.release(&Wanted::default()), Err(ReleaseError::NothingCovered));
}

/// Looked at by eye once; holds that the demo's numbers agree with each other.
#[test]
fn the_demo() {
    let (skin, build) = demo();
    let start = std::time::Instant::now();
    let survey = survey(&skin, build.coat.total());
    let surveyed = start.elapsed();
    let found = survey.release(&Wanted::default()).unwrap();
    let released = start.elapsed();
    let way = survey.best_way();
    let searched = start.elapsed();
    let joints = survey.joints();
    println!("survey {surveyed:?} release {released:?} search {searched:?} joints {:?}", start.elapsed());
    println!(
        "{:?} {} of {} tight {} {:?} {:?}",
        found.verdict, found.undercut, found.area, found.tight, found.patches, found.passage
    );
    println!("best {way:?} {}", survey.release(&Wanted { way, ..Wanted::default() }).unwrap().undercut);
    for joint in &joints {
        println!(
            "{:?} {} {:?} length {}",
            joint.parting,
            joint.undercut(),
            joint.halves.clone().map(|h| (h.way, h.undercut)),
            joint.length()
        );
    }
    let back = survey.release(&Wanted { way: [1.0, 0.0, 0.0], ..Wanted::default() }).unwrap();
    close(found.undercut + back.undercut, found.area, 2e-3);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10))]

    /// Every place is undercut one way or the other; the area is that of the loft's own quadrature; halves make up the whole; and what
    /// stands in the way is undercut somewhere.
    #[test]
    fn laws_of_every_form(form in any_form(&Bounds::built()), y in -0.6..0.6_f64, z in -0.6..0.6_f64) {
        let skin = form::loft(&form).skin.unwrap();
        let survey = Survey::new(skin.loft(), 0.0, &Cover::default(), 10.0);
        let way = unit([-1.0, y, z]);
        let ask = |way| survey.release(&Wanted { way, ..Wanted::default() }).unwrap();
        let (there, back) = (ask(way), ask(way.map(|c| -c)));
        let surface = skin.loft().measures(1e-6).lateral_surface;
        prop_assert!((there.area / surface - 1.0).abs() < 1e-3, "{} against {surface}", there.area);
        prop_assert!(((there.undercut + back.undercut) / there.area - 1.0).abs() < 3e-3);
        if there.passage.unwrap().worst.excess > 0.1 {
            prop_assert!(there.undercut > 0.0);
        }
        let best = ask(survey.best_way());
        prop_assert!(best.undercut <= ask(AHEAD).undercut * 1.05 + 50.0);
        for joint in survey.joints() {
            let sum = joint.halves[0].area + joint.halves[1].area;
            prop_assert!((sum / there.area - 1.0).abs() < 3e-3, "{:?} {sum}", joint.parting);
        }
    }
}
