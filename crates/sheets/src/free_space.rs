//! Finds room for words on a drawing, so that no label lies on a line or on another label.

mod nearest;
mod rows;

use crate::sheet::{Drawing, Item, Path, Rect, Segment};
use nearest::Nearest;
use rows::Rows;

/// Points of a polyline nearer together than this are skipped; a cut corner is covered by the clearance, mm.
const COARSE_MM: f64 = 2.0;

/// What is already on the drawing.
#[derive(Clone, Debug, Default)]
pub(crate) struct FreeSpace {
    segments: Rows,
    boxes: Vec<Rect>,
}

impl FreeSpace {
    /// Lines and words of a drawing that touch `window`.
    pub(crate) fn add_drawing(&mut self, drawing: &Drawing, window: &Rect) {
        for item in &drawing.items {
            match item {
                Item::Path(p) => self.add_path(p, window),
                other => self.boxes.push(other.bounds()),
            }
        }
    }

    /// Keeps a rectangle free of later words.
    pub(crate) fn take(&mut self, r: Rect) {
        self.boxes.push(r);
    }

    /// Only the words of it.
    pub(crate) fn words_only(&self) -> Self {
        Self { segments: Rows::default(), boxes: self.boxes.clone() }
    }

    fn add_path(&mut self, p: &Path, window: &Rect) {
        let (mut start, mut last) = ([0.0; 2], [0.0; 2]);
        let count = p.segments.len();
        for (k, s) in p.segments.iter().enumerate() {
            match *s {
                Segment::Move(a) => (start, last) = (a, a),
                Segment::Line(a) => {
                    let near = (a[0] - last[0]).hypot(a[1] - last[1]) < COARSE_MM;
                    if !near || k + 1 == count || !matches!(p.segments[k + 1], Segment::Line(_)) {
                        self.add_line(last, a, window);
                        last = a;
                    }
                }
                Segment::Cubic(b, c, e) => {
                    for i in 1..=8 {
                        let q = cubic_at(last, b, c, e, f64::from(i) / 8.0);
                        self.add_line(
                            if i == 1 { last } else { cubic_at(last, b, c, e, f64::from(i - 1) / 8.0) },
                            q,
                            window,
                        );
                    }
                    last = e;
                }
                Segment::Close => {
                    self.add_line(last, start, window);
                    last = start;
                }
            }
        }
    }

    fn add_line(&mut self, a: [f64; 2], b: [f64; 2], window: &Rect) {
        if hits(&[a, b], window) {
            self.segments.add([a, b], window);
        }
    }

    /// Whether nothing lies in the rectangle.
    pub(crate) fn is_free(&self, r: &Rect) -> bool {
        self.reach(r, 0).is_none()
    }

    /// If something lies in the rectangle: how far one such thing reaches along an axis, of what of it lies beside the rectangle. Moved
    /// along that axis, the rectangle is not free until it is past that.
    fn reach(&self, r: &Rect, axis: usize) -> Option<f64> {
        let boxes = self.boxes.iter().find(|b| b.overlaps(r, 0.0)).map(|b| b.max[axis]);
        boxes.or_else(|| self.segments.near(r).find(|s| hits(s, r)).map(|s| reach_beside(s, r, axis)))
    }

    /// The free place for a box of `size` within `area` whose middle is nearest to `prefer` and accepted by `inside`; its
    /// lower left corner. The box must stay `clear` mm away from everything.
    pub(crate) fn find(
        &self,
        area: &Rect,
        size: [f64; 2],
        clear: f64,
        prefer: [f64; 2],
        inside: impl Fn([f64; 2]) -> bool,
    ) -> Option<[f64; 2]> {
        let room = [0, 1].map(|k| area.size()[k] - size[k]);
        if room[0] < 0.0 || room[1] < 0.0 {
            return None;
        }
        let wish = [0, 1].map(|k| (prefer[k] - size[k] / 2.0).clamp(area.min[k], area.min[k] + room[k]));
        Nearest { free: self, low: area.min, room, size, clear, wish, inside: &inside }.place()
    }
}

fn cubic_at(a: [f64; 2], b: [f64; 2], c: [f64; 2], e: [f64; 2], t: f64) -> [f64; 2] {
    let s = 1.0 - t;
    [0, 1].map(|k| s * s * s * a[k] + 3.0 * s * s * t * b[k] + 3.0 * s * t * t * c[k] + t * t * t * e[k])
}

/// How far along an axis a segment reaches, of what of it lies beside a rectangle on the other axis.
fn reach_beside(s: &[[f64; 2]; 2], r: &Rect, axis: usize) -> f64 {
    let across = 1 - axis;
    let rise = s[1][across] - s[0][across];
    if rise.abs() < 1e-12 {
        return s[0][axis].max(s[1][axis]);
    }
    let at = |level: f64| {
        let share = ((level - s[0][across]) / rise).clamp(0.0, 1.0);
        s[0][axis] + share * (s[1][axis] - s[0][axis])
    };
    at(r.min[across]).max(at(r.max[across]))
}

/// Whether a segment has a point in a rectangle (Liang and Barsky's clipping, 1984).
pub(crate) fn hits(s: &[[f64; 2]; 2], r: &Rect) -> bool {
    if (0..2).any(|k| s[0][k].max(s[1][k]) < r.min[k] || s[0][k].min(s[1][k]) > r.max[k]) {
        return false;
    }
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for ((a, b), (low, high)) in s[0].iter().zip(&s[1]).zip(r.min.iter().zip(&r.max)) {
        let d = b - a;
        if d.abs() < 1e-12 {
            if a < low || a > high {
                return false;
            }
            continue;
        }
        let (enter, leave) = ((low - a) / d, (high - a) / d);
        from = from.max(enter.min(leave));
        to = to.min(enter.max(leave));
    }
    from <= to
}

/// A polygon that is asked about many places: its sides sorted into level bands.
#[derive(Clone, Debug)]
pub(crate) struct Banded {
    low: f64,
    /// Bands for each mm.
    per_mm: f64,
    bands: Vec<Vec<[[f64; 2]; 2]>>,
}

impl Banded {
    /// Bands at most.
    const MOST: usize = 512;

    pub(crate) fn new(polygon: &[[f64; 2]]) -> Self {
        let heights = || polygon.iter().map(|p| p[1]);
        let (low, high) = (heights().fold(f64::INFINITY, f64::min), heights().fold(f64::NEG_INFINITY, f64::max));
        let count = polygon.len().clamp(1, Self::MOST);
        let per_mm = if high > low { count as f64 / (high - low) } else { 0.0 };
        let mut banded = Self { low, per_mm, bands: vec![Vec::new(); count] };
        for (k, a) in polygon.iter().enumerate() {
            let b = polygon[(k + 1) % polygon.len()];
            // A level side counts for nothing.
            let reach = [a[1].min(b[1]), a[1].max(b[1])].map(|y| banded.band(y));
            (reach[0]..=reach[1]).filter(|_| a[1] != b[1]).for_each(|i| banded.bands[i].push([*a, b]));
        }
        banded
    }

    fn band(&self, y: f64) -> usize {
        (((y - self.low) * self.per_mm).max(0.0) as usize).min(self.bands.len() - 1)
    }

    /// Whether a point lies in the polygon (even-odd rule).
    pub(crate) fn holds(&self, p: [f64; 2]) -> bool {
        let sides = self.bands[self.band(p[1])].iter();
        let crossed = sides.filter(|[a, b]| {
            (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1])
        });
        crossed.count() % 2 == 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::{Ink, Stroke};

    /// Whether a point lies in a polygon (even-odd rule).
    fn in_polygon(polygon: &[[f64; 2]], p: [f64; 2]) -> bool {
        let n = polygon.len();
        (0..n)
            .filter(|&k| {
                let (a, b) = (polygon[k], polygon[(k + 1) % n]);
                (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1])
            })
            .count()
            % 2
            == 1
    }

    /// The plain rule over all sides is the reference.
    #[test]
    fn bands_say_what_the_whole_polygon_says() {
        let star = |k: usize| {
            let (turn, far) = (k as f64 * std::f64::consts::TAU / 90.0, if k.is_multiple_of(2) { 30.0 } else { 17.0 });
            [far * turn.cos(), (far * turn.sin() * 4.0).round() / 4.0]
        };
        let polygon: Vec<[f64; 2]> = (0..90).map(star).collect();
        let banded = Banded::new(&polygon);
        for (i, j) in (-70..=70).flat_map(|i| (-70..=70).map(move |j| (i, j))) {
            let p = [0.5 * f64::from(i) + 0.01, 0.5 * f64::from(j)];
            assert_eq!(banded.holds(p), in_polygon(&polygon, p), "{p:?}");
        }
        assert!(!Banded::new(&[]).holds([0.0; 2]) && !Banded::new(&[[1.0, 2.0]; 3]).holds([0.5, 2.0]));
    }

    #[test]
    fn a_label_avoids_lines_and_other_labels() {
        let mut d = Drawing::default();
        let area = Rect::at([0.0; 2], [100.0, 60.0]);
        d.push(Path::line([0.0, 30.0], [100.0, 30.0], Stroke::solid(0.2, Ink::BLACK)));
        d.push(Path::circle([50.0, 30.0], 20.0, Some(Stroke::solid(0.2, Ink::BLACK)), None));
        let mut free = FreeSpace::default();
        free.add_drawing(&d, &area);
        let first = free.find(&area, [30.0, 8.0], 1.0, [50.0, 30.0], |_| true).unwrap();
        let placed = Rect::at(first, [30.0, 8.0]);
        assert!(free.is_free(&placed));
        free.take(placed);
        let second = free.find(&area, [30.0, 8.0], 1.0, [50.0, 30.0], |_| true).unwrap();
        assert!(!Rect::at(second, [30.0, 8.0]).overlaps(&placed, 0.0));
    }

    #[test]
    fn segments_and_rectangles_meet_when_they_share_a_point() {
        let r = Rect::at([0.0; 2], [10.0, 10.0]);
        assert!(hits(&[[-5.0, 5.0], [15.0, 5.0]], &r) && hits(&[[2.0, 2.0], [3.0, 3.0]], &r));
        assert!(!hits(&[[-5.0, 8.0], [3.0, 16.0]], &r) && !hits(&[[11.0, -5.0], [11.0, 15.0]], &r));
    }
}
