//! A cross section of the loft: its curve, and what is measured on it.
//!
//! Area, centroid and second moments come from one boundary integral over the half section (Green's theorem); the centre
//! plane adds nothing to it, and the mirrored half doubles it. The integrals run by five-point Gauss quadrature between
//! all places where any control shape is only piecewise smooth.

use crate::control::Half;
use crate::flatten::refine;
use crate::loft::{Frame, Loft};
use crate::unit::{Bay, HalfLoft, Strand};
use crate::weave::Weave;

/// The section at one station.
#[derive(Clone, Debug)]
pub struct Section<'a> {
    loft: &'a Loft,
    x: f64,
    frame: Frame,
    bays: [Bay; 2],
}

/// A place on the surface, with its partial derivatives.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SurfacePlace {
    /// Half-breadth and height, mm.
    pub p: [f64; 2],
    /// (y, z) by the fraction of the run.
    pub by_fraction: [f64; 2],
    /// (y, z) by x.
    pub by_x: [f64; 2],
}

/// Within this angle (a tangent) of square a section counts as leaving the centre plane square.
const SQUARE: f64 = 1e-3;

/// What is measured on a whole (mirrored) section.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SectionMeasures {
    /// Area, mm².
    pub area: f64,
    /// Length of the closed outline, mm.
    pub girth: f64,
    /// Height of the centroid, mm; the middle of crown and keel where there is no area.
    pub centroid_z: f64,
    /// Second moment of area about the y axis, ∫ z² dA, mm⁴.
    pub second_moment_zz: f64,
    /// Second moment of area about the z axis, ∫ y² dA, mm⁴.
    pub second_moment_yy: f64,
    /// Change of the area along x, mm² per mm: the slope of the curve of areas.
    pub area_slope: f64,
}

impl<'a> Section<'a> {
    pub(crate) fn new(loft: &'a Loft, x: f64) -> Self {
        let bays = [0, 1].map(|k| loft.halves()[k].bay(x));
        Self { loft, x, frame: loft.frame(x), bays }
    }

    /// Distance aft of the datum, mm.
    pub fn x(&self) -> f64 {
        self.x
    }

    /// Half-breadth of the breadth mark, as the breadth line gives it, mm.
    pub fn breadth(&self) -> f64 {
        self.frame.breadth.0
    }

    /// Height of the breadth mark, mm.
    pub fn breadth_height(&self) -> f64 {
        self.frame.middle.0
    }

    /// Height of the crown, mm.
    pub fn crown(&self) -> f64 {
        self.frame.middle.0 + self.frame.above.0
    }

    /// Height of the keel, mm.
    pub fn keel(&self) -> f64 {
        self.frame.middle.0 - self.frame.below.0
    }

    /// Halves and runs in order from crown to keel.
    pub fn runs(&self) -> impl Iterator<Item = (Half, usize)> + use<'_> {
        let count = |k: usize| self.loft.halves()[k].run_count();
        let upper = (0..count(0)).map(|r| (Half::Upper, r));
        upper.chain((0..count(1)).map(|r| (Half::Lower, r)))
    }

    /// The place at a fraction of a run.
    pub fn at(&self, half: Half, run: usize, fraction: f64) -> SurfacePlace {
        self.place(half, &self.loft.unit().strand(index(half), run, fraction))
    }

    /// Fractions at which a run is divided for quadrature, with 0 and 1: where some control shape's curvature jumps.
    pub fn run_breaks(&self, half: Half, run: usize) -> Vec<f64> {
        self.half(half).run_breaks(run).to_vec()
    }

    fn half(&self, half: Half) -> &HalfLoft {
        &self.loft.halves()[index(half)]
    }

    pub(crate) fn place(&self, half: Half, strand: &Strand) -> SurfacePlace {
        self.frame.carry(half, &strand.at(&self.bays[index(half)]))
    }

    /// Every quadrature node of the half section: its place and weight.
    pub(crate) fn nodes(&self) -> impl Iterator<Item = (SurfacePlace, f64)> + use<'_> {
        self.loft
            .halves()
            .iter()
            .flat_map(move |half| half.grid.iter().map(move |node| (self.place(half.half, &node.strand), node.weight)))
    }

    /// Area, girth, centroid and second moments of the whole section.
    ///
    /// Relative error about 1e-10 where arcs are conics or cubics of the usual proportions; there is no tolerance to set,
    /// as the quadrature follows the arcs.
    pub fn measures(&self) -> SectionMeasures {
        let mut sums = Sums::default();
        for (place, weight) in self.nodes() {
            sums.add(&place, weight);
        }
        sums.measures(0.5 * (self.crown() + self.keel()))
    }

    /// Area of the whole section, mm²; accuracy as [`Section::measures`].
    pub fn area(&self) -> f64 {
        self.measures().area
    }

    /// Length of the whole closed outline, mm; accuracy as [`Section::measures`].
    pub fn girth(&self) -> f64 {
        self.measures().girth
    }

    /// The half section from crown to keel as a polyline (half-breadth, height) whose chords stay within `tolerance` mm
    /// of the curve, with every mark in it. Neighbouring points never coincide.
    pub fn polyline(&self, tolerance: f64) -> Vec<[f64; 2]> {
        self.polyline_of(tolerance, 0)
    }

    /// As [`Section::polyline`], with every run between two marks divided into at least `least` chords besides.
    pub fn polyline_of(&self, tolerance: f64, least: usize) -> Vec<[f64; 2]> {
        let mut out: Vec<[f64; 2]> = Vec::new();
        for (half, run) in self.runs() {
            let curve = |f: f64| self.at(half, run, f).p;
            if out.is_empty() {
                out.push(curve(0.0));
            }
            for w in self.half(half).run_breaks(run).windows(2) {
                let pieces = ((w[1] - w[0]) * least as f64).ceil().max(1.0) as usize;
                let at = |i: usize| w[0] + (w[1] - w[0]) * i as f64 / pieces as f64;
                (0..pieces).for_each(|i| refine(&curve, at(i), at(i + 1), tolerance, &mut out));
            }
        }
        out.dedup_by(|b, a| (b[0] - a[0]).hypot(b[1] - a[1]) < 1e-9);
        on_centre_plane(&mut out);
        out
    }

    /// The half section from crown to keel by the strands of a weave, which say how close the chords are: for drawing.
    pub fn outline(&self, weave: &Weave) -> Vec<[f64; 2]> {
        let mut out: Vec<[f64; 2]> = weave.strands().map(|(half, strand)| self.place(half, strand).p).collect();
        on_centre_plane(&mut out);
        out
    }

    /// The knuckles, in order from the crown: (number, place).
    pub fn knuckles(&self) -> Vec<(u32, [f64; 2])> {
        let of = |half: Half| {
            let loft = self.half(half);
            loft.knuckles().iter().enumerate().map(move |(i, &n)| (n, self.at(half, i + 1, 0.0).p))
        };
        let breadth = self.loft.unit().breadth_knuckle().map(|n| (n, self.at(Half::Lower, 0, 0.0).p));
        of(Half::Upper).chain(breadth).chain(of(Half::Lower)).collect()
    }

    /// Whether the section leaves the centre plane at an angle: at the crown, at the keel.
    pub fn ridges(&self) -> (bool, bool) {
        let slanted = |half: Half, run: usize, fraction: f64| {
            let [y, z] = self.at(half, run, fraction).by_fraction;
            z.abs() > SQUARE * y.hypot(z)
        };
        let last = self.half(Half::Lower).run_count() - 1;
        (slanted(Half::Upper, 0, 0.0), slanted(Half::Lower, last, 1.0))
    }

    /// Greatest half-breadth anywhere on the section, mm.
    pub fn half_breadth(&self) -> f64 {
        self.greatest(&|p| p[0])
    }

    /// Greatest height, mm.
    pub fn top(&self) -> f64 {
        self.greatest(&|p| p[1])
    }

    /// Least height, mm.
    pub fn bottom(&self) -> f64 {
        -self.greatest(&|p| -p[1])
    }

    /// The greatest value of a linear measure of the place. Marks are compared first; only where a quadrature node exceeds
    /// them is the curve searched, by golden section between the node's neighbours.
    fn greatest(&self, measure: &impl Fn([f64; 2]) -> f64) -> f64 {
        let marks = self.loft.halves().iter().flat_map(|h| h.marks.iter().map(|s| self.place(h.half, s).p));
        let best = marks.map(measure).fold(f64::NEG_INFINITY, f64::max);
        let beyond = self.nodes().any(|(place, _)| measure(place.p) > best + 1e-12 * best.abs());
        if beyond { self.runs().map(|(h, r)| self.greatest_on_run(h, r, measure)).fold(best, f64::max) } else { best }
    }

    fn greatest_on_run(&self, half: Half, run: usize, measure: &impl Fn([f64; 2]) -> f64) -> f64 {
        let value = |f: f64| measure(self.at(half, run, f).p);
        let breaks = self.half(half).run_breaks(run);
        let samples: Vec<f64> = breaks
            .windows(2)
            .flat_map(|w| (0..6).map(move |i| w[0] + (w[1] - w[0]) * f64::from(i) / 6.0))
            .chain([1.0])
            .collect();
        let best = (0..samples.len()).max_by(|&a, &b| value(samples[a]).total_cmp(&value(samples[b]))).unwrap_or(0);
        let (low, high) = (samples[best.saturating_sub(1)], samples[(best + 1).min(samples.len() - 1)]);
        golden(&value, low, high).max(value(samples[best]))
    }
}

/// Ends that lie on the centre plane but for rounding are put on it.
fn on_centre_plane(outline: &mut [[f64; 2]]) {
    let last = outline.len().saturating_sub(1);
    for i in [0, last] {
        if let Some(p) = outline.get_mut(i).filter(|p| p[0].abs() < 1e-9) {
            p[0] = 0.0;
        }
    }
}

pub(crate) fn index(half: Half) -> usize {
    match half {
        Half::Upper => 0,
        Half::Lower => 1,
    }
}

/// Greatest value of `f` between `low` and `high`, for one hump.
fn golden(f: &impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let ratio = 0.5 * (5f64.sqrt() - 1.0);
    let (mut a, mut b) = (high - ratio * (high - low), low + ratio * (high - low));
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..45 {
        if fa < fb {
            (low, a, fa) = (a, b, fb);
            b = low + ratio * (high - low);
            fb = f(b);
        } else {
            (high, b, fb) = (b, a, fa);
            a = high - ratio * (high - low);
            fa = f(a);
        }
    }
    fa.max(fb)
}

/// Boundary integrals over the half section, y dz and its kin; z falls from crown to keel, hence the signs.
#[derive(Default)]
struct Sums {
    area: f64,
    girth: f64,
    z: f64,
    zz: f64,
    yy: f64,
    slope: f64,
}

impl Sums {
    fn add(&mut self, place: &SurfacePlace, weight: f64) {
        let ([y, z], [dy, dz]) = (place.p, place.by_fraction);
        let strip = -weight * y * dz;
        self.area += strip;
        self.z += strip * z;
        self.zz += strip * z * z;
        self.yy += strip * y * y / 3.0;
        self.girth += weight * dy.hypot(dz);
        self.slope += weight * (dy * place.by_x[1] - dz * place.by_x[0]);
    }

    fn measures(&self, middle: f64) -> SectionMeasures {
        SectionMeasures {
            area: 2.0 * self.area,
            girth: 2.0 * self.girth,
            centroid_z: if self.area.abs() > 0.0 { self.z / self.area } else { middle },
            second_moment_zz: 2.0 * self.zz,
            second_moment_yy: 2.0 * self.yy,
            area_slope: 2.0 * self.slope,
        }
    }
}
