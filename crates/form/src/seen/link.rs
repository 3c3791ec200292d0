//! Where the surface turns away from the eye, on every step of the grid, linked into curves.

use super::eye::Eye;
use super::grid::{Column, Grid, Spot, SurfaceNode};
use crate::space::{Vector, dot, sub, times};
use geometry::section::Section;
use project::photograph::Side;

/// A crossing is refined until the cosine between normal and line of sight is below this. The silhouette stands still there, so its
/// place in the picture is then right to far less than a thousandth of a pixel.
const EDGE_ON: f64 = 1e-7;
/// Steps of refining.
const STEPS: usize = 30;
/// Normals on both sides of a mark closer than this make no edge.
const SMOOTH: f64 = 1e-10;

/// What kind of place a crossing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SilhouetteKind {
    /// The surface turns away smoothly.
    Surface,
    /// An edge of the surface: a knuckle, a ridge, or a corner of a line.
    Edge,
    /// The edge of a flat end.
    Rim,
    /// A pointed end.
    Tip,
}

/// A place at which the surface turns away.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossing {
    pub(super) spot: Spot,
    pub(super) point: Vector,
    pub(super) normal: Vector,
    pub(super) kind: SilhouetteKind,
    /// The facing of the surface beside it that faces the eye; 0 where it turns away smoothly.
    pub(super) facing: f64,
    /// The surface lies behind the line of sight there: it does not hide itself.
    pub(super) bulges: bool,
}

const NONE: u32 = u32::MAX;

/// Crossings by their steps, and which belong to neighbouring places of one curve.
struct Crossings<'a, 'b> {
    grid: &'a Grid<'b>,
    eye: &'a Eye,
    all: Vec<Crossing>,
    /// From node (row, k) to the next one round, and to the next row.
    round: Vec<u32>,
    aft: Vec<u32>,
    links: Vec<[u32; 2]>,
}

/// The curves; those that close end where they begin.
pub(super) fn curves(grid: &Grid<'_>, eye: &Eye) -> Vec<Vec<Crossing>> {
    let nodes = grid.rows.len() * grid.around();
    let mut found =
        Crossings { grid, eye, all: Vec::new(), round: vec![NONE; nodes], aft: vec![NONE; nodes], links: Vec::new() };
    found.find();
    found.link();
    found.join_tips();
    found.chains()
}

impl Crossings<'_, '_> {
    fn find(&mut self) {
        let around = self.grid.around();
        for i in 0..self.grid.rows.len() {
            for k in 0..around {
                let next = (k + 1) % around;
                let row = &self.grid.rows[i];
                if crosses(row.facing[k], row.facing[next]) {
                    let crossing = self.round_crossing(i, k, next);
                    self.round[i * around + k] = self.add(crossing);
                }
                let Some(aft) = self.grid.rows.get(i + 1) else { continue };
                if crosses(row.facing[k], aft.facing[k]) {
                    let crossing = self.aft_crossing(i, k);
                    self.aft[i * around + k] = self.add(crossing);
                }
            }
        }
    }

    fn add(&mut self, crossing: Option<Crossing>) -> u32 {
        let Some(crossing) = crossing else { return NONE };
        self.all.push(crossing);
        (self.all.len() - 1) as u32
    }

    /// Between two nodes of a row.
    fn round_crossing(&self, i: usize, k: usize, next: usize) -> Option<Crossing> {
        let row = &self.grid.rows[i];
        let spot = self.grid.spot(i, k);
        if self.grid.is_mark(k) {
            let into_next = if self.grid.column(next).1 == Side::Starboard { 1.0 } else { -1.0 };
            let into_next = times(row.nodes[next].by_fraction, into_next);
            let bulges = dot(row.nodes[k].normal, into_next) < 0.0;
            return Some(edge(spot, [&row.nodes[k], &row.nodes[next]], [row.facing[k], row.facing[next]], bulges));
        }
        let section = row.section.as_ref()?;
        let (to, side) = self.grid.column(next);
        let at = |fraction: f64| node(section, Column { fraction, ..to }, side);
        let fraction = root(spot.fraction, row.facing[k], to.fraction, row.facing[next], |f| at(f).facing(self.eye));
        let by_fraction = (row.facing[next] - row.facing[k]) / (to.fraction - spot.fraction);
        let by_x = self.by_x(i, k);
        Some(self.smooth(Spot { fraction, ..spot }, &at(fraction), by_x, by_fraction))
    }

    /// Between a node and that of the next row.
    fn aft_crossing(&self, i: usize, k: usize) -> Option<Crossing> {
        let (row, aft) = (&self.grid.rows[i], &self.grid.rows[i + 1]);
        let spot = self.grid.spot(i, k);
        if row.corner_after {
            let rim = row.section.is_none() || aft.section.is_none();
            let bulges = rim || dot(row.nodes[k].normal, aft.nodes[k].by_x) < 0.0;
            let crossing = edge(spot, [&row.nodes[k], &aft.nodes[k]], [row.facing[k], aft.facing[k]], bulges);
            if !rim {
                return Some(crossing);
            }
            let face = if row.section.is_none() { i } else { i + 1 };
            let (spot, point) = (self.grid.spot(face, k), self.grid.rows[face].nodes[k].point);
            return Some(Crossing { spot, point, kind: SilhouetteKind::Rim, ..crossing });
        }
        let at = |x: f64| SurfaceNode::at(self.grid.loft, Spot { x, ..spot });
        let facing = |x: f64| at(x).map_or(f64::NAN, |n| n.facing(self.eye));
        let x = root(row.x, row.facing[k], aft.x, aft.facing[k], facing);
        let by_x = (aft.facing[k] - row.facing[k]) / (aft.x - row.x);
        let by_fraction = self.by_fraction(i, k);
        Some(self.smooth(Spot { x, ..spot }, &at(x)?, by_x, by_fraction))
    }

    /// How the facing changes aft at a node, 1/mm.
    fn by_x(&self, i: usize, k: usize) -> f64 {
        let rows = &self.grid.rows;
        let before = i.checked_sub(1).filter(|j| !rows[*j].corner_after).unwrap_or(i);
        let behind = if rows[i].corner_after || i + 1 == rows.len() { i } else { i + 1 };
        let step = rows[behind].x - rows[before].x;
        if step > 0.0 { (rows[behind].facing[k] - rows[before].facing[k]) / step } else { 0.0 }
    }

    /// How the facing changes along the run at a node.
    fn by_fraction(&self, i: usize, k: usize) -> f64 {
        let around = self.grid.around();
        let (before, behind) = ((k + around - 1) % around, (k + 1) % around);
        let from = if self.grid.is_mark(before) { k } else { before };
        let to = if self.grid.is_mark(k) { k } else { behind };
        let step = self.grid.column(to).0.fraction - self.grid.column(from).0.fraction;
        let facing = &self.grid.rows[i].facing;
        if step == 0.0 { 0.0 } else { (facing[to] - facing[from]) / step }
    }

    /// A place where the surface turns away smoothly. It lies behind the line of sight if the surface faces the eye more on
    /// the way towards it.
    fn smooth(&self, spot: Spot, node: &SurfaceNode, by_x: f64, by_fraction: f64) -> Crossing {
        let way = self.eye.from(node.point);
        let rest = sub(way, times(node.by_x, way[0]));
        let along = dot(node.by_fraction, node.by_fraction);
        let round = if along > 0.0 { dot(rest, node.by_fraction) / along } else { 0.0 };
        let bulges = by_x * way[0] + by_fraction * round > 0.0;
        let (point, normal) = (node.point, node.normal);
        Crossing { spot, point, normal, kind: SilhouetteKind::Surface, facing: 0.0, bulges }
    }

    fn link(&mut self) {
        self.links = vec![[NONE; 2]; self.all.len()];
        let around = self.grid.around();
        for i in 0..self.grid.rows.len().saturating_sub(1) {
            for k in 0..around {
                let next = (k + 1) % around;
                let sides = [
                    self.round[i * around + k],
                    self.aft[i * around + next],
                    self.round[(i + 1) * around + k],
                    self.aft[i * around + k],
                ];
                match sides.iter().filter(|s| **s != NONE).count() {
                    2 => {
                        let mut both = sides.into_iter().filter(|s| *s != NONE);
                        if let (Some(a), Some(b)) = (both.next(), both.next()) {
                            self.tie(a, b);
                        }
                    }
                    4 => {
                        let (row, aft) = (&self.grid.rows[i].facing, &self.grid.rows[i + 1].facing);
                        let mean = row[k] + row[next] + aft[k] + aft[next];
                        let turn = usize::from((mean >= 0.0) != (row[k] >= 0.0));
                        let at = |n: usize| sides[(n + 4 - turn) % 4];
                        self.tie(at(0), at(1));
                        self.tie(at(2), at(3));
                    }
                    _ => {}
                }
            }
        }
    }

    fn tie(&mut self, a: u32, b: u32) {
        for (from, to) in [(a, b), (b, a)] {
            if let Some(free) = self.links[from as usize].iter_mut().find(|l| **l == NONE) {
                *free = to;
            }
        }
    }

    /// Curves that run to a pointed end are led through it.
    fn join_tips(&mut self) {
        let around = self.grid.around();
        for (tip, row) in [(0, 0), (1, self.grid.rows.len().saturating_sub(1))] {
            let Some(point) = self.grid.tips[tip] else { continue };
            let loose = (0..around).map(|k| self.round.get(row * around + k).copied().unwrap_or(NONE));
            let loose: Vec<u32> = loose.filter(|c| *c != NONE && self.links[*c as usize][1] == NONE).collect();
            let pairs: Vec<Vec<u32>> =
                if loose.len() == 2 { vec![loose] } else { loose.iter().map(|c| vec![*c]).collect() };
            for ends in pairs {
                let from = self.all[ends[0] as usize];
                self.all.push(Crossing {
                    spot: Spot { x: point[0], ..from.spot },
                    point,
                    kind: SilhouetteKind::Tip,
                    ..from
                });
                self.links.push([NONE; 2]);
                let number = (self.all.len() - 1) as u32;
                ends.into_iter().for_each(|end| self.tie(end, number));
            }
        }
    }

    /// From every loose end, then round what is left.
    fn chains(&self) -> Vec<Vec<Crossing>> {
        let mut done = vec![false; self.all.len()];
        let loose = (0..self.all.len()).filter(|c| self.links[*c][1] == NONE);
        let mut out = Vec::new();
        for start in loose.chain(0..self.all.len()) {
            let mut chain: Vec<usize> = Vec::new();
            let mut here = Some(start).filter(|c| !done[*c]);
            while let Some(c) = here {
                done[c] = true;
                chain.push(c);
                here = self.links[c].iter().map(|l| *l as usize).find(|l| *l < done.len() && !done[*l]);
            }
            if chain.len() < 2 {
                continue;
            }
            let closes = chain.len() > 2 && chain.last().is_some_and(|l| self.links[*l].contains(&(start as u32)));
            let mut curve: Vec<Crossing> = chain.iter().map(|c| self.all[*c]).collect();
            curve.extend(closes.then(|| self.all[start]));
            out.push(curve);
        }
        out
    }
}

fn crosses(a: f64, b: f64) -> bool {
    (a >= 0.0 && b < 0.0) || (a < 0.0 && b >= 0.0)
}

/// A place at which two surfaces meet, one facing the eye and one turned away. Its normal is the one between theirs that is
/// square to the line of sight.
fn edge(spot: Spot, [a, b]: [&SurfaceNode; 2], [fa, fb]: [f64; 2], bulges: bool) -> Crossing {
    let share = fa / (fa - fb);
    let normal = crate::space::unit(crate::space::add(times(a.normal, 1.0 - share), times(b.normal, share)));
    let same = dot(a.normal, b.normal) > 1.0 - SMOOTH;
    let kind = if same { SilhouetteKind::Surface } else { SilhouetteKind::Edge };
    Crossing { spot, point: a.point, normal, kind, facing: fa.max(fb), bulges: bulges || same }
}

fn node(section: &Section<'_>, column: Column, side: Side) -> SurfaceNode {
    SurfaceNode::new(section.x(), &section.at(column.half, column.run, column.fraction), side)
}

/// Root between two places of opposite sign: regula falsi after Illinois (M. Dowell and P. Jarratt, "A modified regula falsi
/// method", BIT 11, 1971; from memory), which keeps the bracket.
fn root(mut a: f64, mut fa: f64, mut b: f64, mut fb: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..STEPS {
        let m = (a * fb - b * fa) / (fb - fa);
        let fm = f(m);
        if fm.abs() < EDGE_ON || fm.is_nan() {
            return m;
        }
        if crosses(fm, fb) {
            (a, fa) = (b, fb);
        } else {
            fa *= 0.5;
        }
        (b, fb) = (m, fm);
    }
    b
}
