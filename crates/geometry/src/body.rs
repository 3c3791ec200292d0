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

/// Sums over a stretch, and how far a coarser rule is off in volume and surface.
#[derive(Clone, Copy)]
struct Estimate {
    sums: Sums,
    off: [f64; 2],
}

/// Weights of the rule of degree three over the first, middle and last of the five Gauss places: exact for 1 and t², and by
/// symmetry for t and t³ about the middle.
fn second_weights() -> [f64; 5] {
    let reach = gauss5().nodes[4].0 - 0.5;
    let outer = 1.0 / (24.0 * reach * reach);
    [outer, 0.0, 1.0 - 2.0 * outer, 0.0, outer]
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
    /// divided by the length of the body. The estimate is the difference between five-point Gauss quadrature and the rule of
    /// degree three over three of the same places, which is far larger than the error of the former; stretches are halved until
    /// it fits. Not a guarantee. The cost grows with the number of bays and of arcs.
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
        let rough: Vec<Estimate> = stretches.iter().map(|s| self.estimate(s, 0.0, 1.0)).collect();
        let surface: f64 = rough.iter().map(|s| s.sums.surface).sum();
        let share = tolerance / stretches.len() as f64;
        let allowed = [share * surface, share * length];
        let total = stretches
            .iter()
            .zip(rough)
            .map(|(s, whole)| self.halved(s, (0.0, 1.0), whole, allowed, 10))
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

    fn halved(&self, s: &Stretch, (w0, w1): (f64, f64), whole: Estimate, allowed: [f64; 2], depth: u32) -> Sums {
        if depth == 0 || (whole.off[0] <= allowed[0] && whole.off[1] <= allowed[1]) {
            return whole.sums;
        }
        let middle = 0.5 * (w0 + w1);
        let share = allowed.map(|a| 0.5 * a);
        let half = |w: (f64, f64)| self.halved(s, w, self.estimate(s, w.0, w.1), share, depth - 1);
        half((w0, middle)).plus(half((middle, w1)))
    }

    fn estimate(&self, stretch: &Stretch, w0: f64, w1: f64) -> Estimate {
        let mut sums = Sums::default();
        let mut rough = [0.0; 2];
        for (&(t, weight), second) in gauss5().nodes.iter().zip(second_weights()) {
            let (x, dx) = stretch.at(w0 + t * (w1 - w0));
            let slice = self.slice(x);
            let step = (w1 - w0) * dx;
            let w = weight * step;
            sums = sums.plus(Sums {
                volume: w * slice.volume,
                surface: w * slice.surface,
                x: w * slice.volume * x,
                z: w * slice.z,
            });
            rough[0] += second * step * slice.volume;
            rough[1] += second * step * slice.surface;
        }
        Estimate { sums, off: [(rough[0] - sums.volume).abs(), (rough[1] - sums.surface).abs()] }
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
