//! Masses in space: parts with their ranges, and what many of them make together.
//!
//! Ranges are carried through as bounds: every mass may lie anywhere in its range, whatever the others do.
//! - A centre is a weighted mean. It grows with every place and, one mass at a time, goes one way with every mass; so it is
//!   furthest aft with all places aft, all masses behind it heavy and all ahead of it light. That split is found exactly.
//! - A moment of inertia about the common centre, Σ m (k² + r²) - (Σ m r)² / Σ m, grows with every mass: its derivative by a mass is
//!   k² plus the square of that mass's distance from the centre. With places known exactly its ends are those with all masses light and
//!   all heavy. With places in ranges what is given are bounds that may be wider than need be.

use super::MassError;
use crate::laminate::Span;
use form::space::{Vector, add, times, unit};

/// Symmetric: xx, yy, zz, xy, xz, yz.
pub type Tensor = [f64; 6];

/// A lump of mass with its ranges.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What it is.
    pub name: String,
    /// Its mass, grams.
    pub mass: Span,
    /// Its centre, mm.
    pub centre: [Span; 3],
    /// Mean of the squares and products of the distances of its mass from its own centre, mm²; all 0 for a point.
    pub spread: Tensor,
}

impl Part {
    /// A point mass at an exact place.
    pub fn point(name: impl Into<String>, mass: Span, at: Vector) -> Self {
        Self { name: name.into(), mass, centre: at.map(Span::exact), spread: [0.0; 6] }
    }

    /// The same, with its centre known only within so many mm along every axis.
    #[must_use]
    pub fn within(mut self, mm: f64) -> Self {
        self.centre = self.centre.map(|c| Span::new(c.low - mm.abs(), c.likely, c.high + mm.abs()));
        self
    }

    fn check(&self) -> Result<(), MassError> {
        let ordered = |s: &Span| s.low <= s.likely && s.likely <= s.high && s.low.is_finite() && s.high.is_finite();
        let sound = self.mass.is_at_least(0.0) && self.centre.iter().all(ordered);
        if sound && self.spread.iter().all(|v| v.is_finite()) {
            Ok(())
        } else {
            Err(MassError::Part { name: self.name.clone() })
        }
    }
}

/// Sums over mass: mass, first and second moments about the origin.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sums {
    pub(crate) mass: f64,
    first: Vector,
    second: Tensor,
}

impl Sums {
    pub(crate) fn add(&mut self, mass: f64, [x, y, z]: Vector) {
        self.mass += mass;
        self.first = add(self.first, times([x, y, z], mass));
        let products = [x * x, y * y, z * z, x * y, x * z, y * z];
        self.second.iter_mut().zip(products).for_each(|(sum, p)| *sum += mass * p);
    }

    /// A mass spread about its centre.
    pub(crate) fn add_spread(&mut self, mass: f64, centre: Vector, spread: &Tensor) {
        self.add(mass, centre);
        self.second.iter_mut().zip(spread).for_each(|(sum, s)| *sum += mass * s);
    }

    /// Centre and spread about it; `None` without mass.
    pub(crate) fn centred(&self) -> Option<(Vector, Tensor)> {
        if self.mass <= 0.0 {
            return None;
        }
        let c = times(self.first, 1.0 / self.mass);
        let products = [c[0] * c[0], c[1] * c[1], c[2] * c[2], c[0] * c[1], c[0] * c[2], c[1] * c[2]];
        let mut spread = self.second.map(|s| s / self.mass);
        spread.iter_mut().zip(products).for_each(|(s, p)| *s -= p);
        Some((c, spread))
    }
}

/// Mass, centre and moments of inertia of many parts together.
#[derive(Clone, Debug, PartialEq)]
pub struct MassProperties {
    /// Mass, grams.
    pub mass: Span,
    /// Centre, mm.
    pub centre: [Span; 3],
    /// Moments of inertia about the axes through the centre along x, y and z, g mm².
    pub inertia: [Span; 3],
    /// Likely products of inertia ∫xy, ∫xz, ∫yz about the centre, g mm².
    pub products: [f64; 3],
}

impl MassProperties {
    /// What the parts make together.
    ///
    /// # Errors
    /// A part's ranges are none, or all parts together have no mass.
    pub fn of(parts: &[Part]) -> Result<Self, MassError> {
        parts.iter().try_for_each(Part::check)?;
        let mass: Span = parts.iter().map(|p| p.mass).sum();
        let likely = sums(parts, |s| s.likely);
        let (centre, spread) = likely.centred().ok_or(MassError::NoMass)?;
        let exact = [0, 1, 2].map(|k| {
            let ends = extremes(parts, k);
            Span::new(ends[0].min(centre[k]), centre[k], ends[1].max(centre[k]))
        });
        let products = [spread[3], spread[4], spread[5]].map(|s| s * likely.mass);
        Ok(Self { mass, inertia: inertia(parts, &exact, &likely)?, centre: exact, products })
    }

    /// All of it as one part.
    pub fn part(&self, name: impl Into<String>) -> Part {
        let per = |v: f64| if self.mass.likely > 0.0 { v / self.mass.likely } else { 0.0 };
        let [xx, yy, zz] = self.inertia.map(|i| per(i.likely));
        let [xy, xz, yz] = self.products.map(per);
        let spread = [0.5 * (yy + zz - xx), 0.5 * (zz + xx - yy), 0.5 * (xx + yy - zz), xy, xz, yz];
        Part { name: name.into(), mass: self.mass, centre: self.centre, spread }
    }
}

fn sums(parts: &[Part], mass: impl Fn(&Span) -> f64) -> Sums {
    let mut out = Sums::default();
    for part in parts {
        out.add_spread(mass(&part.mass), part.centre.map(|c| c.likely), &part.spread);
    }
    out
}

/// Least and greatest weighted mean along an axis, exactly: sorted along it, the masses on one side of the mean are light and those on
/// the other heavy, and only as many splits exist as there are parts.
fn extremes(parts: &[Part], axis: usize) -> [f64; 2] {
    let end = |greatest: bool| {
        let place = |p: &Part| if greatest { p.centre[axis].high } else { -p.centre[axis].low };
        let mut sorted: Vec<(f64, Span)> = parts.iter().map(|p| (place(p), p.mass)).collect();
        sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mean = |split: usize| {
            let weight = |(i, (_, m)): (usize, &(f64, Span))| if i < split { m.low } else { m.high };
            let (mass, moment) = sorted.iter().enumerate().fold((0.0, 0.0), |(mass, moment), (i, it)| {
                let m = weight((i, it));
                (mass + m, moment + m * it.0)
            });
            if mass > 0.0 { moment / mass } else { f64::NEG_INFINITY }
        };
        let best = (0..=sorted.len()).map(mean).fold(f64::NEG_INFINITY, f64::max);
        if greatest { best } else { -best }
    };
    [end(false), end(true)]
}

/// Which of the spreads make up the moment about each axis.
const ABOUT: [[usize; 2]; 3] = [[1, 2], [0, 2], [0, 1]];

fn inertia(parts: &[Part], centre: &[Span; 3], likely: &Sums) -> Result<[Span; 3], MassError> {
    let about =
        |s: &Sums| s.centred().map_or([0.0; 3], |(_, spread)| ABOUT.map(|[a, b]| s.mass * (spread[a] + spread[b])));
    let (middle, light, heavy) = (about(likely), sums(parts, |s| s.low), sums(parts, |s| s.high));
    let exact = parts.iter().flat_map(|p| &p.centre).all(|c| c.low == c.high);
    let ends: [[f64; 3]; 2] = if exact {
        [about(&light), about(&heavy)]
    } else {
        let reference = heavy.centred().ok_or(MassError::NoMass)?.0.map(Span::exact);
        [bound(parts, centre, |s| s.low, nearest), bound(parts, &reference, |s| s.high, furthest)]
    };
    Ok([0, 1, 2].map(|k| Span::new(ends[0][k].min(middle[k]), middle[k], ends[1][k].max(middle[k]))))
}

/// Σ m (k² + r²) with distances from a centre as near, or as far, as the ranges allow.
fn bound(parts: &[Part], centre: &[Span; 3], mass: impl Fn(&Span) -> f64, r: impl Fn(Span, Span) -> f64) -> [f64; 3] {
    ABOUT.map(|axes| {
        let of = |p: &Part| axes.iter().map(|&a| p.spread[a] + r(p.centre[a], centre[a]).powi(2)).sum::<f64>();
        parts.iter().map(|p| mass(&p.mass) * of(p)).sum()
    })
}

fn nearest(a: Span, b: Span) -> f64 {
    (a.low - b.high).max(b.low - a.high).max(0.0)
}

fn furthest(a: Span, b: Span) -> f64 {
    (a.high - b.low).abs().max((b.high - a.low).abs())
}

/// A flat ring: its edge's middle, the unit normal of its plane, radii, mm, and its mass.
pub fn ring_part(name: impl Into<String>, mass: Span, centre: Vector, normal: Vector, radii: [f64; 2]) -> Part {
    // Mean of r² over an annulus is (R² + r²) / 2, half of it along each of two axes in its plane (handbook formula, from memory).
    let along = 0.25 * (radii[0] * radii[0] + radii[1] * radii[1]);
    let [a, b, c] = unit(normal);
    let spread = [1.0 - a * a, 1.0 - b * b, 1.0 - c * c, -a * b, -a * c, -b * c].map(|s| s * along);
    Part { name: name.into(), mass, centre: centre.map(Span::exact), spread }
}
