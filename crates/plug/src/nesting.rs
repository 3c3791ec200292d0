//! Rectangles on boards by straight cuts from edge to edge, so that a knife, a saw or a wire can follow the plan.
//!
//! Guillotine packing with best-fit choices: each piece goes into the free rectangle it fits best, and what is left of that
//! rectangle is split in two by one cut. Orders of the pieces, choices and splits are all tried, and the plan with the fewest
//! boards is kept (J. Jylänki, "A Thousand Ways to Pack the Bin", 2010, describes choices and splits).

use std::cmp::Ordering;

/// A rectangle to be cut, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Length and width.
    pub size: [f64; 2],
}

/// A board and how it is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    /// Length and width, mm.
    pub size: [f64; 2],
    /// Margin that is cut off at every edge, mm.
    pub edge: f64,
    /// Width of the cut between two pieces, mm.
    pub kerf: f64,
}

/// Where a piece lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Index of the piece.
    pub piece: usize,
    /// Number of the board, from 0.
    pub board: usize,
    /// Lower left corner on the board, mm.
    pub at: [f64; 2],
    /// Length and width as it lies, mm.
    pub size: [f64; 2],
}

/// A straight cut on a board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Number of the board, from 0.
    pub board: usize,
    /// Where the cut's middle begins and ends, mm.
    pub from: [f64; 2],
    /// End of the cut.
    pub to: [f64; 2],
}

/// A cutting plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Nesting {
    /// Every piece that fits on a board.
    pub placed: Vec<Placed>,
    /// The cuts in the order in which they are made, after the edges were trimmed.
    pub cuts: Vec<Cut>,
    /// How many boards are used.
    pub boards: usize,
    /// Fewer boards than this cannot do, by area alone.
    pub area_bound: usize,
    /// Share of the used boards' area that is not a piece.
    pub waste: f64,
    /// Pieces that are larger than a board.
    pub too_large: Vec<usize>,
}

/// Nests the pieces, turned by a quarter where that is better, on as few boards as are found.
pub fn nest(pieces: &[Piece], stock: &Stock) -> Nesting {
    let usable = stock.size.map(|s| s - 2.0 * stock.edge);
    let fits = |p: &Piece| {
        let [a, b] = p.size;
        (a <= usable[0] && b <= usable[1]) || (b <= usable[0] && a <= usable[1])
    };
    let (inside, too_large): (Vec<usize>, Vec<usize>) = (0..pieces.len()).partition(|&i| fits(&pieces[i]));
    let mut best: Option<Attempt> = None;
    for order in ORDERS {
        let sorted = sorted(&inside, pieces, order);
        for choice in [Choice::Area, Choice::ShortSide, Choice::LongSide] {
            for split in [Split::ShorterLeft, Split::LongerLeft, Split::AlongLength, Split::AlongWidth] {
                let attempt = Attempt::new(&sorted, pieces, stock, choice, split);
                if best.as_ref().is_none_or(|b| attempt.better_than(b)) {
                    best = Some(attempt);
                }
            }
        }
    }
    report(best.unwrap_or_default(), pieces, stock, too_large)
}

type Order = fn([f64; 2]) -> f64;

/// What pieces are sorted by, the largest first.
const ORDERS: [Order; 5] =
    [|[a, b]| a * b, |[a, b]| a.max(b), |[a, b]| a.min(b), |[a, b]| a + b, |[a, b]| a.max(b) / a.min(b).max(1e-9)];

fn sorted(inside: &[usize], pieces: &[Piece], order: Order) -> Vec<usize> {
    let mut all = inside.to_vec();
    all.sort_by(|a, b| order(pieces[*b].size).total_cmp(&order(pieces[*a].size)).then(a.cmp(b)));
    all
}

#[derive(Clone, Copy)]
enum Choice {
    Area,
    ShortSide,
    LongSide,
}

#[derive(Clone, Copy)]
enum Split {
    ShorterLeft,
    LongerLeft,
    AlongLength,
    AlongWidth,
}

/// A free rectangle of a board: corner and size. Sizes include one kerf beyond each side, as pieces do.
#[derive(Clone, Copy)]
struct Free {
    board: usize,
    at: [f64; 2],
    size: [f64; 2],
}

#[derive(Default)]
struct Attempt {
    free: Vec<Free>,
    placed: Vec<Placed>,
    cuts: Vec<Cut>,
    boards: usize,
}

const SLACK: f64 = 1e-9;

impl Attempt {
    fn new(order: &[usize], pieces: &[Piece], stock: &Stock, choice: Choice, split: Split) -> Self {
        let mut attempt = Self::default();
        for &i in order {
            let size = pieces[i].size;
            let place = attempt.best(size, stock.kerf, choice).or_else(|| {
                attempt.open(stock);
                attempt.best(size, stock.kerf, choice)
            });
            if let Some((free, turned)) = place {
                attempt.put(i, free, if turned { [size[1], size[0]] } else { size }, stock.kerf, split);
            }
        }
        attempt
    }

    fn open(&mut self, stock: &Stock) {
        let size = stock.size.map(|s| s - 2.0 * stock.edge + stock.kerf);
        self.free.push(Free { board: self.boards, at: [stock.edge; 2], size });
        self.boards += 1;
    }

    /// The free rectangle that suits best, and whether the piece is turned in it; earlier boards first.
    fn best(&self, size: [f64; 2], kerf: f64, choice: Choice) -> Option<(usize, bool)> {
        let mut best: Option<([f64; 2], (usize, bool))> = None;
        for (k, free) in self.free.iter().enumerate() {
            for turned in [false, true] {
                let [w, h] = if turned { [size[1], size[0]] } else { size };
                let left = [free.size[0] - w - kerf, free.size[1] - h - kerf];
                if left[0] < -SLACK || left[1] < -SLACK {
                    continue;
                }
                let score = match choice {
                    Choice::Area => free.size[0] * free.size[1],
                    Choice::ShortSide => left[0].min(left[1]),
                    Choice::LongSide => left[0].max(left[1]),
                };
                let key = [free.board as f64, score];
                if best.is_none_or(|(b, _)| key < b) {
                    best = Some((key, (k, turned)));
                }
            }
        }
        best.map(|b| b.1)
    }

    fn put(&mut self, piece: usize, k: usize, size: [f64; 2], kerf: f64, split: Split) {
        let free = self.free.swap_remove(k);
        self.placed.push(Placed { piece, board: free.board, at: free.at, size });
        let taken = size.map(|s| s + kerf);
        let left = [free.size[0] - taken[0], free.size[1] - taken[1]];
        // Whether the first cut runs along the board's length, above the piece.
        let lengthwise = match split {
            Split::ShorterLeft => left[0] < left[1],
            Split::LongerLeft => left[0] >= left[1],
            Split::AlongLength => true,
            Split::AlongWidth => false,
        };
        let (beside, above) = if lengthwise {
            ([left[0], taken[1]], [free.size[0], left[1]])
        } else {
            ([left[0], free.size[1]], [taken[0], left[1]])
        };
        let mut cuts = [(0, [taken[0], beside[1]]), (1, [above[0], taken[1]])];
        if lengthwise {
            cuts.reverse();
        }
        for (across, reach) in cuts {
            if left[across] > SLACK {
                self.cuts.push(cut(&free, across, reach, kerf));
            }
        }
        let rest = [([free.at[0] + taken[0], free.at[1]], beside), ([free.at[0], free.at[1] + taken[1]], above)];
        let room = |(_, s): &([f64; 2], [f64; 2])| s[0] > kerf + SLACK && s[1] > kerf + SLACK;
        self.free.extend(rest.into_iter().filter(room).map(|(at, size)| Free { board: free.board, at, size }));
    }

    /// Fewer boards, or else less used of the last one.
    fn better_than(&self, other: &Self) -> bool {
        let key = |a: &Self| {
            let last = a.placed.iter().filter(|p| p.board + 1 == a.boards).map(|p| p.at[0] + p.size[0]);
            (a.boards, last.fold(0.0, f64::max))
        };
        let (mine, theirs) = (key(self), key(other));
        mine.0.cmp(&theirs.0).then(mine.1.total_cmp(&theirs.1)) == Ordering::Less
    }
}

/// The cut that divides a free rectangle across coordinate `across`, in the middle of its kerf.
fn cut(free: &Free, across: usize, reach: [f64; 2], kerf: f64) -> Cut {
    let mut from = free.at;
    from[across] += reach[across] - 0.5 * kerf;
    let mut to = from;
    to[1 - across] += reach[1 - across] - kerf;
    Cut { board: free.board, from, to }
}

fn report(best: Attempt, pieces: &[Piece], stock: &Stock, too_large: Vec<usize>) -> Nesting {
    let area: f64 = best.placed.iter().map(|p| p.size[0] * p.size[1]).sum();
    let usable: f64 = stock.size.iter().map(|s| s - 2.0 * stock.edge + stock.kerf).product();
    let with_kerf: f64 =
        best.placed.iter().map(|p| pieces[p.piece].size.iter().map(|s| s + stock.kerf).product::<f64>()).sum();
    let area_bound = if usable > 0.0 { (with_kerf / usable - 1e-9).ceil().max(0.0) as usize } else { 0 };
    let whole = best.boards as f64 * stock.size[0] * stock.size[1];
    let waste = if whole > 0.0 { 1.0 - area / whole } else { 0.0 };
    Nesting { placed: best.placed, cuts: best.cuts, boards: best.boards, area_bound, waste, too_large }
}
