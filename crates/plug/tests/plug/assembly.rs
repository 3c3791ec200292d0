//! All card parts put in space as solids: no two overlap, every joint has its clearance, and nothing stands out of the plug.
//!
//! A former is its drawing (y, z) times its card's thickness along x; the centre template (x, z) times its card's along y; a half
//! of the breadth template (x, y) times its card's along z. So two of them overlap exactly where the projections of what each has
//! within the other's thickness overlap on the axis they share.

use crate::forms::{LENGTH, any_form, skin};
use form::PlugSurface;
use plug::{HalfLap, Joining, Plan, Region, Span, Template, plan};
use project::airframe::{Airframe, Ring, Spinner, ThrustLine};
use project::build::{Build, Closing, PrintedOutline, Process};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const FAR: f64 = 1e4;
/// Parts may touch, mm.
const TOUCH: f64 = 1e-5;
/// The promise for every clearance, mm.
const CLEARANCE: f64 = 0.05;

/// What a region has between two values of a coordinate, projected on the other one.
fn projected(region: &Region, held: usize, (from, to): Span) -> Vec<Span> {
    let (from, to) = (from + TOUCH, to - TOUCH);
    let (low, high) = if held == 0 { ([from, -FAR], [to, FAR]) } else { ([-FAR, from], [FAR, to]) };
    let strip = region.intersection(&Region::rectangle(low, high));
    let piece = |p: &Vec<Vec<[f64; 2]>>| {
        let values = || p[0].iter().map(|q| q[1 - held]);
        (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max))
    };
    strip.pieces.iter().map(piece).collect()
}

fn overlap(a: &[Span], b: &[Span]) -> f64 {
    let pairs = a.iter().flat_map(|s| b.iter().map(move |t| s.1.min(t.1) - s.0.max(t.0)));
    pairs.fold(0.0, f64::max)
}

/// Least distance between two sets of spans that do not overlap.
fn gap(a: &[Span], b: &[Span]) -> f64 {
    let pairs = a.iter().flat_map(|s| b.iter().map(move |t| s.0.max(t.0) - s.1.min(t.1)));
    pairs.fold(f64::INFINITY, f64::min)
}

fn laps(plan: &Plan, with: Template) -> impl Iterator<Item = (usize, &HalfLap)> {
    plan.joints.iter().filter(move |j| j.with == with).filter_map(|j| match &j.how {
        Joining::HalfLap(lap) => Some((j.former, lap)),
        Joining::Butted => None,
    })
}

fn check_assembly(plan: &Plan, build: &Build) -> Result<(), TestCaseError> {
    let t = 0.5 * plan.card;
    let wanted = &build.formers;
    if let Some(centre) = &plan.centre {
        for f in &plan.formers {
            let in_former = projected(&f.part, 0, (-t, t));
            let in_centre = projected(&centre.part, 0, (f.front, f.rear));
            let lost = overlap(&in_former, &in_centre);
            prop_assert!(lost < TOUCH, "former {} and the centre template overlap by {lost}", f.number);
        }
        for (number, lap) in laps(plan, Template::Centre) {
            let former = plan.formers.iter().find(|f| f.number == number).expect("a former");
            let in_former = projected(&former.part, 0, (-t, t));
            let in_centre = projected(&centre.part, 0, (former.front, former.rear));
            let end = gap(&in_former, &in_centre);
            prop_assert!((end - wanted.end_clearance).abs() < CLEARANCE, "former {number}: {end}");
            let depths = lap.former_depth() + lap.template_depth();
            let height = lap.material.1 - lap.material.0;
            prop_assert!((depths - height - wanted.end_clearance).abs() < 1e-9);
            // The common material is that of the uncut parts.
            let spans = former.outline.spans(0, 0.0);
            let c = centre.outline.spans(0, former.middle());
            let (low, high) = (spans[0].0.max(c[0].0), spans[0].1.min(c[0].1));
            prop_assert!((lap.material.0 - low).abs() < 1e-5 && (lap.material.1 - high).abs() < 1e-5);
            // Sideways, read from the cut parts at heights within both slots.
            let (a, b) = (0.5 * (lap.former_end + if lap.former_opens_up { high } else { low }), 0.0);
            let sides = former.part.spans(1, a);
            let slot = sides.windows(2).find(|w| w[0].1 <= b && w[1].0 >= b).map(|w| w[1].0 - w[0].1);
            let free = slot.expect("a slot at the centre plane") - plan.card;
            prop_assert!((free - wanted.slot_clearance).abs() < CLEARANCE, "former {number}: {free}");
        }
    }
    check_breadth(plan, build)
}

fn check_breadth(plan: &Plan, build: &Build) -> Result<(), TestCaseError> {
    let t = 0.5 * plan.card;
    for half in &plan.breadth {
        let sign = if half.side == Template::BreadthStarboard { 1.0 } else { -1.0 };
        // Butts on the centre template's face, and does not enter it.
        let (low, high) = half.part.bounds().expect("a part");
        let inner = if sign > 0.0 { low[1] } else { -high[1] };
        prop_assert!((inner - t).abs() < TOUCH, "{inner}");
        for f in &plan.formers {
            let own = |s: &Span| if sign > 0.0 { s.1 > 0.0 } else { s.0 < 0.0 };
            let in_former: Vec<Span> =
                projected(&f.part, 1, (half.height - t, half.height + t)).into_iter().filter(own).collect();
            let in_half = projected(&half.part, 0, (f.front, f.rear));
            let lost = overlap(&in_former, &in_half);
            prop_assert!(lost < TOUCH, "former {} and the breadth template overlap by {lost}", f.number);
            let lap = laps(plan, half.side).find(|l| l.0 == f.number);
            if let Some((_, lap)) = lap {
                let end = gap(&in_former, &in_half);
                prop_assert!((end - build.formers.end_clearance).abs() < CLEARANCE, "former {}: {end}", f.number);
                let sum = lap.former_depth() + lap.template_depth();
                let width = lap.material.1 - lap.material.0;
                prop_assert!((sum - width - build.formers.end_clearance).abs() < 1e-9);
            } else {
                prop_assert!(in_half.is_empty(), "the breadth template reaches former {} without a joint", f.number);
            }
        }
    }
    Ok(())
}

/// Every former, and corners all along the templates, lie inside the plug less the inset, within the promise of the cut outline.
fn check_inside(plan: &Plan, plug: &PlugSurface, inset: f64) -> Result<(), TestCaseError> {
    const WITHIN: f64 = 0.05;
    for f in &plan.formers {
        for x in [f.front, f.rear] {
            let half = plug.section(x, inset - WITHIN, 0.005).outline;
            let port = half.iter().rev().map(|p| [-p[0], p[1]]);
            let limit = Region::of(&half.iter().copied().chain(port).collect::<Vec<_>>());
            let out = f.part.without(&limit).area();
            prop_assert!(out < 1e-6, "former {} stands out of the plug at {x}: {out} mm2", f.number);
        }
    }
    if let Some(centre) = &plan.centre {
        for &[x, z] in some(&centre.part.pieces[0][0]) {
            let half = plug.section(x, inset - WITHIN, 0.005).outline;
            let (crown, keel) = (half[0][1], half[half.len() - 1][1]);
            prop_assert!(z <= crown && z >= keel, "the centre template stands out at {x}: {z} of {keel} to {crown}");
        }
    }
    for half in &plan.breadth {
        for &[x, y] in some(&half.part.pieces[0][0]) {
            let section = plug.section(x, inset - WITHIN, 0.005).outline;
            let reach = section
                .windows(2)
                .filter(|w| (w[0][1] > half.height) != (w[1][1] > half.height))
                .map(|w| w[0][0] + (w[1][0] - w[0][0]) * (half.height - w[0][1]) / (w[1][1] - w[0][1]));
            let reach = reach.fold(0.0, f64::max);
            prop_assert!(y.abs() <= reach, "the breadth template stands out at {x}: {y} of {reach}");
        }
    }
    Ok(())
}

/// Some thirty points spread over a contour: each costs a section of the plug.
fn some(contour: &[[f64; 2]]) -> impl Iterator<Item = &[f64; 2]> {
    contour.iter().step_by(contour.len() / 30 + 1)
}

/// Blocks fill their bays: between the cards, clear of the templates, with room for both faces.
fn check_blocks(plan: &Plan) -> Result<(), TestCaseError> {
    let t = 0.5 * plan.card;
    for b in &plan.blocks {
        for f in &plan.formers {
            prop_assert!(
                b.stations.1 <= f.front + 1e-9 || b.stations.0 >= f.rear - 1e-9,
                "{} meets former {}",
                b.name,
                f.number
            );
        }
        let corner = [b.corner[0] + b.size[0], b.corner[1] + b.size[1]];
        for face in [&b.front_face, &b.rear_face] {
            let Some((low, high)) = face.bounds() else { continue };
            prop_assert!((0..2).all(|k| low[k] >= b.corner[k] - 1e-6 && high[k] <= corner[k] + 1e-6), "{}", b.name);
            let inner = low[0].abs().min(high[0].abs());
            let with_centre =
                plan.centre.as_ref().is_some_and(|c| c.range.0 <= b.stations.0 && c.range.1 >= b.stations.1);
            prop_assert!(!with_centre || inner >= t - 1e-6, "{} enters the centre template", b.name);
        }
    }
    for board in &plan.boards {
        prop_assert_eq!(board.nesting.placed.len() + board.nesting.too_large.len(), board.blocks.len());
    }
    Ok(())
}

fn any_build() -> impl Strategy<Value = Build> {
    let stack = (
        2..6_usize,
        1.0..3.0_f64,
        0.0..0.3_f64,
        any::<bool>(),
        prop_oneof![Just(Closing::Spread), Just(Closing::LastBoard)],
    );
    let cards =
        (0.0..1.0_f64, any::<bool>(), 4.0..10.0_f64, prop::option::of(-15.0..15.0_f64), 0.0..0.5_f64, 0.0..1.0_f64);
    (stack, cards, 0.0..1.5_f64, any::<bool>()).prop_map(
        |((count, card, glue, foam_front, closing), cards, laminate, shaft)| {
            let mut build = Build { process: Process::OverPlug, ..Build::default() };
            build.coat.laminate = laminate;
            let board = 0.9 * LENGTH / count as f64 - card;
            build.stack = project::build::Stack {
                used: true,
                boards: vec![board; count],
                card,
                glue,
                foam_front,
                closing,
                ..build.stack
            };
            let (inset, centre_opens_up, least_web, breadth, slot_clearance, end_clearance) = cards;
            build.formers = project::build::Formers {
                inset,
                outline: PrintedOutline::Smaller,
                centre_opens_up,
                least_web,
                breadth_template: breadth,
                slot_clearance,
                end_clearance,
                shaft_hole: if shaft { 8.0 } else { 0.0 },
                dowels: vec![[22.0, -10.0]],
                lightening_web: 7.0,
                ..build.formers
            };
            build
        },
    )
}

/// A thrust line whose ring's rear face stands about 145 mm ahead of the firewall.
fn airframe(firewall: f64) -> Airframe {
    let thrust = ThrustLine {
        firewall,
        hub_distance: 150.0,
        hub_height: 2.0,
        down_thrust_deg: 2.0,
        side_thrust_deg: 1.5,
        spinner: Spinner { diameter: 60.0, gap: 2.0 },
        ring: Ring { thickness: 3.0, step: 0.0, square_to_thrust: true },
    };
    Airframe { thrust: Some(thrust), ..Airframe::default() }
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(7), ..ProptestConfig::with_cases(8) })]

    #[test]
    fn random_plugs_assemble(form in any_form(), build in any_build(), firewall in 135.0..150.0_f64) {
        let skin = skin(&form);
        let plan = plan(&skin, &build, &airframe(firewall));
        prop_assume!(!plan.ledger.layers.is_empty());
        prop_assert!(!plan.formers.is_empty());
        check_assembly(&plan, &build)?;
        check_inside(&plan, &PlugSurface::of(&skin, &build), build.formers.inset)?;
        check_blocks(&plan)?;
        prop_assert!(plan.steps.iter().all(|s| s.free), "{:?}", plan.steps);
        let last = plan.ledger.layers.last().expect("layers");
        prop_assert_eq!(last.rear, LENGTH);
    }
}
