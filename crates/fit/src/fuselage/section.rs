//! Sections of a fuselage as outlines.

use crate::outline::{Outline, apart};
use geometry::arc::CubicArc;
use geometry::conic::ConicArc;
use geometry::flatten::refine;
use project::airframe::FuselageSection;
use project::document::MeasuredSection;

/// Fullness of a conic between right-angled tangents that is a quarter of an ellipse, exactly.
const QUARTER: f64 = std::f64::consts::SQRT_2 - 1.0;

/// The outline of a section of the fuselage. Circles, ellipses and round corners are exact conic arcs, measured points are
/// joined by the same curve that a pinned control section has; chords stay within `tolerance` mm.
///
/// `None` for a section that has no curve (too few points), or no breadth or height.
pub fn outline(section: &FuselageSection, tolerance: f64) -> Option<Outline> {
    let points = match section {
        FuselageSection::Measured(measured) => measured_points(measured, tolerance)?,
        FuselageSection::Circle { diameter, centre_height } => {
            ellipse([0.5 * diameter, 0.5 * diameter], *centre_height, tolerance)?
        }
        FuselageSection::Ellipse { width, height, centre_height } => {
            ellipse([0.5 * width, 0.5 * height], *centre_height, tolerance)?
        }
        FuselageSection::RoundedBox { width, height, radius, centre_height } => {
            rounded_box([0.5 * width, 0.5 * height], *radius, *centre_height, tolerance)?
        }
    };
    Outline::new(points)
}

fn ellipse(half: [f64; 2], centre: f64, tolerance: f64) -> Option<Vec<[f64; 2]>> {
    rounded(half, half, centre, tolerance)
}

fn rounded_box(half: [f64; 2], radius: f64, centre: f64, tolerance: f64) -> Option<Vec<[f64; 2]>> {
    let radius = radius.min(half[0]).min(half[1]).max(0.0);
    rounded(half, [radius; 2], centre, tolerance)
}

/// A box with quarter ellipses of these half axes at its corners.
fn rounded(half: [f64; 2], corner: [f64; 2], centre: f64, tolerance: f64) -> Option<Vec<[f64; 2]>> {
    let [b, h] = half;
    if !(b > 0.0 && h > 0.0) {
        return None;
    }
    let mut out = vec![[0.0, centre + h]];
    for up in [1.0, -1.0] {
        let (level, side) = ([b - corner[0], centre + up * h], [b, centre + up * (h - corner[1])]);
        let (from, to) = if up > 0.0 { (level, side) } else { (side, level) };
        push(&mut out, from);
        let arc = ConicArc::new(from, [b, centre + up * h], to, QUARTER);
        if corner[0] > 0.0 {
            refine(&|t| arc.jet(t).p, 0.0, 1.0, tolerance, &mut out);
        } else {
            push(&mut out, [b, centre + up * h]);
        }
    }
    push(&mut out, [0.0, centre - h]);
    Some(out)
}

fn push(out: &mut Vec<[f64; 2]>, p: [f64; 2]) {
    if out.last().is_none_or(|q| apart(*q, p) > 1e-9) {
        out.push(p);
    }
}

fn measured_points(measured: &MeasuredSection, tolerance: f64) -> Option<Vec<[f64; 2]>> {
    if !measured.has_shape() {
        return None;
    }
    let curve = project::measured::curve(measured)?;
    let arcs: &[CubicArc] = curve.arcs();
    let mut out = vec![arcs.first()?.jet(0.0).p];
    arcs.iter().for_each(|a| refine(&|t| a.jet(t).p, 0.0, 1.0, tolerance, &mut out));
    Some(out)
}
