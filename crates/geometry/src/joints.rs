//! Where the runs of a cut surface that was moved along its normal meet each other and the centre plane.
//!
//! A convex edge of an inset is trimmed to the crossing, on the centre plane for a ridge. A hollow one parts: the moved surface
//! there is the pipe of the thickness's radius about the edge, between the normals of both sides, and its places are solved for in
//! the cutting plane like all others.

use crate::control::Half;
use crate::crossing::segment_crossing;
use crate::roots::regula_falsi;
use crate::section::SurfacePlace;
use crate::unit::Strand;
use std::sync::Arc;

/// A place of the moved surface in the cutting plane, and the surface normal it came along.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OffsetPlace {
    pub(crate) p: [f64; 2],
    pub(crate) normal: [f64; 3],
}

impl OffsetPlace {
    /// Station and place of a point at station `x`, given with the unit normal there, once it is moved inward by `t` mm.
    pub(crate) fn moved(x: f64, (p, normal): ([f64; 2], [f64; 3]), t: f64) -> (f64, Self) {
        (x - t * normal[0], Self { p: [p[0] - t * normal[1], p[1] - t * normal[2]], normal })
    }
}

/// The end of a run in the cutting plane.
#[derive(Clone, Debug)]
pub(crate) struct RunEnd {
    pub(crate) place: OffsetPlace,
    pub(crate) half: Half,
    pub(crate) strand: Arc<Strand>,
}

/// A surface moved along its normal, and a plane that cuts it.
pub(crate) trait Cut {
    /// Inward, mm.
    fn thickness(&self) -> f64;

    /// A place of the surface that is not moved.
    fn on_surface(&self, x: f64, half: Half, strand: &Strand) -> SurfacePlace;

    /// Of a curve along the body, given by its point and a unit normal at each station, the place whose moved point lies in the plane.
    fn solve(&self, at: &impl Fn(f64) -> ([f64; 2], [f64; 3])) -> Option<OffsetPlace>;

    /// The end of a run, found.
    fn run_end(&self, half: Half, strand: Arc<Strand>) -> Option<RunEnd> {
        let place = self.solve(&|x| with_normal(&self.on_surface(x, half, &strand)))?;
        Some(RunEnd { place, half, strand })
    }
}

/// A place and the outward unit normal there.
pub(crate) fn with_normal(place: &SurfacePlace) -> ([f64; 2], [f64; 3]) {
    (place.p, normal_of(place))
}

/// Outward unit normal at a place of the surface.
pub(crate) fn normal_of(place: &SurfacePlace) -> [f64; 3] {
    let ([yf, zf], [yx, zx]) = (place.by_fraction, place.by_x);
    let n = [zf * yx - yf * zx, -zf, yf];
    let length = (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt();
    if length > 0.0 { n.map(|c| c / length) } else { [0.0, 0.0, 0.0] }
}

/// Where the surface has an edge across the body and, moved inward by `t` mm, lies ahead of the plane on one side of it and behind it
/// on the other: the place of the pipe about that edge which lies in the plane. Given are the station of the edge and its place,
/// the normals on both sides, and how far a place at a station lies behind the plane.
pub(crate) fn about_edge(
    (x, edge): (f64, [f64; 2]),
    normals: [[f64; 3]; 2],
    t: f64,
    behind: &impl Fn(f64, [f64; 2]) -> f64,
) -> OffsetPlace {
    let miss = |share: f64| {
        let (station, place) = OffsetPlace::moved(x, (edge, between(normals, share)), t);
        (behind(station, place.p), place)
    };
    regula_falsi(&miss, 0.0, 1.0).lower().1
}

/// Trims or closes the start of an outline at the centre plane.
pub(crate) fn centre_start(cut: &impl Cut, line: &mut Vec<[f64; 2]>, start: &RunEnd, tolerance: f64) {
    if start.place.p[0] < 0.0 {
        trim_to_centre(line);
    } else if start.place.p[0] > 1e-9 {
        line.splice(0..0, ridge(cut, start, tolerance).into_iter().rev());
    }
}

/// The same at the end of an outline.
pub(crate) fn centre_end(cut: &impl Cut, line: &mut Vec<[f64; 2]>, end: &RunEnd, tolerance: f64) {
    if end.place.p[0] < 0.0 {
        line.reverse();
        trim_to_centre(line);
        line.reverse();
    } else if end.place.p[0] > 1e-9 {
        line.extend(ridge(cut, end, tolerance));
    }
}

/// Joins two runs at a knuckle: smooth ones as they are, crossing ones trimmed, parted ones by the pipe about the edge.
pub(crate) fn join(
    cut: &impl Cut,
    before: &mut Vec<[f64; 2]>,
    after: &mut Vec<[f64; 2]>,
    ends: [&RunEnd; 2],
    tolerance: f64,
) {
    let [end, start] = ends.map(|e| e.place);
    if (end.p[0] - start.p[0]).hypot(end.p[1] - start.p[1]) < 1e-9 {
        return;
    }
    // Seen from crown to keel outward is left, so the section turns right over a convex edge.
    let turn = end.normal[1] * start.normal[2] - end.normal[2] * start.normal[1];
    if turn * cut.thickness() < 0.0 {
        trim_to_crossing(before, after);
    } else {
        before.extend(pipe(cut, ends, tolerance));
    }
}

/// Places strictly between two parted runs.
fn pipe(cut: &impl Cut, [before, after]: [&RunEnd; 2], tolerance: f64) -> Vec<[f64; 2]> {
    let on = |x: f64, end: &RunEnd| with_normal(&cut.on_surface(x, end.half, &end.strand));
    let place = |share: f64| {
        cut.solve(&|x| {
            let ((_, from), (p, to)) = (on(x, before), on(x, after));
            (p, between([from, to], share))
        })
    };
    let shares = shares([before.place.normal, after.place.normal], cut.thickness(), tolerance);
    shares.into_iter().filter_map(place).map(|found| found.p).collect()
}

/// Places from one at a ridge that parts to the centre plane, the one there among them.
fn ridge(cut: &impl Cut, from: &RunEnd, tolerance: f64) -> Vec<[f64; 2]> {
    let place = |share: f64| {
        cut.solve(&|x| {
            let (p, normal) = with_normal(&cut.on_surface(x, from.half, &from.strand));
            (p, between([normal, upright(normal)], share))
        })
    };
    let shares = shares([from.place.normal, upright(from.place.normal)], cut.thickness(), tolerance);
    let mut out: Vec<[f64; 2]> = shares.into_iter().chain([1.0]).filter_map(place).map(|found| found.p).collect();
    out.iter_mut().last().into_iter().for_each(|p| p[0] = 0.0);
    out
}

/// Drops the points that start on the port side, and puts the crossing of the centre plane in their place.
fn trim_to_centre(line: &mut Vec<[f64; 2]>) {
    let Some(i) = line.iter().position(|p| p[0] >= 0.0) else {
        line.clear();
        return;
    };
    if i > 0 {
        let (a, b) = (line[i - 1], line[i]);
        let share = a[0] / (a[0] - b[0]);
        line.drain(..i);
        line.insert(0, [0.0, a[1] + share * (b[1] - a[1])]);
    }
}

/// The last crossing of `before` met by `after`, seen from the knuckle; both are cut there.
fn trim_to_crossing(before: &mut Vec<[f64; 2]>, after: &mut Vec<[f64; 2]>) {
    for j in 0..after.len().saturating_sub(1) {
        for i in (0..before.len().saturating_sub(1)).rev() {
            if let Some(p) = segment_crossing([before[i], before[i + 1]], [after[j], after[j + 1]]) {
                before.truncate(i + 1);
                before.push(p);
                after.drain(..=j);
                return;
            }
        }
    }
}

/// Shares of the way from one normal to another, without both ends, so close that chords of an arc of radius `t` stay within the
/// tolerance.
fn shares([from, to]: [[f64; 3]; 2], t: f64, tolerance: f64) -> Vec<f64> {
    let dot: f64 = (0..3).map(|k| from[k] * to[k]).sum();
    let angle = dot.clamp(-1.0, 1.0).acos();
    let step = 2.0 * (1.0 - (tolerance / t.abs()).min(1.0)).acos();
    let count = (angle / step.max(1e-3)).ceil().max(1.0) as usize;
    (1..count).map(|i| i as f64 / count as f64).collect()
}

/// The unit normal a share of the way from one to the other. Both are square to the edge between them, and so is this.
fn between([from, to]: [[f64; 3]; 2], share: f64) -> [f64; 3] {
    let mix: [f64; 3] = std::array::from_fn(|k| from[k] + share * (to[k] - from[k]));
    let length = (mix[0] * mix[0] + mix[1] * mix[1] + mix[2] * mix[2]).sqrt().max(f64::MIN_POSITIVE);
    mix.map(|c| c / length)
}

/// The normal in the centre plane, halfway between the two sides of a ridge.
fn upright(n: [f64; 3]) -> [f64; 3] {
    let length = n[0].hypot(n[2]).max(f64::MIN_POSITIVE);
    [n[0] / length, 0.0, n[2] / length]
}

/// What of an outline from crown to keel lies to starboard and the right way round, mm: the largest stretch, from centre plane to centre
/// plane; nothing where an inset reaches beyond a pointed end, so that only its far side would be left.
pub(crate) fn to_starboard(line: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    let sound = line.iter().all(|p| p[0] >= -ON_CENTRE) && area(&line) > LEAST_AREA;
    if sound {
        return line;
    }
    let mut stretches: Vec<Vec<[f64; 2]>> = vec![Vec::new()];
    for (i, p) in line.iter().enumerate() {
        let before = i.checked_sub(1).map(|k| line[k]);
        if let Some(q) = before.filter(|q| (q[0] >= -ON_CENTRE) != (p[0] >= -ON_CENTRE)) {
            let crossing = [0.0, q[1] + (p[1] - q[1]) * q[0] / (q[0] - p[0])];
            if p[0] < -ON_CENTRE {
                stretches.iter_mut().last().into_iter().for_each(|s| s.push(crossing));
            } else {
                stretches.push(vec![crossing]);
            }
        }
        if p[0] >= -ON_CENTRE {
            stretches.iter_mut().last().into_iter().for_each(|s| s.push(*p));
        }
    }
    let largest = stretches.into_iter().max_by(|a, b| area(a).total_cmp(&area(b)));
    largest.filter(|s| area(s) > LEAST_AREA).unwrap_or_default()
}

/// Nearer to the centre plane than this is on it, mm.
const ON_CENTRE: f64 = 1e-9;
/// A half section of less area is nothing, mm².
const LEAST_AREA: f64 = 1e-6;

/// Area between an outline and the centre plane, positive where it runs from crown to keel to starboard.
fn area(line: &[[f64; 2]]) -> f64 {
    line.windows(2).map(|w| 0.5 * (w[0][0] + w[1][0]) * (w[0][1] - w[1][1])).sum()
}
