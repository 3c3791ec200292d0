//! Master lines, sections and lines along the body.

use super::eye::Eye;
use super::grid::{Column, Grid, SurfaceNode};
use super::path::{Look, Place, Runs};
use super::{SeenLine, SeenPart, Sight, Wanted};
use crate::skin::Lofted;
use geometry::control::Half;
use geometry::section::Section;
use project::document::{Form, LineName};
use project::photograph::Side;

/// Places along a line of a half-drawn form.
const PLACES: usize = 100;

const SIDES: [Side; 2] = [Side::Starboard, Side::Port];

pub(super) fn collect(grid: &Grid<'_>, form: &Form, look: &Look<'_>, wanted: &Wanted, out: &mut Vec<SeenLine>) {
    let lines = Along::new(grid, look);
    if wanted.master_lines {
        lines.master_lines(out);
    }
    if wanted.control_lines {
        lines.control_lines(out);
    }
    let round = |part: SeenPart, x: f64| Some(SeenLine { part, runs: round(grid, look, x)? });
    if wanted.stations {
        out.extend(form.stations.iter().enumerate().filter_map(|(i, x)| round(SeenPart::Station(i, *x), *x)));
    }
    if wanted.sections {
        let sections = form.sections.iter().enumerate();
        out.extend(sections.filter_map(|(i, s)| round(SeenPart::ControlSection(i), s.station)));
    }
}

/// The lines along the body.
struct Along<'a, 'b> {
    grid: &'a Grid<'b>,
    look: &'a Look<'a>,
    /// Sections at the grid's stations and midway between them, which every line asks for.
    sections: Vec<Option<Section<'b>>>,
}

impl<'a, 'b> Along<'a, 'b> {
    fn new(grid: &'a Grid<'b>, look: &'a Look<'a>) -> Self {
        let mut along = Self { grid, look, sections: Vec::new() };
        let last = 2 * grid.stations.len().saturating_sub(1);
        along.sections = (0..=last).map(|i| grid.loft.section(along.station(i as f64))).collect();
        along
    }

    /// The station at twice its number in the grid's list.
    fn station(&self, twice: f64) -> f64 {
        let (i, share) = ((0.5 * twice).floor(), (0.5 * twice).fract());
        let at = |i: usize| self.grid.stations.get(i).or(self.grid.stations.last()).copied().unwrap_or_default();
        let (from, to) = (at(i as usize), at(i as usize + 1));
        if share > 0.0 { from + share * (to - from) } else { from }
    }

    fn master_lines(&self, out: &mut Vec<SeenLine>) {
        let last = |half: Half| self.grid.columns.iter().filter(|c| c.half == half).map(|c| c.run).max().unwrap_or(0);
        let crown = Column { half: Half::Upper, run: 0, fraction: 0.0 };
        let keel = Column { half: Half::Lower, run: last(Half::Lower), fraction: 1.0 };
        let above = Column { half: Half::Upper, run: last(Half::Upper), fraction: 1.0 };
        let below = Column { half: Half::Lower, run: 0, fraction: 0.0 };
        for (part, column) in [(SeenPart::Crown, crown), (SeenPart::Keel, keel)] {
            out.push(self.line(part, [(column, Side::Starboard), (column, Side::Port)]));
        }
        out.extend(SIDES.map(|side| self.line(SeenPart::Breadth(side), [(above, side), (below, side)])));
    }

    fn control_lines(&self, out: &mut Vec<SeenLine>) {
        let Some(section) = self.grid.loft.section(self.grid.loft.x_range().0) else { return };
        let runs: Vec<(Half, usize)> = section.runs().collect();
        let numbers = section.knuckles();
        for side in SIDES {
            for &(half, run) in &runs {
                let middle = (Column { half, run, fraction: 0.5 }, side);
                out.push(self.line(SeenPart::ControlLine(side), [middle, middle]));
            }
            let inner = runs.windows(2).filter(|w| w[0].0 == w[1].0);
            let above = runs.iter().filter(|r| r.0 == Half::Upper).count().saturating_sub(1);
            // A knuckle at the breadth stands between those above and those below, and is the breadth line itself.
            let at_breadth = numbers.len() > runs.len().saturating_sub(2);
            for (i, w) in inner.enumerate() {
                let listed = if i >= above && at_breadth { i + 1 } else { i };
                let Some((number, _)) = numbers.get(listed) else { continue };
                let before = Column { half: w[0].0, run: w[0].1, fraction: 1.0 };
                let behind = Column { half: w[1].0, run: w[1].1, fraction: 0.0 };
                out.push(self.line(SeenPart::Knuckle(*number, side), [(before, side), (behind, side)]));
            }
        }
    }

    /// The line along a place of the half section; where two surfaces meet in it, it is seen by the one that faces the eye.
    fn line(&self, part: SeenPart, columns: [(Column, Side); 2]) -> SeenLine {
        let place = |section: &Section<'_>| {
            let [a, b] = columns.map(|(c, side)| node(section, c, side));
            Place { point: a.point, facing: a.facing(self.look.eye).max(b.facing(self.look.eye)) }
        };
        let curve = |twice: f64| match self.sections.get(twice as usize).filter(|_| twice.fract() == 0.0) {
            Some(section) => section.as_ref().map(place),
            None => self.grid.loft.section(self.station(twice)).as_ref().map(place),
        };
        let parameters: Vec<f64> = (0..self.grid.stations.len()).map(|i| 2.0 * i as f64).collect();
        SeenLine { part, runs: self.look.trace(&parameters, &curve) }
    }
}

fn node(section: &Section<'_>, column: Column, side: Side) -> SurfaceNode {
    SurfaceNode::new(section.x(), &section.at(column.half, column.run, column.fraction), side)
}

/// The section at a station, from the crown down to starboard, and up to port.
fn round(grid: &Grid<'_>, look: &Look<'_>, x: f64) -> Option<Vec<super::Run>> {
    let section = grid.loft.section(x)?;
    let face = face(grid, x);
    let n = grid.columns.len();
    // A whole number is a node of the grid's row; between two, the fraction runs evenly, and marks have no length.
    let curve = |t: f64| {
        let (k, share) = ((t.floor() as usize).min(2 * n - 1), t.fract());
        let (mut column, side) = grid.column(k);
        if share > 0.0 {
            let next = grid.column((k + 1) % (2 * n)).0;
            column.fraction += share * (next.fraction - column.fraction);
        }
        let node = node(&section, column, side);
        let facing = node.facing(look.eye);
        let cap = face.map_or(facing, |normal| SurfaceNode { normal, ..node }.facing(look.eye));
        Some(Place { point: node.point, facing: facing.max(cap) })
    };
    let parameters: Vec<f64> = (0..2 * n).map(|k| k as f64).collect();
    Some(look.trace(&parameters, &curve))
}

/// The normal of the flat face at a station, if it is that of a flat end.
fn face(grid: &Grid<'_>, x: f64) -> Option<[f64; 3]> {
    let ends = [grid.rows.first(), grid.rows.last()];
    let face = ends.into_iter().flatten().find(|r| r.section.is_none() && (r.x - x).abs() < 1e-6)?;
    face.nodes.first().map(|n| n.normal)
}

/// The master lines of a form that has no surface yet.
pub(super) fn half_drawn(lofted: &Lofted, eye: &Eye, wanted: &Wanted) -> Vec<SeenLine> {
    if !wanted.master_lines {
        return Vec::new();
    }
    let line = |name| lofted.line(name);
    let places = |part: SeenPart, name: LineName, y: &dyn Fn(f64) -> Option<f64>, z: &dyn Fn(f64) -> Option<f64>| {
        let (low, high) = line(name)?.range();
        let mut runs = Runs::default();
        for i in 0..=PLACES {
            let x = low + (high - low) * i as f64 / PLACES as f64;
            let point = [x, y(x)?, z(x)?];
            runs.add(eye.shown(point).map(|s| s.pixel), point, Some(Sight::InSight));
        }
        Some(SeenLine { part, runs: runs.done() })
    };
    let value = |name: LineName| move |x: f64| lofted.line(name).map(|l| l.at(x).value);
    let centre = |_: f64| Some(0.0);
    let mut out = Vec::new();
    out.extend(places(SeenPart::Crown, LineName::Crown, &centre, &value(LineName::Crown)));
    out.extend(places(SeenPart::Keel, LineName::Keel, &centre, &value(LineName::Keel)));
    for side in SIDES {
        let breadth = value(LineName::Breadth);
        let y = |x: f64| breadth(x).map(|y| side.sign() * y);
        out.extend(places(SeenPart::Breadth(side), LineName::Breadth, &y, &value(LineName::BreadthHeight)));
    }
    out
}
