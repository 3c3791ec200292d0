//! The front trimmed by the ring's plane, on bodies whose section by a leaning plane is known.

use crate::forms::{LENGTH, any_form, elliptic, skin};
use form::PlugSurface;
use plug::{Plan, RingFront, plan};
use project::airframe::{Airframe, Ring, Spinner, ThrustLine};
use project::build::{Build, Closing};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const RING: f64 = 3.0;
const GAP: f64 = 2.0;

/// A thrust line whose ring's rear face is centred on the datum axis at a station.
fn thrust(station: f64, down: f64, side: f64, diameter: f64) -> ThrustLine {
    let mut line = ThrustLine {
        firewall: 0.0,
        hub_distance: 0.0,
        hub_height: 0.0,
        down_thrust_deg: down,
        side_thrust_deg: side,
        spinner: Spinner { diameter, gap: GAP },
        ring: Ring { thickness: RING, step: 0.0, square_to_thrust: true },
    };
    // The hub is on the centre plane; a place behind it along the shaft is off by side-thrust, which tests with it allow for.
    let ahead = form::shaft::shaft(&line).ahead;
    line.hub_height = (GAP + RING) * ahead[2];
    line.firewall = station + (GAP + RING) * ahead[0];
    line
}

fn build(coat: f64) -> Build {
    let mut build = Build::default();
    build.stack.used = true;
    build.stack.boards = vec![LENGTH / 5.0; 5];
    build.stack.closing = Closing::Spread;
    build.stack.foam_front = true;
    build.coat.laminate = coat;
    build
}

fn planned(radius: impl Fn(f64) -> f64, build: &Build, line: ThrustLine) -> Plan {
    let airframe = Airframe { thrust: Some(line), ..Airframe::default() };
    plan(&skin(&elliptic(&radius, &radius, 13)), build, &airframe)
}

fn front(plan: &Plan) -> &RingFront {
    plan.front.as_ref().expect("the ring's plane meets the form")
}

/// Chords of the outline stay within this, and places on it within rounding.
const CHORD: f64 = 0.011;

/// Closed form: a cylinder of radius r cut by a plane that leans by θ is an ellipse of half axes r and r / cos θ.
#[test]
fn a_cylinder_is_cut_in_its_ellipse() {
    for (down, coat) in [(0.0, 0.0), (3.0, 0.0), (3.0, 1.2), (-8.0, 1.2), (20.0, 0.5)] {
        let plan = planned(|_| 60.0, &build(coat), thrust(30.0, down, 0.0, 120.0));
        let (front, r) = (front(&plan), 60.0 - coat);
        let tall = r / f64::to_radians(down).cos();
        for p in &front.plug.outline {
            let [u, v] = p.on_plane;
            let off = ((u / r).hypot(v / tall) - 1.0) * r;
            assert!(off.abs() < 1e-6, "down {down}, coat {coat}: {off} at {p:?}");
        }
        // Between its places too: along the ring's radii.
        for i in 0..72 {
            let turn = f64::from(i) / 72.0;
            let (sin, cos) = (turn * std::f64::consts::TAU).sin_cos();
            let exact = 1.0 / (sin / r).hypot(cos / tall) - 60.0;
            let proud = front.plug.proud(turn).expect("the radius meets the outline");
            assert!((proud - exact).abs() < CHORD, "{proud} against {exact}");
        }
        assert!(front.plug.is_trimmed() && !front.plug.is_packed());
    }
}

/// Closed form: a cone of slope d cut by a plane that leans by θ, with radius r where the plane meets the axis, has the half axes
/// a = r cos θ / (cos²θ - sin²θ tan²d) along the lean and, by Dandelin, b = √(r₁ r₂) of the radii at the long axis' two ends. An
/// inset of t makes it the cone that is t / cos d smaller.
#[test]
fn a_cone_is_cut_in_its_ellipse() {
    let slope = 15f64.to_radians();
    for (down, side, coat) in [(4.0, 0.0, 0.0), (4.0, 0.0, 1.0), (0.0, 4.0, 1.0), (-12.0, 0.0, 0.6)] {
        let radius = |x: f64| 20.0 + x * slope.tan();
        let plan = planned(radius, &build(coat), thrust(40.0, down, side, 60.0));
        let front = front(&plan);
        let lean = if side > 0.0 { side } else { f64::abs(down) }.to_radians();
        // Where the plane meets the axis: side-thrust shifts the ring's centre to port, by what lies behind the hub.
        let plane = front.plug.ring.rear.oblique();
        let r = radius(plane.station) - coat / slope.cos();
        let long = r * lean.cos() / (lean.cos().powi(2) - lean.sin().powi(2) * slope.tan().powi(2));
        let ends = [1.0, -1.0].map(|s| r / (1.0 + s * lean.tan() * slope.tan()));
        let short = (ends[0] * ends[1]).sqrt();
        let extent = |k: usize| {
            let of = |p: &form::front::FrontPlace| p.on_plane[k];
            let high = front.plug.outline.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
            let low = front.plug.outline.iter().map(of).fold(f64::INFINITY, f64::min);
            0.5 * (high - low)
        };
        let (across, up) = if side > 0.0 { (long, short) } else { (short, long) };
        assert!((extent(0) - across).abs() < CHORD, "across {} against {across}", extent(0));
        assert!((extent(1) - up).abs() < CHORD, "up {} against {up}", extent(1));
    }
}

/// Closed form: at the edge of a foremost face of radius r the wedge is r tan θ more or less than at the centre.
#[test]
fn the_wedge_at_the_edge_of_the_foam_is_r_tan_theta() {
    let plan = planned(|_| 60.0, &build(1.0), thrust(-1.0, 2.0, 0.0, 120.0));
    let front = front(&plan);
    let tan = 2f64.to_radians().tan();
    let [twelve, three, six, nine] = front.clock.map(|c| c.packing);
    assert!((twelve - (1.0 + 59.0 * tan)).abs() < CHORD * tan, "{twelve}");
    assert!((six - (1.0 - 59.0 * tan)).abs() < CHORD * tan, "{six}");
    assert!((three - 1.0).abs() < 1e-6 && (nine - 1.0).abs() < 1e-6, "{three}, {nine}");
    // Above it is packed, below trimmed: the two meet at the height where 1 + z tan θ is nothing.
    assert!(front.plug.is_packed() && front.plug.is_trimmed());
    for p in &front.plug.outline {
        let above = p.at[2] + 1.0 / tan;
        assert!(above.abs() < 1e-3 || p.packed == (above > 0.0), "{p:?}");
    }
}

/// The printed rule for the mount, L sin θ, and D sin θ for the gap left by a square ring, stand in the airframe's own tests; here the
/// ring's plane is square to the shaft, so its edge is as far from the back plate all round.
#[test]
fn the_trimmed_front_is_as_far_from_the_back_plate_all_round() {
    let line = thrust(25.0, 2.0, 2.5, 110.0);
    let plan = planned(|_| 60.0, &build(0.8), line);
    let shaft = form::shaft::shaft(&line);
    for p in front(&plan).plug.outline.iter().chain(&front(&plan).finished.outline) {
        let behind: f64 = (0..3).map(|k| (shaft.hub[k] - p.at[k]) * shaft.ahead[k]).sum();
        assert!((behind - GAP - RING).abs() < 1e-9, "{behind} at {p:?}");
    }
}

/// Closed form: a plane through the axis at station s takes off a cylinder (less the card's slit, 2 mm wide about the centre
/// plane where the centre template runs) what a square cut at s does.
#[test]
fn the_trimmed_wedge_does_not_count_as_foam() {
    let (whole, trimmed) = (
        planned(|_| 60.0, &build(0.0), thrust(0.0, 0.0, 0.0, 120.0)),
        planned(|_| 60.0, &build(0.0), thrust(6.0, 3.0, 0.0, 120.0)),
    );
    let first = |p: &Plan| p.blocks.iter().filter(|b| b.bay == 1).map(|b| b.volume).sum::<f64>();
    let cut = std::f64::consts::PI * 3600.0 * 6.0;
    let lost = first(&whole) - first(&trimmed);
    // The outline's chords lie inside by at most 0.01 mm.
    assert!((lost - cut).abs() < 2e-3 * cut, "{lost} against {cut}");
    let later = |p: &Plan| p.blocks.iter().filter(|b| b.bay > 1).map(|b| b.volume).sum::<f64>();
    assert!((later(&whole) - later(&trimmed)).abs() < 1e-6);
    // Blocks are cut whole all the same.
    for (a, b) in whole.blocks.iter().zip(&trimmed.blocks) {
        assert_eq!((a.size, a.corner), (b.size, b.corner));
    }
}

/// Where the plane reaches into the card, the centre template's front edge slopes with down-thrust and the breadth template's with
/// side-thrust, and nothing of either stands ahead of the plane on either of its faces.
#[test]
fn the_templates_front_edges_slope_with_the_shaft() {
    let mut with_card = build(0.0);
    with_card.stack.foam_front = false;
    with_card.formers.breadth_template = Some(0.0);
    let line = thrust(1.2, 2.0, 1.5, 120.0);
    let plan = planned(|_| 60.0, &with_card, line);
    let plane = front(&plan).plug.ring.rear.oblique();
    let half = 0.5 * plan.card;
    let centre = &plan.centre.as_ref().expect("a centre template").part;
    let edge = |z: f64| centre.spans(1, z)[0].0;
    let slope = (edge(20.0) - edge(-20.0)) / 40.0;
    assert!((slope - plane.lean[1]).abs() < 1e-6 && slope.abs() > 0.03, "{slope} against {:?}", plane.lean);
    let ahead = |x: f64, y: f64, z: f64| plane.at([y, z]) - x;
    for &[x, z] in centre.pieces.iter().flatten().flatten() {
        assert!([-half, half].iter().all(|y| ahead(x, *y, z) < 1e-5), "{x}, {z}");
    }
    for b in &plan.breadth {
        for &[x, y] in b.part.pieces.iter().flatten().flatten() {
            assert!([-half, half].iter().all(|z| ahead(x, y, b.height + z) < 1e-5), "{x}, {y}");
        }
    }
    // Port is trimmed further ahead than starboard, as the shaft points to starboard: the two halves differ there.
    let foremost = |k: usize| plan.breadth[k].part.bounds().expect("a part").0[0];
    assert_eq!(plan.breadth.len(), 2);
    assert!(foremost(0) != foremost(1), "{}", foremost(0));
    let told: Vec<&str> = plan.findings.iter().map(|f| f.what.as_str()).collect();
    assert!(told.iter().any(|w| w.contains("cuts into former 1")), "{told:?}");
}

#[test]
fn a_plane_behind_the_first_former_leaves_it_out_and_says_so() {
    let plan = planned(|_| 60.0, &build(0.0), thrust(90.0, 2.0, 0.0, 120.0));
    assert_eq!(plan.formers.first().map(|f| f.number), Some(2));
    let told: Vec<&str> = plan.findings.iter().map(|f| f.what.as_str()).collect();
    assert!(told.iter().any(|w| w.contains("Former 1 lies ahead of the ring's plane")), "{told:?}");
    let beyond = planned(|_| 60.0, &build(0.0), thrust(LENGTH + 50.0, 2.0, 0.0, 120.0));
    assert!(beyond.front.is_none() && !beyond.formers.is_empty());
}

/// Closed form: cut by a plane through its axis at station s a cylinder keeps the volume of one that is s shorter.
#[test]
fn a_trimmed_mesh_is_closed_and_has_its_volume() {
    for (station, down, side) in [(20.0, 3.0, 2.0), (40.0, -10.0, 0.0), (-100.0, 3.0, 0.0)] {
        let plan_front = front(&planned(|_| 60.0, &build(0.0), thrust(station, down, side, 120.0))).clone();
        let plane = plan_front.plug.ring.rear.oblique();
        let mesh = skin(&elliptic(|_| 60.0, |_| 60.0, 13)).loft().mesh(0.01);
        let trimmed = mesh.trimmed(&plane);
        assert_eq!(trimmed.open_edges(), 0);
        let exact = std::f64::consts::PI * 3600.0 * (LENGTH - plane.station.max(0.0));
        assert!((trimmed.volume() - exact).abs() < 1e-3 * exact, "{} against {exact}", trimmed.volume());
        let most = trimmed.vertices.iter().map(|v| plane.at([v[1], v[2]]) - v[0]).fold(f64::NEG_INFINITY, f64::max);
        assert!(most < 1e-6, "{most}");
        if station > 0.0 {
            // Every corner of the cap lies on the surface's own section by that plane, within the mesh's closeness.
            for v in trimmed.vertices.iter().filter(|v| (plane.at([v[1], v[2]]) - v[0]).abs() < 1e-9) {
                assert!((v[1].hypot(v[2]) - 60.0).abs() < 0.011, "{v:?}");
            }
        }
    }
}

/// The ring's thickness is a number of the thrust line alone: the stack's own ring plate does not count beside it, and the plate
/// stands ahead of the stack on the plane that trims the front.
#[test]
fn the_ring_plate_is_counted_once() {
    let mut build = build(0.0);
    build.stack.ring_plate = 5.0;
    let plan = planned(|_| 60.0, &build, thrust(1.0, 2.0, 0.0, 120.0));
    let plates: Vec<_> = plan.ledger.layers.iter().filter(|l| l.kind == plug::LayerKind::RingPlate).collect();
    assert_eq!(plates.len(), 1);
    let place = front(&plan).plug.ring;
    assert_eq!((plates[0].thickness, plates[0].sum), (RING, 0.0));
    assert_eq!((plates[0].front, plates[0].rear), (place.front.point[0], place.rear.point[0]));
    assert!((plates[0].rear - plates[0].front - RING * 2f64.to_radians().cos()).abs() < 1e-12);
    let first = plan.ledger.foremost().expect("layers");
    assert_eq!((first.front, plan.ledger.front), (0.0, 0.0));
    // Without a thrust line it is the stack's own, within the stack's length.
    let skin = skin(&elliptic(|_| 60.0, |_| 60.0, 13));
    let alone = plug::plan(&skin, &build, &Airframe::default());
    assert_eq!((alone.ledger.layers[0].thickness, alone.ledger.foremost().map(|l| l.front)), (5.0, Some(5.0)));
    assert_eq!(plan.ledger.joints() + 1, alone.ledger.joints());
}

/// Distance of a point from a polyline.
fn distance(p: [f64; 2], line: &[[f64; 2]]) -> f64 {
    let to = |w: &[[f64; 2]]| geometry::flatten::distance_to_chord(p, w[0], w[1]);
    line.windows(2).map(to).fold(f64::INFINITY, f64::min)
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(3), ..ProptestConfig::with_cases(24) })]

    /// On random forms, against the plug's own cross sections: every place of the front lies on the section at its station, both
    /// sides, and where it is packed on the first section carried ahead along the shaft.
    #[test]
    fn the_front_of_a_random_form_lies_on_its_cross_sections(
        form in any_form(),
        (down, side) in (-6.0..6.0_f64, -6.0..6.0_f64),
        (station, coat) in (-6.0..80.0_f64, 0.0..1.5_f64),
    ) {
        let skin = skin(&form);
        let mut build = build(0.0);
        build.coat.laminate = coat;
        let surface = PlugSurface::of(&skin, &build);
        let line = thrust(station, down, side, 60.0);
        let Some(front) = surface.front(&line, 0.005) else { return Err(TestCaseError::reject("the plane misses")) };
        let ahead = form::shaft::shaft(&line).ahead;
        for p in front.outline.iter().step_by(front.outline.len() / 24 + 1) {
            let [x, y, z] = p.at;
            prop_assert!(front.ring.rear.ahead(p.at).abs() < 1e-9, "{p:?} is off the plane");
            let (x, y, z) = if p.packed {
                // Back along the shaft to the front face.
                let back = -x / ahead[0];
                (0.0, y + back * ahead[1], z + back * ahead[2])
            } else {
                (x, y, z)
            };
            let section = surface.section(x, 0.0, 0.005).outline;
            let off = distance([y.abs(), z], &section);
            prop_assert!(off < 0.02, "{off} at {p:?}");
        }
    }
}
