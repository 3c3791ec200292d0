//! Lays a net crossing by crossing, as crossings are asked for.
//!
//! A crossing builds on three that lie before it, towards the start, and so on all that do. Those are asked for that lie beside a
//! crossing within the cut line: a corner of the cloth on the bias builds on places far outside of it, but only on those of its
//! own rows, and nothing is laid twice. What comes out for a crossing depends on those before it alone, not on the order.

use super::geodesic::YarnEnd;
use super::meet::meeting;
use super::net::{Net, Node, Number};
use super::surface::{At, Surface};
use form::space::{Vector, sub};

/// Half a yarn from the start outward, without the start.
#[derive(Clone, Debug, Default)]
pub(crate) struct Arm {
    pub(crate) nodes: Vec<Node>,
    /// Where it goes on from; `None` where it has come to its end.
    pub(crate) end: Option<YarnEnd>,
}

/// Most links of a yarn to one side.
const MOST_LINKS: usize = 2000;
/// So many times as far as at first a net goes on past its cut line.
const MOST_REACH: f64 = 32.0;
/// Yarns go on by at least so many links, and by this share of their length.
const LINKS: usize = 8;
const SHARE: f64 = 0.25;

impl Arm {
    /// A yarn that leaves a place straight, as far past the cut line as a net goes on at first.
    pub(crate) fn new(surface: &impl Surface, end: Option<YarnEnd>, cell: f64) -> Self {
        let mut arm = Self { nodes: Vec::new(), end };
        arm.go_on(surface, cell, surface.overrun(), MOST_LINKS);
        arm
    }

    /// The same, from a place in a direction.
    pub(crate) fn straight(surface: &impl Surface, at: At, along: Vector, cell: f64) -> Self {
        Self::new(surface, YarnEnd::new(surface, at, along), cell)
    }

    /// Goes on by at most so many links, no further past the cut line than `reach`.
    fn go_on(&mut self, surface: &impl Surface, cell: f64, reach: f64, by: usize) {
        let most = ((surface.longest_yarn() / cell) as usize).min(MOST_LINKS).min(self.nodes.len() + by);
        while self.nodes.len() < most {
            let Some(next) = self.end.and_then(|end| end.next(surface, cell)) else {
                self.end = None;
                return;
            };
            let node = Node::new(surface, next.at, &next.jet);
            if node.margin.cloth > reach {
                return;
            }
            self.nodes.push(node);
            self.end = Some(next);
        }
    }
}

/// What is found at a place.
enum Found {
    /// A node.
    Node(Node),
    /// What it builds on is out of reach.
    Far,
    /// Links do not meet there, or nor did those that it builds on.
    Shut,
}

/// A net that is being laid.
pub(super) struct Laying<'a, S: Surface> {
    surface: &'a S,
    net: Net,
    arms: [Arm; 4],
    /// For how many links it has room, each way as its arms.
    room: [usize; 4],
    /// How far past the cut line it may go on, mm.
    reach: f64,
    /// Places that are still to be asked for.
    wanted: Vec<Number>,
}

/// The places round one; those that share a yarn with it come last, and so are asked for first.
const ROUND: [Number; 8] = [[-1, -1], [1, -1], [-1, 1], [1, 1], [-1, 0], [0, -1], [0, 1], [1, 0]];

impl<'a, S: Surface> Laying<'a, S> {
    /// Begins between four half yarns: ahead, left, behind, right. `None` if that has too many places.
    pub(super) fn new(surface: &'a S, cell: f64, start: &Node, arms: [Arm; 4]) -> Option<Self> {
        let reach = surface.most_overrun().min(MOST_REACH * surface.overrun());
        let room = arms.each_ref().map(|arm| arm.nodes.len());
        let net = Net::empty(cell, room)?;
        let mut laying = Self { surface, net, arms, room, reach, wanted: Vec::new() };
        laying.take([0, 0], *start)?;
        for k in 0..4 {
            laying.take_arm(k, 0)?;
        }
        Some(laying)
    }

    /// Lays all that is wanted. `None` if it is too much.
    pub(super) fn laid(mut self) -> Option<Net> {
        while let Some(number) = self.wanted.pop() {
            if self.net.is_open(number) || self.reaches(number)? {
                self.ask(number)?;
            }
        }
        Some(self.net)
    }

    /// Sets down a node and asks for what lies round it.
    fn take(&mut self, number: Number, node: Node) -> Option<()> {
        if node.margin.cloth < 0.0 {
            let [i, j] = number;
            let round = ROUND.map(|[a, b]| [i + a, j + b]);
            self.wanted.extend(round.into_iter().filter(|n| !self.net.is_known(*n)));
        }
        self.net.set(number, Some(node)).then_some(())
    }

    /// Takes in the nodes of a yarn from that one on.
    fn take_arm(&mut self, k: usize, from: usize) -> Option<()> {
        for n in from..self.arms[k].nodes.len() {
            let node = self.arms[k].nodes[n];
            let n = n as i32 + 1;
            self.take([[n, 0], [0, n], [-n, 0], [0, -n]][k], node)?;
        }
        Some(())
    }

    /// Goes on with the yarns so that they reach a place outside, as far as they can, and makes room for it; whether it is to be asked for
    /// then.
    fn reaches(&mut self, number: Number) -> Option<bool> {
        if self.net.is_known(number) {
            return Some(false);
        }
        let before = self.arms.each_ref().map(|arm| arm.nodes.len());
        let mut room = self.room;
        for (k, steps) in number.into_iter().enumerate() {
            let k = if steps > 0 { k } else { k + 2 };
            let lacks = (steps.unsigned_abs() as usize).saturating_sub(room[k]);
            if lacks > 0 {
                room[k] += lacks.max(LINKS).max((SHARE * room[k] as f64) as usize);
            }
        }
        // A yarn that winds round and round a slender form is not followed for ever: what lies further on is told to be missed.
        if !self.net.widen(room) {
            return Some(false);
        }
        for (k, by) in [0, 1, 2, 3].map(|k| room[k] - self.room[k]).into_iter().enumerate().filter(|(_, by)| *by > 0) {
            self.arms[k].go_on(self.surface, self.net.cell(), self.reach, by);
        }
        self.room = room;
        for (k, from) in before.into_iter().enumerate() {
            self.take_arm(k, from)?;
        }
        Some(self.net.is_open(number))
    }

    /// Lays a place, and before it those that it builds on.
    fn ask(&mut self, number: Number) -> Option<()> {
        let mut open = vec![number];
        while let Some(&[i, j]) = open.last() {
            if !self.net.is_open([i, j]) {
                open.pop();
                continue;
            }
            let (di, dj) = (i.signum(), j.signum());
            let before = [[i - di, j], [i, j - dj], [i - di, j - dj]];
            let on_arm = i == 0 || j == 0;
            if let Some(first) = before.into_iter().find(|n| !on_arm && self.net.is_open(*n)) {
                open.push(first);
                continue;
            }
            open.pop();
            match self.found([i, j], before) {
                Found::Node(node) if node.margin.cloth <= self.reach => self.take([i, j], node)?,
                Found::Node(_) | Found::Far => self.net.set_far([i, j]),
                Found::Shut => _ = self.net.set([i, j], None),
            }
        }
        Some(())
    }

    /// What is at a place, by those before it.
    fn found(&self, [i, j]: Number, before: [Number; 3]) -> Found {
        // Yarns through the start have been laid as far as they go.
        if i == 0 || j == 0 {
            let arm = &self.arms[if i + j > 0 { usize::from(i == 0) } else { 2 + usize::from(i == 0) }];
            return if arm.end.is_some() { Found::Far } else { Found::Shut };
        }
        let nodes = before.map(|number| self.net.node(number));
        if let [Some(a), Some(b), Some(o)] = nodes {
            return meeting(self.surface, [a, b, o], self.net.cell(), self.bend([i, j]))
                .map_or(Found::Shut, Found::Node);
        }
        if before.iter().zip(nodes).any(|(number, node)| node.is_none() && !self.net.is_far(*number)) {
            return Found::Shut;
        }
        let farthest = (self.surface.longest_yarn() / self.net.cell()).min(MOST_LINKS as f64);
        let (di, dj) = (i.signum(), j.signum());
        let on = match nodes {
            _ if f64::from(i.abs().max(j.abs())) > farthest => None,
            [Some(_), None, _] => self.straight_on([[i - di, j], [i - 2 * di, j]]),
            [None, Some(_), _] => self.straight_on([[i, j - dj], [i, j - 2 * dj]]),
            // Of two yarns that are there only one could run straight.
            _ => None,
        };
        on.map_or(Found::Far, Found::Node)
    }

    /// The next node of a yarn that runs straight on from the last one within the cut line, over that.
    fn straight_on(&self, [last, before]: [Number; 2]) -> Option<Node> {
        let last = self.net.node(last).filter(|last| last.margin.cloth < 0.0)?;
        let before = self.net.node(before)?;
        let next = YarnEnd::new(self.surface, last.at, sub(last.p, before.p))?.next(self.surface, self.net.cell())?;
        Some(Node::new(self.surface, next.at, &next.jet))
    }

    /// The mixed second difference of the parameters over a place's cell, as far as its neighbours tell: they change evenly from cell to
    /// cell, so that three of them tell the fourth.
    fn bend(&self, [i, j]: Number) -> [f64; 2] {
        let (di, dj) = (i.signum(), j.signum());
        let at = |a: i32, b: i32| self.net.node([i - a * di, j - b * dj]).map_or([0.0; 2], |node| node.at);
        let of = |a: i32, b: i32| {
            let [far, ahead, left, near] = [at(a, b), at(a + 1, b), at(a, b + 1), at(a + 1, b + 1)];
            [0, 1].map(|k| far[k] - ahead[k] - left[k] + near[k])
        };
        match (i.abs(), j.abs()) {
            (1, 1) => [0.0; 2],
            (_, 1) => of(1, 0),
            (1, _) => of(0, 1),
            _ => {
                let [before, under, corner] = [of(1, 0), of(0, 1), of(1, 1)];
                [0, 1].map(|k| before[k] + under[k] - corner[k])
            }
        }
    }
}
