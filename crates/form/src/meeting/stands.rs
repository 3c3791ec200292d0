//! How an added form stands to the first where their skins do not meet.

use super::placed::Placed;
use crate::space::{Vector, length, sub};
use geometry::loft::Loft;

/// How an added form stands to the first one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stands {
    /// Their skins meet.
    Meets,
    /// It is beside the first form.
    Free {
        /// Distance between the nearest of some places of both, mm: somewhat more than between the skins.
        gap: f64,
    },
    /// It is wholly within the first form.
    Sunk,
    /// The first form is wholly within it.
    Around,
}

/// Stations and places round at which is looked.
const STATIONS: u32 = 16;
const ROUND: f64 = 0.2;

/// How two forms stand whose skins do not meet.
pub(super) fn stands(first: &Loft, added: &Loft, placed: &Placed) -> Stands {
    let [first_places, added_places] = [first, added].map(places);
    let added_in_first: Vec<Vector> = added_places.iter().map(|p| placed.to_first(*p)).collect();
    if added_in_first.iter().any(|p| holds(first, *p)) {
        return Stands::Sunk;
    }
    if first_places.iter().any(|p| holds(added, placed.to_own(*p))) {
        return Stands::Around;
    }
    let nearest = |p: &Vector| first_places.iter().map(|q| length(sub(*p, *q))).fold(f64::INFINITY, f64::min);
    Stands::Free { gap: added_in_first.iter().map(nearest).fold(f64::INFINITY, f64::min) }
}

/// Places all over a form.
fn places(loft: &Loft) -> Vec<Vector> {
    let (low, high) = loft.x_range();
    let at = |k: u32| low + (high - low) * (f64::from(k) + 0.5) / f64::from(STATIONS);
    let round = |x: f64| {
        let size = loft.section(x).map_or(1.0, |s| s.breadth().max(s.crown() - s.keel()));
        let half = loft.section(x).map(|s| s.polyline(ROUND * 0.1 * size.max(1e-6))).unwrap_or_default();
        half.into_iter().flat_map(move |p| [[x, p[0], p[1]], [x, -p[0], p[1]]])
    };
    (0..STATIONS).flat_map(|k| round(at(k))).collect()
}

/// Whether a place lies in a form.
fn holds(loft: &Loft, [x, y, z]: Vector) -> bool {
    let (low, high) = loft.x_range();
    if x < low || x > high {
        return false;
    }
    loft.section(x).is_some_and(|section| within(&section.polyline(0.05), [y.abs(), z]))
}

/// Whether a half section, closed along the centre plane, holds a place (even and odd crossings of a level line).
fn within(half: &[[f64; 2]], [y, z]: [f64; 2]) -> bool {
    let ends = half.iter().zip(half.iter().cycle().skip(1));
    let crossed =
        ends.filter(|(a, b)| (a[1] > z) != (b[1] > z) && y < a[0] + (z - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
    crossed.count() % 2 == 1
}
