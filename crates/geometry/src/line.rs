//! A master line: a spline through points that rises in x, read as a height (or half-breadth) at a station.
//!
//! ```text
//!   value ^        .--o-----o---.
//!         |     o'               'o
//!         |   /                     corner
//!         |  o  upright end          o----o
//!         +---------------------------------> x
//! ```
//!
//! Smooth points form one parametric cubic spline by chord length; a corner or a set slope begins a new one. A piece with
//! an upright end is of another kind (see `piece.rs`). The height at a station is found by solving x(t) = x.

use crate::edge::EdgeRound;
use crate::piece::Piece;
use crate::spline::{Jet, SplineError, curvature2};
use thiserror::Error;

/// How a line passes through a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pass {
    /// Smooth in slope and curvature.
    Smooth,
    /// Breaks here.
    Corner,
    /// Smooth, with this slope in degrees above level, rising aft.
    Slope(f64),
}

/// A point of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinePoint {
    /// Distance aft of the datum, mm.
    pub x: f64,
    /// Height or half-breadth, mm.
    pub value: f64,
    /// How the line passes.
    pub pass: Pass,
}

/// How a line leaves an end that has no set slope.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LineEnd {
    /// Not-a-knot.
    #[default]
    Free,
    /// Without curvature.
    Natural,
    /// Without slope in x.
    Upright,
}

/// Why a line could not be made.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum LineError {
    /// Fewer than two points.
    #[error("a line needs at least two points, this one has {0}")]
    TooFew(usize),
    /// A point does not lie aft of the one before it.
    #[error("point {n} does not lie aft of the point before it", n = .0 + 1)]
    NotRising(usize),
    /// A coordinate is not a finite number.
    #[error("point {n} has a coordinate that is not a finite number", n = .0 + 1)]
    NotFinite(usize),
}

impl From<SplineError> for LineError {
    fn from(e: SplineError) -> Self {
        match e {
            SplineError::TooFew { given, .. } => Self::TooFew(given),
            SplineError::Coincident(i) => Self::NotRising(i + 1),
            SplineError::NotFinite(i) => Self::NotFinite(i),
        }
    }
}

/// A line read at a station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineValue {
    /// Height or half-breadth, mm.
    pub value: f64,
    /// d value / dx; very large, but finite, where the line stands upright.
    pub slope: f64,
}

/// A master line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    points: Vec<LinePoint>,
    pieces: Vec<Piece>,
    /// At the front and at the rear.
    rounds: [Option<EdgeRound>; 2],
}

/// Which way the inside of the body lies from a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Inside {
    /// Below a crown, or nearer to the centre plane than a breadth line.
    Below,
    /// Above a keel.
    Above,
}

/// Where slopes would be infinite they are held to this, so that products with zero stay zero.
pub(crate) const STEEPEST: f64 = 1e12;

impl Line {
    /// The line through `points` (x strictly rising).
    ///
    /// # Errors
    /// Fewer than two points, x not rising, coordinates that are not finite.
    pub fn new(points: &[LinePoint], front: LineEnd, rear: LineEnd) -> Result<Self, LineError> {
        check(points)?;
        let last = points.len() - 1;
        let inner = (1..last).filter(|&i| points[i].pass != Pass::Smooth);
        let breaks: Vec<usize> = std::iter::once(0).chain(inner).chain([last]).collect();
        let piece = |w: &[usize]| {
            let xy: Vec<[f64; 2]> = points[w[0]..=w[1]].iter().map(|p| [p.x, p.value]).collect();
            let start = (points[w[0]].pass, if w[0] == 0 { front } else { LineEnd::Free });
            let end = (points[w[1]].pass, if w[1] == last { rear } else { LineEnd::Free });
            Piece::new(&xy, start, end)
        };
        let pieces = breaks.windows(2).map(piece).collect::<Result<_, _>>()?;
        Ok(Self { points: points.to_vec(), pieces, rounds: [None; 2] })
    }

    /// The line with the edges of its flat ends rounded by these radii, mm (0 leaves an end sharp); `None` where a radius
    /// finds no room: it may take at most half of the line, and an end that is upright already has no edge.
    #[must_use]
    pub fn rounded(&self, inside: Inside, front: f64, rear: f64) -> Option<Self> {
        let (low, high) = self.range();
        let sign = if inside == Inside::Below { -1.0 } else { 1.0 };
        let room = 0.5 * (high - low);
        let round = |face: f64, aft: f64, radius: f64| {
            if radius <= 0.0 {
                return Some(None);
            }
            EdgeRound::new(face, aft, sign, radius, room, &|x| self.at(x)).map(Some)
        };
        let rounds = [round(low, 1.0, front)?, round(high, -1.0, rear)?];
        Some(Self { rounds, ..self.clone() })
    }

    /// The points it runs through.
    pub fn points(&self) -> &[LinePoint] {
        &self.points
    }

    /// First and last x, mm.
    pub fn range(&self) -> (f64, f64) {
        (self.points[0].x, self.points[self.points.len() - 1].x)
    }

    /// x of every point, and of the places where rounded edges begin: between two neighbours the line is one analytic curve.
    pub fn breaks(&self) -> impl Iterator<Item = f64> + '_ {
        self.points.iter().map(|p| p.x).chain(self.rounds.iter().flatten().map(EdgeRound::touch))
    }

    /// Value and slope at `x`; beyond an end the line runs on straight along its end tangent (level where it ends
    /// upright).
    pub fn at(&self, x: f64) -> LineValue {
        let (low, high) = self.range();
        if x < low {
            return self.beyond(0, 0.0, &self.pieces[0], x);
        }
        if x > high {
            return self.beyond(1, 1.0, &self.pieces[self.pieces.len() - 1], x);
        }
        if let Some(round) = self.rounds.iter().flatten().find(|r| r.holds(x)) {
            return round.at(x);
        }
        let piece = &self.pieces[self.piece_of(x)];
        value_at(piece, piece.parameter_at(x))
    }

    fn beyond(&self, end: usize, t: f64, piece: &Piece, x: f64) -> LineValue {
        if let Some(round) = &self.rounds[end] {
            return LineValue { value: round.value_at_face(), slope: 0.0 };
        }
        let end = value_at(piece, t);
        let slope = if end.slope.abs() >= STEEPEST * 0.5 { 0.0 } else { end.slope };
        LineValue { value: end.value + slope * (x - piece.at(t)[0]), slope }
    }

    fn piece_of(&self, x: f64) -> usize {
        self.pieces.iter().position(|p| x <= p.at(1.0)[0]).unwrap_or(self.pieces.len() - 1)
    }

    /// First x at which the line turns back, if it does: read there, it has more than one value.
    pub fn turns_back(&self) -> Option<f64> {
        self.pieces.iter().find_map(Piece::turns_back)
    }

    /// Whether the line ends upright at the front (`true`) or rear (`false`).
    pub fn is_upright(&self, front: bool) -> bool {
        let (piece, t) = if front { (&self.pieces[0], 0.0) } else { (&self.pieces[self.pieces.len() - 1], 1.0) };
        self.rounds[usize::from(!front)].is_some() || value_at(piece, t).slope.abs() > 1e6
    }

    /// The line as a polyline (x, value) whose chords stay within `tolerance` mm of it (checked at the quarter points of
    /// each chord), with every point of the line in it.
    pub fn polyline(&self, tolerance: f64) -> Vec<[f64; 2]> {
        let mut out = vec![self.pieces[0].at(0.0)];
        for piece in &self.pieces {
            for w in piece.knots().windows(2) {
                crate::flatten::refine(&|t| piece.at(t), w[0], w[1], tolerance, &mut out);
            }
        }
        let [front, rear] = &self.rounds;
        if let Some(round) = front {
            out = self.with_edge(round, out, tolerance);
        }
        if let Some(round) = rear {
            out.reverse();
            out = self.with_edge(round, out, tolerance);
            out.reverse();
        }
        out
    }

    /// A polyline that begins at a face, with the points that the rounded edge took away replaced by its own.
    fn with_edge(&self, round: &EdgeRound, line: Vec<[f64; 2]>, tolerance: f64) -> Vec<[f64; 2]> {
        let touch = [round.touch(), self.at(round.touch()).value];
        let kept = line.into_iter().filter(|p| !round.holds(p[0]));
        round.polyline(tolerance).into_iter().chain([touch]).chain(kept).collect()
    }

    /// A comb: for `per_bay` places in every bay, position, unit normal (to the left of the way aft) and signed
    /// curvature in 1/mm.
    pub fn comb(&self, per_bay: usize) -> Vec<CombTooth> {
        let tooth = |piece: &Piece, t: f64| {
            let j = piece.jet(t);
            let speed = j.d1[0].hypot(j.d1[1]).max(f64::MIN_POSITIVE);
            CombTooth { at: j.p, normal: [-j.d1[1] / speed, j.d1[0] / speed], curvature: curvature2(j.d1, j.d2) }
        };
        let mut teeth = Vec::new();
        for piece in &self.pieces {
            for w in piece.knots().windows(2) {
                let step = (w[1] - w[0]) / per_bay as f64;
                teeth.extend((0..=per_bay).map(|i| tooth(piece, w[0] + step * i as f64)));
            }
        }
        teeth
    }

    /// The place of the line nearest to (x, value), and its distance in mm.
    pub fn nearest(&self, q: [f64; 2]) -> ([f64; 2], f64) {
        let places = self.pieces.iter().map(|p| {
            let (t, d) = p.nearest(q);
            (p.at(t), d)
        });
        places.fold(([f64::NAN; 2], f64::INFINITY), |best, next| if next.1 < best.1 { next } else { best })
    }

    /// Which piece and parameter lie at `x`, which is held to the line's range; edges are taken as sharp.
    pub(crate) fn place_at(&self, x: f64) -> Place {
        let (low, high) = self.range();
        let x = x.clamp(low, high);
        let piece = self.piece_of(x);
        Place { piece, t: self.pieces[piece].parameter_at(x) }
    }

    /// Which piece and parameter lie nearest to (x, value); edges are taken as sharp.
    pub(crate) fn place_nearest(&self, q: [f64; 2]) -> Place {
        let mut best = (f64::INFINITY, Place { piece: 0, t: 0.0 });
        for (piece, (t, apart)) in self.pieces.iter().map(|p| p.nearest(q)).enumerate() {
            if apart < best.0 {
                best = (apart, Place { piece, t });
            }
        }
        best.1
    }

    /// Position at a place of this line or of one with the same kinds of points.
    pub(crate) fn point_of(&self, place: Place) -> [f64; 2] {
        self.pieces[place.piece].at(place.t)
    }

    /// Length along the line, within `tolerance` mm.
    pub fn length(&self, tolerance: f64) -> f64 {
        let share = tolerance / self.pieces.len() as f64;
        self.pieces.iter().map(|p| p.length(share)).sum()
    }
}

/// A place of a line by its own parameter.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    piece: usize,
    t: f64,
}

/// One tooth of a curvature comb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CombTooth {
    /// (x, value), mm.
    pub at: [f64; 2],
    /// Unit normal.
    pub normal: [f64; 2],
    /// Signed curvature, 1/mm.
    pub curvature: f64,
}

fn check(points: &[LinePoint]) -> Result<(), LineError> {
    if points.len() < 2 {
        return Err(LineError::TooFew(points.len()));
    }
    if let Some(i) = points.iter().position(|p| !p.x.is_finite() || !p.value.is_finite()) {
        return Err(LineError::NotFinite(i));
    }
    match points.windows(2).position(|w| w[1].x <= w[0].x) {
        Some(i) => Err(LineError::NotRising(i + 1)),
        None => Ok(()),
    }
}

fn value_at(piece: &Piece, t: f64) -> LineValue {
    let Jet { p, d1, .. } = piece.jet(t);
    let slope = if d1[0].abs() * STEEPEST > d1[1].abs() { d1[1] / d1[0] } else { STEEPEST.copysign(d1[1]) };
    LineValue { value: p[1], slope }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn smooth(points: &[[f64; 2]]) -> Vec<LinePoint> {
        points.iter().map(|p| LinePoint { x: p[0], value: p[1], pass: Pass::Smooth }).collect()
    }

    #[test]
    fn an_upright_end_reads_like_the_circle_it_was_taken_from() {
        let points: Vec<[f64; 2]> = (0..=12)
            .map(|i| {
                let a = std::f64::consts::FRAC_PI_2 * f64::from(i) / 12.0;
                [100.0 - 100.0 * a.cos(), 100.0 * a.sin()]
            })
            .collect();
        let line = Line::new(&smooth(&points), LineEnd::Upright, LineEnd::Free).unwrap();
        for x in [0.01, 0.3, 2.0, 17.0, 63.0, 99.0] {
            let exact = f64::sqrt(100.0 * 100.0 - (100.0 - x) * (100.0 - x));
            assert!((line.at(x).value - exact).abs() < 1e-3, "x = {x}: {} against {exact}", line.at(x).value);
        }
        assert!(line.is_upright(true) && !line.is_upright(false));
        assert_eq!(line.turns_back(), None);
    }

    #[test]
    fn a_set_slope_is_kept_on_both_sides_and_a_corner_breaks() {
        let mut points = smooth(&[[0.0, 0.0], [40.0, 20.0], [80.0, 22.0], [120.0, 10.0]]);
        points[1].pass = Pass::Slope(15.0);
        points[2].pass = Pass::Corner;
        let line = Line::new(&points, LineEnd::Free, LineEnd::Free).unwrap();
        let slope = 15f64.to_radians().tan();
        assert!((line.at(40.0 - 1e-9).slope - slope).abs() < 1e-6);
        assert!((line.at(40.0 + 1e-9).slope - slope).abs() < 1e-6);
        assert!((line.at(80.0 - 1e-9).slope - line.at(80.0 + 1e-9).slope).abs() > 0.05);
    }

    #[test]
    fn a_line_that_turns_back_says_where() {
        let line =
            Line::new(&smooth(&[[0.0, 0.0], [1.0, 60.0], [2.0, 0.0], [60.0, 0.0]]), LineEnd::Free, LineEnd::Free)
                .unwrap();
        assert!(line.turns_back().is_some_and(|x| (-10.0..=60.0).contains(&x)));
    }
}
