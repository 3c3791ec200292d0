//! The plug's surface in small cells, each with its place and true normals.
//!
//! A layer under the skin keeps the skin's normals, so drafts are those of the finished skin; places and areas are those of the plug.
//! Cells follow the lines along and around the form, so that knuckles and breaks of the master lines run along their edges and each
//! side keeps its own normals.

use super::cell::{Cell, Sample};
use crate::drape::Cover;
use crate::mass::ShellSurface;
use crate::mass::surface::{Stretch, read, stretches};
use form::space::{Vector, add, sub, times};
use geometry::control::Half;
use geometry::loft::Loft;
use geometry::section::Section;

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

/// A column of cells.
#[derive(Clone, Copy, Debug)]
struct Column {
    half: Half,
    run: usize,
    first_round: f64,
    across: Reach,
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
        let mut last: Option<(f64, Vec<Sample>)> = None;
        for (row, (lies, along)) in survey.rows(cell.max(0.1)).into_iter().enumerate() {
            // Rows of one stretch share the places between them.
            let shared = last.take().filter(|(at, _)| row > 0 && along[0] > 0.0 && *at == along[0]).map(|l| l.1);
            let read = |share: f64| survey.line(&lies, along[0] + share * (along[1] - along[0]), &columns);
            let (Some(front), Some(middle), Some(rear)) = (shared.or_else(|| read(0.0)), read(0.5), read(1.0)) else {
                continue;
            };
            let flat = matches!(lies, Lies::Face { .. });
            for (column, it) in columns.iter().enumerate() {
                let at = |k: usize| [&front, &middle, &rear][k / 3][3 * column + k % 3];
                let size = [along[1] - along[0], it.across[1] - it.across[0]];
                let cell = Cell::new(&std::array::from_fn(at), size, taken_off, flat, [row, column]);
                let port = cell.mirrored(2 * columns.len() - 1 - column);
                survey.cells.extend([cell, port]);
            }
            last = Some((along[1], rear));
        }
        survey
    }

    /// The same in cells that follow the form's size: 6 mm for one as large as a cowling, otherwise as many as that one has, within
    /// bounds. Areas of undercut are then held to 4e-3 of the part's area, however large it is, against normals sampled one by one, whose
    /// own grain is part of that.
    pub fn fitting(loft: &'a Loft, taken_off: f64, cover: &Cover) -> Self {
        Self::new(loft, taken_off, cover, fitting_cell(loft))
    }

    /// The loft that it was read from.
    pub fn loft(&self) -> &'a Loft {
        self.surface.loft()
    }

    /// Runs from crown to keel with their smooth parts, each divided.
    fn columns(&mut self, cell: f64) -> Vec<Column> {
        let loft = self.loft();
        let (low, high) = loft.x_range();
        let sections: Vec<_> = [0.1, 0.5, 0.9].iter().filter_map(|s| loft.section(low + s * (high - low))).collect();
        let Some(first) = sections.first() else { return Vec::new() };
        let mut out = Vec::new();
        for (i, (half, run)) in first.runs().enumerate() {
            self.runs = i as f64 + 1.0;
            for w in first.run_breaks(half, run).windows(2) {
                let at = |s: &Section<'_>, k: u32| s.at(half, run, w[0] + (w[1] - w[0]) * f64::from(k) / 4.0).p;
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
                    let across = [from, if k + 1 == count { w[1] } else { from + step }];
                    Column { half, run, first_round: i as f64, across }
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

    /// The samples of a line across: three of every column.
    fn line(&self, lies: &Lies, along: f64, columns: &[Column]) -> Option<Vec<Sample>> {
        let (x, by_w) = match lies {
            Lies::Skin(stretch) => stretch.at(along.clamp(INSIDE, 1.0 - INSIDE)),
            Lies::Face { x, .. } => (*x, 1.0),
        };
        let section = self.loft().section(x)?;
        let mut out: Vec<Sample> = Vec::with_capacity(3 * columns.len());
        for (k, column) in columns.iter().enumerate() {
            let joins = k.checked_sub(1).map(|k| &columns[k]).filter(|before| {
                before.half == column.half && before.run == column.run && before.across[1] == column.across[0]
            });
            let first = joins.and_then(|_| out.last().copied());
            let [from, to] = column.across;
            let sample = |fraction: f64| self.sample(lies, &section, along, by_w, column, fraction);
            out.push(first.unwrap_or_else(|| sample(from)));
            out.push(sample(0.5 * (from + to)));
            out.push(sample(to));
        }
        Some(out)
    }

    fn sample(
        &self,
        lies: &Lies,
        section: &Section<'_>,
        along: f64,
        by_w: f64,
        column: &Column,
        fraction: f64,
    ) -> Sample {
        let here = read(section, column.half, column.run, fraction);
        let round = column.first_round + fraction;
        match lies {
            Lies::Skin(_) => {
                let p = sub(here.p, times(here.n, self.depth));
                let spot = Spot { p, n: here.n, station: here.p[0], round };
                Sample { spot, by: [times(here.by_x, by_w), here.by_fraction] }
            }
            Lies::Face { x, ahead, middle } => {
                let from_middle = [0.0, here.p[1], here.p[2] - middle];
                let p = add([*x, 0.0, *middle], times(from_middle, along));
                let spot = Spot { p, n: [*ahead, 0.0, 0.0], station: *x, round };
                Sample { spot, by: [from_middle, times(here.by_fraction, along)] }
            }
        }
    }

    /// The place on the plug under a station of the skin, on the starboard side, so far round from the crown.
    pub(crate) fn place(&self, station: f64, round: f64) -> Option<Vector> {
        let section = self.loft().section(station)?;
        let k = (round.max(0.0) as usize).min((self.runs as usize).saturating_sub(1));
        let (half, run) = section.runs().nth(k)?;
        let here = read(&section, half, run, (round - k as f64).clamp(0.0, 1.0));
        Some(sub(here.p, times(here.n, self.depth)))
    }
}

/// Cell of a form as large as a cowling, mm.
const USUAL_CELL: f64 = 6.0;
/// Fewest and most cells along the side of a square as large as the form.
const CELLS: [f64; 2] = [35.0, 130.0];

/// A cell that follows the form's size, mm.
fn fitting_cell(loft: &Loft) -> f64 {
    let (low, high) = loft.x_range();
    let half_girth = |share: f64| {
        let section = loft.section(low + share * (high - low))?;
        let places = section.runs().flat_map(|(half, run)| (0..=4).map(move |k| (half, run, 0.25 * f64::from(k))));
        let places: Vec<[f64; 2]> = places.map(|(half, run, at)| section.at(half, run, at).p).collect();
        Some(places.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1])).sum::<f64>())
    };
    let widest = [0.25, 0.5, 0.75].into_iter().filter_map(half_girth).fold(0.0, f64::max);
    let side = (2.0 * widest * (high - low)).sqrt();
    side / (side / USUAL_CELL).clamp(CELLS[0], CELLS[1])
}

impl Spot {
    pub(crate) fn mirrored(&self) -> Self {
        let across = |v: Vector| [v[0], -v[1], v[2]];
        Self { p: across(self.p), n: across(self.n), ..*self }
    }
}
