//! The surface, moved inward along its normal, cut by a plane that leans from the cross planes: the trimmed front of a form.
//!
//! ```text
//!      side view         plane
//!        ahead of it     /
//!               .-------*------     a strand (one place of the half section, followed along the body) begins ahead of the
//!              |       /            plane and meets it at *: that place is solved for
//!              |      /
//!     front    |     /
//!     face     |    /
//!              |   /                a strand that begins behind the plane does not meet it: its foremost place is carried
//!          o<--|--'---------        ahead along a given way onto the plane, and so marked
//! ```
//!
//! Each place lies on the surface itself and on the plane, both within 1e-9 mm. A strand that meets the plane more than once, as
//! it can where the body swells faster than the plane leans, is cut at one of these places.

use crate::control::Half;
use crate::crossing::self_crossings;
use crate::flatten::refine;
use crate::joints::{Cut, OffsetPlace, RunEnd, about_edge, centre_end, centre_start, join, with_normal};
use crate::loft::Loft;
use crate::offset::without_loops;
use crate::roots::{Root, regula_falsi, secant};
use crate::section::{Section, SurfacePlace};
use crate::unit::Strand;
use std::sync::Arc;

/// A plane that crosses the body, by its station at every half-breadth and height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ObliquePlane {
    /// Station at half-breadth 0 and height 0, mm.
    pub station: f64,
    /// Change of the station per mm to starboard and per mm upward.
    pub lean: [f64; 2],
}

impl ObliquePlane {
    /// Station of the plane at (half-breadth, height), mm.
    pub fn at(&self, [y, z]: [f64; 2]) -> f64 {
        self.station + self.lean[0] * y + self.lean[1] * z
    }

    /// The plane as the port half sees it: mirrored in the centre plane.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self { lean: [-self.lean[0], self.lean[1]], ..*self }
    }
}

/// One half of the surface, to be cut.
struct Half3<'a> {
    loft: &'a Loft,
    plane: ObliquePlane,
    thickness: f64,
    /// The way along which what begins behind the plane is carried onto it: (y, z) per mm ahead.
    way: [f64; 2],
}

impl Loft {
    /// The starboard half of the section by an oblique plane of the surface moved inward by `thickness` mm: (station,
    /// half-breadth, height) from crown to keel. Where the flat front (of the moved surface too, which keeps its ends) lies behind
    /// the plane, it is carried onto it along `way`, (y, z) per mm ahead; those places are the ones with a station ahead of the
    /// form. `None` where some strand runs out of the form's rear end ahead of the plane.
    ///
    /// Chords stay within `tolerance` mm of the curve as both are seen along the datum axis.
    pub fn oblique_half(
        &self,
        plane: &ObliquePlane,
        thickness: f64,
        way: [f64; 2],
        tolerance: f64,
    ) -> Option<Vec<[f64; 3]>> {
        let half = Half3 { loft: self, plane: *plane, thickness, way };
        let outline = half.outline(tolerance)?;
        Some(outline.into_iter().map(|p| [plane.at(p), p[0], p[1]]).collect())
    }
}

impl Half3<'_> {
    /// The outline as it is seen along the datum axis, corners treated as those of [`Loft::offset_section`] are.
    fn outline(&self, tolerance: f64) -> Option<Vec<[f64; 2]>> {
        let mut out: Vec<[f64; 2]> = Vec::new();
        let mut before: Option<RunEnd> = None;
        for half in self.loft.halves() {
            for run in 0..half.run_count() {
                let place = |f: f64| {
                    let strand = self.strand(half.half, run, f);
                    self.solve(&|x| with_normal(&self.on_surface(x, half.half, &strand)))
                };
                let end = |f: f64| self.run_end(half.half, self.strand(half.half, run, f));
                let (start, end) = (end(0.0)?, end(1.0)?);
                // Between two ends that reach the plane a strand that does not is met by its neighbour's place.
                let curve = |f: f64| place(f).map_or(start.place.p, |p| p.p);
                let mut line = vec![start.place.p];
                for w in half.run_breaks(run).windows(2) {
                    refine(&curve, w[0], w[1], tolerance, &mut line);
                }
                match &before {
                    None => centre_start(self, &mut line, &start, tolerance),
                    Some(last) => join(self, &mut out, &mut line, [last, &start], tolerance),
                }
                out.append(&mut line);
                before = Some(end);
            }
        }
        centre_end(self, &mut out, &before?, tolerance);
        if !self_crossings(&out).is_empty() {
            out = without_loops(&out);
        }
        out.dedup_by(|b, a| (b[0] - a[0]).hypot(b[1] - a[1]) < 1e-9);
        Some(out)
    }

    fn strand(&self, half: Half, run: usize, fraction: f64) -> Arc<Strand> {
        self.loft.unit().strand(crate::section::index(half), run, fraction)
    }

    /// A place that lies `behind` mm behind the plane along the datum axis, carried onto it.
    fn carried(&self, place: OffsetPlace, behind: f64) -> OffsetPlace {
        let ahead = behind / (1.0 + self.plane.lean[0] * self.way[0] + self.plane.lean[1] * self.way[1]);
        OffsetPlace { p: [0, 1].map(|k| place.p[k] + ahead * self.way[k]), ..place }
    }
}

impl Cut for Half3<'_> {
    fn thickness(&self) -> f64 {
        self.thickness
    }

    fn on_surface(&self, x: f64, half: Half, strand: &Strand) -> SurfacePlace {
        Section::new(self.loft, x).place(half, strand)
    }

    fn solve(&self, curve: &impl Fn(f64) -> ([f64; 2], [f64; 3])) -> Option<OffsetPlace> {
        let (front, rear) = self.loft.x_range();
        let (t, reach) = (self.thickness, self.thickness.abs());
        // Station and place of the moved curve that belong to a station of the curve.
        let at = |x: f64| OffsetPlace::moved(x, curve(x), t);
        let to = |station: f64| {
            let miss = |x: f64| (at(x).0 - station, ());
            secant(&miss, station, reach)
                .unwrap_or_else(|| regula_falsi(&miss, station - reach, station + reach).lower())
                .0
        };
        let behind = |x: f64| {
            let (station, place) = at(x);
            (station - self.plane.at(place.p), place)
        };
        let low = to(front);
        let (lies_behind, place) = behind(low);
        if lies_behind >= 0.0 {
            return Some(self.carried(place, lies_behind));
        }
        let root = |from: f64, to: f64| match regula_falsi(&behind, from, to) {
            Root::At(_, place) => place,
            Root::Leap(x, sides) => {
                let normals = sides.map(|s| s.normal);
                about_edge((x, curve(x).0), normals, t, &|station, p| station - self.plane.at(p))
            }
        };
        // Mostly the plane is near: a bracket that grows from the front finds it sooner than one over the whole body.
        let (mut from, mut reach) = (low, -2.0 * lies_behind);
        while low + reach < rear {
            if behind(low + reach).0 > 0.0 {
                return Some(root(from, low + reach));
            }
            (from, reach) = (low + reach, 2.0 * reach);
        }
        let high = to(rear);
        (behind(high).0 > 0.0).then(|| root(from.min(high), high))
    }
}
