//! The surface moved along its normal by a thickness, then cut by a station plane.
//!
//! ```text
//!        surface  ----.___            x = X is the cutting plane. The place P of the inset lies on the normal of a place S
//!                   S     '--.        of the surface that is itself not at X: for each fraction of the half section the
//!                    \ n      '\      station x of S is solved from x - t n_x(x) = X.
//!          inset  ---- P --.    |
//!                      X    '\
//! ```
//!
//! So a section of the inset is not a section made smaller, and on a sloping face it shrinks by t / cos(slope). A corner
//! that the offset pulls together (a convex edge of an inset) is trimmed to the intersection, on the centre plane for a
//! ridge; one that it pulls apart (a hollow edge of an inset) is closed by an arc of radius t about the edge. Where the
//! thickness is larger than the local radius the offset folds back: such a place is reported, and the loop cut out.

use crate::control::Half;
use crate::crossing::segment_crossing;
use crate::flatten::{Place, refine_where};
use crate::joints::{
    Cut, OffsetPlace, RunEnd, about_edge, centre_end, centre_start, join, normal_of, to_starboard, with_normal,
};
use crate::loft::Loft;
use crate::roots::{Root, regula_falsi, secant};
use crate::section::{Section, SurfacePlace};
use crate::unit::{HalfLoft, Strand};
use crate::window::Window;
use std::sync::Arc;

/// A half section of the offset surface.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OffsetSection {
    /// (half-breadth, height) from crown to keel, mm. Empty where nothing is left of the section.
    pub outline: Vec<[f64; 2]>,
    /// Places on the surface at which the thickness is larger than the local radius, mm.
    pub folded: Vec<[f64; 2]>,
}

/// The surface near one plane, moved along its normal by one thickness.
struct Cutting<'a> {
    loft: &'a Loft,
    plane: f64,
    thickness: f64,
    window: Window<'a>,
}

/// A leap nearer to an end than this belongs to it, mm.
const BESIDE: f64 = 1e-6;
/// An end smaller than this is a point, mm.
const POINT: f64 = 1e-6;

impl Loft {
    /// Outward unit normal (x, y, z) of the starboard half at a station and a fraction of a run; beyond a flat end the
    /// surface is continued along its end tangents.
    pub fn normal(&self, x: f64, half: Half, run: usize, fraction: f64) -> [f64; 3] {
        let strand = self.halves()[crate::section::index(half)].strand(run, fraction);
        normal_of(&Section::new(self, x).place(half, &strand))
    }

    /// The section at station `x` of the surface moved inward by `thickness` mm (outward if negative).
    ///
    /// Chords stay within `tolerance` mm of the offset curve, and the stations solved for within 1e-9 mm.
    pub fn offset_section(&self, x: f64, thickness: f64, tolerance: f64) -> OffsetSection {
        self.offset_section_where(x, thickness, tolerance, &|_, _| true)
    }

    /// The same, followed closely only where `wanted` says so of a chord's two ends (half-breadth, height); other chords stay
    /// long, with their ends on the curve. For reading a section at a few places.
    pub fn offset_section_where(
        &self,
        x: f64,
        thickness: f64,
        tolerance: f64,
        wanted: &impl Fn([f64; 2], [f64; 2]) -> bool,
    ) -> OffsetSection {
        let reach = thickness.abs();
        let cutting = Cutting { loft: self, plane: x, thickness, window: Window::new(self, x - reach, x + reach) };
        cutting.section(tolerance, wanted)
    }
}

impl Cutting<'_> {
    fn section(&self, tolerance: f64, wanted: &impl Fn([f64; 2], [f64; 2]) -> bool) -> OffsetSection {
        let mut out = OffsetSection::default();
        let mut before: Option<RunEnd> = None;
        let in_plane = Section::new(self.loft, self.plane);
        if self.takes_all(&in_plane) {
            return out;
        }
        for half in self.loft.halves() {
            for run in 0..half.run_count() {
                let Some([start, end]) = self.ends(half.half, run) else { continue };
                let places = self.run(half, run, start.place.p, tolerance, wanted);
                note_folds(&places, &|f| in_plane.place(half.half, &self.strand(half.half, run, f)).p, &mut out.folded);
                let mut line: Vec<[f64; 2]> = places.iter().map(|place| place.p).collect();
                match &before {
                    None => centre_start(self, &mut line, &start, tolerance),
                    Some(last) => join(self, &mut out.outline, &mut line, [last, &start], tolerance),
                }
                out.outline.append(&mut line);
                before = Some(end);
            }
        }
        if let Some(last) = before {
            centre_end(self, &mut out.outline, &last, tolerance);
        }
        if !out.folded.is_empty() {
            out.outline = without_loops(&out.outline);
        }
        out.outline = to_starboard(std::mem::take(&mut out.outline));
        out.outline.dedup_by(|b, a| (b[0] - a[0]).hypot(b[1] - a[1]) < 1e-9);
        out
    }

    fn ends(&self, half: Half, run: usize) -> Option<[RunEnd; 2]> {
        let end = |f: f64| self.run_end(half, self.strand(half, run, f));
        Some([end(0.0)?, end(1.0)?])
    }

    /// The places of a run with their fractions.
    fn run(
        &self,
        half: &HalfLoft,
        run: usize,
        start: [f64; 2],
        tolerance: f64,
        wanted: &impl Fn([f64; 2], [f64; 2]) -> bool,
    ) -> Vec<Place<f64>> {
        let curve = |f: f64| {
            let strand = self.strand(half.half, run, f);
            Place { p: self.find(&|x| with_normal(&self.on_surface(x, half.half, &strand))).p, with: f }
        };
        let mut places = vec![Place { p: start, with: 0.0 }];
        for w in half.run_breaks(run).windows(2) {
            refine_where(&curve, [w[0], w[1]], tolerance, wanted, &mut |place| places.push(place));
        }
        places
    }

    fn strand(&self, half: Half, run: usize, fraction: f64) -> Arc<Strand> {
        self.loft.unit().strand(crate::section::index(half), run, fraction)
    }

    /// The end of the body at a station, as nearly as roots are found.
    fn end_beside(&self, x: f64) -> Option<f64> {
        let (low, high) = self.loft.x_range();
        [low, high].into_iter().find(|end| (x - end).abs() < BESIDE)
    }

    /// The end of the body at this station, if the body is drawn together to a point there: the surface has no edge at it that a
    /// pipe could go about, and the moved one shrinks to it.
    fn point_at(&self, end: f64, beside: &OffsetPlace) -> Option<OffsetPlace> {
        let (low, high) = self.loft.x_range();
        let frame = self.loft.frame(end);
        let point = (end == low || end == high) && frame.breadth.0.max(frame.above.0 + frame.below.0) < POINT;
        point.then_some(OffsetPlace { p: [0.0, frame.middle.0], ..*beside })
    }

    /// Whether nothing can be left in the plane: no place of the section lies as deep in it as what is taken off, so none lies as
    /// deep in the body.
    fn takes_all(&self, section: &Section<'_>) -> bool {
        let t = self.thickness;
        let near = |size: f64| size <= 2.0 * t;
        (near(section.breadth()) || near(0.5 * (section.crown() - section.keel())))
            && (section.half_breadth() <= t || 0.5 * (section.top() - section.bottom()) <= t)
    }

    /// Solves x - t n_x(x) = X between X - t and X + t, which always holds a solution, and steps along the normal.
    fn find(&self, at: &impl Fn(f64) -> ([f64; 2], [f64; 3])) -> OffsetPlace {
        let (plane, t) = (self.plane, self.thickness);
        let miss = |x: f64| {
            let (station, place) = OffsetPlace::moved(x, at(x), t);
            (station - plane, place)
        };
        let reach = t.abs();
        if let Some((_, place)) = secant(&miss, plane, reach) {
            return place;
        }
        match regula_falsi(&miss, plane - reach, plane + reach) {
            Root::At(_, place) => place,
            Root::Leap(x, sides) => {
                // A rounded edge meets its face upright: a hair inside the end it is already well off it, at the end it is not.
                let end = self.end_beside(x).unwrap_or(x);
                let about = || {
                    let normals = sides.map(|s| s.normal);
                    about_edge((end, at(end).0), normals, t, &|station, _| station - plane)
                };
                self.point_at(end, &sides[0]).unwrap_or_else(about)
            }
        }
    }
}

impl Cut for Cutting<'_> {
    fn thickness(&self) -> f64 {
        self.thickness
    }

    fn on_surface(&self, x: f64, half: Half, strand: &Strand) -> SurfacePlace {
        let bay = self.loft.halves()[crate::section::index(half)].bay(x);
        self.window.frame(x).carry(half, &strand.at(&bay))
    }

    fn solve(&self, at: &impl Fn(f64) -> ([f64; 2], [f64; 3])) -> Option<OffsetPlace> {
        Some(self.find(at))
    }
}

/// Adds the places of a run where the offset runs against the surface, one for each stretch of them. Where the offset folds, its
/// direction turns, so that its chords are short there.
fn note_folds(places: &[Place<f64>], on_surface: &impl Fn(f64) -> [f64; 2], folded: &mut Vec<[f64; 2]>) {
    let pairs: Vec<([f64; 2], [f64; 2])> = places.iter().map(|place| (on_surface(place.with), place.p)).collect();
    let mut folding = false;
    for w in pairs.windows(2) {
        let along = |k: usize| (w[1].0[k] - w[0].0[k]) * (w[1].1[k] - w[0].1[k]);
        let folds = along(0) + along(1) < 0.0;
        if folds && !folding {
            folded.push(w[0].0);
        }
        folding = folds;
    }
}

/// The polyline without the loops that a fold leaves: from its first crossing with itself it goes on behind the loop.
pub(crate) fn without_loops(line: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut out: Vec<[f64; 2]> = Vec::new();
    let mut i = 0;
    while i < line.len() {
        out.push(line[i]);
        let crossing = (i + 2..line.len().saturating_sub(1)).rev().find_map(|j| {
            let next = *line.get(i + 1)?;
            segment_crossing([line[i], next], [line[j], line[j + 1]]).map(|p| (p, j + 1))
        });
        match crossing {
            Some((p, behind)) => {
                out.push(p);
                i = behind;
            }
            None => i += 1,
        }
    }
    out
}
