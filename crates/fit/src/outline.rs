//! Half outlines: (half-breadth, height) from crown to keel, both on the centre plane.
//!
//! A half outline stands for the whole closed one. For a place with half-breadth not below zero no place of the mirrored
//! half is nearer than the one it mirrors, so distances to the half are distances to the whole.

/// A half outline as a polyline.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    points: Vec<[f64; 2]>,
    /// Least and greatest coordinates of every few chords in turn.
    boxes: Vec<[[f64; 2]; 2]>,
}

/// Chords that share a box: looked at together where what is sought may lie on one of them.
const TOGETHER: usize = 8;
/// So much nearer than its box, as a share, rounding may make a place on a chord.
const ROUNDING: f64 = 1e-9;

/// The box of places.
fn box_of(points: &[[f64; 2]]) -> [[f64; 2]; 2] {
    let ends = |k: usize| points.iter().map(move |p| p[k]);
    let low = [0, 1].map(|k| ends(k).fold(f64::INFINITY, f64::min));
    [low, [0, 1].map(|k| ends(k).fold(f64::NEG_INFINITY, f64::max))]
}

/// The nearest place of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// The place, on the side of the place that was asked for.
    pub at: [f64; 2],
    /// Its distance, mm: positive outside the outline, negative inside.
    pub distance: f64,
    /// Unit normal of the chord it lies on, outward.
    pub normal: [f64; 2],
}

impl Outline {
    /// The outline along these points, crown to keel; `None` for fewer than two, or where a coordinate is not finite.
    pub fn new(points: Vec<[f64; 2]>) -> Option<Self> {
        let finite = points.iter().flatten().all(|c| c.is_finite());
        (points.len() >= 2 && finite).then(|| Self::along(points))
    }

    fn along(points: Vec<[f64; 2]>) -> Self {
        let last = points.len().saturating_sub(1);
        let chords = (0..last).step_by(TOGETHER).map(|i| &points[i..=(i + TOGETHER).min(last)]);
        let boxes = chords.map(box_of).collect();
        Self { points, boxes }
    }

    /// The points.
    pub fn points(&self) -> &[[f64; 2]] {
        &self.points
    }

    /// Length of the half outline, mm.
    pub fn length(&self) -> f64 {
        self.points.windows(2).map(|w| apart(w[0], w[1])).sum()
    }

    /// Whether a place lies inside the whole outline. The half is closed by the centre plane.
    pub fn holds(&self, [y, z]: [f64; 2]) -> bool {
        let y = y.abs();
        // A ray to starboard from here never meets the centre plane, which closes the half; so a place on that plane is inside
        // whatever rounding leaves of the half-breadth of its ends.
        let crosses = |a: [f64; 2], b: [f64; 2]| {
            (a[1] > z) != (b[1] > z) && y < a[0] + (z - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
        };
        let beside = |b: &[[f64; 2]; 2]| z < b[0][1] || z > b[1][1] || y > b[1][0];
        let runs = self.boxes.iter().enumerate().filter(|(_, b)| !beside(b)).map(|(i, _)| i * TOGETHER);
        let last = self.points.len().saturating_sub(1);
        let crossed = runs.flat_map(|i| self.points[i..=(i + TOGETHER).min(last)].windows(2));
        crossed.filter(|w| crosses(w[0], w[1])).count() % 2 == 1
    }

    /// The nearest place to `q`, which may lie on either side of the centre plane.
    pub fn nearest(&self, q: [f64; 2]) -> Nearest {
        let side = if q[0] < 0.0 { -1.0 } else { 1.0 };
        let own = [q[0] * side, q[1]];
        let (mut best, mut chord) = (([0.0; 2], f64::INFINITY), [self.points[0], self.points[1]]);
        for (i, [low, high]) in self.boxes.iter().enumerate() {
            let off = [0, 1].map(|k| (low[k] - own[k]).max(own[k] - high[k]).max(0.0));
            if (off[0] * off[0] + off[1] * off[1]) * (1.0 - ROUNDING) > best.1 {
                continue;
            }
            let from = i * TOGETHER;
            for w in self.points[from..=(from + TOGETHER).min(self.points.len() - 1)].windows(2) {
                let at = on_chord(own, w[0], w[1]);
                let square = (own[0] - at[0]).powi(2) + (own[1] - at[1]).powi(2);
                if square < best.1 {
                    (best, chord) = ((at, square), [w[0], w[1]]);
                }
            }
        }
        let (at, square) = best;
        let normal = outward(chord[0], chord[1]);
        let distance = if self.holds(own) { -square.sqrt() } else { square.sqrt() };
        Nearest { at: [at[0] * side, at[1]], distance, normal: [normal[0] * side, normal[1]] }
    }

    /// The half-breadths at which the outline crosses a height, from the crown on.
    pub fn half_breadths_at(&self, z: f64) -> Vec<f64> {
        crossings(&self.points, 1, z)
    }

    /// The heights at which the outline crosses a half-breadth, from the crown on.
    pub fn heights_at(&self, y: f64) -> Vec<f64> {
        crossings(&self.points, 0, y)
    }

    /// The place at a length from the crown.
    pub fn at_length(&self, length: f64) -> [f64; 2] {
        let mut left = length.max(0.0);
        for w in self.points.windows(2) {
            let step = apart(w[0], w[1]);
            if left <= step && step > 0.0 {
                return mix(w[0], w[1], left / step);
            }
            left -= step;
        }
        self.points[self.points.len() - 1]
    }

    /// The length from the crown to the place that is nearest to `q`.
    pub fn length_to(&self, q: [f64; 2]) -> f64 {
        let own = [q[0].abs(), q[1]];
        let (mut best, mut before) = ((f64::INFINITY, 0.0), 0.0);
        for w in self.points.windows(2) {
            let at = on_chord(own, w[0], w[1]);
            let distance = apart(own, at);
            if distance < best.0 {
                best = (distance, before + apart(w[0], at));
            }
            before += apart(w[0], w[1]);
        }
        best.1
    }

    /// `count` places at even lengths, both ends among them.
    pub fn even(&self, count: usize) -> Vec<[f64; 2]> {
        let length = self.length();
        let last = count.saturating_sub(1).max(1);
        (0..count).map(|i| self.at_length(length * i as f64 / last as f64)).collect()
    }

    /// The widest place: the first of them from the crown on.
    pub fn widest(&self) -> [f64; 2] {
        self.points.iter().copied().fold(self.points[0], |best, p| if p[0] > best[0] { p } else { best })
    }

    /// The length from the crown to the middle of what is widest.
    fn length_to_breadth(&self) -> f64 {
        let widest = self.widest()[0];
        let near = widest - 1e-9 * (1.0 + widest.abs());
        let (mut length, mut first, mut last) = (0.0, None, 0.0);
        for (i, p) in self.points.iter().enumerate() {
            if i > 0 {
                length += apart(self.points[i - 1], *p);
            }
            if p[0] >= near {
                first = first.or(Some(length));
                last = length;
            }
        }
        0.5 * (first.unwrap_or(0.0) + last)
    }

    /// The outline a share of the way to another: places correspond at equal fractions of the girth from crown to breadth and
    /// from breadth to keel. Shares beyond 0 to 1 continue the same straight lines.
    #[must_use]
    pub fn towards(&self, other: &Self, share: f64) -> Self {
        let (a, b) = (self.divided(), other.divided());
        Self::along(a.iter().zip(&b).map(|(p, q)| mix(*p, *q, share)).collect())
    }

    /// Even places from crown to breadth and from breadth to keel.
    fn divided(&self) -> Vec<[f64; 2]> {
        const HALF: usize = 240;
        let (breadth, whole) = (self.length_to_breadth(), self.length());
        let upper = (0..HALF).map(|i| breadth * i as f64 / HALF as f64);
        let lower = (0..=HALF).map(|i| breadth + (whole - breadth) * i as f64 / HALF as f64);
        upper.chain(lower).map(|l| self.at_length(l)).collect()
    }

    /// The outline moved outward along its normals (inward if negative): an outline of parallel chords, mitred between
    /// them, and held on the centre plane. For clearances, small beside the radius; loops are not cut out.
    #[must_use]
    pub fn moved_out(&self, by: f64) -> Self {
        let p = &self.points;
        let normals: Vec<[f64; 2]> = p.windows(2).map(|w| outward(w[0], w[1])).collect();
        let last = p.len() - 1;
        let mirrored = |n: [f64; 2]| [-n[0], n[1]];
        let place = |i: usize| {
            let before = if i == 0 { mirrored(normals[0]) } else { normals[i - 1] };
            let after = if i == last { mirrored(normals[last - 1]) } else { normals[i] };
            let sum = [before[0] + after[0], before[1] + after[1]];
            let along = (sum[0] * after[0] + sum[1] * after[1]).max(0.2);
            [p[i][0] + by * sum[0] / along, p[i][1] + by * sum[1] / along]
        };
        Self::along((0..=last).map(place).collect())
    }
}

pub(crate) fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (b[0] - a[0]).hypot(b[1] - a[1])
}

fn mix(a: [f64; 2], b: [f64; 2], share: f64) -> [f64; 2] {
    [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
}

/// Outward is left of the way from crown to keel on the starboard side.
fn outward(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let length = apart(a, b).max(f64::MIN_POSITIVE);
    [(a[1] - b[1]) / length, (b[0] - a[0]) / length]
}

fn on_chord(q: [f64; 2], a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let square = dx * dx + dy * dy;
    let share = if square > 0.0 { ((q[0] - a[0]) * dx + (q[1] - a[1]) * dy) / square } else { 0.0 };
    mix(a, b, share.clamp(0.0, 1.0))
}

/// Where component `k` of a polyline passes `value`: the other component there.
fn crossings(points: &[[f64; 2]], k: usize, value: f64) -> Vec<f64> {
    let step = |w: &[[f64; 2]]| {
        let (a, b) = (w[0][k] - value, w[1][k] - value);
        ((a < 0.0) != (b < 0.0)).then(|| mix(w[0], w[1], a / (a - b))[1 - k])
    };
    points.windows(2).filter_map(step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each chord in turn is the reference.
    #[test]
    fn boxes_of_chords_leave_nothing_out() {
        let wavy = |i: usize| {
            let t = std::f64::consts::PI * i as f64 / 101.0;
            [(50.0 + 9.0 * (7.0 * t).sin()) * t.sin(), (40.0 + 6.0 * (5.0 * t).cos()) * t.cos()]
        };
        let points: Vec<[f64; 2]> = (0..=101).map(wavy).collect();
        let outline = Outline::new(points.clone()).unwrap();
        for q in (-30..=30).flat_map(|i| (-30..=30).map(move |j| [2.3 * f64::from(i), 2.1 * f64::from(j)])) {
            let own = [q[0].abs(), q[1]];
            let far = |w: &[[f64; 2]]| apart(own, on_chord(own, w[0], w[1]));
            let nearest = points.windows(2).map(far).fold(f64::INFINITY, f64::min);
            let crossed = points.windows(2).filter(|w| {
                (w[0][1] > q[1]) != (w[1][1] > q[1])
                    && own[0] < w[0][0] + (q[1] - w[0][1]) / (w[1][1] - w[0][1]) * (w[1][0] - w[0][0])
            });
            let inside = crossed.count() % 2 == 1;
            assert!((outline.nearest(q).distance.abs() - nearest).abs() < 1e-9, "{q:?}");
            assert_eq!(outline.holds(q), inside, "{q:?}");
        }
    }

    fn circle(r: f64) -> Outline {
        let at = |i: u32| {
            let a = std::f64::consts::PI * f64::from(i) / 720.0;
            [r * a.sin(), r * a.cos()]
        };
        Outline::new((0..=720).map(at).collect()).unwrap()
    }

    #[test]
    fn distances_to_a_circle_are_signed_and_point_outward_on_both_sides() {
        let circle = circle(50.0);
        for q in [[30.0, 40.5], [-30.0, 40.5], [0.0, -51.0], [3.0, 1.0], [-20.0, -20.0]] {
            let n = circle.nearest(q);
            let r = f64::hypot(q[0], q[1]);
            assert!((n.distance - (r - 50.0)).abs() < 1e-3, "{q:?}: {n:?}");
            assert!((n.normal[0] - q[0] / r).abs() < 4e-3 && (n.normal[1] - q[1] / r).abs() < 4e-3, "{q:?}: {n:?}");
        }
    }

    #[test]
    fn halfway_between_two_circles_is_the_circle_of_the_mean_radius() {
        let middle = circle(40.0).towards(&circle(60.0), 0.25);
        assert!(middle.points().iter().all(|p| (p[0].hypot(p[1]) - 45.0).abs() < 1e-3));
    }

    #[test]
    fn a_circle_moved_out_has_the_larger_radius() {
        // Mitred chords keep the distance of the chords: the corners lie farther out by the secant of half the turn.
        assert!(circle(50.0).moved_out(0.4).points().iter().all(|p| (p[0].hypot(p[1]) - 50.4).abs() < 1e-4));
        assert!(circle(50.0).moved_out(-0.4).points().iter().all(|p| (p[0].hypot(p[1]) - 49.6).abs() < 1e-4));
    }

    #[test]
    fn the_centre_plane_lies_inside_whatever_rounding_leaves_of_the_ends() {
        for end in [-1e-16, 0.0, 1e-16] {
            let mut points = circle(50.0).points().to_vec();
            let last = points.len() - 1;
            (points[0][0], points[last][0]) = (end, end);
            let outline = Outline::new(points).unwrap();
            for z in [-49.0, 0.0, 49.0] {
                assert!(outline.holds([0.0, z]), "end {end:e}, height {z}");
            }
            assert!(!outline.holds([0.0, 51.0]) && !outline.holds([50.1, 0.0]));
        }
    }

    #[test]
    fn crossings_at_a_height_and_at_a_half_breadth() {
        let circle = circle(50.0);
        let wide = circle.half_breadths_at(30.0);
        assert!(wide.len() == 1 && (wide[0] - 40.0).abs() < 1e-3);
        let high = circle.heights_at(30.0);
        assert!(high.len() == 2 && (high[0] - 40.0).abs() < 1e-3 && (high[1] + 40.0).abs() < 1e-3);
        assert!(circle.half_breadths_at(60.0).is_empty());
    }

    #[test]
    fn lengths_are_those_of_the_half_circle() {
        let circle = circle(50.0);
        assert!((circle.length() - 50.0 * std::f64::consts::PI).abs() < 1e-3);
        let quarter = circle.at_length(25.0 * std::f64::consts::PI);
        assert!((quarter[0] - 50.0).abs() < 1e-3 && quarter[1].abs() < 1e-3);
        assert_eq!(circle.even(3).len(), 3);
    }
}
