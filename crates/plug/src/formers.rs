//! Formers: one for each card, with the outlines of both of its faces.

use crate::bevel::{Bevel, bevels, stands_beyond};
use crate::finding::finding;
use crate::openings::{CutOut, EdgeTick};
use crate::region::{Point, Region};
use crate::stack::{Layer, LayerKind};
use crate::surface::{CUT, half, whole};
use form::{Finding, PlugSurface, Severity};
use project::build::{Formers, PrintedOutline};

/// A former as it is cut from card: seen in its cross plane, y to starboard, z up, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Former {
    /// Number of its card, from the front.
    pub number: usize,
    /// Station of its front face.
    pub front: f64,
    /// Station of its rear face.
    pub rear: f64,
    /// Half outline of the plug less the inset at the front face, crown to keel.
    pub front_face: Vec<Point>,
    /// The same at the rear face.
    pub rear_face: Vec<Point>,
    /// The whole former before slots and holes.
    pub outline: Region,
    /// The former as it is cut: with slots and holes; two pieces where it is made in halves.
    pub part: Region,
    /// Whether it is made in two halves, butted on the centre template.
    pub in_halves: bool,
    /// Where its edge needs a bevel (on one half; the other is its mirror).
    pub bevels: Vec<Bevel>,
    /// Where the shaft's centre pierces its middle plane, if it has a shaft hole.
    pub shaft: Option<Point>,
    /// Centres of the dowel holes it has, both sides.
    pub dowels: Vec<Point>,
    /// Where edges of openings cross its middle plane.
    pub ticks: Vec<EdgeTick>,
    /// What ducts take out of it.
    pub cut_outs: Vec<CutOut>,
}

impl Former {
    /// Station of the card's middle plane, mm.
    pub fn middle(&self) -> f64 {
        0.5 * (self.front + self.rear)
    }
}

/// A former smaller than this in breadth or height is not worth cutting, mm.
const LEAST_FORMER: f64 = 2.0;
/// Card may stand proud of the foam by this much before it is told, mm.
const PROUD: f64 = 0.05;

/// The former of a card, before slots and holes; none where nothing is left of the section, which is told.
pub(crate) fn blank(plug: &PlugSurface, card: &Layer, wanted: &Formers) -> (Option<Former>, Vec<Finding>) {
    let LayerKind::Card(number) = card.kind else { return (None, Vec::new()) };
    let (low, high) = plug.x_range();
    let inside = card.front >= low - 1e-6 && card.rear <= high + 1e-6;
    let faces = inside.then(|| [card.front, card.rear].map(|x| plug.section(x.clamp(low, high), wanted.inset, CUT)));
    let Some([front, rear]) = faces else { return (None, vec![none_left(number, card)]) };
    let mut findings: Vec<Finding> =
        front.folded.iter().chain(&rear.folded).take(1).map(|p| folds(number, card, *p)).collect();
    let outline = printed(&front.outline, &rear.outline, wanted.outline);
    let faces = [&front.outline, &rear.outline].iter().all(|face| !face.is_empty());
    let large =
        faces && outline.bounds().is_some_and(|(a, b)| b[0] - a[0] > LEAST_FORMER && b[1] - a[1] > LEAST_FORMER);
    if !large {
        findings.push(none_left(number, card));
        return (None, findings);
    }
    findings.extend(proud(number, card, (&front.outline, &rear.outline), wanted.outline));
    let bevels = bevels(&front.outline, &rear.outline, card.thickness, wanted.bevel_from_deg);
    let former = Former {
        number,
        front: card.front,
        rear: card.rear,
        front_face: front.outline,
        rear_face: rear.outline,
        part: outline.clone(),
        outline,
        in_halves: false,
        bevels,
        shaft: None,
        dowels: Vec::new(),
        ticks: Vec::new(),
        cut_outs: Vec::new(),
    };
    (Some(former), findings)
}

fn printed(front: &[Point], rear: &[Point], which: PrintedOutline) -> Region {
    match which {
        PrintedOutline::Front => whole(front),
        PrintedOutline::Rear => whole(rear),
        PrintedOutline::Smaller => whole(front).intersection(&whole(rear)),
    }
}

fn none_left(number: usize, card: &Layer) -> Finding {
    let what = format!("Former {number} is left out: nothing to cut is left of the section at its card.");
    let hint = "Move the stack, or let the foremost section be foam alone.";
    finding(Severity::Warning, what, hint).at_station(card.front)
}

fn folds(number: usize, card: &Layer, place: Point) -> Finding {
    let what = format!("At former {number} the inset is larger than the local radius; the corner is cut off there.");
    let hint = "Choose a smaller inset or coat, or a larger radius.";
    finding(Severity::Warning, what, hint).at_station(card.front).at_point(place)
}

/// Card that stands proud because one face's outline was chosen although the other is smaller.
fn proud(number: usize, card: &Layer, faces: (&[Point], &[Point]), which: PrintedOutline) -> Option<Finding> {
    let (beyond, face) = match which {
        PrintedOutline::Smaller => return None,
        PrintedOutline::Front => (stands_beyond(faces.0, faces.1), "rear"),
        PrintedOutline::Rear => (stands_beyond(faces.1, faces.0), "front"),
    };
    (beyond > PROUD).then(|| {
        let what =
            format!("Former {number} stands {beyond:.2} mm too far out at its {face} face until its edge is bevelled.");
        let hint = "Bevel it before gluing, or print the smaller of the two outlines.";
        finding(Severity::Warning, what, hint).at_station(card.front).with(beyond, PROUD, "mm")
    })
}

/// The half outline of the plug (nothing inset) at a station, to be drawn on foam.
pub(crate) fn foam_face(plug: &PlugSurface, x: f64) -> Vec<Point> {
    half(plug, x, 0.0, CUT)
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A former without anything, to be given a part.
    pub(crate) fn plain() -> Former {
        Former {
            number: 1,
            front: 0.0,
            rear: 2.0,
            front_face: Vec::new(),
            rear_face: Vec::new(),
            outline: Region::default(),
            part: Region::default(),
            in_halves: false,
            bevels: Vec::new(),
            shaft: None,
            dowels: Vec::new(),
            ticks: Vec::new(),
            cut_outs: Vec::new(),
        }
    }
}
