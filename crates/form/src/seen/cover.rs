//! What of the form stands before a place: the triangles of the grid that face the eye, sorted into squares of the picture.

use super::eye::Shown;
use super::grid::Grid;

/// Squares along a side.
const SQUARES: usize = 40;
/// How far the triangles may lie beside the surface, as a share of the form's length; see [`Cover::trust`].
const BESIDE: f64 = 0.001;
/// Within this share of the length nothing that the triangles say is believed on a surface seen edge on.
const NEAR: f64 = 0.05;

/// Triangles before the eye.
pub(super) struct Cover {
    triangles: Vec<[Shown; 3]>,
    least: [f64; 2],
    per_square: [f64; 2],
    /// For every square, where its triangles begin in `members`.
    starts: Vec<u32>,
    members: Vec<u32>,
    size: f64,
}

impl Cover {
    pub(super) fn new(grid: &Grid<'_>) -> Self {
        let triangles = triangles(grid);
        let corners = || triangles.iter().flatten().map(|s| s.ideal);
        let least = [0, 1].map(|k| corners().map(|p| p[k]).fold(f64::INFINITY, f64::min));
        let most = [0, 1].map(|k| corners().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max));
        let per_square = [0, 1].map(|k| SQUARES as f64 / (most[k] - least[k]).max(1e-12));
        let (low, high) = grid.loft.x_range();
        let mut cover =
            Self { triangles, least, per_square, starts: Vec::new(), members: Vec::new(), size: high - low };
        cover.sort();
        cover
    }

    /// Counting sort of the triangles into all squares that their boxes touch.
    fn sort(&mut self) {
        let boxes: Vec<[usize; 4]> = self.triangles.iter().map(|t| self.squares(t)).collect();
        let of = |b: &[usize; 4]| {
            let [x0, x1, y0, y1] = *b;
            (y0..=y1).flat_map(move |y| (x0..=x1).map(move |x| y * SQUARES + x))
        };
        let mut starts = vec![0_u32; SQUARES * SQUARES + 1];
        boxes.iter().flat_map(of).for_each(|square| starts[square + 1] += 1);
        for i in 0..SQUARES * SQUARES {
            starts[i + 1] += starts[i];
        }
        let mut next = starts.clone();
        let mut members = vec![0; starts[SQUARES * SQUARES] as usize];
        for (number, b) in (0..).zip(&boxes) {
            for square in of(b) {
                members[next[square] as usize] = number;
                next[square] += 1;
            }
        }
        (self.starts, self.members) = (starts, members);
    }

    fn square(&self, axis: usize, at: f64) -> usize {
        // `as` brings what is negative or not a number to 0.
        (((at - self.least[axis]) * self.per_square[axis]) as usize).min(SQUARES - 1)
    }

    fn squares(&self, t: &[Shown; 3]) -> [usize; 4] {
        let range = |k: usize| {
            let [a, b, c] = t.map(|s| s.ideal[k]);
            (self.square(k, a.min(b).min(c)), self.square(k, a.max(b).max(c)))
        };
        let ((x0, x1), (y0, y1)) = (range(0), range(1));
        [x0, x1, y0, y1]
    }

    /// How far before a place with that facing the triangles must lie to be believed, mm.
    fn trust(&self, facing: f64) -> f64 {
        let (beside, near) = (BESIDE * self.size, NEAR * self.size);
        if facing * near > beside { beside / facing } else { near }
    }

    /// Whether the form stands before a place whose surface has that facing.
    pub(super) fn hides(&self, place: &Shown, facing: f64) -> bool {
        let along = (1.0 + place.ideal[0].powi(2) + place.ideal[1].powi(2)).sqrt();
        let depth = 1.0 / place.nearness - self.trust(facing) / along;
        depth > 0.0 && self.nearest(place.ideal).is_some_and(|n| n * depth > 1.0)
    }

    /// Nearness of what of the form is nearest in a direction; `None` where none of it is.
    pub(super) fn nearest(&self, ideal: [f64; 2]) -> Option<f64> {
        let inside = |k: usize| {
            let at = (ideal[k] - self.least[k]) * self.per_square[k];
            (0.0..=SQUARES as f64).contains(&at)
        };
        if !inside(0) || !inside(1) {
            return None;
        }
        let square = self.square(1, ideal[1]) * SQUARES + self.square(0, ideal[0]);
        let members = &self.members[self.starts[square] as usize..self.starts[square + 1] as usize];
        let hits = members.iter().filter_map(|m| hit(&self.triangles[*m as usize], ideal));
        hits.fold(None, |best: Option<f64>, n| Some(best.map_or(n, |b| b.max(n))))
    }
}

/// Nearness of a triangle in a direction, if it lies there.
fn hit(t: &[Shown; 3], p: [f64; 2]) -> Option<f64> {
    let [a, b, c] = t.map(|s| [s.ideal[0] - p[0], s.ideal[1] - p[1]]);
    let turn = |u: [f64; 2], v: [f64; 2]| u[0] * v[1] - u[1] * v[0];
    let (wa, wb, wc) = (turn(b, c), turn(c, a), turn(a, b));
    // Triangles that face the eye turn the negative way.
    if wa > 0.0 || wb > 0.0 || wc > 0.0 {
        return None;
    }
    let sum = wa + wb + wc;
    (sum < 0.0).then(|| (wa * t[0].nearness + wb * t[1].nearness + wc * t[2].nearness) / sum)
}

/// The grid's triangles, and those of flat ends, that face the eye and lie before it.
fn triangles(grid: &Grid<'_>) -> Vec<[Shown; 3]> {
    let mut out = Vec::new();
    let mut add = |corners: [Option<Shown>; 3]| {
        if let [Some(a), Some(b), Some(c)] = corners
            && faces(&[a, b, c])
        {
            out.push([a, b, c]);
        }
    };
    let around = grid.around();
    for pair in grid.rows.windows(2).filter(|w| !w[0].corner_after) {
        let (r, s) = (&pair[0].shown, &pair[1].shown);
        for k in (0..around).filter(|k| !grid.is_mark(*k)) {
            let n = (k + 1) % around;
            add([r[k], s[k], s[n]]);
            add([r[k], s[n], r[n]]);
        }
    }
    for (row, front) in [(grid.rows.first(), true), (grid.rows.last(), false)] {
        let Some(face) = row.filter(|r| r.section.is_none()) else { continue };
        for k in 0..around / 2 - 1 {
            let (a, b, c, d) = (k, k + 1, around - 2 - k, around - 1 - k);
            for t in [[a, b, c], [a, c, d]] {
                let [p, q, s] = t.map(|i| face.shown[i]);
                add(if front { [p, q, s] } else { [p, s, q] });
            }
        }
    }
    out
}

fn faces([a, b, c]: &[Shown; 3]) -> bool {
    let (u, v) =
        ([b.ideal[0] - a.ideal[0], b.ideal[1] - a.ideal[1]], [c.ideal[0] - a.ideal[0], c.ideal[1] - a.ideal[1]]);
    u[0] * v[1] - u[1] * v[0] < 0.0
}
