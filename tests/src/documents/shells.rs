//! Random openings, laminates and weights.

use project::build::Coat;
use project::laminate::{Extent, Fabric, FibreKind, Film, LayUp, Ply, Schedule, Span};
use project::opening::{Duct, Opening, Outline, OutlinePoint, Purpose, Seen};
use project::shell::{Draping, Parting, Release, Shell, Weighed, Weights};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use std::sync::Arc;

/// Up to two openings in a form of that length, mm.
pub(super) fn any_openings(length: f64) -> impl Strategy<Value = Vec<Arc<Opening>>> {
    vec(any_opening(length).prop_map(Arc::new), 0..3)
}

fn any_opening(length: f64) -> impl Strategy<Value = Opening> {
    let purpose = prop::sample::select(Purpose::ALL.to_vec());
    let seen = prop::sample::select(Seen::ALL.to_vec());
    let duct = option::of((5.0..60.0_f64, 0.0..6.0_f64, 0.0..3.0_f64, option::of(any_outline(length, Seen::Ahead))));
    (purpose, seen, any::<bool>(), duct).prop_flat_map(move |(purpose, seen, mirrored, duct)| {
        any_outline(length, seen).prop_map(move |outline| Opening {
            name: "Hole".into(),
            purpose,
            seen,
            mirrored,
            outline,
            duct: duct.clone().map(|(depth, lip_radius, wall, inner)| Duct { depth, lip_radius, wall, inner }),
        })
    })
}

fn any_outline(length: f64, seen: Seen) -> impl Strategy<Value = Outline> {
    let across = -0.2 * length..0.2 * length;
    let along = 0.05 * length..0.95 * length;
    let first = if seen == Seen::Ahead { across.clone() } else { along };
    let size = move || 0.01 * length..0.25 * length;
    let place = (first, across, size(), size(), -180.0..180.0_f64, 0.0..0.5_f64, any::<[bool; 5]>());
    (place, 0_u8..3).prop_map(|((a, b, width, height, turn_deg, round, corners), kind)| {
        let (centre, size) = ([a, b], [width, height]);
        match kind {
            0 => Outline::Ellipse { centre, size, turn_deg },
            1 => Outline::Box { centre, size, radius: round * width.min(height), turn_deg },
            _ => Outline::Drawn { points: star(centre, size, corners) },
        }
    })
}

/// Five points about a middle.
fn star(centre: [f64; 2], size: [f64; 2], corners: [bool; 5]) -> Vec<OutlinePoint> {
    let at = |i: usize| {
        let angle = std::f64::consts::TAU * i as f64 / 5.0;
        [centre[0] + 0.5 * size[0] * angle.cos(), centre[1] + 0.5 * size[1] * angle.sin()]
    };
    corners.iter().enumerate().map(|(i, corner)| OutlinePoint { at: at(i), corner: *corner }).collect()
}

/// A shell over a form of `scale` times the usual length.
pub(super) fn any_shell(scale: f64) -> impl Strategy<Value = Shell> {
    (any_laminate(), any::<bool>(), any_draping(scale), any_release(), any_weights(scale)).prop_map(
        |(laminate, feeds, draping, release, weights)| {
            let mut shell = Shell { laminate, feeds_coat: feeds, draping, release, weights, ..Shell::default() };
            // Only a laminate within what may be taken off the plug can be followed.
            shell.feeds_coat = shell.coat().is_some_and(|Coat { laminate, .. }| laminate < 50.0);
            shell
        },
    )
}

fn any_laminate() -> impl Strategy<Value = Schedule> {
    let fabric = (20.0..600.0_f64, 20.0..60.0_f64, 200.0..1500.0_f64, any::<bool>());
    let extent = prop_oneof![
        4 => Just(Extent::Whole),
        1 => (0.0..200.0_f64, 5.0..100.0_f64).prop_map(|(from, width)| Extent::Strip { from, to: from + width }),
        1 => vec([0.0..300.0_f64, -60.0..60.0_f64, -60.0..60.0_f64], 1..4)
            .prop_map(|places| Extent::Patches { places, size: [30.0, 20.0] }),
    ];
    let ply = (fabric, -180.0..180.0_f64, extent, 1.0..1.2_f64).prop_map(
        |((weight, locking_deg, roll_width, carbon), warp_deg, extent, crowding)| {
            let kind = if carbon { FibreKind::Carbon } else { FibreKind::Glass };
            let fabric = Fabric {
                areal_weight: weight,
                fibre_density: kind.density(),
                locking_deg,
                roll_width,
                ..Fabric::usual()
            };
            Ply { fabric, warp_deg, extent, crowding, coupon: None }
        },
    );
    let films = (any::<bool>(), any::<bool>());
    (vec(ply, 0..4), prop::sample::select(LayUp::ALL.to_vec()), films).prop_map(|(plies, lay_up, (filled, painted))| {
        Schedule {
            plies,
            lay_up,
            filler: if filled { Film::usual_filler() } else { Film::default() },
            paint: if painted { Film::usual_paint() } else { Film::default() },
            ..Schedule::default()
        }
    })
}

fn any_draping(scale: f64) -> impl Strategy<Value = Draping> {
    let start = option::of((0.0..300.0_f64, 0.0..1.0_f64).prop_map(move |(x, turn)| [x * scale, turn]));
    let lengths = (2.0..20.0_f64, 0.0..30.0_f64, 0.0..30.0_f64, 0.0..30.0_f64, 0.0..50.0_f64);
    (start, lengths, any::<[bool; 3]>()).prop_map(
        |(start, (cell, front, rear, overlap, stagger), [closed_front, closed_rear, slits])| Draping {
            start,
            cell: Some(cell),
            allowance: [front, rear],
            closed_front,
            closed_rear,
            overlap,
            stagger,
            slits,
        },
    )
}

fn any_release() -> impl Strategy<Value = Release> {
    let way = option::of(prop_oneof![Just([-1.0, 0.0, 0.0]), Just([0.0, 0.0, 1.0]), Just([0.3, 0.2, -0.9])]);
    let parting = prop_oneof![Just(Parting::Whole), Just(Parting::BreadthLine), Just(Parting::CentrePlane)];
    (way, 0.0..5.0_f64, 0.0..1.0_f64, parting).prop_map(|(way, draft_deg, spring, parting)| Release {
        way,
        draft_deg,
        spring,
        parting,
    })
}

fn any_weights(scale: f64) -> impl Strategy<Value = Weights> {
    let weighed = move |name: &'static str| {
        (1.0..10_000.0_f64, -200.0..600.0_f64, 0.0..20.0_f64).prop_map(move |(grams, x, within)| Weighed {
            name: name.into(),
            mass: Span::new(0.9 * grams, grams, 1.1 * grams),
            centre: [x * scale, 0.0, 10.0],
            within,
        })
    };
    let wanted = option::of((0.0..600.0_f64).prop_map(move |x| x * scale));
    (option::of(weighed("Aircraft")), option::of(weighed("Old cowling")), vec(weighed("Motor"), 0..3), wanted).prop_map(
        |(aircraft, replaces, parts, wanted)| Weights { aircraft, replaces, parts, wanted, ..Weights::default() },
    )
}
