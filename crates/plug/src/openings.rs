//! Openings as the plug's card meets them: cut-outs where a duct passes, ticks where an edge crosses a card.

use crate::region::{Point, Region};
use form::openings::{CutPlane, Hole, Passage, Target, Wall, holes};
use form::space::Vector;
use project::document::Form;

/// An opening, or its mirror image, with all that card has to know of it.
#[derive(Clone, Debug)]
pub struct OpeningOnPlug {
    /// Index of the opening in the form.
    pub opening: usize,
    /// Its name.
    pub name: String,
    /// Its edge on the plug's surface, in stretches; a closed one ends where it began.
    edges: Vec<Vec<Vector>>,
    /// What a duct takes up behind the surface.
    passage: Option<Passage>,
}

/// A tick on the edge of a card, where an opening's edge crosses its plane.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeTick {
    /// Index of the opening in the form.
    pub opening: usize,
    /// Its name.
    pub name: String,
    /// From the card's edge into the card, mm.
    pub line: [Point; 2],
}

/// What a duct takes out of a card.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOut {
    /// Index of the opening in the form.
    pub opening: usize,
    /// Its name.
    pub name: String,
    /// All that the duct, with its wall, passes on its way through the card's thickness.
    pub region: Region,
}

/// Chord error of edges and ducts, mm.
const CLOSE: f64 = 0.02;
/// Length of a tick, mm.
const TICK: f64 = 6.0;
/// A crossing farther from the card's edge than this is none of its own, mm.
const NEAR: f64 = 6.0;
/// A cut-out of less area is none, mm².
const LEAST: f64 = 0.01;

/// Every opening of a form that meets its surface, mirror images after their own, on a plug that is `taken_off` mm smaller.
pub fn openings_on_plug(target: &Target<'_>, form: &Form, taken_off: f64) -> Vec<OpeningOnPlug> {
    let on_plug = |hole: &Hole| {
        let name = form.openings.get(hole.opening).map_or_else(String::new, |o| o.name.clone());
        let edge = |run: &form::openings::Run| {
            let places = run.places.iter().map(|p| p.place.moved_in(taken_off));
            let first = run.places.first().filter(|_| run.closed).map(|p| p.place.moved_in(taken_off));
            places.chain(first).collect()
        };
        OpeningOnPlug {
            opening: hole.opening,
            name,
            edges: hole.runs.iter().map(edge).collect(),
            passage: hole.passage(target),
        }
    };
    holes(target, form, CLOSE).iter().flatten().map(on_plug).collect()
}

impl OpeningOnPlug {
    /// Where its edge crosses the plane on which coordinate `axis` of (x, y, z) has the value `at`: the two other coordinates.
    pub fn crossings(&self, axis: usize, at: f64) -> Vec<Point> {
        let others = [[1, 2], [0, 2], [0, 1]][axis.min(2)];
        let mut out = Vec::new();
        for edge in &self.edges {
            for w in edge.windows(2) {
                let (a, b) = (w[0][axis], w[1][axis]);
                if (a >= at) != (b >= at) {
                    let share = (at - a) / (b - a);
                    out.push(others.map(|k| w[0][k] + share * (w[1][k] - w[0][k])));
                }
            }
        }
        out
    }

    /// What its duct takes out of a card whose faces are these planes.
    pub fn cut_out(&self, faces: [CutPlane; 2]) -> Option<CutOut> {
        let passage = self.passage.as_ref()?;
        let [front, rear] = faces.map(|plane| section(passage, plane));
        let region = front.union(&rear);
        (region.area() > LEAST).then(|| CutOut { opening: self.opening, name: self.name.clone(), region })
    }

    /// Ticks on a card's edge at these crossings of its plane.
    pub fn ticks(&self, card: &Region, crossings: &[Point]) -> Vec<EdgeTick> {
        let tick = |p: &Point| {
            let line = inward(card, *p)?;
            Some(EdgeTick { opening: self.opening, name: self.name.clone(), line })
        };
        crossings.iter().filter_map(tick).collect()
    }
}

/// The section of a duct by a plane, in the plane's own two axes, with its wall.
fn section(passage: &Passage, plane: CutPlane) -> Region {
    let rings = passage.cut(plane, Wall::Outside);
    rings.iter().map(|ring| Region::of(ring)).fold(Region::default(), |all, one| all.union(&one))
}

/// From the nearest place of a region's edge straight into it; `None` where the edge is far.
fn inward(region: &Region, p: Point) -> Option<[Point; 2]> {
    let mut best: Option<(f64, [Point; 2])> = None;
    for contour in region.pieces.iter().flatten() {
        for (i, a) in contour.iter().enumerate() {
            let b = contour[(i + 1) % contour.len()];
            let way = [b[0] - a[0], b[1] - a[1]];
            let length = way[0].hypot(way[1]);
            if length < 1e-9 {
                continue;
            }
            let share = (((p[0] - a[0]) * way[0] + (p[1] - a[1]) * way[1]) / (length * length)).clamp(0.0, 1.0);
            let foot = [a[0] + share * way[0], a[1] + share * way[1]];
            let far = (p[0] - foot[0]).hypot(p[1] - foot[1]);
            if far <= NEAR && best.is_none_or(|b| far < b.0) {
                // Material lies at the left of every contour.
                let into = [-way[1] / length * TICK, way[0] / length * TICK];
                best = Some((far, [foot, [foot[0] + into[0], foot[1] + into[1]]]));
            }
        }
    }
    best.map(|b| b.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tick_stands_on_the_nearest_edge_and_points_into_the_card() {
        let plate =
            Region::rectangle([0.0, 0.0], [100.0, 50.0]).without(&Region::rectangle([40.0, 20.0], [60.0, 30.0]));
        assert_eq!(inward(&plate, [30.0, 51.0]), Some([[30.0, 50.0], [30.0, 44.0]]));
        assert_eq!(inward(&plate, [-0.5, 10.0]), Some([[0.0, 10.0], [6.0, 10.0]]));
        // The edge of a hole has its material outside.
        assert_eq!(inward(&plate, [45.0, 29.0]), Some([[45.0, 30.0], [45.0, 36.0]]));
        assert_eq!(inward(&plate, [30.0, 60.0]), None);
    }
}
