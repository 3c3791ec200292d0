//! Openings, laps, placed parts and reinforcements against closed forms.

use super::holes::Holes;
use super::lap::Lap;
use super::placed::places;
use super::*;
use project::airframe::{Airframe, FuselageEnd, FuselageSection, LapSide, ScrewSpacing, Screws};
use project::document::{ControlSection, Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine, SectionShape};
use project::laminate::{Fabric, Ply};
use project::mount::Mount;
use project::opening::{Duct, Opening, Outline, Purpose, Seen};
use project::starter::{ELLIPSE_RHO, empty_form, new_document, two_conics};
use std::f64::consts::PI;
use std::sync::Arc;

/// A cylinder of radius `r` about its axis, open at both ends.
fn cylinder(r: f64, length: f64) -> Form {
    let mut form = empty_form("Cylinder");
    for (name, value) in LineName::ALL.into_iter().zip([r, -r, r, 0.0]) {
        let point = |x| LinePoint { x, value, kind: LinePointKind::Smooth };
        let points = vec![point(0.0), point(length)];
        *form.lines.get_mut(name) = Arc::new(MasterLine { points, front: LineEnd::Free, rear: LineEnd::Free });
    }
    let shape = SectionShape::Shaped(two_conics(ELLIPSE_RHO));
    form.sections = vec![Arc::new(ControlSection { station: 0.5 * length, shape })];
    form
}

/// One ply of 160 g/m² on a cylinder of radius 80, 300 long.
fn document() -> Document {
    let mut document = new_document("Test");
    document.forms = vec![Arc::new(cylinder(80.0, 300.0))];
    Arc::make_mut(&mut document.shell).laminate.plies.push(Ply::whole(Fabric::usual(), 0.0));
    document
}

fn near(got: f64, expected: f64, within: f64) {
    assert!((got - expected).abs() <= within, "{got} instead of {expected}");
}

/// Closed form: a round hole of radius a that is seen square to a cylinder of radius R takes 4 R ∫ asin(√(a² - x²) / R) dx from -a to a
/// over 2 of it; the middle of its edge lies on the cylinder. A duct straight behind it, down to a level h below the axis, has the wall
/// of a tube of radius a between the saddle and that level: its area is the edge's mean height times 2 π a.
#[test]
fn a_hole_of_known_area_and_its_duct() {
    let (big, a, depth) = (80.0_f64, 15.0_f64, 30.0_f64);
    let mut document = document();
    let opening = Opening {
        name: "Slot".into(),
        purpose: Purpose::Intake,
        seen: Seen::Above,
        mirrored: false,
        outline: Outline::Ellipse { centre: [150.0, 0.0], size: [2.0 * a, 2.0 * a], turn_deg: 0.0 },
        duct: Some(Duct { depth, lip_radius: 0.0, wall: 1.0, inner: None }),
    };
    Arc::make_mut(&mut document.forms[0]).openings = vec![Arc::new(opening)];
    let source = Source::anew(&document);
    let holes = Holes::of(&source, 0);
    let n = 20_000;
    let mean = |f: &dyn Fn(f64) -> f64| {
        (0..n).map(|i| f(PI * (f64::from(i) + 0.5) / f64::from(n))).sum::<f64>() / f64::from(n)
    };
    // With x = a cos t the integrand is smooth.
    let area = PI * mean(&|t| 2.0 * big * (a * t.sin() / big).asin() * a * t.sin());
    assert_eq!((holes.cut.len(), holes.ducts.len()), (1, 1));
    near(holes.cut[0].area, area, 1e-4 * area);
    assert!((0..3).all(|k| (holes.cut[0].centre[k] - [150.0, 0.0, big][k]).abs() < 1e-3), "{:?}", holes.cut[0].centre);
    let duct = &holes.ducts[0];
    // The floor lies `depth` behind the middle of the opening.
    let high = |t: f64| (big * big - (a * t.sin()).powi(2)).sqrt() - (big - depth);
    let wall = 2.0 * PI * a * mean(&high);
    let density = 0.33 * 2.55 + 0.67 * 1.15;
    near(duct.mass.likely, 1e-3 * wall * density, 2e-3 * duct.mass.likely);
    let middle = (big - depth) + 0.5 * mean(&|t| high(t).powi(2)) / mean(&high);
    near(duct.centre[2].likely, middle, 0.05);
    near(duct.centre[0].likely, 150.0, 0.01);
    near(duct.centre[1].likely, 0.0, 0.01);
}

fn fuselage(side: LapSide, screws: Option<Screws>) -> FuselageEnd {
    FuselageEnd {
        station: 300.0,
        section: FuselageSection::Circle { diameter: 160.0, centre_height: 5.0 },
        further: None,
        lap: project::airframe::Lap { side, length: 20.0, clearance: 0.4 },
        screws,
        allowed_gap: 0.5,
        allowed_break_deg: 2.0,
        pinned: None,
    }
}

fn with_end(end: FuselageEnd) -> Document {
    Document { airframe: Arc::new(Airframe { fuselage: Some(end), ..Airframe::default() }), ..document() }
}

/// Handbook: a thin ring of radius r has half of r² along each axis across, and its length² / 12 along.
#[test]
fn a_lap_is_a_ring() {
    for (side, way) in [(LapSide::Over, 1.0), (LapSide::Into, -1.0)] {
        let document = with_end(fuselage(side, None));
        let lap = Lap::of(&document, 1.2).unwrap();
        let r = 80.0 + way * (0.4 + 0.6);
        near(lap.covered(&Extent::Whole), 2.0 * PI * r * 20.0, 1e-4 * lap.covered(&Extent::Whole));
        let part = lap.part("lap".into(), &Extent::Whole, Span::exact(1000.0)).unwrap();
        near(part.mass.likely, 1e-3 * lap.covered(&Extent::Whole), 1e-9);
        let [x, y, z] = part.centre.map(|c| c.likely);
        near(x, 310.0, 1e-9);
        near(y, 0.0, 1e-9);
        near(z, 5.0, 1e-3);
        let [xx, yy, zz, ..] = part.spread;
        near(xx, 400.0 / 12.0, 1e-9);
        near(yy, 0.5 * r * r, 1.0);
        near(zz, 0.5 * r * r, 1.0);
        assert_eq!(lap.outside, side == LapSide::Over);
        // A strip that reaches half of it covers half of it, patches lie elsewhere.
        near(lap.covered(&Extent::Strip { from: 200.0, to: 310.0 }), 0.5 * lap.covered(&Extent::Whole), 1e-9);
        assert_eq!(lap.covered(&Extent::Patches { places: vec![[310.0, 0.0, 85.0]], size: [20.0; 2] }), 0.0);
        assert!(lap.part("off".into(), &Extent::Strip { from: 0.0, to: 300.0 }, Span::exact(1.0)).is_none());
    }
    assert!(Lap::of(&document(), 1.0).is_none());
}

/// A rod along its own x, 1 to 3 mm of doubt along that axis: rolled, pitched and yawed by quarter turns it lies along known axes.
#[test]
fn parts_are_placed_about_known_axes() {
    let part = Part {
        name: "rod".into(),
        mass: Span::new(9.0, 10.0, 12.0),
        centre: [Span::new(29.0, 30.0, 33.0), Span::exact(2.0), Span::exact(0.0)],
        spread: [120.0, 3.0, 1.0, 0.0, 0.0, 0.0],
    };
    let at = |roll_deg, pitch_deg, yaw_deg, mirrored| Mount {
        place: [100.0, 20.0, -5.0],
        roll_deg,
        pitch_deg,
        yaw_deg,
        mirrored,
    };
    let likely = |part: &Part| part.centre.map(|c| c.likely);
    let close = |a: [f64; 3], b: [f64; 3]| (0..3).all(|k| (a[k] - b[k]).abs() < 1e-9);
    // As it is: moved only.
    let same = &places(&part, &at(0.0, 0.0, 0.0, false))[0];
    assert!(close(likely(same), [130.0, 22.0, -5.0]) && same.mass == part.mass && same.spread == part.spread);
    // Its rear to starboard: its x lies along y, its y ahead.
    let turned = &places(&part, &at(0.0, 0.0, 90.0, true));
    assert_eq!(turned.len(), 2);
    assert!(close(likely(&turned[0]), [98.0, 50.0, -5.0]), "{:?}", turned[0].centre);
    near(turned[0].spread[0], 3.0, 1e-9);
    near(turned[0].spread[1], 120.0, 1e-9);
    near(turned[0].centre[1].low, 49.0, 1e-9);
    near(turned[0].centre[1].high, 53.0, 1e-9);
    // Its mirror image lies to port, as far out.
    assert!(close(likely(&turned[1]), [98.0, -50.0, -5.0]) && placed::side(&turned[1]) == "port");
    near(turned[1].centre[1].low, -53.0, 1e-9);
    // Its up towards starboard, then its rear down: y goes down, and x too.
    let down = &places(&part, &at(0.0, 90.0, 0.0, false))[0];
    assert!(close(likely(down), [100.0, 22.0, -35.0]), "{:?}", down.centre);
    near(down.spread[2], 120.0, 1e-9);
    // Whichever way it is turned, what is known of its size stays: the trace.
    let any = &places(&part, &at(31.0, -17.0, 73.0, false))[0];
    near(any.spread[..3].iter().sum(), 124.0, 1e-9);
}

/// A strip over lap and joint, patches at the screws; what is there already is not proposed again.
#[test]
fn reinforcement_is_proposed_once() {
    let screws = Screws { spacing: ScrewSpacing::Count(6), edge_distance: 8.0, hole: 3.0 };
    let mut document = with_end(fuselage(LapSide::Over, Some(screws)));
    let found = proposed_reinforcement(&document);
    assert_eq!(found.len(), 2);
    assert_eq!(found[0].extent, Extent::Strip { from: 280.0, to: 320.0 });
    let Extent::Patches { places, size } = &found[1].extent else { panic!("{found:?}") };
    // Eight holes wide, on the row of screws, on the fuselage's own circle.
    assert_eq!((places.len(), *size), (6, [24.0, 24.0]));
    for p in places {
        near(p[0], 312.0, 1e-9);
        near(p[1].hypot(p[2] - 5.0), 80.0, 0.02);
    }
    assert!(found.iter().all(|ply| ply.warp_deg == 45.0 && ply.fabric == document.shell.laminate.plies[0].fabric));
    Arc::make_mut(&mut document.shell).laminate.plies.push(found[0].clone());
    assert_eq!(proposed_reinforcement(&document), found[1..]);
    Arc::make_mut(&mut document.shell).laminate.plies.push(found[1].clone());
    assert_eq!(proposed_reinforcement(&document), Vec::new());
    // Without a lap the rim itself.
    let bare = super::tests::document();
    let strip = Extent::Strip { from: 280.0, to: 300.0 };
    assert_eq!(proposed_reinforcement(&bare).into_iter().map(|ply| ply.extent).collect::<Vec<_>>(), [strip]);
    assert_eq!(proposed_reinforcement(&new_document("Empty")), Vec::new());
}

/// Closed form: of a cylinder of radius 20 whose axis lies 80 above that of one of radius 80 there stands out 2 r a of its round, with
/// cos a = -r / (2 R). All of it is weighed, and that is told, where it does not touch the first.
#[test]
fn an_added_form_weighs_what_stands_out() {
    let mut document = document();
    let mount = |z: f64| Mount { place: [100.0, 0.0, z], ..Mount::default() };
    let put = |document: &mut Document, z: f64| {
        let added = Form { name: "Added".into(), mount: Some(mount(z)), ..cylinder(20.0, 80.0) };
        document.forms.truncate(1);
        document.forms.push(Arc::new(added));
    };
    put(&mut document, 80.0);
    let weighed = |document: &Document| weigh(&Source::anew(document), None, &mut |_| true).unwrap().unwrap();
    let out = weighed(&document);
    let angle = (-20.0_f64 / 160.0).acos();
    near(out.shells[1].area, 2.0 * 20.0 * angle * 80.0, 3.0);
    assert!(!out.missing.iter().any(|m| m.what.contains("cut away")), "{:?}", out.missing);
    // Two straight lines of 80 mm, each with a land beside it, where the two cylinders meet: 80 - r sin b above the first one's axis.
    let land = document.shell.draping.overlap;
    near(out.shells[1].lap, 2.0 * 80.0 * land, 0.01);
    let line = out.parts.iter().find(|line| line.kind == LineKind::Added).unwrap();
    let mass = |document: &Document| {
        let out = weighed(document);
        let line = out.parts.iter().find(|line| line.kind == LineKind::Added).unwrap();
        (line.part.mass.likely, line.part.centre[2].likely)
    };
    let mut bare = document.clone();
    Arc::make_mut(&mut bare.shell).draping.overlap = 0.0;
    let ((with, high), (without, higher)) = (mass(&document), mass(&bare));
    assert_eq!(line.part.mass.likely, with);
    let weave = document.shell.laminate.layers().unwrap()[0].areal_mass.plus(document.shell.laminate.soak);
    near(with - without, 1e-6 * 2.0 * 80.0 * land * weave.likely, 1e-3 * with);
    near(with * high - without * higher, (with - without) * (80.0 + 20.0 * angle.cos()), 1e-2 * with);
    put(&mut document, 130.0);
    let free = weighed(&document);
    near(free.shells[1].lap, 0.0, 0.0);
    near(free.shells[1].area, 2.0 * PI * 20.0 * 80.0, 1.0);
    assert!(free.missing.iter().any(|m| m.what.contains("cut away") && m.hint.contains("does not touch")));
}

/// On a cylinder cloth does not shear: it crowds not at all, and has no range. A crowding that the schedule has widens it.
#[test]
fn cloth_crowds_as_its_net_says() {
    let mut document = document();
    let rows = |document: &Document| {
        weigh(&Source::anew(document), None, &mut |_| true).unwrap().unwrap().shells[0].plies[0].clone()
    };
    let plain = rows(&document);
    near(plain.crowding.likely, 1.0, 1e-4);
    near(plain.cloth.likely, 160e-6 * plain.area, 1e-3 * plain.cloth.likely);
    Arc::make_mut(&mut document.shell).laminate.plies[0].crowding = 1.1;
    let entered = rows(&document);
    near(entered.crowding.likely, 1.0, 1e-4);
    near(entered.crowding.high, 1.1, 1e-9);
    near(entered.cloth.high / entered.cloth.likely, 1.1, 1e-3);
    assert!(entered.mass.high > 1.09 * plain.mass.high, "{:?} {:?}", entered.mass, plain.mass);
}
