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

/// The line that a curve of the silhouette makes. Between two places it is a cubic with their own directions, as each place tells
/// which way is out; where it comes in sight between two places, it does so midway.
pub(super) fn line(curve: &[SilhouettePlace], tolerance: f64) -> SeenLine {
    let mut runs = Runs::default();
    for (i, place) in curve.iter().enumerate() {
        if let Some(before) = i.checked_sub(1).and_then(|i| curve.get(i)) {
            between(before, place, tolerance, &mut runs);
        }
        runs.add(place.pixel, place.point, Some(place.sight));
    }
    SeenLine { part: SeenPart::Silhouette, runs: runs.done() }
}

/// Most chords between two places.
const MOST_CHORDS: usize = 12;
/// Cosine of the angle to the chord up to which a direction is that of a smooth curve: about 45°.
const SMOOTH: f64 = 0.7;

fn between(a: &SilhouettePlace, b: &SilhouettePlace, tolerance: f64, runs: &mut Runs) {
    let Some((from, to)) = a.pixel.zip(b.pixel) else { return };
    let chord = [to[0] - from[0], to[1] - from[1]];
    let length = chord[0].hypot(chord[1]);
    let along = [a, b].map(|p| along(p.outward, chord));
    let bend = along.map(|d| (d[0] * chord[1] - d[1] * chord[0]).abs()).into_iter().fold(0.0, f64::max);
    let smooth = along.iter().all(|d| d[0] * chord[0] + d[1] * chord[1] > SMOOTH * length);
    // An arc whose ends turn by the angle φ from the chord bulges by about a quarter of its length times φ; n chords divide that by n².
    let chords = if smooth { ((0.25 * bend / tolerance).sqrt().ceil() as usize).clamp(1, MOST_CHORDS) } else { 1 };
    // An even number, where the sight changes, has a place midway.
    let chords = if a.sight == b.sight { chords } else { 2 * chords.div_ceil(2) };
    for n in 1..chords {
        let t = n as f64 / chords as f64;
        let pixel = if smooth { hermite(t, from, to, along, length) } else { [0, 1].map(|k| from[k] + t * chord[k]) };
        let point = std::array::from_fn(|k| a.point[k] + t * (b.point[k] - a.point[k]));
        if 2 * n <= chords {
            runs.add(Some(pixel), point, Some(a.sight));
        }
        if 2 * n == chords && a.sight != b.sight {
            runs.begin(Some(pixel), point, Some(b.sight));
        }
        if 2 * n > chords {
            runs.add(Some(pixel), point, Some(b.sight));
        }
    }
}

/// The direction of the silhouette at a place, the way that the chord goes.
fn along([x, y]: [f64; 2], chord: [f64; 2]) -> [f64; 2] {
    let sign = (y * chord[0] - x * chord[1]).signum();
    [sign * y, -sign * x]
}

/// The cubic between two places with their directions, both as fast as the chord is long.
fn hermite(t: f64, a: [f64; 2], b: [f64; 2], along: [[f64; 2]; 2], length: f64) -> [f64; 2] {
    let r = 1.0 - t;
    let weights = [(1.0 + 2.0 * t) * r * r, t * r * r * length, t * t * (3.0 - 2.0 * t), -t * t * r * length];
    [0, 1].map(|k| weights[0] * a[k] + weights[1] * along[0][k] + weights[2] * b[k] + weights[3] * along[1][k])
}
