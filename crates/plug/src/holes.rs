//! Holes in formers: the shaft, dowels that align the set, and holes that only save weight.

use crate::formers::Former;
use crate::region::{Point, Region};
use crate::surface::CUT;
use crate::thrust::Shaft;
use project::build::Formers;

/// Cuts the shaft's hole into a former that the shaft reaches.
pub(crate) fn cut_shaft(former: &mut Former, shaft: &Shaft) {
    let middle = former.middle();
    if middle > shaft.rear {
        return;
    }
    let hole = shaft.through(former.front, former.rear);
    if !former.part.intersection(&hole).is_empty() {
        former.part = former.part.without(&hole);
        former.shaft = Some(shaft.at(middle));
    }
}

/// Cuts each dowel hole and its mirror where the former keeps the least web around it; gives the places that found no room.
///
/// A hole never comes nearer to the centre plane than the web, so that no dowel meets the centre template.
pub(crate) fn cut_dowels(former: &mut Former, card: f64, wanted: &Formers) -> Vec<Point> {
    let radius = 0.5 * wanted.dowel_diameter;
    let mut without_room = Vec::new();
    for &[y, z] in &wanted.dowels {
        let clear = y.abs() >= radius + 0.5 * card + wanted.least_web;
        let around = Region::disc([y.abs(), z], radius + wanted.least_web, CUT);
        let both = around.union(&around.mirrored());
        let room = clear && both.without(&former.part).area() < 1e-3;
        if !(room && radius > 0.0) {
            without_room.push([y, z]);
            continue;
        }
        for side in [y.abs(), -y.abs()] {
            former.part = former.part.without(&Region::disc([side, z], radius, 0.5 * CUT));
            former.dowels.push([side, z]);
        }
    }
    without_room
}

/// A lightening hole smaller than this is not worth the knife, mm².
const LEAST_HOLE: f64 = 150.0;
/// Radius of the corners of lightening holes, mm.
const CORNER: f64 = 3.0;

/// Cuts lightening holes that leave the web to every edge, hole and slot, and a bar along the centre plane and along `bars` (heights
/// of a breadth template) of a web on each side.
pub(crate) fn lighten(former: &mut Former, card: f64, bars: Option<f64>, web: f64) {
    if web <= 0.0 {
        return;
    }
    let half = 0.5 * card + web;
    let mut room = former.part.inset(web);
    room = room.without(&Region::rectangle([-half, -crate::slots::FAR], [half, crate::slots::FAR]));
    if let Some(height) = bars {
        room =
            room.without(&Region::rectangle([-crate::slots::FAR, height - half], [crate::slots::FAR, height + half]));
    }
    // Opened with a round tool: inside the room, and without corners that tear.
    let opened = room.inset(CORNER).inset(-CORNER).intersection(&room);
    for piece in opened.pieces {
        let hole = Region { pieces: vec![piece] };
        if hole.area() >= LEAST_HOLE {
            former.part = former.part.without(&hole);
        }
    }
}
