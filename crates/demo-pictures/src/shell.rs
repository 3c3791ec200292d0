//! The shell of the demo's cowl: what it is made of, how its cloth is laid, and what it is weighed against. Invented like the cowl;
//! mm at the model, grams, degrees.

use project::laminate::{Coupon, Extent, Fabric, FibreKind, Film, LayUp, Ply, Resin, Schedule, Span};
use project::shell::{BallastPlace, Draping, Parting, Release, Shell, Weighed, Weights};

/// The whole shell; the plug follows its laminate.
pub fn shell() -> Shell {
    Shell {
        laminate: laminate(),
        feeds_coat: true,
        draping: Draping { start: Some(START), cell: Some(5.0), ..Draping::default() },
        // The cowl narrows towards the fuselage: in one piece it would be held.
        release: Release { parting: Parting::BreadthLine, ..Release::default() },
        weights: weights(),
        ..Shell::default()
    }
}

/// Where the first yarns cross, and how the warp runs from there, so that one piece of each ply goes round.
const START: [f64; 2] = [150.0, 0.0];
const WARP: f64 = 45.0;
/// Cloth laid on an area of the cowl: what its draped nets say there, 1.012 to 1.015.
const CROWDING: f64 = 1.013;

/// Twills drape further than plain weaves do; the builder pulled a square over its corner until folds rose.
const LOCKING: f64 = 45.0;

/// A light glass against the plug, carbon, and glass again that can be sanded; a strip and patches where the screws hold.
fn laminate() -> Schedule {
    let filler = Film { thickness: Span::new(0.1, 0.2, 0.3), areal_mass: Span::new(60.0, 110.0, 170.0) };
    Schedule {
        plies: vec![
            whole(glass(80.0), Coupon { plies: 6, thickness: 0.48, within: 0.04 }),
            whole(carbon(), Coupon { plies: 4, thickness: 1.05, within: 0.06 }),
            whole(glass(160.0), Coupon { plies: 4, thickness: 0.6, within: 0.05 }),
            rim(),
        ],
        lay_up: LayUp::Squeegee,
        resin: Resin { name: "Slow laminating epoxy".into(), pot_life: 40.0, ..Resin::default() },
        filler,
        paint: Film { thickness: Span::new(0.06, 0.1, 0.14), areal_mass: Span::new(80.0, 130.0, 190.0) },
        soak: Span::new(15.0, 30.0, 50.0),
    }
}

/// A ply over all of it, its thickness from a test piece that was measured.
fn whole(fabric: Fabric, coupon: Coupon) -> Ply {
    Ply { crowding: CROWDING, coupon: Some(coupon), ..Ply::whole(fabric, WARP) }
}

fn rim() -> Ply {
    Ply { extent: Extent::Strip { from: 338.0, to: 372.0 }, ..Ply::whole(glass(160.0), WARP) }
}

fn glass(areal_weight: f64) -> Fabric {
    Fabric { name: "Glass, twill".into(), areal_weight, locking_deg: LOCKING, ..Fabric::usual() }
}

fn carbon() -> Fabric {
    Fabric {
        name: "Carbon, twill".into(),
        areal_weight: 200.0,
        fibre_density: FibreKind::Carbon.density(),
        locking_deg: LOCKING,
        roll_width: 1000.0,
    }
}

/// The model was weighed on two scales with the cowling that came with it.
fn weights() -> Weights {
    let weighed =
        |name: &str, mass: Span, centre: [f64; 3], within: f64| Weighed { name: name.into(), mass, centre, within };
    let place = |name: &str, stations: [f64; 2]| BallastPlace { name: name.into(), stations };
    Weights {
        aircraft: Some(weighed("Ready to fly", Span::new(7160.0, 7180.0, 7200.0), [612.0, 0.0, -12.0], 2.0)),
        replaces: Some(weighed("Cowling that came with it", Span::exact(268.0), [196.0, 0.0, -24.0], 4.0)),
        parts: vec![weighed("Exhaust stubs", Span::new(18.0, 22.0, 26.0), [180.0, 0.0, -37.0], 5.0)],
        screw: Span::new(0.7, 0.9, 1.1),
        ballast: vec![place("On the motor box", [110.0, 330.0]), place("In the tail", [1480.0, 1560.0])],
        ..Weights::default()
    }
}
