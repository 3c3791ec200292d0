//! The equations of one step: symmetric, sparse, two rows for each vertex; solved by conjugate gradients (Hestenes and Stiefel, J. Res.
//! NBS 49, 1952) with an incomplete Cholesky factor that fills nothing (Meijerink and van der Vorst, Math. Comp. 31, 1977): slivers
//! along a line would cost some hundred steps otherwise, with it they are a few dozen.

type Point = [f64; 2];
type Block = [[f64; 2]; 2];

/// Steps of conjugate gradients at most.
const INNER: usize = 400;
/// The square of what is left of the right side, as a share of its own: the step is followed by another anyway.
const LEFT: f64 = 1e-4;
/// A pivot that has lost all but this share of the diagonal is not believed.
const PIVOT: f64 = 1e-4;

/// Where blocks stand below the diagonal: row by row, each row's columns in order. The same for all steps.
#[derive(Clone, Debug)]
pub(super) struct Pattern {
    /// Where each row begins, and where the last ends.
    from: Vec<usize>,
    columns: Vec<usize>,
}

impl Pattern {
    /// Of edges between `count` vertices, each once with the lower vertex first, sorted by the lower one.
    pub(super) fn of(count: usize, ends: impl Iterator<Item = [usize; 2]> + Clone) -> Self {
        let mut from = vec![0; count + 1];
        ends.clone().for_each(|[_, high]| from[high + 1] += 1);
        for i in 0..count {
            from[i + 1] += from[i];
        }
        let mut next = from.clone();
        let mut columns = vec![0; from[count]];
        for [low, high] in ends {
            columns[next[high]] = low;
            next[high] += 1;
        }
        Self { from, columns }
    }

    /// Where the block of an edge stands; its row has few others.
    fn place(&self, [low, high]: [usize; 2]) -> usize {
        let row = self.from[high]..self.from[high + 1];
        row.clone().find(|k| self.columns[*k] == low).unwrap_or(row.start)
    }

    fn row(&self, i: usize) -> std::ops::Range<usize> {
        self.from[i]..self.from[i + 1]
    }
}

/// The equations.
pub(super) struct Normal<'a> {
    pattern: &'a Pattern,
    /// On the diagonal.
    own: Vec<Block>,
    /// Below it.
    below: Vec<Block>,
    right: Vec<Point>,
}

impl<'a> Normal<'a> {
    /// None yet, all zero.
    pub(super) fn new(pattern: &'a Pattern) -> Self {
        let count = pattern.from.len() - 1;
        Self {
            pattern,
            own: vec![Block::default(); count],
            below: vec![Block::default(); pattern.columns.len()],
            right: vec![Point::default(); count],
        }
    }

    /// Adds an edge along the unit vector `way` that is `over` too long.
    pub(super) fn add(&mut self, ends: [usize; 2], way: Point, over: f64, weight: f64) {
        let [a, b] = ends;
        let place = self.pattern.place(ends);
        for i in 0..2 {
            self.right[a][i] += weight * over * way[i];
            self.right[b][i] -= weight * over * way[i];
            for j in 0..2 {
                let stiff = weight * way[i] * way[j];
                self.own[a][i][j] += stiff;
                self.own[b][i][j] += stiff;
                self.below[place][i][j] -= stiff;
            }
        }
    }

    /// The step that solves them with the diagonal made larger by a share.
    pub(super) fn solved(mut self, damping: f64) -> Vec<Point> {
        for own in &mut self.own {
            (0..2).for_each(|k| own[k][k] += damping * own[k][k] + 1e-12);
        }
        let factor = Factor::of(&self);
        let mut x = vec![Point::default(); self.own.len()];
        let mut left = self.right.clone();
        let mut eased = factor.eased(&left);
        let mut way = eased.clone();
        let mut rate = product(&left, &eased);
        let small = LEFT * rate;
        for _ in 0..INNER {
            if rate <= small || rate <= 0.0 {
                break;
            }
            let image = self.times(&way);
            let share = rate / product(&way, &image).max(f64::MIN_POSITIVE);
            for i in 0..x.len() {
                for k in 0..2 {
                    x[i][k] += share * way[i][k];
                    left[i][k] -= share * image[i][k];
                }
            }
            eased = factor.eased(&left);
            let next = product(&left, &eased);
            let keep = next / rate;
            way.iter_mut().zip(&eased).for_each(|(w, z)| *w = [z[0] + keep * w[0], z[1] + keep * w[1]]);
            rate = next;
        }
        x
    }

    fn times(&self, x: &[Point]) -> Vec<Point> {
        let mut y: Vec<Point> = self.own.iter().zip(x).map(|(m, x)| applied(m, *x)).collect();
        for i in 0..y.len() {
            let mut own = y[i];
            for k in self.pattern.row(i) {
                let (j, m) = (self.pattern.columns[k], &self.below[k]);
                let (there, back) = (applied(m, x[j]), applied(&turned(m), x[i]));
                own = [own[0] + there[0], own[1] + there[1]];
                y[j] = [y[j][0] + back[0], y[j][1] + back[1]];
            }
            y[i] = own;
        }
        y
    }
}

/// The equations as U D⁻¹ Uᵀ, nearly: U is lower triangular with D on its diagonal.
struct Factor<'a> {
    pattern: &'a Pattern,
    /// D⁻¹.
    inverse: Vec<Block>,
    below: Vec<Block>,
}

impl<'a> Factor<'a> {
    fn of(equations: &Normal<'a>) -> Self {
        let pattern = equations.pattern;
        let mut made = Self { pattern, inverse: Vec::with_capacity(equations.own.len()), below: Vec::new() };
        made.below.reserve(pattern.columns.len());
        for (i, own) in equations.own.iter().enumerate() {
            let mut pivot = *own;
            let row = pattern.row(i);
            for k in row.clone() {
                let j = pattern.columns[k];
                let mut block = equations.below[k];
                made.take_common(&mut block, row.start..k, pattern.row(j));
                taken(&mut pivot, &through(&block, &made.inverse[j], &block));
                made.below.push(block);
            }
            let sound = (0..2).all(|k| pivot[k][k] > PIVOT * own[k][k]);
            let inverse = inverse(&pivot).filter(|_| sound).unwrap_or_else(|| {
                // What is left of it is no use: this vertex is eased by itself.
                [[1.0 / own[0][0], 0.0], [0.0, 1.0 / own[1][1]]]
            });
            made.inverse.push(inverse);
        }
        made
    }

    /// Takes from a block what two rows have in common before it.
    fn take_common(&self, block: &mut Block, mine: std::ops::Range<usize>, other: std::ops::Range<usize>) {
        let columns = &self.pattern.columns;
        let (mut p, mut q) = (mine.start, other.start);
        while p < mine.end && q < other.end {
            match columns[p].cmp(&columns[q]) {
                std::cmp::Ordering::Less => p += 1,
                std::cmp::Ordering::Greater => q += 1,
                std::cmp::Ordering::Equal => {
                    taken(block, &through(&self.below[p], &self.inverse[columns[p]], &self.below[q]));
                    (p, q) = (p + 1, q + 1);
                }
            }
        }
    }

    /// What solves the factor's equations.
    fn eased(&self, right: &[Point]) -> Vec<Point> {
        let columns = &self.pattern.columns;
        let mut z: Vec<Point> = Vec::with_capacity(right.len());
        for (i, r) in right.iter().enumerate() {
            let mut left = *r;
            for k in self.pattern.row(i) {
                let t = applied(&self.below[k], z[columns[k]]);
                left = [left[0] - t[0], left[1] - t[1]];
            }
            z.push(applied(&self.inverse[i], left));
        }
        for i in (0..z.len()).rev() {
            let own = z[i];
            for k in self.pattern.row(i) {
                let j = columns[k];
                let t = applied(&self.inverse[j], applied(&turned(&self.below[k]), own));
                z[j] = [z[j][0] - t[0], z[j][1] - t[1]];
            }
        }
        z
    }
}

fn applied(m: &Block, x: Point) -> Point {
    [m[0][0] * x[0] + m[0][1] * x[1], m[1][0] * x[0] + m[1][1] * x[1]]
}

fn turned(m: &Block) -> Block {
    [[m[0][0], m[1][0]], [m[0][1], m[1][1]]]
}

/// a m bᵀ.
fn through(a: &Block, m: &Block, b: &Block) -> Block {
    let inner: Block = a.map(|row| [0, 1].map(|j| row[0] * m[0][j] + row[1] * m[1][j]));
    inner.map(|row| [0, 1].map(|j| row[0] * b[j][0] + row[1] * b[j][1]))
}

fn taken(a: &mut Block, b: &Block) {
    a.iter_mut().flatten().zip(b.iter().flatten()).for_each(|(a, b)| *a -= b);
}

/// Of a positive one.
fn inverse(m: &Block) -> Option<Block> {
    let whole = m[0][0] * m[1][1] - m[0][1] * m[1][0];
    let sound = m[0][0] > 0.0 && whole > 1e-12 * m[0][0] * m[1][1];
    sound.then(|| [[m[1][1] / whole, -m[0][1] / whole], [-m[1][0] / whole, m[0][0] / whole]])
}

fn product(a: &[Point], b: &[Point]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a[0] * b[0] + a[1] * b[1]).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three vertices in a row can be factored without filling anything, so the factor is exact and one step solves them: what comes
    /// out, put in again, gives the right side.
    #[test]
    fn a_chain_is_solved_at_once() {
        let ends = [[0, 1], [1, 2]];
        let pattern = Pattern::of(3, ends.into_iter());
        let make = || {
            let mut equations = Normal::new(&pattern);
            equations.add([0, 1], [0.6, 0.8], 0.3, 2.0);
            equations.add([1, 2], [0.8, -0.6], -0.1, 0.5);
            equations
        };
        let right = make().right;
        let step = make().solved(0.1);
        let mut again = make();
        again.own.iter_mut().for_each(|own| (0..2).for_each(|k| own[k][k] += 0.1 * own[k][k] + 1e-12));
        for (a, b) in again.times(&step).iter().zip(&right) {
            assert!((a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9, "{a:?} {b:?}");
        }
    }
}
