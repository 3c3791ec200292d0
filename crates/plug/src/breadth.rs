//! The breadth template at a waterline: two halves, each butting on the centre template and half-lapped from outside into every
//! former of an unbroken run.
//!
//! ```text
//!   y ^   .-----. .-----. .----    the template's slots open inward, the formers' outward
//!     |  /      | |     | |
//!     | /       | |     | |
//!     +-'-------' '-----' '----    butts on the centre template's face
//!     =========================    centre template
//! ```

use crate::formers::Former;
use crate::openings::{CutOut, EdgeTick};
use crate::region::{Point, Region, Span, shared};
use crate::slots::{HalfLap, Joining, Joint, Template, slot};
use crate::surface::{follow, half_breadth_at, near_heights};
use form::PlugSurface;
use project::build::Formers;

/// One half of the breadth template, seen with x aft and y to starboard, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct BreadthHalf {
    /// Which half.
    pub side: Template,
    /// Height of its middle plane.
    pub height: f64,
    /// Its front and rear end.
    pub range: (f64, f64),
    /// Before slots were cut.
    pub outline: Region,
    /// As it is cut.
    pub part: Region,
    /// Where edges of openings cross its height.
    pub ticks: Vec<EdgeTick>,
    /// What ducts take out of it.
    pub cut_outs: Vec<CutOut>,
}

/// The two halves and their joints; the formers of the run are slotted. `None` where no two neighbouring formers have room.
pub(crate) fn halves(
    plug: &PlugSurface,
    formers: &mut [Former],
    height: f64,
    card: f64,
    wanted: &Formers,
) -> Option<(Vec<BreadthHalf>, Vec<Joint>)> {
    let within = (height - 0.5 * card, height + 0.5 * card);
    let breadth = |x: f64| {
        let outline = near_heights(plug, x, wanted.inset, within);
        let widths = [within.0, height, within.1].map(|z| half_breadth_at(&outline, z));
        let least = widths.into_iter().try_fold(f64::INFINITY, |least, w| w.map(|w| least.min(w)))?;
        (least > card).then_some([least, 0.0])
    };
    let lap = |f: &Former| lap(f, breadth(f.front)?[0].min(breadth(f.rear)?[0]), (height, within), card, wanted);
    let laps: Vec<Option<HalfLap>> = formers.iter().map(lap).collect();
    let run = longest_run(&laps)?;
    let range = (formers[run.0].front, formers[run.1].rear);
    let cards: Vec<Span> = formers[run.0..=run.1].iter().map(|f| (f.front, f.rear)).collect();
    let edge = follow(&crate::centre::stations(range, &cards), &breadth);
    let inner = 0.5 * card;
    let outer = edge.iter().rev().map(|(x, v)| [*x, v[0]]);
    let corners: Vec<Point> = [[range.0, inner], [range.1, inner]].into_iter().chain(outer).collect();
    let outline = Region::of(&corners);
    let mut part = outline.clone();
    let mut joints = Vec::new();
    for (former, lap) in formers[run.0..=run.1].iter_mut().zip(&laps[run.0..=run.1]) {
        let Some(lap) = lap else { continue };
        let side = 0.5 * lap.width;
        let middle = former.middle();
        part = part.without(&slot(0, (middle - side, middle + side), lap.template_end, false));
        let starboard = slot(1, (height - side, height + side), lap.former_end, true);
        former.part = former.part.without(&starboard).without(&starboard.mirrored());
        let joint = |with| Joint { former: former.number, with, how: Joining::HalfLap(*lap) };
        joints.extend([joint(Template::BreadthStarboard), joint(Template::BreadthPort)]);
    }
    let starboard = BreadthHalf {
        side: Template::BreadthStarboard,
        height,
        range,
        outline,
        part,
        ticks: Vec::new(),
        cut_outs: Vec::new(),
    };
    let port = BreadthHalf {
        side: Template::BreadthPort,
        outline: upside_down(&starboard.outline),
        part: upside_down(&starboard.part),
        ..starboard.clone()
    };
    Some((vec![starboard, port], joints))
}

/// The lap of a former at that height, if both webs keep their least width: the former's neck between this slot and the centre
/// template (or its slot), and what is left of the template outside its own slot.
fn lap(former: &Former, breadth: f64, (height, within): (f64, Span), card: f64, wanted: &Formers) -> Option<HalfLap> {
    let side = 0.5 * (card + wanted.slot_clearance);
    let levels = [height - side, within.0, height, within.1, height + side];
    let template = vec![(0.5 * card, breadth)];
    let common = levels.iter().fold(template, |common, z| shared(&common, &former.part.spans(1, *z)));
    let [material] = common[..] else { return None };
    let lap = HalfLap::over(material, true, card, wanted);
    let webs = [lap.former_end - material.0, material.1 - lap.template_end];
    webs.iter().all(|w| *w >= wanted.least_web).then_some(lap)
}

/// First and last index of the longest run of at least two neighbours that have a lap.
fn longest_run(laps: &[Option<HalfLap>]) -> Option<(usize, usize)> {
    let mut best: Option<(usize, usize)> = None;
    let mut from = 0;
    for i in 0..=laps.len() {
        if laps.get(i).copied().flatten().is_some() {
            continue;
        }
        if i > from + 1 && best.is_none_or(|(a, b)| i - 1 - from > b - a) {
            best = Some((from, i - 1));
        }
        from = i + 1;
    }
    best
}

/// Mirrored in the centre plane, which is the line y = 0 here.
fn upside_down(region: &Region) -> Region {
    let turned = |c: &Vec<Point>| c.iter().rev().map(|p| [p[0], -p[1]]).collect();
    Region { pieces: region.pieces.iter().map(|piece| piece.iter().map(turned).collect()).collect() }
}
