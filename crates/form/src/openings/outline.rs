//! The outline of an opening as a closed curve in its view.
//!
//! It consists of pieces: straight, arcs of ellipses, cubics. Its parameter u runs from 0 to the number of pieces; at whole numbers
//! one piece ends and the next begins. It runs round from the view's first place towards its second, so that its area is positive.
//! A drawn outline without corners is the periodic cubic spline through its points by chord length; with corners it is, from each to
//! the next, the open one with not-a-knot ends (straight between two points).

mod piece;

pub use piece::CurvePlace;

use geometry::crossing::self_crossings;
use geometry::spline::{End, Parameter, Spline, SplineError};
use piece::{Piece, cross};
use project::opening::{Outline, OutlinePoint, Seen};
use std::f64::consts::{FRAC_PI_2, TAU};

type Flat = [f64; 2];

/// Why an outline is none.
#[derive(Clone, Debug, PartialEq)]
pub enum OutlineError {
    /// No curve passes through the points.
    NoCurve(SplineError),
    /// It encloses nothing.
    NoArea,
}

impl std::fmt::Display for OutlineError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoCurve(why) => write!(f, "no curve passes through its points: {why}"),
            Self::NoArea => write!(f, "its outline encloses nothing"),
        }
    }
}

impl std::error::Error for OutlineError {}

/// A closed curve in a view, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineCurve {
    pieces: Vec<Piece>,
    /// (u, place) of a polygon within [`FLAT`] of the curve.
    flat: Vec<(f64, Flat)>,
    area: f64,
}

/// How closely the polygon that is kept follows the curve, mm.
const FLAT: f64 = 0.01;
/// An outline of less area, mm², encloses nothing.
const LEAST_AREA: f64 = 1e-6;

impl OutlineCurve {
    /// The curve of an outline.
    ///
    /// # Errors
    /// Points that no curve passes through, or nothing enclosed.
    pub fn of(outline: &Outline) -> Result<Self, OutlineError> {
        let pieces = match outline {
            Outline::Ellipse { centre, size, turn_deg } => ellipse(*centre, *size, *turn_deg),
            Outline::Box { centre, size, radius, turn_deg } => rounded_box(*centre, *size, *radius, *turn_deg),
            Outline::Drawn { points } => drawn(points).map_err(OutlineError::NoCurve)?,
        };
        Self::along(pieces)
    }

    fn along(mut pieces: Vec<Piece>) -> Result<Self, OutlineError> {
        let area: f64 = pieces.iter().map(Piece::area).sum();
        if !area.is_finite() || area.abs() < LEAST_AREA {
            return Err(OutlineError::NoArea);
        }
        if area < 0.0 {
            pieces = pieces.iter().rev().map(Piece::reversed).collect();
        }
        let flat = flattened(&pieces, FLAT);
        Ok(Self { pieces, flat, area: area.abs() })
    }

    /// How many pieces it has: the length of its parameter.
    pub fn pieces(&self) -> usize {
        self.pieces.len()
    }

    /// The place at a parameter; the parameter goes on round.
    pub fn at(&self, u: f64) -> CurvePlace {
        let u = u.rem_euclid(self.pieces.len() as f64);
        let i = (u as usize).min(self.pieces.len() - 1);
        self.pieces[i].at(u - i as f64)
    }

    /// The closed polygon whose chords stay within `tolerance` mm of the curve, every joint among its points; the last is not the
    /// first again.
    pub fn points(&self, tolerance: f64) -> Vec<Flat> {
        flattened(&self.pieces, tolerance).into_iter().map(|(_, p)| p).collect()
    }

    /// The parameters of those points.
    pub fn parameters(&self, tolerance: f64) -> Vec<f64> {
        flattened(&self.pieces, tolerance).into_iter().map(|(u, _)| u).collect()
    }

    /// A polygon within a hundredth of a millimetre of the curve, with the parameter of each point.
    pub fn polygon(&self) -> &[(f64, Flat)] {
        &self.flat
    }

    /// Area inside, mm², exact to rounding.
    pub fn area(&self) -> f64 {
        self.area
    }

    /// Length, mm, within about 1e-9 of it.
    pub fn girth(&self) -> f64 {
        self.pieces.iter().map(|p| p.length(0.0, 1.0)).sum()
    }

    /// The centroid of its area.
    pub fn centre(&self) -> Flat {
        let moment = self.pieces.iter().map(Piece::moment).fold([0.0; 2], |s, m| [s[0] + m[0], s[1] + m[1]]);
        moment.map(|m| m / self.area)
    }

    /// Least and greatest values of both places, within a hundredth of a millimetre.
    pub fn bounds(&self) -> [Flat; 2] {
        let all = self.flat.iter().map(|(_, p)| *p);
        all.fold([[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]], |[low, high], p| {
            [[low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]]
        })
    }

    /// Parameter of the nearest place of the curve, and how far it is, mm.
    pub fn nearest(&self, p: Flat) -> (f64, f64) {
        let start = self.nearest_on_polygon(p).0;
        self.polished(p, start)
    }

    /// Whether a place lies inside: by the polygon, and where that is in doubt by the curve itself.
    pub fn inside(&self, p: Flat) -> bool {
        let (start, far) = self.nearest_on_polygon(p);
        if far > 2.0 * FLAT {
            return self.inside_polygon(p);
        }
        let (u, _) = self.polished(p, start);
        let at = self.at(u);
        cross(at.d, [p[0] - at.p[0], p[1] - at.p[1]]) > 0.0
    }

    /// The mirror image with one of both places turned round.
    #[must_use]
    pub fn mirrored_in(&self, axis: usize) -> Self {
        let pieces: Vec<Piece> = self.pieces.iter().rev().map(|p| p.mirrored(axis).reversed()).collect();
        let flat = flattened(&pieces, FLAT);
        Self { pieces, flat, area: self.area }
    }

    /// Where it crosses itself.
    pub fn crosses_itself(&self) -> Option<Flat> {
        let mut closed: Vec<Flat> = self.flat.iter().map(|(_, p)| *p).collect();
        let first = closed.first().copied()?;
        closed.push(first);
        // It meets itself where it closes.
        self_crossings(&closed).into_iter().find(|p| (p[0] - first[0]).hypot(p[1] - first[1]) > 1e-6)
    }

    /// Whether the curve turns sharply at a joint (a whole number), by more than about a degree.
    pub fn is_corner(&self, joint: usize) -> bool {
        let n = self.pieces.len();
        let (before, after) = (self.pieces[(joint + n - 1) % n].at(1.0).d, self.pieces[joint % n].at(0.0).d);
        let size = before[0].hypot(before[1]) * after[0].hypot(after[1]);
        let along = before[0] * after[0] + before[1] * after[1];
        cross(before, after).abs() > 0.02 * size || along < 0.0
    }

    /// Whether a derivative jumps at a joint: everywhere but between quarters of an ellipse.
    pub(super) fn is_seam(&self, joint: usize) -> bool {
        let n = self.pieces.len();
        let arc = |i: usize| matches!(self.pieces[i % n], Piece::Arc { .. });
        !(arc(joint + n - 1) && arc(joint))
    }

    /// Whether another outline consists of the same kinds of pieces in the same order, so that equal parameters belong together.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        let same = |(a, b): (&Piece, &Piece)| std::mem::discriminant(a) == std::mem::discriminant(b);
        self.pieces.len() == other.pieces.len() && self.pieces.iter().zip(&other.pieces).all(same)
    }

    /// Lengths from the start to every joint, the whole length last.
    pub(super) fn lengths(&self) -> Vec<f64> {
        let mut sum = 0.0;
        let after = self.pieces.iter().map(|p| {
            sum += p.length(0.0, 1.0);
            sum
        });
        std::iter::once(0.0).chain(after).collect()
    }

    /// Length of a piece up to a parameter of its own.
    pub(super) fn length_in(&self, piece: usize, t: f64) -> f64 {
        self.pieces.get(piece).map_or(0.0, |p| p.length(0.0, t))
    }

    /// The parameter at a share of the whole length from u = 0.
    pub fn at_share(&self, share: f64) -> f64 {
        let lengths: Vec<f64> = self.pieces.iter().map(|p| p.length(0.0, 1.0)).collect();
        let mut left = share.rem_euclid(1.0) * lengths.iter().sum::<f64>();
        for (i, (piece, length)) in self.pieces.iter().zip(&lengths).enumerate() {
            if left <= *length {
                return i as f64 + at_length(piece, left, *length);
            }
            left -= length;
        }
        0.0
    }

    /// Parameter and distance of the nearest place of the polygon.
    fn nearest_on_polygon(&self, p: Flat) -> (f64, f64) {
        let mut best = (0.0, f64::INFINITY);
        for (i, (u, a)) in self.flat.iter().enumerate() {
            let (v, b) = self.flat.get(i + 1).map_or((self.pieces.len() as f64, self.flat[0].1), |n| *n);
            let (d, e) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
            let square = d[0] * d[0] + d[1] * d[1];
            let t = if square > 0.0 { ((e[0] * d[0] + e[1] * d[1]) / square).clamp(0.0, 1.0) } else { 0.0 };
            let far = (e[0] - t * d[0]).powi(2) + (e[1] - t * d[1]).powi(2);
            if far < best.1 {
                best = (u + t * (v - u), far);
            }
        }
        (best.0, best.1.sqrt())
    }

    fn inside_polygon(&self, p: Flat) -> bool {
        let mut inside = false;
        let mut a = self.flat[self.flat.len() - 1].1;
        for (_, b) in &self.flat {
            if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) {
                inside = !inside;
            }
            a = *b;
        }
        inside
    }

    /// The foot of the perpendicular near a parameter, within the piece that it lies on.
    fn polished(&self, p: Flat, start: f64) -> (f64, f64) {
        let i = (start as usize).min(self.pieces.len() - 1);
        let piece = &self.pieces[i];
        let mut t = start - i as f64;
        for _ in 0..8 {
            let at = piece.at(t);
            let square = at.d[0] * at.d[0] + at.d[1] * at.d[1];
            let along = (p[0] - at.p[0]) * at.d[0] + (p[1] - at.p[1]) * at.d[1];
            let next = (t + along / square.max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
            let step = (next - t).abs();
            t = next;
            if step < 1e-12 {
                break;
            }
        }
        let at = piece.at(t).p;
        (i as f64 + t, (p[0] - at[0]).hypot(p[1] - at[1]))
    }
}

/// The other opening of a mirrored one: from where it is seen, and its outline there.
pub fn mirror_image(seen: Seen, curve: &OutlineCurve) -> (Seen, OutlineCurve) {
    match seen {
        Seen::Ahead => (seen, curve.mirrored_in(0)),
        Seen::Above | Seen::Below => (seen, curve.mirrored_in(1)),
        Seen::Starboard => (Seen::Port, curve.clone()),
        Seen::Port => (Seen::Starboard, curve.clone()),
    }
}

/// The parameter of a piece at a length from its start.
fn at_length(piece: &Piece, length: f64, whole: f64) -> f64 {
    if whole <= 0.0 {
        return 0.0;
    }
    let mut t = length / whole;
    for _ in 0..12 {
        let speed = {
            let d = piece.at(t).d;
            d[0].hypot(d[1])
        };
        let step = (length - piece.length(0.0, t)) / speed.max(1e-12 * whole);
        t = (t + step).clamp(0.0, 1.0);
        if step.abs() < 1e-12 {
            break;
        }
    }
    t
}

fn flattened(pieces: &[Piece], tolerance: f64) -> Vec<(f64, Flat)> {
    let of = |(i, piece): (usize, &Piece)| {
        let piece = *piece;
        piece.steps(tolerance).into_iter().map(move |t| (i as f64 + t, piece.at(t).p))
    };
    pieces.iter().enumerate().flat_map(of).collect()
}

fn turned(turn_deg: f64) -> impl Fn(Flat) -> Flat {
    let (sin, cos) = turn_deg.to_radians().sin_cos();
    move |[a, b]: Flat| [a * cos - b * sin, a * sin + b * cos]
}

/// Four quarters, from the end of its first axis on.
fn ellipse(centre: Flat, size: Flat, turn_deg: f64) -> Vec<Piece> {
    let turn = turned(turn_deg);
    let axes = [turn([0.5 * size[0], 0.0]), turn([0.0, 0.5 * size[1]])];
    (0..4).map(|k| Piece::Arc { centre, axes, from: 0.25 * TAU * f64::from(k), sweep: FRAC_PI_2 }).collect()
}

/// From the middle of the side at the end of its first axis on.
fn rounded_box(centre: Flat, size: Flat, radius: f64, turn_deg: f64) -> Vec<Piece> {
    let turn = turned(turn_deg);
    let half = size.map(|s| 0.5 * s.abs());
    let r = radius.clamp(0.0, half[0].min(half[1]));
    let place = |p: Flat| {
        let p = turn(p);
        [centre[0] + p[0], centre[1] + p[1]]
    };
    let axes = [turn([r, 0.0]), turn([0.0, r])];
    let mut pieces = Vec::new();
    let line = |pieces: &mut Vec<Piece>, a: Flat, b: Flat| {
        if (b[0] - a[0]).hypot(b[1] - a[1]) > 1e-9 {
            pieces.push(Piece::Line { from: place(a), to: place(b) });
        }
    };
    let (w, h) = (half[0], half[1]);
    let sides = [
        ([w, 0.0], [w, h - r]),
        ([w - r, h], [r - w, h]),
        ([-w, h - r], [-w, r - h]),
        ([r - w, -h], [w - r, -h]),
        ([w, r - h], [w, 0.0]),
    ];
    let middles = [[w - r, h - r], [r - w, h - r], [r - w, r - h], [w - r, r - h]];
    for (k, (a, b)) in sides.into_iter().enumerate() {
        line(&mut pieces, a, b);
        if let Some(middle) = middles.get(k).filter(|_| r > 0.0) {
            let from = FRAC_PI_2 * k as f64;
            pieces.push(Piece::Arc { centre: place(*middle), axes, from, sweep: FRAC_PI_2 });
        }
    }
    pieces
}

fn drawn(points: &[OutlinePoint]) -> Result<Vec<Piece>, SplineError> {
    let at: Vec<Flat> = points.iter().map(|p| p.at).collect();
    let Some(first) = points.iter().position(|p| p.corner) else {
        let closed: Vec<Flat> = at.iter().copied().chain(at.first().copied()).collect();
        return Ok(cubics(&Spline::closed(&closed, Parameter::ChordLength)?));
    };
    let n = points.len();
    let mut pieces = Vec::new();
    let mut stretch = vec![at[first]];
    for k in 1..=n {
        let i = (first + k) % n;
        stretch.push(at[i]);
        if points[i].corner {
            match stretch[..] {
                [from, to] => pieces.push(Piece::Line { from, to }),
                _ => pieces.extend(cubics(&Spline::open(
                    &stretch,
                    Parameter::ChordLength,
                    End::NotAKnot,
                    End::NotAKnot,
                )?)),
            }
            stretch = vec![at[i]];
        }
    }
    Ok(pieces)
}

fn cubics(spline: &Spline<2>) -> Vec<Piece> {
    let (knots, points, slopes) = (spline.knots(), spline.points(), spline.slopes());
    let piece = |i: usize| {
        let h = knots[i + 1] - knots[i];
        Piece::hermite(points[i], slopes[i].map(|m| h * m), points[i + 1], slopes[i + 1].map(|m| h * m))
    };
    (0..points.len().saturating_sub(1)).map(piece).collect()
}

#[cfg(test)]
mod tests;
