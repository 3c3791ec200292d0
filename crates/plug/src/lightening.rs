//! Round holes that only save weight: one after the other where there is the most room, the same on both sides.
//!
//! A round hole takes no corner that tears, cuts nothing free, and is made with a hole saw as well as with a knife. The place of
//! the most room is found by halving squares, the most promising first: the room in a square is at most that at its middle and
//! half its diagonal.

use crate::formers::Former;
use crate::region::{Point, Region, thinned};
use crate::surface::CUT;
use geometry::flatten::distance_to_chord;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// A hole of less radius is not worth the saw, mm.
const LEAST_RADIUS: f64 = 7.0;
/// Most holes on each side of a former.
const MOST: usize = 5;
/// How far a hole's radius may miss the largest that would find room, mm.
const CLOSE: f64 = 0.5;

/// Cuts lightening holes that leave the web to every edge, hole and slot, and to the cards along the centre plane and at the height of
/// a breadth template.
pub(crate) fn lighten(former: &mut Former, card: f64, breadth: Option<f64>, web: f64) {
    if web <= 0.0 {
        return;
    }
    let mut room = Room::of(&former.part, card, breadth);
    for _ in 0..MOST {
        let Some((place, clear)) = room.largest().filter(|(_, clear)| clear - web >= LEAST_RADIUS) else { break };
        let radius = clear - web;
        room.taken.push((place, radius));
        for side in [place[0], -place[0]] {
            former.part = former.part.without(&Region::disc([side, place[1]], radius, CUT));
        }
    }
}

/// What stands in the way of holes.
struct Room {
    part: Region,
    half_card: f64,
    breadth: Option<f64>,
    /// Holes that were placed: middle and radius.
    taken: Vec<(Point, f64)>,
}

/// A square that is looked into: the room at its middle bounds what it can hold.
struct Square {
    middle: Point,
    half: f64,
    clear: f64,
}

impl Square {
    fn most(&self) -> f64 {
        self.clear + self.half * std::f64::consts::SQRT_2
    }
}

impl Room {
    fn of(part: &Region, card: f64, breadth: Option<f64>) -> Self {
        let pieces = part.pieces.iter().map(|piece| piece.iter().map(|c| thinned(c)).collect()).collect();
        Self { part: Region { pieces }, half_card: 0.5 * card, breadth, taken: Vec::new() }
    }

    /// Radius of the largest disc about a place and about its mirror image that touches nothing, mm; negative in what is cut away.
    fn clear(&self, p: Point) -> f64 {
        let both = [p, [-p[0], p[1]]].map(|p| self.edge_distance(p));
        let cards =
            (p[0] - self.half_card).min(self.breadth.map_or(f64::INFINITY, |z| (p[1] - z).abs() - self.half_card));
        let holes = self.taken.iter().map(|(q, r)| (p[0] - q[0]).hypot(p[1] - q[1]) - r);
        holes.fold(both[0].min(both[1]).min(cards), f64::min)
    }

    fn edge_distance(&self, p: Point) -> f64 {
        let contours = self.part.pieces.iter().flatten();
        let edges = contours.flat_map(|c| (0..c.len()).map(move |i| (c[i], c[(i + 1) % c.len()])));
        let distance = edges.map(|(a, b)| distance_to_chord(p, a, b)).fold(f64::INFINITY, f64::min);
        if self.part.contains(p) { distance } else { -distance }
    }

    fn square(&self, middle: Point, half: f64) -> Square {
        Square { middle, half, clear: self.clear(middle) }
    }

    /// The starboard place of the most room, and how much, mm.
    fn largest(&self) -> Option<(Point, f64)> {
        let (low, high) = self.part.bounds()?;
        let half = 0.5 * (high[1] - low[1]).max(high[0]).max(1e-3);
        let mut best = self.square([0.5 * high[0], 0.5 * (low[1] + high[1])], 0.0);
        let mut queue = BinaryHeap::from([self.square([half, 0.5 * (low[1] + high[1])], half)]);
        while let Some(square) = queue.pop() {
            if square.most() <= best.clear + CLOSE {
                break;
            }
            let h = 0.5 * square.half;
            for [i, j] in [[-h, -h], [h, -h], [-h, h], [h, h]] {
                let quarter = self.square([square.middle[0] + i, square.middle[1] + j], h);
                if quarter.clear > best.clear {
                    best = Square { ..quarter };
                }
                queue.push(quarter);
            }
        }
        Some((best.middle, best.clear))
    }
}

impl Ord for Square {
    fn cmp(&self, other: &Self) -> Ordering {
        self.most().total_cmp(&other.most())
    }
}

impl PartialOrd for Square {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Square {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Square {}

#[cfg(test)]
mod tests {
    use super::*;

    fn blank(part: Region) -> Former {
        Former { part, ..crate::formers::tests::plain() }
    }

    /// The largest circle in a rectangle touches its long sides; the web is left to both and to the card in the middle.
    #[test]
    fn the_first_hole_fills_the_half_of_a_plate_but_for_the_webs() {
        let mut former = blank(Region::rectangle([-41.0, -100.0], [41.0, 100.0]));
        lighten(&mut former, 2.0, None, 6.0);
        let spans = former.part.spans(1, former.part.pieces[0][1][0][1]);
        assert!(!spans.is_empty());
        for contour in former.part.pieces[0].iter().skip(1) {
            let sides = contour.iter().map(|p| p[0].abs());
            let (least, most) = sides.fold((f64::INFINITY, 0.0_f64), |(a, b), y| (a.min(y), b.max(y)));
            assert!(least >= 7.0 - 1e-6 && most <= 35.0 + 1e-6, "{least} to {most}");
        }
        assert_eq!(former.part.pieces.len(), 1);
        let first = former.part.pieces[0].iter().skip(1).map(|c| c.len()).max();
        assert!(first.is_some_and(|n| n > 20));
    }

    /// A dowel's land stays part of the former: nothing is cut free, whatever the web.
    #[test]
    fn the_land_of_a_dowel_stays() {
        for web in [3.0, 8.0, 12.0] {
            let dowels = Region::disc([40.0, 0.0], 3.0, 0.01).union(&Region::disc([-40.0, 0.0], 3.0, 0.01));
            let mut former = blank(Region::disc([0.0, 0.0], 90.0, 0.01).without(&dowels));
            let before = former.part.area();
            lighten(&mut former, 2.0, Some(10.0), web);
            assert_eq!(former.part.pieces.len(), 1);
            assert!(former.part.area() < 0.9 * before);
            assert!(dowels.pieces.iter().flatten().flatten().all(|p| {
                let land =
                    former.part.pieces[0].iter().skip(1).filter(|c| (c[0][0] - p[0]).hypot(c[0][1] - p[1]) > 7.0);
                land.flatten().all(|q| (q[0] - p[0]).hypot(q[1] - p[1]) >= web - 0.05)
            }));
        }
    }
}
