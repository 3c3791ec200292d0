//! The surface around an opening, laid flat.

use crate::output::remembering::Ground;
use crate::reckoned::Reckoned;
use form::Lofted;
use form::shaft::RingTrim;
use form::space::{Vector, dot, sub};
use geometry::mesh::Mesh;
use geometry::mesh_hole::{HoleError, HoleRim};
use geometry::unrolled::unrolled;
use plug::{Point, Region};
use std::sync::Arc;

/// A patch of the surface around a closed line, and the same laid flat as it is seen from outside.
#[derive(Clone, Debug)]
pub(crate) struct Flat {
    patch: Mesh,
    at: Vec<Point>,
    rim: HoleRim,
}

/// How far the flat patch is from the surface.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Misfit {
    /// Greatest difference between a straight line in the flat from the middle to the opening's edge and the same line on the
    /// surface, mm.
    pub(crate) across: f64,
    /// Difference between the edge's length in the flat and on the surface, mm.
    pub(crate) round: f64,
}

/// How closely the surface is followed where it is laid flat, mm. A chord is shorter than its arc by less than a third of this over the
/// radius, as a share: on 50 mm of radius 0.03 mm in 100, less than a pencil line. The edge of what is cut out is followed more closely.
const SURFACE: f64 = 0.05;

/// A form's surface as templates are laid flat from it, cut off at the ring's plane where there is one.
pub(crate) fn ground(lofted: &Arc<Lofted>, trim: Option<RingTrim>, known: &Reckoned) -> Arc<Mesh> {
    let of = Ground { lofted: Arc::clone(lofted), trim };
    known.grounds.made_now(&of, || match (lofted.whole_skin(), trim) {
        (None, _) => Mesh::default(),
        (Some(skin), None) => skin.loft().mesh(SURFACE),
        (Some(_), Some(trim)) => ground(lofted, None, known).trimmed(&trim.oblique()),
    })
}

/// Lines from the middle to the edge that are compared.
const SPOKES: usize = 24;
/// Steps along each.
const STEPS: usize = 30;

impl Flat {
    /// Lays flat what lies in the line and within `margin` mm around it. The line is a closed polyline on the mesh, seen along
    /// `sight`; `up` points up in the flat; triangles with all corners `apart` are left out but within the line.
    ///
    /// # Errors
    /// The line cannot be found on the mesh.
    pub(crate) fn of(
        mesh: &Mesh,
        line: &[Vector],
        (sight, up): (Vector, Vector),
        margin: f64,
        apart: impl Fn(Vector) -> bool,
    ) -> Result<Self, HoleError> {
        // A little beyond the margin, so that the flat has it all; what is too much is cut off there.
        let (patch, rim) = near(mesh, line, 2.0 * margin + NEAR).parted(line, sight)?.around(1.3 * margin + 1.0, apart);
        let right = form::space::unit(form::space::cross(sight, up));
        let upward = form::space::cross(right, sight);
        let first: Vec<Point> = patch.vertices.iter().map(|p| [dot(*p, right), dot(*p, upward)]).collect();
        let at = unrolled(&patch, &first).flat;
        let mut flat = Self { patch, at, rim };
        flat.turn_upright(up);
        Ok(flat)
    }

    /// The same on the other side of the centre plane, where the surface is the mirror image: laid flat it is the mirror image too.
    pub(crate) fn mirrored(&self) -> Self {
        let mut twin = self.clone();
        twin.patch.vertices.iter_mut().for_each(|p| p[1] = -p[1]);
        // Outward, and counter-clockwise in the flat, is the other way round in a mirror.
        twin.patch.triangles.iter_mut().for_each(|t| t.swap(1, 2));
        twin.at.iter_mut().for_each(|p| p[0] = -p[0]);
        twin.rim.places.reverse();
        twin
    }

    /// Whether something holds of every corner of the patch.
    pub(crate) fn all(&self, holds: impl Fn(Vector) -> bool) -> bool {
        self.patch.vertices.iter().all(|p| holds(*p))
    }

    /// Turns it so that the measure along `up` rises straight upward on the whole, and puts the middle of the opening at (0, 0).
    fn turn_upright(&mut self, up: Vector) {
        let count = self.at.len().max(1) as f64;
        let middle = [0, 1].map(|k| self.at.iter().map(|p| p[k]).sum::<f64>() / count);
        let mean = self.patch.vertices.iter().map(|p| dot(*p, up)).sum::<f64>() / count;
        // Least squares: the gradient of the measure over the flat.
        let (mut xx, mut xy, mut yy, mut xw, mut yw) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (p, v) in self.at.iter().zip(&self.patch.vertices) {
            let (x, y, w) = (p[0] - middle[0], p[1] - middle[1], dot(*v, up) - mean);
            (xx, xy, yy, xw, yw) = (xx + x * x, xy + x * y, yy + y * y, xw + x * w, yw + y * w);
        }
        let whole = xx * yy - xy * xy;
        let (gx, gy) = ((xw * yy - yw * xy) / whole, (yw * xx - xw * xy) / whole);
        let size = gx.hypot(gy);
        if size.is_finite() && size > 0.0 {
            let (sin, cos) = (gx / size, gy / size);
            self.at.iter_mut().for_each(|p| *p = [p[0] * cos - p[1] * sin, p[0] * sin + p[1] * cos]);
        }
        if let Some(c) = self.opening().centroid() {
            self.at.iter_mut().for_each(|p| *p = [p[0] - c[0], p[1] - c[1]]);
        }
    }

    /// The opening's edge in the flat.
    pub(crate) fn edge(&self) -> Vec<Point> {
        self.rim.places.iter().map(|place| self.at[place.vertex as usize]).collect()
    }

    /// What the edge encloses in the flat. Where corners of the edge lie closer together than the flat can tell they may be folded over
    /// one another; the specks that this leaves beside the opening are none of it.
    pub(crate) fn opening(&self) -> Region {
        let pieces = Region::of(&self.edge()).pieces.into_iter().map(|piece| Region { pieces: vec![piece] });
        pieces.max_by(|a, b| a.area().total_cmp(&b.area())).unwrap_or_default()
    }

    /// All of the patch.
    pub(crate) fn region(&self) -> Region {
        let loops = self.patch.open_loops();
        let outline = |l: &Vec<u32>| Region::of(&l.iter().map(|v| self.at[*v as usize]).collect::<Vec<_>>());
        // The outer edge is the largest; a hole in the patch, where it goes round something, is no matter for a card.
        loops.iter().map(outline).max_by(|a, b| a.area().total_cmp(&b.area())).unwrap_or_default()
    }

    /// The flat lines along which a measure of places has a value.
    pub(crate) fn lines(&self, measure: impl Fn(Vector) -> f64, level: f64) -> Vec<Vec<Point>> {
        let place = |(a, b, share): (u32, u32, f64)| {
            let (p, q) = (self.at[a as usize], self.at[b as usize]);
            [0, 1].map(|k| p[k] + share * (q[k] - p[k]))
        };
        let lines = self.patch.level_lines(measure, level);
        lines.into_iter().map(|line| line.into_iter().map(place).collect()).collect()
    }

    /// Least and greatest value of a measure within the patch.
    pub(crate) fn range(&self, measure: impl Fn(Vector) -> f64) -> (f64, f64) {
        let values = self.patch.vertices.iter().map(|v| measure(*v));
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
    }

    /// Where a place of the flat lies on the surface; `None` off the patch.
    pub(crate) fn on_surface(&self, p: Point) -> Option<Vector> {
        self.on_triangles(p, 0..self.patch.triangles.len())
    }

    /// The same, if it lies on one of these triangles.
    fn on_triangles(&self, p: Point, triangles: impl IntoIterator<Item = usize>) -> Option<Vector> {
        triangles.into_iter().map(|i| &self.patch.triangles[i]).find_map(|t| {
            let [a, b, c] = t.map(|v| self.at[v as usize]);
            // Most lie elsewhere, which is soon seen.
            let beside =
                |k: usize| p[k] < a[k].min(b[k]).min(c[k]) - ON_EDGE || p[k] > a[k].max(b[k]).max(c[k]) + ON_EDGE;
            if beside(0) || beside(1) {
                return None;
            }
            let turn = |p: Point, q: Point, r: Point| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
            let whole = turn(a, b, c);
            let shares = [turn(p, b, c), turn(a, p, c), turn(a, b, p)].map(|s| s / whole);
            let inside = shares.iter().all(|s| *s >= -1e-9);
            let corners = t.map(|v| self.patch.vertices[v as usize]);
            inside.then(|| [0, 1, 2].map(|k| (0..3).map(|i| shares[i] * corners[i][k]).sum()))
        })
    }

    /// The triangles sorted into level bands of the flat, for many questions.
    fn bands(&self) -> Bands {
        let heights = || self.at.iter().map(|p| p[1]);
        let (low, high) = (heights().fold(f64::INFINITY, f64::min), heights().fold(f64::NEG_INFINITY, f64::max));
        let per_mm = if high > low { BANDS as f64 / (high - low) } else { 0.0 };
        let mut bands = Bands { low, per_mm, triangles: vec![Vec::new(); BANDS] };
        for (i, t) in self.patch.triangles.iter().enumerate() {
            let [a, b, c] = t.map(|v| self.at[v as usize][1]);
            let ends = [a.min(b).min(c) - ON_EDGE, a.max(b).max(c) + ON_EDGE].map(|y| bands.band(y));
            bands.triangles[ends[0]..=ends[1]].iter_mut().for_each(|band| band.push(i));
        }
        bands
    }

    /// How far the flat is from the surface.
    pub(crate) fn misfit(&self) -> Misfit {
        let edge = self.edge();
        let corners: Vec<Vector> = self.rim.places.iter().map(|p| self.patch.vertices[p.vertex as usize]).collect();
        let n = edge.len();
        let round = |i: usize| {
            let j = (i + 1) % n;
            let flat = (edge[j][0] - edge[i][0]).hypot(edge[j][1] - edge[i][1]);
            flat - form::space::length(sub(corners[j], corners[i]))
        };
        let bands = self.bands();
        let on_surface = |p: Point| self.on_triangles(p, bands.triangles[bands.band(p[1])].iter().copied());
        let spoke = |i: usize| {
            let [x, y] = edge[i * n / SPOKES];
            let at = |k: usize| [0.999_9 * x * k as f64 / STEPS as f64, 0.999_9 * y * k as f64 / STEPS as f64];
            let places: Option<Vec<Vector>> = (0..=STEPS).map(|k| on_surface(at(k))).collect();
            let length: f64 = places?.windows(2).map(|w| form::space::length(sub(w[1], w[0]))).sum();
            Some((0.999_9 * x.hypot(y) - length).abs())
        };
        Misfit { across: (0..SPOKES).filter_map(spoke).fold(0.0, f64::max), round: (0..n).map(round).sum() }
    }
}

/// Bands that a flat is sorted into.
const BANDS: usize = 64;

/// Triangles by the bands that they touch, each band in their order.
struct Bands {
    low: f64,
    /// Bands for each mm.
    per_mm: f64,
    triangles: Vec<Vec<usize>>,
}

impl Bands {
    fn band(&self, y: f64) -> usize {
        (((y - self.low) * self.per_mm).max(0.0) as usize).min(BANDS - 1)
    }
}

/// So far beside a triangle's edge a place still counts as on it, mm.
const ON_EDGE: f64 = 1e-6;
/// Kept besides, mm: triangles may reach far.
const NEAR: f64 = 5.0;

/// The triangles whose boxes come near the box of a line: the rest of a large mesh only costs time.
fn near(mesh: &Mesh, line: &[Vector], reach: f64) -> Mesh {
    let low = [0, 1, 2].map(|k| line.iter().map(|p| p[k]).fold(f64::INFINITY, f64::min) - reach);
    let high = [0, 1, 2].map(|k| line.iter().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max) + reach);
    let close = |t: &&[u32; 3]| {
        let corners = t.map(|v| mesh.vertices[v as usize]);
        (0..3).all(|k| corners.iter().any(|c| c[k] <= high[k]) && corners.iter().any(|c| c[k] >= low[k]))
    };
    let triangles = mesh.triangles.iter().filter(close).copied().collect();
    Mesh { vertices: mesh.vertices.clone(), triangles }.without_face(|_| false)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    /// A tube of radius r about the x axis, 200 mm long.
    fn tube(r: f64) -> Mesh {
        let (round, along) = (180_u32, 40_u32);
        let mut mesh = Mesh::default();
        for i in 0..=along {
            for j in 0..round {
                let (sin, cos) = (TAU * f64::from(j) / f64::from(round)).sin_cos();
                mesh.vertices.push([5.0 * f64::from(i), r * sin, r * cos]);
            }
        }
        for i in 0..along {
            for j in 0..round {
                let k = (j + 1) % round;
                let [a, b, c, d] = [i * round + j, i * round + k, (i + 1) * round + k, (i + 1) * round + j];
                mesh.triangles.extend([[a, d, b], [b, d, c]]);
            }
        }
        mesh
    }

    /// Closed form: on a cylinder the flat place is (x, r φ). An opening that is round as it is seen from starboard is as long as
    /// before and higher by the arc: 2 r asin(ρ / r).
    #[test]
    fn an_opening_in_a_cylinder_is_laid_flat_exactly() {
        let (r, rho) = (60.0, 35.0);
        let line: Vec<Vector> = (0..120)
            .map(|i| {
                let (sin, cos) = (TAU * f64::from(i) / 120.0).sin_cos();
                let z = rho * sin;
                [100.0 + rho * cos, (r * r - z * z).sqrt(), z]
            })
            .collect();
        let sight = [0.0, -1.0, 0.0];
        let flat = Flat::of(&tube(r), &line, (sight, [0.0, 0.0, 1.0]), 12.0, |_| false).unwrap();
        let (low, high) = Region::of(&flat.edge()).bounds().unwrap();
        let (wide, tall) = (high[0] - low[0], high[1] - low[1]);
        let arc = 2.0 * r * (rho / r).asin();
        assert!((wide - 2.0 * rho).abs() < 0.05 && (tall - arc).abs() < 0.05, "{wide} by {tall}, {arc}");
        let misfit = flat.misfit();
        // The tube's facets stand 0.009 mm off the cylinder, some on each line from the middle to the edge.
        assert!(misfit.across < 0.05 && misfit.round.abs() < 0.05, "{misfit:?}");
        // Seen from starboard the front is at the right; a station's line stands upright, and heights rise.
        for station in [80.0, 110.0] {
            for p in flat.lines(|p| p[0], station).iter().flatten() {
                assert!((p[0] + station - 100.0).abs() < 0.05, "{p:?}");
            }
        }
        for p in flat.lines(|p| p[2], 20.0).iter().flatten() {
            assert!((p[1] - r * (20.0_f64 / r).asin()).abs() < 0.05, "{p:?}");
        }
    }
}
