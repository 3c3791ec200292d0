//! Dragging the fuselage end: stations, sizes, measured points, lap and screws.

use crate::floor::item::{Grip, Item, Which};
use crate::floor::layout::View;
use project::airframe::{FuselageEnd, FuselageSection};
use project::document::MeasuredSection;
use project::promise::MIN_SIZE;

/// Brings a handle to a place of its view.
pub(super) fn moved(end: &mut FuselageEnd, item: Item, view: View, [a, b]: [f64; 2]) -> Option<()> {
    match item {
        Item::Fuselage => end.station = a,
        Item::FuselageFurther => end.further.as_mut()?.0 = a,
        Item::Lap => end.lap.length = (a - end.station).max(0.0),
        Item::Screws => {
            let edge = end.station + end.lap.length;
            end.screws.as_mut()?.edge_distance = (edge - a).max(0.0);
        }
        Item::Section(which, grip) => {
            let section = match which {
                Which::End => &mut end.section,
                Which::Further => &mut end.further.as_mut()?.1,
            };
            grip_moved(section, grip, view, [a, b])?;
        }
        _ => return None,
    }
    Some(())
}

fn grip_moved(section: &mut FuselageSection, grip: Grip, view: View, [a, b]: [f64; 2]) -> Option<()> {
    match grip {
        Grip::Centre => move_centre(section, b),
        Grip::Width if view == View::Plan => size(section, Some(2.0 * b.abs()), None),
        Grip::Width => size(section, Some(2.0 * a.abs()), None),
        Grip::Height => {
            let centre = *centre_height(section)?;
            size(section, None, Some(2.0 * (b - centre)));
        }
        Grip::Radius => round_corners(section, [a, b]),
        Grip::Point(index) => {
            let FuselageSection::Measured(measured) = section else { return None };
            move_point(measured, index, [-a, b]);
        }
    }
    Some(())
}

/// The height of the centre; measured points have none.
pub(crate) fn centre_height(section: &mut FuselageSection) -> Option<&mut f64> {
    match section {
        FuselageSection::Circle { centre_height, .. }
        | FuselageSection::Ellipse { centre_height, .. }
        | FuselageSection::RoundedBox { centre_height, .. } => Some(centre_height),
        FuselageSection::Measured(_) => None,
    }
}

/// Brings the middle between crown and keel to a height.
fn move_centre(section: &mut FuselageSection, height: f64) {
    if let Some(centre) = centre_height(section) {
        *centre = height;
    } else if let FuselageSection::Measured(measured) = section {
        let ends = measured.points.first().zip(measured.points.last());
        let by = ends.map_or(0.0, |(crown, keel)| height - f64::midpoint(crown[1], keel[1]));
        measured.points.iter_mut().for_each(|p| p[1] += by);
    }
}

/// Sets whole width or height, and keeps the corners of a box within it.
fn size(section: &mut FuselageSection, new_width: Option<f64>, new_height: Option<f64>) {
    let set = |now: &mut f64, to: Option<f64>| *now = to.unwrap_or(*now).max(MIN_SIZE);
    match section {
        FuselageSection::Circle { diameter, .. } => set(diameter, new_width.or(new_height)),
        FuselageSection::Ellipse { width, height, .. } => {
            set(width, new_width);
            set(height, new_height);
        }
        FuselageSection::RoundedBox { width, height, radius, .. } => {
            set(width, new_width);
            set(height, new_height);
            *radius = radius.min(0.5 * width.min(*height));
        }
        FuselageSection::Measured(_) => {}
    }
}

/// The corners' middle comes as near to a place of the face view as their diagonal passes it.
fn round_corners(section: &mut FuselageSection, [a, b]: [f64; 2]) {
    let FuselageSection::RoundedBox { width, height, radius, centre_height } = section else { return };
    let inward = 0.5 * (0.5 * *width - a + *centre_height + 0.5 * *height - b);
    let most = 0.5 * width.min(*height);
    *radius = (inward / (1.0 - std::f64::consts::FRAC_1_SQRT_2)).clamp(0.0, most);
}

/// Moves a measured point to (half-breadth, height); the ends keep to the centre plane, the others to their side of it.
pub(crate) fn move_point(measured: &mut MeasuredSection, index: usize, [y, z]: [f64; 2]) {
    let last = measured.points.len().saturating_sub(1);
    if let Some(p) = measured.points.get_mut(index) {
        *p = [if index == 0 || index == last { 0.0 } else { y.max(0.0) }, z];
    }
}

/// Adds a measured point at (half-breadth, height), between the two whose chord passes it nearest; gives its index. Knuckles
/// stay with their points.
pub(crate) fn add_point(measured: &mut MeasuredSection, at: [f64; 2]) -> Option<usize> {
    let at = [at[0].max(0.0), at[1]];
    let distance = |w: &[[f64; 2]]| geometry::flatten::distance_to_chord(at, w[0], w[1]);
    let chords = measured.points.windows(2).enumerate();
    let (before, _) = chords.min_by(|a, b| distance(a.1).total_cmp(&distance(b.1)))?;
    let index = before + 1;
    measured.points.insert(index, at);
    measured.knuckles.iter_mut().filter(|k| k.point >= index).for_each(|k| k.point += 1);
    measured.breadth_point = measured.breadth_point.map(|p| if p >= index { p + 1 } else { p });
    Some(index)
}

/// Removes a measured point; false for the ends, and where fewer than three would be left.
pub(crate) fn remove_point(measured: &mut MeasuredSection, index: usize) -> bool {
    let count = measured.points.len();
    if count <= 3 || index == 0 || index + 1 >= count {
        return false;
    }
    measured.points.remove(index);
    measured.knuckles.retain(|k| k.point != index);
    measured.knuckles.iter_mut().filter(|k| k.point > index).for_each(|k| k.point -= 1);
    measured.breadth_point = match measured.breadth_point {
        Some(p) if p == index => None,
        Some(p) if p > index => Some(p - 1),
        other => other,
    };
    true
}
