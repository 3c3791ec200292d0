//! Segments sorted into level rows, so that only those at the height of a rectangle need be looked at.

use crate::sheet::Rect;

type Piece = [[f64; 2]; 2];

/// Height of a row, mm, unless that makes too many: about that of a line of words.
const HEIGHT: f64 = 4.0;
/// Rows at most.
const MOST: f64 = 512.0;

/// Segments by the rows that they touch.
#[derive(Clone, Debug, Default)]
pub(super) struct Rows {
    low: f64,
    /// Rows for each mm.
    per_mm: f64,
    rows: Vec<Vec<Piece>>,
}

impl Rows {
    /// Adds a segment; the first one's window says where the rows lie.
    pub(super) fn add(&mut self, piece: Piece, window: &Rect) {
        if self.rows.is_empty() {
            let tall = window.size()[1].clamp(HEIGHT, f64::MAX);
            let count = (tall / HEIGHT).ceil().min(MOST);
            *self = Self { low: window.min[1], per_mm: count / tall, rows: vec![Vec::new(); count as usize] };
        }
        let (first, last) = (self.row(piece[0][1].min(piece[1][1])), self.row(piece[0][1].max(piece[1][1])));
        self.rows[first..=last].iter_mut().for_each(|row| row.push(piece));
    }

    /// What lies below all rows counts to the lowest, what lies above to the highest.
    fn row(&self, y: f64) -> usize {
        (((y - self.low) * self.per_mm).max(0.0) as usize).min(self.rows.len().saturating_sub(1))
    }

    /// All segments that may touch a rectangle, some of them more than once.
    pub(super) fn near(&self, r: &Rect) -> impl Iterator<Item = &Piece> {
        let rows = if self.rows.is_empty() { &[] } else { &self.rows[self.row(r.min[1])..=self.row(r.max[1])] };
        rows.iter().flatten()
    }
}
