//! Holes in formers for the shaft, and for dowels that align the set.

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
    if radius <= 0.0 {
        return without_room;
    }
    for &[y, z] in &wanted.dowels {
        let clear = y.abs() >= radius + 0.5 * card + wanted.least_web;
        let around = Region::disc([y.abs(), z], radius + wanted.least_web, CUT);
        let both = around.union(&around.mirrored());
        let room = clear && both.without(&former.part).area() < 1e-3;
        if !room {
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
