//! The plug's surface in small cells, each with its place and true normals.
//!
//! A layer under the skin keeps the skin's normals, so drafts are those of the finished skin; places and areas are those of the plug.
//! Cells follow the lines along and around the form, so that knuckles and breaks of the master lines run along their edges and each
//! side keeps its own normals.

use crate::drape::Cover;
use crate::mass::ShellSurface;
use crate::mass::surface::{Read, Stretch, read, stretches};
use form::space::{Vector, add, cross, dot, length, sub, times};
use geometry::control::Half;
use geometry::loft::Loft;

/// A place of the plug.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spot {
    /// Where it is, mm.
    pub p: Vector,
    /// Outward unit normal.
    pub n: Vector,
    /// Station of the finished skin over it, mm.
    pub station: f64,
    /// Runs of the half section passed from the crown, as a number.
    pub round: f64,
}

/// Where cells lie.
#[derive(Clone, Copy, Debug)]
enum Lies {
    /// Along a smooth stretch.
    Skin(Stretch),
    /// On a flat face at that station, its normal's x, and the height of its middle.
    Face { x: f64, ahead: f64, middle: f64 },
}

/// A range of rows or columns: from, to.
type Reach = [f64; 2];

/// A piece of the surface between two values of each of its two variables.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Piece {
    lies: Lies,
    half: Half,
    run: usize,
    first_round: f64,
    starboard: bool,
    along: Reach,
    across: Reach,
}

/// A cell.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cell {
    pub(crate) piece: Piece,
    /// In turn around it.
    pub(crate) corners: [Spot; 4],
    pub(crate) middle: Spot,
    pub(crate) area: f64,
    /// Its area under the coat by that of the skin.
    pub(crate) shrinks: f64,
    /// Row from the front and column once round, for neighbours.
    pub(crate) at: [usize; 2],
}

/// The plug's surface in cells.
#[derive(Clone, Debug)]
pub struct Survey<'a> {
    pub(crate) surface: ShellSurface<'a>,
    pub(crate) depth: f64,
    pub(crate) cells: Vec<Cell>,
    /// Columns once round.
    pub(crate) columns: usize,
    pub(crate) runs: f64,
}

/// Sampled step for differences of normals.
const STEP: f64 = 1e-4;
/// How near to the end of a piece its normals are read; at the very end a blunt point has none.
const INSIDE: f64 = 1e-6;
/// Rows from the middle of a flat face to its edge.
const FACE_ROWS: usize = 4;

impl<'a> Survey<'a> {
    /// The surface of the plug under a coat of `taken_off` mm (see `form::PlugSurface::taken_off`), where the shell covers it, in cells
    /// of about `cell` mm.
    pub fn new(loft: &'a Loft, taken_off: f64, cover: &Cover, cell: f64) -> Self {
        let surface = ShellSurface::new(loft, cover);
        let mut survey = Self { surface, depth: taken_off, cells: Vec::new(), columns: 0, runs: 0.0 };
        let columns = survey.columns(cell.max(0.1));
        survey.columns = 2 * columns.len();
        for (row, (lies, along)) in survey.rows(cell.max(0.1)).into_iter().enumerate() {
            for (column, &(half, run, first_round, across)) in columns.iter().enumerate() {
                let piece = Piece { lies, half, run, first_round, starboard: true, along, across };
                let Some(cell) = survey.cell(piece, [row, column]) else { continue };
                let port = cell.mirrored(2 * columns.len() - 1 - column);
                survey.cells.extend([cell, port]);
            }
        }
        survey
    }

    /// The loft that it was read from.
    pub fn loft(&self) -> &'a Loft {
        self.surface.loft()
    }

    /// Runs from crown to keel with their smooth parts, each divided.
    fn columns(&mut self, cell: f64) -> Vec<(Half, usize, f64, Reach)> {
        let loft = self.loft();
        let (low, high) = loft.x_range();
        let sections: Vec<_> = [0.1, 0.5, 0.9].iter().filter_map(|s| loft.section(low + s * (high - low))).collect();
        let Some(first) = sections.first() else { return Vec::new() };
        let mut out = Vec::new();
        for (i, (half, run)) in first.runs().enumerate() {
            self.runs = i as f64 + 1.0;
            for w in first.run_breaks(half, run).windows(2) {
                let at = |s: &geometry::section::Section<'_>, k: u32| {
                    s.at(half, run, w[0] + (w[1] - w[0]) * f64::from(k) / 4.0).p
                };
                let girth = |s| {
                    (0..4)
                        .map(|k| {
                            let (a, b) = (at(s, k), at(s, k + 1));
                            (b[0] - a[0]).hypot(b[1] - a[1])
                        })
                        .sum::<f64>()
                };
                let count = (sections.iter().map(girth).fold(0.0, f64::max) / cell).ceil().clamp(2.0, 400.0) as usize;
                let step = (w[1] - w[0]) / count as f64;
                out.extend((0..count).map(|k| {
                    let from = w[0] + step * k as f64;
                    (half, run, i as f64, [from, if k + 1 == count { w[1] } else { from + step }])
                }));
            }
        }
        out
    }

    fn rows(&self, cell: f64) -> Vec<(Lies, Reach)> {
        let mut out = Vec::new();
        let even = |lies: Lies, count: usize| {
            (0..count).map(move |k| (lies, [k as f64 / count as f64, (k + 1) as f64 / count as f64]))
        };
        let face = |(x, front): (f64, bool)| {
            let middle = self.loft().section(x).map_or(0.0, |s| 0.5 * (s.crown() + s.keel()));
            even(Lies::Face { x, ahead: if front { -1.0 } else { 1.0 }, middle }, FACE_ROWS)
        };
        let faces: Vec<(f64, bool)> = self.surface.faces().collect();
        out.extend(faces.iter().filter(|f| f.1).flat_map(|f| face(*f)));
        for stretch in stretches(self.loft()) {
            let count = (1.5 * stretch.length() / cell).ceil().clamp(2.0, 600.0) as usize;
            out.extend(even(Lies::Skin(stretch), count));
        }
        // From the edge of the rear face to its middle, so that neighbours are neighbours.
        let rear: Vec<(Lies, Reach)> = faces.iter().filter(|f| !f.1).flat_map(|f| face(*f)).collect();
        out.extend(rear.into_iter().rev());
        out
    }

    fn cell(&self, piece: Piece, at: [usize; 2]) -> Option<Cell> {
        let spots = piece.corners().map(|c| self.spot(&piece, c));
        let [Some(a), Some(b), Some(c), Some(d)] = spots else { return None };
        let middle = self.spot(&piece, [0.5, 0.5])?;
        let (shrinks, area) = (self.shrinks(&piece), self.area(&piece));
        Some(Cell { piece, corners: [a, b, c, d], middle, area: area * shrinks, shrinks, at })
    }

    /// The place at a share of each of the piece's two variables.
    pub(crate) fn spot(&self, piece: &Piece, share: [f64; 2]) -> Option<Spot> {
        let (here, _, fraction) = self.read(piece, share)?;
        let spot = Spot {
            p: sub(here.p, times(here.n, if matches!(piece.lies, Lies::Skin(_)) { self.depth } else { 0.0 })),
            n: here.n,
            station: here.p[0],
            round: piece.first_round + fraction,
        };
        Some(if piece.starboard { spot } else { spot.mirrored() })
    }

    /// The place on the plug under a station of the skin, on the starboard side, so far round from the crown.
    pub(crate) fn place(&self, station: f64, round: f64) -> Option<Vector> {
        let section = self.loft().section(station)?;
        let k = (round.max(0.0) as usize).min((self.runs as usize).saturating_sub(1));
        let (half, run) = section.runs().nth(k)?;
        let here = read(&section, half, run, (round - k as f64).clamp(0.0, 1.0));
        Some(sub(here.p, times(here.n, self.depth)))
    }

    /// What is read there, on the starboard side, its derivatives by the two variables themselves, and the fraction of the run.
    fn read(&self, piece: &Piece, share: [f64; 2]) -> Option<(Read, [Vector; 2], f64)> {
        let of = |[from, to]: Reach, share: f64| from + (to - from) * share;
        let fraction = of(piece.across, share[1]);
        match piece.lies {
            Lies::Skin(stretch) => {
                let (x, by_w) = stretch.at(of(piece.along, share[0]).clamp(INSIDE, 1.0 - INSIDE));
                let here = read(&self.loft().section(x)?, piece.half, piece.run, fraction);
                Some((here, [times(here.by_x, by_w), here.by_fraction], fraction))
            }
            Lies::Face { x, ahead, middle } => {
                let out = of(piece.along, share[0]);
                let edge = read(&self.loft().section(x)?, piece.half, piece.run, fraction);
                let from_middle = [0.0, edge.p[1], edge.p[2] - middle];
                let here = Read { p: add([x, 0.0, middle], times(from_middle, out)), n: [ahead, 0.0, 0.0], ..edge };
                Some((here, [from_middle, times(edge.by_fraction, out)], fraction))
            }
        }
    }

    /// Area of a piece of skin, before the coat comes off: two Gauss places each way, exact to the third degree.
    pub(crate) fn area(&self, piece: &Piece) -> f64 {
        let nodes = [0.5 - 0.5 / 3f64.sqrt(), 0.5 + 0.5 / 3f64.sqrt()];
        let element = |share| self.read(piece, share).map_or(0.0, |(_, [a, b], _)| length(cross(a, b)));
        let sum: f64 = nodes.iter().flat_map(|s| nodes.map(|t| element([*s, t]))).sum();
        0.25 * sum * (piece.along[1] - piece.along[0]) * (piece.across[1] - piece.across[0])
    }

    /// Area under the coat by area of the skin, at the middle.
    fn shrinks(&self, piece: &Piece) -> f64 {
        if self.depth == 0.0 || matches!(piece.lies, Lies::Face { .. }) {
            return 1.0;
        }
        let n = |share| self.read(piece, share).map_or([0.0; 3], |(here, _, _)| here.n);
        let difference = |a, b, size: f64| times(sub(n(b), n(a)), 0.5 / (STEP * size));
        let Some((here, [by_w, by_f], _)) = self.read(piece, [0.5; 2]) else { return 1.0 };
        let n_w = difference([0.5 - STEP, 0.5], [0.5 + STEP, 0.5], piece.along[1] - piece.along[0]);
        let n_f = difference([0.5, 0.5 - STEP], [0.5, 0.5 + STEP], piece.across[1] - piece.across[0]);
        let under = cross(sub(by_w, times(n_w, self.depth)), sub(by_f, times(n_f, self.depth)));
        let size = length(cross(by_w, by_f));
        if size > 0.0 { (dot(under, here.n) / size).max(0.0) } else { 1.0 }
    }
}

impl Spot {
    fn mirrored(&self) -> Self {
        let across = |v: Vector| [v[0], -v[1], v[2]];
        Self { p: across(self.p), n: across(self.n), ..*self }
    }
}

impl Piece {
    /// Shares of its corners, in turn around it.
    pub(crate) fn corners(&self) -> [[f64; 2]; 4] {
        [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]
    }

    /// One of its four quarters.
    pub(crate) fn quarter(&self, k: usize) -> Self {
        let half = |[from, to]: Reach, second: bool| {
            let middle = 0.5 * (from + to);
            if second { [middle, to] } else { [from, middle] }
        };
        Self { along: half(self.along, k & 1 == 1), across: half(self.across, k & 2 == 2), ..*self }
    }
}

impl Cell {
    fn mirrored(&self, column: usize) -> Self {
        Self {
            piece: Piece { starboard: !self.piece.starboard, ..self.piece },
            corners: self.corners.map(|c| c.mirrored()),
            middle: self.middle.mirrored(),
            at: [self.at[0], column],
            ..*self
        }
    }
}
