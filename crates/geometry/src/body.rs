//! What is measured on a whole body: volume, lateral surface, centroid, curve of areas.
//!
//! Along x the integrals run by Gauss quadrature between all places where the body is only piecewise smooth (points of the
//! master lines, control stations). In the first and last bay x runs with the square of the variable, as the lines' own
//! parameter does at an upright end, so that a blunt point is integrated as exactly as a flat face.

use crate::loft::Loft;
use crate::quadrature::gauss5;
use crate::section::Section;

/// What is measured on a whole (mirrored) body.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BodyMeasures {
    /// Volume, mm³.
    pub volume: f64,
    /// Lateral surface without flat end faces, mm².
    pub lateral_surface: f64,
    /// Centroid of the volume, mm.
    pub centroid: [f64; 3],
}

/// One value of the curve of areas.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AreaAt {
    /// Distance aft of the datum, mm.
    pub x: f64,
    /// Area of the whole section, mm².
    pub area: f64,
    /// Its change along x, mm² per mm.
    pub slope: f64,
}

#[derive(Clone, Copy, Default)]
struct Sums {
    volume: f64,
    surface: f64,
    x: f64,
    z: f64,
}

impl Sums {
    fn plus(self, other: Self) -> Self {
        Self {
            volume: self.volume + other.volume,
            surface: self.surface + other.surface,
            x: self.x + other.x,
            z: self.z + other.z,
        }
    }
}

/// A stretch of x with its substitution: x = a + (b - a) g(w).
#[derive(Clone, Copy)]
struct Stretch {
    a: f64,
    b: f64,
    ease: Ease,
}

#[derive(Clone, Copy)]
enum Ease {
    /// g(w) = w².
    Front,
    /// g(w) = w.
    Even,
    /// g(w) = 1 - (1 - w)².
    Rear,
}

impl Stretch {
    /// x and dx/dw.
    fn at(&self, w: f64) -> (f64, f64) {
        let h = self.b - self.a;
        match self.ease {
            Ease::Front => (self.a + h * w * w, 2.0 * h * w),
            Ease::Even => (self.a + h * w, h),
            Ease::Rear => (self.b - h * (1.0 - w) * (1.0 - w), 2.0 * h * (1.0 - w)),
        }
    }
}

impl Loft {
    /// Volume, lateral surface and centroid.
    ///
    /// `tolerance` in mm bounds the estimated error of the volume divided by the lateral surface, and that of the surface
    /// divided by the length of the body; it is an estimate by halving, not a guarantee. The cost grows with the number of
    /// bays and of arcs; smooth bodies need no halving at 1e-4.
    pub fn measures(&self, tolerance: f64) -> BodyMeasures {
        self.measures_between(self.x_range(), tolerance)
    }

    /// As [`Loft::measures`], of the part between two stations; the part outside the form counts nothing.
    pub fn measures_between(&self, (from, to): (f64, f64), tolerance: f64) -> BodyMeasures {
        let (low, high) = (from.max(self.x_range().0), to.min(self.x_range().1));
        if high <= low {
            return BodyMeasures::default();
        }
        let stretches = self.stretches(low, high);
        let length = high - low;
        let rough: Vec<Sums> = stretches.iter().map(|s| self.sums(s, 0.0, 1.0)).collect();
        let surface: f64 = rough.iter().map(|s| s.surface).sum();
        let share = tolerance / stretches.len() as f64;
        let allowed = [share * surface, share * length];
        let total = stretches
            .iter()
            .zip(rough)
            .map(|(s, whole)| self.halved(s, (0.0, 1.0), whole, allowed, 12))
            .fold(Sums::default(), Sums::plus);
        let per_volume = |v: f64| if total.volume.abs() > 0.0 { v / total.volume } else { 0.0 };
        BodyMeasures {
            volume: total.volume,
            lateral_surface: total.surface,
            centroid: [per_volume(total.x), 0.0, per_volume(total.z)],
        }
    }

    /// `count` values of the curve of areas, evenly spaced from end to end.
    pub fn curve_of_areas(&self, count: usize) -> Vec<AreaAt> {
        let (low, high) = self.x_range();
        let step = (high - low) / count.saturating_sub(1).max(1) as f64;
        let at = |i: usize| {
            let x = (low + step * i as f64).min(high);
            let m = Section::new(self, x).measures();
            AreaAt { x, area: m.area, slope: m.area_slope }
        };
        (0..count).map(at).collect()
    }

    fn stretches(&self, low: f64, high: f64) -> Vec<Stretch> {
        let inner = self.x_breaks().into_iter().filter(|x| *x > low && *x < high);
        let mut breaks: Vec<f64> = std::iter::once(low).chain(inner).chain([high]).collect();
        if breaks.len() == 2 {
            breaks.insert(1, 0.5 * (breaks[0] + breaks[1]));
        }
        let last = breaks.len() - 2;
        let ease = |i: usize| match i {
            0 => Ease::Front,
            i if i == last => Ease::Rear,
            _ => Ease::Even,
        };
        breaks.windows(2).enumerate().map(|(i, w)| Stretch { a: w[0], b: w[1], ease: ease(i) }).collect()
    }

    fn halved(&self, s: &Stretch, (w0, w1): (f64, f64), whole: Sums, allowed: [f64; 2], depth: u32) -> Sums {
        let middle = 0.5 * (w0 + w1);
        let (left, right) = (self.sums(s, w0, middle), self.sums(s, middle, w1));
        let halves = left.plus(right);
        let fits =
            (halves.volume - whole.volume).abs() <= allowed[0] && (halves.surface - whole.surface).abs() <= allowed[1];
        if depth == 0 || fits {
            return halves;
        }
        let share = allowed.map(|a| 0.5 * a);
        self.halved(s, (w0, middle), left, share, depth - 1).plus(self.halved(s, (middle, w1), right, share, depth - 1))
    }

    fn sums(&self, stretch: &Stretch, w0: f64, w1: f64) -> Sums {
        let mut sums = Sums::default();
        for &(t, weight) in &gauss5().nodes {
            let (x, dx) = stretch.at(w0 + t * (w1 - w0));
            let slice = self.slice(x);
            let w = weight * (w1 - w0) * dx;
            sums.volume += w * slice.volume;
            sums.surface += w * slice.surface;
            sums.x += w * slice.volume * x;
            sums.z += w * slice.z;
        }
        sums
    }

    /// The integrands at a station: area, girth weighted with the surface's slope, area times height.
    fn slice(&self, x: f64) -> Sums {
        let mut s = Sums::default();
        for (place, weight) in Section::new(self, x).nodes() {
            let ([y, z], [yf, zf], [yx, zx]) = (place.p, place.by_fraction, place.by_x);
            let strip = -2.0 * weight * y * zf;
            let lengthwise = yf * zx - zf * yx;
            s.volume += strip;
            s.z += strip * z;
            s.surface += 2.0 * weight * (lengthwise * lengthwise + yf * yf + zf * zf).sqrt();
        }
        s
    }
}
