//! Sections of a fuselage as measured points, moved out along their normals if wanted: what a control section is pinned to.
//!
//! Circles, ellipses and rounded boxes give points by closed form, with exact normals. Between the points runs the curve of
//! every measured section; with [`FINE`] it keeps within 0.01 mm of a circle, an ellipse no flatter than 1 to 4 or a box
//! whose corners have a radius up to 300 mm.

use crate::airframe::FuselageSection;
use crate::document::{MeasuredKnuckle, MeasuredSection};
use crate::measured::curve;
use geometry::measured::MeasuredCurve;
use std::f64::consts::FRAC_PI_2;

/// Points on a quarter of a primitive, fine enough to pin a section to.
pub const FINE: usize = 24;
/// Points on a quarter of a primitive, few enough to be moved by hand.
pub const COARSE: usize = 4;

/// A fuselage's section as measured points, `proud` mm out along its normals (in, if negative). A primitive gets
/// `per_quarter` of them on every curved quarter and as many as fit on its flats; measured points stay as many as they are,
/// with their knuckles. Corners are mitred.
///
/// `None` for a section without breadth or height, or where moving in leaves nothing of it.
pub fn points(section: &FuselageSection, per_quarter: usize, proud: f64) -> Option<MeasuredSection> {
    let n = per_quarter.max(2);
    match section {
        FuselageSection::Measured(measured) => moved(measured, proud),
        FuselageSection::Circle { diameter, centre_height } => {
            let r = 0.5 * diameter + proud;
            rounded_box([r, r], r, *centre_height, n)
        }
        FuselageSection::Ellipse { width, height, centre_height } => {
            ellipse([0.5 * width, 0.5 * height], proud, *centre_height, n)
        }
        FuselageSection::RoundedBox { width, height, radius, centre_height } => {
            let half = [0.5 * width + proud, 0.5 * height + proud];
            let radius = if *radius > 0.0 { (radius + proud).max(0.0) } else { 0.0 };
            rounded_box(half, radius.min(half[0]).min(half[1]), *centre_height, n)
        }
    }
}

/// Evenly by the angle of its parametric form, which sets the points closer where it bends more.
fn ellipse([a, b]: [f64; 2], proud: f64, centre: f64, n: usize) -> Option<MeasuredSection> {
    let place = |i: usize| {
        let (sin, cos) = (FRAC_PI_2 * i as f64 / n as f64).sin_cos();
        let normal = [sin * b, cos * a];
        let k = proud / normal[0].hypot(normal[1]);
        [a * sin + k * normal[0], centre + b * cos + k * normal[1]]
    };
    (a > 0.0 && b > 0.0).then(|| plain((0..=2 * n).map(place).collect())).and_then(sound)
}

/// A box with quarter circles at its corners; without them, with knuckles.
fn rounded_box([b, h]: [f64; 2], radius: f64, centre: f64, n: usize) -> Option<MeasuredSection> {
    if !(b > 0.0 && h > 0.0) {
        return None;
    }
    let (level, side) = (b - radius, 2.0 * (h - radius));
    let step = if radius > 0.0 { radius * FRAC_PI_2 / n as f64 } else { b.min(h) / n as f64 };
    let rounded = radius > 0.0;
    let mut upper: Vec<[f64; 2]> = flat(level, step, [false, rounded]).map(|y| [y, h]).collect();
    if rounded {
        upper.extend((0..=n).map(|i| {
            let (sin, cos) = (FRAC_PI_2 * i as f64 / n as f64).sin_cos();
            [level + radius * sin, h - radius + radius * cos]
        }));
    } else {
        upper.push([b, h]);
    }
    let corner = upper.len() - 1;
    let middle: Vec<[f64; 2]> =
        flat(side, step, [rounded, rounded]).filter(|z| *z > 0.0).map(|z| [b, 0.5 * side - z]).collect();
    let lower = upper.iter().rev().map(|p| [p[0], -p[1]]);
    // A circle's quarters meet where it is widest.
    let lower: Vec<[f64; 2]> = if side > 1e-9 { lower.collect() } else { lower.skip(1).collect() };
    let mut section = plain(upper.iter().chain(&middle).chain(&lower).map(|p| [p[0], p[1] + centre]).collect());
    if !rounded {
        let second = corner + middle.len() + 1;
        section.knuckles =
            vec![MeasuredKnuckle { point: corner, number: 1 }, MeasuredKnuckle { point: second, number: 2 }];
    }
    sound(section)
}

/// Places along a flat of a length, from its beginning and short of its end, closer toward an end where a corner begins: there
/// the curvature jumps, and a cubic rings over as many bays as are long.
fn flat(length: f64, step: f64, corners: [bool; 2]) -> impl Iterator<Item = f64> {
    let mut places = vec![0.0];
    let reach = 0.5 * length;
    let mut out = |from_end: bool| {
        let (mut at, mut bay) = (step, step);
        while at < reach - 0.25 * bay {
            places.push(if from_end { length - at } else { at });
            bay *= 1.6;
            at += bay;
        }
    };
    if corners[0] {
        out(false);
    }
    if corners[1] {
        out(true);
    }
    if length > 4.0 * step {
        places.push(reach);
    }
    places.retain(|at| *at < length - 1e-9);
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| (*a - *b).abs() < 0.2 * step);
    places.into_iter()
}

/// Measured points moved out along the normals of their own curve.
fn moved(measured: &MeasuredSection, proud: f64) -> Option<MeasuredSection> {
    if !measured.has_shape() {
        return None;
    }
    if proud == 0.0 {
        return Some(measured.clone());
    }
    let curve = curve(measured)?;
    let last = measured.points.len() - 1;
    let out = |(i, p): (usize, &[f64; 2])| {
        let normal = normal_at(&curve, *p);
        // A ridge on the centre plane is mitred by its mirror.
        if i == 0 || i == last {
            [0.0, p[1] + proud / normal[1].abs().max(0.2) * normal[1].signum()]
        } else {
            [(p[0] + proud * normal[0]).max(0.0), p[1] + proud * normal[1]]
        }
    };
    let points = measured.points.iter().enumerate().map(out).collect();
    sound(MeasuredSection { points, ..measured.clone() })
}

/// The outward normal at a point of the curve; at a knuckle that of the mitre, longer than 1, but no more than five times.
fn normal_at(curve: &MeasuredCurve, p: [f64; 2]) -> [f64; 2] {
    let at = |q: [f64; 2]| (q[0] - p[0]).hypot(q[1] - p[1]) < 1e-9;
    let arcs = curve.arcs();
    let leaving = arcs.iter().map(|a| a.jet(0.0)).find(|j| at(j.p));
    let arriving = arcs.iter().map(|a| a.jet(1.0)).find(|j| at(j.p));
    let unit = |v: [f64; 2]| {
        let length = v[0].hypot(v[1]).max(1e-300);
        [v[0] / length, v[1] / length]
    };
    // From crown to keel starboard lies to the left of the way, so outward is the way turned by a quarter.
    let outward = |d: [f64; 2]| unit([-d[1], d[0]]);
    let normals: Vec<[f64; 2]> = leaving.iter().chain(&arriving).map(|j| outward(j.d1)).collect();
    let sum = normals.iter().fold([0.0; 2], |s, n| [s[0] + n[0], s[1] + n[1]]);
    let middle = unit(sum);
    let cos = normals.first().map_or(1.0, |n| n[0] * middle[0] + n[1] * middle[1]);
    middle.map(|c| c / cos.max(0.2))
}

fn plain(points: Vec<[f64; 2]>) -> MeasuredSection {
    let mut points = points;
    let last = points.len().saturating_sub(1);
    for end in [0, last] {
        if let Some(p) = points.get_mut(end) {
            p[0] = 0.0;
        }
    }
    MeasuredSection::through(points)
}

fn sound(section: MeasuredSection) -> Option<MeasuredSection> {
    let keeps = section.has_shape() && crate::promise::check_measured(&section).is_ok();
    keeps.then_some(section)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Places on the curve through the points, eight to a bay.
    fn along(section: &MeasuredSection) -> Vec<[f64; 2]> {
        let curve = curve(section).unwrap();
        let arcs = curve.arcs().to_vec();
        arcs.iter().flat_map(|a| (0..=8).map(move |i| a.jet(f64::from(i) / 8.0).p)).collect()
    }

    /// Closed form: every place of the curve lies on the circle.
    #[test]
    fn a_circle_is_held_to_a_hundredth() {
        for (r, proud) in [(20.0, 0.0), (80.0, 1.1), (300.0, -2.0)] {
            let circle = FuselageSection::Circle { diameter: 2.0 * r, centre_height: 3.0 };
            let section = points(&circle, FINE, proud).unwrap();
            let off = along(&section).iter().map(|p| (p[0].hypot(p[1] - 3.0) - r - proud).abs()).fold(0.0, f64::max);
            assert!(off < 0.01, "{r} {proud}: {off}");
        }
    }

    /// Distance from an ellipse in closed form, to the first order: the implicit function over its gradient.
    #[test]
    fn an_ellipse_is_held_to_a_hundredth() {
        for (a, b) in [(60.0, 50.0), (90.0, 40.0), (25.0, 100.0)] {
            let ellipse = FuselageSection::Ellipse { width: 2.0 * a, height: 2.0 * b, centre_height: -7.0 };
            let section = points(&ellipse, FINE, 0.0).unwrap();
            for [y, z] in along(&section) {
                let (u, v) = (y / a, (z + 7.0) / b);
                let off = (u * u + v * v - 1.0) / (2.0 * (u / a).hypot(v / b));
                assert!(off.abs() < 0.01, "{a} {b}: {off} at {y} {z}");
            }
        }
    }

    /// A box with round corners is what lies `radius` around the smaller box: that distance in closed form.
    #[test]
    fn a_rounded_box_is_held_to_a_hundredth() {
        for (b, h, r, proud) in
            [(75.0, 90.0, 25.0, 0.0), (60.0, 40.0, 5.0, 0.0), (60.0, 40.0, 40.0, 1.2), (100.0, 60.0, 30.0, 2.0)]
        {
            let rounded =
                FuselageSection::RoundedBox { width: 2.0 * b, height: 2.0 * h, radius: r, centre_height: 0.0 };
            let section = points(&rounded, FINE, proud).unwrap();
            for [y, z] in along(&section) {
                let (dy, dz) = ((y - (b - r)).max(0.0), (z.abs() - (h - r)).max(0.0));
                let outside = dy.hypot(dz);
                let off =
                    if dy > 0.0 && dz > 0.0 { outside - r - proud } else { (y - b - proud).max(z.abs() - h - proud) };
                assert!(off.abs() < 0.01, "{b} {h} {r}: {off} at {y} {z}");
            }
        }
    }

    #[test]
    fn a_box_without_corner_radius_has_knuckles_and_straight_sides() {
        let sharp = FuselageSection::RoundedBox { width: 120.0, height: 100.0, radius: 0.0, centre_height: 5.0 };
        let section = points(&sharp, FINE, 1.0).unwrap();
        let at = |k: usize| section.points[section.knuckles[k].point];
        assert_eq!([at(0), at(1)], [[61.0, 56.0], [61.0, -46.0]]);
        for [y, z] in along(&section) {
            assert!((y - 61.0).abs().min((z - 56.0).abs()).min((z + 46.0).abs()) < 1e-9, "{y} {z}");
        }
    }

    /// Measured points of a circle moved out lie on a larger one; a knuckle is mitred: of a square's corner by √2.
    #[test]
    fn measured_points_move_out_along_their_normals() {
        let circle = FuselageSection::Circle { diameter: 100.0, centre_height: 0.0 };
        let measured = points(&circle, 6, 0.0).unwrap();
        let proud = points(&FuselageSection::Measured(measured), 0, 1.1).unwrap();
        assert!(proud.points.iter().all(|p| (p[0].hypot(p[1]) - 51.1).abs() < 0.005), "{proud:?}");
        let mut square = plain(vec![[0.0, 50.0], [25.0, 50.0], [50.0, 50.0], [50.0, 0.0], [50.0, -50.0], [0.0, -50.0]]);
        square.knuckles = vec![MeasuredKnuckle { point: 2, number: 1 }, MeasuredKnuckle { point: 4, number: 2 }];
        let proud = points(&FuselageSection::Measured(square), 0, 2.0).unwrap();
        let [y, z] = proud.points[2];
        assert!((y - 52.0).abs() < 1e-9 && (z - 52.0).abs() < 1e-9, "{y} {z}");
        assert_eq!(proud.points[0], [0.0, 52.0]);
    }

    #[test]
    fn what_has_no_outline_gives_nothing() {
        let flat = FuselageSection::Ellipse { width: 0.0, height: 50.0, centre_height: 0.0 };
        assert_eq!(points(&flat, FINE, 0.0), None);
        let gone = FuselageSection::Circle { diameter: 10.0, centre_height: 0.0 };
        assert_eq!(points(&gone, FINE, -6.0), None);
    }
}
