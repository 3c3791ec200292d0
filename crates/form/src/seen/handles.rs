//! The points of control sections, and those of master lines, that can be taken hold of in the picture.

use super::Sight;
use super::grid::Grid;
use super::path::{Look, Place};
use project::document::{Form, LineName, MasterLine, SectionShape};
use project::photograph::Side;

/// What can be taken hold of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HandleOf {
    /// A point of a control section: the section's index, and the point's from the crown.
    SectionPoint {
        /// The section's index in the form.
        section: usize,
        /// The point's index in the section.
        point: usize,
    },
    /// A point of the crown, keel or breadth line.
    LinePoint {
        /// Which line.
        line: LineName,
        /// The point's index in it.
        point: usize,
    },
}

/// A point that can be taken hold of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Handle {
    /// What it is.
    pub of: HandleOf,
    /// Which side; points on the centre plane stand once, to starboard.
    pub side: Side,
    /// Where the picture shows it, px.
    pub pixel: [f64; 2],
    /// Where it is, mm.
    pub point: [f64; 3],
    /// Whether it can be seen.
    pub sight: Sight,
}

/// All points that the picture shows.
pub(super) fn handles(grid: &Grid<'_>, form: &Form, look: &Look<'_>) -> Vec<Handle> {
    let mut out = Vec::new();
    let mut add = |of: HandleOf, [x, y, z]: [f64; 3]| {
        let sides: &[Side] = if y.abs() < 1e-9 { &[Side::Starboard] } else { &[Side::Starboard, Side::Port] };
        for side in sides {
            let point = [x, side.sign() * y, z];
            let place = Place { point, facing: f64::NAN };
            let shown = look.eye.shown(point);
            if let Some((shown, sight)) = shown.zip(look.sight(&place, shown.as_ref())) {
                out.push(Handle { of, side: *side, pixel: shown.pixel, point, sight });
            }
        }
    };
    for (section, control) in form.sections.iter().enumerate() {
        let SectionShape::Shaped(unit) = &control.shape else { continue };
        let Some(cut) = grid.loft.section(control.station) else { continue };
        for (point, p) in unit.points.iter().enumerate() {
            let middle = cut.breadth_height();
            let height = if p.v > 0.0 { cut.crown() - middle } else { middle - cut.keel() };
            let at = [control.station, p.u * cut.breadth(), middle + p.v * height];
            add(HandleOf::SectionPoint { section, point }, at);
        }
    }
    for name in [LineName::Crown, LineName::Keel, LineName::Breadth] {
        let line: &MasterLine = form.lines.get(name);
        for (point, p) in line.points.iter().enumerate() {
            let (y, z) = match name {
                LineName::Breadth => (p.value, grid.loft.lines().breadth_height.at(p.x).value),
                _ => (0.0, p.value),
            };
            add(HandleOf::LinePoint { line: name, point }, [p.x, y, z]);
        }
    }
    out
}
