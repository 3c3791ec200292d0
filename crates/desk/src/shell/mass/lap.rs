//! The lap: what of the shell lies on the fuselage, or in it, behind the end of the form.
//!
//! It is one strip of the laminate's middle surface, as long as the lap and as far round as the middle of the lap is: a taper along
//! the lap changes its area by the square of its angle only.

use fit::fuselage::{FuselageShape, lap_outline};
use project::airframe::{FuselageEnd, LapSide};
use project::document::Document;
use project::laminate::{Extent, Span};
use shell::mass::Part;

/// The lap's middle surface.
pub(super) struct Lap {
    /// Its ends, mm.
    pub(super) stations: [f64; 2],
    /// All round, mm.
    girth: f64,
    /// Height of its middle by girth, mm.
    middle_z: f64,
    /// Mean squares of the distances of its girth from the axis along x through its middle: across, and up, mm².
    spread: [f64; 2],
    /// It is seen from outside, so that it is filled and painted.
    pub(super) outside: bool,
}

impl Lap {
    /// That of a document with a shell of this thickness, filler and paint not counted, mm; `None` without a lap.
    pub(super) fn of(document: &Document, laminate: f64) -> Option<Self> {
        let end = document.airframe.fuselage.as_ref().filter(|end| end.lap.length > 0.0)?;
        let outside = end.lap.side == LapSide::Over;
        let half = middle(end, if outside { 0.5 * laminate } else { -0.5 * laminate })?;
        let stations = [end.station, end.station + end.lap.length];
        let (mut length, mut z, mut yy, mut zz) = (0.0, 0.0, 0.0, 0.0);
        for w in half.windows(2) {
            let ([y0, z0], [y1, z1]) = (w[0], w[1]);
            let chord = (y1 - y0).hypot(z1 - z0);
            length += chord;
            z += chord * 0.5 * (z0 + z1);
            yy += chord * (y0 * y0 + y0 * y1 + y1 * y1) / 3.0;
            zz += chord * (z0 * z0 + z0 * z1 + z1 * z1) / 3.0;
        }
        let middle_z = z / length;
        let spread = [yy / length, zz / length - middle_z * middle_z];
        (length > 0.0).then_some(Self { stations, girth: 2.0 * length, middle_z, spread, outside })
    }

    /// Area of it that a ply covers, mm².
    pub(super) fn covered(&self, extent: &Extent) -> f64 {
        let [from, to] = self.reach(extent);
        self.girth * (to - from).max(0.0)
    }

    fn reach(&self, extent: &Extent) -> [f64; 2] {
        let [a, b] = self.stations;
        match extent {
            Extent::Whole => [a, b],
            Extent::Strip { from, to } => [a.max(*from), b.min(*to)],
            Extent::Patches { .. } => [a, a],
        }
    }

    /// What a layer of so many g/m² weighs on it; `None` where the layer does not reach it.
    pub(super) fn part(&self, name: String, extent: &Extent, areal_mass: Span) -> Option<Part> {
        let [from, to] = self.reach(extent);
        let area = self.covered(extent);
        let along = (to - from) * (to - from) / 12.0;
        (area > 0.0).then(|| Part {
            name,
            mass: areal_mass.times(1e-6 * area),
            centre: [0.5 * (from + to), 0.0, self.middle_z].map(Span::exact),
            spread: [along, self.spread[0], self.spread[1], 0.0, 0.0, 0.0],
        })
    }
}

/// The half outline of the laminate's middle, half-way along the lap.
fn middle(end: &FuselageEnd, out: f64) -> Option<Vec<[f64; 2]>> {
    let shape = FuselageShape::of(end)?;
    let outline = lap_outline(end, &shape, end.station + 0.5 * end.lap.length).moved_out(out);
    Some(outline.points().to_vec())
}
