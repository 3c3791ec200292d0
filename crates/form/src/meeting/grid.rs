//! A skin on a grid of its own parameters, fine where the other form is near.

use super::boxes::Bounds;
use super::skin::{At, Skin};
use crate::space::{Vector, length, sub};

/// Rows and columns of the coarse grid: over the whole length, and over each run.
const ROWS: usize = 24;
const COLUMNS: usize = 8;
/// Steps of the fine grid over the size of what lies near: no more than so many each way, no finer than a share of it.
const MOST: usize = 96;
const STEPS: f64 = 28.0;
/// What is near is grown by this share of the other's size, as the surface bulges between the corners of a coarse cell.
const MARGIN: f64 = 0.08;

/// A stretch of a skin.
#[derive(Clone, Debug)]
pub(super) struct Span {
    /// First and last parameter along.
    along: [f64; 2],
    /// Coarse columns in it.
    columns: Vec<[f64; 2]>,
    pub(super) bounds: Bounds,
    /// Size of the cells for a fine grid, mm.
    pub(super) step: f64,
}

/// Rows and columns of places. The last column is the first one again, once round.
pub(super) struct Grid {
    pub(super) rows: Vec<f64>,
    pub(super) columns: Vec<f64>,
    /// Whether there are cells between a column and the next.
    filled: Vec<bool>,
    pub(super) points: Vec<Vector>,
    /// The first and the last row are points, and one node each.
    tips: [bool; 2],
}

/// Two triangles to a cell: their corners by number, and the parameters of the corners.
#[derive(Clone, Copy, Debug)]
pub(super) struct Triangle {
    pub(super) nodes: [u32; 3],
    pub(super) at: [At; 3],
}

impl Grid {
    /// The whole skin.
    pub(super) fn coarse(skin: &Skin<'_>) -> Self {
        let rows = rows(skin, [0.0, 1.0], 1.0 / ROWS as f64);
        let count = skin.round() as usize * COLUMNS;
        let columns = (0..=count).map(|k| k as f64 / COLUMNS as f64).collect();
        Self::new(skin, rows, columns, vec![true; count])
    }

    /// A stretch, with cells of about `step` mm.
    pub(super) fn fine(skin: &Skin<'_>, span: &Span, step: f64) -> Self {
        let long = length(sub(span.bounds.high, span.bounds.low)).max(step);
        let count = (long / step).ceil().clamp(8.0, MOST as f64);
        let rows = rows(skin, span.along, (span.along[1] - span.along[0]) / count);
        let (mut columns, mut filled) = (vec![0.0], Vec::new());
        for w in &span.columns {
            if columns.last().is_some_and(|last| *last < w[0]) {
                columns.push(w[0]);
                filled.push(false);
            }
            let pieces = pieces(skin, span.along, *w, step);
            columns.extend((1..=pieces).map(|k| w[0] + (w[1] - w[0]) * k as f64 / pieces as f64));
            filled.extend(std::iter::repeat_n(true, pieces));
        }
        if columns.last().is_some_and(|last| *last < skin.round()) {
            columns.push(skin.round());
            filled.push(false);
        }
        Self::new(skin, rows, columns, filled)
    }

    /// The same with a node for every column at a tip: a skin has many normals there.
    pub(super) fn with_fans(self) -> Self {
        Self { tips: [false; 2], ..self }
    }

    fn new(skin: &Skin<'_>, rows: Vec<f64>, columns: Vec<f64>, filled: Vec<bool>) -> Self {
        let mut points = Vec::with_capacity(rows.len() * columns.len());
        for s in &rows {
            let section = skin.section(*s);
            points
                .extend(columns.iter().map(|v| section.as_ref().map_or([f64::NAN; 3], |section| skin.on(section, *v))));
        }
        let ends = [rows.first() == Some(&0.0), rows.last() == Some(&1.0)];
        let tips = skin.tips();
        Self { rows, columns, filled, points, tips: [0, 1].map(|k| ends[k] && tips[k]) }
    }

    /// Number of a node, one for all nodes that are one place.
    fn node(&self, i: usize, j: usize) -> u32 {
        let last = self.columns.len() - 1;
        let tip = (i == 0 && self.tips[0]) || (i + 1 == self.rows.len() && self.tips[1]);
        (i * (last + 1) + if tip || j == last { 0 } else { j }) as u32
    }

    /// Rows and columns of the cells.
    fn cells(&self) -> impl Iterator<Item = (usize, usize)> + use<'_> {
        let filled = |i: usize| self.filled.iter().enumerate().filter(|(_, f)| **f).map(move |(j, _)| (i, j));
        (0..self.rows.len().saturating_sub(1)).flat_map(filled)
    }

    fn cell_bounds(&self, (i, j): (usize, usize)) -> Bounds {
        let n = self.columns.len();
        let at = |i: usize, j: usize| self.points[i * n + j];
        Bounds::of([at(i, j), at(i + 1, j), at(i, j + 1), at(i + 1, j + 1)])
    }

    /// All triangles, those of a cell one after the other; none that has no size for being a corner of a tip.
    pub(super) fn triangles(&self) -> Vec<Triangle> {
        let corner = |i: usize, j: usize| (self.node(i, j), [self.rows[i], self.columns[j]]);
        let mut out = Vec::new();
        for (i, j) in self.cells() {
            let [a, b, c, d] = [corner(i, j), corner(i + 1, j), corner(i + 1, j + 1), corner(i, j + 1)];
            for [p, q, r] in [[a, b, c], [a, c, d]] {
                if p.0 != q.0 && q.0 != r.0 && r.0 != p.0 {
                    out.push(Triangle { nodes: [p.0, q.0, r.0], at: [p.1, q.1, r.1] });
                }
            }
        }
        out
    }

    pub(super) fn bounds(&self) -> Bounds {
        Bounds::of(self.points.iter().copied())
    }

    /// The stretch of the skin that lies near a box, by the coarse grid's cells.
    pub(super) fn span(&self, other: &Bounds) -> Option<Span> {
        let size = length(sub(other.high, other.low));
        let other = other.grown(MARGIN * size);
        let near: Vec<((usize, usize), Bounds)> = self
            .cells()
            .map(|cell| (cell, self.cell_bounds(cell)))
            .filter(|(_, b)| b.grown(MARGIN * length(sub(b.high, b.low))).meets(&other))
            .collect();
        let first = near.iter().map(|n| n.0.0).min()?;
        let last = near.iter().map(|n| n.0.0).max()?;
        let mut columns: Vec<usize> = near.iter().map(|n| n.0.1).collect();
        columns.sort_unstable();
        columns.dedup();
        let all = near.iter().map(|n| n.1).reduce(|a, b| a.with(&b))?;
        let shared = all.grown(MARGIN * size).common(&other);
        Some(Span {
            along: [self.rows[first], self.rows[last + 1]],
            columns: columns.into_iter().map(|j| [self.columns[j], self.columns[j + 1]]).collect(),
            bounds: all,
            step: (length(sub(shared.high, shared.low)) / STEPS).max(1e-6),
        })
    }
}

/// Parameters of rows: every break, and between them steps no longer than `step`.
fn rows(skin: &Skin<'_>, [from, to]: [f64; 2], step: f64) -> Vec<f64> {
    let mut ends: Vec<f64> = skin.breaks().into_iter().filter(|s| *s > from + 1e-9 && *s < to - 1e-9).collect();
    ends.insert(0, from);
    ends.push(to);
    let mut out = vec![from];
    for w in ends.windows(2) {
        let pieces = ((w[1] - w[0]) / step).ceil().max(1.0) as usize;
        out.extend((1..pieces).map(|k| w[0] + (w[1] - w[0]) * k as f64 / pieces as f64));
        out.push(w[1]);
    }
    out
}

/// Into how many pieces a coarse column is divided: a power of two, so that the same places come again and again.
fn pieces(skin: &Skin<'_>, along: [f64; 2], column: [f64; 2], step: f64) -> usize {
    let widest = (0..=4).filter_map(|k| {
        let section = skin.section(along[0] + (along[1] - along[0]) * f64::from(k) / 4.0)?;
        Some(length(sub(skin.on(&section, column[1]), skin.on(&section, column[0]))))
    });
    let wide = widest.fold(0.0, f64::max);
    let halvings = (wide / step).log2().ceil().clamp(0.0, 4.0);
    1 << halvings as usize
}
