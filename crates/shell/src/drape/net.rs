//! A pin-jointed net on a surface.
//!
//! A balanced weave is taken for a net of yarns that do not stretch and turn freely where they cross. Two yarns that cross at a
//! right angle lie straight (`geodesic`); then every further node is the meeting of two links with the surface: a place of
//! the surface whose straight distance from both neighbours is one cell. (C. Mack and H. M. Taylor, "The fitting of woven cloth
//! to surfaces", J. Textile Inst. 47, 1956; B. P. Van West, R. B. Pipes and M. Keefe, J. Textile Inst. 81, 1990.)
//!
//! ```text
//!      j                 N is sought: |N - A| = |N - B| = cell, N on the surface
//!      |   A-----N
//!      |   |     |       links are straight chords of the surface, not arcs on it
//!      |   O-----B
//!      +----------- i
//! ```

use super::geodesic::{CLOSE, YarnEnd};
use super::surface::{At, Jet, Margin, Surface, jet_at, solve};
use form::space::{Vector, add, cross, dot, length, sub, times, unit};

/// Where cloth is first laid down, and how it lies there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// The place.
    pub at: At,
    /// A direction in space; the warp follows its part in the tangent plane, and the weft lies to the left of it, seen from
    /// outside.
    pub warp: Vector,
}

/// A crossing of two yarns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Parameters of the surface.
    pub at: At,
    /// The place, mm.
    pub p: Vector,
    /// How far out it lies.
    pub margin: Margin,
    by: [Vector; 2],
}

/// Number of a node along warp and weft, from the start.
pub type Number = [i32; 2];

/// A draped net.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Net {
    cell: f64,
    /// How far past the cut line it went on, mm.
    reach: f64,
    first: Number,
    size: [usize; 2],
    nodes: Vec<Option<Node>>,
    /// Places that no node can have, however far the net goes on: links do not meet there, or it builds on such a place.
    shut: Vec<bool>,
}

/// Why there is no net.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum DrapeError {
    /// The cell is not a length.
    #[error("a cell of {0} mm is no length; give it 1 to 20 mm")]
    Cell(f64),
    /// The start is off the surface, or the direction square to it.
    #[error(
        "the cloth cannot start there: move the start onto the form, or turn the warp so that it lies along the surface"
    )]
    Start,
    /// More crossings than can be kept.
    #[error("cells of {0} mm are too fine for a form of this size; give it larger ones, or leave the cell to the form")]
    TooFine(f64),
}

/// Most links of a yarn to one side.
const MOST_LINKS: usize = 2000;
/// Most places of a net.
const MOST_PLACES: usize = 3_000_000;
/// How often the net goes on twice as far past its cut line, where it has left out cloth for want of that.
const MOST_REACHES: u32 = 5;
const MOST_STEPS: usize = 24;
/// No step leads further than so many cells.
const TOO_FAR: f64 = 3.0;

impl Net {
    /// Drapes a net of square cells of `cell` mm: links keep that length to 1e-9 mm.
    ///
    /// Nodes of which the surface does not let two links meet, or that lie out of reach, are not there, nor are those that
    /// would build on them.
    ///
    /// A corner of the cloth that lies on the bias can only be built from places outside the cut line. So the net goes on past it, by
    /// [`Surface::overrun`] at first and then twice as far each time, until nothing is left out for want of that.
    ///
    /// # Errors
    /// A cell that is no length, or too fine for the form; a start that is out of reach, or a warp square to the surface.
    pub fn drape(surface: &impl Surface, start: &Start, cell: f64) -> Result<Self, DrapeError> {
        if !(cell.is_finite() && cell > 0.0) {
            return Err(DrapeError::Cell(cell));
        }
        let warp = YarnEnd::new(surface, start.at, start.warp).ok_or(DrapeError::Start)?;
        if surface.margin(warp.at, &warp.jet).cloth > 0.0 {
            return Err(DrapeError::Start);
        }
        let weft = YarnEnd { along: warp.left(), ..warp };
        let back = |y: &YarnEnd| YarnEnd { along: times(y.along, -1.0), ..*y };
        let ends = [warp, weft, back(&warp), back(&weft)];
        let start = Node::new(surface, warp.at, &warp.jet);
        let laid = |reach: f64| {
            let arms = ends.map(|end| arm(surface, end, cell, reach));
            Self::between(surface, (cell, reach), &start, &arms).ok_or(DrapeError::TooFine(cell))
        };
        let mut net = laid(surface.overrun())?;
        for _ in 0..MOST_REACHES {
            if 2.0 * net.reach > surface.most_overrun() || !net.is_short() {
                break;
            }
            // What is laid already stays good if going on further comes to too much, or does not help.
            let Ok(further) = laid(2.0 * net.reach) else { break };
            if further.inside_cut() <= net.inside_cut() {
                break;
            }
            net = further;
        }
        Ok(net)
    }

    /// The net between four half yarns, given from the start outward: ahead, left, behind, right; so far past the cut line. `None`
    /// if it has too many places.
    pub(crate) fn between(
        surface: &impl Surface,
        (cell, reach): (f64, f64),
        start: &Node,
        arms: &[Vec<Node>; 4],
    ) -> Option<Self> {
        let count = |k: usize| arms[k].len() as i32;
        let first = [-count(2), -count(3)];
        let size = [arms[0].len() + arms[2].len() + 1, arms[1].len() + arms[3].len() + 1];
        let places = size[0] * size[1];
        if places > MOST_PLACES {
            return None;
        }
        let mut net = Self { cell, reach, first, size, nodes: vec![None; places], shut: vec![false; places] };
        net.set([0, 0], *start);
        for (k, arm) in arms.iter().enumerate() {
            for (n, node) in (1..).zip(arm) {
                net.set([[n, 0], [0, n], [-n, 0], [0, -n]][k], *node);
            }
        }
        for (di, dj) in [(1, 1), (-1, 1), (-1, -1), (1, -1)] {
            net.fill(surface, di, dj);
        }
        Some(net)
    }

    /// Length of a link, mm.
    pub fn cell(&self) -> f64 {
        self.cell
    }

    /// How far past the cut line it goes on, mm.
    pub(crate) fn reach(&self) -> f64 {
        self.reach
    }

    /// Nodes within the cut line.
    fn inside_cut(&self) -> usize {
        self.nodes().filter(|(_, node)| node.margin.cloth < 0.0).count()
    }

    /// Whether a cell that lies in the cloth in part is left out only because the net did not go on far enough.
    fn is_short(&self) -> bool {
        let lacks = |number: Number| self.node(number).is_none();
        let is_shut = |number: Number| self.index(number).is_some_and(|k| self.shut[k]);
        let left_out = |[i, j]: Number| {
            let corners = [[i, j], [i + 1, j], [i + 1, j + 1], [i, j + 1]];
            corners.into_iter().any(lacks) && !corners.into_iter().any(is_shut)
        };
        let mut inside = self.nodes().filter(|(_, node)| node.margin.cloth < 0.0);
        inside.any(|([i, j], _)| [[i, j], [i - 1, j], [i, j - 1], [i - 1, j - 1]].into_iter().any(left_out))
    }

    /// Least and greatest number of a node in either direction.
    pub fn range(&self) -> [(i32, i32); 2] {
        [0, 1].map(|k| (self.first[k], self.first[k] + self.size[k] as i32 - 1))
    }

    /// The node of that number.
    pub fn node(&self, number: Number) -> Option<&Node> {
        self.nodes.get(self.index(number)?)?.as_ref()
    }

    /// All nodes with their numbers.
    pub fn nodes(&self) -> impl Iterator<Item = (Number, &Node)> {
        let wide = self.size[0].max(1);
        let number = move |k: usize| [self.first[0] + (k % wide) as i32, self.first[1] + (k / wide) as i32];
        self.nodes.iter().enumerate().filter_map(move |(k, node)| Some((number(k), node.as_ref()?)))
    }

    /// The four nodes of the cell whose least corner has that number, in order round it.
    pub fn corners(&self, [i, j]: Number) -> Option<[&Node; 4]> {
        Some([self.node([i, j])?, self.node([i + 1, j])?, self.node([i + 1, j + 1])?, self.node([i, j + 1])?])
    }

    fn index(&self, number: Number) -> Option<usize> {
        let k = [0, 1].map(|k| number[k] - self.first[k]);
        let inside = |k: i32, size: usize| k >= 0 && (k as usize) < size;
        (inside(k[0], self.size[0]) && inside(k[1], self.size[1])).then(|| k[0] as usize + self.size[0] * k[1] as usize)
    }

    fn set(&mut self, number: Number, node: Node) {
        if let Some(index) = self.index(number) {
            self.nodes[index] = Some(node);
        }
    }

    fn shut_at(&mut self, number: Number) {
        if let Some(index) = self.index(number) {
            self.shut[index] = true;
        }
    }

    /// Fills a quadrant, row by row, as far as its reach.
    fn fill(&mut self, surface: &impl Surface, di: i32, dj: i32) {
        let [(i0, i1), (j0, j1)] = self.range();
        let (last_i, last_j) = (if di > 0 { i1 } else { -i0 }, if dj > 0 { j1 } else { -j0 });
        let reach = self.reach;
        // The mixed second differences of the parameters over the cells of the row below. They change evenly from cell to cell, so that
        // three neighbours tell the fourth.
        let mut below = vec![[0.0; 2]; last_i as usize + 1];
        for j in 1..=last_j {
            let (mut before, mut corner) = ([0.0; 2], below[0]);
            for i in 1..=last_i {
                let node = |a: i32, b: i32| self.node([a * di, b * dj]);
                let (Some(a), Some(b), Some(o)) = (node(i - 1, j), node(i, j - 1), node(i - 1, j - 1)) else {
                    let before = [[i - 1, j], [i, j - 1], [i - 1, j - 1]].map(|[a, b]| self.index([a * di, b * dj]));
                    if before.into_iter().flatten().any(|k| self.shut[k]) {
                        self.shut_at([i * di, j * dj]);
                    }
                    continue;
                };
                let under = below[i as usize];
                let bend = match (i, j) {
                    (_, 1) => before,
                    (1, _) => under,
                    _ => [before[0] + under[0] - corner[0], before[1] + under[1] - corner[1]],
                };
                let Some(found) = meeting(surface, [a, b, o], self.cell, bend) else {
                    self.shut_at([i * di, j * dj]);
                    continue;
                };
                if found.margin.cloth <= reach {
                    before = [found.at[0] - a.at[0] - b.at[0] + o.at[0], found.at[1] - a.at[1] - b.at[1] + o.at[1]];
                    (corner, below[i as usize]) = (under, before);
                    self.set([i * di, j * dj], found);
                }
            }
        }
    }
}

impl Node {
    pub(crate) fn normal(&self) -> Vector {
        unit(cross(self.by[0], self.by[1]))
    }

    pub(crate) fn new(surface: &impl Surface, at: At, jet: &Jet) -> Self {
        Self { at, p: jet.p, margin: surface.margin(at, jet), by: jet.by }
    }
}

/// The nodes of half a yarn, without the start.
pub(crate) fn arm(surface: &impl Surface, mut end: YarnEnd, cell: f64, reach: f64) -> Vec<Node> {
    let mut nodes = Vec::new();
    let most = ((surface.longest_yarn() / cell) as usize).min(MOST_LINKS);
    while nodes.len() < most {
        let Some(next) = end.next(surface, cell) else { break };
        let node = Node::new(surface, next.at, &next.jet);
        if node.margin.cloth > reach {
            break;
        }
        nodes.push(node);
        end = next;
    }
    nodes
}

/// The nodes of a yarn that leaves a place straight, without that place.
pub(crate) fn straight(surface: &impl Surface, at: At, along: Vector, cell: f64, reach: f64) -> Vec<Node> {
    YarnEnd::new(surface, at, along).map_or_else(Vec::new, |end| arm(surface, end, cell, reach))
}

/// Most that parameters may differ over a link for a guess from them alone.
const NEAR: f64 = 0.5;

/// The node at which links from `a` and `b` meet on the surface, on the other side of them than `o`; `bend` is that of the cell beside.
fn meeting(surface: &impl Surface, [a, b, o]: [&Node; 3], cell: f64, bend: [f64; 2]) -> Option<Node> {
    let across = sub(a.p, b.p);
    // No two links reach this far, or the net is shut.
    if dot(across, across) >= 4.0 * cell * cell {
        return None;
    }
    let sought = |guess: At| {
        newton(surface, a.p, b.p, cell, guess, None).filter(|(_, jet)| length(sub(jet.p, o.p)) > 0.1 * cell)
    };
    let near = [a, b].iter().all(|n| (0..2).all(|k| (n.at[k] - o.at[k]).abs() < NEAR));
    let quick = near.then(|| sought([0, 1].map(|k| a.at[k] + b.at[k] - o.at[k] + bend[k]))).flatten();
    let found = quick.or_else(|| {
        let guess = towards(surface, b.at, add(b.p, sub(a.p, o.p)));
        sought(guess).or_else(|| by_sheets(surface, [a, b, o], cell, guess))
    });
    // Steps past a pole may end a turn further on, where seams and ends would be looked for in vain.
    found.map(|(at, jet)| Node::new(surface, surface.wound_to(at, a.at), &jet))
}

/// Parameters near those at which the surface comes nearest to a place. Where they run at another pace than at `from`, as from one
/// stretch of the body to the next, one step would lead far past it.
fn towards(surface: &impl Surface, from: At, place: Vector) -> At {
    let mut at = from;
    let mut jet = jet_at(surface, at);
    let mut by = jet.parameters_of(sub(place, jet.p));
    for _ in 0..MOST_NEARINGS {
        let next = surface.moved(at, by);
        let there = jet_at(surface, next);
        let (far, now) = (sub(place, there.p), sub(place, jet.p));
        if dot(far, far) > 4.0 * dot(now, now) {
            by = by.map(|b| 0.25 * b);
            continue;
        }
        (at, jet) = (next, there);
        by = jet.parameters_of(far);
        if dot(far, far) < NEARED * NEARED * dot(now, now) {
            break;
        }
    }
    at
}

/// Steps towards a place, and what share of the way left is near enough.
const MOST_NEARINGS: u32 = 8;
const NEARED: f64 = 0.05;

/// The meeting near a crease, sought on each sheet at hand as if it went on, and taken where it does lie on that sheet.
fn by_sheets(surface: &impl Surface, [a, b, o]: [&Node; 3], cell: f64, guess: At) -> Option<(At, Jet)> {
    let mut sheets: Vec<usize> = [guess, a.at, b.at].iter().map(|at| surface.sheet(*at)).collect();
    sheets.extend([a.at, b.at].iter().filter_map(|at| Some(surface.leaves(surface.sheet(*at), *at, guess)?.1)));
    sheets.sort_unstable();
    sheets.dedup();
    sheets.into_iter().find_map(|sheet| {
        let (at, jet) = newton(surface, a.p, b.p, cell, guess, Some(sheet))?;
        let own = surface.jet(surface.sheet(at), at);
        let true_place = length(sub(own.p, jet.p)) <= CLOSE;
        (true_place && length(sub(jet.p, o.p)) > 0.1 * cell).then_some((at, jet))
    })
}

/// A step shorter than this, in mm and in either parameter, is taken along the tangent plane without looking again: its square is
/// below [`CLOSE`].
const SHORT: f64 = 1e-6;

/// Newton's method for the two distances, on one sheet or on whichever holds the place.
fn newton(
    surface: &impl Surface,
    a: Vector,
    b: Vector,
    cell: f64,
    mut at: At,
    sheet: Option<usize>,
) -> Option<(At, Jet)> {
    let mut last: Option<(At, Vector, [f64; 2])> = None;
    for _ in 0..MOST_STEPS {
        let mut jet = sheet.map_or_else(|| jet_at(surface, at), |sheet| surface.jet(sheet, at));
        // Where the parameters change their pace, a step may lead far past what was meant.
        if let Some((from, p, step)) = last.filter(|(_, p, _)| length(sub(jet.p, *p)) > TOO_FAR * cell) {
            let less = step.map(|s| 0.25 * s);
            (last, at) = (Some((from, p, less)), surface.moved(from, less));
            continue;
        }
        let (from_a, from_b) = (sub(jet.p, a), sub(jet.p, b));
        let miss = [0.5 * (dot(from_a, from_a) - cell * cell), 0.5 * (dot(from_b, from_b) - cell * cell)];
        if miss[0].abs().max(miss[1].abs()) <= CLOSE * cell {
            return Some((at, jet));
        }
        let [u, v] = jet.by;
        let rows = [[dot(u, from_a), dot(v, from_a)], [dot(u, from_b), dot(v, from_b)]];
        let step = solve(rows, [-miss[0], -miss[1]])?;
        let way = add(times(u, step[0]), times(v, step[1]));
        let far = dot(way, way);
        if far < SHORT * SHORT && step[0].abs().max(step[1].abs()) < SHORT {
            jet.p = add(jet.p, way);
            return Some((surface.moved(at, step), jet));
        }
        let held = if far > cell * cell { cell / far.sqrt() } else { 1.0 };
        let step = step.map(|s| s * held);
        last = Some((at, jet.p, step));
        at = surface.moved(at, step);
    }
    None
}
