//! A strip of the surface along a control line, infinitely narrow: where a view shows it, and the sum of its normals.

use crate::openings::target::Target;
use crate::seen::Spot;
use crate::space::{Vector, cross, length};
use geometry::control::Half;
use geometry::control_line::ControlLine;
use geometry::quadrature::gauss8;
use geometry::section::SurfacePlace;
use project::opening::Seen;
use project::photograph::Side;

/// An area and the sum of the normals on it, each times its area: (area, x, y, z).
pub(super) type Sum = [f64; 4];

/// Adds a share of one sum to another.
pub(super) fn add_share(to: &mut Sum, of: &Sum, share: f64) {
    to.iter_mut().zip(of).for_each(|(to, of)| *to += share * of);
}

/// A run of one half on one side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cell {
    pub(super) half: Half,
    pub(super) run: usize,
    pub(super) side: Side,
}

impl Cell {
    pub(super) fn of(spot: &Spot) -> Self {
        Self { half: spot.half, run: spot.run, side: spot.side }
    }
}

/// The surface of a form under a view.
#[derive(Clone, Debug)]
pub(super) struct Body<'a> {
    pub(super) target: &'a Target<'a>,
    pub(super) seen: Seen,
    /// Stations at which it is only piecewise smooth.
    breaks: Vec<f64>,
    /// It stands upright in front: there sums run over the root of the station.
    upright: bool,
}

/// A strip of it.
#[derive(Clone, Debug)]
pub(super) struct Strip<'a> {
    body: &'a Body<'a>,
    pub(super) line: ControlLine<'a>,
    sign: f64,
}

/// A place of a strip in the view, with its derivatives by the station and by the fraction.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seat {
    pub(super) p: [f64; 2],
    pub(super) by_x: [f64; 2],
    pub(super) by_fraction: [f64; 2],
}

impl<'a> Body<'a> {
    pub(super) fn new(target: &'a Target<'a>, seen: Seen) -> Self {
        let lines = target.loft().lines();
        let upright = [&lines.crown, &lines.keel, &lines.breadth].iter().any(|line| line.is_upright(true));
        Self { target, seen, breaks: target.loft().x_breaks(), upright }
    }

    pub(super) fn strip(&self, cell: &Cell, fraction: f64) -> Strip<'_> {
        let line = self.target.loft().control_line(cell.half, cell.run, fraction);
        Strip { body: self, line, sign: if cell.side == Side::Port { -1.0 } else { 1.0 } }
    }
}

impl Strip<'_> {
    /// Where it is at a station.
    pub(super) fn point(&self, x: f64) -> Vector {
        self.carried(x, &self.line.at(x)).0
    }

    /// Where the view shows it at a station.
    pub(super) fn seat(&self, x: f64) -> Seat {
        self.seat_of(x, &self.line.at(x))
    }

    /// Where the view shows a place of its line.
    pub(super) fn seat_of(&self, x: f64, place: &SurfacePlace) -> Seat {
        let (point, by_x, by_fraction) = self.carried(x, place);
        let [a, b] = self.body.seen.axes();
        let flat = |v: Vector| [v[a], v[b]];
        Seat { p: flat(point), by_x: flat(by_x), by_fraction: flat(by_fraction) }
    }

    fn carried(&self, x: f64, place: &SurfacePlace) -> (Vector, Vector, Vector) {
        let of = |x: f64, [y, z]: [f64; 2]| [x, self.sign * y, z];
        (of(x, place.p), of(1.0, place.by_x), of(0.0, place.by_fraction))
    }

    /// The outward normal at a station, as long as the area of a patch of 1 mm by a whole fraction.
    pub(super) fn normal(&self, x: f64) -> Vector {
        let place = self.line.at(x);
        let ([fy, fz], [xy, xz]) = (place.by_fraction, place.by_x);
        let [nx, ny, nz] = cross([1.0, xy, xz], [0.0, fy, fz]);
        [nx, self.sign * ny, nz]
    }

    /// The sum of its normals from a station to another one, negative where that lies ahead: by Gauss's rule between the places where
    /// the body is only piecewise smooth.
    pub(super) fn sum(&self, from: f64, to: f64) -> Sum {
        let (low, high, sign) = if from <= to { (from, to, 1.0) } else { (to, from, -1.0) };
        let mut out = [0.0; 4];
        let mut at = low;
        for next in self.body.breaks.iter().copied().filter(|x| *x > low && *x < high).chain([high]) {
            self.add_piece([at, next], sign, &mut out);
            at = next;
        }
        out
    }

    fn add_piece(&self, [from, to]: [f64; 2], sign: f64, sum: &mut Sum) {
        let low = self.body.target.loft().x_range().0;
        let root = |x: f64| if self.body.upright { (x - low).max(0.0).sqrt() } else { x };
        let (a, b) = (root(from), root(to));
        for &(node, weight) in &gauss8().nodes {
            let r = a + (b - a) * node;
            let (x, slope) = if self.body.upright { (low + r * r, 2.0 * r) } else { (r, 1.0) };
            let normal = self.normal(x);
            let [nx, ny, nz] = normal;
            add_share(sum, &[length(normal), nx, ny, nz], sign * weight * (b - a) * slope);
        }
    }
}
