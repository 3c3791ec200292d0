//! Plans of bodies whose answers are known in closed form or from practice.

use crate::forms::{LENGTH, elliptic, skin};
use plug::{LayerKind, Plan, Side, plan, present, propose};
use project::airframe::Airframe;
use project::build::{Build, MeasuredWidth, Process};
use std::f64::consts::PI;

fn build(boards: usize) -> Build {
    let mut build = Build::default();
    build.stack.used = true;
    build.stack.boards = vec![LENGTH / boards as f64; boards];
    build.stack.closing = project::build::Closing::Spread;
    build
}

fn planned(half_breadth: impl Fn(f64) -> f64, half_height: impl Fn(f64) -> f64, build: &Build) -> Plan {
    plan(&skin(&elliptic(half_breadth, half_height, 13)), build, &Airframe::default())
}

/// Steiner: inside an ellipse the parallel curve at t encloses A - L t + π t² as long as t is below the least radius of curvature
/// (b²/a). Perimeter by Ramanujan's second formula, better than 1e-8 here.
#[test]
fn the_inset_of_an_ellipse_has_steiners_area() {
    let (a, b) = (70.0, 55.0);
    let mut build = build(4);
    for inset in [0.0, 0.3, 2.0, 10.0] {
        build.formers.inset = inset;
        let plan = planned(|_| a, |_| b, &build);
        let h = ((a - b) / (a + b)).powi(2);
        let perimeter = PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()));
        let area = PI * a * b - perimeter * inset + PI * inset * inset;
        for former in &plan.formers {
            let cut = former.outline.area();
            // The chords lie inside by at most 0.01 mm.
            assert!(cut <= area + 0.05 && cut >= area - 0.01 * perimeter, "inset {inset}: {cut} against {area}");
        }
    }
}

/// On a cone of slope s an inset of t along the normal shrinks every section by t / cos s, and the bevel is s.
#[test]
fn on_a_cone_the_inset_shrinks_by_t_over_cos_of_the_slope() {
    let slope = 15f64.to_radians();
    let radius = |x: f64| 20.0 + x * slope.tan();
    let mut build = build(5);
    build.coat.laminate = 0.8;
    build.formers.inset = 0.5;
    let plan = planned(radius, radius, &build);
    for former in &plan.formers {
        for (x, face) in [(former.front, &former.front_face), (former.rear, &former.rear_face)] {
            let widest = face.iter().map(|p| p[0]).fold(0.0, f64::max);
            assert!((widest - (radius(x) - 1.3 / slope.cos())).abs() < 0.01, "at {x}: {widest}");
        }
        let steepest = former.bevels.iter().map(|b| b.angle_deg).fold(0.0, f64::max);
        assert!((steepest - 15.0).abs() < 0.2, "{steepest}");
    }
    // As a female mould's plug it is the form itself, less the inset of the card alone.
    build.process = Process::FemaleMould;
    let mould = planned(radius, radius, &build);
    assert_eq!(mould.taken_off, 0.0);
    let widest = mould.formers[2].front_face.iter().map(|p| p[0]).fold(0.0, f64::max);
    assert!((widest - (radius(mould.formers[2].front) - 0.5 / slope.cos())).abs() < 0.01);
    // The ring is twice the laminate smaller, along the plane.
    let ring = plan.differences.iter().find(|d| d.what.contains("width at the front")).unwrap();
    assert!((ring.finished - ring.plug - 1.6 / slope.cos()).abs() < 0.02, "{ring:?}");
}

/// Common practice, no source: nine bays give eighteen blocks.
#[test]
fn nine_bays_give_eighteen_blocks_named_by_bay_and_side() {
    let plan = planned(|_| 60.0, |_| 60.0, &build(9));
    assert_eq!((plan.blocks.len(), plan.formers.len()), (18, 10));
    assert_eq!(plan.blocks[0].name, "1S");
    assert_eq!(plan.blocks[17].name, "9P");
    assert_eq!(plan.blocks.iter().filter(|b| b.side == Side::Port).count(), 9);
    // A half round of radius 60 beside a card of 2 mm, 4 mm allowance on three sides.
    let block = &plan.blocks[4];
    assert!(
        (block.size[0] - (59.0 + 4.0)).abs() < 0.02 && (block.size[1] - 8.0 - 2.0 * 3599_f64.sqrt()).abs() < 0.02,
        "{:?}",
        block.size
    );
}

/// Mass: volume times density; 4 l at 32 kg/m3 are 128 g. Volume of a cylinder less cards and glue, in closed form.
#[test]
fn foam_weighs_its_volume_times_its_density() {
    let plan = planned(|_| 60.0, |_| 60.0, &build(9));
    let foam: f64 = plan.ledger.boards().map(|b| b.thickness).sum();
    let strip = 2.0 * 60.0 * (1.0_f64 / 60.0).asin() * 60.0 / 2.0 * 2.0 / 2.0;
    let area = PI * 3600.0 - 2.0 * (strip + (3600.0_f64 - 1.0).sqrt());
    assert!(
        (plan.mass.foam_volume - area * foam).abs() < 2e-3 * area * foam,
        "{} against {}",
        plan.mass.foam_volume,
        area * foam
    );
    assert!((plan.mass.foam - plan.mass.foam_volume * 32.0 / 1e6).abs() < 1e-9);
    assert!((4e6 * 32.0 * 1e-6 - 128.0_f64).abs() < 1e-9);
    assert!((plan.mass.card - plan.mass.card_area * 1200.0 / 1e6).abs() < 1e-9);
}

/// Sagitta h²/8R: 30 mm of a radius of 300 mm are 0.375 mm.
#[test]
fn a_barrel_of_radius_300_costs_its_sagitta() {
    let barrel = |x: f64| (300.0_f64.powi(2) - (x - 150.0).powi(2)).sqrt() - 200.0;
    let form = skin(&elliptic(barrel, barrel, 31));
    let middle = present(form.loft(), &[135.0, 165.0]);
    assert!((middle[0].sagitta - 0.375).abs() < 0.01, "{}", middle[0].sagitta);
    for tolerance in [0.1, 0.3, 1.0] {
        let proposal = propose(form.loft(), tolerance);
        assert_eq!((proposal.stations[0], *proposal.stations.last().unwrap()), (0.0, LENGTH));
        for bay in &proposal.bays {
            // Measured on the curve itself: chord against arc, square to the chord.
            let (a, b) = ([bay.from, barrel(bay.from)], [bay.to, barrel(bay.to)]);
            let x = 0.5 * (bay.from + bay.to);
            let miss = geometry::flatten::distance_to_chord([x, barrel(x)], a, b);
            assert!(miss <= tolerance * 1.02, "{bay:?}: {miss}");
        }
        // No more than the pitch asks for: a bay and its neighbour together would break the tolerance.
        for w in proposal.bays.windows(2).take(proposal.bays.len().saturating_sub(2)) {
            assert!(present(form.loft(), &[w[0].from, w[1].to])[0].sagitta > tolerance, "{w:?}");
        }
    }
}

#[test]
fn gauges_are_the_negative_of_the_plug_and_stand_on_one_line() {
    let mut build = build(4);
    build.coat.laminate = 1.0;
    build.sanding.stations = vec![60.0, 150.0, 999.0];
    build.sanding.measured = vec![
        MeasuredWidth { station: 150.0, height: 0.0, width: 118.4 },
        MeasuredWidth { station: 150.0, height: 0.0, width: 119.0 },
        MeasuredWidth { station: 150.0, height: 80.0, width: 10.0 },
    ];
    let plan = planned(|_| 60.0, |_| 60.0, &build);
    assert_eq!(plan.gauges.stations.len(), 4);
    for template in &plan.gauges.stations {
        let (low, high) = template.part.bounds().unwrap();
        assert!((low[1] - template.base).abs() < 1e-6 && (template.base + 74.0).abs() < 0.05, "{low:?}");
        assert!((high[0] - low[0] - 74.0).abs() < 0.05);
        let area = 74.0 * 148.0 - PI * 59.0 * 59.0 / 2.0;
        assert!((template.part.area() - area).abs() < 3.0, "{} against {area}", template.part.area());
        let plug_side = if template.side == Side::Starboard { [58.9, 0.0] } else { [-58.9, 0.0] };
        assert!(!template.part.contains(plug_side) && template.part.contains([plug_side[0] * 1.005, 0.0]));
    }
    assert_eq!(plan.gauges.lines.len(), 2);
    let row = plan.gauges.calipers.iter().find(|r| r.station == 150.0).unwrap();
    assert!((row.greatest - 118.0).abs() < 0.02);
    for (z, width) in &row.widths {
        assert!((width - 2.0 * (59.0_f64.powi(2) - z * z).sqrt()).abs() < 0.05, "{z}: {width}");
    }
    let over: Vec<Option<f64>> = plan.gauges.deviations.iter().map(plug::Deviation::over).collect();
    assert!((over[0].unwrap() - 0.4).abs() < 0.02 && (over[1].unwrap() - 1.0).abs() < 0.02 && over[2].is_none());
    let told: Vec<&str> = plan.findings.iter().map(|f| f.what.as_str()).collect();
    assert!(told.iter().any(|w| w.contains("1.0 mm too wide")), "{told:?}");
    assert!(told.iter().any(|w| w.contains("999.0 mm lies off the plug")), "{told:?}");
}

#[test]
fn a_foam_front_has_its_outline_and_no_card() {
    let mut build = build(5);
    build.stack.foam_front = true;
    build.stack.nose_foam = 12.0;
    build.stack.ring_plate = 3.0;
    let plan = planned(|_| 60.0, |_| 60.0, &build);
    assert_eq!((plan.formers.len(), plan.blocks.len()), (5, 12));
    let (station, outline) = plan.first_face.unwrap();
    assert_eq!(station, 15.0);
    assert!(outline.iter().all(|p| (p[0].hypot(p[1]) - 60.0).abs() < 0.02));
    assert_eq!(plan.ledger.layers[0].kind, LayerKind::RingPlate);
    assert!(plan.centre.unwrap().range.0 > 15.0);
}
