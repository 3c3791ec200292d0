//! One path through a strip: dynamic programming (A. J. Viterbi, IEEE Trans. Information Theory 13, 1967).

/// What a row gains or pays.
pub(super) struct Grid {
    pub(super) rows: usize,
    pub(super) width: usize,
    /// What a path gains at each place, row by row.
    pub(super) gain: Vec<f32>,
}

/// Most samples that a path moves aside from row to row.
const MOST_MOVE: usize = 2;

impl Grid {
    pub(super) fn new(rows: usize, width: usize, gain: impl Fn(usize, usize) -> f32) -> Self {
        let gain = (0..rows * width).map(|i| gain(i / width, i % width)).map(|g| if g.is_finite() { g } else { 0.0 });
        Self { rows, width, gain: gain.collect() }
    }

    /// The path that gains most, less `stiffness` times the square of each move aside (in samples).
    pub(super) fn best_path(&self, stiffness: f32) -> Vec<usize> {
        let mut reached: Vec<f32> = self.gain[..self.width].to_vec();
        let mut came = vec![0u8; self.rows * self.width];
        for row in 1..self.rows {
            let mut next = Vec::with_capacity(self.width);
            for j in 0..self.width {
                let (low, high) = (j.saturating_sub(MOST_MOVE), (j + MOST_MOVE).min(self.width - 1));
                let (mut best, mut from) = (f32::NEG_INFINITY, j);
                for (k, so_far) in reached.iter().enumerate().take(high + 1).skip(low) {
                    let value = so_far - stiffness * (k.abs_diff(j) * k.abs_diff(j)) as f32;
                    if value > best {
                        (best, from) = (value, k);
                    }
                }
                came[row * self.width + j] = (from + MOST_MOVE - j) as u8;
                next.push(best + self.gain[row * self.width + j]);
            }
            reached = next;
        }
        self.traced_back(&reached, &came)
    }

    fn traced_back(&self, reached: &[f32], came: &[u8]) -> Vec<usize> {
        let mut j = (0..self.width).max_by(|&a, &b| reached[a].total_cmp(&reached[b])).unwrap_or(0);
        let mut path = vec![j; self.rows];
        for row in (1..self.rows).rev() {
            j = (j + usize::from(came[row * self.width + j])).saturating_sub(MOST_MOVE);
            path[row - 1] = j;
        }
        path
    }
}
