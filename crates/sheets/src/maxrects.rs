//! Rectangles into one bin by maximal free rectangles.
//!
//! The bin keeps every maximal empty rectangle; a placed piece cuts those it touches. Method: J. Jylänki, "A Thousand Ways to
//! Pack the Bin", 2010 (MaxRects), where the rules of [`Rule`] are described.

use crate::sheet::Rect;

/// Which free rectangle a piece prefers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Rule {
    /// Least left over along the tighter side.
    ShortSide,
    /// Least left over along the looser side.
    LongSide,
    /// Least area left over.
    Area,
    /// Lowest top edge.
    Low,
}

/// Where a piece would go.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    pub(crate) at: [f64; 2],
    pub(crate) turned: bool,
    /// Smaller is better, compared in order.
    pub(crate) score: [f64; 2],
}

/// A bin with its free rectangles. Sizes include the gap between pieces.
#[derive(Clone, Debug)]
pub(crate) struct Bin {
    free: Vec<Rect>,
    /// The longest and the shortest side of any free rectangle, for a quick no.
    reach: [f64; 2],
    /// What the last piece cut free rectangles into; kept for its room.
    cut: Vec<Rect>,
}

const SLACK: f64 = 1e-6;

impl Bin {
    pub(crate) fn new(size: [f64; 2]) -> Self {
        let reach = [size[0].max(size[1]), size[0].min(size[1])];
        Self { free: vec![Rect { min: [0.0; 2], max: size }], reach, cut: Vec::new() }
    }

    /// Empties it, as [`Self::new`] makes one.
    pub(crate) fn clear(&mut self, size: [f64; 2]) {
        self.free.clear();
        self.free.push(Rect { min: [0.0; 2], max: size });
        self.reach = [size[0].max(size[1]), size[0].min(size[1])];
    }

    /// The best place for a piece by `rule`.
    pub(crate) fn find(&self, size: [f64; 2], rule: Rule) -> Option<Place> {
        if size[0].max(size[1]) > self.reach[0] + SLACK || size[0].min(size[1]) > self.reach[1] + SLACK {
            return None;
        }
        let mut best: Option<Place> = None;
        for free in &self.free {
            let room = free.size();
            for turned in [false, true] {
                let [w, h] = if turned { [size[1], size[0]] } else { size };
                let (dx, dy) = (room[0] - w, room[1] - h);
                if dx < -SLACK || dy < -SLACK {
                    continue;
                }
                let score = match rule {
                    Rule::ShortSide => [dx.min(dy), dx.max(dy)],
                    Rule::LongSide => [dx.max(dy), dx.min(dy)],
                    Rule::Area => [room[0] * room[1] - w * h, dx.min(dy)],
                    Rule::Low => [free.min[1] + h, free.min[0]],
                };
                if best.is_none_or(|b| score < b.score) {
                    best = Some(Place { at: free.min, turned, score });
                }
            }
        }
        best
    }

    /// Takes a rectangle out of the free room.
    pub(crate) fn take(&mut self, used: &Rect) {
        let cut = &mut self.cut;
        cut.clear();
        self.free.retain(|free| {
            if !free.overlaps(used, SLACK) {
                return true;
            }
            cut.extend(around(free, used));
            false
        });
        for (k, piece) in cut.iter().enumerate() {
            let covered = |other: &Rect| other.holds(piece, SLACK);
            let twin = cut
                .iter()
                .enumerate()
                .any(|(j, other)| j != k && covered(other) && (j < k || !piece.holds(other, SLACK)));
            if !twin && !self.free.iter().any(covered) {
                self.free.push(*piece);
            }
        }
        self.reach = self
            .free
            .iter()
            .map(Rect::size)
            .fold([0.0; 2], |[long, short]: [f64; 2], [w, h]| [long.max(w.max(h)), short.max(w.min(h))]);
    }
}

fn around(free: &Rect, used: &Rect) -> impl Iterator<Item = Rect> {
    let mut sides = [*free; 4];
    sides[0].max[0] = used.min[0];
    sides[1].min[0] = used.max[0];
    sides[2].max[1] = used.min[1];
    sides[3].min[1] = used.max[1];
    sides.into_iter().filter(|r| r.max[0] - r.min[0] > SLACK && r.max[1] - r.min[1] > SLACK)
}
