//! The rest of the Ostrel, as far as the pictures show it, at full size: everything that the cowl sits between.
//!
//! The drawing of it stops where no camera looks; it is no design of an aircraft.

use crate::ostrel::{self, SCALE, line, two_arcs};
use crate::solids::{scaled, skin, strut, together, turned, wing};
use geometry::mesh::Mesh;
use project::document::{ArcKind, ControlSection, Form, Lengthwise, MasterLines};
use std::sync::Arc;

/// Height of the ground, mm at full size from the thrust line.
pub const GROUND: f64 = -1230.0;
/// Radius of the spinner at its back plate, mm at full size.
pub const SPINNER_RADIUS: f64 = 128.0;
/// Where the spinner's tip is, mm at full size.
pub const SPINNER_TIP: f64 = -330.0;
/// Propeller diameter, mm at full size.
pub const PROPELLER: f64 = 1900.0;
/// How far the propeller has come to rest from upright, radians towards port.
pub const BLADE_ANGLE: f64 = 0.36;
/// Where the blades' middle is, mm aft at full size.
pub const BLADES: f64 = -110.0;
/// Where the exhaust stubs leave the cowl, mm aft at full size.
pub const EXHAUSTS: [f64; 4] = [420.0, 620.0, 820.0, 1020.0];

/// Middle of the main wheels, x and z, mm at full size.
pub const WHEEL: [f64; 2] = [1560.0, GROUND + 188.0];

/// What a part is, which tells how it is painted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The nose cowl.
    Cowl,
    /// Fuselage behind the firewall, wing and tail.
    Skin,
    /// Canopy.
    Glass,
    /// Spinner.
    Spinner,
    /// Propeller blades.
    Blade,
    /// Exhaust stubs.
    Exhaust,
    /// Legs of the landing gear.
    Leg,
    /// Wheels.
    Tyre,
    /// A ranging pole of 2 m in bands of 200 mm, from its lower (or first) end on.
    Pole,
}

/// A part of what stands before the camera, mm at full size.
#[derive(Clone, Debug)]
pub struct Part {
    /// What it is.
    pub kind: Kind,
    /// Its skin.
    pub mesh: Mesh,
}

/// A form could not be lofted.
#[derive(Clone, Debug, thiserror::Error)]
#[error("the form \"{form}\" gives no skin: {reason}")]
pub struct NoSkin {
    form: String,
    reason: String,
}

/// The whole aircraft.
///
/// # Errors
/// One of its forms cannot be lofted, which would be a mistake in this crate.
pub fn parts() -> Result<Vec<Part>, NoSkin> {
    let part = |kind, mesh| Part { kind, mesh };
    Ok(vec![
        part(Kind::Cowl, lofted(&ostrel::cowl())?),
        part(Kind::Skin, lofted(&fuselage())?),
        part(Kind::Glass, lofted(&canopy())?),
        part(Kind::Skin, together(&surfaces())),
        part(Kind::Spinner, spinner()),
        part(Kind::Blade, together(&[blade(BLADE_ANGLE), blade(BLADE_ANGLE + std::f64::consts::PI)])),
        part(Kind::Exhaust, together(&exhausts())),
        part(Kind::Leg, together(&legs())),
        part(Kind::Tyre, together(&wheels())),
    ])
}

/// A ranging pole of 2 m and 28 mm diameter from its first end along a direction.
pub fn pole(from: [f64; 3], along: [f64; 3]) -> Part {
    // A ring at each change of colour, so that no triangle spans two bands.
    let profile: Vec<[f64; 2]> = (0..=10).map(|band| [200.0 * f64::from(band), 14.0]).collect();
    Part { kind: Kind::Pole, mesh: turned(from, along, &profile, 32) }
}

/// A form of the model as a mesh at full size, true within 0.2 mm.
fn lofted(form: &Form) -> Result<Mesh, NoSkin> {
    Ok(scaled(&skin_of(form)?.loft().mesh(0.05), SCALE))
}

/// The skin of a form.
///
/// # Errors
/// It has none; the reasons are the loft's findings.
pub fn skin_of(form: &Form) -> Result<form::FinishedSkin, NoSkin> {
    let lofted = form::loft(form);
    lofted.skin.ok_or_else(|| {
        let reason = lofted.findings.iter().map(|finding| finding.what.clone()).collect::<Vec<_>>().join(" ");
        NoSkin { form: form.name.clone(), reason }
    })
}

/// From the firewall aft.
pub fn fuselage() -> Form {
    let conics = |x: f64, above: f64, below: f64| {
        two_arcs(x, ArcKind::Conic { rho: above }, ArcKind::Superelliptic { exponent: below })
    };
    let at_firewall = ostrel::cowl().sections.last().map(|section| (**section).clone());
    let sections: Vec<ControlSection> = at_firewall
        .into_iter()
        .chain([conics(600.0, 0.56, 2.8), conics(1000.0, 0.46, 2.4), conics(1700.0, 0.42, 2.0)])
        .collect();
    let lines = MasterLines {
        crown: line(&[[360.0, 62.0], [430.0, 62.6], [700.0, 61.0], [1100.0, 54.0], [1700.0, 40.0]]),
        keel: line(&[[360.0, -103.0], [430.0, -99.0], [700.0, -88.0], [1100.0, -56.0], [1700.0, 6.0]]),
        breadth: line(&[[360.0, 73.6], [430.0, 70.2], [700.0, 61.0], [1100.0, 42.0], [1700.0, 6.0]]),
        breadth_height: line(&[[360.0, -20.6], [700.0, -18.0], [1100.0, -4.0], [1700.0, 24.0]]),
    };
    form("Fuselage", lines, sections)
}

/// Windscreen and hood; its lower half lies within the fuselage.
fn canopy() -> Form {
    let round = |x: f64| two_arcs(x, ArcKind::Conic { rho: 0.47 }, ArcKind::Conic { rho: 0.45 });
    let lines = MasterLines {
        crown: line(&[[452.0, 60.0], [500.0, 97.0], [560.0, 121.0], [650.0, 130.0], [760.0, 119.0], [960.0, 56.0]]),
        keel: line(&[[452.0, 30.0], [700.0, 25.0], [960.0, 25.0]]),
        breadth: line(&[[452.0, 50.0], [500.0, 58.0], [600.0, 61.5], [760.0, 54.0], [960.0, 22.0]]),
        breadth_height: line(&[[452.0, 38.0], [560.0, 44.0], [960.0, 40.0]]),
    };
    form("Canopy", lines, vec![round(452.0), round(960.0)])
}

fn form(name: &str, lines: MasterLines, sections: Vec<ControlSection>) -> Form {
    Form {
        name: name.into(),
        lines,
        sections: sections.into_iter().map(Arc::new).collect(),
        stations: Vec::new(),
        lengthwise: Lengthwise::Fair,
        front_edge_radius: 0.0,
        rear_edge_radius: 0.0,
        openings: Vec::new(),
        mount: None,
        build: None,
    }
}

/// Wings, tailplane and fin.
fn surfaces() -> Vec<Mesh> {
    let up = [0.0, 0.0, 1.0];
    let pair = |root: [f64; 3], chord: f64, tip: [f64; 3], tip_chord: f64, thickness: f64| {
        [1.0, -1.0].map(|side| {
            let sided = |[x, y, z]: [f64; 3]| [x, side * y, z];
            wing((sided(root), chord), (sided(tip), tip_chord), thickness, up)
        })
    };
    let [right, left] = pair([1560.0, 150.0, -300.0], 1720.0, [1720.0, 4300.0, -60.0], 1050.0, 0.14);
    let [tail_right, tail_left] = pair([5900.0, 0.0, 120.0], 900.0, [6120.0, 1450.0, 140.0], 520.0, 0.10);
    let fin = wing(([5900.0, 0.0, 130.0], 980.0), ([6500.0, 0.0, 1180.0], 520.0), 0.09, [0.0, 1.0, 0.0]);
    vec![right, left, tail_right, tail_left, fin]
}

/// An ogive in front of the ring, with a small gap.
fn spinner() -> Mesh {
    let length = -8.0 - SPINNER_TIP;
    let profile: Vec<[f64; 2]> = (0..=60)
        .map(|i| {
            // Equal steps of the angle put the rings close together at the blunt tip.
            let angle = std::f64::consts::FRAC_PI_2 * f64::from(i) / 60.0;
            [length * (1.0 - angle.cos()), SPINNER_RADIUS * angle.sin().powf(1.12)]
        })
        .collect();
    turned([SPINNER_TIP, 0.0, 0.0], [1.0, 0.0, 0.0], &profile, 96)
}

/// A blade pointing `angle` radians from straight up towards port.
fn blade(angle: f64) -> Mesh {
    let outward = [0.0, -angle.sin(), angle.cos()];
    let turning = [0.0, -angle.cos(), -angle.sin()];
    let tip = PROPELLER / 2.0;
    let ring = |step: i32| {
        // Closer steps towards the tip, which is round.
        let t = 1.0 - (1.0 - f64::from(step) / 48.0).powf(1.6);
        let radius = 60.0 + (tip - 60.0) * t;
        let chord = 340.0 * (0.25 + t * (1.0 - t) - 0.1 * t * t) * (1.0 - t.powi(10)).max(0.0).sqrt() + 0.5;
        let thickness = chord * (0.30 - 0.22 * t.sqrt());
        let (sin, cos) = (1.05 - 0.72 * t.sqrt()).sin_cos();
        let point = |i: i32| {
            let around = std::f64::consts::TAU * f64::from(i) / 40.0;
            let (along, through) = (chord / 2.0 * around.cos(), thickness / 2.0 * around.sin());
            let [aft, round] = [along * sin - through * cos, along * cos + through * sin];
            [BLADES + aft, outward[1] * radius + turning[1] * round, outward[2] * radius + turning[2] * round]
        };
        (0..40).map(point).collect()
    };
    skin(&(0..=48).map(ring).collect::<Vec<Vec<[f64; 3]>>>(), true)
}

/// Four stubs a side, bent back.
fn exhausts() -> Vec<Mesh> {
    let stub = |x: f64, side: f64| {
        let root = [x, side * (0.74 * breadth_near(x)), EXHAUST_HEIGHT];
        let mouth = [x + 118.0, side * (breadth_near(x) + 44.0), EXHAUST_HEIGHT - 42.0];
        strut(root, mouth, [25.0, 23.0], [0.0, 0.0, 1.0], 1.3)
    };
    EXHAUSTS.iter().flat_map(|&x| [stub(x, 1.0), stub(x, -1.0)]).collect()
}

/// Height of the exhaust stubs, mm at full size.
pub const EXHAUST_HEIGHT: f64 = -150.0;

/// Roughly the cowl's half-breadth at full size: good enough to stand a stub on.
fn breadth_near(x: f64) -> f64 {
    let t = (x / (SCALE * ostrel::WIDEST)).clamp(0.0, 1.0);
    132.0 + (314.0 - 132.0) * (1.0 - (1.0 - t).powi(2))
}

fn legs() -> Vec<Mesh> {
    [1.0, -1.0]
        .map(|side| {
            let (top, foot) = ([1800.0, side * 780.0, -330.0], [WHEEL[0], side * 880.0, WHEEL[1]]);
            strut(top, foot, [30.0, 22.0], [1.0, 0.0, 0.0], 2.4)
        })
        .into()
}

fn wheels() -> Vec<Mesh> {
    let profile: Vec<[f64; 2]> = (0..=24)
        .map(|i| {
            let angle = std::f64::consts::PI * f64::from(i) / 24.0;
            [60.0 - 60.0 * angle.cos(), 124.0 + 66.0 * angle.sin()]
        })
        .collect();
    [1.0, -1.0].map(|side| turned([WHEEL[0], side * 890.0 - 60.0, WHEEL[1]], [0.0, 1.0, 0.0], &profile, 72)).into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids::volume;

    #[test]
    fn every_part_is_closed_and_faces_out() {
        let parts = parts().unwrap();
        for part in parts.iter().chain(&[pole([0.0; 3], [0.0, 0.0, 1.0])]) {
            assert!(volume(&part.mesh) > 0.0, "{:?} has volume {}", part.kind, volume(&part.mesh));
        }
        let blade = blade(0.3);
        assert!(volume(&blade) > 0.0);
    }
}
