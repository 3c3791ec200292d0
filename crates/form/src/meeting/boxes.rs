//! Boxes along the axes, and a tree of them.

use crate::space::Vector;

/// A box along the axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bounds {
    pub(super) low: Vector,
    pub(super) high: Vector,
}

impl Bounds {
    const NOTHING: Self = Self { low: [f64::INFINITY; 3], high: [f64::NEG_INFINITY; 3] };

    pub(super) fn of(points: impl IntoIterator<Item = Vector>) -> Self {
        points.into_iter().fold(Self::NOTHING, |b, p| b.with(&Self { low: p, high: p }))
    }

    pub(super) fn with(&self, other: &Self) -> Self {
        Self {
            low: [0, 1, 2].map(|k| self.low[k].min(other.low[k])),
            high: [0, 1, 2].map(|k| self.high[k].max(other.high[k])),
        }
    }

    pub(super) fn grown(&self, by: f64) -> Self {
        Self { low: self.low.map(|v| v - by), high: self.high.map(|v| v + by) }
    }

    /// What both hold; one without room where they do not meet.
    pub(super) fn common(&self, other: &Self) -> Self {
        let low = [0, 1, 2].map(|k| self.low[k].max(other.low[k]));
        Self { low, high: [0, 1, 2].map(|k| self.high[k].min(other.high[k]).max(low[k])) }
    }

    pub(super) fn meets(&self, other: &Self) -> bool {
        (0..3).all(|k| self.low[k] <= other.high[k] && other.low[k] <= self.high[k])
    }

    fn middle(&self, axis: usize) -> f64 {
        0.5 * (self.low[axis] + self.high[axis])
    }
}

/// Boxes in a tree, each node holding two halves of what it holds.
pub(super) struct Tree {
    order: Vec<usize>,
    nodes: Vec<Node>,
}

struct Node {
    bounds: Bounds,
    /// Of `order`.
    range: (usize, usize),
    /// The second child; the first one follows its parent.
    second: usize,
}

/// So many boxes stay together.
const LEAF: usize = 4;

impl Tree {
    pub(super) fn new(boxes: &[Bounds]) -> Self {
        let mut tree = Self { order: (0..boxes.len()).collect(), nodes: Vec::new() };
        tree.grow(boxes, 0, boxes.len());
        tree
    }

    fn grow(&mut self, boxes: &[Bounds], from: usize, to: usize) {
        let bounds = self.order[from..to].iter().fold(Bounds::NOTHING, |b, i| b.with(&boxes[*i]));
        let at = self.nodes.len();
        self.nodes.push(Node { bounds, range: (from, to), second: 0 });
        if to - from <= LEAF {
            return;
        }
        let size = |k: usize| bounds.high[k] - bounds.low[k];
        let axis = (0..3).max_by(|a, b| size(*a).total_cmp(&size(*b))).unwrap_or(0);
        let middle = (from + to) / 2;
        self.order[from..to].select_nth_unstable_by(middle - from, |a, b| {
            boxes[*a].middle(axis).total_cmp(&boxes[*b].middle(axis)).then(a.cmp(b))
        });
        self.grow(boxes, from, middle);
        self.nodes[at].second = self.nodes.len();
        self.grow(boxes, middle, to);
    }

    /// Calls `found` with every box that meets this one.
    pub(super) fn meeting(&self, boxes: &[Bounds], with: &Bounds, found: &mut impl FnMut(usize)) {
        self.descend(0, boxes, with, found);
    }

    fn descend(&self, at: usize, boxes: &[Bounds], with: &Bounds, found: &mut impl FnMut(usize)) {
        let Some(node) = self.nodes.get(at).filter(|node| node.bounds.meets(with)) else { return };
        if node.second == 0 {
            self.order[node.range.0..node.range.1].iter().filter(|i| boxes[**i].meets(with)).for_each(|i| found(*i));
            return;
        }
        self.descend(at + 1, boxes, with, found);
        self.descend(node.second, boxes, with, found);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tree_finds_what_a_search_one_by_one_finds() {
        let spread = |i: usize, by: usize| ((i * by) % 101) as f64;
        let boxes: Vec<Bounds> = (0..300)
            .map(|i| {
                let low = [spread(i, 37), spread(i, 53), spread(i, 71)];
                Bounds { low, high: [low[0] + 4.0, low[1] + 7.0, low[2] + 2.0] }
            })
            .collect();
        let tree = Tree::new(&boxes);
        for with in boxes.iter().step_by(17).map(|b| b.grown(3.0)) {
            let mut found = Vec::new();
            tree.meeting(&boxes, &with, &mut |i| found.push(i));
            found.sort_unstable();
            let one_by_one: Vec<usize> = (0..boxes.len()).filter(|i| boxes[*i].meets(&with)).collect();
            assert!(!found.is_empty());
            assert_eq!(found, one_by_one);
        }
        let mut found = 0;
        Tree::new(&[]).meeting(&[], &boxes[0], &mut |_| found += 1);
        assert_eq!(found, 0);
    }
}
