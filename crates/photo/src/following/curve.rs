//! The line along which an edge is sought: a smooth curve through picks, and frames at every pixel of its length.

/// A place of a line with its normal (to the left of the way, as seen with y down: to the right).
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub(super) at: [f64; 2],
    pub(super) normal: [f64; 2],
    /// Which point of the line it was made from.
    pub(super) source: usize,
}

impl Frame {
    /// The place `offset` pixels along the normal.
    pub(super) fn across(&self, offset: f64) -> [f64; 2] {
        [self.at[0] + offset * self.normal[0], self.at[1] + offset * self.normal[1]]
    }
}

fn minus(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

fn mix(a: [f64; 2], wa: f64, b: [f64; 2], wb: f64) -> [f64; 2] {
    [a[0] * wa + b[0] * wb, a[1] * wa + b[1] * wb]
}

pub(super) fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// A centripetal curve through picks of which no two neighbours coincide, a point about every pixel. Of a closed one the
/// first pick is repeated at the end.
pub(super) fn through(picks: &[[f64; 2]], closed: bool) -> Vec<[f64; 2]> {
    let steps: Vec<f64> = picks.windows(2).map(|w| distance(w[0], w[1]).sqrt()).collect();
    let chords: Vec<[f64; 2]> = picks.windows(2).zip(&steps).map(|(w, h)| minus(w[1], w[0]).map(|c| c / h)).collect();
    let tangents = tangents(&chords, &steps, closed);
    let mut line = vec![picks[0]];
    for (i, w) in picks.windows(2).enumerate() {
        let pieces = distance(w[0], w[1]).ceil().max(1.0) as usize;
        let h = steps[i];
        line.extend((1..=pieces).map(|k| {
            let s = k as f64 / pieces as f64;
            let (s2, s3) = (s * s, s * s * s);
            let ends = mix(w[0], 2.0 * s3 - 3.0 * s2 + 1.0, w[1], 3.0 * s2 - 2.0 * s3);
            let slopes = mix(tangents[i], h * (s3 - 2.0 * s2 + s), tangents[i + 1], h * (s3 - s2));
            [ends[0] + slopes[0], ends[1] + slopes[1]]
        }));
    }
    line
}

/// At each pick the tangent of the parabola through it and its neighbours.
fn tangents(chords: &[[f64; 2]], steps: &[f64], closed: bool) -> Vec<[f64; 2]> {
    let n = chords.len();
    if n == 1 {
        return vec![chords[0]; 2];
    }
    let between = |i: usize, j: usize| {
        let both = steps[i] + steps[j];
        mix(chords[i], steps[j] / both, chords[j], steps[i] / both)
    };
    let mut all: Vec<[f64; 2]> = (1..n).map(|i| between(i - 1, i)).collect();
    let (first, last) = if closed {
        let seam = between(n - 1, 0);
        (seam, seam)
    } else {
        (mix(chords[0], 2.0, all[0], -1.0), mix(chords[n - 1], 2.0, all[n - 2], -1.0))
    };
    all.insert(0, first);
    all.push(last);
    all
}

/// Frames one pixel apart along a line of points.
pub(super) fn frames(line: &[[f64; 2]]) -> Vec<Frame> {
    let mut places = vec![(line[0], 0)];
    let (mut passed, mut next) = (0.0, 1.0);
    for (i, w) in line.windows(2).enumerate() {
        let step = distance(w[0], w[1]);
        while passed + step >= next {
            let share = (next - passed) / step;
            places.push((mix(w[0], 1.0 - share, w[1], share), if share < 0.5 { i } else { i + 1 }));
            next += 1.0;
        }
        passed += step;
    }
    let normal = |i: usize| {
        let along = minus(places[(i + 2).min(places.len() - 1)].0, places[i.saturating_sub(2)].0);
        let length = along[0].hypot(along[1]);
        if length > 0.0 { [-along[1] / length, along[0] / length] } else { [0.0, 1.0] }
    };
    (0..places.len()).map(|i| Frame { at: places[i].0, normal: normal(i), source: places[i].1 }).collect()
}

/// Signed curvature at a frame, 1/px, positive where the centre lies on the side of the normal: from the turn of the
/// normals over twelve frames, so that noise of the line does not count.
pub(super) fn curvature(frames: &[Frame], i: usize) -> f64 {
    let (a, b) = (i.saturating_sub(6), (i + 6).min(frames.len() - 1));
    if b < a + 4 {
        return 0.0;
    }
    let (m, n) = (frames[a].normal, frames[b].normal);
    (m[0] * n[1] - m[1] * n[0]).atan2(m[0] * n[0] + m[1] * n[1]) / (b - a) as f64
}
