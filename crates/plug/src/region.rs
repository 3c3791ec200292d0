//! Flat regions with holes, and what card parts need of them.
//!
//! Booleans run on a 64-bit grid laid over the two regions, so that a corner moves by less than a millionth of a millimetre;
//! slivers thinner than that vanish. Points on straight runs are dropped.

use geometry::flatten::distance_to_chord;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};

/// A point of a plane, mm.
pub type Point = [f64; 2];

/// A flat region, mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    /// Pieces that do not touch; of each first its outer contour, counter-clockwise, then its holes, clockwise.
    pub pieces: Vec<Vec<Vec<Point>>>,
}

/// A stretch of material along a line, from its lower to its upper end, mm.
pub type Span = (f64, f64);

/// Angle between neighbouring points of a round corner, radians: 0.005 mm from the arc at a radius of 10 mm.
const ROUND_STEP: f64 = 0.06;

/// A contour of fewer points, of which no chord passes a point that was left out by more than [`CHORD`].
pub(crate) fn thinned(contour: &[Point]) -> Vec<Point> {
    let mut out: Vec<Point> = contour.first().copied().into_iter().collect();
    let mut kept = 0;
    for i in 2..contour.len() {
        let close = |p: &Point| distance_to_chord(*p, contour[kept], contour[i]) <= CHORD;
        if !contour[kept + 1..i].iter().all(close) {
            kept = i - 1;
            out.push(contour[kept]);
        }
    }
    out.extend(contour.last().filter(|_| contour.len() > 1));
    out
}

/// How far a contour that is to be offset may be simplified, mm.
const CHORD: f64 = 0.002;

impl Region {
    /// The region inside a closed polyline; nothing if it has no area.
    pub fn of(outline: &[Point]) -> Self {
        Self { pieces: vec![vec![outline.to_vec()]] }.union(&Self::default())
    }

    /// An upright rectangle.
    pub fn rectangle(low: Point, high: Point) -> Self {
        Self::of(&[low, [high[0], low[1]], high, [low[0], high[1]]])
    }

    /// An ellipse with its greater radius along `direction`; chords stay within `tolerance` mm inside it.
    pub fn ellipse(centre: Point, radii: Point, direction: Point, tolerance: f64) -> Self {
        let greatest = radii[0].max(radii[1]);
        if greatest <= 0.0 {
            return Self::default();
        }
        let step = 2.0 * (1.0 - (tolerance / greatest).min(0.5)).acos();
        let count = (std::f64::consts::TAU / step).ceil().max(12.0) as usize;
        let length = direction[0].hypot(direction[1]);
        let along = if length > 0.0 { direction.map(|c| c / length) } else { [1.0, 0.0] };
        let point = |i: usize| {
            let (sin, cos) = (std::f64::consts::TAU * i as f64 / count as f64).sin_cos();
            let (a, b) = (radii[0] * cos, radii[1] * sin);
            [centre[0] + a * along[0] - b * along[1], centre[1] + a * along[1] + b * along[0]]
        };
        Self::of(&(0..count).map(point).collect::<Vec<_>>())
    }

    /// A disc; chords stay within `tolerance` mm inside it.
    pub fn disc(centre: Point, radius: f64, tolerance: f64) -> Self {
        Self::ellipse(centre, [radius; 2], [1.0, 0.0], tolerance)
    }

    /// What lies in either.
    #[must_use]
    pub fn union(&self, other: &Self) -> Self {
        self.with(other, OverlayRule::Union)
    }

    /// What lies in both.
    #[must_use]
    pub fn intersection(&self, other: &Self) -> Self {
        self.with(other, OverlayRule::Intersect)
    }

    /// What is left without the other.
    #[must_use]
    pub fn without(&self, other: &Self) -> Self {
        self.with(other, OverlayRule::Difference)
    }

    fn with(&self, other: &Self, rule: OverlayRule) -> Self {
        Self { pieces: self.pieces.overlay_as::<i64>(&other.pieces, rule, FillRule::NonZero) }
    }

    /// All that lies within `by` mm of the region; round corners within 0.02 mm.
    #[must_use]
    pub fn grown(&self, by: f64) -> Self {
        if self.is_empty() || by <= 0.0 {
            return self.clone();
        }
        let style = OutlineStyle::new(by).line_join(LineJoin::Round(ROUND_STEP));
        let thinned: Vec<Vec<Vec<Point>>> =
            self.pieces.iter().map(|piece| piece.iter().map(|c| thinned(c)).collect()).collect();
        Self { pieces: thinned.outline_as::<i64>(&style) }
    }

    /// Whether there is nothing.
    pub fn is_empty(&self) -> bool {
        self.pieces.is_empty()
    }

    /// Area, mm².
    pub fn area(&self) -> f64 {
        self.pieces.iter().flatten().map(|c| signed_area(c)).sum()
    }

    /// Centroid of its area; `None` if there is none.
    pub fn centroid(&self) -> Option<Point> {
        let o = *self.pieces.first()?.first()?.first()?;
        let mut sums = [0.0; 3];
        for contour in self.pieces.iter().flatten() {
            for (i, a) in contour.iter().enumerate() {
                let b = contour[(i + 1) % contour.len()];
                let (a, b) = ([a[0] - o[0], a[1] - o[1]], [b[0] - o[0], b[1] - o[1]]);
                let cross = a[0] * b[1] - a[1] * b[0];
                sums = [sums[0] + cross, sums[1] + cross * (a[0] + b[0]), sums[2] + cross * (a[1] + b[1])];
            }
        }
        (sums[0] != 0.0).then(|| [o[0] + sums[1] / (3.0 * sums[0]), o[1] + sums[2] / (3.0 * sums[0])])
    }

    /// Lower and upper corner of the upright rectangle around it; `None` if there is nothing.
    pub fn bounds(&self) -> Option<(Point, Point)> {
        let points = self.pieces.iter().flatten().flatten();
        points.fold(None, |box_so_far, p| {
            let (low, high): (Point, Point) = box_so_far.unwrap_or((*p, *p));
            Some(([low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]))
        })
    }

    /// Whether a point lies inside.
    pub fn contains(&self, p: Point) -> bool {
        // As the stretches of the level through it tell, an end of one included; but none is set down.
        let mut inside = false;
        for contour in self.pieces.iter().flatten() {
            let ends = contour.iter().zip(contour.iter().cycle().skip(1));
            for (a, b) in ends.filter(|(a, b)| (a[1] > p[1]) != (b[1] > p[1])) {
                let cut = a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]);
                if cut == p[0] {
                    return true;
                }
                inside ^= cut < p[0];
            }
        }
        inside
    }

    /// Stretches of material along the line on which coordinate `held` (0 or 1) has the value `at`, in rising order.
    pub fn spans(&self, held: usize, at: f64) -> Vec<Span> {
        let free = 1 - held;
        let mut cuts: Vec<f64> = Vec::new();
        for contour in self.pieces.iter().flatten() {
            for (i, a) in contour.iter().enumerate() {
                let b = contour[(i + 1) % contour.len()];
                if (a[held] > at) != (b[held] > at) {
                    cuts.push(a[free] + (b[free] - a[free]) * (at - a[held]) / (b[held] - a[held]));
                }
            }
        }
        cuts.sort_by(f64::total_cmp);
        cuts.chunks_exact(2).map(|c| (c[0], c[1])).collect()
    }

    /// The region mirrored in the line on which the first coordinate is 0.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let mirror = |c: &Vec<Point>| c.iter().rev().map(|p| [-p[0], p[1]]).collect();
        Self { pieces: self.pieces.iter().map(|piece| piece.iter().map(mirror).collect()).collect() }
    }
}

/// Area inside a contour, positive where it runs counter-clockwise; taken about its first point, so that far places lose nothing.
fn signed_area(contour: &[Point]) -> f64 {
    let Some(o) = contour.first() else { return 0.0 };
    let cross = |a: Point, b: Point| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    0.5 * contour.windows(2).map(|w| cross(w[0], w[1])).sum::<f64>()
}

/// The stretches that two lists of stretches share.
pub(crate) fn shared(a: &[Span], b: &[Span]) -> Vec<Span> {
    let pairs = a.iter().flat_map(|s| b.iter().map(move |t| (s.0.max(t.0), s.1.min(t.1))));
    pairs.filter(|s| s.1 > s.0).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plate_with_a_hole_has_its_area_and_its_spans() {
        let plate = Region::rectangle([0.0, 0.0], [100.0, 50.0]).without(&Region::disc([30.0, 25.0], 10.0, 1e-4));
        let exact = 5000.0 - std::f64::consts::PI * 100.0;
        assert!((plate.area() - exact).abs() < 0.01, "{} against {exact}", plate.area());
        let spans = plate.spans(1, 25.0);
        assert_eq!(spans.len(), 2);
        assert!(
            (spans[0].1 - 20.0).abs() < 1e-3 && (spans[1].0 - 40.0).abs() < 1e-3 && (spans[1].1 - 100.0).abs() < 1e-6
        );
        assert!(plate.contains([5.0, 25.0]) && !plate.contains([30.0, 25.0]) && !plate.contains([101.0, 25.0]));
    }

    /// Steiner: the area grows by perimeter times width, and a circle of that radius for the round corners.
    #[test]
    fn a_grown_rectangle_has_round_corners() {
        let grown = Region::rectangle([0.0, 0.0], [100.0, 50.0]).grown(5.0);
        let want = 5000.0 + 300.0 * 5.0 + std::f64::consts::PI * 25.0;
        assert!((grown.area() - want).abs() < 0.5, "{} against {want}", grown.area());
        let (low, high) = grown.bounds().unwrap();
        assert!((low[0] + 5.0).abs() < 1e-4 && (high[1] - 55.0).abs() < 1e-4);
    }

    #[test]
    fn booleans_keep_a_thousandth_of_a_micrometre() {
        let far = Region::rectangle([1000.0, 2000.0], [1000.1, 2000.3]);
        let left = far.without(&Region::rectangle([1000.05, 1999.0], [1000.2, 2001.0]));
        assert!((left.area() - 0.05 * 0.3).abs() < 1e-7, "{}", left.area());
    }
}
