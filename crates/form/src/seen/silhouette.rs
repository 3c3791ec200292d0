//! The silhouette: places, how they are seen, and the line they make.

use super::grid::{Grid, Spot};
use super::link::{self, Crossing};
use super::path::{Look, Runs};
use super::{SeenLine, SeenPart, Sight};

pub use super::link::SilhouetteKind;

/// How far beside the silhouette, in mm at the form, the background must be seen for it to be the outline: more than the grid's
/// triangles lie beside the surface, as a share of its length.
const BESIDE: f64 = 0.002;

/// A place of the silhouette.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SilhouettePlace {
    /// Where on the surface.
    pub spot: Spot,
    /// Where it is, mm.
    pub point: [f64; 3],
    /// The surface's outward normal, square to the line of sight; on an edge one between those of both sides.
    pub normal: [f64; 3],
    /// Where the picture shows it, px. `None` behind the camera and where the lens shows nothing.
    pub pixel: Option<[f64; 2]>,
    /// What it is.
    pub kind: SilhouetteKind,
    /// How it is seen; hidden where it is not shown.
    pub sight: Sight,
    /// Out of the form in the picture: unit vector, x right and y down.
    pub outward: [f64; 2],
}

/// The curves, each in order.
pub(super) fn curves(grid: &Grid<'_>, look: &Look<'_>) -> Vec<Vec<SilhouettePlace>> {
    let curves = link::curves(grid, look.eye);
    curves.into_iter().map(|curve| curve.iter().map(|c| place(grid, look, c)).collect()).collect()
}

fn place(grid: &Grid<'_>, look: &Look<'_>, crossing: &Crossing) -> SilhouettePlace {
    let Crossing { spot, point, normal, kind, facing, bulges } = *crossing;
    let shown = look.eye.shown(point);
    let outward = look.eye.flat_normal(point, normal);
    let sight = shown.map_or(Sight::Hidden, |shown| {
        if !bulges || look.cover.hides(&shown, facing) {
            return Sight::Hidden;
        }
        let (low, high) = grid.loft.x_range();
        let step = BESIDE * (high - low) * shown.nearness;
        let aside = [shown.ideal[0] + step * outward[0], shown.ideal[1] + step * outward[1]];
        if look.cover.nearest(aside).is_none() { Sight::Outline } else { Sight::InSight }
    });
    SilhouettePlace { spot, point, normal, pixel: shown.map(|s| s.pixel), kind, sight, outward }
}

/// The line that a curve of the silhouette makes; where it comes in sight between two places, it does so midway.
pub(super) fn line(curve: &[SilhouettePlace]) -> SeenLine {
    let mut runs = Runs::default();
    for (i, place) in curve.iter().enumerate() {
        let before = i.checked_sub(1).and_then(|i| curve.get(i)).filter(|b| b.sight != place.sight);
        if let Some(((a, b), last)) = before.and_then(|last| Some(((last.pixel?, place.pixel?), last))) {
            let middle: [f64; 2] = std::array::from_fn(|k| 0.5 * (a[k] + b[k]));
            let point = std::array::from_fn(|k| 0.5 * (last.point[k] + place.point[k]));
            runs.add(Some(middle), point, Some(last.sight));
            runs.begin(Some(middle), point, Some(place.sight));
        }
        runs.add(place.pixel, place.point, Some(place.sight));
    }
    SeenLine { part: SeenPart::Silhouette, runs: runs.done() }
}
