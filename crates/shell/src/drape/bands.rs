//! The rows of an outside, from its foremost to its rearmost place: faces, stretches of the body, points.
//!
//! The first parameter runs by one over every band. It is divided, like the second, so finely that polynomial patches follow the
//! surface.

use super::lines::{Lines, MOST_HALVINGS};
use super::patch::{POINTS, points};
use super::stretch::{Body, Row};
use form::space::{Vector, add, length, sub, times};

/// What a band is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Band {
    /// The flat face at the front, from its middle to its rim.
    FrontFace,
    /// A stretch of the body.
    Body(usize),
    /// The flat face at the rear, from its rim to its middle.
    RearFace,
}

/// A row at one value of the first parameter.
pub(crate) struct BandRow<'a> {
    row: Row<'a>,
    /// Drawn to this place by a share.
    drawn: Option<(Vector, f64)>,
}

impl BandRow<'_> {
    pub(crate) fn place(&self, run: usize, fraction: f64) -> Vector {
        let p = self.row.place(run, fraction);
        match self.drawn {
            Some((to, share)) => add(p, times(sub(to, p), share)),
            None => p,
        }
    }

    pub(crate) fn normal(&self, run: usize, fraction: f64) -> Vector {
        self.row.normal(run, fraction)
    }
}

/// The bands of a body.
pub(crate) struct Bands<'a> {
    pub(crate) body: &'a Body<'a>,
    pub(crate) bands: Vec<Band>,
    /// Ends of the body that are points.
    pub(crate) points: [bool; 2],
}

impl<'a> Bands<'a> {
    pub(crate) fn new(body: &'a Body<'a>, closed: [bool; 2]) -> Option<Self> {
        let last = body.stretches.len() - 1;
        let points = [body.row(0, 0.0)?.is_point(), body.row(last, 1.0)?.is_point()];
        let face = |end: usize, band: Band| (closed[end] && !points[end]).then_some(band);
        let stretches = (0..=last).map(Band::Body);
        let bands = face(0, Band::FrontFace).into_iter().chain(stretches).chain(face(1, Band::RearFace)).collect();
        Some(Self { body, bands, points })
    }

    /// The row at a share of a band.
    pub(crate) fn row(&self, band: usize, share: f64) -> Option<BandRow<'a>> {
        let last = self.body.stretches.len() - 1;
        let (stretch, at, towards) = match *self.bands.get(band)? {
            Band::FrontFace => (0, 0.0, Some(1.0 - share)),
            Band::RearFace => (last, 1.0, Some(share)),
            Band::Body(k) => {
                let at_point =
                    (k == 0 && share == 0.0 && self.points[0]) || (k == last && share == 1.0 && self.points[1]);
                (k, share, at_point.then_some(1.0))
            }
        };
        let row = self.body.row(stretch, at)?;
        let drawn = towards.map(|share| (self.middle(&row, band), share));
        Some(BandRow { row, drawn })
    }

    /// The middle of a face, or a point as it lies once the coat is off.
    fn middle(&self, row: &Row<'_>, band: usize) -> Vector {
        let [x, y, z] = row.middle();
        match self.bands[band] {
            Band::Body(0) if x < self.body.stretches[0].to && self.points[0] && x <= self.body.stretches[0].from => {
                [x + self.body.taken_off, y, z]
            }
            Band::Body(_) => [x - self.body.taken_off, y, z],
            Band::FrontFace | Band::RearFace => {
                let p = row.place(0, 0.0);
                [p[0], y, z]
            }
        }
    }

    /// Where the first parameter is divided, so that polynomials follow the surface along the body within about `close` mm.
    pub(crate) fn first_lines(&self, basis: &[[f64; POINTS]; POINTS], close: f64) -> Option<Lines> {
        let mut lines = vec![0.0];
        for band in 0..self.bands.len() {
            let miss = |a: f64, b: f64| {
                let rows = |t: f64| self.row(band, 0.5 * (a + b) + 0.5 * (b - a) * t);
                worst(&rows, &self.samples(), basis)
            };
            halve(&miss, (0.0, 1.0), close, MOST_HALVINGS - 1, &mut lines, band as f64)?;
        }
        Some(Lines::new(lines))
    }

    /// The same across the body, over all runs of the starboard half.
    pub(crate) fn second_lines(&self, basis: &[[f64; POINTS]; POINTS], close: f64) -> Option<Lines> {
        let shares = [0.03, 0.3, 0.7, 1.0];
        let rows: Vec<BandRow<'_>> =
            (0..self.bands.len()).flat_map(|band| shares.map(|share| self.row(band, share))).collect::<Option<_>>()?;
        let mut lines = vec![0.0];
        for run in 0..self.body.runs.len() {
            let miss = |a: f64, b: f64| {
                let at = |row: &BandRow<'_>, t: f64| row.place(run, 0.5 * (a + b) + 0.5 * (b - a) * t);
                Some(rows.iter().map(|row| off(&|t| at(row, t), basis)).fold(0.0, f64::max))
            };
            halve(&miss, (0.0, 1.0), close, MOST_HALVINGS, &mut lines, run as f64)?;
        }
        Some(Lines::new(lines))
    }

    /// Places across the body at which it is compared along it.
    fn samples(&self) -> Vec<(usize, f64)> {
        (0..self.body.runs.len()).flat_map(|run| [0.0, 0.3, 0.65, 1.0].map(|f| (run, f))).collect()
    }
}

/// Halves an interval until what a polynomial misses is close; its end, and those between, are added to `lines`.
fn halve(
    miss: &impl Fn(f64, f64) -> Option<f64>,
    (a, b): (f64, f64),
    close: f64,
    depth: u32,
    lines: &mut Vec<f64>,
    base: f64,
) -> Option<()> {
    if depth > 0 && miss(a, b)? > close {
        let middle = 0.5 * (a + b);
        halve(miss, (a, middle), close, depth - 1, lines, base)?;
        return halve(miss, (middle, b), close, depth - 1, lines, base);
    }
    lines.push(base + b);
    Some(())
}

/// Values of a polynomial between its points, by its values there.
fn between(values: &[Vector; POINTS], basis: &[[f64; POINTS]; POINTS], t: f64) -> Vector {
    let mut out = [0.0; 3];
    for row in basis.iter().rev() {
        let coefficient = |c: usize| row.iter().zip(values).map(|(b, v)| b * v[c]).sum::<f64>();
        out = std::array::from_fn(|c| out[c] * t + coefficient(c));
    }
    out
}

/// What a polynomial through a curve's values misses of it between the points, from -1 to 1, mm.
fn off(curve: &impl Fn(f64) -> Vector, basis: &[[f64; POINTS]; POINTS]) -> f64 {
    let at = points();
    let values = at.map(curve);
    let middles = at.windows(2).map(|w| 0.5 * (w[0] + w[1]));
    middles.map(|t| length(sub(curve(t), between(&values, basis, t)))).fold(0.0, f64::max)
}

/// The same for many curves along the rows.
fn worst<'a>(
    rows: &impl Fn(f64) -> Option<BandRow<'a>>,
    samples: &[(usize, f64)],
    basis: &[[f64; POINTS]; POINTS],
) -> Option<f64> {
    let at = points();
    let nodes: Vec<BandRow<'_>> = at.iter().map(|t| rows(*t)).collect::<Option<_>>()?;
    let mut worst = 0.0_f64;
    for w in at.windows(2) {
        let t = 0.5 * (w[0] + w[1]);
        let row = rows(t)?;
        for &(run, f) in samples {
            let values = std::array::from_fn(|k| nodes[k].place(run, f));
            worst = worst.max(length(sub(row.place(run, f), between(&values, basis, t))));
        }
    }
    Some(worst)
}
