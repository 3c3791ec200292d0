use super::bodies::*;
use form::openings::{Hole, Sheet, Target};
use form::shaft::RingTrim;
use plugwright_tests::forms::{Bounds, any_form};
use project::document::{ArcKind, ControlSection, Form, LineEnd, LinePointKind, SectionShape, UnitSection};
use project::opening::{Outline, Seen};
use project::starter::{ELLIPSE_RHO, two_conics};
use proptest::prelude::*;
use std::f64::consts::PI;
use std::sync::Arc;

/// Complete elliptic integrals K and E of modulus k by the arithmetic-geometric mean (Abramowitz & Stegun 17.6).
fn elliptic(k: f64) -> (f64, f64) {
    let (mut a, mut b, mut c, mut sum, mut power) = (1.0, (1.0 - k * k).sqrt(), k, 0.5 * k * k, 1.0);
    while c.abs() > 1e-16 {
        (a, b, c) = (0.5 * (a + b), (a * b).sqrt(), 0.5 * (a - b));
        sum += power * c * c;
        power *= 2.0;
    }
    let complete = PI / (2.0 * a);
    (complete, complete * (1.0 - sum))
}

/// A circular hole of radius r drilled square into the side of a cylinder of radius R takes ∬ R / √(R² - z²) of it, which is
/// 4 R² (E - (1 - k²) K) with k = r / R (by the substitution z = r sin φ).
#[test]
fn a_hole_in_the_side_of_a_cylinder() {
    let form = cylinder(60.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    for radius in [2.0, 20.0, 40.0, 55.0] {
        let k: f64 = radius / 60.0;
        let (complete, second) = elliptic(k);
        let exact = 4.0 * 3600.0 * (second - (1.0 - k * k) * complete);
        for (seen, at) in [
            (Seen::Starboard, [130.0, 0.0]),
            (Seen::Port, [130.0, 0.0]),
            (Seen::Above, [150.0, 0.0]),
            (Seen::Below, [131.7, 0.0]),
        ] {
            let areas = hole(&target, &opening(seen, circle(at, radius))).areas(&target);
            close(areas.surface, exact, 1e-6, "surface");
            close(areas.seen, PI * radius * radius, 1e-6, "seen");
            assert!(areas.to_flow < 1e-6 * exact, "{areas:?}");
        }
    }
}

/// Archimedes: the cap of height h of a sphere of radius R has the area 2 π R h.
#[test]
fn the_cap_of_a_sphere_from_ahead() {
    let form = sphere(80.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    for radius in [5.0, 40.0, 70.0, 79.0] {
        let h = 80.0 - f64::sqrt(80.0 * 80.0 - radius * radius);
        let areas = hole(&target, &opening(Seen::Ahead, circle([0.0, 0.0], radius))).areas(&target);
        close(areas.surface, 2.0 * PI * 80.0 * h, 2e-6, "cap");
        close(areas.to_flow, PI * radius * radius, 2e-6, "to the flow");
    }
    // Aside of the middle, over the centre plane, the cap of the same circle's plane: by the same rule for a cap whose axis leans, as
    // seen from ahead an ellipse. A cap of half angle 20° about an axis that leans 30°.
    let (lean, half) = (30f64.to_radians(), 20f64.to_radians());
    let size = [2.0 * 80.0 * half.sin() * lean.cos(), 2.0 * 80.0 * half.sin()];
    for (centre, size) in
        [([80.0 * half.cos() * lean.sin(), 0.0], size), ([0.0, -80.0 * half.cos() * lean.sin()], [size[1], size[0]])]
    {
        let outline = Outline::Ellipse { centre, size, turn_deg: 0.0 };
        let areas = hole(&target, &opening(Seen::Ahead, outline)).areas(&target);
        close(areas.surface, 2.0 * PI * 6400.0 * (1.0 - half.cos()), 5e-6, "leaning cap");
    }
}

/// All of a cone leans by the same angle against the line of sight from ahead: a hole of area A takes A / sin α.
#[test]
fn a_hole_in_a_cone_from_ahead() {
    let form = cone(0.0, 100.0, 150.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let sin = 100.0 / f64::hypot(100.0, 150.0);
    for (outline, what) in [
        (circle([40.0, 10.0], 25.0), "aside"),
        (circle([0.0, -45.0], 30.0), "over the centre plane"),
        (circle([3.0, 2.0], 30.0), "over the tip"),
        (kidney([-35.0, 30.0], 25.0), "a kidney"),
        (rectangle([30.0, 30.0], [30.0, 20.0]), "with corners"),
    ] {
        let hole = hole(&target, &opening(Seen::Ahead, outline));
        let areas = hole.areas(&target);
        close(areas.outline, hole.curve.area(), 1e-12, what);
        close(areas.surface, hole.curve.area() / sin, 1e-6, what);
        close(areas.to_flow, hole.curve.area(), 1e-6, what);
    }
}

/// A plane is a plane: the flat sides of a bar and the flat front of a cylinder.
#[test]
fn a_hole_in_a_plane_has_its_drawn_area() {
    let form = bar(40.0);
    let lofted_bar = lofted(&form);
    let target = Target::new(lofted_bar.skin.as_ref().unwrap().loft(), None);
    for seen in [Seen::Starboard, Seen::Port, Seen::Above, Seen::Below, Seen::Ahead] {
        let at = if seen == Seen::Ahead { [5.0, 4.0] } else { [90.0, 6.0] };
        for (outline, within) in
            [(circle(at, 20.0), 1e-6), (rectangle(at, [30.0, 16.0]), 1e-6), (kidney(at, 25.0), 1e-6)]
        {
            let hole = hole(&target, &opening(seen, outline));
            assert!(hole.whole().is_some());
            let areas = hole.areas(&target);
            close(areas.surface, hole.curve.area(), within, "plane");
            assert_eq!(hole.places().all(|p| p.on == Sheet::Front), seen == Seen::Ahead);
        }
    }
}

/// Over the rim between a flat front of radius a and a cone: the part inside the rim (the lens of two circles, elementary
/// geometry) lies in the plane, the rest on the cone, over the sine of its angle.
#[test]
fn a_hole_over_the_rim_of_a_flat_front() {
    let form = cone(30.0, 80.0, 100.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let sin = 50.0 / f64::hypot(50.0, 100.0);
    let (a, r, d): (f64, f64, f64) = (30.0, 15.0, 35.0);
    let angle = |r: f64, s: f64| ((d * d + r * r - s * s) / (2.0 * d * r)).acos();
    let kite = 0.5 * ((-d + r + a) * (d + r - a) * (d - r + a) * (d + r + a)).sqrt();
    let lens = r * r * angle(r, a) + a * a * angle(a, r) - kite;
    let hole = hole(&target, &opening(Seen::Ahead, circle([0.8 * d, 0.6 * d], r)));
    assert!(hole.whole().is_some() && hole.places().any(|p| p.on == Sheet::Front));
    let areas = hole.areas(&target);
    close(areas.surface, lens + (PI * r * r - lens) / sin, 1e-5, "over the rim");
    close(areas.seen, PI * r * r, 1e-5, "seen");
}

/// The plane of a ring that leans towards starboard takes the front off: a hole over its rim, and one that goes round all of it, are
/// seen as drawn; what of each lies in the plane is there as seen over the cosine of its lean.
#[test]
fn a_hole_over_the_rim_of_the_ring() {
    let form = cone(0.0, 100.0, 200.0);
    let lofted = lofted(&form);
    let lean = 4f64.to_radians();
    let trim = RingTrim { point: [80.0, 0.0, 0.0], normal: [-lean.cos(), lean.sin(), 0.0] };
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), Some(trim));
    let slope = 0.5;
    let sin = slope / f64::hypot(1.0, slope);
    for (centre, radius) in [([35.0, 12.0], 15.0), ([-36.0, 4.0], 20.0), ([2.0, 1.0], 60.0), ([0.0, 0.0], 10.0)] {
        let areas = hole(&target, &opening(Seen::Ahead, circle(centre, radius))).areas(&target);
        let drawn = PI * radius * radius;
        close(areas.seen, drawn, 2e-5, "seen");
        // On the cone r = x / 2 the plane's edge is the ellipse with these ends.
        let ends = [1.0, -1.0].map(|side: f64| side * 40.0 / (1.0 - side * slope * lean.tan()));
        let (middle, half) = (0.5 * (ends[0] + ends[1]), 0.5 * (ends[0] - ends[1]));
        let across = half * (1.0 - (slope * lean.tan()).powi(2)).sqrt();
        let face = common(centre, radius, middle, [half, across]);
        close(areas.surface, face / lean.cos() + (drawn - face) / sin, 2e-5, "surface");
    }
}

/// Area that a circle and an ellipse about (middle, 0) with half axes along both axes have in common, by strips: the midpoint rule.
fn common(centre: [f64; 2], radius: f64, middle: f64, [along, across]: [f64; 2]) -> f64 {
    const STRIPS: u32 = 200_000;
    let step = 2.0 * along / f64::from(STRIPS);
    let strip = |i: u32| {
        let y = middle - along + (f64::from(i) + 0.5) * step;
        let reach = |square: f64| (square > 0.0).then(|| square.sqrt());
        let own = reach(radius * radius - (y - centre[0]).powi(2));
        let other = across * (1.0 - ((y - middle) / along).powi(2)).max(0.0).sqrt();
        own.map_or(0.0, |own| ((centre[1] + own).min(other) - (centre[1] - own).max(-other)).max(0.0) * step)
    };
    (0..STRIPS).map(strip).sum()
}

/// What the outline encloses beyond the form is not counted: a box taller than a cylinder takes half of its side, π R w; one that
/// runs over the rear end takes what there is of it.
#[test]
fn what_misses_the_form_is_not_counted() {
    let form = cylinder(60.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let tall = hole(&target, &opening(Seen::Starboard, rectangle([150.0, 0.0], [40.0, 130.0])));
    assert!(tall.whole().is_none() && tall.missed.len() == 2, "{:?}", tall.missed);
    close(tall.areas(&target).surface, PI * 60.0 * 40.0, 1e-5, "half round");
    let rear = hole(&target, &opening(Seen::Below, rectangle([290.0, 0.0], [40.0, 60.0])));
    assert_eq!((rear.runs.len(), rear.missed.len()), (1, 1));
    // From 270 to 300, and over the arc whose half chord is 30: 2 R asin(1/2).
    close(rear.areas(&target).surface, 30.0 * 2.0 * 60.0 * (0.5f64).asin(), 1e-6, "notch");
    let nothing = hole(&target, &opening(Seen::Above, circle([150.0, 90.0], 20.0)));
    assert!(nothing.runs.is_empty() && nothing.centre.is_none());
    assert_eq!(nothing.areas(&target).surface, 0.0);
}

/// ½ ∮ r × dr over the edge, by so many chords: of an ellipse's area they leave out (2π/n)²/6, three millionths.
fn vector_area(hole: &Hole, target: &Target<'_>) -> [f64; 3] {
    const CHORDS: u32 = 1500;
    let step = hole.curve.pieces() as f64 / f64::from(CHORDS);
    let met = |i: u32| target.meet(hole.seen, hole.curve.at(step * f64::from(i)).p).unwrap().point;
    let places: Vec<[f64; 3]> = (0..CHORDS).map(met).collect();
    let mut sum = [0.0; 3];
    for (a, b) in places.iter().zip(places.iter().cycle().skip(1)) {
        for (k, sum) in sum.iter_mut().enumerate() {
            let (i, j) = ((k + 1) % 3, (k + 2) % 3);
            *sum += 0.5 * (a[i] * b[j] - a[j] * b[i]);
        }
    }
    sum
}

/// What is seen of a hole is its drawn area, and the sum of its normals is that of any surface with the same edge (Stokes), so that of
/// its edge alone. Gives what both are off by, as shares of the drawn area; `None` where the form or the hole is not whole.
fn off(form: &Form, x: f64, z: f64, size: f64) -> Option<[f64; 2]> {
    let lofted = form::loft(form);
    let target = Target::new(lofted.whole_skin()?.loft(), None);
    let (low, high) = target.loft().x_range();
    let station = low + x * (high - low);
    let section = target.loft().section(station)?;
    let height = section.breadth_height() + z * 0.5 * (section.crown() - section.keel());
    let outline = Outline::Ellipse { centre: [station, height], size: [size, 0.6 * size], turn_deg: 30.0 };
    let hole = Hole::cut(&target, 0, &opening(Seen::Starboard, outline), false, 1e-3).ok()?;
    hole.whole()?;
    let (areas, edge) = (hole.areas(&target), vector_area(&hole, &target));
    // Looking to port, the outline runs from aft to up: about the way to port by the right hand, so against the normals.
    let apart = (0..3).map(|k| (areas.vector[k].abs() - edge[k].abs()).abs()).fold(0.0, f64::max);
    Some([(areas.seen - hole.curve.area()).abs(), apart].map(|off| off / hole.curve.area()))
}

/// An ellipse that dips below the breadth by a hair: the strips' length goes like a root that lies just beyond the mark.
#[test]
fn a_hole_that_barely_crosses_the_breadth() {
    let mut form = bar(40.0);
    let smooth = LinePointKind::Smooth;
    let crown = [[0.0, 48.120_972_201_830_03], [150.0, 44.978_821_228_714_274], [300.0, 48.980_344_794_292_5]];
    let keel = [[0.0, -64.562_791_654_880_21], [128.136_706_456_737_78, -44.215_561_935_561_254], [300.0, -35.0]];
    form.lines.crown = line(&crown, smooth, LineEnd::Free);
    form.lines.keel = line(&keel, smooth, LineEnd::Free);
    form.lines.breadth = line(&[[0.0, 35.0], [150.0, 35.0], [300.0, 35.0]], smooth, LineEnd::Free);
    form.lines.breadth_height = line(&[[0.0, 0.0], [193.814_246_085_291_1, 0.0], [300.0, 0.0]], smooth, LineEnd::Free);
    let section = |station: f64, above: ArcKind| {
        let shape = UnitSection { arcs: vec![above, ArcKind::Cubic], ..two_conics(ELLIPSE_RHO) };
        Arc::new(ControlSection { station, shape: SectionShape::Shaped(shape) })
    };
    form.sections = vec![section(0.0, ArcKind::Cubic), section(300.0, ArcKind::Conic { rho: 0.546_063_331_764_474_9 })];
    let off = off(&form, 0.331_729_564_060_197_8, 0.129_570_062_312_381_55, 16.812_183_222_278_5).unwrap();
    assert!(off[0] < 1e-6 && off[1] < 1e-5, "{off:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn the_normals_sum_up_to_what_the_edge_says(form in any_form(&Bounds::built()), x in 0.3..0.7, z in -0.3..0.3, size in 6.0..20.0) {
        let off = off(&form, x, z, size);
        prop_assume!(off.is_some());
        // The edge's own chords leave the greater part of the second.
        let [seen, edge] = off.unwrap();
        prop_assert!(seen < 1e-5 && edge < 1e-5, "{seen:e} {edge:e}");
    }
}
