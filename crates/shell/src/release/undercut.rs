//! Undercut: where the plug holds the shell back, in mm² and by place.
//!
//! A place is undercut for a way when its outward normal points against it. Cells that the boundary crosses are quartered four times
//! and cut there along a straight line of the values at their corners.

use super::cell::{Cell, WHOLE, Window, corners_of, quarter};
use super::survey::{Spot, Survey};
use form::space::{Vector, add, dot, times};

/// Undercut that hangs together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Its area, mm².
    pub area: f64,
    /// Its middle, by area, mm.
    pub centre: Vector,
    /// Foremost and rearmost station, mm, within a cell.
    pub stations: (f64, f64),
    /// Lowest and highest place, mm, within a cell.
    pub heights: (f64, f64),
    /// Its least draft, degrees; negative.
    pub worst_deg: f64,
    /// Where that is, mm.
    pub worst: Vector,
}

/// A value at every place; a region is where it is not negative.
pub(crate) type Region<'r> = dyn Fn(&Spot) -> f64 + 'r;

/// Draft below this, as a sine, is undercut: a straight side counts as none, whatever rounding makes of it.
pub(crate) const LEVEL: f64 = 1e-6;
/// How often a cell on a boundary is quartered.
const DEEP: u32 = 4;

/// What of a cell lies in all regions.
#[derive(Clone, Copy, Default)]
struct Kept {
    area: f64,
    moment: Vector,
    worst: Option<(f64, Vector)>,
}

impl Kept {
    fn take(&mut self, area: f64, at: Vector) {
        self.area += area;
        self.moment = add(self.moment, times(at, area));
    }

    fn see(&mut self, sine: f64, at: Vector) {
        if self.worst.is_none_or(|w| sine < w.0) {
            self.worst = Some((sine, at));
        }
    }
}

/// What is asked of every cell.
struct Asked<'r> {
    /// All of these at once.
    regions: &'r [&'r Region<'r>],
    /// The sine of the draft, of which the least is noted.
    sine: &'r dyn Fn(&Spot) -> f64,
}

impl Survey<'_> {
    /// Area within regions, mm².
    pub(crate) fn area_within(&self, regions: &[&Region<'_>]) -> f64 {
        let asked = Asked { regions, sine: &|_| 0.0 };
        self.cells.iter().map(|cell| self.kept(cell, &asked).area).fold(0.0, std::ops::Add::add)
    }

    /// Patches of undercut for a way (a unit vector) within regions, the greatest first.
    pub(crate) fn undercut(&self, way: Vector, regions: &[&Region<'_>]) -> Vec<Patch> {
        let sine = |spot: &Spot| dot(spot.n, way);
        let against = |spot: &Spot| -sine(spot) - LEVEL;
        let mut all: Vec<&Region<'_>> = regions.to_vec();
        all.push(&against);
        let asked = Asked { regions: &all, sine: &sine };
        let kept: Vec<Kept> = self.cells.iter().map(|cell| self.kept(cell, &asked)).collect();
        self.patches(&kept)
    }

    fn kept(&self, cell: &Cell, asked: &Asked<'_>) -> Kept {
        let mut out = Kept::default();
        let corners = cell.corners();
        match asked.lies(&corners) {
            Lies::Out => (),
            Lies::In => {
                out.take(cell.area, cell.middle().p);
                corners.iter().for_each(|c| out.see((asked.sine)(c), c.p));
            }
            Lies::Across => {
                quartered(cell, &WHOLE, &corners, DEEP, asked, &mut out);
                out.area *= cell.shrinks;
                out.moment = times(out.moment, cell.shrinks);
            }
        }
        out
    }

    /// Cells that touch, joined.
    fn patches(&self, kept: &[Kept]) -> Vec<Patch> {
        let mut index = std::collections::HashMap::new();
        for (i, cell) in self.cells.iter().enumerate() {
            if kept[i].area > 0.0 {
                index.insert(cell.at, i);
            }
        }
        let mut seen = vec![false; self.cells.len()];
        let mut out = Vec::new();
        for i in 0..self.cells.len() {
            if kept[i].area > 0.0 && !seen[i] {
                seen[i] = true;
                let mut members = vec![i];
                let mut next = 0;
                while next < members.len() {
                    let near = self.beside(self.cells[members[next]].at);
                    for j in near.into_iter().flatten().filter_map(|at| index.get(&at).copied()) {
                        if !std::mem::replace(&mut seen[j], true) {
                            members.push(j);
                        }
                    }
                    next += 1;
                }
                out.extend(self.patch(&members, kept));
            }
        }
        out.sort_by(|a, b| b.area.total_cmp(&a.area));
        out
    }

    fn beside(&self, [row, column]: [usize; 2]) -> [Option<[usize; 2]>; 4] {
        let round = self.columns.max(1);
        [
            row.checked_sub(1).map(|row| [row, column]),
            Some([row + 1, column]),
            Some([row, (column + 1) % round]),
            Some([row, (column + round - 1) % round]),
        ]
    }

    fn patch(&self, members: &[usize], kept: &[Kept]) -> Option<Patch> {
        let mut sum = Kept::default();
        let mut stations = (f64::INFINITY, f64::NEG_INFINITY);
        let mut heights = stations;
        for &i in members {
            sum.area += kept[i].area;
            sum.moment = add(sum.moment, kept[i].moment);
            if let Some((sine, at)) = kept[i].worst {
                sum.see(sine, at);
            }
            for corner in &self.cells[i].corners() {
                stations = (stations.0.min(corner.station), stations.1.max(corner.station));
                heights = (heights.0.min(corner.p[2]), heights.1.max(corner.p[2]));
            }
        }
        let (sine, worst) = sum.worst?;
        let worst_deg = sine.clamp(-1.0, 1.0).asin().to_degrees();
        Some(Patch { area: sum.area, centre: times(sum.moment, 1.0 / sum.area), stations, heights, worst_deg, worst })
    }
}

/// Adds what of a window of a cell lies within the regions.
fn quartered(cell: &Cell, window: &Window, corners: &[Spot; 4], deep: u32, asked: &Asked<'_>, out: &mut Kept) {
    match asked.lies(corners) {
        Lies::Out => (),
        Lies::Across if deep > 0 => {
            for k in 0..4 {
                let quarter = quarter(window, k);
                let corners = corners_of(&quarter).map(|at| cell.spot(at));
                quartered(cell, &quarter, &corners, deep - 1, asked, out);
            }
        }
        Lies::In | Lies::Across => {
            let middle = times(corners.iter().fold([0.0; 3], |sum, c| add(sum, c.p)), 0.25);
            out.take(asked.share_within(corners) * cell.area_of(window), middle);
            let within = |c: &&Spot| asked.regions.iter().all(|r| r(c) >= 0.0);
            corners.iter().filter(within).for_each(|c| out.see((asked.sine)(c), c.p));
        }
    }
}

enum Lies {
    In,
    Out,
    Across,
}

impl Asked<'_> {
    fn lies(&self, corners: &[Spot; 4]) -> Lies {
        let mut all_in = true;
        for region in self.regions {
            let inside = corners.iter().filter(|c| region(c) >= 0.0).count();
            if inside == 0 {
                return Lies::Out;
            }
            all_in &= inside == 4;
        }
        if all_in { Lies::In } else { Lies::Across }
    }

    /// Share of a cell's square within all regions, whose values run straight between its corners.
    fn share_within(&self, corners: &[Spot; 4]) -> f64 {
        let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        let mut polygon: Vec<[f64; 2]> = square.to_vec();
        for region in self.regions {
            let [a, b, c, d] = corners.map(|corner| region(&corner));
            let value = |[s, t]: [f64; 2]| (1.0 - t) * ((1.0 - s) * a + s * b) + t * ((1.0 - s) * d + s * c);
            let mut cut = Vec::with_capacity(polygon.len() + 2);
            for i in 0..polygon.len() {
                let (p, q) = (polygon[i], polygon[(i + 1) % polygon.len()]);
                let (vp, vq) = (value(p), value(q));
                if vp >= 0.0 {
                    cut.push(p);
                }
                if (vp >= 0.0) != (vq >= 0.0) {
                    let share = vp / (vp - vq);
                    cut.push([0, 1].map(|k| p[k] + share * (q[k] - p[k])));
                }
            }
            polygon = cut;
        }
        let twice: f64 = (0..polygon.len())
            .map(|i| {
                let (p, q) = (polygon[i], polygon[(i + 1) % polygon.len()]);
                p[0] * q[1] - p[1] * q[0]
            })
            .sum();
        (0.5 * twice).abs()
    }
}
