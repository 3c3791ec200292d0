//! The surface on a grid of its own parameters: rows along the body, columns round the section from the crown down to starboard
//! and up again to port.

use super::eye::{Eye, Shown};
use crate::space::{Vector, cross, dot, length, times};
use geometry::control::Half;
use geometry::line::Pass;
use geometry::loft::Loft;
use geometry::section::{Section, SurfacePlace};
use project::document::{Form, Lengthwise};
use project::photograph::Side;

/// Rows over the length, and columns over each half of the half section.
const ROWS: usize = 44;
const COLUMNS: usize = 14;
/// How far beside a corner of the surface, and from a pointed end, the rows lie, as a share of the length.
pub(super) const BESIDE: f64 = 1e-7;
/// A row nearer than this to a corner is left out for it, as a share of the length.
const CROWDED: f64 = 2e-3;
/// An end smaller than this, mm, is a point.
const POINT: f64 = 1e-6;

/// A place of the surface in the loft's own parameters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Station, mm aft of the datum.
    pub x: f64,
    /// Above or below the breadth.
    pub half: Half,
    /// Which run between marks, from the crown.
    pub run: usize,
    /// Share of the run, from the crown on.
    pub fraction: f64,
    /// Which side.
    pub side: Side,
}

/// A place of the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurfaceNode {
    /// Where it is, mm.
    pub point: Vector,
    /// Outward normal, length 1; zero where the surface has none.
    pub normal: Vector,
    /// Derivative by the fraction, mm.
    pub by_fraction: Vector,
    /// Derivative by the station.
    pub by_x: Vector,
}

impl SurfaceNode {
    /// The surface at a spot; `None` beyond the ends.
    pub fn at(loft: &Loft, spot: Spot) -> Option<Self> {
        let section = loft.section(spot.x)?;
        Some(Self::new(section.x(), &section.at(spot.half, spot.run, spot.fraction), spot.side))
    }

    pub(super) fn new(x: f64, place: &SurfacePlace, side: Side) -> Self {
        let ([y, z], [fy, fz], [xy, xz]) = (place.p, place.by_fraction, place.by_x);
        let node = Self::starboard([x, y, z], [0.0, fy, fz], [1.0, xy, xz]);
        if side == Side::Starboard { node } else { node.mirrored() }
    }

    fn starboard(point: Vector, by_fraction: Vector, by_x: Vector) -> Self {
        let across = cross(by_x, by_fraction);
        let size = length(across);
        let normal = if size > 0.0 && size.is_finite() { times(across, 1.0 / size) } else { [0.0; 3] };
        Self { point, normal, by_fraction, by_x }
    }

    /// The place on the other side.
    pub(super) fn mirrored(&self) -> Self {
        let turn = |[x, y, z]: Vector| [x, -y, z];
        Self {
            point: turn(self.point),
            normal: turn(self.normal),
            by_fraction: turn(self.by_fraction),
            by_x: turn(self.by_x),
        }
    }

    /// Cosine between normal and line of sight: positive where the surface faces the eye.
    pub(super) fn facing(&self, eye: &Eye) -> f64 {
        if self.normal == [0.0; 3] { f64::NAN } else { dot(self.normal, eye.from(self.point)) }
    }
}

/// A column: a place of the half section, without side.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    pub(super) half: Half,
    pub(super) run: usize,
    pub(super) fraction: f64,
}

/// A row of the grid.
#[derive(Clone, Debug)]
pub(super) struct Row<'a> {
    pub(super) x: f64,
    /// The section; `None` in the row of a flat end's face.
    pub(super) section: Option<Section<'a>>,
    /// Starboard from crown to keel, then port from keel to crown.
    pub(super) nodes: Vec<SurfaceNode>,
    pub(super) facing: Vec<f64>,
    pub(super) shown: Vec<Option<Shown>>,
    /// The step to the next row has no length: a corner, or the edge of a flat end.
    pub(super) corner_after: bool,
}

/// The grid.
pub(super) struct Grid<'a> {
    pub(super) loft: &'a Loft,
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Row<'a>>,
    /// Front and rear, where they are points.
    pub(super) tips: [Option<Vector>; 2],
    /// Stations of the rows, each once, with both ends.
    pub(super) stations: Vec<f64>,
}

impl<'a> Grid<'a> {
    pub(super) fn new(loft: &'a Loft, form: &Form, eye: &Eye) -> Self {
        let (low, high) = loft.x_range();
        let tips = [low, high].map(|x| tip(loft, x));
        let columns = loft.section(low).map(|s| columns(&s)).unwrap_or_default();
        let corners = corners(loft, form);
        let stations = stations((low, high), tips.map(|t| t.is_some()), &corners);
        let mut grid = Self { loft, columns, rows: Vec::new(), tips, stations: Vec::new() };
        let beside = BESIDE * (high - low);
        for &x in &stations {
            // At an end the slopes are those of what runs on beyond it, so the surface's own are read a hair inside.
            let (front, rear) = (x == low, x == high);
            let edge = front || rear || corners.contains(&x);
            if front && tips[0].is_none() {
                grid.add_face(x, -1.0, eye);
            }
            if !front {
                let corner_after = edge && (!rear || tips[1].is_none());
                grid.add(if edge { x - beside } else { x }, corner_after, eye);
            }
            if edge && !rear {
                grid.add(x + beside, false, eye);
            }
            if rear && tips[1].is_none() {
                grid.add_face(x, 1.0, eye);
            }
        }
        grid.stations = stations;
        grid
    }

    fn add(&mut self, x: f64, corner_after: bool, eye: &Eye) {
        let Some(section) = self.loft.section(x) else { return };
        let nodes = self.nodes(&section);
        self.push(x, Some(section), nodes, corner_after, eye);
    }

    /// The face of a flat end, as seen along its rim.
    fn add_face(&mut self, x: f64, aft: f64, eye: &Eye) {
        let Some(section) = self.loft.section(x) else { return };
        let nodes = self.nodes(&section).iter().map(|n| SurfaceNode { normal: [aft, 0.0, 0.0], ..*n }).collect();
        self.push(x, None, nodes, aft < 0.0, eye);
    }

    /// All round a section.
    fn nodes(&self, section: &Section<'_>) -> Vec<SurfaceNode> {
        let place = |c: &Column| section.at(c.half, c.run, c.fraction);
        let starboard = self.columns.iter().map(|c| SurfaceNode::new(section.x(), &place(c), Side::Starboard));
        let mut nodes: Vec<SurfaceNode> = starboard.collect();
        nodes.extend(nodes.clone().iter().rev().map(SurfaceNode::mirrored));
        nodes
    }

    fn push(&mut self, x: f64, section: Option<Section<'a>>, nodes: Vec<SurfaceNode>, corner_after: bool, eye: &Eye) {
        let facing = nodes.iter().map(|n| n.facing(eye)).collect();
        let shown = nodes.iter().map(|n| eye.shown(n.point)).collect();
        self.rows.push(Row { x, section, nodes, facing, shown, corner_after });
    }

    /// How many nodes there are all round.
    pub(super) fn around(&self) -> usize {
        2 * self.columns.len()
    }

    /// The column and side of a node.
    pub(super) fn column(&self, k: usize) -> (Column, Side) {
        let n = self.columns.len();
        if k < n { (self.columns[k], Side::Starboard) } else { (self.columns[2 * n - 1 - k], Side::Port) }
    }

    /// Whether the step from a node to the next one round has no length: a mark, or the centre plane.
    pub(super) fn is_mark(&self, k: usize) -> bool {
        let ((a, side_a), (b, side_b)) = (self.column(k), self.column((k + 1) % self.around()));
        side_a != side_b || (a.half, a.run) != (b.half, b.run)
    }

    /// The spot of a node.
    pub(super) fn spot(&self, row: usize, k: usize) -> Spot {
        let (Column { half, run, fraction }, side) = self.column(k);
        Spot { x: self.rows[row].x, half, run, fraction, side }
    }
}

/// The point that an end is, if it is one.
fn tip(loft: &Loft, x: f64) -> Option<Vector> {
    let section = loft.section(x)?;
    let height = section.crown() - section.keel();
    (section.breadth().abs() < POINT && height.abs() < POINT).then(|| [x, 0.0, section.breadth_height()])
}

fn columns(section: &Section<'_>) -> Vec<Column> {
    let runs: Vec<(Half, usize)> = section.runs().collect();
    let of = |half: Half| runs.iter().filter(|r| r.0 == half).count().max(1);
    let mut out = Vec::new();
    for &(half, run) in &runs {
        let steps = (COLUMNS / of(half)).max(5);
        out.extend((0..=steps).map(|i| Column { half, run, fraction: i as f64 / steps as f64 }));
    }
    out
}

/// Stations at which the surface has an edge that runs round: a corner of a master line, the first and the last control section,
/// beyond which the unit shape stays, and every one of a body that is straight between them.
fn corners(loft: &Loft, form: &Form) -> Vec<f64> {
    let (low, high) = loft.x_range();
    let lines = loft.lines();
    let all = [&lines.crown, &lines.keel, &lines.breadth, &lines.breadth_height];
    let points = all.into_iter().flat_map(|l| l.points()).filter(|p| p.pass == Pass::Corner).map(|p| p.x);
    let straight = form.lengthwise == Lengthwise::Straight;
    let last = form.sections.len().saturating_sub(1);
    let breaks = |i: usize| straight || i == 0 || i == last;
    let sections = form.sections.iter().enumerate().filter(|(i, _)| breaks(*i)).map(|(_, s)| s.station);
    let room = CROWDED * (high - low);
    let mut out: Vec<f64> = points.chain(sections).filter(|x| *x > low + room && *x < high - room).collect();
    out.sort_by(f64::total_cmp);
    out.dedup_by(|b, a| *b - *a < 4.0 * BESIDE * (high - low));
    out
}

/// Stations of the rows: denser towards ends that are points, as the surface turns there.
fn stations((low, high): (f64, f64), tips: [bool; 2], corners: &[f64]) -> Vec<f64> {
    let eased = |t: f64| match tips {
        [true, true] => 0.5 * (1.0 - (std::f64::consts::PI * t).cos()),
        [true, false] => t * t,
        [false, true] => 1.0 - (1.0 - t) * (1.0 - t),
        // Edges may be rounded, and lines may stand upright at a flat end.
        [false, false] => 0.7 * t + 0.3 * 0.5 * (1.0 - (std::f64::consts::PI * t).cos()),
    };
    let length = high - low;
    let inner = (1..ROWS).map(|i| low + length * eased(i as f64 / ROWS as f64));
    let free = inner.filter(|x| corners.iter().all(|c| (c - x).abs() > CROWDED * length));
    let mut out: Vec<f64> = free.chain(corners.iter().copied()).chain([low, high]).collect();
    out.sort_by(f64::total_cmp);
    out
}
