//! What is said of the cloth, its cures and its patterns, against closed forms and an independent solution.
#![allow(clippy::unwrap_used)] // a test may stop at the first surprise

mod common;

use common::{POLE, Sphere, arc_points, demo, round_form};
use form::PlugSurface;
use form::space::{length, sub};
use serde_json::Value;
use shell::cloth::develop::{develop, unfold};
use shell::cloth::plies::drape_plies;
use shell::cloth::{Cloth, Mended, Weave, cure, judge, mend, pattern, search};
use shell::drape::{At, Cover, Jet, Margin, Net, Outside, Start, Stop, Surface};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Area of half a sphere of radius 100, mm².
const HALF: f64 = 2.0 * PI * 1e4;
const TWILL: Cloth = Cloth { locking_deg: 45.0, width: 1000.0 };

/// Half a sphere whose edge is told by its height, as the vectors' is.
struct Half(Sphere);

impl Surface for Half {
    fn jet(&self, sheet: usize, at: At) -> Jet {
        self.0.jet(sheet, at)
    }
    fn moved(&self, at: At, by: [f64; 2]) -> At {
        self.0.moved(at, by)
    }
    fn margin(&self, _: At, jet: &Jet) -> Margin {
        Margin { part: -jet.p[2], cloth: -jet.p[2] }
    }
    fn overrun(&self) -> f64 {
        self.0.over
    }
}

fn half_sphere() -> Half {
    Half(Sphere { radius: 100.0, to: FRAC_PI_2, over: 20.0 })
}

fn draped(surface: &impl Surface, cell: f64) -> Net {
    Net::drape(surface, &Start { at: POLE, warp: [1.0, 0.0, 0.0] }, cell).unwrap()
}

#[test]
fn half_a_sphere_can_be_done_by_cloth_that_locks_late_only() {
    let net = draped(&half_sphere(), 1.0);
    // 52.425 degrees at the equator on the diagonal: A. of the net's equation, see the tests of the net.
    let judgement = judge(&net, &Cloth { locking_deg: 52.6, ..TWILL }, HALF);
    assert!(judgement.one_piece(), "{judgement:?}");
    assert!((judgement.greatest_deg.abs() - 52.425).abs() < 0.5 && judgement.greatest_at[2] < 2.0, "{judgement:?}");
    let judgement = judge(&net, &Cloth { locking_deg: 40.0, ..TWILL }, HALF);
    assert!(!judgement.one_piece() && judgement.wrinkles.len() == 4, "{:?}", judgement.wrinkles);
    // 40 degrees are passed at polar angle 75.85 on the diagonals, so that the four patches begin there.
    let highest =
        net.cells().filter(|c| c.counts() && c.shear_deg.abs() > 40.0).map(|c| c.middle[2] / length(c.middle));
    let polar = highest.fold(0.0, f64::max).acos().to_degrees();
    assert!((polar - 75.85).abs() < 1.0, "{polar}");
}

#[test]
fn slits_cure_half_a_sphere_and_the_cloth_laid_anew_proves_it() {
    let surface = half_sphere();
    let net = draped(&surface, 5.0);
    let cloth = Cloth { locking_deg: 40.0, ..TWILL };
    let mended = mend(&surface, &net, (&cloth, HALF), 10.0, &mut |_| true).unwrap();
    assert!(!judge(&net, &cloth, HALF).one_piece());
    assert!(mended.judgement.one_piece(), "{:?} {:?}", mended.judgement, mended.cuts);
    assert_eq!(mended.cuts.len(), 4, "one for each quarter");
    for piece in &mended.pieces {
        assert!(piece.net.worst_link() < 1e-9);
    }
    // A sphere bulges, so all edges lie over one another.
    assert!(mended.cuts.iter().all(|c| c.lap > 1.0 && c.length > 0.0 && c.length < 120.0), "{:?}", mended.cuts);
    // All of it is under cloth, and twice what lies over one another along the slits.
    let twice = mended.judgement.covered - HALF;
    let most: f64 = mended.cuts.iter().map(|c| c.length * 20.0).sum();
    assert!(twice > 0.0 && twice < most, "{twice} of {most}");
    assert_eq!(mend(&surface, &net, (&cloth, HALF), 10.0, &mut |_| false), None);
    let flat = pattern(&mended, &cloth, &[]);
    assert_eq!((flat.outlines.len(), flat.slits.len()), (1, 4));
}

#[test]
fn the_flat_outline_of_half_a_sphere_is_the_independent_one() {
    let vectors: Value = serde_json::from_str(include_str!("vectors/drape.json")).unwrap();
    let given = &vectors["hemisphere"]["flat_5mm"];
    let net = draped(&half_sphere(), 5.0);
    let flat = pattern(&Mended::uncut(net, &TWILL), &TWILL, &[]);
    assert_eq!(flat.outlines.len(), 1);
    let outline = &flat.outlines[0].flat;
    for point in given["flat_outline"].as_array().unwrap() {
        let p = [0, 1].map(|k| point[k].as_f64().unwrap());
        let near = outline.iter().map(|q| (p[0] - q[0]).hypot(p[1] - q[1])).fold(f64::INFINITY, f64::min);
        assert!(near < 1e-6, "{p:?} is {near} mm from the nearest");
    }
    let area = given["flat_outline_area"].as_f64().unwrap();
    assert!((flat.area - area).abs() < 1e-3, "{} against {area}", flat.area);
    let wide = given["flat_outline_bbox"][0].as_f64().unwrap();
    assert!((flat.roll.length - wide).abs() < 1e-6 && flat.roll.fits);
    assert!(
        !pattern(&Mended::uncut(draped(&half_sphere(), 5.0), &TWILL), &Cloth { width: 300.0, ..TWILL }, &[]).roll.fits
    );
}

/// A cylinder unrolls to a rectangle: its length with both allowances, its girth with both overlaps. At a warp along it the cut lies
/// on lines of the net.
#[test]
fn the_pattern_of_a_cylinder_is_a_rectangle_even_where_the_cut_runs_along_the_net() {
    let skin = round_form(&[[0.0, 50.0], [200.0, 50.0]]);
    let outside = Outside::new(skin.loft(), 0.0, &Cover::default()).unwrap();
    let at = outside.at_station(100.0, 0.0).unwrap();
    let seamed = outside.clone().with_seam(outside.seam_opposite(at, 15.0));
    let expected = 220.0 * (TAU * 50.0 + 30.0);
    // On the bias the corners are built from places well outside the cut, so the net has to go on far enough.
    for degrees in [0.0, 10.0, 30.0, 45.0, 67.0, 90.0, 120.0] {
        let net = Net::drape(&seamed, &seamed.start(at, degrees), 5.0).unwrap();
        let flat = pattern(&Mended::uncut(net, &TWILL), &TWILL, &[]);
        assert_eq!(flat.outlines.len(), 1, "{degrees}");
        assert!((flat.area / expected - 1.0).abs() < 1e-3, "{degrees}: {} against {expected}", flat.area);
    }
}

#[test]
fn a_lofted_ball_shears_as_the_sphere_does() {
    let skin = round_form(&arc_points(100.0, 0.75, 24));
    let outside = Outside::new(skin.loft(), 0.0, &Cover::default()).unwrap();
    let tip = [outside.ends()[0] + 1e-6, 0.0];
    assert_eq!(outside.seam_opposite(tip, 0.0), None);
    let net = Net::drape(&outside, &outside.start(tip, 20.0), 4.0).unwrap();
    let sphere = draped(&Sphere { radius: 100.0, to: FRAC_PI_2, over: 20.0 }, 4.0);
    let mut compared = 0;
    for cell in sphere.cells().filter(|c| c.on_part == 1.0) {
        let own = net.cells().find(|c| c.number == cell.number).unwrap();
        compared += 1;
        assert!(
            (own.shear_deg - cell.shear_deg).abs() < 0.1,
            "{:?}: {} against {}",
            cell.number,
            own.shear_deg,
            cell.shear_deg
        );
    }
    assert!(compared > 3000, "{compared}");
}

#[test]
fn a_cone_and_a_cylinder_unfold_as_the_closed_form_says() {
    // Frustum of radii 30 and 50, length 100: lateral area 25630.4676, sector 70.60181 degrees at radius 254.95098 (closed form).
    let jet = |s: f64, a: f64| {
        let r = 30.0 + 0.2 * s;
        Jet {
            p: [s, r * a.sin(), r * a.cos()],
            by: [[1.0, 0.2 * a.sin(), 0.2 * a.cos()], [0.0, r * a.cos(), -r * a.sin()]],
        }
    };
    let count = 4000;
    let sheet = unfold((0..=count).map(|k| {
        let a = TAU * f64::from(k) / f64::from(count);
        [jet(0.0, a), jet(50.0, a), jet(100.0, a)]
    }));
    assert!(sheet.lies_down() && sheet.twist_deg < 1e-6 && sheet.bow < 1e-9);
    assert!((sheet.area() / 25630.4676 - 1.0).abs() < 2e-6, "{}", sheet.area());
    let (a, b) = (sheet.second[0], sheet.second[count as usize]);
    let apex = |p: [f64; 2]| [p[0] - (101.98039 - 254.95098), p[1]];
    let (a, b) = (apex(a), apex(b));
    let angle = (a[0] * b[1] - a[1] * b[0]).atan2(a[0] * b[0] + a[1] * b[1]).to_degrees();
    assert!((a[0].hypot(a[1]) - 254.95098).abs() < 1e-4 && (b[0].hypot(b[1]) - 254.95098).abs() < 1e-3);
    assert!((angle - 70.60181).abs() < 1e-4, "{angle}");
    // A lofted tube, through the outside.
    let skin = round_form(&[[0.0, 40.0], [60.0, 40.0], [120.0, 40.0]]);
    let outside = Outside::new(skin.loft(), 1.0, &Cover::default()).unwrap();
    let [low, high] = outside.ends();
    let sheet = develop(&outside, [low, high], [0.0, 2.0 * outside.keel()], 2000);
    assert!(sheet.lies_down());
    let end = sheet.first[2000];
    assert!(end[0].abs() < 1e-3 && (end[1] - TAU * 39.0).abs() < 2e-3, "{end:?}");
    // A ball does not unfold.
    let ball = round_form(&arc_points(100.0, 0.75, 24));
    let outside = Outside::new(ball.loft(), 0.0, &Cover::default()).unwrap();
    assert!(!develop(&outside, [3.0, 6.0], [0.0, 1.0], 100).lies_down());
}

#[test]
fn the_search_finds_a_better_way_than_the_plain_one_and_can_be_stopped() {
    let (skin, build) = demo();
    let off = PlugSurface::of(&skin, &build).taken_off();
    let outside = Outside::new(skin.loft(), off, &Cover::default()).unwrap();
    let cloth = Cloth { locking_deg: Weave::Twill.usual_locking_deg(), width: 1000.0 };
    assert_eq!(search(&outside, &cloth, 8.0, 15.0, &mut |done| done < 0.3), None);
    let mut told = 0;
    let found = search(&outside, &cloth, 8.0, 15.0, &mut |_| {
        told += 1;
        true
    })
    .unwrap();
    assert!(told > 300);
    let plain = outside.at_station(0.5 * (skin.loft().x_range().0 + skin.loft().x_range().1), 0.0).unwrap();
    let seamed = outside.clone().with_seam(outside.seam_opposite(plain, 15.0));
    let plain = judge(&Net::drape(&seamed, &seamed.start(plain, 0.0), 8.0).unwrap(), &cloth, outside.part_area());
    assert!(found[0].judgement.greatest_deg.abs() <= plain.greatest_deg.abs() + 1e-9, "{plain:?}");
    assert!(found[0].judgement.one_piece(), "{:?}", found[0].judgement);
    let seamed = found[0].seamed(&outside);
    let net = Net::drape(&seamed, &found[0].start(&seamed), 5.0).unwrap();
    let squares: f64 = net.cells().map(|c| 25.0 * c.of_cloth).sum();
    let flat = pattern(&Mended::uncut(net, &cloth), &cloth, &[60.0, 120.0]);
    assert!((flat.area / squares - 1.0).abs() < 1e-9, "{} against {squares}", flat.area);
    assert!(!flat.outlines.is_empty() && flat.notches.len() >= 4, "{:?}", flat.notches);
    for notch in &flat.notches {
        assert!(notch.station == 60.0 || notch.station == 120.0);
    }
    let plies = drape_plies(&outside, &found[0], &[(0.0, cloth), (45.0, cloth), (0.0, cloth)], 20.0, 8.0).unwrap();
    assert_eq!(plies.len(), 3);
    if let (Some(a), Some(b), Some(c)) = (plies[0].seam, plies[1].seam, plies[2].seam) {
        let s = found[0].at[0];
        let apart = |v: f64| length(sub(outside.place([s, a.round]), outside.place([s, v])));
        assert!(
            (apart(b.round) - 20.0).abs() < 1.0 && (apart(c.round) - 20.0).abs() < 1.0,
            "{} {}",
            apart(b.round),
            apart(c.round)
        );
    }
}

#[test]
fn a_barrel_that_one_piece_cannot_do_is_cured_by_slits() {
    let skin = round_form(&[[0.0, 50.0], [50.0, 82.0], [110.0, 95.0], [170.0, 82.0], [220.0, 50.0]]);
    let outside = Outside::new(skin.loft(), 0.0, &Cover::default()).unwrap();
    let cloth = Cloth { locking_deg: 40.0, width: 1000.0 };
    let found = search(&outside, &cloth, 6.0, 15.0, &mut |_| true).unwrap();
    assert!(!found.iter().any(|f| f.judgement.one_piece()), "{found:?}");
    let (_, mended) = cure(&outside, &cloth, &found, 6.0, 15.0, &mut |_| true).unwrap();
    assert!(mended.judgement.one_piece(), "{:?}", mended.judgement);
    assert_eq!(cure(&outside, &cloth, &found, 6.0, 15.0, &mut |tried| tried > 0), None);
}

/// A catenoid of waist radius 50 mm by (height, azimuth), with so much of it as lies within +-80 mm and +-2.5 rad.
struct Catenoid;

impl Surface for Catenoid {
    fn jet(&self, _: usize, [s, a]: At) -> Jet {
        let (c, (sa, ca)) = (50.0, a.sin_cos());
        let (r, by) = (c * (s / c).cosh(), (s / c).sinh());
        Jet { p: [r * ca, r * sa, s], by: [[by * ca, by * sa, 1.0], [-r * sa, r * ca, 0.0]] }
    }
    fn margin(&self, [s, a]: At, _: &Jet) -> Margin {
        let out = (s.abs() - 80.0).max(50.0 * (a.abs() - 2.5));
        Margin { part: out, cloth: out }
    }
    fn overrun(&self) -> f64 {
        100.0
    }
}

/// Shear is the curvature between a place and the two yarns through the start, and a catenoid has four times pi of it, all negative: from
/// the waist it comes to 90 degrees in each quarter, and there the links meet no more (see the law of curvature in `drape.rs`).
#[test]
fn where_a_net_on_a_catenoid_shuts_is_told() {
    let net = Net::drape(&Catenoid, &Start { at: [0.0, 0.0], warp: [0.0, 0.0, 1.0] }, 3.0).unwrap();
    let judgement = judge(&net, &TWILL, 0.0);
    let gaps = &judgement.gaps;
    assert!(gaps.len() >= 4 && gaps.iter().all(|gap| gap.why == Stop::Shut), "{gaps:?}");
    for gap in &gaps[..4] {
        assert!((gap.area / gaps[0].area - 1.0).abs() < 0.02, "four alike: {gaps:?}");
        // What lies before it is all but shut.
        let beside = net.cells().filter(|c| length(sub(c.middle, gap.at)) < 9.0).map(|c| c.shear_deg.abs());
        assert!(beside.fold(0.0, f64::max) > 75.0, "{gap:?}");
    }
    let told: f64 = gaps.iter().map(|gap| gap.area).sum();
    assert!((judgement.missed - told).abs() < 1e-6, "{} against {told}", judgement.missed);
    // A half sphere, whose nodes come closer instead, is reached everywhere.
    assert!(judge(&draped(&half_sphere(), 4.0), &TWILL, HALF).gaps.is_empty());
}

/// Half a sphere on which no yarn is followed further than this, mm.
struct Within(Half, f64);

impl Surface for Within {
    fn jet(&self, sheet: usize, at: At) -> Jet {
        self.0.jet(sheet, at)
    }
    fn moved(&self, at: At, by: [f64; 2]) -> At {
        self.0.moved(at, by)
    }
    fn margin(&self, at: At, jet: &Jet) -> Margin {
        self.0.margin(at, jet)
    }
    fn overrun(&self) -> f64 {
        self.0.overrun()
    }
    fn longest_yarn(&self) -> f64 {
        self.1
    }
}

#[test]
fn what_lies_further_than_yarns_are_followed_is_told_so() {
    let judgement = judge(&draped(&Within(half_sphere(), 100.0), 4.0), &TWILL, HALF);
    assert!(!judgement.gaps.is_empty() && judgement.missed > 0.1 * HALF, "{judgement:?}");
    for gap in &judgement.gaps {
        assert_eq!(gap.why, Stop::OutOfReach);
        // Along a great circle an arc of 100 mm on a radius of 100 mm turns by one radian; nowhere does the net stop before.
        assert!((gap.at[2] / 100.0).acos() > 0.9, "{:?}", gap.at);
    }
}
